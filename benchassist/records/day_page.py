"""A day as one page for paper: what it came to, every part, and who signed it.

The signature names the last entry before it with its hash. A page that was printed
then anchors the record outside of it; what was put right since stands as an addition.
"""

from __future__ import annotations

from collections.abc import Iterator

from benchassist.records.day_log import DayLog, PartLog, Signature
from benchassist.records.paper import head, p, page, row, table, titles

NOT_SIGNED = "Nobody signed this day."


def as_day_page(log: DayLog) -> str:
    """Return the day as HTML that needs nothing but itself."""
    return page(f"Day {log.day}", _body(log))


def _body(log: DayLog) -> Iterator[str]:
    yield head(log.day, log.mark)
    yield p(f"station {log.store.station}", f"{len(log.parts)} parts of this day")
    if not log.signed:
        yield p(NOT_SIGNED)
    for signature in log.signed:
        yield from _signature(signature)
    yield "<h2>Parts of this day, as they are now</h2>"
    rows = (
        row(
            each.part,
            each.state,
            each.stage,
            ", ".join(_open(each)),
            log.proof.says(*(e.seq for e in each.entries)),
        )
        for each in log.parts
    )
    heads = titles("Part", "State", "At", "Open deviations", "Proven")
    yield from table((heads, *rows))
    if log.amended:
        yield "<h2>Put right since it was signed: an addition, not a change</h2>"
        heads = titles("Part", "Entry", "What", "Was", "Is", "Why", "Who", "When")
        rows = (
            row(
                each.part,
                str(each.seq),
                f"{each.kind} {each.field}",
                str(each.was),
                str(each.now),
                each.why,
                each.who,
                each.when,
            )
            for each in log.amended
        )
        yield from table((heads, *rows))
    yield p(log.proof.told, log.proof.amiss)


def _open(log: PartLog) -> Iterator[str]:
    for found in log.bench.open_deviations(log.part) if log.bench else ():
        yield f"{found.id} {found.text}"


def _signature(signature: Signature) -> Iterator[str]:
    entry, event = signature.entry, signature.event
    at = entry.at.local()
    yield f"<h2>Signed by {entry.operator}, {at:%a} {at.day} {at:%b %Y %H:%M}</h2>"
    holds = "the record still has it" if signature.holds else "THE RECORD HAS ANOTHER"
    anchor = event.hash or "none: it was signed in memory"
    yield p(f"After entry {event.head}, hash {anchor}", holds if event.hash else "")
    yield p(
        f"{event.brought} brought forward, {event.taken} taken in:"
        f" {len(event.stood)} in all"
    )
    yield from table(row(*each) for each in event.stood)
    yield from _list("Deviations that nobody had assessed", event.open)
    yield from _list("Not as the instructions say", event.otherwise)
    yield from _list("Closing checks that were not good", event.unseen)


def _list(what: str, told: tuple[str, ...]) -> Iterator[str]:
    yield p(f"{what}: {'; '.join(told) or 'none'}.")
