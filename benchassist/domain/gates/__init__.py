"""The table of gates: a new gate is one file and one line here.

The window, the command line and the day report render this same table.
"""

from benchassist.clock import Instant
from benchassist.domain.gates import (  # noqa: F401 - gathered below
    bath_load,
    bottle_stirred,
    box_free_for_coat,
    box_light,
    box_occupied,
    box_whole,
    coats_max,
    count_excess,
    dry_before_box,
    dry_before_coat,
    example_data,
    glycerine_count,
    interruption,
    lamp_reading_age,
    light_check,
    lot_expiry,
    meter_due,
    nitrogen,
    own_glycerine,
    previous_stage,
    recipe_status,
    release_ready,
    training_store,
    vessel_hot,
    vessel_room,
)
from benchassist.domain.gates.verdict import Ask, Gate, Verdict
from benchassist.domain.gathered import named
from benchassist.domain.stages import STAGES
from benchassist.domain.state import Bench, Part

GATES: dict[str, Gate] = {gate.code: gate for gate in named(globals(), "GATE")}


def judge(bench: Bench, code: str, ask: Ask, now: Instant) -> tuple[Gate, Verdict]:
    """Return a gate with its verdict."""
    return GATES[code], GATES[code].check(bench, ask, now)


def is_open(bench: Bench, gate: Gate, verdict: Verdict, now: Instant) -> bool:
    """Return whether a verdict lets the stage begin, accepted by hand or as it is."""
    if verdict.level == "pass":
        return True
    if verdict.level == "fail" or not gate.acceptable or not verdict.scope:
        return False
    if (gate.code, verdict.scope) in bench.accepted:
        return True
    return _thing_taken(bench, gate, verdict, now)


def _thing_taken(bench: Bench, gate: Gate, verdict: Verdict, now: Instant) -> bool:
    """Return whether the warning was accepted for the thing and still is no worse."""
    taken = bench.accepted_things.get((gate.code, verdict.thing))
    if taken is None or taken.until < now.day():
        return False
    then, today = (
        dict(each).get(gate.measure, 0.0) for each in (taken.numbers, verdict.numbers)
    )
    return today <= then


def first_shut(bench: Bench, ask: Ask, now: Instant) -> tuple[Gate, Verdict] | None:
    """Return the first gate that keeps the asked stage from beginning."""
    found = (judge(bench, code, ask, now) for code in STAGES[ask.stage.kind].gates)
    return next((each for each in found if not is_open(bench, *each, now)), None)


def ask_for(bench: Bench, part: Part, together: tuple[str, ...] = ()) -> Ask:
    """Return the question whether a part may begin the stage it is at."""
    return Ask(part, part.stage, together or bench.basket_of(part))
