"""Glycerine is rinsed off before anything is judged."""

from benchassist.domain.stages.kind import StageKind

KIND = StageKind(
    name="rinse",
    mode="soak",
    do="Rinse with water",
    cautions=("Glycerine film feels like tack: rinse before judging.",),
    wets=True,
    cures=True,
)
