"""The table of mishaps: a new one is one file and one line here."""

from benchassist.domain.mishaps import (
    box_stopped,
    bubbles,
    contaminated,
    cracked,
    dropped,
    floated,
    lamp_died,
    late,
    not_dry,
    over_washed,
    power_blip,
    smeared,
    touched,
    wrong_program,
)
from benchassist.domain.mishaps.kind import Mishap
from benchassist.domain.state import Bench, Part

MISHAPS: dict[str, Mishap] = {
    each.MISHAP.code: each.MISHAP
    for each in (
        touched,
        smeared,
        contaminated,
        dropped,
        late,
        lamp_died,
        floated,
        bubbles,
        wrong_program,
        box_stopped,
        power_blip,
        over_washed,
        not_dry,
        cracked,
    )
}


def offered(bench: Bench, part: Part) -> tuple[Mishap, ...]:
    """Return the mishaps that can have happened where a part stands."""
    return tuple(each for each in MISHAPS.values() if each.when(bench, part))
