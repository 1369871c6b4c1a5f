"""Trays: where a part lies from intake until it is closed, numbered from 1.

The first twelve answer to a function key each, the next to the same key with Shift.
A basket lies in one tray. Nothing renumbers.
"""

from __future__ import annotations

from benchassist.domain.state import Bench

KEYED = 12  # function keys of a keyboard


def lies_in(bench: Bench, tray: int) -> tuple[str, ...]:
    """Return the parts in flight that lie in a tray."""
    return tuple(part.code for part in bench.in_flight if part.tray == tray)


def first_free(bench: Bench) -> int:
    """Return the lowest tray that no part in flight lies in."""
    taken = {part.tray for part in bench.in_flight}
    return next(tray for tray in range(1, len(taken) + 2) if tray not in taken)
