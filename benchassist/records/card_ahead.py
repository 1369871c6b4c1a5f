"""What is still to do to a part, with the numbers that pen and paper need.

Every stage is judged as if the part stood at it, by the bench's own rules.
"""

from __future__ import annotations

import math

from benchassist.clock import MS
from benchassist.domain.coat import answer_for, fits
from benchassist.domain.gates import GATES
from benchassist.domain.gates.verdict import Ask
from benchassist.domain.ledger import bounds, cured_by, next_runs
from benchassist.domain.limits import limit
from benchassist.domain.route import Stage
from benchassist.domain.stages import STAGES
from benchassist.domain.state import Bench, Part, Ready
from benchassist.domain.wet import wet_limit_ms
from benchassist.domain.words import clock, unit_word
from benchassist.value import replace, value

TO_FILL = "________"


@value
class Line:
    """One box to tick: what is done, and with which numbers."""

    what: str
    numbers: tuple[str, ...] = ()


def ahead(bench: Bench, part: Part) -> tuple[Line, ...]:
    """Return what is still to do, the stage at hand first."""
    return tuple(
        line
        for at in range(part.at, len(part.route))
        for line in _lines(bench, part, at)
    )


def _standing(part: Part, at: int) -> Part:
    """Return a part as it will be when it has come to a stage."""
    if at == part.at:
        return part
    return replace(part, at=at, phase=Ready(part.entered))


def _lines(bench: Bench, part: Part, at: int) -> tuple[Line, ...]:
    stage = part.route[at]
    kind = STAGES[stage.kind]
    match kind.mode:
        case "box":
            return _runs(bench, part, stage)
        case "checks":
            return _checks(bench, part)
        case "hand":
            return (Line(kind.do),)
        case _:
            return (Line(stage.title, _numbers(bench, _standing(part, at))),)


def _numbers(bench: Bench, part: Part) -> tuple[str, ...]:
    kind = STAGES[part.stage.kind]
    match kind.mode:
        case "soak" | "dry":
            return _stay(bench, part)
        case "coat":
            return _coat(bench, part)
        case "submerge":
            return _submerge(bench, part)
        case "hold":
            most = clock(limit(bench, "hold_limit_s") * MS)
            return ("covered, dark", f"at most {most}")
        case _:
            return (kind.do,)


def _stay(bench: Bench, part: Part) -> tuple[str, ...]:
    stage = part.stage
    told = [f"at least {clock(stage.min_s * MS)}"]
    if stage.max_s:
        told.append(f"at most {clock(stage.max_s * MS)}")
    if STAGES[stage.kind].solvent:
        most = clock(bench.recipe_of(part).solvent_max_s * MS)
        told.append(f"in solvent so far {clock(part.solvent_ms)} of {most}")
    return tuple(told)


# --- the box -----------------------------------------------------------------------


def _runs(bench: Bench, part: Part, stage: Stage) -> tuple[Line, ...]:
    """Return one line a run, the first with what the ledger has so far."""
    known = part.box in bench.boxes
    counts = next_runs(bench, part, stage) if known else stage.runs
    end = f"end: completed, or stopped at {TO_FILL}"
    told = [(_setting(bench, part, count), end) for count in counts]
    first = told[0] if told else ()
    return (
        Line(stage.title, (ledger(bench, part, stage), *first)),
        *(Line(f"{stage.title}, then", each) for each in told[1:]),
    )


def ledger(bench: Bench, part: Part, stage: Stage) -> str:
    """Return what a box stage has had so far, low to high, of what it owes."""
    layer = cured_by(part, stage)
    low, high = bounds(part, layer=layer, side=stage.side, half=stage.half)
    word = unit_word(bench.recipe_of(part).unit, stage.plan)
    return f"{layer}: {low}–{high} of {stage.plan} {word} so far"


def _setting(bench: Bench, part: Part, count: int) -> str:
    """Return what the box is set to, and how long that takes where it is known."""
    word = unit_word(bench.recipe_of(part).unit, count)
    told = f"set {count} {word} on {part.box or TO_FILL}"
    box = bench.boxes.get(part.box)
    if box is None:
        return told
    seconds = math.ceil(count / box.rate_hz) + box.start_allowance_s
    return f"{told} ({clock(seconds * MS)})"


# --- stain, coats, glycerine -------------------------------------------------------


def _coat(bench: Bench, part: Part) -> tuple[str, ...]:
    recipe, answer = bench.recipe_of(part), answer_for(bench, part)
    if answer.level == "fail" or answer.seconds < 1:
        lamp = part.lamp or "no lamp"
        stop = f"STOP, do not wet the brush: {lamp}, {answer.reason}"
        return (stop, answer.remedy) if answer.remedy else (stop,)
    spots = bench.spots_of(part)
    fit = fits(bench, part, answer.seconds)
    told = [f"{spots} spots × {answer.seconds} s with {part.lamp}"]
    if answer.level == "marginal":
        told.append(f"marginal: {answer.reason}")
    told.append(f"{answer.badge}, rung {answer.rung} of 4")
    work = part.work.get(part.stage.layer)
    if work is not None:
        done = sum(state == "done" for state in work.spots)
        told.append(f"{done} of {spots} have had their light")
    faces = ", ".join(f"{face.title} {face.spots}" for face in bench.faces_of(part))
    return (
        *told,
        f"{recipe.move_s} s to move",
        f"brush {recipe.brush_s} s, then at most {fit} spots at once",
        f"wet at most {clock(wet_limit_ms(bench, part))}",
        faces,
        f"lot {_lot(part)}",
    )


def _lot(part: Part) -> str:
    stain = part.stage.kind == "stain"
    return (part.stain_lot if stain else part.coat_lot) or TO_FILL


def _submerge(bench: Bench, part: Part) -> tuple[str, ...]:
    fill = bench.fills.get(part.vessel)
    most = int(limit(bench, "glycerine_immersions"))
    told = [f"in {part.vessel or TO_FILL}"]
    if fill is not None:
        told.append(
            f"glycerine {fill.lot}: {fill.immersions} of {most} immersions so far, each"
            " part is one more"
        )
    if bench.latest is not None:
        # The gate's own words: paper asks for no less than the bench does.
        ask = Ask(part, part.stage, (part.code,))
        verdict = GATES["glycerine-count"].check(bench, ask, bench.latest)
        if verdict.level != "pass":
            told.append(f"STOP: {verdict.sentence} {verdict.remedy}")
    if part.variant.back_from_mouth:
        told.append("a portion of its own")
    if part.stage.min_s:
        told.append(f"bubbles leave for at least {clock(part.stage.min_s * MS)}")
    return (*told, "whole coat under, held down, no bubbles")


# --- the end -----------------------------------------------------------------------


def _checks(bench: Bench, part: Part) -> tuple[Line, ...]:
    said = {True: ("passed",), False: ("FAILED",), None: ()}
    checks = tuple(
        Line(f"Check: {name}", said[part.checks.get(name)])
        for name in bench.checks_of(part)
    )
    if bench.store is not None and bench.store.kind == "training":
        return (*checks, Line("Scrap it", ("training: nothing is released",)))
    signed = f"the bench process is complete by {part.recipe}"
    return (*checks, Line("Release", (signed, "signed by hand")))
