"""Find and recall: what is not known first, which parts have it, and what to do now."""

from __future__ import annotations

import re
from collections import Counter
from datetime import date
from typing import Literal

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain.outcome import Refusal
from benchassist.domain.recall import (
    RULE,
    Answer,
    Found,
    Kind,
    Sought,
    drilled,
    recall,
    to_judge,
)
from benchassist.domain.state import Bench, Closed, Deviation
from benchassist.domain.words import Typed, listed, sentences
from benchassist.scan import ScanError, read
from benchassist.ui.actions import ExportDay, OpenStory
from benchassist.ui.present.fill import Gap, held
from benchassist.ui.present.forms import FormError
from benchassist.ui.present.lists import CardsView, ListRow, ListView
from benchassist.ui.present.shown import month
from benchassist.ui.view import Option, Tone
from benchassist.ui.words import say
from benchassist.value import replace, value

Mode = Literal["", "recall", "judge"]
DAY = re.compile(r"\d{4}-\d{2}-\d{2}")
ASK = say("Scan or type it: EX-LT-C2, or with days EX-LM-A 2026-05-01..2026-05-09")
HELP = say(
    "A lot, also in its mixes and fillings; a lamp, box, bath, vessel, operator; a day"
    " or days, 2026-05-01..2026-05-09; the code of a part."
)
DRILL, ROLE_KEYS = "recall-drill", "6789"
MAY = say("Not known whether they have it: judge these first.")
TONES: dict[str, Tone] = {
    "seen": "good",
    "put right": "attention",
    "chosen, not used": "quiet",
    "not known": "attention",
}
DECISIONS: tuple[tuple[str, str], ...] = (
    ("ask prescriber", say("The prescriber is asked")),
    ("use as is", say("It may be used as it is")),
    ("rework", say("It is worked on again")),
    ("scrap", say("It is scrapped")),
)


@value
class Step:
    """Where the page is: what is sought, and what is done about it.

    ``typed`` is what a hand typed and is still to be made out; ``whose`` the part that
    is judged; ``role`` keeps the list to parts that have it so.
    """

    typed: str = ""
    sought: Sought | None = None
    mode: Mode = ""
    reason: str = ""
    whose: str = ""
    role: str = ""

    def back(self) -> Step | None:
        """Return the step before, ``None`` from the first."""
        if self.mode or self.role:
            return Step(sought=self.sought)
        return Step() if self.sought is not None else None


def made_out(typed: str) -> tuple[str, str, str]:
    """Return code, first and last day of what was typed or scanned.

    Raises
    ------
    FormError
        If there is nothing to look for, or days that are none.
    """
    text = typed.strip()
    try:
        label = read(text)
    except ScanError:
        pass
    else:
        text = label.lot or label.part or text
    code, _, days = text.rpartition(" ")
    if not (days and days[0].isdigit() and "-" in days and DAY.match(days)):
        code, days = text, ""
    first, dots, last = days.partition("..")
    if DAY.match(code) and not days:
        first, dots, last = code.partition("..")
        code = ""
    for day in filter(None, (first, last)):
        if not DAY.fullmatch(day):
            msg = say("“{day}” is no day: write it as 2026-05-01.", day=day)
            raise FormError(msg)
    if not code and not first:
        msg = say("Type what to look for: a lot, a lamp, a box, a day.")
        raise FormError(msg)
    return code, first, last if dots else first


def seek(step: Step, kinds: tuple[Kind, ...], parts: tuple[str, str, str]) -> Step:
    """Return the step of what was made out, under the first kind that it stands as.

    Raises
    ------
    FormError
        If the record knows nothing called so.
    """
    code, first, last = parts
    if not code:
        return replace(step, typed="", sought=Sought("day", "", first, last))
    if not kinds:
        msg = say(
            "Nothing in the record is called “{code}”. Look at the label again.",
            code=code,
        )
        raise FormError(msg)
    return replace(step, typed="", sought=Sought(kinds[0], code, first, last))


def first_view(bench: Bench) -> CardsView:
    """Return the page before anything is asked."""
    lots = tuple(
        ListRow(
            each.code,
            each.material,
            "away" if each.code in bench.closed_lots else "",
            act=Step(typed=each.code),
        )
        for each in bench.lots.values()
    )
    open_ones = tuple(
        ListRow(
            each.id,
            f"{each.kind} {each.thing}",
            _left(bench, each.deviations),
            act=Step(typed=each.thing) if each.thing else None,
        )
        for each in bench.recalls.values()
    )
    if last := bench.routines.get(DRILL, {}).get(""):
        of, _, _ = last.note.partition(": ")
        open_ones = (*open_ones, ListRow(say("Drill"), of, last.at.day()))
    return CardsView(
        say("Find, recall"),
        say("which parts does this affect?"),
        "",
        ListView(
            say("RECALLS"),
            rows=open_ones,
            empty=say("Nothing was recalled here."),
            below=(HELP,),
        ),
        ListView(
            say("ON THE SHELF"),
            say("{len} lots", len=len(lots)),
            lots,
            empty=say("No lot is on file."),
        ),
        (_other(say("Scan or type what to look for"), "attention"),),
    )


def _left(bench: Bench, names: tuple[str, ...]) -> str:
    open_ones = sum(
        not bench.deviations[name].decision
        for name in names
        if name in bench.deviations
    )
    return (
        say("{open_ones} to judge", open_ones=open_ones)
        if open_ones
        else say("all judged")
    )


def _other(text: str, tone: Tone = "plain") -> Option:
    return Option(text, "1", Gap(Step(), "typed"), needs_text=ASK, tone=tone)


def waiting(step: Step) -> CardsView:
    """Return the page while the record is asked."""
    told = _called(step.sought) if step.sought else step.typed
    return CardsView(
        told,
        say("looking through the record"),
        "",
        ListView(say("NOT KNOWN")),
        ListView(say("KNOWN")),
        (),
    )


def _called(sought: Sought) -> str:
    days = (
        say("{first} to {last}", first=sought.first, last=sought.last)
        if sought.last
        else say("since {first}", first=sought.first)
    )
    if sought.first == sought.last:
        days = sought.first
    if not sought.first:
        days = say("to {last}", last=sought.last) if sought.last else ""
    return f"{sought.code} {days}".strip()


def answered(
    bench: Bench, step: Step, answer: Answer, now: Instant, took_ms: int
) -> CardsView:
    """Return the page of an answer: what is not known, then what is."""
    if step.mode == "recall":
        return _recalling(bench, step, answer)
    if step.mode == "judge":
        return _judging(bench, step, answer)
    sought = answer.sought
    through = (
        say("; through {listed}", listed=listed(answer.through))
        if answer.through
        else ""
    )
    many = _parts(len(answer.known))
    kind = "" if sought.kind == "day" else sought.kind
    options = [_other(say("Look for something else"))]
    if answer.known or answer.unknown:
        options.append(Option(say("Recall it"), "2", replace(step, mode="recall")))
        written = ExportDay(now.day(), what="recall", about=sought)
        options.append(Option(say("Write the list"), "3", written))
        drill = cm.DoRoutine(DRILL, good=True, note=drilled(answer, took_ms))
        options.append(Option(say("A drill: note it"), "4", drill, hold=True))
    if open_of(bench, answer):
        judging = replace(step, mode="judge")
        options.append(Option(say("Judge a part"), "5", judging))
    roles = roles_of(bench, answer)
    told_apart = roles.items() if len(roles) > 1 else ()
    for key, (role, count) in zip(ROLE_KEYS, told_apart, strict=False):
        mine = role == step.role
        then = replace(step, role="" if mine else role)
        tone: Tone = "attention" if mine else "plain"
        options.append(Option(f"{role}: {count}", key, then, tone=tone))
    known = [
        each
        for each in answer.known
        if not step.role or step.role in {_role(bench, how) for how in each.how}
    ]
    if step.role:
        some = len(known)
        many = say("{role}: {some} of {many}", role=step.role, some=some, many=many)
    return CardsView(
        _called(sought),
        f"{kind}{through}".strip("; ") or say("worked on then"),
        f"{took_ms / 1000:.1f} s",
        _not_known(bench, answer),
        ListView(
            say("KNOWN"),
            say("{many}; how sure", many=many),
            tuple(_row(bench, each, now) for each in known),
            empty=say("No part has it."),
            below=(say("A tap on a part tells its story."),) if known else (),
        ),
        tuple(options),
    )


def _parts(count: int) -> str:
    return (
        say("{count} part", count=count)
        if count == 1
        else say("{count} parts", count=count)
    )


def roles_of(bench: Bench, answer: Answer) -> dict[str, int]:
    """Return as what the parts have it, and how many so, the most first."""
    had = [{_role(bench, how) for how in each.how} for each in answer.known]
    counts = Counter(role for roles in had for role in sorted(roles))
    return dict(counts.most_common())


def _role(bench: Bench, how: str) -> str:
    """Return a use in a word: "coat 2" is a coat, what a vessel held glycerine."""
    lot, among, inside = how.rpartition(" in ")
    if lot and inside in bench.vessels:
        return say("glycerine")
    if lot and among:
        return say("solvent")
    return how.removeprefix("chosen as ").rstrip(" 0123456789")


def _not_known(bench: Bench, answer: Answer) -> ListView:
    count = len(answer.unknown)
    rows = tuple(
        ListRow(
            each.part, "", _state(bench, each), "attention", act=OpenStory(each.part)
        )
        for each in answer.unknown
    )
    words = (
        say("part whose print lot was never written")
        if count == 1
        else say("parts whose print lot was never written")
    )
    return ListView(
        say("NOT KNOWN"),
        rows=rows,
        number=str(count),
        words=words if count else say("parts are open"),
        below=(MAY,) if count else (),
        call=call_of(bench, answer),
    )


def call_of(bench: Bench, answer: Answer) -> tuple[str, ...]:
    """Return what hands are to do now: the bottle away, these trays held."""
    told = []
    if answer.sought.kind == "lot" and answer.sought.code in bench.lots:
        away = all(lot in bench.closed_lots for lot in answer.lots if lot in bench.lots)
        told.append(say("Bottle is away.") if away else say("Bottle away."))
    trays = sorted(
        {
            part.tray
            for each in (*answer.known, *answer.unknown)
            if (part := bench.parts.get(each.part))
            and not isinstance(part.phase, Closed)
        }
    )
    if trays:
        named = ", ".join(map(str, trays))
        one = len(trays) == 1
        told.append(
            say("Hold tray {named}.", named=named)
            if one
            else say("Hold trays {named}.", named=named)
        )
    return tuple(told)


def _row(bench: Bench, found: Found, now: Instant) -> ListRow:
    how = ", ".join(found.how)
    where = _state(bench, found, now)
    tone, story = TONES[found.sure], OpenStory(found.part)
    return ListRow(found.part, f"{how}; {where}", found.sure, tone, act=story)


def _state(bench: Bench, found: Found, now: Instant | None = None) -> str:
    part = bench.parts.get(found.part)
    waiting = any(each.rule == RULE for each in bench.open_deviations(found.part))
    judged = say(" under review") if waiting else ""
    if part is not None and not isinstance(part.phase, Closed):
        held = say(", on hold") if found.state == "on hold" else ""
        waits = say(", not judged") if judged else ""
        told = say("tray {tray}{held}, in work", tray=part.tray, held=held)
        return f"{told}{waits}"
    day = _day(found.closed_day, now)
    whom = f", {found.prescriber}" if found.prescriber else ""
    return f"{found.state} {day}{whom}{f',{judged}' if judged else ''}".strip()


def _day(day: str, now: Instant | None) -> str:
    """Return a day without its year where that is this one."""
    if not day:
        return ""
    at = date.fromisoformat(day)
    year = "" if now is not None and day[:4] == now.day()[:4] else f" {at.year}"
    return f"{month(at)}{year}"


# --- recalling, judging ------------------------------------------------------------


def _recalling(bench: Bench, step: Step, answer: Answer) -> CardsView:
    """Return what a recall will change, shown before it is held."""
    sought = answer.sought
    command = cm.OpenRecall(
        sought.kind, sought.code, step.reason, sought.first, sought.last
    )
    asked = replace(command, reason=step.reason or "…")
    decided = recall(bench, asked, answer)
    rows: tuple[ListRow, ...] = ()
    if isinstance(decided, Refusal):
        empty = decided.message
    else:
        empty = ""
        away = [each for each in answer.lots if each in bench.lots]
        rows = (
            *(
                ListRow(lot, say("put away, offered to no part"), "", "attention")
                for lot in away
                if lot not in bench.closed_lots
            ),
            *(
                ListRow(each.part, _will(bench, each), each.sure, TONES[each.sure])
                for each in to_judge(bench, answer)
            ),
        )
    reason = Gap(step, "reason")
    options = [
        Option(
            say("Why is it recalled?"),
            "1",
            reason,
            needs_text=say("Whose letter, of which day"),
        )
    ]
    if rows and step.reason:
        options.append(held(say("Recall {called}", called=_called(sought)), command))
    return CardsView(
        say("Recall {called}?", called=_called(sought)),
        Typed(step.reason) or say("no reason yet"),
        say("nothing is changed yet"),
        _not_known(bench, answer),
        ListView(say("WHAT WILL CHANGE"), "", rows, empty=empty),
        tuple(options),
    )


def _will(bench: Bench, found: Found) -> str:
    part = bench.parts.get(found.part)
    if part is not None and not isinstance(part.phase, Closed):
        return say("tray {tray}: no release until it is judged", tray=part.tray)
    return say("released: under review until it is judged")


def open_of(bench: Bench, answer: Answer) -> tuple[Deviation, ...]:
    """Return the open deviations of a recall of what is sought."""
    sought = answer.sought
    return tuple(
        found
        for each in bench.recalls.values()
        if (each.kind, each.thing) == (sought.kind, sought.code)
        for name in each.deviations
        if (found := bench.deviations.get(name)) and not found.decision
    )


def _judging(bench: Bench, step: Step, answer: Answer) -> CardsView:
    """Return the page on which one part of a recall is judged."""
    waits = open_of(bench, answer)
    mine = next((each for each in waits if step.whose in each.parts), None)
    rows = tuple(
        ListRow(
            each.parts[0], each.text, each.id, act=replace(step, whose=each.parts[0])
        )
        for each in waits
    )
    title, line = say("Judge which part?"), say("choose its row")
    options: tuple[Option, ...] = ()
    if mine is not None:
        title, line = say("Judge {step}", step=step.whose), sentences(mine.text)
        options = tuple(
            Option(
                told,
                str(n),
                Gap(cm.CloseDeviation(mine.id, decision, ""), "reason"),  # type: ignore[arg-type]
                hold=True,
                needs_text=say("{mine}: who decides it, and why", mine=mine.parts[0]),
            )
            for n, (decision, told) in enumerate(DECISIONS, start=1)
        )
    return CardsView(
        title,
        line,
        "",
        _not_known(bench, answer),
        ListView(
            say("WAIT TO BE JUDGED"), _parts(len(waits)), rows, empty=say("None waits.")
        ),
        options,
    )
