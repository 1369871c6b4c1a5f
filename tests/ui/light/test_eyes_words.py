"""Eyes and skin: limits against published sums, days added up, glasses never assumed.

Outside evidence: the permissible seconds below are those of Directive 2006/25/EC for a
tip of 1000 mW/cm2 (index c: 1e6 J/m2/sr of blue light; index b: 1e4 J/m2 of UVA), looked
into as the brighter of a Lambertian one and its own beam, computed with two independent transcriptions of the weightings; an eye protection
criterion of the Nordic institute asks for 390 to 525 nm.
"""

from math import inf, isinf

import pytest

from benchassist.domain import commands as cm
from benchassist.domain import library as lib
from benchassist.domain.state import Ready
from benchassist.physics.spectra import Line, gaussian_lines, wavelength_grid
from benchassist.ui.present.look import look
from benchassist.ui.present.physics import eyes
from tests.domain.builders import Desk, desk_at, even


def lamp_of(*, nm, fwhm, mw_cm2=1000):
    grid_nm = wavelength_grid(low_nm=300, high_nm=700, step_nm=1.0)
    values = gaussian_lines([Line(mw_cm2, nm, fwhm)], grid_nm)
    return lib.Curve(
        f"{nm}/{fwhm} {mw_cm2}",
        "irradiance_mw_cm2_nm",
        tuple(map(float, grid_nm)),
        tuple(map(float, values)),
        "EX",
        "measured",
    )


def desk_with(curve, *codes):
    desk = Desk()
    for code in codes or ("LM-A",):
        desk.must(cm.FileSpectrum("lamp", code, curve, "for the test"))
    return desk


def held(desk, place, limit, lamp="LM-A"):
    rows = eyes.held(desk.bench, lamp, "OP-1")
    return next(row for row in rows if (row.place, row.limit) == (place, limit))


OFF_THE_PART = "eye, light off the part"
BLUE = "blue light on the retina"


@pytest.mark.parametrize(
    ("nm", "fwhm", "place", "limit", "seconds"),
    [
        (460, 25, OFF_THE_PART, BLUE, 805.7),
        (460, 25, eyes.INTO_THE_TIP, BLUE, 402.85 / 82),
        (405, 20, eyes.INTO_THE_TIP, BLUE, 1006.6 / 82),
        (385, 15, eyes.INTO_THE_TIP, "UVA on the eye lens", 59.3),
        (385, 15, OFF_THE_PART, BLUE, inf),
    ],
)
def test_the_limits_are_those_of_the_directive(nm, fwhm, place, limit, seconds):
    desk = desk_with(lamp_of(nm=nm, fwhm=fwhm))

    assert held(desk, place, limit).bare_s == pytest.approx(seconds, rel=5e-3)


def test_the_order_is_that_of_light_off_a_tooth_in_the_literature():
    """Outside evidence: about 11 min a day at 40 cm, Price et al. 2016, abstract."""
    desk = desk_with(lamp_of(nm=460, fwhm=25))

    assert 0.5 < held(desk, OFF_THE_PART, BLUE).bare_s / 660 < 2


def test_a_lamp_at_half_its_output_may_be_on_twice_as_long():
    desk = desk_with(lamp_of(nm=460, fwhm=25))
    whole = held(desk, OFF_THE_PART, BLUE).bare_s
    desk.must(cm.ReadLamp("LM-A", 50))

    assert held(desk, OFF_THE_PART, BLUE).bare_s == pytest.approx(2 * whole, rel=1e-6)


def test_without_glasses_on_file_nothing_is_assumed():
    desk = desk_with(lamp_of(nm=460, fwhm=25))
    found = eyes.budget(desk.bench, desk.now, "LM-A")

    assert found.filtered_s is None
    assert found.lens.endswith("is not on file: nothing is assumed.")
    assert BLUE in found.bare_limit


def test_glasses_shown_for_the_lamps_band_take_its_limit_away():
    desk = desk_with(lamp_of(nm=460, fwhm=25))
    desk.must(cm.ShowGlasses("OP-1", "orange", 390, 525, 0.001))

    found = eyes.budget(desk.bench, desk.now, "LM-A")

    # 2482 W/m2/sr through 0.1 % are 2.5, below the 100 at which no limit is stated.
    assert isinf(found.filtered_s)
    assert "0.10% over 390 to 525 nm, all of LM-A" in found.lens


def test_glasses_shown_elsewhere_count_as_none_for_this_lamp():
    """78 % of a 385/15 lamp lies below 390 nm (normal law)."""
    desk = desk_with(lamp_of(nm=385, fwhm=15))
    desk.must(cm.ShowGlasses("OP-1", "orange", 390, 525, 0.001))

    told, shown = eyes.lens_words(desk.bench, "LM-A", "OP-1")

    assert "Filter not shown for LM-A: 78% of its power" in told
    assert not shown


def test_a_measured_curve_of_glasses_is_used():
    desk = desk_with(lamp_of(nm=460, fwhm=25))
    lens = even("lens", 350.0, 600.0, 0.5, "transmittance")
    desk.must(cm.FileSpectrum("glasses", "OP-1", lens, "measured"))

    row = held(desk, OFF_THE_PART, BLUE)

    assert row.filtered_s == pytest.approx(2 * row.bare_s, rel=1e-3)


def test_another_operators_glasses_help_nobody_else():
    desk = desk_with(lamp_of(nm=460, fwhm=25))
    desk.must(cm.ShowGlasses("OP-2", "orange", 390, 525, 0.001))

    assert eyes.budget(desk.bench, desk.now, "LM-A").filtered_s is None


def tacked(curve):
    """Return a bench on which one crown had 100 s of light by LM-A."""
    desk = desk_at("submerge")
    for code in ("LM-A", "LM-B"):
        desk.must(cm.FileSpectrum("lamp", code, curve, "for the test"))
    return desk


def test_the_doses_of_a_day_add_up_over_lamps():
    desk = tacked(lamp_of(nm=460, fwhm=25))

    with_a = eyes.budget(desk.bench, desk.now, "LM-A")
    with_b = eyes.budget(desk.bench, desk.now, "LM-B")

    assert with_a.lit_s == with_b.lit_s == 100
    assert with_a.bare_s == pytest.approx(805.7, rel=5e-3)
    assert with_b.bare_s == pytest.approx(with_a.bare_s)


def test_a_weaker_lamp_after_a_strong_one_leaves_what_is_left_of_the_dose():
    desk = tacked(lamp_of(nm=460, fwhm=25))
    weak = lamp_of(nm=460, fwhm=25, mw_cm2=500)
    desk.must(cm.FileSpectrum("lamp", "LM-B", weak, "for the test"))

    found = eyes.budget(desk.bench, desk.now, "LM-B")

    # 100 s of 805.7 are used; the rest lasts twice as long.
    assert found.bare_s == pytest.approx(100 + 2 * (805.7 - 100), rel=5e-3)


def test_a_day_is_an_operators_own():
    desk = tacked(lamp_of(nm=460, fwhm=25))
    desk.must(cm.ClaimStation("OP-2"))

    assert eyes.budget(desk.bench, desk.now, "LM-A").lit_s == 0


def at_the_coat(mw_cm2):
    desk = desk_at("coat-1", phase=Ready)
    curve = lamp_of(nm=405, fwhm=20, mw_cm2=mw_cm2)
    desk.must(cm.FileSpectrum("lamp", "LM-A", curve, "for the test"))
    return desk


def test_the_part_that_will_pass_a_limit_is_said_before_its_coat_is_begun():
    desk = at_the_coat(1000)
    part = desk.part()
    assert eyes.notice(desk.bench, part, desk.now) == ""

    desk.must(cm.SetLimit("part_reflectance", 40.0, "a mirror, for the test"))
    told = eyes.notice(desk.bench, part, desk.now)

    assert told.endswith("past the unfiltered eye limit at spot 6")
    view = look(desk.bench, desk.now)
    assert view.pedal_aside == told
    assert view.right_status == (
        "Keep eyewear on. Lamp 0:00 today; EX-1 would pass the unfiltered eye limit."
    )


def test_a_notice_is_never_a_gate():
    desk = at_the_coat(1000)
    desk.must(cm.SetLimit("part_reflectance", 40.0, "a mirror, for the test"))
    desk.must(cm.OpenLampSession("LM-A"))

    desk.must(cm.WetBrush("EX-1"))


def test_with_glasses_that_are_shown_the_notice_is_about_what_they_leave():
    desk = at_the_coat(1000)
    desk.must(cm.SetLimit("part_reflectance", 40.0, "a mirror, for the test"))
    desk.must(cm.ShowGlasses("OP-1", "orange", 330, 525, 0.001))

    assert eyes.notice(desk.bench, desk.part(), desk.now) == ""


def test_a_limit_that_is_passed_says_so_in_the_status_bar():
    desk = tacked(lamp_of(nm=460, fwhm=25))
    desk.must(cm.SetLimit("part_reflectance", 8.0, "a mirror, for the test"))

    told = eyes.status_line(desk.bench, desk.now, "LM-A")

    past = "Keep eyewear on. Lamp 1:40 today: PAST the unfiltered eye limit."
    assert told == (past, True)


def test_a_lamp_without_a_spectrum_has_no_known_limit():
    told = eyes.status_line(Desk().bench, Desk().now, "LM-UNKNOWN")

    assert told == ("Keep eyewear on. Lamp 0:00 today, no spectrum on file.", False)
