"""Operators: who holds what, take-over, hand-over, levels and predictions."""

from __future__ import annotations

from benchassist.clock import MS, Instant
from benchassist.domain import codes
from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.claims import Claim
from benchassist.domain.deciders.away import in_hand, still
from benchassist.domain.deciders.common import find, needs_reason
from benchassist.domain.deciders.table import decides
from benchassist.domain.holders import told
from benchassist.domain.limits import limit
from benchassist.domain.outcome import Decision, Refusal, RefusedError, granted
from benchassist.domain.queue import ranked
from benchassist.domain.shelf import absent
from benchassist.domain.state import Bench, Brushing, Pair, Walking
from benchassist.domain.training import PROMPTS, QUESTIONS, asked, fits, level_of

# What anybody may do at whatever level, and what about a thing whoever holds it.
FREE = (cm.ChoosePart, cm.ComeBack, cm.ReadHandOver)
ABOUT = (
    cm.TakeIn,
    cm.OpenDeviation,
    cm.ReportMishap,
    cm.ClaimThing,
    cm.TakeOver,
    cm.PutDown,
    cm.ReadLamp,
    cm.RecordCoupon,
    cm.Predict,
)


def barred(bench: Bench, command: cm.Command) -> Refusal | None:
    """Return why this operator may not do this: a trainee's level, another's claim."""
    if isinstance(command, FREE):
        return None
    level = level_of(bench)
    if not PROMPTS[level].may_act and not isinstance(command, cm.SetLevel):
        return Refusal(
            "watching",
            f"{bench.operator} watches for now.",
            remedy="Whoever shows the work claims the station, key O.",
        )
    if isinstance(command, ABOUT):
        return None
    for key in _touched(command):
        claim = bench.claims.get(key)
        if claim and claim.who != bench.operator:
            return _claimed(bench, claim)
    return None


def _touched(command: cm.Command) -> tuple[Pair, ...]:
    """Return the claims a command would touch."""
    parts = (*getattr(command, "parts", ()), getattr(command, "part", ""))
    lamps = [getattr(command, "lamp", "")]
    if isinstance(command, cm.ChooseEquipment) and command.role == "lamp":
        lamps.append(command.code)
    return (
        *(("part", code) for code in parts),
        *(("lamp", code) for code in lamps),
    )


def _claimed(bench: Bench, claim: Claim) -> Refusal:
    return Refusal(
        "claimed",
        f"{told(bench, claim)}.",
        remedy="Have it handed over, or take it over by hand with a reason.",
        part=claim.code if claim.kind == "part" else "",
    )


def idle(bench: Bench, now: Instant) -> tuple[ev.Event, ...]:
    """Return the event by which an operator who did nothing for long is unconfirmed."""
    if not bench.operator or bench.unconfirmed or bench.acted is None:
        return ()
    if now.most_since(bench.acted) < limit(bench, "idle_s") * MS:
        return ()
    return (ev.OperatorUnconfirmed(bench.operator),)


@decides(cm.ClaimStation)
def claim_station(bench: Bench, command: cm.ClaimStation, now: Instant) -> Decision:
    """Take the station; never out of another's hand while a coat is tacked."""
    who = _named(bench, command.who, "Type an operator code first, such as OP-1.", now)
    _works_here(bench, who)
    busy = [
        part for part in in_hand(bench) if isinstance(part.phase, Brushing | Walking)
    ]
    if bench.operator and who != bench.operator and busy:
        return Refusal(
            "coat-in-hand",
            f"{bench.operator} has a wet coat in hand, {busy[0].code}.",
            remedy="Hand over, or hold the walk first: key H.",
            part=busy[0].code,
        )
    return (ev.OperatorClaimed(who),)


@decides(cm.ClaimThing)
def claim_thing(bench: Bench, command: cm.ClaimThing, now: Instant) -> Decision:
    """Claim a part or a lamp that nobody holds."""
    granted(_unknown(bench, command.kind, command.code))
    claim = bench.claims.get((command.kind, command.code))
    if claim and claim.who != bench.operator:
        return _claimed(bench, claim)
    return (ev.ThingClaimed(command.kind, command.code, bench.operator),)


@decides(cm.PutDown)
def put_down(bench: Bench, command: cm.PutDown, now: Instant) -> Decision:
    """Give a claim of one's own up."""
    claim = bench.claims.get((command.kind, command.code))
    if claim is None:
        return Refusal("not-claimed", f"Nobody holds {command.code}.")
    if claim.who != bench.operator:
        return _claimed(bench, claim)
    return (ev.ThingPutDown(command.kind, command.code, bench.operator),)


@decides(cm.TakeOver)
def take_over(bench: Bench, command: cm.TakeOver, now: Instant) -> Decision:
    """Take another's claim, with a reason that stays on the record."""
    claim = bench.claims.get((command.kind, command.code))
    if claim is None or claim.who == bench.operator:
        return Refusal("not-claimed", f"No one else holds {command.code}.")
    needs_reason(command.reason, "Type the reason; it stays on the record.")
    return (
        ev.ThingTakenOver(
            command.kind, command.code, claim.who, bench.operator, command.reason
        ),
    )


@decides(cm.HandOver)
def hand_over(bench: Bench, command: cm.HandOver, now: Instant) -> Decision:
    """Hand the station over: the walk stands still, the claims go along."""
    ask = "Type the code of who takes over, such as OP-2."
    taker = _named(bench, command.to, ask, now)
    if taker == bench.operator:
        return Refusal("no-operator", ask)
    _works_here(bench, taker)
    stood = (still(bench, part, "handed over", now)[0] for part in in_hand(bench))
    parts = tuple(need.part for need in ranked(bench, now))
    return (
        *(event for events in stood for event in events),
        ev.StationHandedOver(bench.operator, taker, parts),
    )


@decides(cm.ReadHandOver)
def read_hand_over(bench: Bench, command: cm.ReadHandOver, now: Instant) -> Decision:
    """Tell that what was handed over has been read."""
    if bench.handed is None:
        return Refusal("nothing-handed-over", "Nothing was handed over to be read.")
    return (ev.HandOverRead(bench.operator),)


@decides(cm.SetLevel)
def set_level(bench: Bench, command: cm.SetLevel, now: Instant) -> Decision:
    """Set an operator's level; nobody lifts their own from watching."""
    who = _named(bench, command.who, "Say whose level it is, such as OP-3.", now)
    if who == bench.operator and not PROMPTS[level_of(bench)].may_act:
        return Refusal("watching", f"{who} watches; whoever teaches sets the level.")
    return (ev.LevelSet(who, command.level),)


@decides(cm.Predict)
def predict(bench: Bench, command: cm.Predict, now: Instant) -> Decision:
    """Take a trainee's answer and hold it against the bench's own."""
    part = find(bench, command.part)
    question = QUESTIONS.get(command.question)
    if question is None or not fits(part, command.question):
        return Refusal(
            "no-such-question",
            f"“{command.question}” is not asked at {part.stage.title}.",
            part=part.code,
        )
    expected = question.expected(bench, part)
    return (
        ev.AnswerPredicted(
            part=part.code,
            question=asked(part, question.code),
            predicted=float(command.answer),
            expected=expected,
            right=abs(command.answer - expected) < 0.5,  # noqa: PLR2004 - whole numbers
        ),
    )


def _named(bench: Bench, typed: str, ask: str, now: Instant) -> str:
    """Return an operator's code as it was typed; ``ask`` is said where none was."""
    who = typed.strip()
    if not who:
        raise RefusedError(Refusal("no-operator", ask))
    granted(codes.amiss(bench, "operator", who, year=now.local().year))
    return who


def _works_here(bench: Bench, who: str) -> None:
    if ("operator", who) in bench.retired:
        granted(absent(bench, "operator", who))


def _unknown(bench: Bench, kind: ev.Thing, code: str) -> Refusal | None:
    if kind == "lamp" and code not in bench.lamps:
        return Refusal("no-equipment", f"The lamp “{code}” is not on file.")
    if kind == "part":
        find(bench, code)
    return None
