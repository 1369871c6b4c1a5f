"""What is to be heard: three sounds, the beat of a walk, a spoken line; plain values.

Three sounds only: *due* is soft and comes back after 15 s, *late* after 5 s, *stop*
goes on until a hand acts. Each repeats what the screen already says. They are no
medical alarms and claim no standard of theirs; the times are common practice, no
source.

Whoever listens keeps a ``Memory`` and hands it to ``hear`` at each look.
"""

from __future__ import annotations

from dataclasses import field
from typing import Literal

from benchassist.clock import MINUTE_MS, MS, Instant
from benchassist.domain.advice import HARMED, PASSES, Task, hand_over_list
from benchassist.domain.calls import TACKED, call_for, wet_ms
from benchassist.domain.limits import limit
from benchassist.domain.queue import NEVER_MS
from benchassist.domain.quiet import quiet_until
from benchassist.domain.standing import Standing, Standings
from benchassist.domain.state import (
    Bench,
    CouponRun,
    InRun,
    Part,
    Soaking,
    Walking,
)
from benchassist.ui.words import say
from benchassist.value import replace, value

Kind = Literal["stop", "late", "due"]
Sound = Literal["stop", "late", "due", "tick", "last-tick", "next"]

MOST_WORDS = 8  # of a spoken line, the letters of the code among them
LAST_TICKS = 3
COUPON = "coupon"  # the layer of a beat whose spot is a tab
TOLD = 2  # a line is said and said again; so often a due that harms nobody sounds
HANDED_LINES = 5  # and one for the rest: 45 words, 18 s at 150 a minute, from memory
MOST_MINUTES = 119  # beyond it hours are said
TIMED = HARMED | {"box"}  # what has a harm clock of its own
REST_MS = 120_000  # [ms] for which a hand can rest a late sound; our own choice
APART_MS = 1000  # [ms] the longest of the sounds: none runs into the next
EVERY_MS: dict[Kind, int] = {"stop": APART_MS, "late": 5000, "due": 15_000}


@value
class Call:
    """A reason to sound, the same one as long as it is equal.

    ``since_ms`` tells two waits of one part apart. Who is called ``patient`` is not
    harmed by waiting, and is told of twice.
    """

    kind: Kind
    part: str
    what: str
    since_ms: int
    told: str
    patient: bool = False

    @property
    def line(self) -> str:
        """Return what is said aloud."""
        return line(self.part, self.told)


@value
class Beat:
    """The spot of a walk that has the light; ``count`` its last tick, from 0."""

    part: str
    layer: str
    spot: int
    lit_ms: int
    count: int = -1


@value
class Memory:
    """What was heard so far; times are monotonic milliseconds of the bench.

    ``resting`` holds until when a call is silent, ``told`` how often it sounded;
    ``handed_ms`` is which hand-over was said.
    """

    resting: dict[Call, int] = field(default_factory=dict)
    told: dict[Call, int] = field(default_factory=dict)
    last_ms: dict[Kind, int] = field(default_factory=dict)
    beat: Beat | None = None
    handed_ms: int | None = None


@value
class Heard:
    """What begins now: at most one sound, and lines to be said one by one.

    ``loud`` are the calls that sound, now or again soon.
    """

    sound: Sound | None = None
    lines: tuple[str, ...] = ()
    loud: tuple[Call, ...] = ()


def hear(
    memory: Memory, bench: Bench, now: Instant, stop: Call | None = None
) -> tuple[Memory, Heard]:
    """Return what is to be heard at this look, and the memory of it.

    ``stop`` comes from ``stop_call`` and may be some tenths of a second old.
    """
    present = calls(bench, now) if stop is None else (stop, *calls(bench, now))
    resting = {
        call: until
        for call, until in memory.resting.items()
        if call in present and until > now.mono_ms
    }
    told = {call: times for call, times in memory.told.items() if call in present}
    loud = tuple(
        call
        for call in present
        if call not in resting
        and not (call.patient and told.get(call, 0) >= TOLD)
        and not _quieted(bench, call, now)
    )
    beat, beaten = _beat(memory.beat, bench, now)
    handed = bench.handed.at.mono_ms if bench.handed else None
    if handed is not None and handed != memory.handed_ms:
        beaten = replace(beaten, lines=(*beaten.lines, *hand_over_lines(bench, now)))
    kept = replace(memory, resting=resting, told=told, beat=beat, handed_ms=handed)
    kind = _due_kind(kept, loud, now.mono_ms)
    if kind is None:
        return kept, replace(beaten, loud=loud)
    mine = tuple(call for call in loud if call.kind == kind)
    lines = tuple(call.line for call in mine if told.get(call, 0) < TOLD)
    heard = Heard(kind, (*beaten.lines, *lines), loud)
    told |= {call: told.get(call, 0) + 1 for call in mine}
    last_ms = {**memory.last_ms, kind: now.mono_ms}
    return replace(kept, told=told, last_ms=last_ms), heard


def _quieted(bench: Bench, call: Call, now: Instant) -> bool:
    """Return whether a foot let this call be quiet; only what is due can be."""
    part = bench.parts.get(call.part)
    if part is None or call.kind != "due":
        return False
    return quiet_until(bench, part, now) is not None


def hush(memory: Memory, loud: tuple[Call, ...], now: Instant) -> Memory:
    """Let a hand silence what sounds: for good, but what is late only for a while.

    A part that becomes late after it was silenced as due is a new call.
    """
    until = {
        call: now.mono_ms + (REST_MS if call.kind == "late" else NEVER_MS)
        for call in loud
    }
    return replace(memory, resting={**memory.resting, **until})


def wake(memory: Memory, call: Call) -> Memory:
    """Let a call be heard again from the start: the foot tried what is stopped."""
    return replace(
        memory,
        resting={each: at for each, at in memory.resting.items() if each != call},
        told={each: times for each, times in memory.told.items() if each != call},
    )


def _due_kind(memory: Memory, loud: tuple[Call, ...], now_ms: int) -> Kind | None:
    """Return the gravest kind whose sound is to begin now."""
    if now_ms - max(memory.last_ms.values(), default=-NEVER_MS) < APART_MS:
        return None
    for kind, every_ms in EVERY_MS.items():
        mine = [call for call in loud if call.kind == kind]
        rested_ms = now_ms - memory.last_ms.get(kind, -NEVER_MS)
        fresh = any(call not in memory.told for call in mine)
        if mine and (fresh or rested_ms >= every_ms):
            return kind
    return None


# --- who calls -------------------------------------------------------------------


def calls(bench: Bench, now: Instant) -> tuple[Call, ...]:
    """Return one call for every basket, run or part that is due or late.

    While a coat is wet what harms nobody meanwhile is not among them.
    """
    found: list[Call] = []
    seen: set[str] = set()
    bound_ms = wet_ms(bench, now)
    for part in bench.in_flight:
        if part.code in seen:
            continue
        call = _call(Standing(bench, part, now), bound_ms)
        if call is not None:
            seen.update(_together(bench, part))
            found.append(call)
    return tuple(found)


def stop_call(bench: Bench, now: Instant) -> Call | None:
    """Return the call of a part in front that a hand has to set right first.

    A gate that opens by itself, or that a hand may accept, stops nobody aloud.
    """
    at = Standings(bench, now)
    if at.front is None or at.situation != "shut" or at.front.shut is None:
        return None
    part, (gate, verdict) = at.front.part, at.front.shut
    if verdict.level != "fail" or gate.code in PASSES:
        return None
    return Call("stop", part.code, gate.code, 0, call_for("shut", at.front.mode).stop)


def _call(at: Standing, bound_ms: int | None) -> Call | None:
    row = TACKED if at.tacked else at.call
    hands_ms = 0 if row.in_hand else int(limit(at.bench, "hands_ready_s") * MS)
    late = bool(row.late) and at.need.harm_ms < hands_ms
    told = row.late if late else row.due
    if not told or not at.may_call(row, bound_ms):
        return None
    part, kind = at.part, at.part.stage.kind.capitalize()
    return Call(
        "late" if late else "due",
        part.code,
        part.stage.key,
        _since(at).mono_ms,
        told.format(kind=kind),
        patient=row.patient,
    )


def _since(at: Standing) -> Instant:
    phase = at.part.phase
    if isinstance(phase, InRun):
        return at.bench.runs[phase.run].started
    since: Instant = getattr(phase, "wet_since", getattr(phase, "since", at.now))
    return since


def _together(bench: Bench, part: Part) -> tuple[str, ...]:
    if isinstance(part.phase, InRun):
        return bench.runs[part.phase.run].parts
    if isinstance(part.phase, Soaking):
        return bench.basket_of(part)
    return (part.code,)


# --- the beat of a walk ------------------------------------------------------------


def _beat(old: Beat | None, bench: Bench, now: Instant) -> tuple[Beat | None, Heard]:
    """Return the beat of the walk in front: a tick a second, the last three higher."""
    part = bench.focused
    phase = part.phase if part else None
    over = old is not None and _lit_whole(bench, old)
    test = bench.coupon
    if test is not None and test.front and test.lit is not None:
        at_ms = now.since(test.lit)
        tab = Beat(test.coupon.id, COUPON, _tabs(test), test.lit.mono_ms, at_ms // MS)
        return tab, _tick(old, tab, test.light_ms)
    if part is None or not isinstance(phase, Walking):
        if old is None or not over:
            return None, Heard()
        done = say("Tab done.") if old.layer == COUPON else say("Segment done.")
        return None, Heard("next", (line(old.part, done),))
    count = now.since(phase.lit) // MS
    beat = Beat(part.code, part.stage.layer, phase.spot, phase.lit.mono_ms, count)
    same = old is not None and replace(old, count=count) == beat
    if old is not None and not same and over:
        return beat, Heard("next")
    return beat, _tick(old, beat, phase.light_ms)


def _tick(old: Beat | None, beat: Beat, light_ms: int) -> Heard:
    """Return the tick of a second that has just begun, the last three higher."""
    left = -(-(light_ms - beat.count * MS) // MS)
    if beat.count < 0 or left <= 0 or old == beat:
        return Heard()
    return Heard("last-tick" if left <= LAST_TICKS else "tick")


def _tabs(test: CouponRun) -> int:
    """Return a number that grows with every whole light, and with no broken one."""
    return 10 * test.ready + test.shone


def _lit_whole(bench: Bench, beat: Beat) -> bool:
    if beat.layer == COUPON:
        return bench.coupon is not None and _tabs(bench.coupon) > beat.spot
    part = bench.parts.get(beat.part)
    work = part.work.get(beat.layer) if part else None
    return work is not None and work.spots[beat.spot] == "done"


# --- words --------------------------------------------------------------------------


def hand_over_lines(bench: Bench, now: Instant) -> tuple[str, ...]:
    """Return what is said of a hand-over: 20 s of speech, nearest to harm first."""
    tasks = hand_over_list(bench, now)
    lines = tuple(to_say(bench, task, now) for task in tasks[:HANDED_LINES])
    more = len(tasks) - len(lines)
    return (*lines, say("And {more} more. See the list.", more=more)) if more else lines


def to_say(bench: Bench, task: Task, now: Instant) -> str:
    """Return a task as a spoken line: code, what it is, how long before harm."""
    part = bench.parts[task.part]
    at = Standing(bench, part, now)
    state = (TACKED if at.tacked else at.call).state
    told = state.format(kind=part.stage.kind.capitalize())
    left = _before_harm(task)
    return line(task.part, say("{state}. {left}.", state=told, left=left))


def _before_harm(task: Task) -> str:
    """Return the time before harm in two words at most, never more than there is."""
    if task.reason not in TIMED:
        return say("No hurry")
    whole = task.slack_ms // MINUTE_MS
    if whole < 1:
        return say("Now") if task.slack_ms >= 0 else say("Late")
    if whole > MOST_MINUTES:
        return say("{whole} hours", whole=whole // 60)
    return say("1 minute") if whole == 1 else say("{whole} minutes", whole=whole)


def notice(loud: tuple[Call, ...]) -> str:
    """Return for the eye what the ear hears, the gravest first."""
    if not loud:
        return ""
    first = min(loud, key=lambda call: tuple(EVERY_MS).index(call.kind))
    more = say(" and {many} more", many=len(loud) - 1) if len(loud) > 1 else ""
    return f"{first.part}{more}: {first.told}".lstrip(": ")


def line(code: str, told: str) -> str:
    """Return a spoken line: the code letter by letter, then what to do.

    Nothing that was typed is said as a word. Of a long code the end is said, so that
    the line keeps to eight words.
    """
    spelt = [sign.upper() for sign in code if sign.isascii() and sign.isalnum()]
    room = MOST_WORDS - len(told.split())
    return f"{' '.join(spelt[-room:])}. {told}" if spelt else told
