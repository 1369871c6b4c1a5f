"""A timed stay in a wash bath; a basket goes in and out together."""

from benchassist.domain.stages.kind import StageKind

KIND = StageKind(
    name="wash",
    mode="soak",
    do="Wash",
    gates=(
        "previous-stage",
        "lot-expiry",
        "bath-load",
    ),
    harm="late_alcohol_s",
    cautions=(
        "Alcohol vapour burns: lid on, no flame, away from the box.",
        "Resin on glove? Change it now.",
    ),
    wets=True,
    solvent=True,
)
