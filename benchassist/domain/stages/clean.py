"""The surface is wiped clean before it dries for the coat."""

from benchassist.domain.stages.kind import StageKind

KIND = StageKind(
    name="clean",
    mode="hand",
    do="Clean with an alcohol wipe",
    cautions=(
        "Alcohol lights from 12 °C: lid on, no flame, 1 m from the box.",
        "Swabs into a closed bin.",
    ),
    wets=True,
)
