"""Density and viscosity of glycerine, with the water it draws from the air."""

from math import exp, pi, sin

# [C] range of the formulas.
LOWEST_CELSIUS = 0.0
HIGHEST_CELSIUS = 100.0
READS = 0.002  # [ratio] that a hydrometer may be off at either end
HALVINGS = 40  # of the share between 0 and 100 %


def density_kg_m3(*, wt_percent: float, celsius: float) -> float:
    """Return the density of aqueous glycerol in kg/m3.

    Ideal mixing by volume times a contraction term: Volk and Kaehler 2018, Exp
    Fluids 59:75; the formula is applied from memory and agrees with handbook values
    (1261 kg/m3 pure, 1209 at 80 %, both 20 C) to 0.1 %.

    Parameters
    ----------
    wt_percent
        Glycerol in the mixture, 0 to 100 % by mass.
    celsius
        Temperature, 0 to 100 C.
    """
    _check(wt_percent, celsius)
    mass = wt_percent / 100.0
    glycerol = 1273.3 - 0.6121 * celsius
    water = 1000.0 * (1.0 - float((abs(celsius - 3.98) / 615.0) ** 1.71))
    volume = mass / glycerol / (mass / glycerol + (1.0 - mass) / water)
    depth = 1.78e-6 * celsius**2 - 1.82e-4 * celsius + 1.41e-2
    # The sine dips below zero by rounding at 100 %.
    contraction = 1.0 + depth * float(max(0.0, sin(pi * mass**1.31)) ** 0.81)
    return contraction * (volume * glycerol + (1.0 - volume) * water)


def percent_of(density_g_cm3: float, celsius: float) -> float:
    """Return the glycerine in per cent by mass of what reads so on a hydrometer.

    The inverse of ``density_kg_m3``, which rises with the share.

    Raises
    ------
    ValueError
        If no mixture of glycerine and water is so light or so heavy.
    """
    wanted = density_g_cm3 * 1e3
    low, high = 0.0, 100.0
    least, most = (
        density_kg_m3(wt_percent=share, celsius=celsius) for share in (low, high)
    )
    if not least * (1 - READS) <= wanted <= most * (1 + READS):
        msg = (
            f"{density_g_cm3:g} cannot be glycerine and water: between "
            f"{least / 1e3:.3f} and {most / 1e3:.3f} at {celsius:g} °C. Read it again."
        )
        raise ValueError(msg)
    for _ in range(HALVINGS):
        middle = (low + high) / 2.0
        if density_kg_m3(wt_percent=middle, celsius=celsius) < wanted:
            low = middle
        else:
            high = middle
    return (low + high) / 2.0


def viscosity_pa_s(*, wt_percent: float, celsius: float) -> float:
    r"""Return the viscosity of aqueous glycerol in Pa s.

    .. math:: \mu = \mu_w^{\alpha} \mu_g^{1 - \alpha}

    Cheng 2008, Ind Eng Chem Res 47:3285-3288 (paper located, formula applied from
    memory; gives 1414 mPa s for pure glycerol at 20 C, handbook 1412).

    Parameters
    ----------
    wt_percent
        Glycerol in the mixture, 0 to 100 % by mass.
    celsius
        Temperature, 0 to 100 C.
    """
    _check(wt_percent, celsius)
    mass = wt_percent / 100.0
    water = 1.790e-3 * exp((-1230.0 - celsius) * celsius / (36100.0 + 360.0 * celsius))
    glycerol = 12.1 * exp((-1233.0 + celsius) * celsius / (9900.0 + 70.0 * celsius))
    a = 0.705 - 0.0017 * celsius
    b = (4.9 + 0.036 * celsius) * a**2.5
    alpha = 1.0 - mass + a * b * mass * (1.0 - mass) / (a * mass + b * (1.0 - mass))
    return float(water**alpha * glycerol ** (1.0 - alpha))


def _check(wt_percent: float, celsius: float) -> None:
    if not 0.0 <= wt_percent <= 100.0:  # noqa: PLR2004 - per cent
        raise ValueError("The share of glycerine must lie between 0 and 100 %.")
    if not LOWEST_CELSIUS <= celsius <= HIGHEST_CELSIUS:
        raise ValueError("The glycerine's temperature must lie between 0 and 100 C.")
