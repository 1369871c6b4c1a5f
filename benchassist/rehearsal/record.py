"""What a journal says of a bench, as plain values that JSON can write.

Everything is read from the entries alone, in their order, so that the record of a
journal is the same whenever and wherever it is asked for.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import asdict
from typing import Any

from benchassist.clock import MS, Instant
from benchassist.domain import events as ev
from benchassist.domain.evolve.anew import replay
from benchassist.domain.ledger import owed
from benchassist.domain.state import Bench, Closed, LayerWork, Part
from benchassist.domain.truth import Record as Journal

STAGES = ev.StageStarted | ev.StageEnded
Record = dict[str, Any]


def seconds(ms: float) -> float:
    """Return milliseconds as seconds, whole where they are."""
    return ms // MS if ms % MS == 0 else ms / MS


def told(at: Instant) -> str:
    """Return an instant as local time with its offset."""
    return at.local().isoformat(timespec="milliseconds")


class _Reading:
    """Folds the entries and keeps what the state of the bench forgets."""

    def __init__(self, history: Journal) -> None:
        self._history = history
        self.bench = Bench()
        self.count = 0
        self.begun: dict[tuple[str, str], str] = {}
        self.stages: dict[str, list[Record]] = {}
        self.runs: dict[str, Record] = {}
        self.refusals: Counter[str] = Counter()
        self.closed: dict[str, Record] = {}
        self.deviations: dict[str, Record] = {}
        self.corrections: list[Record] = []

    def take(self, entry: ev.Entry) -> None:
        """Take one entry in."""
        self.count += not isinstance(entry.event, ev.StateKept)  # nothing happened
        self._note(entry)
        self.bench = replay(self.bench, (entry,), self._history)
        event = entry.event
        if isinstance(event, ev.PartReleased | ev.PartScrapped):
            part = self.bench.parts[event.part]
            self.closed[part.code] = part_record(self.bench, part)
        if isinstance(event, ev.Corrected):
            self._put_right(entry, event)

    def _put_right(self, entry: ev.Entry, event: ev.Corrected) -> None:
        """Tell what was done to the parts anew, and keep what was put right."""
        self.corrections.append(
            {"seq": entry.seq, "at": told(entry.at), "who": entry.operator}
            | asdict(event)
        )
        for code in event.parts:
            self.stages.pop(code, None)
            for line in self._history.history(code, entry.seq):
                if not line.gone and isinstance(line.entry.event, STAGES):
                    self._note(line.entry)
            if code in self.closed and code in self.bench.parts:
                self.closed[code] = part_record(self.bench, self.bench.parts[code])

    def _note(self, entry: ev.Entry) -> None:
        match entry.event:
            case ev.StageStarted(stage=stage, parts=parts):
                for code in parts:
                    self.begun[code, stage] = told(entry.at)
            case ev.StageEnded(part=code, stage=stage, elapsed_ms=ms):
                ended: Record = {"stage": stage, "ended": told(entry.at)}
                ended["elapsed_s"] = seconds(ms)
                if (code, stage) in self.begun:
                    ended["started"] = self.begun.pop((code, stage))
                self.stages.setdefault(code, []).append(ended)
            case ev.RunStarted(run=run):
                values = asdict(entry.event)
                self.runs[run] = {**values, "started": told(entry.at)}
            case ev.RunEndObserved(run=run):
                self.runs[run] |= asdict(entry.event) | {"ended": told(entry.at)}
            case ev.CommandRefused(code=code):
                self.refusals[code] += 1
            case ev.DeviationOpened(deviation=name):
                values = asdict(entry.event)
                self.deviations[name] = {**values, "opened": told(entry.at)}
            case ev.DeviationClosed(deviation=name, decision=decision, reason=why):
                self.deviations[name] |= {"decision": decision, "reason": why}
            case _:
                pass


def record_of(book: Journal) -> Record:
    """Return what a journal says: parts, runs, deviations, refusals, lamp time."""
    reading = _Reading(book)
    for entry in book.entries():
        reading.take(entry)
    bench = reading.bench
    parts = {code: part_record(bench, part) for code, part in bench.parts.items()}
    for code, part in {**reading.closed, **parts}.items():
        parts[code] = {**part, "stages": reading.stages.get(code, [])}
    store = bench.store
    return {
        "store": store.kind if store else "",
        "mark": "" if store and store.kind == "real" else "EXAMPLE",
        "events": reading.count,
        "parts": parts,
        "runs": reading.runs,
        "deviations": reading.deviations,
        "corrections": reading.corrections,
        "refusals": dict(reading.refusals),
        "lamp_on_s": {
            f"{day} {who}": seconds(ms)
            for (day, who, _), ms in bench.lamp_on_ms.items()
        },
        "vessels": {
            code: {"lot": fill.lot, "part_immersions": fill.immersions}
            for code, fill in bench.fills.items()
        },
    }


def part_record(bench: Bench, part: Part) -> Record:
    """Return what is known of one part now."""
    phase = part.phase
    return {
        "recipe": part.recipe,
        "variant": asdict(part.variant),
        "lots": {
            "print": part.print_lot,
            "coat": part.coat_lot,
            "stain": part.stain_lot,
        },
        "equipment": {"lamp": part.lamp, "box": part.box, "vessel": part.vessel},
        "at": part.stage.key,
        "phase": phase.how if isinstance(phase, Closed) else phase.kind,
        "solvent_s": seconds(part.solvent_ms),
        "ledger": [asdict(account) for account in owed(bench, part)],
        "exposures": [asdict(found) for found in part.exposures],
        "layers": {name: _layer(work) for name, work in part.work.items()},
        "checks": dict(part.checks),
    }


def _layer(work: LayerWork) -> Record:
    return {
        "lot": work.lot,
        "lots": work.lots,
        "lamps": work.lamps,
        "segments": work.segments,
        "spots": dict(Counter(work.spots)),
        "light_s": seconds(work.light_ms),
        "extra_s": seconds(work.extra_ms),
    }
