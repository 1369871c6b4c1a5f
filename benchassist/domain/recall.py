"""A recall: what is taken back, from which parts, and which may have it unknown.

The record finds the parts; here is decided what follows: the bottles are put away, and
every part that has it, or may, waits for a judgement of its own.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from benchassist.domain import events as ev
from benchassist.domain.commands import OpenRecall
from benchassist.domain.deciders.common import deviation, needs_reason
from benchassist.domain.outcome import Decision, Refusal, answering
from benchassist.domain.state import Bench
from benchassist.value import value

Kind = ev.RecallKind
Sure = Literal["seen", "put right", "chosen, not used", "not known"]
RULE = "recall"


@value
class Sought:
    """What is looked for: a code of a kind, on local days ``first`` to ``last``.

    Days are YYYY-MM-DD; an empty one is open.
    """

    kind: Kind
    code: str
    first: str = ""
    last: str = ""


@value
class Found:
    """A part that has it, or may: how, how sure, and where the part is.

    ``how`` are the uses in their order, ``day`` the last day of them; ``closed_day`` is
    empty while the part is in work.
    """

    part: str
    state: str
    closed_day: str
    how: tuple[str, ...]
    sure: Sure
    prescriber: str = ""
    day: str = ""


@value
class Answer:
    """The parts that have it, those of which it is not known, and what was followed.

    ``lots`` are the lot and its mixes; ``through`` all that was followed from it,
    fillings and baths too.
    """

    sought: Sought
    known: tuple[Found, ...]
    unknown: tuple[Found, ...]
    lots: tuple[str, ...] = ()
    through: tuple[str, ...] = ()


def to_judge(bench: Bench, answer: Answer) -> tuple[Found, ...]:
    """Return the parts that wait for a judgement because of it.

    Scrapped ones are told and wait for nothing; what was only chosen is not on them.
    Those that wait for it already are not asked twice.
    """
    waiting = {
        part
        for each in bench.recalls.values()
        if (each.kind, each.thing) == (answer.sought.kind, answer.sought.code)
        for name in each.deviations
        if (found := bench.deviations.get(name)) and not found.decision
        for part in found.parts
    }
    return tuple(
        each
        for each in (*answer.known, *answer.unknown)
        if each.state != "scrapped"
        and each.sure != "chosen, not used"
        and each.part not in waiting
    )


def drilled(answer: Answer, took_ms: int) -> str:
    """Return what an exercise of a recall came to, as the record keeps it."""
    of = answer.sought.code or answer.sought.first
    many, lacking = len(answer.known), len(answer.unknown)
    return f"{of}: {many} found, {lacking} not known, looked up in {took_ms} ms"


@answering
def recall(bench: Bench, command: OpenRecall, answer: Answer) -> Decision:
    """Return what follows from a recall whose parts were found in the record."""
    needs_reason(command.reason, "Say why it is recalled; it stays on the record.")
    found = to_judge(bench, answer)
    away = tuple(_away(bench, command, answer))
    if not (found or away):
        told = f"No part waits to be judged for {command.code or 'these days'}."
        return Refusal("nothing-to-recall", told)
    name, typed = f"RC-{bench.recalls_opened + 1}", command.reason.strip()
    what = f"{command.kind} {command.code}".strip()
    opened = tuple(
        deviation(
            bench,
            RULE,
            (each.part,),
            f"{name}, {what}, {', '.join(each.how)}: {typed}",
            offset=n,
        )
        for n, each in enumerate(found)
    )
    head = ev.RecallOpened(
        recall=name,
        kind=command.kind,
        thing=command.code,
        first_day=command.first,
        last_day=command.last,
        deviations=tuple(each.deviation for each in opened),
        unknown=len(answer.unknown),
        reason=typed,
    )
    return (head, *away, *opened)


def _away(bench: Bench, command: OpenRecall, answer: Answer) -> Iterator[ev.LotClosed]:
    """Yield the bottles put away: the lot itself and what was mixed from it."""
    typed = command.reason.strip()
    for lot in answer.lots:
        if lot in bench.lots and lot not in bench.closed_lots:
            yield ev.LotClosed(lot, f"recalled: {typed}")
