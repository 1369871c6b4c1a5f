"""Light through a vessel's wall and filling, and room for the part in it."""

from collections.abc import Sequence
from itertools import pairwise
from math import asin, ceil, cos, exp, pi, radians, sin
from typing import NamedTuple

# [mm] common practice, no source.
STANDOFF_MM = 3.0
COVER_MM = 5.0
FREEBOARD_MM = 5.0
CHAMBER_GAP_MM = 5.0


class Reflectance(NamedTuple):
    """Reflected share of light polarised across (s) and in (p) the plane."""

    s: float
    p: float

    @property
    def unpolarised(self) -> float:
        """Reflected share of unpolarised light."""
        return (self.s + self.p) / 2.0


class Transmission(NamedTuple):
    """Share of light that reaches the last medium of a stack."""

    single_pass: float
    with_reflections: float


class Fit(NamedTuple):
    """Does the part fit the vessel, and the vessel the chamber; heights in mm.

    ``fill_before_mm`` is how far to fill above the vessel's inner floor before the
    part goes in, so that the level afterwards covers it.
    """

    needed_mm: float
    fits_vessel: bool
    fits_chamber: bool
    level_with_part_mm: float
    level_rise_mm: float
    fill_before_mm: float


def fresnel(
    index_from: float, index_to: float, *, incidence_deg: float = 0.0
) -> Reflectance:
    r"""Return the reflected share at a smooth face between two clear media.

    Fresnel's equations with Snell's law; beyond the critical angle everything is
    reflected. At normal incidence :math:`R = ((n_1 - n_2)/(n_1 + n_2))^2`.

    Parameters
    ----------
    index_from, index_to
        Refractive index on the side of the light and beyond the face.
    incidence_deg
        Angle to the normal, 0 to 90 degrees.
    """
    sine = index_from / index_to * sin(radians(incidence_deg))
    if sine >= 1.0:
        return Reflectance(1.0, 1.0)
    before, after = cos(radians(incidence_deg)), cos(asin(sine))
    across = index_from * before - index_to * after
    across /= index_from * before + index_to * after
    within = index_from * after - index_to * before
    within /= index_from * after + index_to * before
    return Reflectance(across**2, within**2)


def internal_transmittance(
    *, extinction: float, wavelength_nm: float, thickness_mm: float
) -> float:
    r"""Return the share let through between the faces, :math:`e^{-4 \pi k d/\lambda}`.

    The extinction k is the imaginary part of the complex refractive index.
    """
    return exp(-4.0 * pi * extinction * thickness_mm * 1e6 / wavelength_nm)


def stack_transmission(
    indices: Sequence[float], internal_transmittances: Sequence[float]
) -> Transmission:
    r"""Return how much light passes a stack of layers at normal incidence.

    Single pass :math:`\prod (1 - R_i) \prod \tau_j`; with incoherent multiple
    reflections by the adding method, from the last medium upwards. The last medium
    absorbs what enters it.

    Parameters
    ----------
    indices
        Refractive index of every medium in the order of the light, two or more:
        the first is outside (air), the last the receiver (resin).
    internal_transmittances
        Share let through inside each layer between the first and the last medium,
        two fewer than the indices.

    Raises
    ------
    ValueError
        If the numbers of indices and transmittances do not fit each other.
    """
    if len(indices) < 2:  # noqa: PLR2004 - a face lies between two media
        raise ValueError("Give at least two refractive indices: outside and receiver.")
    if len(internal_transmittances) != len(indices) - 2:
        message = (
            f"{len(indices)} indices enclose {len(indices) - 2} layers, but "
            f"{len(internal_transmittances)} internal transmittances are given."
        )
        raise ValueError(message)
    faces = [fresnel(before, after).s for before, after in pairwise(indices)]
    single = passed = 1.0 - faces[-1]
    reflected = faces[-1]
    layers = list(zip(faces[:-1], internal_transmittances, strict=True))
    for face, internal in reversed(layers):
        single *= (1.0 - face) * internal
        bounce = 1.0 - face * internal**2 * reflected
        passed *= (1.0 - face) * internal / bounce
        reflected = face + (1.0 - face) ** 2 * internal**2 * reflected / bounce
    return Transmission(single_pass=single, with_reflections=passed)


def raised_count(count: int, *, transmittance: float, step: int) -> int:
    r"""Return the count that gives the same dose behind a vessel, :math:`N / T`.

    Rounded up to the box's step. Raising a count needs the practice's own
    validation; nothing here decides that it may be raised.
    """
    # A quotient that is whole on paper must not be rounded up by its last bit.
    return ceil(count / transmittance / step * (1.0 - 1e-12)) * step


def fit(
    *,
    vessel_mm: float,
    floor_mm: float,
    part_mm: float,
    chamber_mm: float,
    vessel_area_cm2: float,
    part_cm3: float,
    hold_down_cm3: float = 0.0,
) -> Fit:
    """Return whether a part fits a vessel, and how far to fill it.

    The margins (3 mm under the part, 5 mm cover, 5 mm freeboard, 5 mm to the
    chamber's roof) are common practice, no source.

    Parameters
    ----------
    vessel_mm
        Outer height of the vessel.
    floor_mm
        Thickness of its floor.
    part_mm
        Height of the part as it stands in the vessel.
    chamber_mm
        Inner height of the box's chamber.
    vessel_area_cm2
        Inner cross-section of the vessel.
    part_cm3, hold_down_cm3
        Volumes that displace glycerine.
    """
    level_mm = STANDOFF_MM + part_mm + COVER_MM
    needed_mm = floor_mm + level_mm + FREEBOARD_MM
    rise_mm = (part_cm3 + hold_down_cm3) / vessel_area_cm2 * 10.0
    return Fit(
        needed_mm=needed_mm,
        fits_vessel=needed_mm <= vessel_mm,
        fits_chamber=vessel_mm <= chamber_mm - CHAMBER_GAP_MM,
        level_with_part_mm=level_mm,
        level_rise_mm=rise_mm,
        fill_before_mm=max(0.0, level_mm - rise_mm),
    )
