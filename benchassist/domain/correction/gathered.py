"""What a correction needs of the record: the entry, its act, the parts it concerns."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.correction.worlds import OF_THE_ACT
from benchassist.domain.evolve.shelf_anew import BESIDE_PARTS
from benchassist.domain.truth import Line, Record, same_act, true_lines
from benchassist.value import value

# What ends a lamp's time in one hand.
ENDS_SESSION = (
    ev.LampSessionOpened,
    ev.OperatorClaimed,
    ev.StationHandedOver,
    ev.ProgramOpened,
)

# What uses what stands on the shelf.
USES = (ev.WalkStarted, ev.BrushWetted, ev.PartTaken, ev.SubmergeConfirmed)


@value
class Gathered:
    """An entry, what was told of each part it concerns, and what hangs on it.

    An entry that no part's history shows is as it was put right so far. ``stories``
    has the parts; ``hanging`` the entries of walks that were lit in a lamp session, or
    used what stood on the shelf. ``told`` is the entry as it was told at first.
    """

    entry: ev.Entry
    stories: dict[str, tuple[ev.Entry, ...]]
    hanging: tuple[ev.Entry, ...]
    told: ev.Entry


def gather(record: Record, command: cm.Correct) -> Gathered | None:
    """Return what a correction has to look at, None where there is no such entry."""
    try:
        entry = record.entry(command.entry)
    except LookupError:
        return None
    hanging = tuple(_hanging(record, entry))
    parts = _parts(record, entry, whole=command.field == ev.GONE)
    if command.part:
        parts = tuple(code for code in parts if code == command.part)
    parts = (*parts, *(code for each in hanging for code in _named(each.event)))
    stories = {code: record.told(code) for code in dict.fromkeys(parts)}
    told = entry
    if type(entry.event).__name__ in BESIDE_PARTS:
        entry = line_beside(record, entry).entry
    return Gathered(entry, stories, hanging, told)


def line_beside(record: Record, entry: ev.Entry) -> Line:
    """Return the line of an entry that no part's history shows."""
    corrections = record.entries_of("correction", str(entry.seq))
    return true_lines((entry, *corrections), "")[0]


def _parts(record: Record, entry: ev.Entry, *, whole: bool) -> tuple[str, ...]:
    """Return the parts that an entry names, or the whole act it was written with.

    How a run ended names no part: those that it credited are beside it.
    """
    named = list(_named(entry.event))
    ended = isinstance(entry.event, ev.RunEndObserved)
    if ended or (whole and type(entry.event).__name__ in OF_THE_ACT):
        for other in record.entries(after=entry.act - 1 if entry.act else entry.seq):
            if other.seq > entry.seq and not same_act(entry, other):
                break
            if same_act(entry, other) and type(other.event).__name__ in OF_THE_ACT:
                named += _named(other.event)
    return tuple(dict.fromkeys(named))


def _named(event: ev.Event) -> Iterable[str]:
    many = getattr(event, "parts", None)
    if many is not None:
        return tuple(many)
    one = getattr(event, "part", "")
    return (one,) if one else ()


def _hanging(record: Record, entry: ev.Entry) -> Iterator[ev.Entry]:
    match entry.event:
        case ev.LampSessionOpened(lamp=lamp):
            for other in record.entries(after=entry.seq):
                if isinstance(other.event, ENDS_SESSION):
                    return
                if isinstance(other.event, ev.WalkStarted) and other.event.lamp == lamp:
                    yield other
        case ev.LampReadingTaken(lamp=lamp):
            yield from _until_the_next(record, entry, "lamp", lamp)
        case ev.LotReceived(lot=lot):
            yield from _until_the_next(record, entry, "lot", lot.code)
        case ev.GlycerineFilled(vessel=vessel):
            yield from _until_the_next(record, entry, "vessel", vessel)
        case _:
            pass


def _until_the_next(
    record: Record, entry: ev.Entry, kind: str, code: str
) -> Iterator[ev.Entry]:
    """Yield what parts took from the shelf before the shelf was told anew.

    What was mixed of a lot is as old as the lot.
    """
    for other in record.entries_of(kind, code):
        event = other.event
        if other.seq <= entry.seq:
            continue
        if isinstance(event, ev.LotReceived) and event.lot.code != code:
            yield from _until_the_next(record, other, kind, event.lot.code)
            continue
        if isinstance(event, type(entry.event)):
            return
        if isinstance(event, USES):
            yield other
