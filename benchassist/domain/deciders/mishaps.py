"""What now: a mishap told by hand becomes its branch, written down."""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.coat import coat_state
from benchassist.domain.deciders.away import still
from benchassist.domain.deciders.box import tell_run_end
from benchassist.domain.deciders.common import back, deviation, drying, find
from benchassist.domain.deciders.stages import out_of_bath, take_out
from benchassist.domain.deciders.table import decides
from benchassist.domain.limits import limit
from benchassist.domain.mishaps import MISHAPS
from benchassist.domain.mishaps.kind import Branch, Case, Mishap, amiss
from benchassist.domain.outcome import Decision, Refusal, granted
from benchassist.domain.state import Bench, Part
from benchassist.value import replace

SCRAP = "Scrap it, or ask the prescriber: it was reworked {} times before."


def branch_for(
    bench: Bench, part: Part, mishap: Mishap, answers: tuple[str, ...], now: Instant
) -> Branch | Refusal:
    """Return the branch of a mishap, to be shown before it is told for good."""
    if not mishap.when(bench, part):
        return Refusal(
            "not-now",
            f"“{mishap.title}” cannot have happened to {part.code} where it stands.",
            part=part.code,
        )
    wrong = amiss(mishap.questions(bench, part, answers), answers)
    if wrong:
        return Refusal("answers", wrong, part=part.code)
    found = mishap.branch(Case(bench, part, answers, now))
    if found.rework and part.reworks >= limit(bench, "reworks_max"):
        return _third_rework(part, found)
    return found


def _third_rework(part: Part, found: Branch) -> Branch:
    asked = SCRAP.format(part.reworks)
    return replace(found, steps=(asked, *found.steps), scrap=True)


@decides(cm.ReportMishap)
def report(bench: Bench, command: cm.ReportMishap, now: Instant) -> Decision:
    """Write a mishap down: what was told, what is stopped, what follows."""
    part = find(bench, command.part)
    mishap = MISHAPS.get(command.mishap)
    if mishap is None:
        known = ", ".join(MISHAPS)
        return Refusal("no-such-mishap", f"“{command.mishap}” is none of: {known}.")
    found = granted(branch_for(bench, part, mishap, command.answers, now))
    led = _led(bench, part, found, now)
    told = ev.MishapReported(
        part=part.code,
        mishap=mishap.code,
        coat=coat_state(part),
        answers=command.answers,
        title=found.title,
        steps=found.steps,
        numbers=found.numbers,
        scrap=found.scrap,
    )
    stood = still(bench, part, "not done", now)[0] if found.stops else ()
    opened = _deviation(bench, found, led)
    # Where scrap is advised it is asked for, and every such branch is a deviation.
    asked = (ev.ScrapAsked(part.code, each.deviation) for each in opened if found.scrap)
    dries = _dries(found.events)
    return (
        *back(bench, now),
        *led,  # what ends a stage takes its advice away: it comes first
        told,
        *stood,
        *found.events,
        *dries,
        *opened,
        *asked,
    )


def _dries(events: tuple[ev.Event, ...]) -> tuple[ev.Event, ...]:
    """Return the drying that begins by itself where a changed route begins with it."""
    changed = (event for event in events if isinstance(event, ev.RouteChanged))
    begun = (drying(each.part, each.route[each.at :]) for each in changed)
    return tuple(event for events in begun for event in events)


def _led(bench: Bench, part: Part, found: Branch, now: Instant) -> tuple[ev.Event, ...]:
    """Return what a branch leads to in box or wash: by what it tells, or a new route.

    Time in a bath that a part leaves by another route counts as any other.
    """
    if isinstance(found.told, cm.TakeOut):
        return granted(take_out(bench, found.told, now))
    if found.told is not None:
        return granted(tell_run_end(bench, found.told, now))
    leaves = any(isinstance(event, ev.RouteChanged) for event in found.events)
    return out_of_bath(bench, part, now) if leaves else ()


def _deviation(
    bench: Bench, found: Branch, led: tuple[ev.Event, ...]
) -> tuple[ev.DeviationOpened, ...]:
    wanted = found.deviation
    if wanted is None:
        return ()
    before = sum(1 for event in led if isinstance(event, ev.DeviationOpened))
    return (deviation(bench, wanted.rule, wanted.parts, wanted.text, offset=before),)
