"""Surfaces are refined before anything is laid on them."""

from benchassist.domain.stages.kind import StageKind

KIND = StageKind(
    name="refine",
    mode="hand",
    do="Refine",
    cautions=("Dust: wet, or with extraction; mask on, eyes covered.",),
)
