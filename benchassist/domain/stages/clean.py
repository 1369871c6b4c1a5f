"""The surface is wiped clean before it dries for the coat."""

from benchassist.domain.stages.kind import StageKind

KIND = StageKind(
    name="clean",
    mode="hand",
    do="Clean with an alcohol wipe",
    cautions=("Alcohol vapour burns: lid on, no flame, away from the box.",),
    wets=True,
)
