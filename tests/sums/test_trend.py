"""A lamp's trend against scipy's regression, and what the screen makes of it."""

import numpy as np
import pytest
from scipy import stats

from benchassist.clock import Instant
from benchassist.domain import events as ev
from benchassist.sums.trend import LEAST, readings_of, trend

NOW = Instant(1_772_438_400_000, 60, 0, "boot")
DAY = 86_400_000
NOISE = np.random.default_rng(7).normal(scale=0.01, size=40)


def aged(days, slope, noise=0.0, baseline=800.0):
    return [
        (
            Instant(NOW.wall_ms + day * DAY, 60, 0, "boot"),
            baseline * (1 + slope * (day - days[0]) + noise * NOISE[n]),
        )
        for n, day in enumerate(days)
    ]


def test_the_band_is_the_textbooks():
    # scipy.stats.linregress and the t quantile: the 95 % band of one more reading.
    days = list(range(-60, 0, 3))
    readings = aged(days, -0.001, noise=1.0)
    found = trend(readings, 800.0, 0.7, NOW)
    y = np.array([reading / 800.0 for _, reading in readings])
    x = np.array(days, dtype=float)
    fit = stats.linregress(x, y)
    sd = np.sqrt(((y - fit.intercept - fit.slope * x) ** 2).sum() / (len(x) - 2))
    for band in found.band:
        line = fit.intercept + fit.slope * band.day
        spread = (
            1 + 1 / len(x) + (band.day - x.mean()) ** 2 / ((x - x.mean()) ** 2).sum()
        )
        half = stats.t.ppf(0.975, len(x) - 2) * sd * np.sqrt(spread)
        assert band.line == pytest.approx(line, rel=1e-9)
        assert (band.low, band.high) == pytest.approx((line - half, line + half))
    assert found.floor_day is not None
    at = fit.intercept + fit.slope * found.floor_day
    spread = (
        1 + 1 / len(x) + (found.floor_day - x.mean()) ** 2 / ((x - x.mean()) ** 2).sum()
    )
    assert at - stats.t.ppf(0.975, len(x) - 2) * sd * np.sqrt(spread) == pytest.approx(
        0.7, abs=1e-9
    )


def test_a_perfect_line_meets_the_floor_on_its_day():
    found = trend(aged(list(range(-100, 1, 10)), -0.002), 800.0, 0.7, NOW)
    assert found.share == pytest.approx(0.8)
    assert found.floor_day == pytest.approx(50, abs=0.01)


def test_few_readings_say_no_more_than_the_last():
    found = trend(aged(list(range(-3, -3 + LEAST - 1)), -0.1), 800.0, 0.7, NOW)
    assert found.band == ()
    assert found.floor_day is None
    assert trend([], 800.0, 0.7, NOW) is None


def test_a_lamp_that_does_not_fall_has_no_day():
    assert (
        trend(aged(list(range(-30, 0, 3)), 0.0001), 800.0, 0.7, NOW).floor_day is None
    )


def test_twelve_per_cent_overnight_is_a_jump():
    readings = aged(list(range(-20, 0)), 0.0, noise=1.0)
    calm = trend(readings, 800.0, 0.7, NOW)
    assert calm.jump == 0.0
    readings.append((NOW, 800.0 * 0.88))
    found = trend(readings, 800.0, 0.7, NOW)
    assert 0.05 < found.jump < 0.12


@pytest.mark.parametrize(("share", "out"), [(0.7, False), (0.699, True)])
def test_the_floor_itself_is_in_service(share, out):
    assert trend([(NOW, 800.0 * share)], 800.0, 0.7, NOW).out_of_service is out


def test_a_repair_begins_anew():
    def entry(event):
        return ev.Entry(1, "e", NOW, "EX-OP1", "hand", event)

    log = [
        entry(ev.LampReadingTaken("EX-LM-A", 800.0)),
        entry(ev.LampReadingTaken("EX-LM-B", 300.0)),
        entry(ev.LampServiced("EX-LM-A", "tip cleaned")),
        entry(ev.LampReadingTaken("EX-LM-A", 810.0)),
        entry(ev.LampServiced("EX-LM-B", "repaired")),
    ]
    assert [reading for _, reading in readings_of(log, "EX-LM-A")] == [800.0, 810.0]
    log += [
        entry(ev.LampServiced("EX-LM-A", "tip changed")),
        entry(ev.LampReadingTaken("EX-LM-A", 900.0)),
    ]
    assert [reading for _, reading in readings_of(log, "EX-LM-A")] == [900.0]


def test_a_new_lamp_in_a_box_begins_anew():
    def entry(what, value, box="EX-BX-1"):
        event = ev.BoxRead(box, what, value)
        return ev.Entry(1, "e", NOW, "EX-OP1", "hand", event)

    log = [
        entry("light", 100.0),
        entry("light", 70.0, "EX-BX-2"),
        entry("life counter", 50_000.0),
        entry("light", 92.0),
    ]
    assert [reading for _, reading in readings_of(log, "EX-BX-1")] == [100.0, 92.0]
    log += [entry("new lamp", 0.0), entry("light", 104.0)]
    assert [reading for _, reading in readings_of(log, "EX-BX-1")] == [104.0]


@pytest.mark.parametrize(("days", "drawn"), [(0.5, False), (1.9, False), (2.0, True)])
def test_readings_of_one_morning_draw_no_line(days, drawn):
    shares = (1.0, 0.99, 0.97, 0.96, 0.94)
    steps = len(shares) - 1
    readings = [
        (NOW.plus(round((n / steps - 1) * days * 86_400_000)), 800.0 * share)
        for n, share in enumerate(shares)
    ]
    found = trend(readings, 800.0, 0.7, NOW)

    assert bool(found.band) is drawn
    assert (found.floor_day is not None) is drawn


def test_a_trend_wants_a_baseline():
    with pytest.raises(ValueError, match="baseline"):
        trend([(NOW, 1.0)], 0.0, 0.7, NOW)
