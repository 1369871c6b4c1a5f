"""One answer to "who needs me next", and what comes then.

First what being late harms soon (wet coats, alcohol, a tacked coat in the open), then
whatever a few seconds of hands set going or free, then the rest; inside each the
least slack, before harm or before the appointment. A box is freed before the part
that waits for it. The order and its times are common practice, no source.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from benchassist.domain.coat import answer_for, next_segment
from benchassist.domain.gates import GATES, ask_for, first_shut
from benchassist.domain.limits import LIMITS, limit
from benchassist.domain.plan import steps_ahead
from benchassist.domain.queue import NEVER_MS, Need, need
from benchassist.domain.stages import STAGES
from benchassist.domain.stagger import collision
from benchassist.domain.state import (
    Brushing,
    InRun,
    OnHold,
    Paused,
    Soaking,
    Walking,
)
from benchassist.value import replace, value

if TYPE_CHECKING:
    from collections.abc import Iterator

    from benchassist.clock import Instant
    from benchassist.domain.state import Bench, Part

MS = 1000
LOOKED_AT = 2  # the first and the next: beyond them no gate is asked
URGENT_MS = 10 * 60 * MS  # [ms] harm nearer than this goes before everything else
HOLD_AHEAD_MS = 15 * 60 * MS  # [ms] how long before its limit a hold is named

Act = Literal[
    "take out",
    "go on",
    "tell the run's end",
    "tack",
    "look",
    "resume",
    "start",
    "work by hand",
    "wet the brush",
    "load the box",
    "start the box",
    "submerge",
    "turn over",
    "put on hold",
    "check",
    "leave",
]
Reason = Literal[
    "wet coat", "alcohol", "tacked coat", "hold", "box", "appointment", "next"
]
# What takes seconds and then runs alone.
QUICK: frozenset[Act] = frozenset(
    {
        "take out",
        "go on",
        "tell the run's end",
        "start",
        "load the box",
        "start the box",
        "submerge",
        "turn over",
        "put on hold",
    }
)
GATED: frozenset[Act] = frozenset(
    {"start", "wet the brush", "load the box", "start the box", "submerge"}
)
# Gates that open by themselves, or once another part is out of the way.
PASSES = frozenset(
    {
        "previous-stage",
        "dry-before-box",
        "dry-before-coat",
        "box-occupied",
        "box-free-for-coat",
        "vessel-hot",
        "interruption",
    }
)
TIMED = frozenset({"dry-before-box", "dry-before-coat", "vessel-hot"})
GLYCERINE = ("glycerine-count", "own-glycerine")
HARMED: frozenset[Reason] = frozenset({"wet coat", "alcohol", "tacked coat", "hold"})


@value
class Task:
    """What a part (with its basket) needs hands for, and why it comes when it does.

    ``due_ms`` is how long until hands can do it, ``slack_ms`` how long they may
    take to get there; both from now. ``shut`` names the gate in the way.
    """

    part: str
    parts: tuple[str, ...]
    act: Act
    reason: Reason
    due_ms: int
    slack_ms: int
    shut: str = ""


@value
class Advice:
    """The one answer, and what comes then; nothing where nothing waits."""

    first: Task | None
    then: Task | None


def answer(bench: Bench, now: Instant) -> Advice:
    """Return who needs hands next, and who then.

    A first task whose ``due_ms`` is not past yet says: wait for it.
    """
    tasks = sorted(tasks_of(bench, now), key=_order)
    ahead = [task for task in tasks if task.due_ms > 0]
    ready: list[Task] = []
    later = list(ahead)
    for able in _doable(bench, tasks, now):
        task = _put_off(bench, able, ahead)
        (ready if task.due_ms <= 0 else later).append(task)
        if len(ready) == LOOKED_AT:
            break
    later.sort(key=lambda task: task.due_ms)
    if not ready:
        return Advice(*(*later, None, None)[:2])
    first = ready[0]
    meanwhile = (
        task
        for task in later
        if task.reason in HARMED and task.due_ms <= _busy_ms(bench, first)
    )
    then = next(meanwhile, None) or next(iter((*ready[1:], *later)), None)
    return Advice(first, then)


def tasks_of(bench: Bench, now: Instant) -> tuple[Task, ...]:
    """Return one task for every basket or part in flight that needs hands."""
    seen: set[str] = set()
    tasks = []
    for part in bench.in_flight:
        if part.code in seen:
            continue
        act = _act(bench, part)
        together = _together(bench, part, act)
        seen.update(together)
        if act is not None:
            tasks.append(_task(bench, part, act, together, now))
    return tuple(tasks)


def hand_over_list(bench: Bench, now: Instant) -> tuple[Task, ...]:
    """Return everything that runs or waits, the one nearest to harm first.

    An idle box, however long it stands, comes after what spoils a part soon.
    """
    tasks = tasks_of(bench, now)
    seen = {code for task in tasks for code in task.parts}
    alone = (
        Task(part.code, (part.code,), "leave", "next", 0, NEVER_MS)
        for part in bench.in_flight
        if part.code not in seen
    )
    return tuple(sorted((*tasks, *alone), key=_by_harm))


def _by_harm(task: Task) -> tuple[bool, int]:
    soon = task.reason in HARMED and task.slack_ms <= URGENT_MS
    return not soon, task.slack_ms


# --- what a part needs ---------------------------------------------------------


def _act(bench: Bench, part: Part) -> Act | None:
    mode = STAGES[part.stage.kind].mode
    match part.phase:
        case Soaking():
            # A submerging ends by itself, when its bubbles have had their time.
            return {"soak": "take out", "dry": "go on"}.get(mode)  # type: ignore[return-value]
        case InRun():
            return "tell the run's end"
        case Brushing() | Walking():
            return "tack"
        case Paused():
            return "look"
        case OnHold():
            return "resume"
        case _:
            return _ready_act(bench, part)


READY_ACTS: dict[str, Act] = {
    "soak": "start",
    "hand": "work by hand",
    "coat": "wet the brush",
    "box": "load the box",
    "submerge": "submerge",
    "flip": "turn over",
    "hold": "put on hold",
    "checks": "check",
}


def _ready_act(bench: Bench, part: Part) -> Act | None:
    act = READY_ACTS.get(STAGES[part.stage.kind].mode)
    load = bench.loads.get(part.box)
    if act == "load the box" and load is not None and part.code in load.parts:
        return "start the box"
    return act


def _together(bench: Bench, part: Part, act: Act | None) -> tuple[str, ...]:
    if isinstance(part.phase, InRun):
        return bench.runs[part.phase.run].parts
    load = bench.loads.get(part.box)
    if act == "start the box" and load is not None:
        return load.parts
    return bench.basket_of(part) if act in QUICK else (part.code,)


def _task(
    bench: Bench, part: Part, act: Act, together: tuple[str, ...], now: Instant
) -> Task:
    found = need(bench, part, now)
    reason = _reason(part, act, found)
    due_ms, slack_ms = found.due_ms, found.harm_ms
    if reason in ("appointment", "next"):
        slack_ms = min(_to_due_ms(bench, bench.parts[code], now) for code in together)
    if not isinstance(part.phase, Brushing | Walking | Paused):
        slack_ms -= int(limit(bench, "hands_ready_s") * MS)
    if isinstance(part.phase, OnHold):
        due_ms -= HOLD_AHEAD_MS
    elif act in ("start", "load the box", "start the box"):
        clash = collision(bench, part, now)
        due_ms = clash.wait_s * MS if clash else 0
    return Task(part.code, together, act, reason, due_ms, slack_ms)


def _reason(part: Part, act: Act, found: Need) -> Reason:
    if isinstance(part.phase, Brushing | Walking | Paused):
        return "wet coat"
    if isinstance(part.phase, InRun) or act == "turn over":
        return "box"
    if isinstance(part.phase, OnHold):
        return "hold"
    if found.harm_ms < NEVER_MS:
        return "alcohol" if isinstance(part.phase, Soaking) else "tacked coat"
    return "appointment" if part.due is not None else "next"


def _to_due_ms(bench: Bench, part: Part, now: Instant) -> int:
    if part.due is None:
        return NEVER_MS
    ahead = steps_ahead(bench, part, now, judged=False)
    return part.due.since(now) - sum(step.takes_ms for step in ahead)


def _order(task: Task) -> tuple[int, int]:
    if task.reason in HARMED and task.slack_ms <= URGENT_MS:
        return 0, task.slack_ms
    return (1 if task.act in QUICK else 2), task.slack_ms


# --- what can be done now ------------------------------------------------------


def _doable(bench: Bench, tasks: list[Task], now: Instant) -> Iterator[Task]:
    """Return what can be done now in order, what frees a box before who needs it.

    A gate that time or another part opens is waited for; one that a hand has to
    open is the thing to do.
    """
    done: set[str] = set()
    for task in tasks:
        if task.due_ms > 0 or task.part in done:
            continue
        shut, left_ms = _shut(bench, task, now)
        if shut in TIMED and left_ms > 0:
            yield replace(task, shut=shut, due_ms=left_ms)
            continue
        if shut in PASSES:
            for freeing in _frees(bench, task, shut, tasks):
                if freeing.part not in done:
                    done.add(freeing.part)
                    yield freeing
            continue
        done.add(task.part)
        yield replace(task, shut=shut)


def _shut(bench: Bench, task: Task, now: Instant) -> tuple[str, int]:
    """Return the gate that a task still finds shut, and for how long it says."""
    if task.act not in GATED:
        return "", 0
    part = bench.parts[task.part]
    # A coat is asked for with its whole basket, as the brush itself will be.
    ask = ask_for(bench, part, () if part.stage.layer else task.parts)
    found = first_shut(bench, ask, now)
    if found is None:
        return "", 0
    code, left_s = found[0].code, dict(found[1].numbers).get("left_s", 0.0)
    if code == "interruption" and not _segment_ms(bench, part):
        code = "light-check"  # no spot fits the wet limit: another lamp is wanted
    if code == "box-free-for-coat":
        # That gate asks for the glycerine too, and glycerine is not waited for.
        verdicts = ((each, GATES[each].check(bench, ask, now)) for each in GLYCERINE)
        spent = (each for each, verdict in verdicts if verdict.level == "fail")
        code = next(spent, code)
    return code, int(left_s * MS)


def _frees(bench: Bench, task: Task, shut: str, tasks: list[Task]) -> Iterator[Task]:
    """Return what makes the box free that a task waits for."""
    if shut not in ("box-occupied", "box-free-for-coat"):
        return
    box = bench.parts[task.part].box
    for other in tasks:
        same = bench.parts[other.part].box == box
        ends = other.act in ("tell the run's end", "start the box", "turn over")
        if same and ends and other.due_ms <= 0 and other.part != task.part:
            yield other


def _put_off(bench: Bench, task: Task, ahead: list[Task]) -> Task:
    """Put a brush off where hands would not be ready for what falls due meanwhile."""
    if task.act != "wet the brush":
        return task
    wet_ms = _segment_ms(bench, bench.parts[task.part])
    for other in ahead:
        if other.reason == "alcohol" and other.slack_ms < wet_ms:
            return replace(task, due_ms=other.due_ms, shut="interruption")
    return task


def _busy_ms(bench: Bench, task: Task) -> int:
    """Return how long a task keeps the hands from anything else."""
    part = bench.parts[task.part]
    if task.act in ("wet the brush", "tack", "look"):
        return _segment_ms(bench, part)
    code = f"hands_{part.stage.kind}_s"
    quick = task.act in QUICK or code not in LIMITS
    return int(limit(bench, "hands_ready_s" if quick else code) * MS)


def _segment_ms(bench: Bench, part: Part) -> int:
    segment = next_segment(bench, part, answer_for(bench, part).seconds)
    return segment.wet_s * MS if segment else 0
