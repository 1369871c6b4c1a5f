"""The branch of a mishap: at the left what to do, at the right what changes.

Before it is held both are what would be; afterwards both are what was written down.
"""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain.deciders.mishaps import branch_for
from benchassist.domain.events import CoatStateTold
from benchassist.domain.limits import limit
from benchassist.domain.mishaps import MISHAPS
from benchassist.domain.mishaps.kind import Branch
from benchassist.domain.outcome import Refusal
from benchassist.domain.preview import Preview, preview
from benchassist.domain.state import Bench, Part
from benchassist.domain.words import listed, sentences
from benchassist.ui.actions import OpenPage, TellMishap
from benchassist.ui.present.change import gates_of, ready_of, way_of
from benchassist.ui.present.fill import held
from benchassist.ui.present.mishap import NO_PART, in_work
from benchassist.ui.present.rows import kind_words
from benchassist.ui.present.sheet import SheetLine
from benchassist.ui.view import Option, Tone
from benchassist.ui.words import say
from benchassist.value import value

WIPED = "wiped off"
QUIET: Tone = "plain"


@value
class Todo:
    """One step: what to do, a word of why or how, and whether it is done already."""

    text: str
    line: str = ""
    done: bool = False


@value
class BranchView:
    """Everything that the page shows; ``empty`` where there is nothing to do."""

    title: str
    about: str
    right: str
    steps: tuple[Todo, ...]
    lines: tuple[SheetLine, ...]
    options: tuple[Option, ...]
    empty: str = ""


def branch(bench: Bench, code: str, case: TellMishap, now: Instant) -> BranchView:
    """Return the branch as it would be taken; only the hold on it writes it down."""
    anew = Option(say("No, choose again"), "0", OpenPage("what-now"))
    part = in_work(bench, code)
    if part is None:
        return _nothing(say("What now?"), NO_PART)
    mishap = MISHAPS[case.mishap]
    found = branch_for(bench, part, mishap, case.told, now)
    report = cm.ReportMishap(code, case.mishap, case.told)
    seen = preview(bench, report, code, now)
    if isinstance(found, Refusal):
        return _refused(f"{code}: {mishap.title}", found, anew)
    if isinstance(seen, Refusal):
        return _refused(f"{code}: {mishap.title}", seen, anew)
    act = held(say("Yes, record it"), report)
    lines = (
        SheetLine(say("WHAT CHANGES"), say("before, and after"), mark="head"),
        *way_of(seen),
        *_spots(seen),
        *ready_of(seen, now),
        *_record(bench, part, found),
        *_said(case.told),
        *(line for line in gates_of(seen) if line.tone != "good"),
    )
    return BranchView(
        title=found.title,
        about=say(
            "{code}, {kind}, tray {tray}",
            code=code,
            kind=kind_words(bench, part),
            tray=part.tray,
        ),
        right=say("nothing is written down yet"),
        steps=(*_first(found), *(Todo(step) for step in found.steps)),
        lines=lines,
        options=(act, anew),
    )


def advice(bench: Bench, code: str, now: Instant) -> BranchView:
    """Return the branch that was advised for a part, with what stands on record."""
    del now
    part = in_work(bench, code or bench.focus)
    found = bench.advised.get(part.code) if part else None
    if part is None or found is None:
        return _nothing(say("What now?"), say("Nothing was told for this part."))
    opened = tuple(each.id for each in bench.open_deviations(part.code))
    told = listed(opened) if opened else say("none opened")
    lines = [
        SheetLine(say("WRITTEN DOWN"), mark="head"),
        SheetLine(say("Told"), MISHAPS[found.mishap].title),
        *_said(found.answers),
        SheetLine(say("Deviation"), told, tone="attention" if opened else "plain"),
    ]
    if part.scrap_asked:
        lines.append(SheetLine(say("Asked"), say("scrap it, or keep it?"), tone="stop"))
    return BranchView(
        title=found.title,
        about=say(
            "{code}, {kind}, tray {tray}",
            code=part.code,
            kind=kind_words(bench, part),
            tray=part.tray,
        ),
        right=say("it is on the record"),
        steps=tuple(Todo(step) for step in found.steps),
        lines=tuple(lines),
        options=(Option(say("Back to the bench"), "Enter", OpenPage("")),),
    )


def _refused(title: str, no: Refusal, anew: Option) -> BranchView:
    return _nothing(title, sentences(no.message, no.remedy), anew)


def _nothing(title: str, told: str, *options: Option) -> BranchView:
    return BranchView(title, "", "", (), (), options, told)


def _first(found: Branch) -> tuple[Todo, ...]:
    """Return what is done before any key, and what must not be done."""
    glove = Todo(
        say("Glove off, new glove."),
        say("before any key; then the hand is clean"),
        done=True,
    )
    if not any(
        isinstance(event, CoatStateTold) and event.told == WIPED
        for event in found.events
    ):
        return (glove,)
    dark = Todo(say("Do NOT light it."), say("what the lamp sets cannot be wiped off"))
    return glove, dark


def _spots(seen: Preview) -> tuple[SheetLine, ...]:
    (was, of), (will, _) = seen.spots_was, seen.spots
    if not of:
        return ()
    told = say("{was} done > {will} stay done", was=was, will=will)
    again = say("{told}, {left} to do", told=told, left=of - will)
    tone: Tone = "attention" if will < was else "plain"
    return (SheetLine(say("Spots"), again, tone=tone),)


def _record(bench: Bench, part: Part, found: Branch) -> tuple[SheetLine, ...]:
    out = []
    if found.rework:
        most = int(limit(bench, "reworks_max"))
        told = say("rework {n} of {most}", n=part.reworks + 1, most=most)
        out.append(SheetLine(say("Count"), told, tone="attention"))
    told, tone = say("no deviation"), QUIET
    if found.deviation is not None:
        told = say("deviation, {list}", list=listed(found.deviation.parts))
        tone = "attention"
    out.append(SheetLine(say("Record"), told, tone=tone))
    if found.scrap:
        asked = say("scrap it, or keep it?")
        out.append(SheetLine(say("Then asked"), asked, tone="stop"))
    return tuple(out)


def _said(answers: tuple[str, ...]) -> tuple[SheetLine, ...]:
    told = ", ".join(each or say("not known") for each in answers)
    return (SheetLine(say("You said"), told),) if told else ()
