"""The part is turned by hand and the side is confirmed."""

from benchassist.domain.stages.kind import StageKind

KIND = StageKind(
    name="flip",
    mode="flip",
    do="Turn the part",
    harm="late_box_s",
    cautions=("Turn by the peg or the uncoated side; under glycerine if submerged.",),
    cures=True,
)
