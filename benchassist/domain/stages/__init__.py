"""The table of stage kinds: a new kind is one file and one line here."""

from benchassist.domain.gathered import named
from benchassist.domain.stages import (  # noqa: F401 - gathered below
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

STAGES: dict[str, StageKind] = {kind.name: kind for kind in named(globals(), "KIND")}
