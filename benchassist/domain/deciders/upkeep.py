"""Keeping the bench fit for work: bottles, baths, lamps, routine checks."""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.baths import from_density
from benchassist.domain.deciders.common import needs_reason
from benchassist.domain.deciders.limits import limit_amiss
from benchassist.domain.deciders.table import decides
from benchassist.domain.kept import UNMEASURED, BoxKept
from benchassist.domain.library import Box
from benchassist.domain.limits import LIMITS, limit
from benchassist.domain.outcome import Decision, Refusal, Said
from benchassist.domain.routines import ROUTINES, things
from benchassist.domain.state import Bench
from benchassist.physics.glycerine import percent_of

MOST_DAYS = 3660  # no paper says that an open bottle keeps ten years
MOST_LITRES = 100  # [L] a bath that one person empties
MOST_COUNTS = 1e9  # no box's lamp lives so long
MOST_RUN_S = 7200  # [s] no run of a box is longer
COUNTER_SHARE = 0.02  # of what a counter shows, that no log is nearer: CP, no source
CELSIUS = (10.0, 35.0)  # outside no hydrometer's own correction holds


@decides(cm.SetKeeping)
def set_keeping(bench: Bench, command: cm.SetKeeping, now: Instant) -> Decision:
    """Note how long a material keeps once opened, with the paper that says so."""
    if command.material not in bench.materials:
        return Refusal("no-material", f"“{command.material}” is not on file.")
    days = (command.open_days, command.decanted_days)
    if not all(0 <= each <= MOST_DAYS for each in days) or command.stir_min < 0:
        message = f"A bottle keeps 0 to {MOST_DAYS} days; 0 where its papers are mute."
        return Refusal("keeping", message)
    if not command.document.strip() or not command.revision.strip():
        message = "Say which paper, and its revision: the date printed on it will do."
        return Refusal("no-document", message)
    return (
        ev.KeepingSet(
            command.material,
            *days,
            command.stir_min,
            command.document.strip(),
            command.revision.strip(),
        ),
    )


@decides(cm.HandleBottle)
def handle_bottle(bench: Bench, command: cm.HandleBottle, now: Instant) -> Decision:
    """Note that a bottle was opened, decanted or stirred."""
    if command.lot not in bench.lots:
        return Refusal("no-lot", f"The lot “{command.lot}” is not on file.")
    if command.act == "opened" and command.lot in bench.bottles:
        opened = bench.bottles[command.lot].opened
        if opened:
            message = f"{command.lot} was opened on {opened.day()}: that day stays."
            return Refusal("lot-open", message)
    return (ev.BottleHandled(command.lot, command.act),)


@decides(cm.FillBath)
def fill_bath(bench: Bench, command: cm.FillBath, now: Instant) -> Decision:
    """Empty a bath and fill it with fresh solvent."""
    if not command.bath.strip():
        return Refusal("no-bath", "Say which bath: the name on its lid.")
    return _litres(command.litres) or (
        ev.BathFilled(command.bath.strip(), command.litres, command.lot.strip()),
    )


@decides(cm.RotateBaths)
def rotate_baths(bench: Bench, command: cm.RotateBaths, now: Instant) -> Decision:
    """Discard the first bath; the clean one takes its place and is filled anew."""
    if command.first == command.clean:
        return Refusal("no-bath", "Name two baths: the first, and the clean one.")
    for bath in (command.first, command.clean):
        if bath not in bench.baths:
            return _no_bath(bench, bath)
    return _litres(command.litres) or (
        ev.BathMoved(command.clean, command.first),
        ev.BathFilled(command.clean, command.litres, command.lot.strip()),
    )


@decides(cm.MeasureBath)
def measure_bath(bench: Bench, command: cm.MeasureBath, now: Instant) -> Decision:
    """Note a hydrometer's reading, and the resin it says."""
    if command.bath not in bench.baths:
        return _no_bath(bench, command.bath)
    low, high = CELSIUS
    if not low <= command.celsius <= high:
        message = f"Read both at {low:g} to {high:g} °C, at one temperature."
        return Refusal("celsius", message, (("celsius", command.celsius),))
    try:
        percent = from_density(command.density, command.fresh)
    except ValueError as error:
        return Refusal("density", str(error))
    return (
        ev.BathMeasured(
            command.bath, command.density, command.fresh, command.celsius, percent
        ),
    )


@decides(cm.SeeGlycerine)
def see_glycerine(bench: Bench, command: cm.SeeGlycerine, now: Instant) -> Decision:
    """Note how glycerine looks, and the water in it where a hydrometer was read."""
    if bench.fills.get(command.vessel) is None:
        told = f"“{command.vessel}” holds no glycerine: fill it first, key E."
        return Refusal("no-fill", told)
    low, high = CELSIUS
    if not command.density:
        return (ev.GlycerineSeen(command.vessel, command.seen),)
    if not low <= command.celsius <= high:
        message = f"Read it at {low:g} to {high:g} °C."
        return Refusal("celsius", message, (("celsius", command.celsius),))
    try:
        percent = percent_of(command.density, command.celsius)
    except ValueError as error:
        return Refusal("density", str(error))
    return (
        ev.GlycerineSeen(
            command.vessel,
            command.seen,
            command.density,
            command.celsius,
            percent,
        ),
    )


@decides(cm.ReadBox)
def read_box(bench: Bench, command: cm.ReadBox, now: Instant) -> Decision:
    """Note a reading of a box; a counter that disagrees with the log wants a reason."""
    box, kept = bench.boxes.get(command.box), bench.boxes_kept.get(command.box)
    kept, reason = kept or BoxKept(), command.reason.strip()
    if box is None:
        return Refusal("no-box", f"The box “{command.box}” is not on file.")
    if not 0 <= command.value < MOST_COUNTS or (
        command.what == "light" and not command.value
    ):
        return Refusal("reading", "Write the number that is shown, above 0.")
    if command.what == "full run":
        return _timed(box, command)
    if command.what == "new lamp" and not reason:
        return Refusal("no-reason", "Reason: say why its lamp was changed.")
    logged = kept.given if kept.counter != UNMEASURED else 0.0
    if command.what == "life counter" and kept.counter != UNMEASURED and not reason:
        shown = command.value - kept.counter
        if abs(shown - logged) > max(1.0, COUNTER_SHARE * abs(shown)):
            return Refusal(
                "counter-differs",
                f"{box.code} counted {shown:g} since it was last read, "
                f"{logged:g} are on the log.",
                (("shown", shown), ("logged", logged)),
                "Read it again, or say why: run without the bench, counter set back.",
            )
    return (ev.BoxRead(box.code, command.what, command.value, logged, reason),)


def _timed(box: Box, command: cm.ReadBox) -> Decision:
    """Note the counts a second of one full run."""
    if box.unit != "flash":
        return Said(f"{box.code} counts seconds: its rate is one a second.")
    if not 0 < command.seconds < MOST_RUN_S or command.value <= 0:
        return Refusal("seconds", "Write the counts it showed, and its seconds.")
    rate = round(command.value / command.seconds, 4)
    return (ev.BoxRead(box.code, "full run", rate, 0.0, command.reason.strip()),)


@decides(cm.SetNitrogen)
def set_nitrogen(bench: Bench, command: cm.SetNitrogen, now: Instant) -> Decision:
    """Set flow, volume and oxygen left, as the limits that the sums and gates read."""
    told = (
        ("nitrogen_l_min", command.flow_l_min),
        ("chamber_l", command.chamber_l),
        ("nitrogen_percent", command.oxygen_percent),
    )
    needs_reason(command.reason, "Reason: say how these are known.")
    for code, wanted in told:
        if wrong := limit_amiss(code, wanted):
            return wrong
    changed = tuple(
        ev.LimitSet(code, wanted, LIMITS[code].unit, "the practice", command.reason)
        for code, wanted in told
        if wanted != limit(bench, code)
    )
    return changed or Said("It is on file exactly so already.")


@decides(cm.ServiceLamp)
def service_lamp(bench: Bench, command: cm.ServiceLamp, now: Instant) -> Decision:
    """Note what was done to a lamp: a reading before it does not count after it."""
    if command.lamp not in bench.lamps:
        return Refusal("no-lamp", f"The lamp “{command.lamp}” is not on file.")
    return (ev.LampServiced(command.lamp, command.act, command.note.strip()),)


@decides(cm.DoRoutine)
def do_routine(bench: Bench, command: cm.DoRoutine, now: Instant) -> Decision:
    """Note a routine check."""
    routine = ROUTINES.get(command.routine)
    if routine is None:
        return Refusal("no-routine", f"There is no check “{command.routine}”.")
    if command.thing not in things(bench, routine):
        message = f"“{command.thing}” is none of what “{routine.title}” looks at."
        return Refusal("no-thing", message)
    if not command.good and not command.note.strip():
        return Refusal("no-reason", "Say what is amiss, in a few words.")
    return (
        ev.RoutineDone(
            command.routine, command.thing, command.good, command.note.strip()
        ),
    )


def _litres(litres: float) -> Refusal | None:
    if 0 < litres <= MOST_LITRES:
        return None
    return Refusal("litres", f"A bath holds up to {MOST_LITRES} L: say how much.")


def _no_bath(bench: Bench, bath: str) -> Refusal:
    there = ", ".join(bench.baths) or "none yet: fill one first"
    return Refusal("no-bath", f"There is no bath “{bath}”; there are {there}.")
