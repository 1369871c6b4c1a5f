"""What somebody may wish at the bench, in the imperative.

A press, a key, a script line and a tick of the clock all end up as one of
these. Fields are plain values so that a script can write them down.
"""

from __future__ import annotations

from typing import Literal

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
from benchassist.value import value


@value
class Command:
    """The base of all commands."""


@value
class PressPedal(Command):
    """The foot pressed; what it means is in the pedal table alone."""

    long: bool = False


@value
class ClaimStation(Command):
    """Take the station as operator ``who``."""

    who: str


@value
class TakeIn(Command):
    """Take a part in; empty equipment codes leave the choice for later.

    ``before`` is the count a side of its body had on an earlier visit, by its own
    record; for a part that comes back.
    """

    part: str
    recipe: str
    print_lot: str
    coat_lot: str = ""
    stain_lot: str = ""
    lamp: str = ""
    box: str = ""
    vessel: str = ""
    peg: str = ""
    due: Instant | None = None
    variant: Variant | None = None
    before: int = 0


@value
class ChoosePart(Command):
    """Bring a part to the front by hand."""

    part: str


@value
class FormBasket(Command):
    """Put parts together so that they start and end by one action."""

    parts: tuple[str, ...]


@value
class ChooseEquipment(Command):
    """Use another lamp, box or vessel for a part."""

    part: str
    role: Literal["lamp", "box", "vessel"]
    code: str


@value
class ChooseLot(Command):
    """Use another lot for a part."""

    part: str
    role: Literal["print", "coat", "stain"]
    lot: str


@value
class StartStage(Command):
    """Start the timed stage a part is at, for its whole basket."""

    part: str


@value
class TakeOut(Command):
    """Take a basket out of its bath; ``count`` is how many came out (0: all)."""

    part: str
    count: int = 0


@value
class Quiet(Command):
    """Let the sound of what is due rest for a while: not yet."""

    part: str


@value
class FinishStage(Command):
    """The hand work a part is at is done."""

    part: str


@value
class ConfirmLoad(Command):
    """Hold the load card: dry, ``count`` set on the box, door shut."""

    parts: tuple[str, ...]
    box: str
    count: int


@value
class ConfirmSubmerged(Command):
    """Hold the submerge card: submerged, no bubbles, held down, count set."""

    parts: tuple[str, ...]
    box: str
    vessel: str
    count: int


@value
class StartRun(Command):
    """Start the loaded box together with the program's countdown."""

    box: str


@value
class TellRunEnd(Command):
    """Tell by hand what the box did.

    ``delivered`` is what its counter showed when it stopped early or ran
    another count than planned.
    """

    run: str
    outcome: Literal["completed", "stopped", "unknown", "died with the PC"]
    delivered: int = 0


@value
class ConfirmFlip(Command):
    """Confirm by hand that a part was turned to the side its stage names."""

    part: str


@value
class OpenLampSession(Command):
    """Confirm by hand: eyewear on, this lamp in hand."""

    lamp: str


@value
class WetBrush(Command):
    """Wet the brush and start the first stroke of the next segment."""

    part: str


@value
class StartWalk(Command):
    """The segment is brushed: start its paced walk."""

    part: str


@value
class BreakSpot(Command):
    """Tell that this spot is not done; the walk pauses."""

    part: str


@value
class HoldHere(Command):
    """Hold the walk here: the operator is called away."""

    part: str


@value
class GoOn(Command):
    """Go on with a paused walk; the spot not done starts whole."""

    part: str


@value
class BackOne(Command):
    """Go back one spot in a paused walk."""

    part: str


@value
class TellCoatState(Command):
    """Tell by hand, after looking, how the interrupted coat is."""

    part: str
    told: Literal["wet and clean", "set or dusty", "wiped off"]


@value
class AcceptGate(Command):
    """Accept a gate's warning by hand, with a reason."""

    gate: str
    part: str
    reason: str


@value
class OpenDeviation(Command):
    """Open a deviation by hand."""

    parts: tuple[str, ...]
    text: str


@value
class CloseDeviation(Command):
    """Assess a deviation by hand."""

    deviation: str
    decision: Literal["use as is", "rework", "scrap", "ask prescriber"]
    reason: str


@value
class HoldPart(Command):
    """Put a part on hold between stages, covered and dark."""

    part: str
    reason: str


@value
class ResumePart(Command):
    """Take a part from hold."""

    part: str


@value
class RecordCheck(Command):
    """Record a named release check."""

    part: str
    check: str
    passed: bool = True


@value
class ReleasePart(Command):
    """Sign: bench process complete against the recipe and revision shown."""

    part: str


@value
class ScrapPart(Command):
    """Take a part out of work for good."""

    part: str
    reason: str


@value
class KeepPart(Command):
    """Go on with a part although scrapping it was advised."""

    part: str
    reason: str


@value
class VoidStart(Command):
    """Undo the last start by hand and say whether the thing really ran."""

    really_ran: Literal["yes", "no", "not sure"]


@value
class SetLimit(Command):
    """Set a limit that gates use."""

    code: str
    value: float
    reason: str


@value
class ReadLamp(Command):
    """Enter a lamp reading taken with the practice's own meter."""

    lamp: str
    reading: float


@value
class RecordCoupon(Command):
    """Enter the result of a coupon of a lamp on a material.

    ``tack_s`` is how long it was tacked (0: not told), ``how`` which way it failed.
    """

    lamp: str
    material: str
    passed: bool
    tack_s: float = 0.0
    how: Literal["", "not set", "tacky at the end"] = ""


@value
class FileSpectrum(Command):
    """File a measured spectrum for a lamp, box or vessel, or an operator's glasses.

    ``reading`` is the meter's reading of a lamp when its spectrum was taken (0: that
    of its baseline).
    """

    role: Literal["lamp", "box", "vessel", "glasses"]
    code: str
    curve: Curve
    reason: str
    reading: float = 0.0


@value
class ShowGlasses(Command):
    """Enter what an operator's glasses let through, as their papers state it."""

    who: str
    title: str
    low_nm: float
    high_nm: float
    transmittance: float


@value
class FitWorkingCurve(Command):
    """Fit a working curve to effective exposures (mJ/cm²) and thicknesses (µm)."""

    lamp: str
    material: str
    points: tuple[tuple[float, float], ...]
    record: str


@value
class RecordSmear(Command):
    """Enter a smear test: a drop dragged after ``seconds`` under a light."""

    material: str
    light: str
    klx: float
    seconds: float


@value
class ChangeDish(Command):
    """Open a dish of wet resin under a light, cover it, or throw its drop away."""

    lot: str
    to: Literal["open", "covered", "thrown away"]
    light: str = ""
    klx: float = 0.0


@value
class FillGlycerine(Command):
    """Empty a vessel and fill it with fresh glycerine of a lot."""

    vessel: str
    lot: str


@value
class FileLibrary(Command):
    """File what a library file holds; all of it or nothing."""

    curves: tuple[Curve, ...] = ()
    materials: tuple[Material, ...] = ()
    lots: tuple[Lot, ...] = ()
    lamps: tuple[Lamp, ...] = ()
    boxes: tuple[Box, ...] = ()
    vessels: tuple[Vessel, ...] = ()
    recipes: tuple[Recipe, ...] = ()
    readings: tuple[tuple[str, float], ...] = ()
    fills: tuple[tuple[str, str, int], ...] = ()
    coupons: tuple[tuple[str, str, bool], ...] = ()
    limits: tuple[tuple[str, float, str], ...] = ()


@value
class CreateStore(Command):
    """Begin a journal of a kind that never changes."""

    kind: Literal["real", "demo", "training", "rehearsal"]
    store_id: str
    station: str
    zone: str


@value
class Reopen(Command):
    """The program opened an existing journal."""

    program_version: str
    last_heartbeat: Instant | None


@value
class Tick(Command):
    """Time passed; ``gap_ms`` is how long ago the last tick was."""

    gap_ms: int = 0


@value
class NoteWallStep(Command):
    """The wall clock stepped against the monotonic one."""

    step_ms: int


@value
class NoteFault(Command):
    """The program itself failed somewhere; ``digest`` names the fault."""

    fault: str
    digest: str


@value
class CallAway(Command):
    """Freeze the place, whatever is going on: the operator is called away."""


@value
class ComeBack(Command):
    """Tell by hand that the operator is back at the frozen place."""


@value
class ClaimThing(Command):
    """Claim a part or a lamp, so that nobody else uses it."""

    kind: Literal["part", "lamp"]
    code: str


@value
class PutDown(Command):
    """Give a claim up."""

    kind: Literal["part", "lamp"]
    code: str


@value
class TakeOver(Command):
    """Take what another operator holds, with a reason."""

    kind: Literal["part", "lamp"]
    code: str
    reason: str


@value
class HandOver(Command):
    """Hand the station and all that is claimed to operator ``to``."""

    to: str


@value
class ReadHandOver(Command):
    """Tell by hand that what was handed over has been read."""


@value
class SetLevel(Command):
    """Set how far an operator works by themselves."""

    who: str
    level: Literal["watch", "every prompt", "gates only", "alone"]


@value
class Predict(Command):
    """Say beforehand what the bench will show."""

    part: str
    question: str
    answer: float


@value
class ReportMishap(Command):
    """Tell what went wrong and answer its questions, each in order."""

    part: str
    mishap: str
    answers: tuple[str, ...] = ()


# What is done by holding for two seconds, never by the pedal or a tap: whatever a
# record rests on that nobody but a hand and an eye can know. Choosing a part, coming
# back and reading are taps, because nothing is stated by them.
HELD: frozenset[type[Command]] = frozenset(
    {
        ChooseEquipment,
        ChooseLot,
        ConfirmLoad,
        ConfirmSubmerged,
        TellRunEnd,
        ConfirmFlip,
        HoldPart,
        ResumePart,
        OpenLampSession,
        TellCoatState,
        FillGlycerine,
        FileSpectrum,
        ShowGlasses,
        FitWorkingCurve,
        AcceptGate,
        OpenDeviation,
        CloseDeviation,
        ReleasePart,
        ScrapPart,
        KeepPart,
        SetLimit,
        TakeOver,
        HandOver,
        SetLevel,
        ReportMishap,
    }
)


def held(command: object) -> bool:
    """Return whether a command is done by a hold; so is a check that failed."""
    if isinstance(command, RecordCheck):
        return not command.passed
    return type(command) in HELD
