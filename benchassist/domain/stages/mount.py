"""The part goes on a peg that carries its code."""

from benchassist.domain.stages.kind import StageKind

KIND = StageKind(
    name="mount",
    mode="hand",
    do="Mount on a peg by the uncoated side",
    cautions=("From here nobody touches the surface.",),
    readies=True,
)
