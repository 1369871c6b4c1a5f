"""Supports come off after the first half, when the part is firm."""

from benchassist.domain.stages.kind import StageKind

KIND = StageKind(
    name="supports",
    mode="hand",
    do="Take the supports off",
    cautions=("Dust: wet, or with extraction; mask on, eyes covered.",),
)
