"""Small answers that several deciders share."""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain.events import (
    CameBack,
    DeviationOpened,
    Event,
    StageEnded,
    StageStarted,
)
from benchassist.domain.gates import ask_for, first_shut
from benchassist.domain.gates.verdict import Ask, Gate, Verdict
from benchassist.domain.ledger import remaining
from benchassist.domain.outcome import Refusal, RefusedError
from benchassist.domain.route import Stage
from benchassist.domain.stages import STAGES
from benchassist.domain.state import Bench, Closed, Part, Ready, Soaking
from benchassist.value import replace


def find(bench: Bench, code: str) -> Part:
    """Return the part in flight called ``code``.

    Raises
    ------
    RefusedError
        If there is none.
    """
    part = bench.parts.get(code)
    if part is None:
        told = f"No part called “{code}” is on this bench."
        raise RefusedError(Refusal("no-such-part", told))
    if isinstance(part.phase, Closed):
        told = f"{code} is {part.phase.how}."
        raise RefusedError(Refusal("closed", told, part=code))
    return part


def needs_reason(told: str, ask: str) -> None:
    """Refuse an act that has no reason, with what is asked for."""
    if not told.strip():
        raise RefusedError(Refusal("no-reason", ask))


def not_at(part: Part, wanted: str) -> Refusal:
    """Return the refusal for a command that does not fit the part's stage."""
    return Refusal(
        "not-at-stage",
        f"{part.code} is at {part.stage.title}: it cannot {wanted} now.",
        part=part.code,
    )


def shut(bench: Bench, ask: Ask, now: Instant) -> Refusal | None:
    """Return the refusal of the first gate that is shut, if any."""
    found = first_shut(bench, ask, now)
    return refusal_of(ask.part, *found) if found else None


def refusal_of(part: Part, gate: Gate, verdict: Verdict) -> Refusal:
    """Return a gate's verdict as a refusal."""
    can = gate.acceptable and bool(verdict.scope) and verdict.level == "marginal"
    return Refusal(
        gate.code,
        verdict.sentence,
        verdict.numbers,
        verdict.remedy,
        part=part.code,
        acceptable=can,
    )


def gates_of(bench: Bench, part: Part, now: Instant) -> Refusal | None:
    """Return the refusal of the first shut gate of the stage a part is at."""
    return shut(bench, ask_for(bench, part), now)


def drying(part: str, rest: tuple[Stage, ...]) -> tuple[Event, ...]:
    """Return the drying that begins by itself where a part comes to it next.

    Its clock runs from the moment the part left the liquid, whoever stands where.
    """
    if not rest or STAGES[rest[0].kind].mode != "dry":
        return ()
    return (StageStarted(rest[0].key, rest[0].kind, (part,), by_itself=True),)


def leave(part: Part, now: Instant) -> tuple[Event, ...]:
    """Return the events by which a part leaves its stage.

    A drying stage that follows begins by itself. A box stage that follows and has all
    it is owed, as where its dose was put right, is left as well.
    """
    phase = part.phase
    since = phase.since if isinstance(phase, Soaking) else part.entered
    ended = StageEnded(
        part.code, part.stage.key, now.most_since(since), now.since(since)
    )
    rest = part.route[part.at + 1 :]
    if rest and rest[0].kind == "box" and remaining(part, rest[0]) == 0:
        there = replace(part, at=part.at + 1, phase=Ready(now), entered=now)
        return ended, *leave(there, now)
    return ended, *drying(part.code, rest)


def deviation(
    bench: Bench, rule: str, parts: tuple[str, ...], text: str, *, offset: int = 0
) -> DeviationOpened:
    """Return a deviation under the next free number.

    ``offset`` counts deviations opened by the same decision.
    """
    number = bench.deviations_opened + 1 + offset
    return DeviationOpened(f"D-{number}", rule, parts, text)


def back(bench: Bench, now: Instant) -> tuple[Event, ...]:
    """Return the event of coming back, if the operator was away."""
    return (CameBack(now.most_since(bench.away.since)),) if bench.away else ()


def together(bench: Bench, part: Part) -> tuple[Part, ...]:
    """Return the parts that start and end together with ``part``."""
    return tuple(bench.parts[code] for code in bench.basket_of(part))


def unsigned(bench: Bench, signed: str, what: str, part: str = "") -> Refusal | None:
    """Return why nobody stands for ``what``, a release or the day."""
    if bench.unconfirmed:
        return Refusal(
            "unconfirmed",
            f"Nobody knows whether {bench.operator} is still here: who signs {what}?",
            remedy="Claim the station: type your own code, key O.",
            part=part,
        )
    if signed.strip() != bench.operator:
        return Refusal(
            "not-signed",
            f"A code signs {what}: type {bench.operator} if you are that.",
            remedy="Whoever else signs claims the station first, key O.",
            part=part,
        )
    return None
