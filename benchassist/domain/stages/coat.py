"""A very thin resin coat, brushed and tacked in segments."""

from benchassist.domain.stages.kind import StageKind

KIND = StageKind(
    name="coat",
    mode="coat",
    do="Coat",
    gates=(
        "previous-stage",
        "light-check",
        "lamp-reading-age",
        "meter-due",
        "dry-before-coat",
        "lot-expiry",
        "bottle-stirred",
        "coats-max",
        "box-light",
        "box-free-for-coat",
        "interruption",
    ),
    harm="late_wet_s",
    cautions=(
        "Resin on glove? Change it now. Swabs into a closed bin.",
        "Glasses on for the lamp's own band.",
    ),
)
