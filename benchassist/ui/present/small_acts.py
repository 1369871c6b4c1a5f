"""Two small acts of the shelf and the record, each a short sheet with one hold."""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain import codes
from benchassist.domain import commands as cm
from benchassist.domain.decide import decide
from benchassist.domain.outcome import Refusal
from benchassist.domain.state import Bench
from benchassist.domain.words import listed
from benchassist.ui.present.fill import Gap
from benchassist.ui.present.intake_words import good_to
from benchassist.ui.present.sheet import (
    FillIn,
    Sheet,
    SheetLine,
    SheetRow,
    Turn,
    turned,
)
from benchassist.ui.view import Option
from benchassist.ui.words import say
from benchassist.value import replace, value

KINDS: tuple[codes.CodeKind, ...] = tuple(codes.EXAMPLES)


@value
class SmallDraft:
    """An act as far as it was filled in; nothing of it is written."""

    command: cm.CloseLot | cm.SetCodeShape
    framed: str


def bottle(bench: Bench) -> SmallDraft:
    """Return the draft by which a bottle is put away for good."""
    return SmallDraft(cm.CloseLot(next(iter(_open(bench)), ""), ""), "lot")


def shape(bench: Bench) -> SmallDraft:
    """Return the draft by which the practice says how its codes are written."""
    return SmallDraft(
        cm.SetCodeShape("part", bench.code_shapes.get("part", ""), ""), "kind"
    )


def done(bench: Bench, draft: SmallDraft, did: object) -> SmallDraft:
    """Return the draft after a hand turned a row or typed into one."""
    command = draft.command
    match did:
        case Turn(row="lot", by=by) if by and isinstance(command, cm.CloseLot):
            lot = turned(_open(bench), command.lot, by)
            return SmallDraft(replace(command, lot=lot), "lot")
        case Turn(row="kind", by=by) if by and isinstance(command, cm.SetCodeShape):
            kind = turned(KINDS, command.kind, by)
            now = bench.code_shapes.get(kind, "")
            return SmallDraft(replace(command, kind=kind, shape=now), "kind")
        case Turn(row=row):
            return replace(draft, framed=row)
        case FillIn(row=row, value=typed):
            return SmallDraft(replace(command, **{row: typed.strip()}), row)
        case _:
            return draft


def _open(bench: Bench) -> tuple[str, ...]:
    return tuple(lot for lot in bench.lots if lot not in bench.closed_lots)


def sheet(bench: Bench, draft: SmallDraft, now: Instant) -> Sheet:
    """Return the page of either act."""
    refusal = decide(bench, draft.command, now)
    if isinstance(draft.command, cm.CloseLot):
        return _bottle(bench, draft, draft.command, refusal, now)
    return _shape(bench, draft, draft.command, refusal)


def _bottle(
    bench: Bench, draft: SmallDraft, asked: cm.CloseLot, refusal: object, now: Instant
) -> Sheet:
    waiting = tuple(
        part.code for part in bench.in_flight if asked.lot in _planned(bench, part.code)
    )
    told_of = good_to(bench, asked.lot, now)
    lines = [
        SheetLine(say("PUT AWAY FOR GOOD"), mark="head"),
        SheetLine(
            say("It is offered to no part any more; what was laid stays on record.")
        ),
        SheetLine(say("Empty bottles go to resin waste.")),
    ]
    if waiting:
        told = say(
            "{list} waits for it: stopped at the brush until another",
            list=listed(waiting),
        )
        lines.append(SheetLine(say("{told} is chosen.", told=told), tone="attention"))
    return Sheet(
        title=say("Put a bottle away"),
        quiet=say("empty, dropped, dirty or too old"),
        right=say("nothing is changed yet"),
        rows=(
            _row(draft, "lot", "1", say("Bottle"), asked.lot, told_of),
            _typed("reason", "2", say("Why"), asked.reason, say("Why it is put away")),
        ),
        lines=(*lines, *_amiss(refusal)),
        options=_act(refusal, say("Put {lot} away", lot=asked.lot), asked),
        line=say("Left and right choose the bottle."),
        framed=draft.framed,
    )


def _planned(bench: Bench, code: str) -> tuple[str, str]:
    part = bench.parts[code]
    return part.coat_lot, part.stain_lot


def _shape(
    bench: Bench, draft: SmallDraft, asked: cm.SetCodeShape, refusal: object
) -> Sheet:
    example = codes.as_shape(asked.shape) if asked.shape else codes.EXAMPLES[asked.kind]
    was = bench.code_shapes.get(asked.kind, "")
    return Sheet(
        title=say("How codes are written"),
        quiet=say("one plain word, never a name or a birth date"),
        right=say("nothing is changed yet"),
        rows=(
            _row(draft, "kind", "1", say("Codes of"), asked.kind, say("left, right")),
            _typed(
                "shape",
                "2",
                say("Shape"),
                asked.shape,
                say("# a digit, @ a letter, * the rest"),
            ),
            _typed(
                "reason", "3", say("Why"), asked.reason, say("Why codes are written so")
            ),
        ),
        lines=(
            SheetLine(say("FROM THEN ON"), mark="head"),
            SheetLine(say("Was"), was or say("as they come")),
            SheetLine(say("Like"), example),
            SheetLine(say("Codes there are stay as they are.")),
            *_amiss(refusal),
        ),
        options=_act(refusal, say("Write them like {example}", example=example), asked),
        line=say("A code that does not fit is refused, with how to write it."),
        framed=draft.framed,
    )


def _row(  # noqa: PLR0917 - a row is no less
    draft: SmallDraft, row: str, key: str, name: str, told: str, note: str
) -> SheetRow:
    option = Option(name, key, Turn(row, int(draft.framed == row)))
    return SheetRow(row, option, told or "–", note=note)


def _typed(row: str, key: str, name: str, told: str, asked: str) -> SheetRow:
    option = Option(name, key, Gap(FillIn(row), "value"), needs_text=asked)
    return SheetRow(row, option, told or "–", turns=False)


def _amiss(refusal: object) -> tuple[SheetLine, ...]:
    if not isinstance(refusal, Refusal):
        return ()
    told = refusal.sentence
    return SheetLine("", mark="line"), SheetLine(told, tone="attention")


def _act(refusal: object, told: str, command: cm.Command) -> tuple[Option, ...]:
    if isinstance(refusal, Refusal):
        return ()
    return (Option(told, "Enter", command, hold=True, tone="attention"),)
