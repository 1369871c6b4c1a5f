"""Every act of a part judged in two worlds, at its own time.

What was shut in both tells nothing new, and neither does what the past shelf no longer
tells: both worlds stand on one shelf.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from benchassist.clock import MS, Now
from benchassist.domain import events as ev
from benchassist.domain.correction.gathered import Gathered
from benchassist.domain.evolve.anew import bare, one_more
from benchassist.domain.gates import GATES, is_open
from benchassist.domain.gates.verdict import Ask
from benchassist.domain.ledger import over
from benchassist.domain.limits import limit
from benchassist.domain.route import Stage
from benchassist.domain.stages import STAGES
from benchassist.domain.state import Bench, Part
from benchassist.domain.truth import Line, true_lines
from benchassist.domain.words import clock
from benchassist.value import replace, value

LIT = ("light-check", "lamp-reading-age")  # what a walk asks before each start


@value
class Shut:
    """What stood in the way of an act, had it been told right: entry, gate, why."""

    seq: int
    gate: str
    title: str
    sentence: str


def newly_shut(
    part: str,
    was: tuple[Bench, Iterable[Line]],
    now: tuple[Bench, Iterable[Line]],
    stages: dict[int, Part],
) -> tuple[Shut, ...]:
    """Return what is shut in the second world and was not in the first.

    Parameters
    ----------
    part
        The part.
    was, now
        Each a shelf and the part's lines as that world has them.
    stages
        The part as told before each entry: the stage that the act was for.
    """
    before = _shut_in(part, *was, stages)
    known = {(each.seq, each.gate) for each in before}
    return tuple(
        each
        for each in _shut_in(part, *now, stages)
        if (each.seq, each.gate) not in known
    )


def _shut_in(
    part: str, shelf: Bench, lines: Iterable[Line], stages: dict[int, Part]
) -> tuple[Shut, ...]:
    desk, found = bare(shelf), []
    planned: dict[str, int] = {}
    for line in lines:
        if line.gone:
            continue
        if isinstance(line.entry.event, ev.RunStarted):
            planned[line.entry.event.run] = line.entry.event.planned
        if part in desk.parts:
            if line.entry.seq in stages:
                found += _gates(desk, part, line.entry, stages[line.entry.seq].stage)
            found += _rules(desk, part, line.entry, planned)
        desk = one_more(desk, part, line.entry)
    return tuple(found)


# --- gates ---------------------------------------------------------------------------


def _gates(desk: Bench, code: str, entry: ev.Entry, stage: Stage) -> list[Shut]:
    event, part = entry.event, desk.parts[code]
    at = Now.at(entry.at, desk.boots)
    codes = STAGES[stage.kind].gates
    match event:
        case ev.LoadConfirmed(box=box):
            part = replace(part, box=box)
        case ev.SubmergeConfirmed(box=box, vessel=vessel):
            part = replace(part, box=box, vessel=vessel)
        case ev.BrushWetted(lot=lot, layer=layer):
            part = _with_lot(part, layer, lot)
        case ev.WalkStarted(lamp=lamp):
            part, codes = replace(part, lamp=lamp), LIT
        case ev.StageStarted(by_itself=False) | ev.PartReleased():
            pass
        case _:
            return []
    ask = Ask(part, stage, (code,))
    asked = desk.with_part(part)
    found = []
    for name in codes:
        gate = GATES[name]
        verdict = gate.check(asked, ask, at)
        if not is_open(asked, gate, verdict, at):
            found.append(Shut(entry.seq, gate.code, gate.title, verdict.sentence))
    return found


def _with_lot(part: Part, layer: str, lot: str) -> Part:
    if layer in part.work:
        work = replace(part.work[layer], lot=lot)
        return replace(part, work={**part.work, layer: work})
    if layer.startswith("stain"):
        return replace(part, stain_lot=lot)
    return replace(part, coat_lot=lot)


# --- rules that are no gates ---------------------------------------------------------


def _rules(
    desk: Bench, code: str, entry: ev.Entry, planned: dict[str, int]
) -> list[Shut]:
    part = desk.parts[code]
    found: list[tuple[str, str, str]] = []
    match entry.event:
        case ev.StageEnded(elapsed_ms=ms) if part.stage.kind in ("wash", "rinse"):
            found = _bath(desk, part, ms)
        case ev.CheckRecorded(check=check, passed=False):
            found = [("check-failed", "Checks", f"the check “{check}” failed")]
        case ev.DoseCredited(run=run, side=side, low=low, high=high):
            after = one_more(desk, code, entry)
            had = over(after, after.parts[code], side)
            recipe = desk.recipe_of(part)
            most = recipe.dose_max or limit(desk, "dose_stop") * recipe.total
            if low > planned.get(run, low) or (high and had + recipe.total > most):
                told = f"{low} of {planned.get(run, low)} set, over by {had} in all"
                found = [("over-dose", "Dose", told)]
        case _:
            pass
    return [Shut(entry.seq, gate, title, why) for gate, title, why in found]


def overfull(bench: Bench, found: Gathered, had: int, part: str) -> Iterator[Shut]:
    """Yield how a filling that had had so many was past its limit with the part in it.

    The card of each immersion has what was counted then, whoever else lay there.
    """
    filled = found.told.event
    assert isinstance(filled, ev.GlycerineFilled)  # noqa: S101 - it alone has a count
    most = int(limit(bench, "glycerine_immersions"))
    used = {each.seq for each in found.hanging}
    for line in true_lines(found.stories[part], part):
        event = line.entry.event
        if line.gone or line.entry.seq not in used:
            continue
        if isinstance(event, ev.SubmergeConfirmed) and event.vessel == filled.vessel:
            count = event.immersions - filled.immersions + had
            if count > most:
                told = f"{event.vessel}: {count} immersions, {most} allowed."
                yield Shut(line.entry.seq, "glycerine-count", "Glycerine", told)


def _bath(desk: Bench, part: Part, ms: int) -> list[tuple[str, str, str]]:
    stage, found = part.stage, []
    if ms < stage.min_s * MS:
        told = f"{clock(ms)}, at least {clock(stage.min_s * MS)} is needed"
        found.append(("too-early", stage.title, told))
    if stage.max_s and ms > stage.max_s * MS:
        told = f"{clock(ms)}, at most {clock(stage.max_s * MS)} is allowed"
        found.append(("over-wash", stage.title, told))
    most = desk.recipe_of(part).solvent_max_s * MS
    if stage.kind == "wash" and part.solvent_ms + ms > most:
        told = f"{clock(part.solvent_ms + ms)} in solvent, at most {clock(most)}"
        found.append(("solvent-time", stage.title, told))
    return found
