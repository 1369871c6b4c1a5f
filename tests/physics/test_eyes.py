"""Edges of the exposure limits; their numbers are checked under tests/reference."""

from math import inf, pi

import numpy as np
import pytest

from benchassist.physics import eyes, spectra
from benchassist.physics.spectra import Curve

GRID_NM = eyes.hazard_grid()
FLAT = Curve((200.0, 800.0), (1.0, 1.0))
DARK = np.zeros(GRID_NM.shape)


def blue(mw_cm2):
    return spectra.gaussian_lines([spectra.Line(mw_cm2, 460, 25)], GRID_NM)


def limits(light, **where):
    seen = eyes.scene(light, **where)
    found = eyes.eye_limits(seen, actinic_table=FLAT, blue_table=FLAT)
    found += eyes.skin_limits(seen, actinic_table=FLAT)
    return {(limit.name, limit.basis): limit for limit in found}


def test_darkness_has_no_limit():
    for limit in limits(DARK, tip_mm=10, distance_mm=300).values():
        assert limit.permissible_s == inf
        assert limit.level == 0.0


def test_radiance_of_a_lambertian_tip_does_not_fade_with_distance():
    near = eyes.scene(blue(1000), tip_mm=10, distance_mm=100, source_mm=0)
    far = eyes.scene(blue(1000), tip_mm=10, distance_mm=400, source_mm=0)

    assert near.radiance_w_m2_sr_nm == pytest.approx(far.radiance_w_m2_sr_nm)
    assert spectra.integrate(near.radiance_w_m2_sr_nm, GRID_NM) == pytest.approx(
        1e4 / pi
    )
    assert near.irradiance_w_m2_nm.sum() > 15 * far.irradiance_w_m2_nm.sum()


def test_a_band_counts_from_end_to_end():
    """Identity: a flat light of 1 mW/cm2/nm gives as many as its band has nanometres."""
    found = limits(np.ones(GRID_NM.shape), tip_mm=10, distance_mm=0)

    for name, basis, band_nm in (
        ("uva-eye", "8 h day", 400 - 315),
        ("skin-thermal", "one exposure", 800 - 380),
    ):
        assert found[name, basis].level == pytest.approx(10.0 * band_nm, rel=1e-9)


def test_what_a_whole_day_just_may_give_limits_nothing():
    assert eyes._dose_s(8 * 3600.0, 1.0) == inf
    assert eyes._dose_s(8 * 3600.0, 1.0001) == pytest.approx(8 * 3600.0, rel=2e-4)


def test_the_heat_of_a_strong_tip_limits_a_single_touch():
    """Identity: 20 000 t^(1/4) J/m2 spent at 1e4 W/m2."""
    limit = limits(blue(1000), tip_mm=10, distance_mm=0)["skin-thermal", "one exposure"]

    assert limit.permissible_s * limit.level == pytest.approx(
        2e4 * limit.permissible_s**0.25
    )
    assert limit.permissible_s == pytest.approx(2.52, abs=0.01)


def test_the_heat_of_a_weak_tip_does_not():
    limit = limits(blue(100), tip_mm=10, distance_mm=0)["skin-thermal", "one exposure"]

    assert limit.permissible_s == inf


def test_a_blinding_source_is_limited_by_heat_on_the_retina():
    """Identity: 5e7 / (angle t^(1/4)) W/m2/sr, up to 10 s."""
    strong = limits(blue(3e5), tip_mm=30, distance_mm=300)
    limit = strong["retinal-thermal", "one exposure"]

    assert limit.level == pytest.approx(
        5e7 / (100 * limit.permissible_s**0.25), rel=1e-9
    )
    assert limit.permissible_s < 10


def test_heat_on_the_retina_just_above_the_long_limit_allows_ten_seconds():
    weak = limits(blue(1.0), tip_mm=30, distance_mm=300)
    per_mw = weak["retinal-thermal", "one exposure"].level
    strong = limits(blue(2.81e5 / per_mw), tip_mm=30, distance_mm=300)

    assert strong["retinal-thermal", "one exposure"].permissible_s == 10.0


def test_the_retina_does_not_see_ultraviolet():
    light = spectra.gaussian_lines([spectra.Line(1000, 350, 5)], GRID_NM)
    found = limits(light, tip_mm=10, distance_mm=300)

    assert found["retinal-thermal", "one exposure"].level == pytest.approx(0, abs=1e-6)
