"""A day's logs as rows of plain values, the same for every form of export."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from benchassist.domain.events import Entry, Event
from benchassist.domain.truth import Line, with_field
from benchassist.records.day_log import DayLog, PartLog

COLUMNS = (
    "mark",
    "store",
    "station",
    "day",
    "last_seq",
    "last_hash",
    "proven",
    "part",
    "part_state",
    "part_stage",
    "seq",
    "id",
    "at",
    "mono_ms",
    "boot",
    "operator",
    "channel",
    "kind",
    "version",
    "happened",
    "corrected_by",
    "told",
    "event",
)


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
            yield dict(zip(COLUMNS, _cells(log, part, entry), strict=True))


def _cells(log: DayLog, part: PartLog, entry: Entry) -> tuple[Any, ...]:
    line = part.lines[entry.seq]
    event = true_event(entry.event, line)
    return (
        log.mark,
        log.store.store_id,
        log.store.station,
        log.day,
        log.last_seq,
        log.proof.hash,
        "yes" if log.proof.vouches(entry.seq) else "NO",
        part.part,
        part.state,
        part.stage,
        entry.seq,
        entry.id,
        entry.at.local().isoformat(timespec="milliseconds"),
        entry.at.mono_ms,
        entry.at.boot,
        entry.operator,
        entry.channel,
        type(entry.event).__name__,
        entry.event.version,
        "NO" if line.gone else "yes",
        " ".join(map(str, line.by)),
        entry.event if event != entry.event else "",
        event,
    )


def true_event(event: Event, line: Line) -> Event:
    """Return an event with all its parts, as one part's line says that it is true."""
    told, true = vars(line.told.event), vars(line.entry.event)
    for name in told:
        if told[name] != true[name]:
            event = with_field(event, name, true[name])
    return event
