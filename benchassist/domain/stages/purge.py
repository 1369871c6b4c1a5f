"""Nitrogen replaces the air before the second half."""

from benchassist.domain.stages.kind import StageKind

KIND = StageKind(
    name="purge",
    mode="soak",
    do="Purge with nitrogen",
    gates=("previous-stage", "nitrogen"),
    cautions=("Nitrogen displaces air: ventilate, watch the oxygen alarm.",),
    cures=True,
    covered=True,
)
