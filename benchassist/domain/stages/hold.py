"""The part waits between the halves, later the same day."""

from benchassist.domain.stages.kind import StageKind

KIND = StageKind(
    name="hold",
    mode="hold",
    do="Hold, covered and dark",
    harm="hold_limit_s",
    cautions=("Covered, dark, dust-free.",),
    cures=True,
)
