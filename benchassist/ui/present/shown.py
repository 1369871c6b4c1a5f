"""What the part in front contributes to one look."""

from __future__ import annotations

from typing import TYPE_CHECKING

from benchassist.clock import HOUR_MS, MINUTE_MS, MS
from benchassist.domain.words import clock
from benchassist.ui.view import (
    Card,
    Countdown,
    GateRow,
    LightCheck,
    Option,
    Panel,
    SpotMap,
    Tone,
)
from benchassist.ui.words import say
from benchassist.value import value

if TYPE_CHECKING:
    from datetime import date

DAYS = (
    *(say("Mon"), say("Tue"), say("Wed"), say("Thu"), say("Fri"), say("Sat")),
    say("Sun"),
)
MONTHS = (
    *(say("Jan"), say("Feb"), say("Mar"), say("Apr"), say("May"), say("Jun")),
    *(say("Jul"), say("Aug"), say("Sep"), say("Oct"), say("Nov"), say("Dec")),
)


# What a verdict is drawn in.
TONES: dict[str, Tone] = {"pass": "good", "marginal": "attention", "fail": "stop"}


def percent(share: float) -> str:
    """Return a share, 0 to 1, in whole per cent with the space that SI asks for."""
    return f"{100 * share:.0f} %"


def weekday(at: date) -> str:
    """Return ``Mon``."""
    return DAYS[at.weekday()]


def month(at: date) -> str:
    """Return ``2 Mar``."""
    return say("{day} {month}", day=at.day, month=MONTHS[at.month - 1])


def day_of(at: date) -> str:
    """Return ``Mon 2 Mar``."""
    return say("{weekday} {month}", weekday=weekday(at), month=month(at))


def big_clock(ms: float, unit: str = "") -> tuple[str, str]:
    """Return digits that a screen holds, and their unit: hours lose their seconds."""
    if ms < HOUR_MS:
        return clock(ms), unit
    whole = int(ms) // MINUTE_MS
    return f"{whole // 60}:{whole % 60:02}", f"h {unit}".strip()


def late_countdown(
    ms: float, lines: tuple[str, ...] = (), fill: float | None = 1.0
) -> Countdown:
    """Return a countdown that has run out, counting up."""
    big, unit = big_clock(int(max(0, ms)) // MS * MS, "late")
    return Countdown(f"+{big}", unit, lines, fill, late=True)


@value
class Now:
    """Words, and whatever of card, map, gates and light check applies."""

    headline: str
    subline: str = ""
    countdown: Countdown | None = None
    card: Card | None = None
    gates: tuple[GateRow, ...] = ()
    spots: SpotMap | None = None
    light: LightCheck | None = None
    panels: tuple[Panel, ...] = ()
    right_hint: str = ""
    next_aside: str = ""
    fill: float = 0.0
    options: tuple[Option, ...] = ()
