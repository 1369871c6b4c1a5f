"""What was put right since a day's report: an addition, never another report.

A report names its last entry and is the same for ever up to it. The addition is that
day at a later entry: the rows that changed and nothing else, each with what it was and
what it is, why, by whom and when.
"""

from __future__ import annotations

from collections.abc import Iterator

from benchassist.domain import events as ev
from benchassist.domain.truth import Line, true_lines
from benchassist.journal.reading import Reader
from benchassist.value import value


@value
class Amended:
    """One field of one entry in a report: as reported, and as it is now.

    ``field`` is ``gone`` where the entry did not happen; ``put_right`` is the number
    of the last entry that changed it.
    """

    part: str
    seq: int
    at: str
    kind: str
    field: str
    was: ev.Plain
    now: ev.Plain
    why: str
    who: str
    when: str
    put_right: int


def amendments(
    journal: Reader, day: str, reported: int, upto: int
) -> tuple[Amended, ...]:
    """Return what of a day's report was put right since.

    Parameters
    ----------
    journal
        Any open journal.
    day
        The local day of the report, YYYY-MM-DD.
    reported
        The last entry of the report.
    upto
        The last entry to look at now.
    """
    return tuple(
        row
        for part in journal.parts_on(day, reported)
        for row in _of_part(journal, part, reported, upto)
    )


def _of_part(journal: Reader, part: str, reported: int, upto: int) -> Iterator[Amended]:
    told = journal.told(part, upto)
    then = true_lines((each for each in told if each.seq <= reported), part)
    now = {line.told.seq: line for line in true_lines(told, part)}
    corrections = {each.seq: each for each in told}
    for was in then:
        true = now[was.told.seq]
        for field, old, new in _changed(was, true):
            by = corrections[true.by[-1]]
            assert isinstance(by.event, ev.Corrected)  # noqa: S101 - marks name these
            yield Amended(
                part=part,
                seq=was.told.seq,
                at=_told(was.told),
                kind=type(was.told.event).__name__,
                field=field,
                was=old,
                now=new,
                why=by.event.reason,
                who=by.operator,
                when=_told(by),
                put_right=by.seq,
            )


def _changed(was: Line, now: Line) -> Iterator[tuple[str, ev.Plain, ev.Plain]]:
    if was.gone != now.gone:
        yield ev.GONE, was.gone, now.gone
    for name, old in vars(was.entry.event).items():
        new = getattr(now.entry.event, name)
        if old != new:
            yield name, old, new


def _told(entry: ev.Entry) -> str:
    return entry.at.local().isoformat(timespec="seconds")
