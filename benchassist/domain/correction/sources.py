"""Where the program took a field of an event from, so that it can follow it.

A field that agreed with its source as told follows it as true; any other was laid
there by a hand, and stays.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from benchassist.domain import events as ev
from benchassist.domain.layer import lot_for
from benchassist.domain.state import Bench, Load, Walking

Ends = Mapping[str, ev.RunEndObserved]
Source = Callable[[Bench, str, ev.Event, Ends], "ev.Plain | None"]


def _of_part(name: str) -> Source:
    def source(bench: Bench, part: str, event: ev.Event, ends: Ends) -> ev.Plain:
        found: ev.Plain = getattr(bench.parts[part], name)
        return found

    return source


def _load(bench: Bench, part: str) -> Load | None:
    return next((each for each in bench.loads.values() if part in each.parts), None)


def _of_load(name: str) -> Source:
    def source(bench: Bench, part: str, event: ev.Event, ends: Ends) -> ev.Plain | None:
        load = _load(bench, part)
        return None if load is None else getattr(load, name)

    return source


def _rate(bench: Bench, part: str, event: ev.Event, ends: Ends) -> ev.Plain | None:
    load = _load(bench, part)
    box = bench.boxes.get(load.box) if load else None
    return box.rate_hz if box else None


def _whole_run(bench: Bench, part: str, event: ev.Event, ends: Ends) -> int | None:
    """Return what was set, where the run is told to have given it."""
    assert isinstance(event, ev.RunEndObserved)  # noqa: S101 - the table says so
    run = bench.runs.get(event.run)
    return run.planned if run and event.outcome == "completed" else None


def _of_end(name: str) -> Source:
    def source(bench: Bench, part: str, event: ev.Event, ends: Ends) -> ev.Plain | None:
        end = ends.get(getattr(event, "run", ""))
        return None if end is None else getattr(end, name)

    return source


def _layer_lot(bench: Bench, part: str, event: ev.Event, ends: Ends) -> str:
    assert isinstance(event, ev.BrushWetted)  # noqa: S101 - the table says so
    return lot_for(bench.parts[part], event.layer)


def _lit_by(bench: Bench, part: str, event: ev.Event, ends: Ends) -> str | None:
    phase = bench.parts[part].phase
    return phase.lamp if isinstance(phase, Walking) else None


SOURCES: dict[tuple[str, str], Source] = {
    ("LoadConfirmed", "box"): _of_part("box"),
    ("LoadConfirmed", "vessel"): _of_part("immersed_in"),
    ("SubmergeConfirmed", "box"): _of_part("box"),
    ("SubmergeConfirmed", "vessel"): _of_part("vessel"),
    ("ImmersionCounted", "vessel"): _of_part("vessel"),
    ("RunStarted", "box"): _of_load("box"),
    ("RunStarted", "vessel"): _of_load("vessel"),
    ("RunStarted", "planned"): _of_load("count"),
    ("RunStarted", "rate_hz"): _rate,
    ("RunStarted", "side"): _of_part("facing"),
    ("RunEndObserved", "low"): _whole_run,
    ("RunEndObserved", "high"): _whole_run,
    ("DoseCredited", "side"): _of_part("facing"),
    ("DoseCredited", "low"): _of_end("low"),
    ("DoseCredited", "high"): _of_end("high"),
    ("DoseCredited", "evidence"): _of_end("evidence"),
    ("BrushWetted", "lot"): _layer_lot,
    ("WalkStarted", "lamp"): _of_part("lamp"),
    ("SpotTacked", "lamp"): _lit_by,
    ("SpotBroken", "lamp"): _lit_by,
}


def followed(
    told: Bench,
    true: Bench,
    part: str,
    event: ev.Event,
    ends: tuple[Ends, Ends],
) -> dict[str, ev.Plain]:
    """Return the fields of an event that follow their source, and what they become."""
    kind, found = type(event).__name__, {}
    for (name, field), source in SOURCES.items():
        if name != kind:
            continue
        said = source(told, part, event, ends[0])
        if said is None or said != getattr(event, field):
            continue
        now = source(true, part, event, ends[1])
        if now is not None and now != said:
            found[field] = now
    return found
