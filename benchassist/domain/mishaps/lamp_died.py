"""The lamp went out in the middle of a segment."""

from __future__ import annotations

from benchassist.clock import MS
from benchassist.domain import events as ev
from benchassist.domain.coat import answer_for, coat_state, wet_spots
from benchassist.domain.mishaps.kind import (
    Answers,
    Branch,
    Case,
    Mishap,
    Question,
    options,
)
from benchassist.domain.mishaps.rework import wet_ms, wipe_steps, wiped
from benchassist.domain.shelf import offered
from benchassist.domain.state import Bench, Part
from benchassist.domain.wet import wet_limit_ms
from benchassist.domain.words import clock

NONE = "none"


def when(bench: Bench, part: Part) -> bool:
    """Return whether a lamp was at work on the part."""
    return coat_state(part) == "wet"


def questions(bench: Bench, part: Part, answers: Answers) -> tuple[Question, ...]:
    """Return which other lamp is at hand that nobody else holds."""
    at_hand = tuple(
        code
        for code in offered(bench, "lamp")
        if code != part.lamp
        and (
            (claim := bench.claims.get(("lamp", code))) is None
            or claim.who == bench.operator
        )
    )
    return (options("Which other lamp is at hand?", *at_hand, NONE),)


def branch(case: Case) -> Branch:
    """Go on with a lamp that sets this layer, or wipe the segment in time."""
    part, bench = case.part, case.bench
    lamp = case.said(0)
    left = clock(max(0, wet_limit_ms(bench, part) - wet_ms(case)))
    if lamp == NONE:
        steps = (f"{left} left before the coat is wet too long.", *wipe_steps(case))
        return Branch("No lamp: wipe the patch", steps, wiped(case))
    answer = answer_for(bench, part, lamp)
    if answer.level == "fail":
        steps = (f"{lamp} {answer.reason}: do not light with it.", *wipe_steps(case))
        return Branch("That lamp does not set it", steps, wiped(case))
    spots = len(wet_spots(part))
    need = spots * (answer.seconds + bench.recipe_of(part).move_s) * MS
    steps = (
        f"{lamp}: {answer.reason}. Glasses for its band; hold to confirm.",
        f"{spots} spots left, {clock(need)} with it; {left} to the wet limit.",
        "The spot that was lit starts whole. Put the first lamp on charge.",
    )
    return Branch(
        "Lamp changed",
        steps,
        (ev.EquipmentChosen(part.code, "lamp", lamp),),
        numbers=(("seconds", answer.seconds), ("spots_left", spots)),
    )


MISHAP = Mishap("lamp-died", "Lamp went out", when, questions, branch)
