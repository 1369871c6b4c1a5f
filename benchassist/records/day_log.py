"""The logs of the parts that a local day touched, up to one entry.

A part's log is every entry that concerns it, its box runs and its deviations, on
whatever day, as told and as true. Its state is folded from what is true by the bench's
own rules, as if it had been alone at the bench; so the same last entry always gives
the same log.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import groupby

from benchassist.domain import events as ev
from benchassist.domain.evolve import evolve
from benchassist.domain.state import Bench, Closed
from benchassist.domain.truth import Line, alone, concerns, true_lines
from benchassist.journal.projections import DEFINED, FILLED
from benchassist.journal.reading import Reader
from benchassist.records.amendment import Amended, amendments
from benchassist.records.paper import mark_of
from benchassist.records.proof import Proof, prove

NEVER_TAKEN_IN = "never taken in"
NOT_KNOWN = "not known"
# What happened to the time of a part between its first entry and its last.
CLOCKS = ("WallClockStepped", "NobodyWatched", "ProgramOpened", "DarkTold")
_BEFORE_INTAKE = (ev.RecipeDefined, ev.GlycerineFilled, ev.PartTaken)


@dataclass(frozen=True)
class PartLog:
    """A part, where it stands after the last entry, and all that concerns it.

    ``entries`` are as they were told, ``lines`` as they are true, by their numbers;
    ``own`` are those that were found under its code; ``bench`` is the part as if it had
    been alone, ``None`` where that is not known.
    """

    part: str
    state: str
    stage: str
    entries: tuple[ev.Entry, ...]
    own: tuple[ev.Entry, ...]
    lines: dict[int, Line]
    bench: Bench | None = None

    @property
    def closed(self) -> ev.Entry | None:
        """Return what released or scrapped it last; ``None`` while neither did."""
        closing = ev.PartReleased | ev.PartScrapped
        found = (each for each in self._true if isinstance(each.event, closing))
        return max(found, key=_seq, default=None)

    @property
    def rungs(self) -> tuple[int | None, ...]:
        """Return how well the lamp was known at each walk, by its rung then."""
        walks = (e.event for e in self._true if isinstance(e.event, ev.WalkStarted))
        rungs = (dict(walk.numbers).get("rung") for walk in walks)
        return tuple(None if rung is None else int(rung) for rung in rungs)

    @property
    def _true(self) -> Iterator[ev.Entry]:
        return (line.entry for line in self.lines.values() if not line.gone)


@dataclass(frozen=True)
class Signature:
    """A signature of the day; ``holds``: its entry still has the hash it names."""

    entry: ev.Entry
    event: ev.DaySigned
    holds: bool

    @property
    def told(self) -> str:
        """Return it in one cell."""
        at = self.entry.at.local().isoformat(timespec="seconds")
        anchor = f"entry {self.event.head}, hash {self.event.hash}"
        return f"{self.entry.operator} {at}, {anchor}"


@dataclass(frozen=True)
class DayLog:
    """The parts that a local day touched, in order of their codes.

    ``signed`` are the day's signatures, ``amended`` what was put right of it since the
    last of them.
    """

    day: str
    last_seq: int
    store: ev.StoreCreated
    parts: tuple[PartLog, ...]
    proof: Proof
    signed: tuple[Signature, ...] = ()
    amended: tuple[Amended, ...] = ()

    @property
    def mark(self) -> str:
        """Return what every row of an invented store carries; "" for a real one."""
        return mark_of(self.store)


def day_log(journal: Reader, store: ev.StoreCreated, day: str, last_seq: int) -> DayLog:
    """Return the logs of the parts touched on ``day`` (YYYY-MM-DD)."""
    parts = journal.parts_on(day, last_seq)
    logs = tuple(part_log(journal, part, last_seq) for part in parts)
    listed = [(each.part, entry) for each in logs for entry in each.own]
    entries = [entry for each in logs for entry in each.entries]
    proof = prove(journal, entries, last_seq, listed, day)
    signed = tuple(_signatures(journal, day, last_seq))
    amended: tuple[Amended, ...] = ()
    if signed:
        amended = amendments(journal, day, signed[-1].event.head, last_seq)
    return DayLog(day, last_seq, store, logs, proof, signed, amended)


def _signatures(journal: Reader, day: str, last_seq: int) -> Iterator[Signature]:
    for entry in journal.entries_of("day", day, last_seq, role="signed"):
        event = entry.event
        if isinstance(event, ev.DaySigned):
            there = journal.hash_of(event.head)
            holds = there is not None and there.hex() == event.hash
            yield Signature(entry, event, holds)


def part_log(journal: Reader, part: str, last_seq: int) -> PartLog:
    """Return the log of one part up to an entry, and its state after it."""
    own = list(journal.entries_of("part", part, last_seq))
    linked = [
        journal.entries_of(kind, name, last_seq)
        for kind in ("run", "deviation")
        for name in _named(own, kind)
    ]
    log = tuple(
        entry for entry in _merged([iter(own), *linked]) if concerns(entry.event, part)
    )
    if own:
        clocks = journal.of_kinds(CLOCKS, own[0].seq, own[-1].seq)
        log = tuple(_merged([iter(log), clocks]))
    told = (replace(entry, event=alone(entry.event, part)) for entry in log)
    lines = true_lines(told, part)
    true = [line.entry for line in lines if not (line.gone or _of_clock(line.entry))]
    around = [
        journal.entries_of(kind, name, last_seq, role=role)
        for kind, role in (("recipe", DEFINED), ("vessel", FILLED))
        for name in _named((*own, *true), kind)  # it may have lain in another vessel
    ]
    bench = _alone(part, _merged([iter(true), *around]))
    state, stage = _state(part, bench)
    by_seq = {line.told.seq: line for line in lines}
    return PartLog(part, state, stage, log, tuple(own), by_seq, bench)


def _alone(part: str, entries: Iterable[ev.Entry]) -> Bench | None:
    """Return the bench as if the part had been alone at it; None if not known."""
    bench = Bench()
    for entry in entries:
        event = entry.event
        if part in bench.parts or isinstance(event, _BEFORE_INTAKE):
            try:
                bench = evolve(bench, replace(entry, event=alone(event, part)))
            except (AttributeError, LookupError, TypeError, ValueError):
                # Entries are missing from it, which the proof says.
                return None
    return bench


def _state(part: str, bench: Bench | None) -> tuple[str, str]:
    if bench is None:
        return NOT_KNOWN, ""
    if part not in bench.parts:
        return NEVER_TAKEN_IN, ""
    found = bench.parts[part]
    phase = found.phase
    how = phase.how if isinstance(phase, Closed) else phase.kind
    review = ", under review" if bench.reviewed(found) else ""
    return f"{how}{review}", found.stage.key


def _of_clock(entry: ev.Entry) -> bool:
    return type(entry.event).__name__ in CLOCKS


def _named(entries: Iterable[ev.Entry], kind: str) -> list[str]:
    names = {getattr(entry.event, kind, "") for entry in entries}
    return sorted(name for name in names if name)


def _merged(sources: Iterable[Iterator[ev.Entry]]) -> Iterator[ev.Entry]:
    """Yield the entries of several ordered sources in order, each once."""
    ordered = heapq.merge(*sources, key=_seq)
    for _, same in groupby(ordered, key=_seq):
        yield next(same)


def _seq(entry: ev.Entry) -> int:
    return entry.seq
