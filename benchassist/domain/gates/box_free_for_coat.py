"""Before the brush is wetted: box and vessel must be there when the coat is."""

from benchassist.clock import MS, Instant
from benchassist.domain.gates import glycerine_count, own_glycerine
from benchassist.domain.gates.verdict import Ask, Gate, Verdict, failed, passed
from benchassist.domain.limits import limit
from benchassist.domain.runs import left_ms
from benchassist.domain.stages import STAGES
from benchassist.domain.state import Bench, Part, Ready
from benchassist.domain.words import clock


def check(bench: Bench, ask: Ask, now: Instant) -> Verdict:
    """Judge whether the tacked coat will find its box and vessel in time."""
    part = ask.part
    if part.box not in bench.boxes:
        return failed("No curing box is chosen.", "Choose one by hand.")
    if part.variant.cover == "glycerine":
        for vessel in (glycerine_count.check, own_glycerine.check):
            verdict = vessel(bench, ask, now)
            if verdict.level == "fail":
                return verdict
    most_ms = int(limit(bench, "late_tacked_s") * MS)
    running = max(
        (
            left_ms(run, bench.boxes[run.box], now)
            for run in bench.runs.values()
            if run.box == part.box
        ),
        default=0,
    )
    waiting = tuple(
        each
        for each in bench.in_flight
        if each.code not in ask.together and _waits_tacked(each, part.box)
    )
    wait_ms = max(0, running) + _runs_ms(bench, waiting)
    if wait_ms > most_ms:
        others = f" with {len(waiting)} tacked before it" if waiting else ""
        return failed(
            f"{part.box} is busy for {clock(wait_ms)}{others}; a tacked coat waits "
            f"{clock(most_ms)} at most.",
            "Start the coat later.",
            ("left_s", wait_ms / MS),
        )
    return passed("Box and vessel will be ready.")


def _waits_tacked(part: Part, box: str) -> bool:
    """Return whether a part lies tacked in the open, for this box."""
    return (
        part.box == box
        and bool(part.work)
        and not part.immersed_in
        and isinstance(part.phase, Ready)
        and (part.stage.kind == "coat" or STAGES[part.stage.kind].covered)
    )


def _runs_ms(bench: Bench, parts: tuple[Part, ...]) -> int:
    """Return how long the box will be taken by parts that wait; a basket goes once."""
    total, seen = 0, set[str]()
    for part in parts:
        if part.code in seen:
            continue
        seen.update(bench.basket_of(part))
        box = bench.boxes[part.box]
        run = next(stage for stage in part.route[part.at :] if stage.kind == "box")
        lit_ms = round(run.plan / box.rate_hz * MS)
        total += lit_ms + (box.start_allowance_s + box.warm_s) * MS
    return total


GATE = Gate(
    "box-free-for-coat",
    "Box and vessel ready",
    acceptable=False,
    check=check,
    why=(
        "A tacked coat gathers dust and fingerprints. Coat only what the box "
        "can take before that."
    ),
)
