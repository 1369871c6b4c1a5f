"""State from events about what is known of a part and of the room it needs."""

from __future__ import annotations

from benchassist.domain import events as ev
from benchassist.domain.evolve.table import on
from benchassist.domain.state import Bench, Part
from benchassist.value import replace


def _with(bench: Bench, code: str, **values: object) -> Bench:
    """Return the bench with a part changed, where it is still known."""
    part: Part | None = bench.parts.get(code)
    return bench if part is None else bench.with_part(replace(part, **values))


@on(ev.PartMeasured)
def _measured(bench: Bench, entry: ev.Entry, event: ev.PartMeasured) -> Bench:
    return _with(bench, event.part, shape=event.shape)


@on(ev.FacesMarked)
def _marked(bench: Bench, entry: ev.Entry, event: ev.FacesMarked) -> Bench:
    return _with(bench, event.part, faces=event.faces)


@on(ev.PhotoKept)
def _photo(bench: Bench, entry: ev.Entry, event: ev.PhotoKept) -> Bench:
    part = bench.parts.get(event.part)
    had = part.photos if part else ()
    kept = tuple(dict.fromkeys((*had, event.digest)))
    return _with(bench, event.part, photos=kept)


@on(ev.PartNoted)
def _noted(bench: Bench, entry: ev.Entry, event: ev.PartNoted) -> Bench:
    return _with(bench, event.part, note=event.text)


@on(ev.VesselMeasured)
def _vessel(bench: Bench, entry: ev.Entry, event: ev.VesselMeasured) -> Bench:
    return bench.put("vessel_sizes", event.vessel, event.size)


@on(ev.PlacesDrawn)
def _places(bench: Bench, entry: ev.Entry, event: ev.PlacesDrawn) -> Bench:
    return bench.put("box_plans", event.box, event.plan)
