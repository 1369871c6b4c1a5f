"""What is told of a part beside its stages, and of the room it needs in a box."""

from __future__ import annotations

import re
from itertools import combinations, pairwise

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.deciders.common import find
from benchassist.domain.deciders.table import decides
from benchassist.domain.names import person_in
from benchassist.domain.outcome import Decision, Refusal
from benchassist.domain.shape import (
    MOST_OUTLINE,
    MOST_PLACES,
    BoxPlace,
    BoxPlan,
    PartShape,
    VesselSize,
)
from benchassist.domain.state import Bench

DIGEST = re.compile(r"[0-9a-f]{64}")
LONGEST_NOTE = 400  # characters: a note, not a letter
MOST_SPOTS = 200  # of one coat; an arch of three faces has some 60
MOST_PHOTOS = 12  # of one part
MOST_MM = 400.0  # no part, vessel or shelf of a bench is longer
GAP_MM = 5.0  # between two places, so that none shades the other; common practice


@decides(cm.MeasurePart)
def measure_part(bench: Bench, command: cm.MeasurePart, now: Instant) -> Decision:
    """Put the shape of a part's print file on its record."""
    part = find(bench, command.part)
    wrong = _no_shape(command.shape)
    if wrong:
        return Refusal("shape", wrong, part=part.code)
    return (ev.PartMeasured(part.code, command.shape),)


def _no_shape(shape: PartShape) -> str:
    """Return why these are no sizes of a part, or nothing."""
    sizes = (shape.width_mm, shape.depth_mm, shape.height_mm)
    room = shape.width_mm * shape.depth_mm * shape.height_mm
    if not DIGEST.fullmatch(shape.digest):
        return "The print file has no digest: read it again."
    if not all(0 < each <= MOST_MM for each in sizes):
        return f"A part is up to {MOST_MM:g} mm long: check the unit of its file."
    if not 0 < shape.volume_mm3 <= room * (1 + 1e-6) or shape.area_mm2 <= 0:
        return "The print file holds no solid part: export it again."
    if len(shape.outline_mm) > MOST_OUTLINE:
        return f"An outline has up to {MOST_OUTLINE} points."
    return ""


@decides(cm.MarkFaces)
def mark_faces(bench: Bench, command: cm.MarkFaces, now: Instant) -> Decision:
    """Say which faces are coated and how many spots cover them, before any coat."""
    part = find(bench, command.part)
    if part.work:
        return Refusal(
            "coated",
            f"{part.code} has a coat on it: its spots are counted already.",
            remedy="Strip it first (what now?), or leave the faces as they are.",
            part=part.code,
        )
    spots = [face.spots for face in command.faces]
    titles = [face.title.strip() for face in command.faces]
    if len(set(titles)) < len(titles) or not all(titles):
        return Refusal("faces", "Every face has a name of its own.", part=part.code)
    if not all(each >= 1 for each in spots) or sum(spots) > MOST_SPOTS:
        message = f"A face takes a spot or more, a coat up to {MOST_SPOTS}."
        return Refusal("faces", message, part=part.code)
    return (ev.FacesMarked(part.code, command.faces, command.area_mm2),)


@decides(cm.KeepPhoto)
def keep_photo(bench: Bench, command: cm.KeepPhoto, now: Instant) -> Decision:
    """Put a photo on a part's record; a closed part may get one as well."""
    part = bench.parts.get(command.part) or find(bench, command.part)
    if not DIGEST.fullmatch(command.digest):
        return Refusal("photo", "The photo has no digest: add it again.")
    if command.digest in part.photos:
        return Refusal("photo", f"{part.code} has this photo already.", part=part.code)
    if len(part.photos) >= MOST_PHOTOS:
        message = (
            f"{part.code} has {MOST_PHOTOS} photos: that is all there is room for."
        )
        return Refusal("photo", message, part=part.code)
    name = person_in(command.note, year=now.local().year)
    if name:
        return Refusal("name", name, part=part.code)
    return (ev.PhotoKept(part.code, command.digest, command.note.strip()),)


@decides(cm.NotePart)
def note_part(bench: Bench, command: cm.NotePart, now: Instant) -> Decision:
    """Write a note on a part, once what reads like a person was looked at."""
    part = find(bench, command.part)
    text = command.text.strip()
    if len(text) > LONGEST_NOTE:
        return Refusal("note", f"A note has up to {LONGEST_NOTE} characters.")
    name = "" if command.sure else person_in(text, year=now.local().year)
    if name:
        return Refusal("name", name, part=part.code)
    return (ev.PartNoted(part.code, text),)


@decides(cm.MeasureVessel)
def measure_vessel(bench: Bench, command: cm.MeasureVessel, now: Instant) -> Decision:
    """Say how large a vessel is, by a ruler."""
    vessel = bench.vessels.get(command.vessel)
    if vessel is None:
        return Refusal("no-equipment", f"The vessel “{command.vessel}” is not on file.")
    wrong = _no_size(command.size, vessel.height_mm)
    if wrong:
        return Refusal("size", wrong)
    return (ev.VesselMeasured(vessel.code, command.size),)


def _no_size(size: VesselSize, height_mm: float) -> str:
    if not all(0 < each <= MOST_MM for each in (size.wide_mm, size.deep_mm)):
        return f"Footprint: write millimetres, up to {MOST_MM:g}."
    if not 0 < size.floor_mm < height_mm:
        return f"Floor: thinner than the vessel is high, {height_mm:g} mm."
    outside_cm2 = size.wide_mm * size.deep_mm / 100
    if not 0 < size.inside_cm2 <= outside_cm2:
        return (
            f"Inside: up to its footprint, {outside_cm2:.0f} cm²; write cm², not mm²."
        )
    return ""


@decides(cm.DrawPlaces)
def draw_places(bench: Bench, command: cm.DrawPlaces, now: Instant) -> Decision:
    """Say where the places of a box are; none overlaps another or the walls."""
    if command.box not in bench.boxes:
        return Refusal("no-equipment", f"The box “{command.box}” is not on file.")
    wrong = _no_plan(command.plan)
    if wrong:
        return Refusal("places", wrong)
    return (ev.PlacesDrawn(command.box, command.plan),)


def _no_plan(plan: BoxPlan) -> str:
    """Return why nothing can stand like this, or nothing."""
    names = sorted(place.name for place in plan.places)
    if not all(0 < each <= MOST_MM for each in (plan.wide_mm, plan.deep_mm)):
        return f"Shelf: write millimetres, up to {MOST_MM:g}."
    if len(names) > MOST_PLACES:
        return f"A shelf has up to {MOST_PLACES} places."
    twice = next((one for one, next_ in pairwise(names) if one == next_), "")
    if twice or not all(names):
        return f"Every place has a mark of its own: “{twice}” stands twice."
    if plan.photo and not DIGEST.fullmatch(plan.photo):
        return "The photo of the shelf has no digest: add it again."
    for place in plan.places:
        if not _inside(plan, place):
            return f"{place.name} stands out over the shelf."
    for one, other in combinations(plan.places, 2):
        if one.meets(other):
            return f"{one.name} and {other.name} stand on one another."
        if one.meets(other, GAP_MM):
            return f"{one.name} and {other.name}: leave {GAP_MM:g} mm between them."
    return ""


def _inside(plan: BoxPlan, place: BoxPlace) -> bool:
    across, along = place.wide_mm / 2, place.deep_mm / 2
    wide = across > 0 and across <= place.x_mm <= plan.wide_mm - across
    return wide and along > 0 and along <= place.y_mm <= plan.deep_mm - along
