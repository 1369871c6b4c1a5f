"""The glycerine limit, raised by a validation record alone: a draft in rows."""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain.decide import decide
from benchassist.domain.limits import LIMITS, limit, limit_on
from benchassist.domain.outcome import Refusal
from benchassist.domain.state import Bench
from benchassist.ui.present.fill import Gap
from benchassist.ui.present.sheet import FillIn, Sheet, SheetLine, SheetRow, Turn
from benchassist.ui.view import Option
from benchassist.ui.words import say
from benchassist.value import replace, value

CODE = "glycerine_immersions"
TYPED = {
    "document": (say("Document"), say("Name of the validation document")),
    "revision": (say("Revision"), say("Its revision")),
    "record": (say("Record number"), say("Number of the validation record")),
    "until": (say("Holds to"), say("Last day it holds, such as 2027-03-31")),
    "reason": (say("Why"), say("Why the limit is changed; it stays on the record")),
}


@value
class LimitDraft:
    """The act as far as it was filled in; nothing of it is written."""

    command: cm.SetLimit
    framed: str = "value"


def begun(bench: Bench, now: Instant) -> LimitDraft:
    """Return the draft of the limit as it is."""
    return LimitDraft(cm.SetLimit(CODE, limit_on(bench, CODE, now), ""))


def done(draft: LimitDraft, did: object) -> LimitDraft:
    """Return the draft after a hand turned a row or typed into one."""
    match did:
        case Turn(row="value", by=by) if by:
            most = LIMITS[CODE].by_record
            wanted = min(most, max(1, draft.command.value + by))
            return LimitDraft(replace(draft.command, value=wanted), "value")
        case Turn(row=row):
            return replace(draft, framed=row)
        case FillIn(row=row, value=typed):
            filled = replace(draft.command, **{row: typed.strip()})
            return LimitDraft(filled, row)
        case _:
            return draft


def sheet(bench: Bench, draft: LimitDraft, now: Instant) -> Sheet:
    """Return the page: the record's rows, what holds today, the act to be held."""
    wanted, is_now = draft.command.value, limit_on(bench, CODE, now)
    refusal = decide(bench, draft.command, now)
    turn = Option(say("Immersions"), "1", Turn("value", int(_on(draft))))
    rows = [
        SheetRow(
            "value",
            turn,
            f"{wanted:g}",
            was=f"{is_now:g}" if wanted != is_now else "",
            note=say("as delivered {default:g}", default=LIMITS[CODE].default),
        )
    ]
    for n, (row, (name, asked)) in enumerate(TYPED.items(), start=2):
        option = Option(name, str(n), Gap(FillIn(row), "value"), needs_text=asked)
        told = getattr(draft.command, row)
        rows.append(SheetRow(row, option, told or "–", turns=False))
    return Sheet(
        title=say("Glycerine limit"),
        quiet=say("how many part-immersions one fill may have"),
        right=say("nothing is changed yet"),
        rows=tuple(rows),
        lines=_lines(bench, draft, refusal, now),
        options=() if isinstance(refusal, Refusal) else (_act(draft),),
        line=say(
            "Fewer: with a reason. More: only by a validation record, until its day."
        ),
        framed=draft.framed,
    )


def _on(draft: LimitDraft) -> bool:
    return draft.framed == "value"


def _act(draft: LimitDraft) -> Option:
    told = say("Set it: {value:g} immersions of one fill", value=draft.command.value)
    return Option(told, "Enter", draft.command, hold=True, tone="attention")


def _lines(
    bench: Bench, draft: LimitDraft, refusal: object, now: Instant
) -> tuple[SheetLine, ...]:
    found = bench.validated.get(CODE)
    out = [SheetLine(say("TODAY"), mark="head")]
    plain = say("{limit:g} without a record", limit=limit(bench, CODE))
    out.append(
        SheetLine(
            say("Limit"),
            say("{limit_on:g} immersions", limit_on=limit_on(bench, CODE, now)),
        )
    )
    if found is not None:
        ended = "" if now.day() <= found.until else say(", over")
        out.append(
            SheetLine(
                say("Record"),
                say(
                    "{record}, to {until}{ended}",
                    record=found.record,
                    until=found.until,
                    ended=ended,
                ),
            )
        )
    out.append(SheetLine(say("Else"), plain))
    out.append(SheetLine("", mark="line"))
    if isinstance(refusal, Refusal):
        out.append(SheetLine(refusal.sentence, tone="stop"))
    elif draft.command.value != limit_on(bench, CODE, now):
        out.append(SheetLine(say("Every vessel is judged by it from then on.")))
    return tuple(out)
