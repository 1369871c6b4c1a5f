"""One answer to "who needs me next", and what comes then.

Three classes: what being late harms (wet coats, alcohol, a tacked coat in the open),
then the machines that a few seconds of hands set going, then the rest by the time
left to its appointment. Inside a class the least slack goes first. Whatever a late
part needs from a box is done before the part, because it waits for that. The
classes and times are common practice, no source.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from benchassist.domain.coat import answer_for, next_segment
from benchassist.domain.gates import ask_for, first_shut
from benchassist.domain.limits import limit
from benchassist.domain.plan import steps_ahead
from benchassist.domain.queue import NEVER_MS, Need, need
from benchassist.domain.stages import STAGES
from benchassist.domain.state import (
    Brushing,
    InRun,
    OnHold,
    Paused,
    Soaking,
    Walking,
)
from benchassist.value import value

if TYPE_CHECKING:
    from collections.abc import Iterator

    from benchassist.clock import Instant
    from benchassist.domain.state import Bench, Part

MS = 1000
OFFER_S = 30  # [s] a later start is offered in steps of this
MOST_OFFERS = 20
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
]
Reason = Literal["wet coat", "alcohol", "tacked coat", "box", "appointment", "next"]
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
HARMED: frozenset[Reason] = frozenset({"wet coat", "alcohol", "tacked coat"})


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
class Collision:
    """Two unattended ends too close together; ``wait_s`` keeps them apart."""

    part: str
    other: str
    at: Instant
    wait_s: int


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
    able = [*_doable(bench, tasks, now)]
    later = sorted(
        (task for task in tasks if task.due_ms > 0), key=lambda task: task.due_ms
    )
    able = [_fits(bench, task, later, now) for task in able]
    able.sort(key=lambda task: task.due_ms > 0)
    line = [task for task in able if task.due_ms <= 0]
    rest = sorted(
        {task.part: task for task in (*able, *later) if task not in line}.values(),
        key=lambda task: task.due_ms,
    )
    line += rest
    return Advice(line[0] if line else None, line[1] if len(line) > 1 else None)


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
    """Return everything that runs or waits, the one nearest to harm first."""
    return tuple(sorted(tasks_of(bench, now), key=lambda task: task.slack_ms))


def collision(bench: Bench, part: Part, now: Instant) -> Collision | None:
    """Return with whose end this part's would collide if it were started now."""
    length = _alone_ms(bench, part)
    if length is None:
        return None
    close_ms = int(limit(bench, "stagger_s") * MS)
    ends = tuple(_ends(bench, part, now))
    near = [end for end in ends if abs(end.due_ms - length) <= close_ms]
    if not near:
        return None
    wait_s = next(
        offered
        for n in range(1, MOST_OFFERS + len(ends) * MOST_OFFERS)
        if all(
            abs(end.due_ms - length - (offered := n * OFFER_S) * MS) > close_ms
            for end in ends
        )
    )
    nearest = min(near, key=lambda end: abs(end.due_ms - length))
    return Collision(part.code, nearest.part, now.plus(nearest.due_ms), wait_s)


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
        due_ms = max(0, found.due_ms - HOLD_AHEAD_MS)
    elif act in ("start", "load the box", "start the box"):
        clash = collision(bench, part, now)
        due_ms = clash.wait_s * MS if clash else 0
    return Task(part.code, together, act, reason, due_ms, slack_ms)


def _reason(part: Part, act: Act, found: Need) -> Reason:
    if isinstance(part.phase, Brushing | Walking | Paused):
        return "wet coat"
    if isinstance(part.phase, InRun) or act == "turn over":
        return "box"
    if found.harm_ms < NEVER_MS and not isinstance(part.phase, OnHold):
        return "alcohol" if isinstance(part.phase, Soaking) else "tacked coat"
    return "appointment" if part.due is not None else "next"


def _to_due_ms(bench: Bench, part: Part, now: Instant) -> int:
    if part.due is None:
        return NEVER_MS
    ahead = steps_ahead(bench, part, now, judged=False)
    return part.due.since(now) - sum(step.takes_ms for step in ahead)


def _order(task: Task) -> tuple[int, int]:
    if task.reason in HARMED:
        return 0, task.slack_ms
    return (1 if task.act in QUICK else 2), task.slack_ms


# --- what can be done now ------------------------------------------------------


def _doable(bench: Bench, tasks: list[Task], now: Instant) -> Iterator[Task]:
    """Return what can be done now in order, what frees a box before who needs it."""
    done: set[str] = set()
    for task in tasks:
        if task.due_ms > 0 or task.part in done:
            continue
        shut = _shut(bench, task, now)
        if shut:
            for freeing in _frees(bench, task, shut, tasks):
                if freeing.part not in done:
                    done.add(freeing.part)
                    yield freeing
            continue
        done.add(task.part)
        yield task


def _shut(bench: Bench, task: Task, now: Instant) -> str:
    if task.act in ("check", "work by hand", "take out", "go on", "tack", "look"):
        return ""
    part = bench.parts[task.part]
    if task.act in ("tell the run's end", "resume", "put on hold", "turn over"):
        return ""
    found = first_shut(bench, ask_for(bench, part, task.parts), now)
    return found[0].code if found else ""


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


def _fits(bench: Bench, task: Task, later: list[Task], now: Instant) -> Task:
    """Put a brush off where hands would not be ready for what falls due meanwhile."""
    if task.act != "wet the brush":
        return task
    part = bench.parts[task.part]
    segment = next_segment(bench, part, answer_for(bench, part).seconds)
    if segment is None:
        return task
    for other in later:
        if other.reason == "alcohol" and other.slack_ms < segment.wet_s * MS:
            return Task(
                task.part,
                task.parts,
                task.act,
                task.reason,
                other.due_ms,
                task.slack_ms,
                "interruption",
            )
    return task


# --- ends that nobody attends --------------------------------------------------


def _alone_ms(bench: Bench, part: Part) -> int | None:
    """Return how long a part would run alone from now; None where it would not."""
    mode = STAGES[part.stage.kind].mode
    if mode == "soak":
        return part.stage.min_s * MS or None
    box = bench.boxes.get(part.box)
    if mode != "box" or box is None or not part.stage.runs:
        return None
    load = bench.loads.get(part.box)
    count = load.count if load else part.stage.runs[0]
    return round(count / box.rate_hz * MS) + box.start_allowance_s * MS


def _ends(bench: Bench, part: Part, now: Instant) -> Iterator[Need]:
    """Return the ends still ahead of whatever runs alone beside a part's basket."""
    mine = bench.basket_of(part)
    for other in bench.in_flight:
        runs = isinstance(other.phase, Soaking | InRun)
        if runs and other.code not in mine:
            found = need(bench, other, now)
            if found.due_ms > 0:
                yield found
