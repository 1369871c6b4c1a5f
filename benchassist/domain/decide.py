"""Decide: a command in a state at a time becomes events, a refusal or a word."""

from __future__ import annotations

from functools import cache

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain.deciders.people import barred
from benchassist.domain.deciders.release import scrap_question
from benchassist.domain.deciders.table import Decider
from benchassist.domain.gathered import gathered
from benchassist.domain.outcome import Decision, Refusal, answering
from benchassist.domain.pedal import meaning
from benchassist.domain.standing import Standings
from benchassist.domain.state import Bench

WITHOUT_OPERATOR = (
    cm.AcceptDamage,
    cm.ContinueStore,
    cm.CreateStore,
    cm.FileLibrary,
    cm.ClaimStation,
    cm.Reopen,
    cm.Tick,
    cm.NoteWallStep,
    cm.NoteGap,
    cm.NoteFault,
    cm.CallAway,
)


@cache
def deciders() -> dict[type[cm.Command], Decider[cm.Command]]:
    """Return the decider of every kind of command, gathered from the rooms named here.

    They are imported when the first command comes: the first paint decides nothing.
    """
    from benchassist.domain.deciders import (  # noqa: F401, PLC0415
        away,
        baskets,
        box,
        change,
        coat,
        correction,
        coupon,
        dark,
        day,
        equipment,
        facts,
        filing,
        intake,
        late,
        light,
        limits,
        lots,
        mishaps,
        owned,
        papers,
        passing,
        people,
        recall,
        release,
        stages,
        upkeep,
    )

    return gathered(locals())


@answering
def decide(bench: Bench, command: cm.Command, now: Instant) -> Decision:
    """Return what follows from ``command``; pure, and the only way to events."""
    if isinstance(command, cm.PressPedal):
        at = Standings(bench, now, command.check)
        meant = meaning(bench, now, at).press(long=command.long)
        return meant if not isinstance(meant, cm.Command) else decide(bench, meant, now)
    decider = deciders()[type(command)]
    return refused_first(bench, command) or decider(bench, command, now)


def refused_first(bench: Bench, command: cm.Command) -> Refusal | None:
    """Return why nobody may do this here and now, whatever it comes to."""
    if isinstance(command, WITHOUT_OPERATOR):
        return None
    if not bench.operator:
        return Refusal("no-operator", "Claim the station first: key O, by hand.")
    return barred(bench, command) or scrap_question(bench, command)
