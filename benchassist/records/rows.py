"""A day's logs as rows of plain values, the same for every form of export."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from benchassist.domain.events import Entry, Event
from benchassist.domain.truth import Line, with_field
from benchassist.records.day_log import DayLog, PartLog
from benchassist.value import value


@value
class Row:
    """One entry of one part in a day's logs, as told and as true."""

    log: DayLog
    part: PartLog
    entry: Entry

    @property
    def line(self) -> Line:
        """The entry's line in the part's history."""
        return self.part.lines[self.entry.seq]

    @property
    def true(self) -> Event:
        """The event as it is true."""
        return true_event(self.entry.event, self.line)


COLUMNS: Mapping[str, Callable[[Row], Any]] = {
    "mark": lambda row: row.log.mark,
    "store": lambda row: row.log.store.store_id,
    "station": lambda row: row.log.store.station,
    "day": lambda row: row.log.day,
    "last_seq": lambda row: row.log.last_seq,
    "last_hash": lambda row: row.log.proof.hash,
    "proven": lambda row: row.log.proof.says(row.entry.seq),
    "part": lambda row: row.part.part,
    "part_state": lambda row: row.part.state,
    "part_stage": lambda row: row.part.stage,
    "seq": lambda row: row.entry.seq,
    "id": lambda row: row.entry.id,
    "at": lambda row: row.entry.at.local().isoformat(timespec="milliseconds"),
    "mono_ms": lambda row: row.entry.at.mono_ms,
    "boot": lambda row: row.entry.at.boot,
    "operator": lambda row: row.entry.operator,
    "channel": lambda row: row.entry.channel,
    "kind": lambda row: type(row.entry.event).__name__,
    "version": lambda row: row.entry.event.version,
    "happened": lambda row: "NO" if row.line.gone else "yes",
    "corrected_by": lambda row: " ".join(map(str, row.line.by)),
    "told": lambda row: row.entry.event if row.true != row.entry.event else "",
    "event": lambda row: row.true,
}


def rows(log: DayLog) -> Iterator[dict[str, Any]]:
    """Yield a row for each entry of each part, in order of part and entry.

    The keys are ``COLUMNS`` in order. ``mark`` is EXAMPLE or TRAINING unless the store
    is a real one; ``last_hash`` is the hash of entry ``last_seq``, and ``proven`` says
    whether the chain up to it vouches for the row; ``at`` is ISO 8601 local time with
    its offset from UTC. ``event`` is what is true: where it was put right,
    ``corrected_by`` names the entries that did, ``told`` is the event as it was told,
    and ``happened`` is NO for what did not happen.
    """
    for part in log.parts:
        for entry in part.entries:
            row = Row(log, part, entry)
            yield {name: told(row) for name, told in COLUMNS.items()}


def true_event(event: Event, line: Line) -> Event:
    """Return an event with all its parts, as one part's line says that it is true."""
    told, true = vars(line.told.event), vars(line.entry.event)
    for name in told:
        if told[name] != true[name]:
            event = with_field(event, name, true[name])
    return event
