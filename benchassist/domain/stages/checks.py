"""Named checks by hand, then one signing hold."""

from benchassist.domain.stages.kind import StageKind

KIND = StageKind(
    name="checks",
    mode="checks",
    do="Check and release",
    gates=("release-ready",),
    cautions=("Handed to the prescriber for clinical evaluation.",),
)
