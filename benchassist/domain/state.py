"""What is true at the bench now: frozen values rebuilt from events alone.

Nothing here computes physics, reads a clock or holds an opinion; questions that
need a rule live in ``gates`` and ``deciders``.
"""

from __future__ import annotations

from dataclasses import field

from benchassist.clock import Boot, Instant
from benchassist.domain.claims import UNCONFIRMED, Claim
from benchassist.domain.dark import Dark
from benchassist.domain.events import (
    CouponRecorded,
    GlassesShown,
    Level,
    MishapReported,
    Numbers,
    SmearTested,
    StoreKind,
    WorkingCurveFitted,
)
from benchassist.domain.kept import Bath, Bottle, BoxKept, Filed, Keeping, Looked
from benchassist.domain.library import (
    Box,
    Coupon,
    Curve,
    Lamp,
    Lot,
    Material,
    Meter,
    Recipe,
    SpotFace,
    Vessel,
)
from benchassist.domain.order import Wish
from benchassist.domain.part import *
from benchassist.domain.place import Away
from benchassist.domain.shape import BoxPlan, VesselSize
from benchassist.value import replace, value

Pair = tuple[str, str]  # what two names are known under together
Triple = tuple[str, str, str]


@value
class Store:
    """Which journal this is; never changes."""

    kind: StoreKind
    store_id: str
    station: str
    zone: str


@value
class Reading:
    """The last reading of a lamp with the practice's own meter."""

    value: float
    at: Instant


@value
class Fill:
    """What is in a vessel: the glycerine lot and its part-immersions so far.

    ``spoilt`` says why it may not be used again, ``percent`` how much of it by mass
    is glycerine as a hydrometer said (0: never read).
    """

    lot: str
    immersions: int
    at: Instant
    spoilt: str = ""
    percent: float = 0.0


@value
class Tested:
    """A coupon test on file: good from ``day`` to ``until``, or ended before it."""

    coupon: Coupon
    day: str
    until: str
    ended: str = ""


@value
class CouponRun:
    """A coupon test under way: what it has shown so far, and where it stands.

    ``lit`` is when the light on the tab at hand went on, for ``light_ms``; ``shone``
    how many whole lights that tab has had; ``ready`` how many tabs wait for the box or
    lie in it since ``boxed``; ``out``: the box is done and they are to be judged.
    ``part_b``: set B is done too. ``front``: the foot means this test.
    """

    coupon: Coupon
    own_glycerine: bool
    since: Instant
    short: bool = False
    of: str = ""
    part_b: bool = False
    lit: Instant | None = None
    light_ms: int = 0
    shone: int = 0
    ready: int = 0
    boxed: Instant | None = None
    out: bool = False
    front: bool = True


@value
class Dish:
    """Wet resin of a lot in a dish, open to a light since ``since`` or covered.

    ``spent_klx_s`` is what it had had when it was last opened or covered.
    """

    lot: str
    light: str
    klx: float
    since: Instant | None
    spent_klx_s: float


@value
class LampSession:
    """Eyewear on and this lamp in this operator's hand since ``at``."""

    lamp: str
    operator: str
    at: Instant


@value
class Load:
    """A load card that was held for a box and whose run has not begun."""

    box: str
    vessel: str
    parts: tuple[str, ...]
    count: int
    at: Instant


@value
class Run:
    """A box run whose end state has not been given by hand.

    ``sides`` says which side of each part lies to the light: one may not be turned.
    ``ahead`` says that its counter was told to show more than the clock allows.
    """

    run: str
    box: str
    vessel: str
    parts: tuple[str, ...]
    sides: dict[str, str]
    half: int
    planned: int
    rate_hz: float
    unit: str
    started: Instant
    interrupted: tuple[int, int] | None = None
    ahead: bool = False


@value
class Deviation:
    """A departure from the recipe and how it was assessed."""

    id: str
    rule: str
    parts: tuple[str, ...]
    text: str
    opened: Instant
    decision: str = ""


@value
class Recall:
    """What was recalled, and the deviations by which each of its parts is judged."""

    id: str
    kind: str
    thing: str
    reason: str
    deviations: tuple[str, ...]
    opened: Instant


@value
class Signed:
    """The last day that was signed: by whom, when, after which entry (hash in hex)."""

    day: str
    who: str
    at: Instant
    head: int
    hash: str


@value
class Acceptance:
    """A warning accepted for a thing up to the day ``until``, with its numbers then."""

    until: str
    numbers: Numbers


@value
class Validation:
    """A limit loosened to ``value`` by a validation record, up to the day ``until``."""

    value: float
    until: str
    record: str


@value
class Quiet:
    """The sound of a wait that began at ``since`` rests until ``until``."""

    since: Instant
    until: Instant


@value
class HandedOver:
    """The station came from ``giver``; whoever took it has not read the list yet."""

    giver: str
    at: Instant


@value
class Start:
    """The last start, for the undo line."""

    stage: str
    parts: tuple[str, ...]
    at: Instant


@value
class WorkDay:
    """A day at this bench: from the first to the last act of a hand, by the wall.

    ``calls`` away took ``away_ms`` in all; ``walk_ins`` came in more than an hour after
    the first act and were due the same day.
    """

    first_ms: int
    last_ms: int
    calls: int = 0
    away_ms: int = 0
    walk_ins: int = 0


@value
class Bench:
    """The whole bench: equipment, materials, limits and the parts in flight.

    ``latest`` is when the last entry was written, ``boots`` where each boot lies on the
    store's line, and ``dark`` what passed before the present one. What was tried with a
    lamp is kept by lamp and material, ``smears`` by material and kind of light, what
    was accepted by gate and what for, ``claims``, ``filed`` and ``retired`` by kind and
    code.
    """

    store: Store | None = None
    seq: int = 0
    operator: str = ""
    focus: str = ""
    limits: dict[str, float] = field(default_factory=dict)
    curves: dict[str, Curve] = field(default_factory=dict)
    materials: dict[str, Material] = field(default_factory=dict)
    lots: dict[str, Lot] = field(default_factory=dict)
    lamps: dict[str, Lamp] = field(default_factory=dict)
    boxes: dict[str, Box] = field(default_factory=dict)
    vessels: dict[str, Vessel] = field(default_factory=dict)
    recipes: dict[str, Recipe] = field(default_factory=dict)
    meters: dict[str, Meter] = field(default_factory=dict)
    readings: dict[str, Reading] = field(default_factory=dict)
    tested: dict[Pair, tuple[Tested, ...]] = field(default_factory=dict)
    tabs: dict[Pair, tuple[float, str]] = field(default_factory=dict)
    against: dict[Pair, CouponRecorded] = field(default_factory=dict)
    coupon: CouponRun | None = None
    coupons_begun: int = 0
    trials: dict[Pair, tuple[CouponRecorded, ...]] = field(default_factory=dict)
    working_curves: dict[Pair, WorkingCurveFitted] = field(default_factory=dict)
    glasses: dict[str, GlassesShown] = field(default_factory=dict)
    smears: dict[Pair, SmearTested] = field(default_factory=dict)
    dishes: dict[str, Dish] = field(default_factory=dict)
    fills: dict[str, Fill] = field(default_factory=dict)
    lamp_session: LampSession | None = None
    lamp_on_ms: dict[Triple, int] = field(default_factory=dict)
    lamp_on_by_lamp_ms: dict[Triple, int] = field(default_factory=dict)
    parts: dict[str, Part] = field(default_factory=dict)
    loads: dict[str, Load] = field(default_factory=dict)
    runs: dict[str, Run] = field(default_factory=dict)
    runs_begun: int = 0
    baskets_formed: int = 0
    baskets: dict[str, tuple[str, ...]] = field(default_factory=dict)
    accepted: dict[Pair, Numbers] = field(default_factory=dict)
    accepted_things: dict[Pair, Acceptance] = field(default_factory=dict)
    validated: dict[str, Validation] = field(default_factory=dict)
    code_shapes: dict[str, str] = field(default_factory=dict)
    closed_lots: dict[str, str] = field(default_factory=dict)
    deviations: dict[str, Deviation] = field(default_factory=dict)
    deviations_opened: int = 0
    recalls: dict[str, Recall] = field(default_factory=dict)
    recalls_opened: int = 0
    signed: Signed | None = None
    last_start: Start | None = None
    refused_presses: int = 0
    away: Away | None = None
    claims: dict[Pair, Claim] = field(default_factory=dict)
    unconfirmed: bool = False
    acted: Instant | None = None
    levels: dict[str, Level] = field(default_factory=dict)
    predicted: dict[Triple, bool] = field(default_factory=dict)
    advised: dict[str, MishapReported] = field(default_factory=dict)
    quiet: dict[str, Quiet] = field(default_factory=dict)
    handed: HandedOver | None = None
    front_since: Instant | None = None
    pinned: str = ""
    took: dict[Pair, tuple[int, ...]] = field(default_factory=dict)
    keeping: dict[str, Keeping] = field(default_factory=dict)
    bottles: dict[str, Bottle] = field(default_factory=dict)
    baths: dict[str, Bath] = field(default_factory=dict)
    routines: dict[str, dict[str, Looked]] = field(default_factory=dict)
    filed: dict[Pair, Filed] = field(default_factory=dict)
    retired: dict[Pair, str] = field(default_factory=dict)
    boxes_kept: dict[str, BoxKept] = field(default_factory=dict)
    latest: Instant | None = None
    boots: dict[str, Boot] = field(default_factory=dict)
    dark: Dark | None = None
    wishes: dict[str, Wish] = field(default_factory=dict)
    kept_in_turn: dict[str, tuple[str, ...]] = field(default_factory=dict)
    days: dict[str, WorkDay] = field(default_factory=dict)
    vessel_sizes: dict[str, VesselSize] = field(default_factory=dict)
    box_plans: dict[str, BoxPlan] = field(default_factory=dict)
    photos_before: dict[str, tuple[str, ...]] = field(default_factory=dict)

    @property
    def signed_by(self) -> str:
        """Return who entries are written down under."""
        return f"{self.operator}{UNCONFIRMED}" if self.unconfirmed else self.operator

    def put(self, table: str, key: object, found: object) -> Bench:
        """Return the bench with one entry of a table of its own new or changed."""
        return replace(self, **{table: {**getattr(self, table), key: found}})

    def without(self, table: str, key: object) -> Bench:
        """Return the bench without an entry of a table of its own."""
        kept = {k: each for k, each in getattr(self, table).items() if k != key}
        return replace(self, **{table: kept})

    def with_part(self, part: Part) -> Bench:
        """Return the bench with ``part`` in place of its old self."""
        return replace(self, parts={**self.parts, part.code: part})

    @property
    def focused(self) -> Part | None:
        """Return the part in front, if one is chosen."""
        return self.parts.get(self.focus)

    @property
    def in_flight(self) -> tuple[Part, ...]:
        """Return the parts that are neither released nor scrapped."""
        return tuple(
            part for part in self.parts.values() if not isinstance(part.phase, Closed)
        )

    def recipe_of(self, part: Part) -> Recipe:
        """Return the recipe revision pinned to ``part``."""
        return self.recipes[part.recipe]

    def faces_of(self, part: Part) -> tuple[SpotFace, ...]:
        """Return the faces that are coated on ``part``: all, chosen, or marked."""
        if part.faces:
            return part.faces
        chosen = part.variant.faces
        faces = self.recipes[part.recipe].faces
        return tuple(face for face in faces if not chosen or face.title in chosen)

    def spots_of(self, part: Part) -> int:
        """Return the number of tack spots in one coat of ``part``."""
        return sum(face.spots for face in self.faces_of(part))

    def checks_of(self, part: Part) -> tuple[str, ...]:
        """Return the named checks that ``part`` owes before it is released."""
        return tuple(
            dict.fromkeys((*self.recipes[part.recipe].checks, *part.added_checks))
        )

    def basket_of(self, part: Part) -> tuple[str, ...]:
        """Return the parts that start and end together with ``part``.

        Of its basket those that stand where it stands, since when it does if a
        timer runs: who fell behind, ran ahead or is asked about neither holds the
        others up nor is carried along.
        """
        basket = self.baskets.get(part.basket)
        if basket is None:
            return (part.code,)
        place = _place(part)
        return tuple(code for code in basket if _place(self.parts[code]) == place)

    @property
    def under_review(self) -> tuple[Part, ...]:
        """Return the parts that were released and have an open deviation since."""
        return tuple(part for part in self.parts.values() if self.reviewed(part))

    def reviewed(self, part: Part) -> bool:
        """Return whether a part was released and something is to be assessed again."""
        closed = isinstance(part.phase, Closed) and part.phase.how == "released"
        return closed and bool(self.open_deviations(part.code))

    def open_deviations(self, code: str) -> tuple[Deviation, ...]:
        """Return the deviations of a part that nobody has assessed yet."""
        return tuple(
            found
            for found in self.deviations.values()
            if code in found.parts and not found.decision
        )


def _place(part: Part) -> tuple[str, Phase | str, bool]:
    if isinstance(part.phase, Soaking):
        return part.stage.key, part.phase, False  # what is in is taken out together
    return part.stage.key, part.phase.kind, bool(part.scrap_asked)


def lamp_day_key(operator: str, day: str, lamp: str = "") -> Triple:
    """Return the key under which an operator's lamp-on time of a day is kept.

    With ``lamp`` the key of the time with that lamp alone.
    """
    return day, operator, lamp
