"""The file that people open: one line for each part, in words and plain numbers.

Everything is as it is true after corrections; ``proven`` says whether the chain
vouches for every entry behind the line. Cells as ``cells`` says.
"""

from __future__ import annotations

from collections.abc import Iterator

from benchassist.domain.ledger import Account, owed
from benchassist.domain.state import Bench, Part
from benchassist.records import cells
from benchassist.records.day_log import DayLog, PartLog

COLUMNS = (
    "mark",
    "part",
    "item",
    "recipe",
    "instructions",
    "status",
    "print_lot",
    "printed",
    "coat_lot",
    "stain_lot",
    "lamp",
    "lamp_known",
    "box",
    "vessel",
    "dose_seen_of_owed",
    "coats",
    "deviations",
    "state",
    "closed_at",
    "closed_by",
    "entries",
    "proven",
    "last_seq",
    "last_hash",
    "signed",
)
RUNGS = {
    0: "known mismatch",
    1: "no data",
    2: "label only",
    3: "tested here",
    4: "papers or measured",
}
SEEN = {
    # evidence: what it is called; seen is what somebody saw, and nothing else
    "observed": "seen",
    "paced": "paced",
    "computed": "worked out",
    "assumed": "assumed",
}


def as_part_lines(log: DayLog) -> str:
    """Return one CSV line (RFC 4180) for each part of a day's logs, with a header."""
    return cells.as_csv(COLUMNS, (_cells(log, part) for part in log.parts))


def _cells(log: DayLog, found: PartLog) -> Iterator[object]:
    bench = found.bench
    part = bench.parts.get(found.part) if bench else None
    yield log.mark
    yield found.part
    yield from _facts(bench, part) if bench and part else ("",) * 9
    yield _known(found)
    yield from (part.box, part.vessel) if part else ("", "")
    yield "; ".join(map(_dose, owed(bench, part))) if bench and part else ""
    yield part.coats if part else ""
    yield "; ".join(_deviations(bench, found.part)) if bench else ""
    yield found.state
    yield from _closed(found)
    yield len(found.entries)
    yield log.proof.says(*(entry.seq for entry in found.entries))
    yield log.last_seq
    yield log.proof.hash
    yield log.signed[-1].told if log.signed else ""


def _facts(bench: Bench, part: Part) -> tuple[str, ...]:
    recipe = bench.recipe_of(part)
    return (
        recipe.item_class,
        recipe.id,
        recipe.ifu_revision,
        " ".join(filter(None, (recipe.status, recipe.record_no))),
        part.print_lot,
        part.printed,
        ", ".join(dict.fromkeys(_brushed(part, "coat")) or (part.coat_lot,)),
        ", ".join(dict.fromkeys(_brushed(part, "stain")) or (part.stain_lot,)),
        ", ".join(_lamps(part)) or part.lamp,
    )


def _brushed(part: Part, role: str) -> dict[str, None]:
    """Return the lots that lie on a part in layers of a role, in order."""
    works = (work for layer, work in part.work.items() if layer.startswith(role))
    return {lot: None for work in works for lot in work.lots}


def _lamps(part: Part) -> tuple[str, ...]:
    return tuple({lamp: None for work in part.work.values() for lamp in work.lamps})


def _known(found: PartLog) -> str:
    """Return how well the lamp was known at the last walk."""
    *_, last = (None, *found.rungs)
    return "" if last is None else RUNGS.get(last, "")


def _dose(account: Account) -> str:
    had = str(account.low)
    if account.high != account.low:
        had = f"{account.low} to {account.high}"
    side = f" {account.side}" if account.side else ""
    how = f" {SEEN[account.evidence]}" if account.evidence else ""
    return f"{account.layer}{side}: {had} of {account.owed}{how}"


def _deviations(bench: Bench, part: str) -> Iterator[str]:
    for each in bench.deviations.values():
        if part in each.parts:
            yield f"{each.id} {each.rule}, {each.decision or 'open'}"


def _closed(found: PartLog) -> tuple[str, str]:
    """Return when and by whom a part was released or scrapped; empty while neither."""
    entry = found.closed
    if entry is None:
        return "", ""
    return entry.at.local().isoformat(timespec="seconds"), entry.operator
