"""The pedal table: one pedal, one meaning per state, in one place.

Each row says what a short and a long press do and what the screen says before
the foot does it. Anything a row leaves out, the foot cannot do. The window, the
help and ``benchassist pedal --table`` all show this table.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from benchassist.domain import commands as cm
from benchassist.domain.coat import answer_for, face_of, next_segment
from benchassist.domain.deciders.coat import must_look, session_missing
from benchassist.domain.deciders.common import gates_of
from benchassist.domain.gates import ask_for, first_shut
from benchassist.domain.outcome import Refusal, Said
from benchassist.domain.place import where
from benchassist.domain.queue import need
from benchassist.domain.stages import STAGES
from benchassist.domain.state import (
    Bench,
    Brushing,
    Closed,
    InRun,
    OnHold,
    Part,
    Paused,
    Soaking,
    Walking,
)
from benchassist.domain.words import clock, late
from benchassist.value import value

if TYPE_CHECKING:
    from benchassist.clock import Instant

Answer = cm.Command | Refusal | Said
Act = Callable[[Bench, Part, "Instant"], Answer]
Line = Callable[[Bench, Part, "Instant"], str]

MS = 1000
AWAY_LINE = "says what waits and where"


@value
class Row:
    """One row of the pedal table.

    ``long`` None means that a long press has no meaning: the press then acts at
    once, whatever the foot does afterwards.
    """

    situation: str
    title: str
    line: Line
    short: Act
    short_text: str
    long: Act | None = None
    long_text: str = "nothing"
    never: str = ""


@value
class Meaning:
    """What the next press would do now."""

    row: Row
    line: str
    answer: Callable[[], Answer]
    long_answer: Callable[[], Answer] | None

    def press(self, *, long: bool) -> Answer:
        """Return what a press leads to; long where only short means anything acts."""
        if long and self.long_answer is not None:
            return self.long_answer()
        return self.answer()


def _says(text: str) -> Act:
    return lambda _bench, _part, _now: Said(text)


def _fixed(text: str) -> Line:
    return lambda _bench, _part, _now: text


def _where(bench: Bench, part: Part, now: Instant) -> Said:
    del bench, now
    return Said(f"{part.code}: {part.stage.title}.")


def _left(bench: Bench, part: Part, now: Instant) -> Said:
    due = need(bench, part, now).due_ms
    told = f"{clock(due)} left" if due > 0 else late(-due)
    return Said(f"{part.code}: {part.stage.title}, {told}.")


def _why_shut(bench: Bench, part: Part, now: Instant) -> Answer:
    # Asking for the step again runs the gate again and puts the attempt on record.
    mode = STAGES[part.stage.kind].mode
    if mode == "coat":
        return cm.WetBrush(part.code)
    if mode == "soak":
        return cm.StartStage(part.code)
    # Never StartRun here: the box may be loaded with a part the foot does not mean.
    return gates_of(bench, part, now) or _where(bench, part, now)


def _wet_where(bench: Bench, part: Part, now: Instant) -> Said:
    phase = part.phase
    if isinstance(phase, Paused):
        face, number, of = face_of(bench, part, phase.spot)
        wet = clock(now.since(phase.wet_since))
        return Said(f"{part.code}: {face} spot {number} of {of}, wet for {wet}.")
    return _where(bench, part, now)


def _away_where(bench: Bench, part: Part, now: Instant) -> Said:
    del part, now
    return Said(where(bench.away.place) if bench.away else "")


def _start(bench: Bench, part: Part, now: Instant) -> cm.Command:
    del bench, now
    return cm.StartStage(part.code)


def _start_line(bench: Bench, part: Part, now: Instant) -> str:
    del now
    basket = bench.basket_of(part)
    more = f", basket of {len(basket)}" if len(basket) > 1 else ""
    return f"starts {part.stage.title.lower()}{more}"


def _out_line(bench: Bench, part: Part, now: Instant) -> str:
    del now
    basket = bench.basket_of(part)
    return f"taken out, all {len(basket)}" if len(basket) > 1 else "taken out"


def _next_line(bench: Bench, part: Part, now: Instant) -> str:
    del bench, now
    rest = part.route[part.at + 1 :]
    return f"long press: done, then {rest[0].title.lower()}" if rest else "done"


def _brush_line(bench: Bench, part: Part, now: Instant) -> str:
    del now
    segment = next_segment(bench, part, answer_for(bench, part).seconds)
    if segment is None or segment.total == 1:
        return "wet the brush"
    return f"wet the brush, segment {segment.number} of {segment.total}"


def _shut_line(bench: Bench, part: Part, now: Instant) -> str:
    del bench, part, now
    return "says why again"


def _count_line(bench: Bench, part: Part, now: Instant) -> str:
    del now
    load = bench.loads[part.box]
    return f"starts the box: {load.count} set"


def _wait_line(bench: Bench, part: Part, now: Instant) -> str:
    del bench, now
    return f"says how long {part.code} still has"


TABLE: dict[str, Row] = {
    row.situation: row
    for row in (
        Row(
            "locked",
            "Locked, no operator",
            _fixed("nothing: claim the station, key O"),
            _says("Claim the station first: key O, by hand."),
            "says: claim station",
            never="log as someone",
        ),
        Row(
            "away",
            "Away, the place is frozen",
            _fixed(AWAY_LINE),
            _away_where,
            "says what waits and where",
            never="clear it, act on a part",
        ),
        Row(
            "none",
            "No part chosen",
            _fixed("nothing: choose a part by hand"),
            _says("Choose a part first, by hand."),
            "nothing, says so",
            never="select a part",
        ),
        Row(
            "ready",
            "Step ready, all gates pass",
            _start_line,
            _start,
            "starts the timer of the basket",
            never="choose program, recipe, lamp",
        ),
        Row(
            "loaded",
            "Load card held",
            _count_line,
            lambda _b, part, _n: cm.StartRun(part.box),
            "loaded, started",
            never="choose program, recipe, lamp",
        ),
        Row(
            "shut",
            "Gate shut",
            _shut_line,
            _why_shut,
            "says the reason; the attempt is on the record",
            never="override",
        ),
        Row(
            "card",
            "A card is to be held by hand",
            _fixed("nothing: hold the card by hand"),
            _says("This is done by hand: hold the card for two seconds."),
            "nothing, says so",
            never="answer a card",
        ),
        Row(
            "running",
            "Unattended timer running",
            _wait_line,
            _left,
            "says what is left",
            never="stop, skip, credit",
        ),
        Row(
            "drying",
            "Drying, not yet due",
            _wait_line,
            lambda _b, part, _n: cm.FinishStage(part.code),
            "asks to go on; the drying gate says what is left",
            never="skip drying",
        ),
        Row(
            "timer-due",
            "Timer due (bath, rinse, purge)",
            _out_line,
            lambda _b, part, _n: cm.TakeOut(part.code),
            "taken out, whole basket",
            never="credit dose",
        ),
        Row(
            "dry-due",
            "Drying due",
            _fixed("dry, go on"),
            lambda _b, part, _n: cm.FinishStage(part.code),
            "dry, goes on",
            never="credit dose",
        ),
        Row(
            "run-due",
            "Box run due or interrupted",
            _fixed("nothing: tell by hand what the box showed"),
            _says("Look at the box's counter and tell by hand what it shows."),
            "says: tell the end state by hand",
            never="assume completed",
        ),
        Row(
            "hand",
            "Hand work",
            _next_line,
            _where,
            "says where I am",
            lambda _b, part, _n: cm.FinishStage(part.code),
            "done, next stage",
            "skip a stage",
        ),
        Row(
            "brush",
            "Segment ready, brush may be wetted",
            _brush_line,
            lambda _b, part, _n: cm.WetBrush(part.code),
            "wets the brush: the wet clock runs",
            never="start with a failed check",
        ),
        Row(
            "brushing",
            "Brushing a segment",
            _fixed("brushed: starts the walk"),
            lambda _b, part, _n: cm.StartWalk(part.code),
            "starts the segment's walk",
            lambda _b, part, _n: cm.HoldHere(part.code),
            "HOLD here",
            "start with a failed check",
        ),
        Row(
            "walking",
            "Spot running (paced walk)",
            _fixed("this spot not done"),
            lambda _b, part, _n: cm.BreakSpot(part.code),
            "this spot not done; the walk pauses",
            lambda _b, part, _n: cm.HoldHere(part.code),
            "HOLD here",
            "mark complete early, jump coats",
        ),
        Row(
            "paused",
            "Walk paused, between spots",
            _fixed("goes on, this spot whole"),
            lambda _b, part, _n: cm.GoOn(part.code),
            "goes on (the spot not done starts whole)",
            lambda _b, part, _n: cm.BackOne(part.code),
            "back one spot",
            "jump coats",
        ),
        Row(
            "wet-hold",
            "Wet-coat hold, not looked at",
            _fixed("says where; look at the coat"),
            _wet_where,
            "says what and where",
            never="clear the hold",
        ),
        Row(
            "on-hold",
            "On hold",
            _fixed("nothing: resume by hand"),
            _says("On hold. Resume it by hand."),
            "nothing, says so",
            never="clear the hold",
        ),
        Row(
            "sign",
            "Checks, release, deviation, settings",
            _fixed("nothing: checks and signing are by hand"),
            _says("Checks and signing are done by hand."),
            "nothing, says so",
            never="anything",
        ),
    )
}


def situation(bench: Bench, now: Instant) -> str:
    """Return the situation the pedal is in, a key of the table."""
    part = bench.focused
    if not bench.operator:
        return "locked"
    if bench.away is not None:
        return "away"
    if part is None or isinstance(part.phase, Closed):
        return "none"
    return _at(bench, part, now)


def _at(bench: Bench, part: Part, now: Instant) -> str:
    phase = part.phase
    mode = STAGES[part.stage.kind].mode
    if isinstance(phase, Soaking):
        due = need(bench, part, now).due_ms <= 0
        if mode == "dry":
            return "dry-due" if due else "drying"
        return "timer-due" if due and mode == "soak" else "running"
    if isinstance(phase, InRun):
        run = bench.runs[phase.run]
        asked = run.interrupted is not None or need(bench, part, now).due_ms <= 0
        return "run-due" if asked else "running"
    if isinstance(phase, Brushing):
        return "brushing"
    if isinstance(phase, Walking):
        return "walking"
    if isinstance(phase, Paused):
        return "wet-hold" if must_look(bench, part, phase, now) else "paused"
    if isinstance(phase, OnHold):
        return "on-hold"
    return _ready(bench, part, mode, now)


def _ready(bench: Bench, part: Part, mode: str, now: Instant) -> str:
    if mode == "hand":
        return "hand"
    if mode == "checks":
        return "sign"
    if mode in ("flip", "hold"):
        return "card"
    if first_shut(bench, ask_for(bench, part), now) is not None:
        return "shut"
    if mode == "soak":
        return "ready"
    if mode == "coat":
        return "card" if session_missing(bench, part) else "brush"
    load = bench.loads.get(part.box)
    return "loaded" if mode == "box" and load and part.code in load.parts else "card"


def meaning(bench: Bench, now: Instant) -> Meaning:
    """Return what the next press would do in this state, and the line that says so."""
    row = TABLE[situation(bench, now)]
    part = bench.focused
    if part is None:
        return Meaning(row, _alone(row), lambda: _said(bench, row), None)
    long = row.long
    return Meaning(
        row,
        row.line(bench, part, now),
        lambda: row.short(bench, part, now),
        None if long is None else (lambda: long(bench, part, now)),
    )


def _alone(row: Row) -> str:
    if row.situation == "locked":
        return "nothing: claim the station, key O"
    if row.situation == "away":
        return AWAY_LINE
    return "nothing: choose a part by hand"


def _said(bench: Bench, row: Row) -> Said:
    if row.situation == "locked":
        return Said("Claim the station first: key O, by hand.")
    if bench.away is not None:
        return Said(where(bench.away.place))
    return Said("Choose a part first, by hand.")
