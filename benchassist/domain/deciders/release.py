"""Gates accepted by hand, deviations, checks, release and scrap."""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.deciders.common import (
    deviation,
    find,
    gates_of,
    leave,
    needs_reason,
    not_at,
    refusal_of,
    unsigned,
)
from benchassist.domain.deciders.limits import day_amiss
from benchassist.domain.deciders.table import decides
from benchassist.domain.gates import GATES, ask_for
from benchassist.domain.gates.verdict import Gate, Verdict
from benchassist.domain.limits import limit
from benchassist.domain.outcome import Decision, Refusal, granted
from benchassist.domain.state import Bench, Closed, InRun, Ready


@decides(cm.AcceptGate)
def accept(bench: Bench, command: cm.AcceptGate, now: Instant) -> Decision:
    """Accept a warning, where its gate may ever be accepted."""
    part = find(bench, command.part)
    gate = GATES.get(command.gate)
    if gate is None:
        return Refusal("no-such-gate", f"There is no gate called “{command.gate}”.")
    verdict = gate.check(bench, ask_for(bench, part), now)
    if verdict.level == "pass":
        return Refusal("nothing-to-accept", f"{gate.title} passes as it is.")
    refusal = refusal_of(part, gate, verdict)
    if not refusal.acceptable:
        return refusal
    needs_reason(command.reason, "Type the reason; it stays on the record.")
    if command.until:
        return _for_thing(bench, command, gate, verdict, now)
    return (
        ev.GateAccepted(
            gate.code, verdict.scope, part.code, command.reason, verdict.numbers
        ),
    )


def _for_thing(
    bench: Bench, command: cm.AcceptGate, gate: Gate, verdict: Verdict, now: Instant
) -> Decision:
    """Accept a warning for lamp, vessel and material, on every part until a day."""
    if not verdict.thing:
        return Refusal(
            "part-by-part", f"{gate.title} is accepted part by part.", part=command.part
        )
    granted(day_amiss(command.until, now, limit(bench, "accept_days")))
    return (
        ev.ThingAccepted(
            gate=gate.code,
            scope=verdict.thing,
            part=command.part,
            until=command.until,
            reason=command.reason,
            numbers=verdict.numbers,
        ),
    )


@decides(cm.OpenDeviation)
def open_deviation(bench: Bench, command: cm.OpenDeviation, now: Instant) -> Decision:
    """Open a deviation by hand."""
    for code in command.parts:
        if code not in bench.parts:
            return Refusal("no-such-part", f"No part called “{code}” is here.")
    if not command.text.strip() or not command.parts:
        return Refusal("no-reason", "Say what happened, and to which part.")
    return (deviation(bench, "by hand", command.parts, command.text),)


@decides(cm.CloseDeviation)
def close_deviation(bench: Bench, command: cm.CloseDeviation, now: Instant) -> Decision:
    """Assess a deviation by hand."""
    found = bench.deviations.get(command.deviation)
    if found is None or found.decision:
        return Refusal("no-such-deviation", f"{command.deviation} is not open.")
    needs_reason(command.reason, "Type the reason; it stays on the record.")
    return (ev.DeviationClosed(found.id, command.decision, command.reason),)


@decides(cm.RecordCheck)
def record_check(bench: Bench, command: cm.RecordCheck, now: Instant) -> Decision:
    """Record one named check; a failed one opens a deviation."""
    part = find(bench, command.part)
    if part.stage.kind != "checks":
        return not_at(part, "be checked")
    if command.check not in bench.checks_of(part):
        return Refusal("no-such-check", f"“{command.check}” is not a check here.")
    done = ev.CheckRecorded(part.code, command.check, command.passed)
    if command.passed:
        return (done,)
    text = f"The check “{command.check}” failed."
    return done, deviation(bench, "check-failed", (part.code,), text)


@decides(cm.ReleasePart)
def release(bench: Bench, command: cm.ReleasePart, now: Instant) -> Decision:
    """Sign the bench process as complete against the recipe revision."""
    part = find(bench, command.part)
    if part.stage.kind != "checks" or not isinstance(part.phase, Ready):
        return not_at(part, "be released")
    granted(
        gates_of(bench, part, now)
        or unsigned(bench, command.signed, "a release", part.code)
    )
    return *leave(part, now), ev.PartReleased(part.code, part.recipe)


# What begins or ends something on a part, and waits until it was asked about.
WAITS = (
    cm.StartStage,
    cm.FinishStage,
    cm.ConfirmLoad,
    cm.ConfirmSubmerged,
    cm.ConfirmFlip,
    cm.WetBrush,
    cm.RecordCheck,
    cm.ReleasePart,
)


def scrap_question(bench: Bench, command: cm.Command) -> Refusal | None:
    """Return why a part stands still: whether to scrap it was not answered.

    What runs is ended as ever; the question waits until the part is in hand.
    """
    if not isinstance(command, WAITS):
        return None
    for code in getattr(command, "parts", None) or (getattr(command, "part", ""),):
        part = bench.parts.get(code)
        if part and part.scrap_asked and isinstance(part.phase, Ready):
            return Refusal(
                "scrap-question",
                f"{code}: scrap it, or keep it with a reason, {part.scrap_asked}.",
                remedy="Answer by hand first.",
                part=code,
            )
    return None


@decides(cm.KeepPart)
def keep(bench: Bench, command: cm.KeepPart, now: Instant) -> Decision:
    """Go on with a part that might have been scrapped; its deviation stays open."""
    part = find(bench, command.part)
    if not part.scrap_asked:
        return Refusal("nothing-asked", f"Nobody asked whether to scrap {part.code}.")
    needs_reason(command.reason, "Say why it is kept; it stays on the record.")
    return (ev.ScrapAnswered(part.code, part.scrap_asked, "keep", command.reason),)


@decides(cm.ScrapPart)
def scrap(bench: Bench, command: cm.ScrapPart, now: Instant) -> Decision:
    """Take a part out of work for good; that also answers whether to scrap it."""
    part = find(bench, command.part)
    if isinstance(part.phase, InRun):
        return Refusal(
            "in-run", f"{part.code} is in the box; tell how its run ended first."
        )
    needs_reason(command.reason, "Say why it is scrapped.")
    scrapped = ev.PartScrapped(part.code, command.reason)
    linked = bench.deviations.get(part.scrap_asked)
    if linked is None:
        return (scrapped,)
    answered = ev.ScrapAnswered(part.code, linked.id, "scrap", command.reason)
    others = any(
        not isinstance(bench.parts[code].phase, Closed)
        for code in linked.parts
        if code != part.code and code in bench.parts
    )
    if others or linked.decision:
        return answered, scrapped  # the others of the deviation are still to assess
    closed = ev.DeviationClosed(linked.id, "scrap", command.reason)
    return answered, scrapped, closed
