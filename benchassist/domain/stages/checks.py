"""Named checks by hand, then one signing hold."""

from benchassist.domain.stages.kind import StageKind

KIND = StageKind(
    name="checks",
    mode="checks",
    do="Check and release",
    gates=("training-store", "release-ready"),
    cautions=("Handed to the prescriber for clinical evaluation.",),
    ends=True,
)
