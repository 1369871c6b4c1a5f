"""The table of stage kinds: a new kind is one file and one line here."""

from benchassist.domain.stages import (
    abrade,
    assess,
    box,
    checks,
    clean,
    coat,
    disinfect,
    dry,
    fit,
    flip,
    hold,
    mount,
    polish,
    purge,
    refine,
    rinse,
    stain,
    submerge,
    supports,
    wash,
)
from benchassist.domain.stages.kind import StageKind

STAGES: dict[str, StageKind] = {
    kind.KIND.name: kind.KIND
    for kind in (
        disinfect,
        wash,
        dry,
        supports,
        refine,
        fit,
        clean,
        abrade,
        mount,
        assess,
        box,
        flip,
        stain,
        coat,
        hold,
        submerge,
        purge,
        rinse,
        polish,
        checks,
    )
}
