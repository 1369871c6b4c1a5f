"""The tables the program ships, by the ids that calculators accept."""

from collections.abc import Collection
from typing import Literal

from benchassist.calculators.model import InputError
from benchassist.physics.coat_rates import RateSet
from benchassist.physics.spectra import Curve, Line
from benchassist.physics.tables import Table
from benchassist.sums.shipped import ABSORBERS, rates, table

LAMPS = "lamps.csv"

Bound = Literal["absorptivity_l_mol_cm", "low_l_mol_cm", "high_l_mol_cm"]


def absorber_table(absorber: str, *, field: str) -> Table:
    """Return the table of an initiator.

    Raises
    ------
    InputError
        If the library has no such initiator.
    """
    _known("initiator", absorber, ABSORBERS, field=field)
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
    _known("lamp", lamp, lamps.keys(), field=field)
    return [
        Line(float(mw_cm2), float(centre_nm), float(fwhm_nm))
        for name, mw_cm2, centre_nm, fwhm_nm in lamps.rows
        if name == lamp
    ]


def rate_set(name: str, *, field: str) -> RateSet:
    """Return one set of rate constants.

    Raises
    ------
    InputError
        If the library has no such set.
    """
    _known("set of rates", name, rates(), field=field)
    return rates()[name]


def _known(what: str, name: str, there: Collection[str], *, field: str) -> None:
    if name not in there:
        message = f"No {what} {name!r}; the library has {', '.join(there)}."
        raise InputError(message, field=field, given=name)


def weight_curve(name: Literal["actinic", "blue_light"]) -> Curve:
    """Return a hazard weighting."""
    return table(f"{name}_weight.csv").curve("wavelength_nm", "weight")
