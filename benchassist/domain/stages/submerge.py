"""The part goes under glycerine, free of bubbles, held down."""

from benchassist.domain.stages.kind import StageKind

KIND = StageKind(
    name="submerge",
    mode="submerge",
    do="Submerge in glycerine",
    gates=(
        "previous-stage",
        "dry-before-box",
        "glycerine-count",
        "vessel-room",
        "own-glycerine",
        "box-light",
        "recipe-status",
        "count-excess",
        "box-occupied",
        "box-whole",
        "vessel-hot",
    ),
    harm="late_tacked_s",
    cautions=("Nobody touches the coat. Wet gloves slip on glass.",),
    cures=True,
    covered=True,
)
