"""Whatever went wrong, the part is looked over before it goes on."""

from benchassist.domain.stages.kind import StageKind

KIND = StageKind(
    name="assess",
    mode="hand",
    do="Look it over under the loupe",
    cautions=("In doubt hold it and ask: nobody is harmed by a minute.",),
)
