"""One part: the phases it can be in, what its layers and its ledger have had."""

from __future__ import annotations

from dataclasses import field
from typing import Literal

from benchassist.clock import Instant
from benchassist.domain.events import Evidence, Jaw
from benchassist.domain.library import SpotFace, Variant
from benchassist.domain.route import Stage
from benchassist.domain.shape import PartShape
from benchassist.value import replace, shared, value

BODY = "body"


@value
class Exposure:
    """One line of the dose ledger; ``low`` and ``high`` bound what arrived."""

    layers: tuple[str, ...]
    side: str
    half: int
    low: int
    high: int
    unit: str
    evidence: Evidence
    run: str


@value
class Ready:
    """The stage may begin; ``since`` when."""

    since: Instant
    kind: Literal["ready"] = "ready"


@value
class Soaking:
    """A timed stage runs since ``since``."""

    since: Instant
    kind: Literal["soaking"] = "soaking"


@value
class InRun:
    """The part is in a box run."""

    run: str
    kind: Literal["in run"] = "in run"


@value
class Patch:
    """A segment that lies brushed: its spots, and wet since when."""

    segment: int
    first: int
    last: int
    wet_since: Instant


@value
class Brushing(Patch):
    """A segment is being brushed."""

    kind: Literal["brushing"] = "brushing"


@value
class Walking(Patch):
    """A paced walk: ``spot`` has light from ``lit`` (which may lie ahead).

    ``looked`` says that the coat was past its wet limit and found wet and clean.
    """

    spot: int
    lit: Instant
    lamp: str
    light_ms: int
    move_ms: int
    looked: bool = False
    kind: Literal["walking"] = "walking"


@value
class Paused(Patch):
    """The walk stands at ``spot``; after being away the coat is looked at first."""

    spot: int
    since: Instant
    why: str
    looked: bool
    kind: Literal["paused"] = "paused"


@value
class OnHold:
    """Waits covered and dark, between halves or by hand."""

    since: Instant
    kind: Literal["on hold"] = "on hold"


@value
class Closed:
    """Released or scrapped."""

    at: Instant
    how: Literal["released", "scrapped"]
    kind: Literal["closed"] = "closed"


WET = Brushing | Walking | Paused  # resin lies open on it
Phase = Ready | Soaking | InRun | Brushing | Walking | Paused | OnHold | Closed


@value
class LayerWork:
    """What one stain or coat layer has had so far.

    ``lot`` is the bottle last brushed from, ``lots`` all of them in their order;
    ``spots`` has one state per spot: ``open``, ``done`` or ``broken``; ``evidence`` is
    how their light is known.
    """

    layer: str
    lot: str
    spots: tuple[str, ...]
    segments: int = 0
    light_ms: int = 0
    extra_ms: int = 0
    lamps: tuple[str, ...] = ()
    evidence: str = ""
    lots: tuple[str, ...] = ()

    def brushed(self, lot: str) -> LayerWork:
        """Return the layer with ``lot`` as the bottle in hand."""
        lots = self.lots if lot in self.lots else (*self.lots, lot)
        return replace(self, lot=lot, lots=lots)


@value
class Part:
    """A part in flight, or closed and not yet forgotten.

    ``coats`` counts the coats that set on it, those stripped again included;
    ``reworks`` how often a coat was begun anew; ``stripped`` keeps what was on it.
    ``printed`` is the day on which it was printed, ``YYYY-MM-DD``; ``faces`` are those
    that a hand marked, none while the recipe's are coated; ``photos`` are digests.
    ``scrap_asked`` is the deviation for which it is asked whether to scrap it, and
    ``hands_ms`` how long it was in front at its stage before it was put by.
    """

    code: str
    recipe: str
    variant: Variant
    route: tuple[Stage, ...]
    at: int
    phase: Phase
    print_lot: str
    coat_lot: str
    stain_lot: str
    lamp: str
    box: str
    vessel: str
    peg: str
    due: Instant | None
    taken: Instant
    entered: Instant
    exposures: tuple[Exposure, ...] = ()
    work: dict[str, LayerWork] = field(default_factory=dict)
    solvent_ms: int = 0
    dry_since: Instant | None = None
    hot_since: Instant | None = None
    facing: str = ""
    basket: str = ""
    immersed_in: str = ""
    checks: dict[str, bool] = field(default_factory=dict)
    added_checks: tuple[str, ...] = ()
    coats: int = 0
    reworks: int = 0
    stripped: tuple[LayerWork, ...] = ()
    scrap_asked: str = ""
    hands_ms: int = 0
    tray: int = 0
    jaw: Jaw = ""
    tooth: str = ""
    prescriber: str = ""
    shade: str = ""
    printed: str = ""
    shape: PartShape | None = None
    faces: tuple[SpotFace, ...] = ()
    photos: tuple[str, ...] = ()
    note: str = ""

    @property
    def stage(self) -> Stage:
        """Return the stage the part is at (the last one once closed)."""
        return self.route[min(self.at, len(self.route) - 1)]

    def given(self, change: object) -> Part:
        """Return the part with what a change has under the part's own names, if any."""
        named = shared(change, Part)
        return replace(self, **{name: each for name, each in named.items() if each})

    @property
    def layers(self) -> tuple[str, ...]:
        """Return the layers now on the part, the body first."""
        return (BODY, *self.work)

    @property
    def newest_coat(self) -> str:
        """Return the newest layer on the part; the body when there is none."""
        return self.layers[-1]


def pin_of(part: Part) -> str:
    """Return the place of a part that a hand brought to the front.

    While it stands there, nothing but a hand takes it from the front again.
    """
    return f"{part.code} | {part.at} | {part.phase.kind}"
