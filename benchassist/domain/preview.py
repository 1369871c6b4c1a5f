"""What an act will change, shown before it is held: before and after, side by side.

The act is decided and its events are folded onto the bench as it is; nothing is
written. So a preview shows what would be, by the rules that will judge it.
"""

from __future__ import annotations

from typing import Literal

from benchassist.clock import Instant
from benchassist.domain.commands import Command
from benchassist.domain.decide import decide
from benchassist.domain.events import Event
from benchassist.domain.evolve import after
from benchassist.domain.gates import GATES, ask_for
from benchassist.domain.mishaps.rework import COAT_UM
from benchassist.domain.outcome import Level, Refusal, Said
from benchassist.domain.plan import steps_ahead
from benchassist.domain.route import Stage
from benchassist.domain.stages import STAGES
from benchassist.domain.state import Bench, Part, Ready
from benchassist.value import replace, value

# The gates that ask about things and layers, not about what runs at this moment.
LASTING = (
    "light-check",
    "lamp-reading-age",
    "meter-due",
    "lot-expiry",
    "coats-max",
    "box-light",
    "glycerine-count",
    "own-glycerine",
    "count-excess",
)
ORDER: tuple[Level, ...] = ("pass", "marginal", "fail")


@value
class Way:
    """One stage of the way on: done, as before, new, or gone."""

    title: str
    state: Literal["done", "same", "new", "gone"]
    takes_ms: int = 0


@value
class Judged:
    """A gate that answers otherwise afterwards, with its new sentence."""

    gate: str
    stage: str
    was: Level | Literal[""]
    will: Level
    sentence: str


@value
class Preview:
    """What an act changes of one part: way, time, gates, and what goes on record.

    ``ready_was`` and ``ready`` are when it would be done with nobody else in the way;
    ``um_was`` and ``um`` the bounds of its coats together in µm, ``spots_was`` and
    ``spots`` how many of its newest layer's are done, and of how many.
    """

    part: str
    way: tuple[Way, ...]
    ready_was: Instant
    ready: Instant
    due: Instant | None
    um_was: tuple[int, int]
    um: tuple[int, int]
    spots_was: tuple[int, int]
    spots: tuple[int, int]
    gates: tuple[Judged, ...]
    events: tuple[Event, ...]


def preview(
    bench: Bench, command: Command, code: str, now: Instant
) -> Preview | Refusal:
    """Return what a command would change of part ``code``, or why it would not.

    A reason that is still to be typed is not asked here.
    """
    if not getattr(command, "reason", "given"):
        command = replace(command, reason="…")
    decision = decide(bench, command, now)
    if isinstance(decision, Said):
        return Refusal("nothing-changed", decision.message, part=code)
    if isinstance(decision, Refusal):
        return decision
    then = bench
    for event in decision:
        then = after(then, event, now)
    old, new = bench.parts[code], then.parts[code]
    return Preview(
        part=code,
        way=_way(bench, then, old, new, now),
        ready_was=_ready(bench, old, now),
        ready=_ready(then, new, now),
        due=new.due,
        um_was=_um(old),
        um=_um(new),
        spots_was=_spots(old, old.newest_coat),
        spots=_spots(new, old.newest_coat),
        gates=_judged(bench, then, old, new, now),
        events=decision,
    )


def _way(
    bench: Bench, then: Bench, old: Part, new: Part, now: Instant
) -> tuple[Way, ...]:
    """Return the stages behind, ahead, and those that fell away, in their order."""
    ahead = {step.key: step.takes_ms for step in steps_ahead(then, new, now)}
    before = {stage.key for stage in old.route[old.at :]}
    out = [Way(stage.title, "done") for stage in new.route[: new.at]]
    for stage in new.route[new.at :]:
        known = stage.key in before
        out.append(Way(stage.title, "same" if known else "new", ahead[stage.key]))
    kept = {stage.key for stage in new.route}
    was = {step.key: step.takes_ms for step in steps_ahead(bench, old, now)}
    gone = (stage for stage in old.route[old.at :] if stage.key not in kept)
    return *out, *(Way(stage.title, "gone", was[stage.key]) for stage in gone)


def _ready(bench: Bench, part: Part, now: Instant) -> Instant:
    return now.plus(sum(step.takes_ms for step in steps_ahead(bench, part, now)))


def _um(part: Part) -> tuple[int, int]:
    """Return the bounds of all coats together, those that are planned included."""
    coats = part.coats + sum(_coat_to_come(part, stage) for stage in _ahead(part))
    low, high = COAT_UM
    return low * coats, high * coats


def _spots(part: Part, layer: str) -> tuple[int, int]:
    work = part.work.get(layer)
    return (work.spots.count("done"), len(work.spots)) if work else (0, 0)


def _ahead(part: Part) -> tuple[Stage, ...]:
    return part.route[part.at :]


def _coat_to_come(part: Part, stage: Stage) -> bool:
    """Return whether a stage lays a coat of which nothing has set yet."""
    work = part.work.get(stage.layer)
    return stage.kind == "coat" and (work is None or not work.light_ms)


def _judged(
    bench: Bench, then: Bench, old: Part, new: Part, now: Instant
) -> tuple[Judged, ...]:
    """Return the lasting gates whose answer is another one afterwards."""
    was, will = _answers(bench, old, now), _answers(then, new, now)
    out = []
    for gate, (stage, level, sentence) in will.items():
        before = was.get(gate)
        if before is None or before[1:] != (level, sentence):
            known = before[1] if before else ""
            out.append(Judged(GATES[gate].title, stage, known, level, sentence))
    return tuple(out)


def _answers(
    bench: Bench, part: Part, now: Instant
) -> dict[str, tuple[str, Level, str]]:
    """Return each lasting gate's worst answer over the way ahead."""
    found: dict[str, tuple[str, Level, str]] = {}
    coats = part.coats
    for n, stage in enumerate(part.route):
        if n < part.at:
            continue
        there = replace(part, at=n, phase=Ready(now), coats=coats, basket="")
        coats += _coat_to_come(part, stage)
        at = bench.with_part(there)
        for code in STAGES[stage.kind].gates:
            if code not in LASTING:
                continue
            verdict = GATES[code].check(at, ask_for(at, there), now)
            worse = code not in found or (
                ORDER.index(verdict.level) > ORDER.index(found[code][1])
            )
            if worse:
                found[code] = (stage.title, verdict.level, verdict.sentence)
    return found
