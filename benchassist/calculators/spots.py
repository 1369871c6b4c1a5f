"""Where the tack spots of a coat go, in which segments, and what they leave out."""

from typing import Annotated, Literal

from pydantic import Field

from benchassist.calculators.model import Answer, InputError, Model, about
from benchassist.domain import segments
from benchassist.physics import spots
from benchassist.physics.tip import distance_factor, tilt_factor
from benchassist.sums.spot_map import BAND_MM, RADIUS_PER_ARC

Length = Annotated[float, Field(ge=0.01, le=1000, description="mm")]
Time = Annotated[float, Field(ge=0, le=1e5, description="s")]

# The lengths that each shape needs, and those it may have.
LENGTHS: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "rectangle": (("length_mm", "width_mm"), ()),
    "crown": (("length_mm", "width_mm", "height_mm"), ()),
    "arch": (("arc_mm",), ("radius_mm", "band_mm")),
}
ALL_LENGTHS = {name for pair in LENGTHS.values() for names in pair for name in names}
FACES = {"rectangle": (6, 1), "crown": (5, 5), "arch": (3, 3)}  # most, usual


class Beam(Model):
    """The useful beam, not the tip; distance and tilt weaken it.

    ``source_mm`` is how far behind the tip the light seems to come from, taken from
    one reading at a distance.
    """

    useful_mm: Annotated[float, Field(ge=0.5, le=100)]
    profile: Literal["top-hat", "gaussian"] = "top-hat"
    irradiance_mw_cm2: Annotated[float, Field(ge=0, le=1e6)] | None = None
    distance_mm: Annotated[float, Field(ge=0, le=200)] = 0.0
    source_mm: Annotated[float, Field(ge=0.1, le=1e4)] | None = None
    tilt_deg: Annotated[float, Field(ge=0, le=80)] = 0.0

    def factor(self) -> float:
        """Return the share of the irradiance that is left."""
        share = tilt_factor(self.tilt_deg)
        if not self.distance_mm:
            return share
        if self.source_mm is None:
            raise InputError(
                "A distance needs source_mm, from one reading at a distance.",
                field="beam.source_mm",
            )
        return share * distance_factor(
            source_mm=self.source_mm, distance_mm=self.distance_mm
        )


class Input(Model):
    """A coat, a beam, and the times of the hand.

    A ``rectangle`` has a length and a width, a ``crown`` a height as well; an ``arch``
    is a half circle with two straight legs, its flat face ``band_mm`` wide and its
    walls as high. ``faces``: by default 1 for a rectangle, 3 for an arch, 5 for a
    crown.
    """

    shape: Literal["rectangle", "arch", "crown"]
    length_mm: Length | None = None
    width_mm: Length | None = None
    height_mm: Length | None = None
    arc_mm: Length | None = None
    radius_mm: Length | None = None
    band_mm: Length | None = None
    beam: Beam
    overlap: Annotated[float, Field(ge=0, le=0.95)] = 0.25
    faces: Annotated[int, Field(ge=1, le=6)] | None = None
    wet_limit_s: Time = 120.0
    brush_s: Time = 15.0
    spot_s: Annotated[float, Field(ge=0.01, le=1e4)] = 10.0
    move_s: Time = 3.0


class Spot(Model):
    """One spot in the order of walking; segments and faces count from 1."""

    segment: int
    face: int
    column: int
    row: int


class Output(Answer):
    """The bench count, and beside it what would leave no hole.

    ``centres_mm`` are seen from above for an arch (walls stand over their edges) and
    on the face itself otherwise. ``least_relative_dose`` is at the worst point, 1
    being one spot of an even beam; ``least_dose_j_cm2`` is that in J/cm2.
    """

    count: int
    segments: list[int]
    spots: list[Spot]
    centres_mm: list[tuple[float, float]]
    light_s: float
    hand_s: float
    covers: bool
    least_relative_dose: float
    least_dose_j_cm2: float | None
    covering_count: int | None
    reason: str | None = None


def run(question: Input) -> Output:
    """Lay the spots out, and say what they reach."""
    faces = _faces(question)
    beam = spots.Beam(question.beam.useful_mm, question.beam.profile)
    factor = question.beam.factor()
    lattices = [
        spots.bench_lattice(face, beam, overlap=question.overlap) for face in faces
    ]
    count = sum(lattice.spots for lattice in lattices)
    if count > spots.MOST_SPOTS:
        message = f"{count} spots are more than a hand can place; check the lengths."
        raise InputError(message, field="shape")
    per_segment = segments.spots_per_segment(
        wet_limit_s=question.wet_limit_s,
        brush_s=question.brush_s,
        spot_s=question.spot_s,
        move_s=question.move_s,
    )
    with about("wet_limit_s"):
        sizes = segments.segments(count, per_segment)
    covers = [
        spots.cover(face, beam, lattice)
        for face, lattice in zip(faces, lattices, strict=True)
    ]
    least = factor * min(cover.least_relative_dose for cover in covers)
    covering = _covering_count(faces, beam, question.overlap)
    walk, centres = _walk(faces, lattices, sizes)
    irradiance = question.beam.irradiance_mw_cm2
    return Output(
        count=count,
        segments=list(sizes),
        spots=walk,
        centres_mm=centres,
        light_s=count * question.spot_s,
        hand_s=segments.coat_s(
            sizes,
            brush_s=question.brush_s,
            spot_s=question.spot_s,
            move_s=question.move_s,
        ),
        covers=all(cover.covers for cover in covers),
        least_relative_dose=least,
        least_dose_j_cm2=None
        if irradiance is None
        else least * irradiance * question.spot_s / 1e3,
        covering_count=covering,
        reason=None
        if covering is not None
        else f"More than {spots.MOST_SPOTS} spots would be needed to leave no hole.",
    )


def _faces(question: Input) -> tuple[spots.Face, ...]:
    kind = question.shape
    needed, optional = LENGTHS[kind]
    for name in needed:
        if getattr(question, name) is None:
            message = f"The shape {kind} needs {name}."
            raise InputError(message, field=name)
    for name in sorted(ALL_LENGTHS - {*needed, *optional}):
        if getattr(question, name) is not None:
            message = f"The shape {kind} has no {name}."
            raise InputError(message, field=name)
    lengths = {name: getattr(question, name) for name in needed}
    most, usual = FACES[kind]
    faces = question.faces or usual
    if faces > most:
        message = f"The shape {kind} has at most {most} faces to coat."
        raise InputError(message, field="faces", given=faces)
    if kind == "rectangle":
        return spots.rectangle(faces=faces, **lengths)
    if kind == "crown":
        return spots.crown(faces=faces, **lengths)
    with about("radius_mm"):
        return spots.arch(
            radius_mm=question.radius_mm or RADIUS_PER_ARC * lengths["arc_mm"],
            band_mm=question.band_mm or BAND_MM,
            faces=faces,
            **lengths,
        )


def _covering_count(
    faces: tuple[spots.Face, ...], beam: spots.Beam, overlap: float
) -> int | None:
    try:
        return sum(
            spots.covering_lattice(face, beam, overlap=overlap).spots for face in faces
        )
    except ValueError:
        return None


def _walk(
    faces: tuple[spots.Face, ...],
    lattices: list[spots.Lattice],
    sizes: tuple[int, ...],
) -> tuple[list[Spot], list[tuple[float, float]]]:
    """Return the spots column by column, all faces of a column before the next."""
    segment_of = [
        segment for segment, size in enumerate(sizes, start=1) for _ in range(size)
    ]
    placed = []
    for number, (face, lattice) in enumerate(
        zip(faces, lattices, strict=True), start=1
    ):
        plan = face.plan(*spots.centres_mm(face, lattice)).tolist()
        for index, (x_mm, y_mm) in enumerate(plan):
            column, row = divmod(index, lattice.rows)
            # Faces of unequal length keep step by their share of the way.
            place = (column + 0.5) / lattice.columns
            placed.append((place, number, column + 1, row + 1, (x_mm, y_mm)))
    placed.sort(key=lambda spot: spot[:4])
    walk = [
        Spot(segment=segment, face=number, column=column, row=row)
        for segment, (_, number, column, row, _) in zip(segment_of, placed, strict=True)
    ]
    return walk, [spot[4] for spot in placed]
