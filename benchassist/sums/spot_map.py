"""The map of the tack spots: what is coated, and how circles lie on each other."""

from __future__ import annotations

from collections.abc import Sequence

from benchassist.domain.limits import limit, limit_of
from benchassist.domain.state import Bench
from benchassist.physics import spots
from benchassist.sums.subject import Subject
from benchassist.value import value

# [mm] of a full arch, its band, and a crown: common practice, no source.
ARC_MM, BAND_MM, CROWN_MM = 118.0, 8.0, (8.0, 7.0, 7.0)
RADIUS_PER_ARC = 0.2  # [ratio] a half circle with straight legs of about its height
ARCHES = ("splint", "denture", "arch")
BOXES = ("crown",)
FACES_MEET = 2  # circles that light an edge where two faces meet, each its own


@value
class Geometry:
    """What is coated, and the beam; lengths in mm.

    ``length_mm`` runs along an arch's middle line; ``height_mm`` is a crown's.
    """

    shape: str
    length_mm: float
    width_mm: float
    height_mm: float
    faces: int
    beam_mm: float
    overlap: float


def usual(bench: Bench, subject: Subject) -> Geometry:
    """Return a geometry to begin with, by the recipe's class of item."""
    told = subject.recipe.item_class.lower()
    faces = max(1, len(bench.faces_of(subject.part)))
    beam = limit_of(bench, subject.lamp, "beam_mm")
    overlap = limit(bench, "spot_overlap")
    if any(word in told for word in ARCHES):
        return Geometry("arch", ARC_MM, BAND_MM, 0.0, min(3, faces), beam, overlap)
    if any(word in told for word in BOXES):
        length, width, height = CROWN_MM
        return Geometry("crown", length, width, height, min(5, faces), beam, overlap)
    return Geometry("rectangle", 24.0, 8.0, 0.0, min(6, faces), beam, overlap)


def faces_of(geometry: Geometry) -> tuple[spots.Face, ...]:
    """Return the faces of a geometry.

    Raises
    ------
    ValueError
        If there is no such shape.
    """
    if geometry.shape == "arch":
        return spots.arch(
            arc_mm=geometry.length_mm,
            radius_mm=RADIUS_PER_ARC * geometry.length_mm,
            band_mm=geometry.width_mm,
            faces=geometry.faces,
        )
    if geometry.shape == "crown":
        return spots.crown(
            length_mm=geometry.length_mm,
            width_mm=geometry.width_mm,
            height_mm=geometry.height_mm,
            faces=geometry.faces,
        )
    return spots.rectangle(
        length_mm=geometry.length_mm, width_mm=geometry.width_mm, faces=geometry.faces
    )


def lattices_of(
    geometry: Geometry, faces: tuple[spots.Face, ...]
) -> list[spots.Lattice]:
    """Return the spots on each face, by the bench's count."""
    beam = spots.Beam(geometry.beam_mm)
    return [spots.bench_lattice(face, beam, overlap=geometry.overlap) for face in faces]


@value
class Overlap:
    """At most ``circles`` lie over a point; shares of all faces lit twice, never."""

    circles: int
    lit_twice: float
    holes: float


def overlap_of(geometry: Geometry, walked: Sequence[int] = ()) -> Overlap:
    """Return what the circles of a map do to each other.

    ``walked`` are the spots that the recipe has on each face; where they are not as
    many as the bench's count they lie in one row. An edge between faces has the light
    of both.

    Raises
    ------
    ValueError
        If there is no such shape.
    """
    faces = faces_of(geometry)
    beam = spots.Beam(geometry.beam_mm)
    lattices = lattices_of(geometry, faces)
    if len(walked) == len(faces):
        lattices = [
            lattice if lattice.spots == count else spots.Lattice(count, 1)
            for lattice, count in zip(lattices, walked, strict=True)
        ]
    covers = [
        spots.cover(face, beam, lattice)
        for face, lattice in zip(faces, lattices, strict=True)
    ]
    areas = [face.length_mm * face.width_mm for face in faces]

    def over_all(shares: list[float]) -> float:
        parts = zip(shares, areas, strict=True)
        return sum(share * area for share, area in parts) / sum(areas)

    meeting = FACES_MEET if len(faces) > 1 and geometry.shape != "rectangle" else 1
    return Overlap(
        circles=max(meeting, *(cover.most_circles for cover in covers)),
        lit_twice=over_all([cover.lit_twice for cover in covers]),
        holes=over_all([cover.holes for cover in covers]),
    )
