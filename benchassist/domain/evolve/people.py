"""State from events about people: breaks, claims, hand-overs, training."""

from __future__ import annotations

from benchassist.domain import events as ev
from benchassist.domain.claims import Claim
from benchassist.domain.evolve.table import on
from benchassist.domain.place import Away
from benchassist.domain.state import Bench, HandedOver, Triple
from benchassist.value import replace


@on(ev.CalledAway)
def _called_away(bench: Bench, entry: ev.Entry, event: ev.CalledAway) -> Bench:
    return replace(bench, away=Away(entry.at, event.place))


@on(ev.CameBack)
def _came_back(bench: Bench, entry: ev.Entry, event: ev.CameBack) -> Bench:
    if bench.away is None:
        return bench
    left_at = bench.away.place.part
    focus = left_at if left_at in bench.parts else bench.focus
    return replace(bench, away=None, focus=focus)


@on(ev.ThingPutDown)
def _put_down(bench: Bench, entry: ev.Entry, event: ev.ThingPutDown) -> Bench:
    key = (event.kind, event.code)
    session = bench.lamp_session
    if session and event.kind == "lamp" and session.lamp == event.code:
        bench = replace(bench, lamp_session=None)
    return bench.without("claims", key)


@on(ev.ThingClaimed)
def _claimed(bench: Bench, entry: ev.Entry, event: ev.ThingClaimed) -> Bench:
    claim = Claim(event.kind, event.code, event.who, entry.at, lasting=True)
    return claimed(bench, claim)


@on(ev.ThingTakenOver)
def _taken_over(bench: Bench, entry: ev.Entry, event: ev.ThingTakenOver) -> Bench:
    claim = Claim(event.kind, event.code, event.who, entry.at, lasting=True)
    return claimed(bench, claim)


@on(ev.StationHandedOver)
def _handed_over(bench: Bench, entry: ev.Entry, event: ev.StationHandedOver) -> Bench:
    claims = {
        key: replace(claim, who=event.taker) if claim.who == event.giver else claim
        for key, claim in bench.claims.items()
    }
    # Glasses and lamp are the next pair of hands' own to confirm.
    return replace(
        bench,
        operator=event.taker,
        unconfirmed=False,
        claims=claims,
        lamp_session=None,
        away=None,
        handed=HandedOver(event.giver, entry.at),
    )


@on(ev.HandOverRead)
def _read(bench: Bench, entry: ev.Entry, event: ev.HandOverRead) -> Bench:
    return replace(bench, handed=None)


@on(ev.OperatorUnconfirmed)
def _unconfirmed(bench: Bench, entry: ev.Entry, event: ev.OperatorUnconfirmed) -> Bench:
    return replace(bench, unconfirmed=True)


@on(ev.LevelSet)
def _level(bench: Bench, entry: ev.Entry, event: ev.LevelSet) -> Bench:
    return bench.put("levels", event.who, event.level)


@on(ev.AnswerPredicted)
def _predicted(bench: Bench, entry: ev.Entry, event: ev.AnswerPredicted) -> Bench:
    key = predicted_key(bench.operator, event.part, event.question)
    return bench.put("predicted", key, event.right)


def predicted_key(operator: str, part: str, question: str) -> Triple:
    """Return the key under which a trainee's prediction is kept."""
    return operator, part, question


def claimed(bench: Bench, claim: Claim) -> Bench:
    """Return the bench on which ``claim`` holds; a lasting one of its own stays."""
    key = (claim.kind, claim.code)
    old = bench.claims.get(key)
    if old and old.who == claim.who and old.lasting:
        return bench
    return bench.put("claims", key, claim)


def lamp_in_hand(bench: Bench, entry: ev.Entry, lamp: str) -> Bench:
    """Return the bench on which the operator holds this lamp and no other."""
    others = {
        key: claim
        for key, claim in bench.claims.items()
        if claim.kind != "lamp" or claim.who != bench.operator or claim.lasting
    }
    claim = Claim("lamp", lamp, bench.operator, entry.at, lasting=False)
    return claimed(replace(bench, claims=others), claim)


def freed(bench: Bench, part: str, *, closed: bool = False) -> Bench:
    """Return the bench on which a part's claim is gone: a passing one, or any."""
    key = ("part", part)
    claim = bench.claims.get(key)
    if claim is None or (claim.lasting and not closed):
        return bench
    return bench.without("claims", key)
