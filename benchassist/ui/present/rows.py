"""The parts in work as rows of NOW and LATER, the tags on the rail, and NEXT.

One source: what the NEXT line says are the words and the number of one of the rows,
which is marked. A row has one clock: how long it may wait, or when it is due.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType

from benchassist.clock import HOUR_MS, MS, Instant
from benchassist.domain.advice import HARMED, Task, order_of, tasks_at
from benchassist.domain.calls import TACKED, Word
from benchassist.domain.coat import coat_state
from benchassist.domain.order import URGENT_MS
from benchassist.domain.plan import plan_for
from benchassist.domain.queue import NEVER_MS, stay_ms
from benchassist.domain.runs import box_ms, length_ms
from benchassist.domain.standing import Standing, Standings
from benchassist.domain.state import (
    Bench,
    Closed,
    InRun,
    Part,
    Paused,
    Soaking,
)
from benchassist.domain.trays import KEYED
from benchassist.domain.words import clock
from benchassist.ui.present.shown import weekday
from benchassist.ui.view import Row, Slim, Tag
from benchassist.ui.words import say
from benchassist.value import replace

NO_PLANS: Mapping[str, int] = MappingProxyType({})
NO_HURRY = say("no hurry")
STOP, LATE, AFTER, AT_ONCE = say("stop"), say("late"), say("after"), say("now")


def in_work(
    at: Standings,
    *,
    gates: bool = True,
    slack: Mapping[str, int] = NO_PLANS,
) -> tuple[Row, ...]:
    """Return the rows, those of NOW first; one of them is marked as the next.

    Parts that start and end together share a row, named after the one in front if it
    is among them. ``slack`` is by how much each makes its time. The first
    paint asks no ``gates``, which may need sums.
    """
    wanted = tasks(at)
    order = {code: n for n, task in enumerate(wanted) for code in task.parts}
    harmed = {code for task in wanted if harms_soon(task) for code in task.parts}
    left = {part.code: None for part in at.bench.in_flight}
    rows: list[Row] = []
    while left:
        head, *others = _together(at.bench, next(iter(left)))
        rows.append(_row(at, head, tuple(others), gates=gates, slack=slack))
        for code in (head, *others):
            del left[code]
    rows.sort(key=lambda row: _place(at.of(row.code), row, order))
    if (test := _of_coupon(at)) is not None:
        sooner = (row.now or at.of(row.code).need.due_ms < test[0] for row in rows)
        rows.insert(sum(sooner), test[1])
    follows = _next(rows, order, harmed)
    return tuple(
        replace(row, next=True) if row.code == follows else row for row in rows
    )


def tasks(at: Standings) -> tuple[Task, ...]:
    """Return what needs hands, in the one order that everything is sorted by."""
    return tuple(sorted(tasks_at(at), key=order_of))


def slacks(bench: Bench, now: Instant) -> dict[str, int]:
    """Return by how much each part makes its appointment [ms], negative if not."""
    plans = (
        (part.code, plan_for(bench, part, now))
        for part in bench.in_flight
        if part.due is not None
    )
    return {code: plan.slack_ms for code, plan in plans if plan is not None}


def next_of(rows: Iterable[Row]) -> Row | None:
    """Return the row that the NEXT line says."""
    return next((row for row in rows if row.next), None)


def next_words(row: Row | None, *, short: bool = False) -> str:
    """Return the NEXT line: the words and the number of its row."""
    if row is None:
        return say("nothing else waits")
    what = row.far or row.line
    told = {"code": row.code, "what": what, "right": row.right}
    if not (row.late or row.now):
        if short:
            return say("{code}: {what}, in {right}", **told)
        return say("{code}: {what}, due in {right}", **told)
    if row.right[:1].isdigit() and not (row.late or short):
        return say("{code}: {what}, may wait {right}", **told)
    if short and not (row.late or row.right[:1].isdigit()):
        return say("{code}: {what}", **told)
    return say("{code}: {what}, {right}", **told)


def then_words(rows: tuple[Row, ...]) -> str:
    """Return what comes after NEXT, in few words."""
    first = next_of(rows)
    others = [row for row in rows if not row.focused and row is not first]
    if first is None or not others:
        return ""
    return say(
        "then {code}: {far}", code=others[0].code, far=others[0].far or others[0].line
    )


def slim(row: Row | None, pedal: str) -> Slim:
    """Return NEXT and PEDAL in the words of a page's slim line."""
    if row is None:
        return Slim(say("nothing"), "", pedal)
    if row.right == NO_HURRY:
        return Slim(row.code, "", pedal)  # its far letters have room for no more
    # How late stands in the list; a cut number says less.
    whole = len(row.right) <= SLIM and not row.after
    return Slim(row.code, row.right if whole else _short_right(row), pedal)


def tags(bench: Bench, rows: tuple[Row, ...]) -> tuple[Tag, ...]:
    """Return what hangs on the rail: the trays within reach of one set of keys."""
    hung = {row.tray: row for row in reversed(rows)}
    front = bench.focused
    far = (
        front is not None and front.tray > KEYED and not isinstance(front.phase, Closed)
    )
    first = KEYED * ((front.tray - 1) // KEYED) if front and far else 0
    return tuple(
        _tag(tray, hung.get(tray)) for tray in range(first + 1, first + KEYED + 1)
    )


def _tag(tray: int, row: Row | None) -> Tag:
    if row is None:
        return Tag(tray)
    return Tag(
        tray=tray,
        code=row.code,
        word=row.word,
        right=STOP if row.word == "STOP" else _short_right(row),
        fill=row.fill,
        needed=row.now,
        late=row.late,
        front=row.focused,
    )


def _short_right(row: Row) -> str:
    """Return the number or the word of a row, without whom or how long it waits."""
    if row.after:
        return AFTER
    brief = row.right[:1].isdigit() or row.right in (NO_HURRY, AT_ONCE)
    return row.right if brief else LATE


# --- one row ----------------------------------------------------------------------


def harms_soon(task: Task) -> bool:
    """Say whether being late with a task harms a part before long."""
    return task.reason in HARMED and task.slack_ms <= URGENT_MS


def _together(bench: Bench, code: str) -> tuple[str, ...]:
    """Return the parts of a basket that are at the same, the one in front first."""
    codes = bench.basket_of(bench.parts[code])
    at = codes.index(bench.focus if bench.focus in codes else code)
    return codes[at:] + codes[:at]


def _row(
    at: Standings,
    code: str,
    others: tuple[str, ...],
    *,
    gates: bool,
    slack: Mapping[str, int],
) -> Row:
    found, bench = at.of(code), at.bench
    part, word = found.part, at.word(code, gates=gates)
    line, far = doing(found, word)
    # A row has one number: of the parts that go through it, the first in need.
    alike = (each for each in (code, *others) if at.of(each).waits == found.waits)
    first = worst(at, alike)
    late = first.need.harm_ms < 0 and first.may_call(first.call, at.wet_ms)
    misses, after = slack.get(code, 0) < 0, found.after if gates else ""
    chip, short = _chip(part, found.now, misses=misses)
    return Row(
        code=code,
        klass=kind_words(bench, part, 1 + len(others)),
        line=line,
        right=_right(first, after, misses=misses),
        after=after,
        word=word,
        fill=_fill(bench, part, found.now),
        focused=code == at.about,
        late=late,
        key=key_of(part.tray),
        others=others,
        now=not found.waits,
        chip=chip,
        chip_short=short,
        far=far,
        tray=part.tray,
    )


SLIM = 9  # [characters] of "late 9:59", which still fit beside a code
# Titles too long for the far line of a narrow screen.
FAR_TITLES = {"fit": say("fit on the model")}


def key_of(tray: int) -> str:
    """Return the key of a tray, as the keyboard names it."""
    return f"F{tray}" if tray <= KEYED else f"Shift+F{tray - KEYED}"


def kind_words(bench: Bench, part: Part, count: int = 1) -> str:
    """Return what a part is: ``crown``, or ``3 crowns`` for a basket."""
    kind = bench.recipe_of(part).item_class
    return say("{count} {kind}s", count=count, kind=kind) if count > 1 else kind


def doing(at: Standing, word: Word | None = None) -> tuple[str, str]:
    """Return what a part is at in a row's words, and shorter for the far line."""
    part, title = at.part, at.part.stage.title.lower()
    layer = part.stage.layer.replace("-", " ") or title
    if word == "STOP":
        shut = at.shut[0].title.lower() if at.shut else title
        return f"{title}: {shut}", title
    row = TACKED if at.tacked and at.asked == "card" else at.call
    near, far = row.line, row.far
    if at.asked == "on-hold" and part.stage.layer and coat_state(part) == "tacked":
        near = "covered, {layer} tacked"
    told = {"title": title, "layer": layer, "patch": getattr(part.phase, "segment", "")}
    far = far.format(**told) or FAR_TITLES.get(part.stage.kind, "")
    return near.format(**told), far


def _of_coupon(at: Standings) -> tuple[int, Row] | None:
    """Return when an open coupon test not in front is due [ms], and its row."""
    bench, run = at.bench, at.bench.coupon
    if run is None or run.front:
        return None
    code, whole_ms = (
        run.coupon.id,
        box_ms(bench.boxes[run.coupon.box], run.coupon.count),
    )
    due_ms = whole_ms - at.now.since(run.boxed) if run.boxed is not None else 0
    if due_ms > 0:
        told, fill = say("coupon in the box"), 1 - due_ms / whole_ms
        return due_ms, Row(code, "", told, clock(due_ms), "WAIT", fill)
    told = say("coupon test: go on")
    return 0, Row(code, "", told, NO_HURRY, "ASK", 0.0, now=True)


def _place(at: Standing, row: Row, order: dict[str, int]) -> tuple[bool, int, int]:
    """Sort NOW by what hands do first, LATER by when each is due."""
    tray = at.part.tray
    if row.now:
        return False, order.get(row.code, len(order)), tray
    return True, at.need.due_ms, tray


def _next(rows: list[Row], order: dict[str, int], harmed: set[str]) -> str:
    """Return the part that the NEXT line is about.

    Of the rows not in front, the one whose harm comes first; where none is near harm,
    the first whose hands are needed, and else the first that is due. What has to wait
    for another is not among them.
    """
    others = [row for row in rows if not row.focused]
    others = [row for row in others if not row.after] or others
    soon = [row for row in others if row.code in harmed]
    if soon:
        return min(soon, key=lambda row: order[row.code]).code
    return others[0].code if others else ""


def worst(every: Standings, codes: Iterable[str]) -> Standing:
    """Return where that part of several stands which is harmed, or due, first."""
    return min(map(every.of, codes), key=lambda at: (at.need.harm_ms, at.need.due_ms))


def clocks(at: Standing) -> tuple[str, str]:
    """Return when a part is due, and how long until being late harms it, in words.

    Either is empty where there is none; these are the numbers of its row.
    """
    due = _short(at.need.due_ms) if at.waits and at.need.due_ms > 0 else ""
    harm_ms = at.need.harm_ms
    if harm_ms < 0:
        return due, say("late {clock}", clock=clock(-harm_ms // MS * MS))
    return due, _short(harm_ms) if harm_ms < NEVER_MS else ""


def _right(at: Standing, after: str, *, misses: bool) -> str:
    due, harm = clocks(at)
    if at.need.harm_ms < 0:
        return harm
    if at.waits:
        return due or _short(at.need.due_ms)
    if after:
        return say("after {after}", after=after)
    if harm:
        return harm
    return AT_ONCE if misses else NO_HURRY


def _chip(part: Part, now: Instant, *, misses: bool) -> tuple[str, str]:
    """Return an appointment, a time of day and never a countdown; and in short."""
    if part.due is None:
        return "", ""
    told = when(part.due, now)
    if misses:
        return (say("misses {when}", when=told),) * 2
    return say("for {when}", when=told), told


def when(at: Instant, now: Instant) -> str:
    """Return a time of day, with its day where that is another."""
    local = at.local()
    today = local.date() == now.local().date()
    return f"{local:%H:%M}" if today else f"{weekday(local)} {local:%H:%M}"


def _short(ms: int) -> str:
    return f"{round(ms / HOUR_MS)} h" if ms >= 2 * HOUR_MS else clock(ms)


def _fill(bench: Bench, part: Part, now: Instant) -> float:
    phase = part.phase
    if isinstance(phase, Soaking) and part.stage.min_s:
        return min(1.0, stay_ms(part, phase, now) / (part.stage.min_s * MS))
    if isinstance(phase, InRun):
        run = bench.runs[phase.run]
        whole = length_ms(run, bench.boxes[run.box])
        return min(1.0, now.most_since(run.started) / max(1, whole))
    if isinstance(phase, Paused):
        return 0.0
    return part.at / len(part.route)
