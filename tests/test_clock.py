"""The one place that asks for the time."""

import re
import time
from datetime import UTC, datetime, timedelta, timezone
from zoneinfo import available_timezones

import pytest

from benchassist import clock as clocks
from benchassist.clock import (
    DAY_MS,
    AcceleratedClock,
    Instant,
    RealClock,
    SimulatedClock,
    local_offset_min,
    wait_ms,
    zone_name,
)

BERLIN = timezone(timedelta(hours=2))
NOON = datetime(2026, 5, 14, 12, 0, tzinfo=BERLIN)


def test_within_one_boot_the_monotonic_reading_decides():
    earlier = Instant(wall_ms=1000, offset_min=0, mono_ms=50, boot="a")
    later = Instant(wall_ms=0, offset_min=0, mono_ms=70, boot="a")

    assert later.since(earlier) == 20
    assert earlier.since(later) == -20


def test_over_a_reboot_a_bare_instant_is_sure_of_nothing():
    earlier = Instant(wall_ms=1000, offset_min=0, mono_ms=50, boot="a")

    assert Instant(4000, 0, 3, "b").since(earlier) == 0
    assert Instant(400, 0, 3, "b").since(earlier) == 0
    assert Instant(4000, 0, 3, "b").most_since(earlier) == DAY_MS
    assert Instant(DAY_MS + 1001, 0, 3, "b").most_since(earlier) == DAY_MS + 1


def test_an_instant_is_shown_in_the_station_s_own_time():
    late = Instant(1_778_797_800_000, 120, 0, "a")  # 2026-05-14 22:30 UTC

    assert late.local().isoformat() == "2026-05-15T00:30:00+02:00"
    assert late.day() == "2026-05-15"
    assert Instant(late.wall_ms, 0, 0, "a").day() == "2026-05-14"


def test_a_later_instant_is_later_on_both_clocks():
    begun = Instant(1000, 60, 50, "a")

    assert begun.plus(250) == Instant(1250, 60, 300, "a")
    assert begun.plus(250).since(begun) == 250


# --- simulated -----------------------------------------------------------------


def test_a_simulated_clock_moves_only_when_told():
    clock = SimulatedClock(NOON)
    begun = clock.now()
    assert clock.now() == begun
    assert begun.local() == NOON

    clock.advance(1500)

    assert clock.now().since(begun) == 1500
    assert clock.now().wall_ms - begun.wall_ms == 1500


def test_a_step_of_the_wall_clock_is_no_time():
    clock = SimulatedClock(NOON)
    begun = clock.now()
    clock.step_wall(3_600_000)

    assert clock.now().since(begun) == 0
    assert clock.now().local() == NOON + timedelta(hours=1)


def test_after_a_reboot_the_monotonic_reading_begins_again():
    clock = SimulatedClock(NOON)
    begun = clock.now()
    clock.advance(5000)
    clock.reboot()
    assert clock.now().mono_ms == 0
    assert clock.now().boot != begun.boot
    clock.advance(1000)

    assert clock.now().wall_ms - begun.wall_ms == 6000
    clock.reboot(40)
    assert clock.now().mono_ms == 40
    assert len({begun.boot, clock.now().boot, "simulated-2"}) == 3


# --- accelerated ---------------------------------------------------------------


def test_an_accelerated_clock_runs_so_many_times_as_fast():
    base = SimulatedClock(NOON)
    fast = AcceleratedClock(base, 20.0)
    begun = fast.now()
    base.advance(3000)

    assert begun == base.now().plus(-3000)
    assert fast.now().since(begun) == 60_000
    assert fast.now().local() == NOON + timedelta(minutes=1)


def test_an_accelerated_clock_may_start_at_another_time():
    base = SimulatedClock(NOON)
    start = SimulatedClock(datetime(2026, 1, 1, tzinfo=UTC)).now()
    fast = AcceleratedClock(base, 2.0, start)
    base.advance(500)

    assert fast.now() == start.plus(1000)


def test_another_pace_changes_what_comes_and_not_what_was():
    base = SimulatedClock(NOON)
    fast = AcceleratedClock(base, 20.0)
    begun = fast.now()
    base.advance(1000)
    fast.run_at(1.0)
    assert fast.now().since(begun) == 20_000
    base.advance(1000)
    assert fast.now().since(begun) == 21_000
    fast.run_at(1.0)
    fast.run_at(10.0)
    base.advance(1000)

    assert fast.now().since(begun) == 31_000


# --- real ----------------------------------------------------------------------


def test_the_real_clock_knows_its_boot_and_goes_forward():
    clock = RealClock()
    first = clock.now()
    wait_ms(2)
    second = clock.now()

    assert 2 <= second.since(first) < 5000
    assert first.boot == RealClock().now().boot
    assert abs(first.local().timestamp() - first.wall_ms / 1000) < 0.001


def test_the_real_clock_counts_on_without_a_clock_that_counts_through_sleep(
    monkeypatch,
):
    monkeypatch.delattr(time, "CLOCK_BOOTTIME", raising=False)
    clock = RealClock()
    first = clock.now()
    wait_ms(2)

    assert 2 <= clock.now().since(first) < 5000


def test_without_a_boot_id_every_process_is_a_boot_of_its_own(monkeypatch, tmp_path):
    monkeypatch.setattr(clocks, "_BOOT_ID", tmp_path / "absent")

    assert RealClock().now().boot != RealClock().now().boot


def test_a_wait_of_less_than_nothing_is_none():
    first = RealClock().now()
    wait_ms(-10_000)

    assert RealClock().now().since(first) < 5000


@pytest.fixture
def zone(monkeypatch):
    """Set the zone of this process for one test."""

    def set_zone(name):
        monkeypatch.setenv("TZ", name)
        time.tzset()

    yield set_zone
    monkeypatch.undo()
    time.tzset()


def test_the_offset_of_a_moment_is_the_one_of_its_own_season(zone):
    zone("Europe/Berlin")
    winter, summer = (datetime(2026, month, 1, tzinfo=UTC) for month in (1, 7))

    assert local_offset_min(int(winter.timestamp() * 1000)) == 60
    assert local_offset_min(int(summer.timestamp() * 1000)) == 120


def test_a_zone_half_an_hour_off_is_told_in_minutes(zone):
    zone("Asia/Kolkata")

    assert local_offset_min(0) == 330


def test_the_zone_is_the_one_that_is_told(monkeypatch):
    monkeypatch.setenv("TZ", ":Europe/Berlin")

    assert zone_name() == "Europe/Berlin"


@pytest.mark.parametrize("told", ["", "/etc/localtime"])
def test_where_no_zone_is_told_the_machine_s_own_or_its_offset_is_named(
    monkeypatch, told
):
    monkeypatch.setenv("TZ", told)
    named = zone_name()

    assert named in available_timezones() or re.fullmatch(r"UTC[+-]\d+(\.\d+)?", named)
