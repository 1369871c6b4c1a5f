"""How long the machine was off, told by a hand."""

from __future__ import annotations

import re

from benchassist.clock import MINUTE_MS, Instant
from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.dark import Dark
from benchassist.domain.deciders.table import decides
from benchassist.domain.outcome import Decision, Refusal, granted
from benchassist.domain.state import Bench
from benchassist.domain.words import clock

MINUTES = re.compile(r"(\d{1,4})(?:\s*(?:-|–|to)\s*(\d{1,4}))?(?:\s*min)?")


@decides(cm.TellDark)
def tell_dark(bench: Bench, command: cm.TellDark, now: Instant) -> Decision:
    """Take what a hand says; it is believed only inside what the clocks allow."""
    dark = bench.dark
    if dark is None or dark.boot != now.boot:
        return Refusal("not-dark", "The machine was not off since this bench began.")
    low, high = dark.bounds
    if command.how == "not sure":
        return (ev.DarkTold(dark.boot, low, high),)
    told = granted(_told(dark, command))
    least, most = max(low, told[0]), min(high, told[1])
    if least > most:
        return Refusal(
            "dark-outside",
            f"The machine was off for {clock(low)} at least and {clock(high)} at most.",
            (("least_s", low / 1000), ("most_s", high / 1000)),
            "Type minutes between these, or tell that you are not sure.",
        )
    return (ev.DarkTold(dark.boot, least, most),)


def _told(dark: Dark, command: cm.TellDark) -> tuple[int, int] | Refusal:
    """Return the least and the most that was told, in milliseconds.

    A clock is read to the minute, so 6 means six minutes and any second of it.
    """
    if command.how == "clocks":
        if not dark.said:
            return Refusal("no-clock", "The clocks do not say how long it was off.")
        return dark.said[-1], dark.said[-1]
    found = MINUTES.fullmatch(command.minutes.strip())
    if found is None:
        return Refusal(
            "minutes", "Type minutes, such as 6, or 5-10 for at least and at most."
        )
    least, most = int(found[1]), int(found[2] or found[1])
    if least > most:
        return Refusal("minutes", "The first number is the least: type 5-10.")
    return least * MINUTE_MS, (most + 1) * MINUTE_MS - 1
