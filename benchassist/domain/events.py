"""Everything that can happen at a bench, one frozen dataclass each.

Past tense, versioned, made of tuples and plain values; the single vocabulary of
the journal, the exports and the tests. An event stores the numbers that were
judged, as they were judged, so that replay never recomputes. This module knows
no physics, no files and no clock beyond the ``Instant`` it is given.

Fields typed ``FreeText`` are typed by people; the journal keeps them apart.
"""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from benchassist.clock import Instant
from benchassist.domain.library import (
    Box,
    Curve,
    Lamp,
    Lot,
    Material,
    Recipe,
    Variant,
    Vessel,
)
from benchassist.domain.place import Place
from benchassist.domain.route import Stage
from benchassist.value import value

FreeText = Annotated[str, "free text"]
StoreKind = Literal["real", "demo", "training", "rehearsal"]
Evidence = Literal["observed", "paced", "computed", "assumed"]
Channel = Literal["pedal", "hand", "script", "tool"]
Numbers = tuple[tuple[str, float], ...]
RunOutcome = Literal["completed", "stopped", "unknown", "died with the PC"]
CouponFault = Literal["", "not set", "tacky at the end"]
DishState = Literal["open", "covered", "thrown away"]
Thing = Literal["part", "lamp"]
Level = Literal["watch", "every prompt", "gates only", "alone"]
CoatState = Literal["none", "wet", "tacked", "cured"]


@value
class Event:
    """The base of all events; ``version`` rises when a payload changes shape."""

    version: ClassVar[int] = 1


@value
class Entry:
    """An event with its place in the journal: who, when, by what channel."""

    seq: int
    id: str
    at: Instant
    operator: str
    channel: Channel
    event: Event


# --- the store and the program -------------------------------------------------


@value
class StoreCreated(Event):
    """The first event of every journal; kind and id never change."""

    kind: StoreKind
    store_id: str
    station: str
    zone: str


@value
class ProgramOpened(Event):
    """The program opened this journal; says what the last heartbeat was."""

    program_version: str
    last_heartbeat: Instant | None


@value
class WallClockStepped(Event):
    """The wall clock jumped by ``step_ms`` against the monotonic one."""

    step_ms: int


@value
class ProgramFaulted(Event):
    """A fault of the program itself, once per fault."""

    fault: str
    digest: str


@value
class TextBlanked(Event):
    """An owner had the free text of some entries removed; the chain stays whole."""

    entries: tuple[int, ...]
    reason: FreeText


@value
class OperatorClaimed(Event):
    """An operator took the station by a deliberate hand action."""

    who: str


@value
class CommandRefused(Event):
    """A gate or rule said no; kept so that it can be said in any language."""

    command: str
    code: str
    part: str
    numbers: Numbers


@value
class LimitSet(Event):
    """A limit that gates use was set to ``value``."""

    code: str
    value: float
    unit: str
    source: str
    reason: FreeText = ""


# --- library and equipment -----------------------------------------------------


@value
class CurveFiled(Event):
    """A spectrum was filed under the digest of its content."""

    curve: Curve


@value
class MaterialDefined(Event):
    """A material was filed or corrected."""

    material: Material


@value
class LotReceived(Event):
    """A lot came in, or was mixed from its parents."""

    lot: Lot


@value
class LampDefined(Event):
    """A lamp was filed or corrected, then with a reason."""

    lamp: Lamp
    reason: FreeText = ""


@value
class BoxDefined(Event):
    """A curing box was filed or corrected, then with a reason."""

    box: Box
    reason: FreeText = ""


@value
class VesselDefined(Event):
    """A vessel was filed or corrected, then with a reason."""

    vessel: Vessel
    reason: FreeText = ""


@value
class RecipeDefined(Event):
    """A recipe revision was filed; parts taken in before keep their own."""

    recipe: Recipe


@value
class LampReadingTaken(Event):
    """A lamp was read with the practice's own meter."""

    lamp: str
    reading: float


@value
class CouponRecorded(Event):
    """A coupon of this lamp on this material was tried at the bench.

    ``tack_s`` is the seconds it was tacked for (0: not told); ``how`` says which way
    a failed one failed: its body had not set, or it stayed tacky after the last cure.
    """

    version: ClassVar[int] = 2

    lamp: str
    material: str
    passed: bool
    tack_s: float = 0.0
    how: CouponFault = ""


@value
class WorkingCurveFitted(Event):
    """Thickness against exposure was measured here and a working curve fitted.

    ``points`` are effective exposures in mJ/cm² and thicknesses in µm; ``numbers``
    the fit, with those ends of its 95 % intervals that are bounded.
    """

    lamp: str
    material: str
    points: tuple[tuple[float, float], ...]
    numbers: Numbers
    record: FreeText = ""


@value
class GlassesShown(Event):
    """What an operator's protective glasses let through, and where that is shown.

    Between ``low_nm`` and ``high_nm`` no more than ``transmittance``, or a measured
    ``curve``; outside nothing is assumed.
    """

    who: str
    title: str
    low_nm: float
    high_nm: float
    transmittance: float
    curve: str = ""


@value
class SmearTested(Event):
    """A drop of a material dragged on glass after ``seconds`` under a light."""

    material: str
    light: str
    klx: float
    seconds: float


@value
class DishChanged(Event):
    """A dish of wet resin was opened, covered, or its drop thrown away.

    ``spent_klx_s`` is the light it had had by then.
    """

    lot: str
    to: DishState
    light: str
    klx: float
    spent_klx_s: float


@value
class GlycerineFilled(Event):
    """A vessel was emptied and filled anew; its immersions start at zero."""

    vessel: str
    lot: str
    immersions: int = 0


# --- intake and choice ---------------------------------------------------------


@value
class PartTaken(Event):
    """A part was taken in: recipe revision pinned, route built and stored.

    ``before`` is what its body had on an earlier visit, by its own record:
    side, low and high bound.
    """

    part: str
    recipe: str
    variant: Variant
    route: tuple[Stage, ...]
    print_lot: str
    coat_lot: str
    stain_lot: str
    lamp: str
    box: str
    vessel: str
    peg: str
    due: Instant | None
    before: tuple[tuple[str, int, int], ...] = ()


@value
class PartChosen(Event):
    """The operator chose a part by hand."""

    part: str


@value
class FocusMoved(Event):
    """The tool brought a part to the front because it became due."""

    part: str


@value
class BasketFormed(Event):
    """Parts were put together; they start and end by one action."""

    basket: str
    parts: tuple[str, ...]


@value
class EquipmentChosen(Event):
    """Another lamp, box or vessel was chosen for a part by hand."""

    part: str
    role: Literal["lamp", "box", "vessel"]
    code: str


@value
class LotChosen(Event):
    """Another lot was chosen for a part by hand."""

    part: str
    role: Literal["print", "coat", "stain"]
    lot: str


@value
class GateAccepted(Event):
    """A hand accepted a gate's warning, with a reason; ``scope`` is what for."""

    gate: str
    scope: str
    part: str
    reason: FreeText
    numbers: Numbers


# --- stages --------------------------------------------------------------------


@value
class StageStarted(Event):
    """A timed stage began for a basket; ``by_itself`` when nobody pressed."""

    stage: str
    kind: str
    parts: tuple[str, ...]
    by_itself: bool = False


@value
class StageEnded(Event):
    """One part left a stage; ``elapsed_ms`` is what it took."""

    part: str
    stage: str
    elapsed_ms: int


@value
class DueQuieted(Event):
    """The sound of what is due was put to rest for a while; nothing is credited."""

    parts: tuple[str, ...]
    for_ms: int


@value
class StartVoided(Event):
    """A start was undone by hand; the real exposure stays on the record."""

    stage: str
    parts: tuple[str, ...]
    elapsed_ms: int
    really_ran: Literal["yes", "no", "not sure"]


# --- box runs ------------------------------------------------------------------


@value
class LoadConfirmed(Event):
    """The load card was held: dry, count set on the box as planned, door shut."""

    box: str
    parts: tuple[str, ...]
    count: int
    vessel: str = ""


@value
class SubmergeConfirmed(Event):
    """The submerge card was held: submerged, no bubbles, held down, count set."""

    box: str
    vessel: str
    parts: tuple[str, ...]
    count: int
    immersions: int


@value
class RunStarted(Event):
    """A box run began for every part in it."""

    run: str
    box: str
    vessel: str
    parts: tuple[str, ...]
    side: str
    half: int
    planned: int
    rate_hz: float
    unit: str


@value
class RunInterrupted(Event):
    """The program was away during a run; bounds rest on the heartbeat."""

    run: str
    low: int
    high: int


@value
class RunEndObserved(Event):
    """The end state of a run was given by hand; until then nothing is credited."""

    run: str
    outcome: RunOutcome
    low: int
    high: int
    evidence: Evidence


@value
class DoseCredited(Event):
    """One part was credited a box run on one side, for each layer then on it."""

    part: str
    run: str
    side: str
    half: int
    layers: tuple[str, ...]
    low: int
    high: int
    unit: str
    evidence: Evidence


@value
class FlipConfirmed(Event):
    """A part was turned by hand; ``side`` now faces the light."""

    part: str
    side: str


# --- stain and coats -----------------------------------------------------------


@value
class LampSessionOpened(Event):
    """Eyewear on and this lamp in hand, confirmed once per lamp session."""

    lamp: str


@value
class BrushWetted(Event):
    """The first stroke of a segment; the wet clock runs from here.

    The segment holds the spots ``first`` up to, not including, ``last``.
    """

    part: str
    layer: str
    segment: int
    first: int
    last: int
    lot: str


@value
class WalkStarted(Event):
    """A paced walk began; the light check's numbers as judged then."""

    part: str
    layer: str
    spot: int
    lamp: str
    light_ms: int
    move_ms: int
    verdict: str
    numbers: Numbers


@value
class SpotTacked(Event):
    """One spot had its whole light; ``ended`` is when, by the paced timeline."""

    part: str
    layer: str
    spot: int
    lamp: str
    light_ms: int
    ended: Instant
    evidence: Evidence = "paced"


@value
class SpotBroken(Event):
    """A spot was broken off; it restarts whole, its light is kept as extra."""

    part: str
    layer: str
    spot: int
    lamp: str
    light_ms: int


@value
class WalkPaused(Event):
    """The walk stands still at ``spot``, which starts whole when it goes on."""

    part: str
    spot: int
    why: Literal[
        "not done",
        "called away",
        "back one",
        "program was away",
        "stall",
        "handed over",
    ]


@value
class CoatStateTold(Event):
    """On return the coat's state was looked at and told by hand.

    ``late_ms`` is how long past its wet limit it was; ``numbers`` what the break
    took, with its share of the light the wet resin stands where that is on file.
    """

    part: str
    layer: str
    told: Literal["wet and clean", "set or dusty", "wiped off"]
    wet_ms: int
    late_ms: int = 0
    numbers: Numbers = ()


# --- breaks and people ---------------------------------------------------------


@value
class CalledAway(Event):
    """The operator was called away; the place was frozen before the break."""

    place: Place


@value
class CameBack(Event):
    """The operator came back by hand; the place is as it was frozen."""

    away_ms: int


@value
class ThingClaimed(Event):
    """An operator took a part or a lamp; nobody else uses it until it is free."""

    kind: Thing
    code: str
    who: str


@value
class ThingPutDown(Event):
    """A claim was given up."""

    kind: Thing
    code: str
    who: str


@value
class ThingTakenOver(Event):
    """A claim was taken from its holder by hand, with a reason."""

    kind: Thing
    code: str
    holder: str
    who: str
    reason: FreeText


@value
class StationHandedOver(Event):
    """The station and every claim of one operator went to another."""

    giver: str
    taker: str
    parts: tuple[str, ...]


@value
class HandOverRead(Event):
    """Whoever took the station read what was handed over."""

    who: str


@value
class OperatorUnconfirmed(Event):
    """Nobody acted for so long that who stands here is no longer known."""

    who: str


@value
class LevelSet(Event):
    """How far an operator works by themselves."""

    who: str
    level: Level


@value
class AnswerPredicted(Event):
    """A trainee said beforehand what the bench would show."""

    part: str
    question: str
    predicted: float
    expected: float
    right: bool


# --- mishaps -------------------------------------------------------------------


@value
class MishapReported(Event):
    """Something went wrong; the branch that was advised, as it was advised."""

    part: str
    mishap: str
    coat: CoatState
    answers: tuple[str, ...]
    title: str
    steps: tuple[str, ...]
    numbers: Numbers
    scrap: bool


@value
class ScrapAsked(Event):
    """Whether a part is worth going on with; nothing begins on it meanwhile."""

    part: str
    deviation: str


@value
class ScrapAnswered(Event):
    """A hand answered whether a part is scrapped or kept, and why."""

    part: str
    deviation: str
    answer: Literal["scrap", "keep"]
    reason: FreeText


@value
class RouteChanged(Event):
    """A part goes on by another route; ``at`` is the stage it now stands at.

    ``rework`` says that a coat is laid again, so that what was checked is void.
    """

    part: str
    route: tuple[Stage, ...]
    at: int
    why: str
    rework: bool


@value
class LayerStripped(Event):
    """A layer was taken off again; its light stays on the record."""

    part: str
    layer: str


@value
class ImmersionCounted(Event):
    """A lifted part went back into its glycerine: one immersion more."""

    part: str
    vessel: str
    immersions: int


@value
class GlycerineSpoilt(Event):
    """A filling of glycerine may not be used again."""

    vessel: str
    why: str


@value
class PartFoundWet(Event):
    """A part thought dry was found wet: its drying counts from now."""

    part: str


@value
class CheckAdded(Event):
    """A part owes one more named check before it can be released."""

    part: str
    check: str
    why: str


@value
class DoseNoticed(Event):
    """A side's body passed the share of its count at which it is said."""

    part: str
    side: str
    high: int
    total: int


# --- deviations, checks, release -----------------------------------------------


@value
class DeviationOpened(Event):
    """Something departed from the recipe; release waits until it is assessed."""

    deviation: str
    rule: str
    parts: tuple[str, ...]
    text: FreeText


@value
class DeviationClosed(Event):
    """A deviation was assessed by hand."""

    deviation: str
    decision: Literal["use as is", "rework", "scrap", "ask prescriber"]
    reason: FreeText


@value
class PartHeld(Event):
    """A part waits between halves, covered and dark, until it is resumed."""

    part: str
    reason: FreeText


@value
class HoldEnded(Event):
    """A part put on hold by hand is ready again at the stage where it was."""

    part: str
    elapsed_ms: int


@value
class CheckRecorded(Event):
    """A named release check was done by hand."""

    part: str
    check: str
    passed: bool


@value
class PartReleased(Event):
    """The bench process was signed as complete against the recipe revision."""

    part: str
    recipe: str


@value
class PartScrapped(Event):
    """A part was taken out of work for good; nothing of it is deleted."""

    part: str
    reason: FreeText


def _kinds(base: type[Event]) -> dict[str, type[Event]]:
    return {kind.__name__: kind for kind in base.__subclasses__()}


KINDS: dict[str, type[Event]] = _kinds(Event)
