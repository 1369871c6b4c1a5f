"""How a hand lamp's light weakens with distance and tilt."""

from math import cos, radians, sqrt

# [mm] most collimated of six: Meyer, Ernst, Willershausen 2002, J Adhes Dent 4:197
COLLIMATED_MM = 45.0


def disc_view_factor(*, diameter_mm: float, distance_mm: float) -> float:
    r"""Return irradiance on the axis per exitance of a Lambertian disc.

    .. math:: \frac{r^2}{r^2 + z^2}

    1 at contact; the inverse square law far away.
    """
    radius_mm = diameter_mm / 2.0
    return radius_mm**2 / (radius_mm**2 + distance_mm**2)


def virtual_source_mm(*, loss: float, at_mm: float) -> float:
    """Return the virtual source's depth behind the tip from one measured loss.

    Parameters
    ----------
    loss
        Share of the irradiance lost, above 0 and below 1.
    at_mm
        Distance at which it was measured.
    """
    kept = sqrt(1.0 - loss)
    return at_mm * kept / (1.0 - kept)


def distance_factor(*, source_mm: float, distance_mm: float) -> float:
    r"""Return the share of the tip's irradiance at a distance.

    .. math:: E/E_0 = (z_0 / (z_0 + d))^2

    One parameter, taken from one reading; a model, not data. Losses at 10 mm of 33
    to 83 % have been published (Meyer, Ernst, Willershausen 2002, J Adhes Dent
    4:197), that is, sources 45 to 7 mm behind the tip.
    """
    return (source_mm / (source_mm + distance_mm)) ** 2


def tilt_factor(tilt_deg: float) -> float:
    """Return the share of irradiance left on a surface tilted away from the beam.

    The lit patch is longer by the inverse of it. Geometry of a parallel beam; no
    published percentage was found.
    """
    return cos(radians(tilt_deg))
