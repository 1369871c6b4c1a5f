"""One answer to "who needs me next", and what comes then.

First what being late harms soon (wet coats, alcohol, a tacked coat in the open), the
least time first; then by appointment, a basket by its earliest, and of two for one
time the one with less slack. Played over 200 random days that keeps more promises than
least slack first, which spreads lateness over everybody: ``day_ahead`` plays it and
``tests/benchmarks/test_day_ahead.py`` holds the figures. A box is freed before the
part that waits for it. The times are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from benchassist.clock import MS, Instant
from benchassist.domain.calls import GATED, QUICK, Act, Reason
from benchassist.domain.coat import answer_for, next_segment
from benchassist.domain.gates import judge
from benchassist.domain.limits import LIMITS, limit
from benchassist.domain.order import AS_DUE, RANKS, URGENT_MS, Key, order
from benchassist.domain.queue import NEVER_MS, Need
from benchassist.domain.stagger import collision
from benchassist.domain.standing import Standing, Standings
from benchassist.domain.state import (
    Bench,
    InRun,
    OnHold,
    Part,
    Soaking,
)
from benchassist.value import replace, value

LOOKED_AT = 2  # the first and the next: beyond them no gate is asked
HOLD_AHEAD_MS = 15 * 60 * MS  # [ms] how long before its limit a hold is named

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
TIMED = frozenset({"dry-before-box", "dry-before-coat", "vessel-hot", "interruption"})
GLYCERINE = ("glycerine-count", "own-glycerine")
HARMED: frozenset[Reason] = frozenset({"wet coat", "alcohol", "tacked coat", "hold"})


@value
class Task:
    """What a part (with its basket) needs hands for, and why it comes when it does.

    ``due_ms`` is how long until hands can do it, ``slack_ms`` how long they may
    take to get there; both from now, and so is ``promise_ms``, the earliest
    appointment among its parts. ``shut`` names the gate in the way; ``said`` is what a
    hand said of it, the first of what it said of its parts.
    """

    part: str
    parts: tuple[str, ...]
    act: Act
    reason: Reason
    due_ms: int
    slack_ms: int
    shut: str = ""
    promise_ms: int = NEVER_MS
    said: int = AS_DUE


@value
class Advice:
    """The one answer, and what comes then; nothing where nothing waits."""

    first: Task | None
    then: Task | None


def answer(bench: Bench, now: Instant, at: Standings | None = None) -> Advice:
    """Return who needs hands next, and who then.

    A first task whose ``due_ms`` is not past yet says: wait for it.
    """
    at = at or Standings(bench, now)
    tasks = sorted(tasks_at(at), key=order_of)
    ahead = [task for task in tasks if task.due_ms > 0]
    ready: list[Task] = []
    later = list(ahead)
    for task in _doable(tasks, at):
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
    return tasks_at(Standings(bench, now))


def tasks_at(at: Standings) -> tuple[Task, ...]:
    """Return the same of a look that has asked where every part stands."""
    seen: set[str] = set()
    tasks = []
    for part in at.bench.in_flight:
        if part.code in seen:
            continue
        standing = at.of(part.code)
        act = standing.call.act
        together = _together(at.bench, part, act)
        seen.update(together)
        if act is not None:
            tasks.append(_task(at, standing, act, together))
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


def _together(bench: Bench, part: Part, act: Act | None) -> tuple[str, ...]:
    if isinstance(part.phase, InRun):
        return bench.runs[part.phase.run].parts
    load = bench.loads.get(part.box)
    if act == "start the box" and load is not None:
        return load.parts
    return bench.basket_of(part) if act in QUICK else (part.code,)


def _task(every: Standings, at: Standing, act: Act, together: tuple[str, ...]) -> Task:
    bench, part, now, found = at.bench, at.part, at.now, at.need
    reason = at.call.reason or _reason(part, found)
    due_ms, slack_ms = found.due_ms, found.harm_ms
    if reason in ("appointment", "next"):
        slack_ms = min(_to_due_ms(every, bench.parts[code]) for code in together)
    if not at.call.in_hand:
        slack_ms -= int(limit(bench, "hands_ready_s") * MS)
    if isinstance(part.phase, OnHold):
        due_ms -= HOLD_AHEAD_MS
    elif act in ("start", "load the box", "start the box"):
        clash = collision(bench, part, now, every.ends)
        due_ms = clash.wait_s * MS if clash else 0
    promise_ms = min(_promise_ms(bench.parts[code], now) for code in together)
    said = min(RANKS[bench.wishes.get(code, "as due")] for code in together)
    return Task(
        part.code,
        together,
        act,
        reason,
        due_ms,
        slack_ms,
        promise_ms=promise_ms,
        said=said,
    )


def _reason(part: Part, found: Need) -> Reason:
    if found.harm_ms < NEVER_MS:
        return "alcohol" if isinstance(part.phase, Soaking) else "tacked coat"
    return "appointment" if part.due is not None else "next"


def _promise_ms(part: Part, now: Instant) -> int:
    return NEVER_MS if part.due is None else now.until(part.due)


def _to_due_ms(every: Standings, part: Part) -> int:
    if part.due is None:
        return NEVER_MS
    return every.now.until(part.due) - every.ahead_ms(part)


def order_of(task: Task) -> Key:
    """Return what tasks are sorted by, everywhere."""
    harm_ms = task.slack_ms if task.reason in HARMED else NEVER_MS
    long = task.act not in QUICK
    return order(harm_ms, task.promise_ms, task.slack_ms, long=long, said=task.said)


# --- what can be done now ------------------------------------------------------


def _doable(tasks: list[Task], at: Standings) -> Iterator[Task]:
    """Return what can be done now in order, what frees a box before who needs it.

    A gate that time or another part opens is waited for; one that a hand has to
    open is the thing to do.
    """
    done: set[str] = set()
    for task in tasks:
        if task.due_ms > 0 or task.part in done:
            continue
        shut, left_ms = _shut(task, at)
        if shut in TIMED and left_ms > 0:
            yield replace(task, shut=shut, due_ms=left_ms)
            continue
        if shut in PASSES:
            for freeing in _frees(at.bench, task, shut, tasks):
                if freeing.part not in done:
                    done.add(freeing.part)
                    yield freeing
            continue
        done.add(task.part)
        yield replace(task, shut=shut)


def _shut(task: Task, at: Standings) -> tuple[str, int]:
    """Return the gate that a task still finds shut, and for how long it says."""
    standing = at.of(task.part)
    if task.act not in GATED or standing.shut is None:
        return "", 0
    gate, verdict = standing.shut
    code, left_s = gate.code, dict(verdict.numbers).get("left_s", 0.0)
    if code == "interruption" and not _segment_ms(at.bench, standing.part):
        code = "light-check"  # no spot fits the wet limit: another lamp is wanted
    if code == "box-free-for-coat":
        # That gate asks for the glycerine too, and glycerine is not waited for.
        found = (judge(at.bench, each, standing.ask, at.now) for each in GLYCERINE)
        code = next((g.code for g, spent in found if spent.level == "fail"), code)
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
