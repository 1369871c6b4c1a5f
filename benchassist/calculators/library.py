"""The tables the program ships, by the ids that calculators accept."""

from typing import Literal

from benchassist.calculators.model import InputError
from benchassist.physics.coat_rates import RateSet
from benchassist.physics.spectra import Curve, Line
from benchassist.physics.tables import Table
from benchassist.sums import shipped
from benchassist.sums.shipped import ABSORBERS, table

LAMPS = "lamps.csv"

Bound = Literal["absorptivity_l_mol_cm", "low_l_mol_cm", "high_l_mol_cm"]


def absorber_table(absorber: str, *, field: str) -> Table:
    """Return the table of an initiator.

    Raises
    ------
    InputError
        If the library has no such initiator.
    """
    if absorber not in ABSORBERS:
        message = f"No initiator {absorber!r}; the library has {', '.join(ABSORBERS)}."
        raise InputError(message, field=field, given=absorber)
    return table(ABSORBERS[absorber])


def absorber_curve(absorber: str, bound: Bound, *, field: str) -> Curve:
    """Return an initiator's decadic absorptivity, or the low or high end of it."""
    return absorber_table(absorber, field=field).curve("wavelength_nm", bound)


def lamp_lines(lamp: str, *, field: str) -> list[Line]:
    """Return the lines of a generic lamp.

    Raises
    ------
    InputError
        If the library has no such lamp.
    """
    lamps = table(LAMPS)
    if lamp not in lamps.keys():  # noqa: SIM118 - a table is not a mapping
        message = f"No lamp {lamp!r}; the library has {', '.join(lamps.keys())}."
        raise InputError(message, field=field, given=lamp)
    return [
        Line(float(mw_cm2), float(centre_nm), float(fwhm_nm))
        for name, mw_cm2, centre_nm, fwhm_nm in lamps.rows
        if name == lamp
    ]


def rates() -> dict[str, RateSet]:
    """Return the sets of rate constants by name; the first is the nominal one."""
    return shipped.rates()


def rate_set(name: str, *, field: str) -> RateSet:
    """Return one set of rate constants.

    Raises
    ------
    InputError
        If the library has no such set.
    """
    if name not in rates():
        message = f"No set of rates {name!r}; the library has {', '.join(rates())}."
        raise InputError(message, field=field, given=name)
    return rates()[name]


def weight_curve(name: Literal["actinic", "blue_light"]) -> Curve:
    """Return a hazard weighting."""
    return table(f"{name}_weight.csv").curve("wavelength_nm", "weight")
