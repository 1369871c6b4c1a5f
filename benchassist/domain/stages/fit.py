"""Fit is settled on the model before stain and coat."""

from benchassist.domain.stages.kind import StageKind

KIND = StageKind(
    name="fit",
    mode="hand",
    do="Check fit, contacts and bite on the model",
    cautions=("On the model only; not for a mouth until released.",),
)
