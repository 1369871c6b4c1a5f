"""A wait that begins by itself when the part leaves a liquid."""

from benchassist.domain.stages.kind import StageKind

KIND = StageKind(
    name="dry",
    mode="dry",
    do="Let it dry",
    cautions=(
        "Blow off away from faces, eyes covered.",
        "No drying by flame or by the curing box.",
    ),
    cures=True,
)
