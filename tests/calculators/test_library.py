"""The shipped tables: complete, rising, and honest about where they come from."""

import numpy as np
import pytest

from benchassist import assets
from benchassist.calculators import library
from benchassist.calculators.model import InputError
from benchassist.physics.spectra import check_curve
from benchassist.physics.tables import parse_table

TABLES = sorted(
    entry.name
    for entry in assets.folder("resources").joinpath("data").iterdir()
    if entry.name.endswith(".csv")
)


@pytest.mark.parametrize("name", TABLES)
def test_every_table_is_listed_with_its_sources(name):
    sources = assets.read_text("resources", "SOURCES.md")
    table = parse_table(assets.read_text("resources", "data", name))

    assert f"`data/{name}`" in sources
    assert table.head["source"]
    assert table.head["licence"]
    assert table.head["confidence"]


def test_only_tables_that_exist_are_listed():
    sources = assets.read_text("resources", "SOURCES.md")
    listed = {cell[6:-1] for cell in sources.split() if cell.startswith("`data/")}

    assert listed - {""} == set(TABLES)


@pytest.mark.parametrize("absorber", library.ABSORBERS)
def test_an_absorption_curve_lies_within_its_range(absorber):
    value, low, high = (
        library.absorber_curve(absorber, bound, field="id")
        for bound in ("absorptivity_l_mol_cm", "low_l_mol_cm", "high_l_mol_cm")
    )

    for curve in (value, low, high):
        check_curve(curve)
    assert (np.array(low.values) <= np.array(value.values)).all()
    assert (np.array(value.values) <= np.array(high.values)).all()
    assert value.values[-1] <= 1.0


@pytest.mark.parametrize("absorber", library.ABSORBERS)
def test_a_curve_from_memory_says_so(absorber):
    head = library.absorber_table(absorber, field="id").head
    measured = absorber == "bapo"

    assert head["confidence"].startswith("measured" if measured else "from memory")


@pytest.mark.parametrize("weight", ["actinic", "blue_light"])
def test_hazard_weights_rise_in_wavelength(weight):
    check_curve(library.weight_curve(weight))


@pytest.mark.parametrize(
    ("name", "column"),
    [
        ("vessel_nk.csv", "extinction"),
        ("vessel_nk.csv", "refractive_index"),
        ("liquid_n.csv", "refractive_index"),
    ],
)
def test_long_tables_rise_within_every_key(name, column):
    table = library.table(name)
    keys = table.keys()

    for key in keys:
        check_curve(table.curve("wavelength_nm", column, key=key))


def test_a_lamp_has_lines_and_an_unknown_one_is_refused():
    lines = library.lamp_lines("violet-blue", field="light.id")

    assert sum(line.mw_cm2 for line in lines) == 1000
    with pytest.raises(InputError, match="the library has led-385"):
        library.lamp_lines("torch", field="light.id")
