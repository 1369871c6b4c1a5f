"""The wet coat was left too long: set by the room's light, or dusty."""

from __future__ import annotations

from benchassist.clock import MS
from benchassist.domain.coat import coat_state
from benchassist.domain.mishaps.kind import (
    Branch,
    Case,
    Deviates,
    Mishap,
    asks,
    options,
)
from benchassist.domain.mishaps.rework import (
    dry_s,
    segment_words,
    wet_ms,
    wiped,
)
from benchassist.domain.state import Bench, Part
from benchassist.domain.wet import ambient_klx_s, wet_limit_ms
from benchassist.domain.words import clock, minutes

HOW_IS_IT = options("How is it?", "set or dragging", "dusty")


def when(bench: Bench, part: Part) -> bool:
    """Return whether a coat lies wet on the part."""
    return coat_state(part) == "wet"


def branch(case: Case) -> Branch:
    """Return the way on for a coat that was wet too long."""
    part, bench = case.part, case.bench
    wet, most = wet_ms(case), wet_limit_ms(bench, part)
    klx_s = ambient_klx_s(bench, part, wet)
    light = "" if klx_s is None else f", {klx_s:.0f} klx·s of the room's light"
    steps = (
        f"Wet {clock(wet)}{light}; the limit is {clock(most)}.",
        f"Wipe {segment_words(part)} off with alcohol: what has set lets a coat peel.",
        f"Dry {minutes(dry_s(case) * MS)}, then brush the patch again.",
        "Cover or dim the bench; take a fresh drop of resin.",
    )
    opened = any(
        found.rule == "coat-set-or-dusty" for found in bench.open_deviations(part.code)
    )
    text = f"{part.code}: {case.said(0)} after {clock(wet)} wet."
    return Branch(
        "Wet, late",
        steps,
        wiped(case),
        None if opened else Deviates("coat-set-or-dusty", (part.code,), text),
        numbers=(("wet_s", wet / MS), ("limit_s", most / MS)),
    )


MISHAP = Mishap("late", "Wet too long", when, asks(HOW_IS_IT), branch)
