"""What is known of the bench's upkeep: values of the state, without opinions."""

from __future__ import annotations

from dataclasses import field

from benchassist.clock import Instant
from benchassist.value import value

UNMEASURED = -1.0


@value
class Keeping:
    """How long a material keeps once opened, in days; ``stir_min`` in minutes.

    0: its papers do not say. ``document`` and ``revision`` are those papers.
    """

    open_days: float
    decanted_days: float
    stir_min: float
    document: str
    revision: str


@value
class Bottle:
    """When a lot's bottle was first opened, last decanted and last stirred."""

    opened: Instant | None = None
    decanted: Instant | None = None
    stirred: Instant | None = None


@value
class Bath:
    """A wash bath since it was filled: what it has washed, by item class.

    ``percent`` is the resin by mass as a hydrometer last said, ``UNMEASURED`` where
    none did; ``washed`` counts from that reading.
    """

    litres: float
    lot: str
    filled: Instant
    washed: dict[str, int] = field(default_factory=dict)
    percent: float = UNMEASURED


@value
class Looked:
    """When a routine was last done, and whether all was well."""

    at: Instant
    good: bool
