"""A stain pass, brushed and tacked in segments that fit the wet limit."""

from benchassist.domain.stages.kind import StageKind

KIND = StageKind(
    name="stain",
    mode="coat",
    do="Stain",
    gates=(
        "previous-stage",
        "light-check",
        "lamp-reading-age",
        "meter-due",
        "dry-before-coat",
        "lot-expiry",
        "bottle-stirred",
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
