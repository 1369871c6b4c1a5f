"""A crack or a chip."""

from __future__ import annotations

from benchassist.domain.coat import coat_state
from benchassist.domain.mishaps import touched
from benchassist.domain.mishaps.kind import (
    YES,
    Branch,
    Case,
    Deviates,
    Mishap,
    asks,
    options,
)
from benchassist.domain.mishaps.rework import (
    clean_again,
    free,
    lay_later,
    strip_and_lay,
    wiped,
)
from benchassist.domain.route import Stage

COAT = "the coat only"
OFF_MARGIN = "where a support was"
BEARING = "margin or connector"
WHERE = options("Where is it?", COAT, OFF_MARGIN, BEARING)
FILL = Stage("fill", "refine", "Fill with the print's own resin, tack it")


def branch(case: Case) -> Branch:
    """Return the way on for a crack."""
    if case.said(0) == BEARING:
        return bearing(case, "Cracked")
    if case.said(0) == OFF_MARGIN:
        return _fill(case)
    cured = coat_state(case.part) == "cured"
    choice = YES if cured else touched.STRIP
    return touched.by_state(case, "Cracked", choice)


def bearing(case: Case, what: str) -> Branch:
    """Return the way on where the part can no longer be trusted to hold."""
    part = case.part
    wet = coat_state(part) == "wet"
    steps = (
        *(("Wipe the wet coat off with alcohol.",) if wet else ()),
        "Stop work on it; cover it, keep it with its case.",
        "Scrap it and print anew, or ask the prescriber first.",
    )
    text = f"{part.code}: {what.lower()} where it bears load or seats."
    return Branch(
        f"{what}: scrap it?",
        steps,
        wiped(case) if wet else (),
        Deviates("cracked", (part.code,), text),
        scrap=True,
    )


def _fill(case: Case) -> Branch:
    part = case.part
    state = coat_state(part)
    layer = part.newest_coat
    steps = (
        "Fill it with the resin it was printed with; tack it with the lamp.",
        "Smooth it off the margin; look at it under the loupe.",
        "It is cured with the part; every coat on it is laid again.",
    )
    match state:
        case "none":
            events = clean_again(case, "Chip filled", first=(FILL,))
        case "cured":
            events = lay_later(case, layer, "Chip filled", then=(FILL,))
        case _:
            events = strip_and_lay(
                case,
                (layer,),
                "Chip filled",
                glycerine=bool(part.immersed_in),
                then=(FILL,),
            )
    text = f"{part.code}: chipped off the margin, filled."
    return Branch(
        "Chipped off the margin",
        steps,
        events,
        Deviates("chip-filled", (part.code,), text),
        rework=state != "none",
    )


MISHAP = Mishap("cracked", "Part cracked", free, asks(WHERE), branch)
