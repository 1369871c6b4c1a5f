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
        # 2-propanol: flash point 53 F (NIOSH Pocket Guide).
        "Alcohol lights from 12 °C: lid on, no flame, 1 m from the box.",
        "Spilt: wipe, air the room; swabs into a closed bin.",
        "Resin on glove? Change it now.",
    ),
    wets=True,
    solvent=True,
)
