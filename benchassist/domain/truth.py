"""What was told, and what of it is true: one part's entries read a second time.

The entries stay as they were told. Whoever asks what happened reads them with every
correction among them applied. Nothing here knows a file.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any, Protocol

from benchassist.domain import events as ev
from benchassist.value import replace, value


@value
class Line:
    """An entry of one part's history, as it is true and as it was told.

    ``by`` are the entries that put it right, the first one first; ``gone`` says that it
    did not happen.
    """

    entry: ev.Entry
    told: ev.Entry
    by: tuple[int, ...] = ()
    gone: bool = False


class Record(Protocol):
    """What is asked of a journal about its entries, on disk or in memory."""

    def entry(self, seq: int) -> ev.Entry:
        """Return one entry, as it was told."""
        ...

    def entries(self, after: int = 0) -> Iterator[ev.Entry]:
        """Yield the entries behind ``after``, as they were told."""
        ...

    def entries_of(
        self, subject_kind: str, subject: str, upto: int | None = None
    ) -> Iterator[ev.Entry]:
        """Yield the entries that concern a subject, in order."""
        ...

    def last_of(
        self, kind: str, subject_kind: str, subject: str, before: int | None = None
    ) -> ev.Entry | None:
        """Return the last entry of a kind that concerns a subject."""
        ...

    def told(self, part: str) -> tuple[ev.Entry, ...]:
        """Return all that was told of a part."""
        ...

    def history(self, part: str, upto: int | None = None) -> tuple[Line, ...]:
        """Return what is true of a part."""
        ...


def alone(event: ev.Event, part: str) -> ev.Event:
    """Return an event as if ``part`` had been the only part in it."""
    if not hasattr(event, "parts") or isinstance(event, ev.Corrected):
        return event
    return replace(event, parts=(part,))


def concerns(event: ev.Event, part: str) -> bool:
    """Return whether an event names ``part``, or no part at all."""
    return part in getattr(event, "parts", (getattr(event, "part", part),))


def same_act(one: ev.Entry, other: ev.Entry) -> bool:
    """Return whether two entries were written by one command."""
    return one.act == other.act and one.at == other.at


def field_of(event: ev.Event, field: str) -> Any:  # noqa: ANN401 - any field
    """Return what stands in a field; ``lot.expires`` reaches into one."""
    found: Any = event
    for name in field.split("."):
        found = getattr(found, name)
    return found


def with_field(event: ev.Event, field: str, new: ev.Plain) -> ev.Event:
    """Return an event with another value in a field."""
    name, _, below = field.partition(".")
    if below:
        return replace(event, **{name: replace(getattr(event, name), **{below: new})})
    return replace(event, **{name: new})


def true_lines(told: Iterable[ev.Entry], part: str) -> tuple[Line, ...]:
    """Return the entries of a part, every correction among them applied in its turn."""
    lines = {entry.seq: Line(entry, entry) for entry in told}
    corrections = [line.told for line in lines.values()]
    for entry in corrections:
        if not isinstance(entry.event, ev.Corrected):
            continue
        for change in entry.event.changes:
            line = lines.get(change.seq)
            if line is not None and change.part in ("", part):
                lines[change.seq] = changed(line, change, entry.seq)
    return tuple(lines.values())


def changed(line: Line, change: ev.Change, by: int) -> Line:
    """Return a line after one change of it."""
    found = dict.fromkeys((*line.by, by))
    if change.field == ev.GONE:
        return replace(line, gone=bool(change.new), by=tuple(found))
    event = with_field(line.entry.event, change.field, change.new)
    return replace(line, entry=replace(line.entry, event=event), by=tuple(found))
