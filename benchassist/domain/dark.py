"""The dark between two boots: what of it is sure, and the most it can have been.

A machine that is off counts nothing. What is left are the clocks of the wall before
and after, which a hand or a server may have set between, and how long the machine had
been up when the program opened again. From these follow the least and the most; a
hand may say what it was, and is believed only inside those bounds.
"""

from __future__ import annotations

from collections.abc import Mapping

from benchassist.clock import DAY_MS, NO_BOOT, Boot, Instant
from benchassist.value import replace, value


@value
class Dark:
    """The time from ``before``, the last sign of life, to ``opened`` in a new boot.

    ``stepped_ms`` is by how much the wall clock was set in the new boot; ``told`` are
    the least and the most that a hand said, in milliseconds.
    """

    before: Instant
    opened: Instant
    stepped_ms: int = 0
    told: tuple[int, int] | None = None

    @property
    def boot(self) -> str:
        """Return the boot that ended the dark."""
        return self.opened.boot

    @property
    def up_ms(self) -> int:
        """Return how long the machine had been up, which is part of the dark.

        Where it tells no boot it may never have been off: then the readings differ by
        the dark, or by less.
        """
        up = self.opened.mono_ms
        if self.boot.startswith(NO_BOOT) and up >= self.before.mono_ms:
            return up - self.before.mono_ms
        return up

    @property
    def said(self) -> tuple[int, ...]:
        """Return what the wall clocks say; less than nothing is no evidence.

        Since the clock was set in the new boot it says another thing, the last here.
        """
        wall_ms = self.opened.wall_ms - self.before.wall_ms
        both = (wall_ms, wall_ms + self.stepped_ms)
        return tuple(each for each in both if each >= 0)

    @property
    def bounds(self) -> tuple[int, int]:
        """Return the least and the most by clocks alone.

        How long the machine is up is no least by itself: it may be another machine.
        """
        said = self.said
        if not said:
            return 0, max(DAY_MS, self.up_ms)
        return min(self.up_ms, *said), max(self.up_ms, *said)

    @property
    def span(self) -> tuple[int, int]:
        """Return the least and the most, as told where that lies inside the bounds."""
        low, high = self.bounds
        if self.told is None:
            return low, high
        told = max(low, self.told[0]), min(high, self.told[1])
        return told if told[0] <= told[1] else (low, high)


def placed(boots: Mapping[str, Boot], dark: Dark) -> dict[str, Boot]:
    """Return the boots with the one placed that ended a dark.

    A boot that comes again, as when two machines take turns at one folder, is placed
    anew: what is asked from it is behind the other's time.
    """
    start = boots.get(dark.before.boot, Boot(0, 0))
    low, high = dark.span
    moved = dark.before.mono_ms - dark.opened.mono_ms
    here = Boot(start.low + moved + low, start.high + moved + high)
    return {**boots, dark.before.boot: start, dark.boot: here}


def dark_between(last: Instant, opened: Instant, beat: Instant | None = None) -> Dark:
    """Return the dark before ``opened``, from the later of last entry and heartbeat."""
    alive = beat is not None and beat.boot == last.boot and beat.since(last) > 0
    return Dark(beat if alive and beat is not None else last, opened)


def boots_at(
    boots: Mapping[str, Boot],
    last: Instant | None,
    at: Instant,
    beat: Instant | None = None,
) -> Mapping[str, Boot]:
    """Return the boots with the one of ``at`` placed, should it have just begun.

    ``last`` is the last entry's moment; as the journal's own entries will have it.
    """
    if last is None or last.boot == at.boot:
        return boots
    return placed(boots, dark_between(last, at, beat))


def stepped(dark: Dark, step_ms: int) -> Dark:
    """Return the dark after the wall clock was set: whatever was told is asked anew."""
    return replace(dark, stepped_ms=dark.stepped_ms + step_ms, told=None)
