"""A part back from a mouth is disinfected first, for a set time."""

from benchassist.domain.stages.kind import StageKind

KIND = StageKind(
    name="disinfect",
    mode="soak",
    do="Disinfect and rinse",
    cautions=("Follow the disinfectant's own label and contact time.",),
    wets=True,
)
