"""What the coat model is given by what is on file, and what is said of it."""

import numpy as np
import pytest

from benchassist.domain import commands as cm
from benchassist.domain.library import OFF
from benchassist.physics.coat import Exposure, NewCoat, Nitrogen
from benchassist.physics.coat_resin import Film
from benchassist.sums.coat import (
    absorbers_known,
    absorbers_of,
    coating,
    mean_absorbance_per_cm,
    rates_of,
)
from benchassist.sums.subject import UnknownError, subject
from benchassist.value import replace
from tests.sums.demo import demo_desk


@pytest.fixture
def desk():
    return demo_desk()


@pytest.fixture
def made(desk):
    return coating(desk.bench, subject(desk.bench, desk.now))


def test_what_the_model_is_given_is_the_part_at_hand(made):
    # 2200 flashes at 8 a second; the light check asks for 10 s of EX-LM-A.
    assert (made.box_s, made.planned_s, made.coat_um) == (275.0, 10.0, 25.0)
    assert made.subject.coats == 2
    assert made.resin.initiators[0].mol_l == 0.045
    # The wall takes a few per cent, and nothing is made of nothing.
    share = made.behind_mw_cm2_nm.sum() / made.box_mw_cm2_nm.sum()
    assert 0.9 < share < 1.0


def test_a_lamp_that_has_faded_gives_less_light(desk, made):
    desk.must(cm.ReadLamp("EX-LM-A", 80))
    faded = coating(desk.bench, subject(desk.bench, desk.now))

    assert faded.lamp_mw_cm2_nm.sum() == pytest.approx(0.8 * made.lamp_mw_cm2_nm.sum())
    assert faded.planned_s == 13.0


def test_what_was_assumed_is_said(desk, made):
    assert any("No pigment is counted" in note for note in made.notes)
    desk.must(cm.ChooseEquipment("EX-22", "vessel", "EX-GV-04"))
    other = coating(desk.bench, subject(desk.bench, desk.now))

    assert any("EX-GV-04: wall never measured" in note for note in other.notes)


def test_the_practices_own_working_curve_counts_the_pigment(desk, made):
    """Identity: Dp = 1 / (ln10 A); what the initiators leave of A is the pigment."""
    points = ((1000.0, 69.315), (2000.0, 138.629), (4000.0, 207.944))  # Dp 100 um
    desk.must(cm.FitWorkingCurve("EX-LM-A", "EX-RS-C", points, "EX-WC-1"))

    own = coating(desk.bench, subject(desk.bench, desk.now))

    assert made.resin.static_per_cm.max() == 0.0
    # The initiator: 0.045 mol/L at some 270 L/mol/cm, lamp by lamp's line.
    assert own.resin.static_per_cm.max() == pytest.approx(100 / 2.302585 - 12.2, abs=1)
    assert not any("No pigment" in note for note in own.notes)


@pytest.mark.parametrize("lamp", ["EX-LM-D", "EX-LM-9", ""])
def test_without_a_spectrum_there_is_one_sentence(desk, lamp):
    found = subject(desk.bench, desk.now)
    about = type(found)(found.part, found.recipe, lamp, found.lot)

    with pytest.raises(UnknownError) as caught:
        coating(desk.bench, about)

    assert str(caught.value).endswith(".")


def test_flashes_say_what_they_come_to(made):
    assert any("count as flashes" in note for note in made.notes)
    assert made.flash_hz == 8.0


def test_the_map_of_the_spots_is_counted(made):
    """A crown's faces meet at edges, and its map has spots that overlap."""
    assert made.overlap.circles >= 2
    assert made.weakest == pytest.approx(0.8 * (46 / 50) ** 2)


@pytest.mark.parametrize(
    ("chosen", "names"),
    [(0, ["measured", "slow"]), (1, ["measured"]), (2, ["slow"]), (3, ["own"])],
)
def test_a_practice_may_choose_its_rates(desk, chosen, names):
    desk.must(cm.SetLimit("coat_rates", chosen, "as validated here"))
    desk.must(cm.SetLimit("kp_percent", 50, "fitted"))
    sets = rates_of(desk.bench)

    assert [each.name for each in sets] == names
    if chosen == 3:
        assert sets[0].kp_l_mol_s == pytest.approx(0.5 * 1.145e5)
    made = coating(desk.bench, subject(desk.bench, desk.now))
    assert made.notes[0].startswith(f"Rates: {names[0]}")


def test_the_model_is_given_each_coat_laid_tacked_and_left_and_then_its_cover(made):
    """Two coats by the recipe; a flashing box, so every second half flashes."""
    tacks = made.tacks(12.0, coat_um=20.0, output=0.5)
    assert [type(each) for each in tacks] == [NewCoat, Exposure, Exposure] * 2
    lit = tacks[1]
    assert (tacks[0].thickness_um, lit.duration_s) == (20.0, 12.0)
    assert np.allclose(lit.irradiance_mw_cm2_nm, 0.5 * made.lamp_mw_cm2_nm)
    assert tacks[2].irradiance_mw_cm2_nm is None

    air, nitrogen = (made.ending(cover)[0] for cover in ("air", "nitrogen"))
    assert air.cover == "air"
    assert nitrogen.cover == Nitrogen(made.oxygen_percent)
    # Only under glycerine does the wall stand between, and the bubbles take their time.
    degas, under = made.ending("glycerine", 0.5)
    assert (degas.cover, degas.duration_s) == (Film(), 0.5 * made.degas_s)
    assert np.array_equal(under.irradiance_mw_cm2_nm, made.behind_mw_cm2_nm)
    assert np.array_equal(air.irradiance_mw_cm2_nm, made.box_mw_cm2_nm)
    assert {each.flash_hz for each in (air, nitrogen, under)} == {8.0}


def test_an_answer_is_known_again_by_all_that_it_hangs_on(desk, made):
    again = coating(desk.bench, subject(desk.bench, desk.now))
    assert again.key == made.key
    desk.must(cm.ReadLamp("EX-LM-A", 80))
    assert coating(desk.bench, subject(desk.bench, desk.now)).key != made.key


def test_what_a_lot_absorbs_is_on_file_or_asked_for(desk):
    known = absorbers_known(desk.bench, "EX-LT-C1")
    assert [each.mol_l for each in absorbers_of(desk.bench, "EX-LT-C1")] == [
        each.mol_l for each in known
    ]
    assert absorbers_known(desk.bench, "EX-LT-9") == ()
    with pytest.raises(UnknownError, match="What EX-LT-9 absorbs is not on file"):
        absorbers_of(desk.bench, "EX-LT-9")


def test_a_curve_of_the_practice_s_own_is_as_sure_as_it_says(desk, made):
    """The shipped ends are for the shipped curve alone; another has those of its rung."""
    found = subject(desk.bench, desk.now)
    (initiator,) = absorbers_known(desk.bench, found.lot)
    curve = desk.bench.curves[initiator.curve]
    own = replace(
        curve, values=tuple(0.5 * each for each in curve.values), confidence="declared"
    )
    curves = {**desk.bench.curves, initiator.curve: own}
    (given,) = coating(replace(desk.bench, curves=curves), found).resin.initiators

    nominal = given.absorptivity_l_mol_cm
    assert np.allclose(given.low_l_mol_cm, nominal * (1 - OFF["declared"]))
    assert np.allclose(given.high_l_mol_cm, nominal * (1 + OFF["declared"]))


def test_a_guess_is_said_first(desk):
    found = subject(desk.bench, desk.now)
    (initiator,) = absorbers_known(desk.bench, found.lot)
    guess = replace(desk.bench.curves[initiator.curve], confidence="from memory")
    material = desk.bench.lots[found.lot].material
    by_class = replace(desk.bench.materials[material], knowledge="design class")
    bench = replace(
        desk.bench,
        curves={**desk.bench.curves, initiator.curve: guess},
        materials={**desk.bench.materials, material: by_class},
    )
    notes = coating(bench, found).notes

    assert notes[0].startswith("Rates: ")
    assert notes[1] == f"How {initiator.name} absorbs is our guess."
    assert "The initiator is known by its class only." in notes


def test_without_a_box_s_spectrum_there_is_one_sentence(desk):
    found = subject(desk.bench, desk.now)
    bare = replace(desk.bench.boxes["EX-BX-1"], curve="")
    bench = replace(desk.bench, boxes={**desk.bench.boxes, "EX-BX-1": bare})

    with pytest.raises(UnknownError, match="EX-BX-1 has no spectrum on file"):
        coating(bench, found)


def test_a_box_that_shines_steadily_is_given_as_steady(desk):
    found = subject(desk.bench, desk.now)
    steady = replace(desk.bench.boxes["EX-BX-1"], unit="second")
    bench = replace(desk.bench, boxes={**desk.bench.boxes, "EX-BX-1": steady})
    made = coating(bench, found)

    assert made.flash_hz is None
    assert not any("flashes" in note for note in made.notes)


def test_the_oxygen_that_nitrogen_leaves_is_said_where_it_is_the_cover(desk):
    found = subject(desk.bench, desk.now)
    under = replace(found.part, variant=replace(found.part.variant, cover="nitrogen"))
    made = coating(desk.bench, replace(found, part=under))

    assert any("never measured" in note for note in made.notes)


def test_a_lamp_that_acts_on_nothing_has_no_absorbance_to_tell(desk):
    found = subject(desk.bench, desk.now)
    dark = replace(
        desk.bench.curves[desk.bench.lamps["EX-LM-A"].curve],
        nm=(700.0, 800.0),
        values=(1.0, 1.0),
    )
    curves = {**desk.bench.curves, desk.bench.lamps["EX-LM-A"].curve: dark}

    with pytest.raises(UnknownError, match="gives no light that this coat uses"):
        mean_absorbance_per_cm(
            replace(desk.bench, curves=curves), found, np.arange(300.0, 600.0)
        )
