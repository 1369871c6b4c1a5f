"""Will it make the appointment? The steps ahead, what they take, what to start now."""

from __future__ import annotations

from benchassist.clock import MS, Instant
from benchassist.domain.limits import limit
from benchassist.domain.plan import (
    Plan,
    Step,
    plan_for,
    polished,
    steps_ahead,
    steps_of,
)
from benchassist.domain.state import Bench, Closed, InRun, Part, Soaking
from benchassist.domain.words import clock, late, spare
from benchassist.ui.present.rows import when
from benchassist.ui.view import TableView
from benchassist.ui.words import say

HEADS = (say("When"), say("Step"), say("Takes"), say("Start by"), say("Known from"))
BASES = {
    "recipe": say("the recipe's times"),
    "box": say("the box's rate"),
    "light check": say("today's light, one lamp"),
    "estimate": say("estimate, too few own times"),
}


def page(bench: Bench, now: Instant) -> TableView:
    """Return the way of the part in front to its appointment."""
    part = bench.focused
    if part is None or isinstance(part.phase, Closed):
        return TableView(
            say("Appointment"), (), (), say("Choose a part first: F1 to F12.")
        )
    plan = plan_for(bench, part, now)
    if plan is None or part.due is None:
        steps = steps_ahead(bench, part, now)
        total = clock(sum(step.takes_ms for step in steps))
        return TableView(
            say("{code}: no due time", code=part.code),
            HEADS,
            tuple(_row(part, step, n, "") for n, step in enumerate(steps)),
            "",
            note=say(
                "What is ahead takes {total}. A due time is given at intake.",
                total=total,
            ),
        )
    title, note = _verdict(bench, part, plan, part.due, now)
    rows = tuple(
        _row(part, each.step, n, _by(each.latest, now))
        for n, each in enumerate(plan.steps)
    )
    return TableView(title, HEADS, rows, "", note=note)


def _row(part: Part, step: Step, n: int, latest: str) -> tuple[str, ...]:
    runs = isinstance(part.phase, Soaking | InRun)
    mark = ("runs" if runs else "now") if n == 0 else ""
    known = BASES.get(step.basis, say("own times, 80 % of {times}", times=step.times))
    takes = (
        say("{clock} left", clock=clock(step.takes_ms))
        if runs and n == 0
        else clock(step.takes_ms)
    )
    return mark, step.title, takes, latest, known


def _by(latest: Instant, now: Instant) -> str:
    """Return a latest start to the minute before it, and how late it is already."""
    behind_ms = now.most_since(latest)
    told = when(latest, now)
    return f"{told}, {late(behind_ms)}" if behind_ms > 0 else told


def _verdict(
    bench: Bench, part: Part, plan: Plan, due: Instant, now: Instant
) -> tuple[str, str]:
    first = plan.steps[0].step.title
    act = (
        say("Going on") if isinstance(part.phase, Soaking | InRun) else say("Start now")
    )
    if plan.slack_ms >= 0:
        title = say(
            "{code}, due {at}: {spare} to spare",
            code=part.code,
            at=when(due, now),
            spare=spare(plan.slack_ms),
        )
        rest = say("Not by {at}? Call the front desk.", at=when(plan.latest, now))
        return title, f"{act}: {first.lower()}. {rest}"
    ready = now.plus(plan.total_ms)
    title = say(
        "{code} will not make {at}: ready about {at2}",
        code=part.code,
        at=when(due, now),
        at2=when(ready, now),
    )
    return title, f"{_call(bench, due, now)} {_polish(bench, part, due, now)}".strip()


def _call(bench: Bench, due: Instant, now: Instant) -> str:
    """Return until when the front desk can still tell whoever comes."""
    by = due.plus(-int(limit(bench, "front_desk_s") * MS))
    if now.until(by) <= 0:
        return say("Call the front desk now.")
    return say("Call the front desk by {at}.", at=when(by, now))


def _polish(bench: Bench, part: Part, due: Instant, now: Instant) -> str:
    """Return what polishing instead of a coat would come to, where it is a way."""
    stages = polished(part, bench.recipe_of(part).dry_before_box_s)
    if not stages:
        return ""
    steps = steps_of(bench, part, stages, now)
    takes_ms = sum(step.takes_ms for step in steps)
    ready = now.plus(takes_ms)
    if takes_ms > now.until(due):
        return say("Polished instead it would be {at}: no help.", at=when(ready, now))
    told = when(ready, now)
    return say("Polished instead: ready {at}. The prescriber decides.", at=told)
