"""The tack spots on the coat's faces: where they fall, what they reach, how long."""

from __future__ import annotations

from benchassist.clock import MS
from benchassist.domain.layer import layer_light
from benchassist.domain.light import judge_lamp
from benchassist.domain.segments import coat_s, segments, spots_per_segment
from benchassist.domain.state import Bench, Paused, Walking
from benchassist.domain.wet import wet_limit_ms
from benchassist.domain.words import clock
from benchassist.physics import spots
from benchassist.physics.light_check import seconds_needed
from benchassist.sums.spot_map import (
    ARC_MM,
    BAND_MM,
    CROWN_MM,
    Geometry,
    faces_of,
    lattices_of,
)
from benchassist.sums.subject import Subject, UnknownError, typed_number
from benchassist.ui.present.physics.plot import number
from benchassist.ui.present.physics.working_curve import reach
from benchassist.ui.view import Field
from benchassist.ui.words import say
from benchassist.value import value

LENGTH_MM = (0.5, 1000.0)
SHAPES = (("arch", "arch"), ("crown", "crown"), ("rectangle", "rectangle"))
MOST_FACES = {"arch": 3, "crown": 5, "rectangle": 6}


Laid = tuple[spots.Face, spots.Lattice, spots.Cover]


@value
class Spot:
    """One circle on a face, in mm from the face's corner; segments count from 1."""

    x_mm: float
    y_mm: float
    number: int
    segment: int
    state: str


@value
class FaceMap:
    """One face laid flat, with its spots."""

    title: str
    length_mm: float
    width_mm: float
    spots: tuple[Spot, ...]
    covers: bool


@value
class SpotsView:
    """All faces to scale, and sentences on count, time, cover and dose."""

    faces: tuple[FaceMap, ...]
    beam_mm: float
    lines: tuple[str, ...]
    warnings: tuple[str, ...]
    arch: bool


def fields(geometry: Geometry) -> tuple[Field, ...]:
    """Return the fields in which a geometry is typed."""
    length = say("Arc, mm") if geometry.shape == "arch" else say("Length, mm")
    width = say("Band, mm") if geometry.shape == "arch" else say("Width, mm")
    found = [
        Field("shape", say("Shape"), "choice", geometry.shape, SHAPES),
        Field("length_mm", length, "number", f"{geometry.length_mm:g}"),
        Field("width_mm", width, "number", f"{geometry.width_mm:g}"),
        Field("faces", say("Faces"), "number", f"{geometry.faces}"),
        Field("beam_mm", say("Beam, mm"), "number", f"{geometry.beam_mm:g}"),
        Field("overlap", say("Overlap, %"), "number", f"{geometry.overlap:.0%}"[:-1]),
    ]
    if geometry.shape == "crown":
        height = Field(
            "height_mm", say("Height, mm"), "number", f"{geometry.height_mm:g}"
        )
        found.insert(3, height)
    return tuple(found)


def typed(values: dict[str, str], before: Geometry) -> Geometry:
    """Return the geometry that was typed.

    Raises
    ------
    UnknownError
        If a value cannot be: the text says which.
    """
    shape = values.get("shape", before.shape)
    if shape != before.shape:
        size = {
            "arch": (ARC_MM, BAND_MM, 0.0),
            "crown": CROWN_MM,
            "rectangle": (24.0, 8.0, 0.0),
        }[shape]
        faces = MOST_FACES[shape] if shape != "rectangle" else 1
        return Geometry(shape, *size, faces, before.beam_mm, before.overlap)
    overlap = _typed(values, "overlap", say("Overlap"), before.overlap * 100) / 100
    if not 0 <= overlap <= 0.95:  # noqa: PLR2004 - beyond it spots lie on each other
        message = say("Overlap: type a percentage from 0 to 95.")
        raise UnknownError(message)
    faces = round(_typed(values, "faces", say("Faces"), before.faces))
    if not 1 <= faces <= MOST_FACES[shape]:
        message = say(
            "Faces: {shapes_words} has 1 to {most_faces} of them.",
            shapes_words=SHAPES_WORDS[shape],
            most_faces=MOST_FACES[shape],
        )
        raise UnknownError(message)
    return Geometry(
        shape,
        _length(values, "length_mm", say("Length"), before.length_mm),
        _length(values, "width_mm", say("Width"), before.width_mm),
        _length(values, "height_mm", say("Height"), before.height_mm or 7.0),
        faces,
        _length(values, "beam_mm", say("Useful beam"), before.beam_mm),
        overlap,
    )


SHAPES_WORDS = {
    "arch": say("an arch"),
    "crown": say("a crown"),
    "rectangle": say("a rectangle"),
}


def _typed(values: dict[str, str], name: str, label: str, usual_: float) -> float:
    return typed_number(label, values.get(name, f"{usual_:g}"))


def _length(values: dict[str, str], name: str, label: str, usual_: float) -> float:
    found = _typed(values, name, label, usual_)
    low, high = LENGTH_MM
    if not low <= found <= high:
        message = say(
            "{label}: type millimetres from {low:g} to {high:g}.",
            label=label,
            low=low,
            high=high,
        )
        raise UnknownError(message)
    return found


def spots_view(bench: Bench, subject: Subject, geometry: Geometry) -> SpotsView:
    """Return the map and what it means.

    Raises
    ------
    UnknownError
        If the geometry cannot be, or the lamp sets nothing here.
    """
    try:
        faces = faces_of(geometry)
    except ValueError as error:
        raise UnknownError(str(error)) from error
    beam = spots.Beam(geometry.beam_mm)
    lattices = lattices_of(geometry, faces)
    count = sum(lattice.spots for lattice in lattices)
    if count > spots.MOST_SPOTS:
        message = say(
            "{count} spots are more than a hand can place; check the lengths.",
            count=count,
        )
        raise UnknownError(message)
    recipe = subject.recipe
    answer = judge_lamp(bench, subject.lamp, subject.lot, recipe.planned_tack_s)
    spot_s = answer.seconds or recipe.planned_tack_s
    wet_s = wet_limit_ms(bench, subject.part) / MS
    per_segment = spots_per_segment(
        wet_limit_s=wet_s, brush_s=recipe.brush_s, spot_s=spot_s, move_s=recipe.move_s
    )
    covers = [
        spots.cover(face, beam, lattice)
        for face, lattice in zip(faces, lattices, strict=True)
    ]
    sizes = segments(count, per_segment) if per_segment else ()
    laid = list(zip(faces, lattices, covers, strict=True))
    titles = tuple(face.title for face in bench.faces_of(subject.part))
    maps = _maps(bench, subject, _named(laid, titles, geometry.shape), per_segment)
    hand_s = coat_s(sizes, brush_s=recipe.brush_s, spot_s=spot_s, move_s=recipe.move_s)
    lines = [
        say(
            "{count} spots of {spot_s} s in {many} segments of up to {per_segment}.",
            count=count,
            spot_s=spot_s,
            many=len(sizes),
            per_segment=per_segment,
        ),
        say(
            "Light {clock}, hands {clock2} a coat.",
            clock=clock(count * spot_s * MS),
            clock2=clock(hand_s * MS),
        ),
    ]
    warnings = []
    if not per_segment:
        warnings.append(
            say("Not one spot fits the wet limit of {wet_s:g} s.", wet_s=wet_s)
        )
    if answer.level == "fail":
        warnings.append(
            say(
                "{lamp}: {reason}.",
                lamp=subject.lamp or say("No lamp"),
                reason=answer.reason,
            )
        )
    if count != bench.spots_of(subject.part):
        lines.append(
            say(
                "The recipe walks {spots_of} spots: measure, or revise it.",
                spots_of=bench.spots_of(subject.part),
            )
        )
    least = min(cover.least_relative_dose for cover in covers)
    told, warned = _cover_words(faces, beam, geometry, covers)
    lines += told
    warnings += warned
    told, warned = _dose_words(bench, subject, least, spot_s)
    lines += told
    warnings += warned
    return SpotsView(
        faces=maps,
        beam_mm=geometry.beam_mm,
        lines=tuple(lines),
        warnings=tuple(warnings),
        arch=geometry.shape == "arch",
    )


# What a face's name says of where it is; the faces of each shape in physics' order.
_ROLES = (
    ("flat", ("bit", "occl", "incis", "top", "flat")),
    ("outer", ("out", "labial", "buccal", "facial")),
    ("inner", ("inn", "ling", "palat")),
    ("side", ("mes", "dist")),
)
_ORDER = {
    "arch": {1: ("flat",), 2: ("outer", "inner"), 3: ("flat", "outer", "inner")},
    "crown": {n: ("flat", "outer", "inner", "side", "side")[:n] for n in range(1, 6)},
}


def _role(title: str) -> str:
    told = title.lower()
    return next((role for role, words in _ROLES if any(w in told for w in words)), "")


def _named(
    laid: list[Laid], titles: tuple[str, ...], shape: str
) -> list[tuple[str, Laid]]:
    """Return the faces under the recipe's names, in its order, where they match."""
    roles = _ORDER.get(shape, {}).get(len(laid), ())
    if len(titles) != len(laid):
        return [(say("face {n}", n=n), each) for n, each in enumerate(laid, start=1)]
    left = list(zip(roles, laid, strict=True)) if roles else []
    found = []
    for title in titles:
        match = next((each for each in left if each[0] == _role(title)), None)
        if match is None:
            return list(zip(titles, laid, strict=True))
        left.remove(match)
        found.append((title, match[1]))
    return found


def _maps(
    bench: Bench,
    subject: Subject,
    laid: list[tuple[str, Laid]],
    per_segment: int,
) -> tuple[FaceMap, ...]:
    named = bench.faces_of(subject.part)
    found, first, offset = [], 0, 0
    for n, (title, (face, lattice, cover)) in enumerate(laid):
        states = _states(bench, subject, n, lattice.spots, offset)
        along, across = spots.centres_mm(face, lattice)
        found.append(
            FaceMap(
                title,
                face.length_mm,
                face.width_mm,
                tuple(
                    Spot(
                        float(x),
                        float(y) + face.width_mm / 2,
                        first + k + 1,
                        (first + k) // per_segment + 1 if per_segment else 0,
                        states[k],
                    )
                    for k, (x, y) in enumerate(zip(along, across, strict=True))
                ),
                cover.covers,
            )
        )
        first += lattice.spots
        offset += named[n].spots if n < len(named) else 0
    return tuple(found)


def _states(
    bench: Bench, subject: Subject, face: int, spots_here: int, offset: int
) -> tuple[str, ...]:
    """Return what each spot of a face has had, where the recipe's spots match."""
    part, named = subject.part, bench.faces_of(subject.part)
    work = part.work.get(part.stage.layer) if part.route else None
    if work is None or face >= len(named) or named[face].spots != spots_here:
        return ("open",) * spots_here
    states = list(work.spots)
    if isinstance(part.phase, Walking | Paused):
        states[part.phase.spot] = "now"
    return tuple(states[offset : offset + spots_here])


def _cover_words(
    faces: tuple[spots.Face, ...],
    beam: spots.Beam,
    geometry: Geometry,
    covers: list[spots.Cover],
) -> tuple[list[str], list[str]]:
    if all(cover.covers for cover in covers):
        return [say("The circles leave no hole.")], []
    try:
        needed = sum(
            spots.covering_lattice(face, beam, overlap=geometry.overlap).spots
            for face in faces
        )
    except ValueError:
        return [], [say("The circles leave holes, and no count by hand closes them.")]
    told = say("The circles leave holes: pitch alone is not cover (29.3 % overlap is).")
    return [say("Without a hole: {needed} spots.", needed=needed)], [told]


def _dose_words(
    bench: Bench, subject: Subject, least: float, spot_s: float
) -> tuple[list[str], list[str]]:
    layer = layer_light(bench, subject.lot)
    answer = judge_lamp(bench, subject.lamp, subject.lot, subject.recipe.planned_tack_s)
    if layer is None or not answer.effective_mw_cm2:
        return [], []
    dose_j = least * answer.effective_mw_cm2 * spot_s / MS
    told = [
        (
            say(
                "Worst point {number} J/cm² of {number2} that set it (even beam, "
                "tip upright).",
                number=number(dose_j),
                number2=number(layer.set_j_cm2),
            )
        ),
        *reach(bench, subject, dose_j * MS),
    ]
    if dose_j * (1 + 1e-6) >= layer.set_j_cm2:
        return told, []
    needed = seconds_needed(
        required_effective_j_cm2=layer.set_j_cm2,
        effective_mw_cm2=least * answer.effective_mw_cm2,
    )
    if least <= 0:
        return told, [say("The worst point has no light at all.")]
    return told, [
        say(
            "The worst point would need {number} s, not {spot_s:g} s.",
            number=number(needed),
            spot_s=spot_s,
        )
    ]
