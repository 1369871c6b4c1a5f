"""The surface is roughened, blown off and wiped before it dries."""

from benchassist.domain.stages.kind import StageKind

KIND = StageKind(
    name="abrade",
    mode="hand",
    do="Air-abrade and clean",
    cautions=("Alumina dust: extraction, mask on, eyes covered. Keep off the margin.",),
    wets=True,
)
