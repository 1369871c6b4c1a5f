"""Cure depth against exposure: the working curve, and fitting it."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, inf, log, sqrt

from benchassist.physics.regression import StraightLine, fit_line
from benchassist.physics.spectra import LN10

# [-] natural logarithms of exposure beyond which an Ec says nothing.
MOST_LOG_EXPOSURE = 100.0


@dataclass(frozen=True, slots=True)
class Interval:
    """A 95 % interval; infinite where the measurements do not bound it."""

    low: float
    high: float


@dataclass(frozen=True, slots=True)
class WorkingCurve:
    """A fitted working curve; intervals are None where only two points were fitted."""

    dp_um: float
    ec_mj_cm2: float
    dp_interval_um: Interval | None
    ec_interval_mj_cm2: Interval | None


def cure_depth_um(*, exposure_mj_cm2: float, ec_mj_cm2: float, dp_um: float) -> float:
    r"""Return the thickness that an exposure cures, :math:`C_d = D_p \ln(E/E_c)`.

    Jacobs 1992; as in Gibson, Rosen, Stucker, Additive Manufacturing Technologies,
    ch. 4, eq. 4.16. Straight from just above Ec to about 10 Ec; 0 below Ec. Between
    laboratories Dp varied 7-fold and Ec 70-fold on one batch (Kolibaba et al. 2024,
    Addit Manuf 84:104082): a value that is not one's own is a guess.
    """
    if exposure_mj_cm2 <= ec_mj_cm2:
        return 0.0
    return dp_um * log(exposure_mj_cm2 / ec_mj_cm2)


def penetration_depth_um(absorbance_per_cm: float) -> float:
    r"""Return the depth at which light falls to 1/e.

    .. math:: D_p = 1 / (\ln 10 \sum_i \varepsilon_i c_i)

    Monochromatic and without scattering; the absorbance is decadic.
    """
    return 1e4 / (LN10 * absorbance_per_cm)


def fit_working_curve(
    exposures_mj_cm2: Sequence[float], thicknesses_um: Sequence[float]
) -> WorkingCurve:
    r"""Fit Dp and Ec to measured thicknesses by least squares on ln E.

    The interval of Dp is that of the slope; the interval of Ec is Fieller's for the
    point where the line meets zero (Fieller 1954, J R Stat Soc B 16:175, from
    memory), so that it opens to 0 or infinity where the slope is not certain.
    Thicknesses of 0 carry no slope and must be left out by the caller.

    Raises
    ------
    ValueError
        If fewer than two exposures differ or thickness does not grow with exposure.
    """
    try:
        line = fit_line([log(e) for e in exposures_mj_cm2], thicknesses_um)
    except ValueError as error:
        message = "At least two different exposures that cured are needed."
        raise ValueError(message) from error
    if line.slope <= 0.0:
        message = "Thickness does not grow with exposure; check the measurements."
        raise ValueError(message)
    if line.mean_y / line.slope > MOST_LOG_EXPOSURE:
        message = "Thickness hardly grows with exposure; no critical exposure is seen."
        raise ValueError(message)
    dp_interval = ec_interval = None
    if line.freedom:
        half = line.student_t * line.residual_sd / sqrt(line.spread)
        dp_interval = Interval(line.slope - half, line.slope + half)
        ec_interval = _zero_interval_mj_cm2(line)
    return WorkingCurve(
        dp_um=line.slope,
        ec_mj_cm2=exp(line.mean_x - line.mean_y / line.slope),
        dp_interval_um=dp_interval,
        ec_interval_mj_cm2=ec_interval,
    )


def _zero_interval_mj_cm2(line: StraightLine) -> Interval:
    # Fieller: all u = ln E - mean_x with
    # (mean_y + slope u)^2 <= t^2 s^2 (1/n + u^2/spread).
    variance = (line.student_t * line.residual_sd) ** 2
    square = line.slope**2 - variance / line.spread
    if square <= 0.0:
        return Interval(0.0, inf)
    middle = line.slope * line.mean_y
    # Written so that nothing nearly equal is subtracted; positive with the square.
    root = line.mean_y**2 / line.spread + line.slope**2 / line.total_weight
    root = sqrt(variance * (root - variance / line.spread / line.total_weight))
    low = line.mean_x + (-middle - root) / square
    high = line.mean_x + (-middle + root) / square
    return Interval(exp(low), exp(high) if high < MOST_LOG_EXPOSURE else inf)
