"""A mechanical polish instead of a coat."""

from benchassist.domain.stages.kind import StageKind

KIND = StageKind(
    name="polish",
    mode="hand",
    do="Polish mechanically",
    cautions=("Dust: wet, or with extraction; mask on, eyes covered.",),
    ends=True,
)
