"""A run of the curing box; nothing is credited until its end is told."""

from benchassist.domain.stages.kind import StageKind

KIND = StageKind(
    name="box",
    mode="box",
    do="Cure in the box",
    gates=(
        "previous-stage",
        "dry-before-box",
        "box-light",
        "lot-expiry",
        "recipe-status",
        "count-excess",
        "box-occupied",
        "box-whole",
        "vessel-hot",
    ),
    harm="late_box_s",
    cautions=("Never run with the door ajar. Vessel and part may be hot: tongs.",),
    cures=True,
)
