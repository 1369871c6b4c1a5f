"""The day ahead on one page: every part's rest, its promise, and what to put back."""

from __future__ import annotations

from collections.abc import Generator, Iterable, Iterator
from typing import NamedTuple

from benchassist.clock import MINUTE_MS, MS, Instant
from benchassist.domain import commands as cm
from benchassist.domain.brush_window import brush_window
from benchassist.domain.day_ahead import Outlook, Promise, look_ahead
from benchassist.domain.day_play import Bar
from benchassist.domain.day_rules import Known, call_about, known, rules_of
from benchassist.domain.day_ways import is_estimate, ways_of
from benchassist.domain.order import Wish
from benchassist.domain.state import Bench, Part
from benchassist.domain.wet import wet_limit_ms
from benchassist.domain.words import clock, listed
from benchassist.ui.actions import OpenPage
from benchassist.ui.present.day_chart import LEAST_MS, DayBar, DayRow, DayView, ticks
from benchassist.ui.present.fill import Gap
from benchassist.ui.present.hands import keyed
from benchassist.ui.present.rows import key_of, kind_words, when
from benchassist.ui.present.shown import day_of
from benchassist.ui.view import Option, Tone
from benchassist.ui.words import say
from benchassist.value import replace, value

OLD_MS = MINUTE_MS  # [ms] a plan so old says so
TOUCH_MS = MINUTE_MS  # [ms] two bars so close are drawn as one
AGAIN_MS = 15 * MINUTE_MS  # [ms] after which the day is played anew in any case
TONES: dict[str, Tone] = {"holds": "good", "open": "plain", "will not": "attention"}
WISHES: dict[str, str] = {
    "first": say("first"),
    "back": say("put back"),
    "not today": say("not today"),
}
WISHED: dict[Wish, str] = {
    "first": say("first"),
    "back": say("back"),
    "not today": say("not today"),
    "as due": say("as due again"),
}
WHY_SET = "set on the day page"
CHANGED = (
    ("calls_per_h", say("Calls"), say("Calls away in an hour")),
    ("call_s", say("Call length"), say("Seconds that a call takes")),
    ("walk_in_min", say("Kept free"), say("Minutes a day kept for who comes in")),
)


class Moment(NamedTuple):
    """Now, and how long ago the day was played."""

    now: Instant
    past_ms: int


@value
class Seen:
    """An answer, and of when and of what it is."""

    outlook: Outlook
    at: Instant
    asked: Asked


@value
class Asked:
    """What an answer hangs on: another one of these is played anew at once.

    ``stages`` count only once the answer is a minute old: every act changes them.
    """

    parts: tuple[str, ...]
    wishes: tuple[tuple[str, str], ...]
    kept: tuple[str, ...]
    limits: tuple[float, ...]
    stages: tuple[str, ...] = ()


def asked(bench: Bench) -> Asked:
    """Return what an answer of now hangs on."""
    codes = ("calls_per_h", "call_s", "walk_in_min")
    return Asked(
        tuple(part.code for part in bench.in_flight),
        tuple(sorted(bench.wishes.items())),
        tuple(sorted(bench.kept_in_turn)),
        tuple(bench.limits.get(code, 0.0) for code in codes),
        tuple(part.stage.key for part in bench.in_flight),
    )


def is_stale(seen: Seen | None, bench: Bench, now: Instant) -> bool:
    """Return whether the day is to be played anew."""
    if seen is None:
        return True
    new, age_ms = asked(bench), now.since(seen.at)
    if age_ms >= AGAIN_MS or _but_stages(new) != _but_stages(seen.asked):
        return True
    return age_ms >= OLD_MS and new.stages != seen.asked.stages


def _but_stages(found: Asked) -> tuple[object, ...]:
    return found.parts, found.wishes, found.kept, found.limits


def playing(bench: Bench, now: Instant) -> Generator[None, None, Seen]:
    """Play the day as it stands, giving way at every yield."""
    ways = ways_of(bench, now)
    yield
    rules = rules_of(bench, ways, known(bench, ways))
    outlook = yield from look_ahead(ways, rules)
    return Seen(outlook, now, asked(bench))


def view(bench: Bench, now: Instant, seen: Seen | None) -> DayView:
    """Return the page; without an answer yet it says that the day is being played."""
    local = now.local()
    page = DayView(
        say("Day, {day}", day=day_of(local)),
        _at(now),
        _notes(bench, now, seen),
        _options(bench, seen),
    )
    count = len(bench.in_flight)
    if not count:
        return replace(page, why=say("Nothing is in work. Key N takes a part in."))
    it = "part" if count == 1 else "parts"
    page = replace(
        page,
        line=say("{count} {it} in work, rows are trays", count=count, it=it),
        ticks=ticks(now, LEAST_MS),
    )
    if seen is None:
        rows = tuple(_bare(bench, part) for part in _in_turn(bench))
        return replace(page, rows=rows, why=say("The day is being played."))
    past = now.since(seen.at)
    found = {each.code: each for each in seen.outlook.promises}
    rows = tuple(
        _row(bench, group, found, seen.outlook.bars, Moment(now, past))
        for group in _groups(bench, found)
    )
    until = max(LEAST_MS, *(_last(row, now) for row in rows)) if rows else LEAST_MS
    far, why = _far(seen.outlook, now, past)
    return replace(
        page,
        right=_age(seen, now),
        until_ms=until,
        ticks=ticks(now, until),
        rows=rows,
        lanes=_lanes(bench, seen.outlook.bars, past),
        far=far,
        why=why,
    )


def _at(at: Instant) -> str:
    return f"{at.local():%H:%M}"


def _age(seen: Seen, now: Instant) -> str:
    """Return of when the plan is; one that is a minute old says so."""
    age_ms = now.since(seen.at)
    if age_ms < OLD_MS:
        return say("played at {at}", at=_at(seen.at))
    return say("this plan is {clock} old", clock=clock(age_ms // MINUTE_MS * MINUTE_MS))


def _in_turn(bench: Bench) -> tuple[Part, ...]:
    """Return the parts by tray, as the rail has them."""
    return tuple(sorted(bench.in_flight, key=lambda part: (part.tray or 99, part.code)))


def _bare(bench: Bench, part: Part) -> DayRow:
    return DayRow(
        key_of(part.tray),
        part.code,
        kind_words(bench, part),
        front=part.code == bench.focus,
    )


def _groups(bench: Bench, found: dict[str, Promise]) -> Iterator[tuple[Part, ...]]:
    """Yield who shares a row: of one tray, for one time, with one promise."""
    groups: dict[tuple[object, ...], list[Part]] = {}
    for part in _in_turn(bench):
        if part.code in found:
            due = part.due.wall_ms if part.due else None
            verdict, wish = found[part.code].verdict, bench.wishes.get(part.code)
            of = (part.tray, part.recipe, due, verdict, wish)
            groups.setdefault(of, []).append(part)
    return map(tuple, groups.values())


def _row(
    bench: Bench,
    group: tuple[Part, ...],
    found: dict[str, Promise],
    bars: tuple[Bar, ...],
    at: Moment,
) -> DayRow:
    part, codes = group[0], [each.code for each in group]
    mine = [found[code] for code in codes]
    done = max(0, max(each.median_ms for each in mine) - at.past_ms)
    words, tone = _promised(bench, group, mine[0], at.now, done)
    return DayRow(
        key=key_of(part.tray),
        code=part.code,
        what=kind_words(bench, part, len(group)),
        bars=_bars((bar for bar in bars if bar.code in codes), at.past_ms),
        due_ms=at.now.until(part.due) if part.due else None,
        done_ms=done,
        late_ms=max(0, max(each.eighty_ms for each in mine) - at.past_ms),
        right=words,
        tone=tone,
        front=bench.focus in codes,
    )


def _promised(
    bench: Bench, group: tuple[Part, ...], promise: Promise, now: Instant, done_ms: int
) -> tuple[str, Tone]:
    part, ready = group[0], _at(now.plus(done_ms))
    wish = bench.wishes.get(part.code, "")
    said = f", {WISHES[wish]}" if wish else ""
    guess = say(", estimate") if any(is_estimate(bench, each) for each in group) else ""
    if part.due is None:
        return f"{ready}{guess}{said}", "quiet"
    told = say(
        "{ready} for {day_and_time}", ready=ready, day_and_time=when(part.due, now)
    )
    if not promise.counted:
        return f"{told}{guess}{said}", "quiet"
    return f"{told}, {promise.verdict}{guess}{said}", TONES[promise.verdict]


def _last(row: DayRow, now: Instant) -> int:
    """Return how far a row reaches today; what is due another day is not drawn."""
    local = now.local()
    tonight = (24 * 60 - local.hour * 60 - local.minute) * MINUTE_MS
    reach = (row.late_ms, row.due_ms or 0)
    return max((ms for ms in reach if ms <= tonight), default=0) + 10 * MINUTE_MS


def _bars(bars: Iterable[Bar], past: int) -> tuple[DayBar, ...]:
    """Return what is still ahead; bars of a kind that touch are one."""
    found: list[DayBar] = []
    last: dict[str, int] = {}
    for bar in sorted(bars, key=lambda bar: bar.start_ms):
        start, end = max(0, bar.start_ms - past), bar.end_ms - past
        if end <= 0:
            continue
        n = last.get(bar.kind)
        if n is not None and start - found[n].end_ms <= TOUCH_MS:
            joined = max(end, found[n].end_ms)
            found[n] = DayBar(bar.kind, found[n].start_ms, joined)
            continue
        last[bar.kind] = len(found)
        found.append(DayBar(bar.kind, start, end))
    return tuple(found)


def _lanes(bench: Bench, bars: tuple[Bar, ...], past: int) -> tuple[DayRow, ...]:
    lanes = [
        DayRow(
            "",
            say("box {box}", box=box),
            "",
            _bars((b for b in bars if b.place == box and b.kind == "place"), past),
        )
        for box in bench.boxes
    ]
    hands = _bars((bar for bar in bars if bar.kind == "hands"), past)
    lanes.append(
        DayRow("", say("hands {operator}", operator=bench.operator).strip(), "", hands)
    )
    return tuple(lane for lane in lanes if lane.bars)


# --- what it says --------------------------------------------------------------------


def _far(outlook: Outlook, now: Instant, past: int) -> tuple[str, str]:
    ends = {each.code: now.plus((each.due_ms or 0) - past) for each in outlook.promised}
    promised = [
        each for each in outlook.promised if ends[each.code].day() == now.day()
    ] or list(outlook.promised)
    if not promised:
        return "", say("No part in work has an appointment.")
    last = max((ends[each.code] for each in promised), key=lambda end: end.wall_ms)
    holding = sum(each.verdict == "holds" for each in promised)
    told = say(
        "{holding} of {many} make it by {day_and_time}.",
        holding=holding,
        many=len(promised),
        day_and_time=when(last, now),
    )
    back = outlook.back
    if back is None:
        if holding == len(promised):
            return told, say("All of them hold.")
        return told, say("Putting one part off saves no other appointment.")
    until = now.plus(max(0, back.until_ms - past))
    by = "now" if back.until_ms <= past else say("by {at}", at=when(until, now))
    return say("{told} Put {code} back", told=told, code=back.code), say(
        "{when}, then {saves} makes it", when=by, saves=back.saves
    )


def _notes(bench: Bench, now: Instant, seen: Seen | None) -> tuple[str, ...]:
    return tuple(filter(None, (_desk(bench, now, seen), _brush(bench, now))))


def _desk(bench: Bench, now: Instant, seen: Seen | None) -> str:
    """Return which appointment to call about, and by when."""
    if seen is None:
        return ""
    missing = [
        each.code
        for each in seen.outlook.promised
        if each.verdict == "will not" and each.code in bench.parts
    ]
    for code in missing:
        by, due = call_about(bench, code, now), bench.parts[code].due
        if by is None or due is None:
            continue
        others = tuple(each for each in missing if each != code)[:3]
        return say(
            "Front desk: call about {code} ({at}) {when}.{rest}",
            code=code,
            at=when(due, now),
            when="now" if now.until(by) <= 0 else say("by {at}", at=when(by, now)),
            rest=say(" {list} will not either.", list=listed(others)) if others else "",
        )
    return ""


def _brush(bench: Bench, now: Instant) -> str:
    part = bench.focused
    box = part.box if part else next(iter(bench.boxes), "")
    if part is not None and part.stage.layer:
        patch_ms = wet_limit_ms(bench, part)
    else:
        patch_ms = 2 * MINUTE_MS
    found = brush_window(bench, now, patch_ms, box)
    if found.left_ms is None:
        return say("Brush: open, no bath or box run is in its way.")
    until = _at(now.plus(found.left_ms))
    return say(
        "Brush: {brush} until {until} ({part}, {why}).",
        brush=found.brush,
        until=until,
        part=found.part,
        why=found.why.lower(),
    )


def _options(bench: Bench, seen: Seen | None) -> tuple[Option, ...]:
    found: list[Option] = []
    back = seen.outlook.back if seen else None
    if back is not None and back.code in bench.parts:
        found += [
            Option(
                say("Put {code} back", code=back.code),
                "",
                cm.OrderPart(back.code, "back"),
            ),
            Option(
                say("Keep {code} in turn", code=back.code),
                "",
                cm.RefusePutBack(back.code),
            ),
        ]
    part = bench.focused
    if part is not None and part in bench.in_flight:
        is_now = bench.wishes.get(part.code, "as due")
        found += [
            Option(f"{part.code} {words}", "", cm.OrderPart(part.code, wish))
            for wish, words in WISHED.items()
            if wish != is_now
            and not (back and wish == "back" and back.code == part.code)
        ]
    found.append(Option(say("Table, calls, time kept free"), "", OpenPage("day-table")))
    return keyed(found)


def limit_options() -> tuple[Option, ...]:
    """Return the ways to change what the day is played with."""
    return tuple(
        Option(
            words,
            "",
            Gap(cm.SetLimit(code, 0.0, WHY_SET), "value", number=True),
            hold=True,
            needs_number=ask,
        )
        for code, words, ask in CHANGED
    )


def rates(bench: Bench, now: Instant) -> str:
    """Return what the day is played with, and how well that is known."""
    found: Known = known(bench, ways_of(bench, now))
    return say(
        "Played with {calls_per_h:.1f} calls an hour of {call_ms:.0f} s "
        "({calls}), {walk_in_ms:.0f} min a day kept free ({walk_ins}).",
        calls_per_h=found.calls_per_h,
        call_ms=found.call_ms / MS,
        calls=found.calls,
        walk_in_ms=found.walk_in_ms / MINUTE_MS,
        walk_ins=found.walk_ins,
    )
