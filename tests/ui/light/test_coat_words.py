"""Forecast and tack window: one answer quick or sure, bands, coupons, words."""

from math import exp, inf

import pytest

from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.physics.coat import COARSE, simulate
from benchassist.sums.coat import COVERS, coating, oxygen_left
from benchassist.sums.subject import subject
from benchassist.ui.present.physics import forecast, tack
from benchassist.ui.present.physics.plot import number, spread

PLANNED = forecast.Setting(25.0, 1.0, 10.0)


@pytest.fixture
def made(desk):
    return coating(desk.bench, subject(desk.bench, desk.now))


# --- forecast ------------------------------------------------------------------


def test_the_preview_is_near_the_accurate_run(made):
    quick = forecast.preview(made, PLANNED, "glycerine")
    sure = forecast.computed(made, PLANNED)

    assert set(quick.ends) == {"glycerine"}
    assert set(sure.ends) == set(COVERS)
    for a, b in zip(
        (*quick.tacks, quick.ends["glycerine"]),
        (*sure.tacks, sure.ends["glycerine"]),
        strict=True,
    ):
        assert a.mean[1] == pytest.approx(b.mean[1], abs=0.02)
        assert a.soft_um[1] == pytest.approx(b.soft_um[1], abs=0.5)


@pytest.mark.parametrize("cover", COVERS)
def test_all_covers_in_one_run_are_what_each_is_alone(made, cover):
    steps = [
        *made.tacks(PLANNED.tack_s, coat_um=PLANNED.coat_um),
        *made.ending(cover),
    ]
    alone = simulate(made.resin, steps, resolution=COARSE, grid_nm=made.grid_nm)[-1]
    together = forecast.computed(made, PLANNED).ends[cover]

    assert together.mean[1] == pytest.approx(float(alone.mean_conversion[0]), abs=0.01)
    assert together.soft_um[1] == pytest.approx(float(alone.soft_top_um()[0]), abs=0.3)


def test_oxygen_kept_out_leaves_less_soft_skin(made):
    """Endo et al., abstract: 4 to 23 um in air, none or below 3 um in nitrogen."""
    ends = forecast.computed(made, PLANNED).ends

    assert 2 < ends["air"].soft_um[1] < 25
    assert ends["nitrogen"].soft_um[1] < 4
    assert ends["glycerine"].soft_um[1] < ends["air"].soft_um[1]


def test_draws_carry_a_band_around_their_median_and_can_be_stopped(made, monkeypatch):
    monkeypatch.setattr(forecast, "CHUNK", 6)
    monkeypatch.setattr(forecast, "CHUNKS", 2)
    found = forecast.drawn(made, PLANNED, lambda: False)

    assert found.draws == 12
    for profile in (*found.tacks, *found.ends.values()):
        low, middle, high = profile.mean
        assert low < middle < high
        assert all(
            a <= b <= c
            for a, b, c in zip(
                profile.low, profile.conversion, profile.high, strict=True
            )
        )
    assert forecast.drawn(made, PLANNED, lambda: True) is None


def test_a_number_is_about_until_its_band_is_there(made, monkeypatch):
    monkeypatch.setattr(forecast, "CHUNK", 6)
    monkeypatch.setattr(forecast, "CHUNKS", 1)
    sure = forecast.forecast_view(forecast.computed(made, PLANNED), "glycerine")
    banded = forecast.forecast_view(
        forecast.drawn(made, PLANNED, lambda: False), "glycerine"
    )

    assert all(mean.startswith("about ") for _, mean, _ in sure.rows)
    assert all(" to " in mean for _, mean, _ in banded.rows)
    assert not sure.plot.bands
    assert banded.plot.bands
    strokes = [(line.stroke, line.ink) for line in sure.plot.lines]
    assert len(set(strokes)) == len(strokes)


# --- numbers -------------------------------------------------------------------


@pytest.mark.parametrize(
    ("amount", "text"),
    [
        (0.0, "0"),
        (0.0561, "0.056"),
        (0.289, "0.29"),
        (5.96, "6.0"),
        (12.4, "12"),
        (1066, "1100"),
        (inf, "no end"),
    ],
)
def test_numbers_have_two_digits_and_no_exponent(amount, text):
    assert number(amount) == text


@pytest.mark.parametrize(
    ("three", "text"),
    [
        ((1.0, 2.0, 3.0), "2.0 s (1.0 to 3.0)"),
        ((1.0, 2.0, inf), "2.0 s (1.0 to no end)"),
        ((1.0, inf, inf), "no end known, from 1.0 s"),
        ((inf, inf, inf), "no end known"),
        ((2.0, 2.0, 2.0), "2.0 s"),
    ],
)
def test_a_band_is_never_hidden(three, text):
    assert spread(*three, unit="s") == text


# --- tack window ---------------------------------------------------------------

DRAWN = [(0.5 + 0.1 * n, 2.0 + 0.2 * n) for n in range(20)]
PAIRS = (DRAWN[5], *DRAWN[:5], *DRAWN[6:])  # the values in use first


CURVES = ((0.3, 1.0, 60.0), (0.0, 0.5, 5.0)), ((0.3, 1.0, 60.0), (50.0, 0.0, 0.0))


def coupon(seconds, how=""):
    return ev.CouponRecorded("EX-LM-A", "EX-RS-C", not how, float(seconds), how)


@pytest.mark.parametrize(
    ("tried", "agrees"),
    [
        (coupon(2), True),
        (coupon(0.5), False),
        (coupon(5), False),
        (coupon(0.5, "not set"), True),
        (coupon(2, "not set"), False),
        (coupon(5, "tacky at the end"), True),
        (coupon(2, "tacky at the end"), False),
    ],
)
def test_a_coupon_agrees_with_the_windows_that_could_have_given_it(tried, agrees):
    assert tack.agrees((1.0, 3.0), tried) is agrees


def test_coupons_narrow_the_window_to_the_draws_that_agree():
    kept, told = tack.narrowed(PAIRS, (coupon(1.55), coupon(4.5, "tacky at the end")))

    agree = tuple(p for p in PAIRS if p[0] <= 1.55 <= p[1] and p[1] < 4.5)
    assert kept == agree
    assert told == f"2 coupons narrow it: {len(agree) - 1} of 19 draws agree."


def test_what_coupons_leave_of_the_draws_is_what_is_shown(desk, made):
    window = tack.Window(PAIRS, *CURVES)
    before = tack.tack_view(desk.bench, made, window)
    for seconds, how in ((1.55, ""), (4.5, "tacky at the end")):
        desk.must(cm.RecordCoupon("EX-LM-A", "EX-RS-C", not how, seconds, how))

    after = tack.tack_view(desk.bench, made, window)

    for wide, narrow in zip(before.plot.ranges, after.plot.ranges, strict=True):
        assert wide.low <= narrow.low < narrow.median < narrow.high <= wide.high
        assert narrow.high - narrow.low < wide.high - wide.low
    assert "2 coupons narrow it: 10 of 19 draws agree." in after.lines


def test_coupons_that_contradict_the_model_narrow_nothing_and_say_so():
    kept, told = tack.narrowed(PAIRS, (coupon(60),))

    assert kept == PAIRS
    assert "contradict each other: something on file is wrong" in told


def test_coupons_without_seconds_say_nothing_about_the_window():
    kept, told = tack.narrowed(PAIRS, (coupon(0),))

    assert kept == PAIRS
    assert told.startswith("No coupon with its seconds")


@pytest.mark.parametrize(
    ("planned", "words", "fits"),
    [
        (2.0, "lies inside the window", True),
        (0.4, "is too short: the body of the coat will not have set", False),
        (9.0, "is too long: it spends the skin's initiator", False),
        (1.1, "may be too short", False),
        (3.5, "may be too long", False),
    ],
)
def test_a_planned_tack_outside_the_window_is_said_with_why(planned, words, fits):
    told, found = tack.judged(planned, (0.5, 1.0, 1.5), (3.0, 4.0, 5.0))

    assert words in told
    assert found is fits


def test_a_window_that_is_closed_is_said():
    told, fits = tack.judged(2.0, (2.0, 3.0, 4.0), (1.0, 2.0, 5.0))

    assert "no tack does both" in told
    assert not fits


def test_a_light_that_sets_nothing_is_not_said_to_spend_the_skin():
    told, fits = tack.judged(10.0, (9.0, inf, inf), (400.0, 560.0, inf))

    assert "no time sets the body" in told
    assert "spends" not in told
    assert not fits


def test_the_window_opens_before_it_closes_and_its_curves_say_the_same(made):
    found = tack.central(made)
    (least, most), (slow_least, _) = found.pairs

    assert 0 < least < most < 60
    assert least < slow_least
    for seconds, skin in zip(*found.soft, strict=True):
        if seconds < most / 1.3:
            assert skin < 1.3
        if seconds > most * 1.3:
            assert skin > 0.7
    set_at = next(s for s, unset in zip(*found.unset, strict=True) if unset <= 0)
    assert set_at < 1.5 * least


def test_what_was_tried_stands_beside_the_model_and_a_fail_stays_a_fail(desk, made):
    for seconds, how in ((1, "not set"), (2, ""), (8, "tacky at the end")):
        desk.must(cm.RecordCoupon("EX-LM-A", "EX-RS-C", not how, float(seconds), how))
    window = tack.Window(PAIRS, *CURVES)

    view = tack.tack_view(desk.bench, made, window)

    assert {(dots.x, dots.shape) for dots in view.plot.dots} == {
        ((1.0,), "triangle"),
        ((2.0,), "disc"),
        ((8.0,), "cross"),
    }
    assert [each.label for each in view.plot.ranges] == ["least", "most"]
    assert not view.fits
    blue = subject(desk.bench, desk.now, "EX-LM-B")
    desk.must(cm.RecordCoupon("EX-LM-B", "EX-RS-C", passed=True, tack_s=10))
    failing = coating(desk.bench, blue)
    told = tack.tack_view(desk.bench, failing, window)
    assert told.verdict.startswith("The light check says FAIL")
    assert not told.fits
    assert not any(line.startswith(("Least", "Most")) for line in told.lines)


def test_an_exposure_that_the_window_excludes_is_said_outright(made):
    inside = tack.excluded(made, (0.5, 1.0, 1.5), (30.0, 40.0, 50.0))
    short = tack.excluded(made, (12.0, 13.0, 14.0), (30.0, 40.0, 50.0))
    long = tack.excluded(made, (0.5, 1.0, 1.5), (3.0, 4.0, 5.0))

    assert made.planned_s == 10.0
    assert inside == ""
    assert "asks for 10 s, but the body needs 12 s at least" in short
    assert "asks for 10 s, but the window ends at 5.0 s" in long
    assert "exclude each other" in long


def test_of_a_layer_known_by_class_nothing_is_said_to_fit():
    for planned, words in ((2.0, "A coupon would"), (9.0, "is too long")):
        told, fits = tack.judged(planned, (0.5, 1.0, 1.5), (3.0, 4.0, 5.0), known=False)

        assert words in told
        assert not fits


def test_nitrogen_that_nobody_measured_keeps_its_oxygen(desk):
    recipe = subject(desk.bench, desk.now).recipe
    assumed, told = oxygen_left(desk.bench, recipe)
    assert assumed == 1.0
    assert "never measured" in told
    for code, amount in (("chamber_l", 4), ("nitrogen_l_min", 6)):
        desk.must(cm.SetLimit(code, amount, "our box"))

    left, told = oxygen_left(desk.bench, recipe)
    assert left == pytest.approx(20.9 * exp(-recipe.purge_s / 40))
    assert told.endswith("band: 214 s.")
    desk.must(cm.SetLimit("nitrogen_percent", 0.05, "our meter"))
    assert oxygen_left(desk.bench, recipe)[0] == 0.05
