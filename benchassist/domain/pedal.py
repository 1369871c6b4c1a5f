"""The pedal table: one pedal, one meaning per state, in one place.

Each row says what a short and a long press do and what the screen says before
the foot does it. Anything a row leaves out, the foot cannot do. The window, the
help and ``benchassist pedal --table`` all show this table.
"""

from __future__ import annotations

from collections.abc import Callable

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain import pedal_acts as acts
from benchassist.domain.calls import Situation
from benchassist.domain.pedal_acts import Act, Answer, Line
from benchassist.domain.standing import Standings
from benchassist.domain.state import Bench, Walking
from benchassist.value import value

# Where a press does what its line says, unless somebody or something is in the way.
ACTING: frozenset[Situation] = frozenset(
    {
        "ready",
        "loaded",
        "timer-due",
        "dry-due",
        "hand",
        "brush",
        "brushing",
        "walking",
        "paused",
    }
)
QUIET_TEXT = "quiet, not yet; what is late stays heard"


@value
class Row:
    """One row of the pedal table.

    ``long`` None means that a long press has no meaning: the press then acts at
    once, whatever the foot does afterwards.
    """

    situation: Situation
    title: str
    line: Line
    short: Act
    short_text: str
    long: Act | None = None
    long_text: str = "nothing"
    never: str = ""


@value
class Meaning:
    """What the next press would do now.

    ``about`` names what it would be done to: part, situation and spot. A press that
    goes down about one thing is never taken for another.
    """

    about: str
    row: Row
    line: str
    answer: Callable[[], Answer]
    long_answer: Callable[[], Answer] | None

    def press(self, *, long: bool) -> Answer:
        """Return what a press leads to; long where only short means anything acts."""
        if long and self.long_answer is not None:
            return self.long_answer()
        return self.answer()


def _of_bench(
    situation: Situation,
    title: str,
    short_text: str,
    never: str,
    long_text: str = "nothing",
) -> Row:
    """Return the row of a situation in which the foot means no part."""
    line, said, held = acts.OF_BENCH[situation]
    return Row(
        situation,
        title,
        acts.fixed(line),
        lambda bench, _part, now: said(Standings(bench, now)),
        short_text,
        held and (lambda bench, _part, now: held(Standings(bench, now))),
        long_text,
        never,
    )


TABLE: dict[Situation, Row] = {
    row.situation: row
    for row in (
        _of_bench(
            "locked", "Locked, no operator", "says: claim station", "log as someone"
        ),
        _of_bench(
            "away",
            "Away, the place is frozen",
            "says what waits and where",
            "clear it, act on a part",
        ),
        _of_bench(
            "handed",
            "Handed over, the list not read yet",
            "says: read it by hand",
            "act on what nobody has read",
        ),
        _of_bench(
            "coupon-light",
            "Coupon: tab ready under the lamp",
            "lights the tab",
            "judge a tab",
        ),
        _of_bench(
            "coupon-lit",
            "Coupon: tab has light",
            "this tab not done; it starts whole",
            "judge a tab, mark it complete early",
        ),
        _of_bench(
            "coupon",
            "Coupon: to be judged, or in the box",
            "nothing, says so",
            "judge a tab",
        ),
        _of_bench(
            "two-due",
            "Two things due within 1 s, or the screen just changed",
            "ignored, and said",
            "act on a part the foot did not mean",
        ),
        _of_bench(
            "check",
            "A check of opening or closing",
            "says which check",
            "type, choose, sign",
            "good, next check",
        ),
        _of_bench(
            "told",
            "A check that is typed or chosen, and the day's signature",
            "nothing, says so",
            "type, choose, sign",
        ),
        _of_bench("none", "No part chosen", "nothing, says so", "select a part"),
        _of_bench(
            "closed", "Released or scrapped", "nothing, says so", "select a part"
        ),
        Row(
            "ready",
            "Step ready, all gates pass",
            acts.start_line,
            acts.start,
            "starts the timer of the basket",
            never="choose program, recipe, lamp",
        ),
        Row(
            "loaded",
            "Load card held",
            acts.count_line,
            lambda _b, part, _n: cm.StartRun(part.box),
            "loaded, started",
            never="choose program, recipe, lamp",
        ),
        Row(
            "shut",
            "Gate shut",
            acts.shut_line,
            acts.why_shut,
            "says the reason; the attempt is on the record",
            never="override",
        ),
        Row(
            "card",
            "A card is to be held by hand",
            acts.card_line,
            acts.at_card,
            "nothing, says so",
            never="answer a card",
        ),
        Row(
            "running",
            "Unattended timer running",
            acts.wait_line,
            acts.left,
            "says what is left",
            never="stop, skip, credit",
        ),
        Row(
            "drying",
            "Drying, not yet due",
            acts.wait_line,
            lambda _b, part, _n: cm.FinishStage(part.code),
            "asks to go on; the drying gate says what is left",
            never="skip drying",
        ),
        Row(
            "timer-due",
            "Timer due (bath, rinse, purge)",
            acts.out_line,
            lambda _b, part, _n: cm.TakeOut(part.code),
            "taken out, whole basket",
            acts.quiet,
            QUIET_TEXT,
            "credit dose",
        ),
        Row(
            "dry-due",
            "Drying due",
            acts.fixed("dry, go on"),
            lambda _b, part, _n: cm.FinishStage(part.code),
            "dry, goes on",
            acts.quiet,
            QUIET_TEXT,
            "credit dose",
        ),
        Row(
            "run-due",
            "Box run due or interrupted",
            acts.fixed("nothing: enter the box count"),
            acts.says("Look at the box's counter and tell by hand what it shows."),
            "says: tell the end state by hand",
            acts.quiet,
            "quiet",
            "assume completed",
        ),
        Row(
            "hand",
            "Hand work",
            acts.next_line,
            acts.at_stage,
            "says where I am",
            lambda _b, part, _n: cm.FinishStage(part.code),
            "done, next stage",
            "skip a stage",
        ),
        Row(
            "brush",
            "Segment ready, brush may be wetted",
            acts.brush_line,
            lambda _b, part, _n: cm.WetBrush(part.code),
            "wets the brush: the wet clock runs",
            never="start with a failed check",
        ),
        Row(
            "brushing",
            "Brushing a patch",
            acts.fixed("brushed: starts the walk"),
            lambda _b, part, _n: cm.StartWalk(part.code),
            "starts the patch's walk",
            lambda _b, part, _n: cm.HoldHere(part.code),
            "HOLD here",
            "start with a failed check",
        ),
        Row(
            "walking",
            "Spot running (paced walk)",
            acts.fixed("cancels this spot"),
            lambda _b, part, _n: cm.BreakSpot(part.code),
            "cancels this spot; the walk pauses",
            lambda _b, part, _n: cm.HoldHere(part.code),
            "HOLD here",
            "mark complete early, jump coats",
        ),
        Row(
            "paused",
            "Walk paused, between spots",
            acts.fixed("goes on, this spot whole"),
            lambda _b, part, _n: cm.GoOn(part.code),
            "goes on (the spot not done starts whole)",
            lambda _b, part, _n: cm.BackOne(part.code),
            "back one spot",
            "jump coats",
        ),
        Row(
            "wet-hold",
            "Wet-coat hold, not looked at",
            acts.fixed("says where; look at the coat"),
            acts.wet_where,
            "says what and where",
            lambda _b, part, _n: cm.GoOn(part.code),
            "goes on there, once a hand told how the coat is",
            "clear the hold",
        ),
        Row(
            "on-hold",
            "On hold",
            acts.fixed("nothing: resume by hand"),
            acts.says("On hold. Resume it by hand."),
            "nothing, says so",
            never="clear the hold",
        ),
        Row(
            "scrap",
            "Scrap advised, not yet answered",
            acts.fixed("nothing: scrap or keep, by hand"),
            acts.says("Scrap it or keep it: answered by hand."),
            "nothing, says so",
            never="answer it, go on",
        ),
        Row(
            "sign",
            "Checks, release, deviation, settings",
            acts.fixed("nothing: signing is by hand"),
            acts.says("Checks and signing are done by hand."),
            "nothing, says so",
            never="anything",
        ),
    )
}


def situation(bench: Bench, now: Instant) -> Situation:
    """Return the situation the pedal is in, a key of the table."""
    return Standings(bench, now).foot


def meaning(bench: Bench, now: Instant, at: Standings | None = None) -> Meaning:
    """Return what the next press would do in this state, and the line that says so.

    ``at`` is the look's own; a press makes one anew.
    """
    at = at or Standings(bench, now)
    row = TABLE[at.foot]
    part, long = bench.focused, row.long
    spot = part.phase.spot if part and isinstance(part.phase, Walking) else ""
    about = f"{bench.focus}, {row.situation} {spot or at.check}"
    if part is None or row.situation in acts.OF_BENCH:
        line, said, held = acts.OF_BENCH[row.situation]
        kept_down = None if held is None else (lambda: held(at))
        return Meaning(about, row, line, lambda: said(at), kept_down)
    acting = row.long if row.situation == "hand" else row.short
    line = ""
    if acting is not None and row.situation in ACTING:
        line = acts.refused_line(bench, part, acting(bench, part, now), now)
    return Meaning(
        about,
        row,
        line or row.line(bench, part, now),
        lambda: row.short(bench, part, now),
        None if long is None else (lambda: long(bench, part, now)),
    )
