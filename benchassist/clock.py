"""The one place that asks the system for the time.

Durations come from a monotonic reading that goes on counting while the machine
sleeps; wall time is a label for people. It knows nothing of parts or benches.
"""

from __future__ import annotations

import os
import time
import uuid
from collections.abc import Mapping
from dataclasses import field
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from typing import Protocol

from benchassist.value import replace, value

MS = 1000  # [ms] of a second
MINUTE_MS = 60 * MS
HOUR_MS = 60 * MINUTE_MS
DAY_MS = 24 * HOUR_MS
NO_BOOT = "process-"  # begins the boot id of a machine that tells none
_BOOT_ID = Path("/proc/sys/kernel/random/boot_id")


@value
class Instant:
    """A moment: wall time with its UTC offset, a monotonic reading, a boot id.

    ``wall_ms`` is Unix time in milliseconds. ``mono_ms`` is only comparable
    between instants that share ``boot``.
    """

    wall_ms: int
    offset_min: int
    mono_ms: int
    boot: str

    def since(self, earlier: Instant) -> int:
        """Return the milliseconds that have surely passed since ``earlier``.

        Within one boot the monotonic reading decides, so a step of the wall
        clock changes nothing. Across a reboot nothing is sure: ``Now`` knows more.
        """
        return self.mono_ms - earlier.mono_ms if self.boot == earlier.boot else 0

    def most_since(self, earlier: Instant) -> int:
        """Return the milliseconds that can have passed since ``earlier`` at most.

        Across a reboot a day, or what the wall clocks say if that is more.
        """
        if self.boot == earlier.boot:
            return self.mono_ms - earlier.mono_ms
        return max(DAY_MS, self.wall_ms - earlier.wall_ms)

    def until(self, then: Instant) -> int:
        """Return how long it is to ``then`` at least; negative once it is past."""
        return -self.most_since(then)

    def plus(self, ms: int) -> Instant:
        """Return the instant ``ms`` milliseconds later on both clocks."""
        return Instant(self.wall_ms + ms, self.offset_min, self.mono_ms + ms, self.boot)

    def local(self) -> datetime:
        """Return the wall time as a zone-aware local datetime."""
        zone = timezone(timedelta(minutes=self.offset_min))
        return datetime.fromtimestamp(self.wall_ms / MS, tz=UTC).astimezone(zone)

    def day(self) -> str:
        """Return the local day as ``YYYY-MM-DD``."""
        return self.local().date().isoformat()


@value
class Boot:
    """Where a boot's monotonic reading begins on the store's own line.

    In milliseconds from the store's first boot: ``low`` if between all boots only
    the time passed that is sure, ``high`` if all of it did that can have passed.
    """

    low: int
    high: int


@value
class Now(Instant):
    """A moment that knows where boots lie on the store's line.

    A wait against harm asks ``since``, which counts what is sure; a maximum asks
    ``most_since``, which counts the most it can be. Within a boot they agree.
    """

    boots: Mapping[str, Boot] = field(default_factory=dict)

    @classmethod
    def at(cls, instant: Instant, boots: Mapping[str, Boot]) -> Now:
        """Return an instant that knows ``boots``."""
        return cls(
            instant.wall_ms, instant.offset_min, instant.mono_ms, instant.boot, boots
        )

    @property
    def instant(self) -> Instant:
        """Return the bare instant, as events keep it."""
        return self.plus(0)

    def since(self, earlier: Instant) -> int:
        """Return the milliseconds that have surely passed since ``earlier``."""
        here, there = self.boots.get(self.boot), self.boots.get(earlier.boot)
        if self.boot == earlier.boot or here is None or there is None:
            return Instant.since(self, earlier)
        return here.low + self.mono_ms - there.low - earlier.mono_ms

    def most_since(self, earlier: Instant) -> int:
        """Return the milliseconds that can have passed since ``earlier`` at most."""
        here, there = self.boots.get(self.boot), self.boots.get(earlier.boot)
        if self.boot == earlier.boot or here is None or there is None:
            return Instant.most_since(self, earlier)
        return here.high + self.mono_ms - there.high - earlier.mono_ms


class Clock(Protocol):
    """Whoever can say what time it is."""

    def now(self) -> Instant:
        """Return the present instant."""
        ...


def local_offset_min(wall_ms: int) -> int:
    """Return the station's UTC offset in minutes at ``wall_ms``."""
    local = datetime.fromtimestamp(wall_ms / MS, tz=UTC).astimezone()
    offset = local.utcoffset() or timedelta()
    return int(offset.total_seconds() // 60)


class RealClock:
    """The machine's clocks; the monotonic one counts through suspend.

    Linux: ``CLOCK_BOOTTIME``. Elsewhere ``time.monotonic``, which on Windows
    counts sleep up to CPython 3.12 and on macOS follows the system's uptime.
    """

    def __init__(self) -> None:
        self._boottime = getattr(time, "CLOCK_BOOTTIME", None)
        try:
            self._boot = _BOOT_ID.read_text().strip()
        except OSError:
            # Nobody can say whether the machine was started anew since: each
            # process counts as a boot of its own, and says that it is none.
            self._boot = f"{NO_BOOT}{uuid.uuid4().hex}"

    def now(self) -> Instant:
        """Return the present instant."""
        wall_ms = time.time_ns() // 1_000_000
        if self._boottime is None:
            mono_ms = time.monotonic_ns() // 1_000_000
        else:
            mono_ms = time.clock_gettime_ns(self._boottime) // 1_000_000
        return Instant(wall_ms, local_offset_min(wall_ms), mono_ms, self._boot)


class SimulatedClock:
    """A clock that moves only when told: rehearsals and tests."""

    def __init__(
        self, start: datetime, boot: str = "simulated-1", mono_ms: int = 1_000_000
    ) -> None:
        """Start at ``start``, a zone-aware datetime."""
        offset = start.utcoffset() or timedelta()
        self._now = Instant(
            wall_ms=int(start.timestamp() * MS),
            offset_min=int(offset.total_seconds() // 60),
            mono_ms=mono_ms,
            boot=boot,
        )
        self._boots = 1

    def now(self) -> Instant:
        """Return the present instant."""
        return self._now

    def advance(self, ms: int) -> None:
        """Let ``ms`` milliseconds pass on both clocks (sleep counts too)."""
        self._now = self._now.plus(ms)

    def step_wall(self, ms: int) -> None:
        """Step the wall clock alone, as a time server or a hand would."""
        self._now = replace(self._now, wall_ms=self._now.wall_ms + ms)

    def reboot(self, up_ms: int = 0) -> None:
        """Start a new boot, ``up_ms`` ago: the monotonic reading begins again."""
        self._boots += 1
        boot = f"simulated-{self._boots}"
        self._now = replace(self._now, mono_ms=up_ms, boot=boot)


class AcceleratedClock:
    """Another clock's time, running ``factor`` times as fast since the start."""

    def __init__(
        self, base: Clock, factor: float, start: Instant | None = None
    ) -> None:
        self._base = base
        self._factor = factor
        self._origin = base.now()
        self._start = start or self._origin

    def run_at(self, factor: float) -> None:
        """Run ``factor`` times as fast from here on; what passed stays as it was."""
        if factor != self._factor:
            here = self.now()
            self._origin, self._start = self._base.now(), here
            self._factor = factor

    def now(self) -> Instant:
        """Return the present instant of the fast clock."""
        passed_ms = self._base.now().since(self._origin)
        return self._start.plus(int(passed_ms * self._factor))


def wait_ms(ms: float) -> None:
    """Let the calling thread rest for ``ms`` milliseconds of real time."""
    time.sleep(max(0.0, ms) / MS)


def zone_name() -> str:
    """Return the station's IANA zone, or its UTC offset where none is told."""
    told = os.environ.get("TZ", "").lstrip(":")
    if told and not told.startswith("/"):
        return told
    try:
        parts = Path("/etc/localtime").resolve().parts
    except OSError:
        parts = ()
    if "zoneinfo" in parts:
        return "/".join(parts[parts.index("zoneinfo") + 1 :])
    offset_min = local_offset_min(RealClock().now().wall_ms)
    return f"UTC{offset_min / 60:+g}"
