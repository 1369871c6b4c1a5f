"""What is known of the bench's upkeep: values of the state, without opinions."""

from __future__ import annotations

from dataclasses import field

from benchassist.clock import Instant
from benchassist.value import value

OVERNIGHT = "overnight"  # the check that says where a part stays
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
    none did; ``washed`` counts from that reading. ``areas`` has the skin in cm² of
    those among them whose print file was read.
    """

    litres: float
    lot: str
    filled: Instant
    washed: dict[str, int] = field(default_factory=dict)
    percent: float = UNMEASURED
    areas: dict[str, tuple[float, ...]] = field(default_factory=dict)


@value
class Filed:
    """Who entered a thing of the shelf and when, and who checked that entry."""

    by: str
    day: str
    checked_by: str = ""
    checked_day: str = ""


@value
class BoxKept:
    """What is known of a box's lamp since it was new.

    ``counter`` is its life counter as last read (``UNMEASURED``: never), ``born`` as
    its lamp came in, ``given`` what runs gave since that reading, at the most.
    ``first`` and ``last`` are readings of its light in one place, ``rate`` its counts
    a second by the last full run; 0: never.
    """

    counter: float = UNMEASURED
    born: float = 0.0
    given: float = 0.0
    first: float = 0.0
    last: float = 0.0
    rate: float = 0.0
    read: Instant | None = None


@value
class Looked:
    """When a routine was last done, whether all was well, and what was said of it."""

    at: Instant
    good: bool
    note: str = ""
