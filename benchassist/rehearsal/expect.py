"""What a script may expect of the bench, one small answer for each topic.

``expect TOPIC WHICH field=value …``: a topic answers with facts, and every field the
script names has to be as it says. An unmet one tells what is true instead.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from difflib import get_close_matches
from typing import Any, Protocol

from benchassist.domain.events import Corrected, EnteredLate
from benchassist.domain.ledger import bounds, excess, next_runs, owed, remaining
from benchassist.domain.pedal import situation
from benchassist.domain.state import BODY, Closed, Part
from benchassist.rehearsal.foot import Foot
from benchassist.rehearsal.known import HANDS, countable
from benchassist.rehearsal.record import seconds
from benchassist.session import Outcome, Session


class Scene(Protocol):
    """What a script can look at: the session, the last outcome, hands and foot."""

    session: Session
    outcome: Outcome
    holds: int
    taps: int
    foot: Foot

    def record(self) -> dict[str, Any]:
        """Return what the journal says so far."""
        ...


Facts = dict[str, object]
Words = tuple[str, ...]
Topic = Callable[[Scene, Words, dict[str, str]], Facts]

TOPICS: dict[str, Topic] = {}


def topic(name: str) -> Callable[[Topic], Topic]:
    """Enter an answer in the table under its topic."""

    def enter(answer: Topic) -> Topic:
        TOPICS[name] = answer
        return answer

    return enter


def check(scene: Scene, words: Sequence[str]) -> None:
    """Raise ValueError unless the bench is as the words say."""
    if not words or words[0] not in TOPICS:
        message = f"expected one of: {', '.join(sorted(TOPICS))}"
        raise ValueError(message)
    which = tuple(word for word in words[1:] if "=" not in word)
    named = dict(word.split("=", 1) for word in words[1:] if "=" in word)
    facts = TOPICS[words[0]](scene, which, named)
    for name, wanted in named.items():
        if name not in facts:
            message = f"{words[0]} knows {', '.join(facts)}, not “{name}”"
            raise ValueError(message)
        if not _alike(facts[name], wanted):
            message = f"expected {name}={wanted}; it is {_shown(facts[name])}"
            raise ValueError(message)


def _shown(value: object) -> str:
    if isinstance(value, tuple):
        return ",".join(str(each) for each in value)
    return str(value)


def _alike(value: object, wanted: str) -> bool:
    if isinstance(value, int | float):
        try:
            return abs(float(wanted) - value) < 1e-6  # noqa: PLR2004 - rounding
        except ValueError:
            return False
    return _shown(value) == wanted


def part_named(scene: Scene, which: Words) -> Part:
    """Return the part that a script names first."""
    code = which[0] if which else ""
    part = scene.session.bench.parts.get(code)
    if part is None:
        message = f"there is no part “{code}” on this bench"
        raise ValueError(message)
    return part


def facts(found: object, names: str) -> Facts:
    """Return the fields of a value that go by their own names."""
    return {name: getattr(found, name) for name in names.split()}


def _one(which: Words, what: str) -> str:
    if len(which) != 1:
        message = f"expected {what}"
        raise ValueError(message)
    return which[0]


@topic("refused")
def _refused(scene: Scene, which: Words, named: dict[str, str]) -> Facts:
    code = _one(which, "the code of a refusal")
    refusal = scene.outcome.refusal
    if refusal is None or refusal.code != code:
        told = f"“{refusal.code}”: {refusal.message}" if refusal else "no refusal"
        message = f"expected to be refused ({code}); it is {told}"
        raise ValueError(message)
    numbers: Facts = dict(refusal.numbers)
    return {
        "part": refusal.part,
        "acceptable": "yes" if refusal.acceptable else "no",
        **numbers,
    }


@topic("done")
def _done(scene: Scene, which: Words, named: dict[str, str]) -> Facts:
    if scene.outcome.refusal is not None:
        message = f"expected it to be done; refused: {scene.outcome.refusal.message}"
        raise ValueError(message)
    return {}


@topic("said")
def _said(scene: Scene, which: Words, named: dict[str, str]) -> Facts:
    refusal = scene.outcome.refusal
    said = f"{refusal.message} {refusal.remedy}" if refusal else scene.outcome.said
    wanted = _one(which, "the words that were said, in quotes")
    if wanted not in said:
        message = f"expected to hear “{wanted}”; it is “{said.strip()}”"
        raise ValueError(message)
    return {}


@topic("correction")
def _correction(scene: Scene, which: Words, named: dict[str, str]) -> Facts:
    """Answer with what the last correction changed."""
    found = [
        entry.event
        for entry in scene.outcome.entries
        if isinstance(entry.event, Corrected)
    ]
    if not found:
        raise ValueError("the last line put nothing right")
    return {
        "parts": found[0].parts,
        "changes": len(found[0].changes),
        "fields": tuple(f"{change.kind}.{change.field}" for change in found[0].changes),
    }


@topic("late")
def _late(scene: Scene, which: Words, named: dict[str, str]) -> Facts:
    """Answer with what the last line entered late, and when it was done."""
    for entry in scene.outcome.entries:
        if isinstance(entry.event, EnteredLate):
            return {
                "stage": entry.event.stage,
                "began": f"{entry.event.began.local():%H:%M}",
                "ended": f"{entry.event.ended.local():%H:%M}",
                "entered": f"{entry.at.local():%H:%M}",
            }
    raise ValueError("the last line entered nothing late")


@topic("review")
def _review(scene: Scene, which: Words, named: dict[str, str]) -> Facts:
    """Answer with the parts that were released and are under review."""
    return {"parts": tuple(part.code for part in scene.session.bench.under_review)}


@topic("front")
def _front(scene: Scene, which: Words, named: dict[str, str]) -> Facts:
    if _one(which, "a part") != scene.session.bench.focus:
        message = f"expected {which[0]} in front; it is {scene.session.bench.focus}"
        raise ValueError(message)
    return {}


@topic("pedal")
def _pedal(scene: Scene, which: Words, named: dict[str, str]) -> Facts:
    found = situation(scene.session.bench, scene.session.now())
    if _one(which, "a situation of the pedal table") != found:
        message = f"expected the pedal to stand at {which[0]}; it is {found}"
        raise ValueError(message)
    return {}


@topic("part")
def _state(scene: Scene, which: Words, named: dict[str, str]) -> Facts:
    part = part_named(scene, which)
    phase = part.phase
    return {
        "stage": part.stage.key,
        "phase": phase.how if isinstance(phase, Closed) else phase.kind,
        "facing": part.facing,
        "immersed": part.immersed_in,
        "basket": scene.session.bench.basket_of(part),
        "solvent_s": seconds(part.solvent_ms),
    }


@topic("route")
def _route(scene: Scene, which: Words, named: dict[str, str]) -> Facts:
    return {"stages": tuple(stage.key for stage in part_named(scene, which).route)}


@topic("stage")
def _stage(scene: Scene, which: Words, named: dict[str, str]) -> Facts:
    part = part_named(scene, which)
    for stage in part.route:
        if stage.key == which[-1]:
            return facts(stage, "plan runs side min_s max_s")
    message = f"{part.code} has no stage {which[-1]} on its route"
    raise ValueError(message)


@topic("ledger")
def _ledger(scene: Scene, which: Words, named: dict[str, str]) -> Facts:
    part = part_named(scene, which)
    layer, side = named.get("layer", BODY), named.get("side", "")
    half = int(named.get("half", "0"))
    low, high = bounds(part, layer=layer, side=side, half=half)
    due = [
        account.owed
        for account in owed(scene.session.bench, part)
        if (account.layer, account.side) == (layer, side)
    ]
    return {
        "layer": layer,
        "side": side,
        "half": half,
        "low": low,
        "high": high,
        "owed": due[0] if due else 0,
    }


@topic("next")
def _next(scene: Scene, which: Words, named: dict[str, str]) -> Facts:
    bench, part = scene.session.bench, part_named(scene, which)
    stage = next((each for each in part.route[part.at :] if each.kind == "box"), None)
    if stage is None:
        message = f"{part.code} has no more to do in the box"
        raise ValueError(message)
    return {
        "stage": stage.key,
        "runs": next_runs(bench, part, stage),
        "remaining": remaining(part, stage),
        "excess": excess(bench, part),
    }


@topic("layer")
def _layer(scene: Scene, which: Words, named: dict[str, str]) -> Facts:
    work = part_named(scene, which).work.get(which[-1])
    if work is None:
        return {"spots": 0}
    states = Counter(work.spots)
    return {
        "spots": len(work.spots),
        "done": states["done"],
        "broken": states["broken"],
        "light_s": seconds(work.light_ms),
        "extra_s": seconds(work.extra_ms),
        **facts(work, "segments lot lots"),
    }


@topic("run")
def _run(scene: Scene, which: Words, named: dict[str, str]) -> Facts:
    run = scene.session.bench.runs.get(_one(which, "a run"))
    if run is None:
        message = f"no run {which[0]} waits for its end"
        raise ValueError(message)
    low, high = run.interrupted or (0, 0)
    return {
        **facts(run, "parts planned"),
        "sides": tuple(run.sides[code] for code in run.parts),
        "interrupted": "yes" if run.interrupted else "no",
        "low": low,
        "high": high,
    }


@topic("vessel")
def _vessel(scene: Scene, which: Words, named: dict[str, str]) -> Facts:
    fill = scene.session.bench.fills.get(_one(which, "a vessel"))
    if fill is None:
        return {"immersions": 0, "lot": ""}
    return facts(fill, "immersions lot")


@topic("deviations")
def _deviations(scene: Scene, which: Words, named: dict[str, str]) -> Facts:
    code = _one(which, "a part")
    found = scene.session.bench.open_deviations(code)
    return {
        "open": len(found),
        "rules": tuple(each.rule for each in found),
        "texts": tuple(each.text for each in found),
    }


@topic("lamp-on")
def _lamp_on(scene: Scene, which: Words, named: dict[str, str]) -> Facts:
    return {"seconds": seconds(sum(scene.session.bench.lamp_on_ms.values()))}


@topic("count")
def _count(scene: Scene, which: Words, named: dict[str, str]) -> Facts:
    known = countable()
    for name in named.keys() - known:
        near = get_close_matches(name, known, n=3)
        told = f"; did you mean {' or '.join(near)}?" if near else ""
        message = f"nothing called “{name}” is counted{told}"
        raise ValueError(message)
    refusals = scene.record()["refusals"] if named.keys() - {*HANDS} else {}
    counted: Facts = {"presses": scene.foot.presses, "holds": scene.holds}
    counted |= {"taps": scene.taps, **scene.foot.refused}
    return {**dict.fromkeys(named, 0), **refusals, **counted}
