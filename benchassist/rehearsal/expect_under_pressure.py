"""What a script may expect of breaks, mishaps, claims and the queue.

The same table of topics as ``expect``, for what happens when much happens at once.
"""

from __future__ import annotations

from benchassist.clock import MS
from benchassist.domain.advice import answer, hand_over_list
from benchassist.domain.holders import who_tacked
from benchassist.domain.place import card
from benchassist.domain.plan import plan_for
from benchassist.domain.stagger import collision
from benchassist.domain.words import clock
from benchassist.rehearsal.expect import Facts, Scene, Words, facts, part_named, topic


@topic("place")
def _place(scene: Scene, which: Words, named: dict[str, str]) -> Facts:
    away = scene.session.bench.away
    if away is None:
        return {"frozen": "no"}
    place = away.place
    return {
        "frozen": "yes",
        **facts(place, "part stage layer segment face spot number lamp"),
        **facts(place, "wet_spots cover"),
        "lit_s": place.lit_ms / MS,
        "wet_s": place.wet_ms / MS,
        "card": card(place),
    }


@topic("advised")
def _advised(scene: Scene, which: Words, named: dict[str, str]) -> Facts:
    """Answer with the branch that is shown for a part, step by step."""
    part = part_named(scene, which)
    told = scene.session.bench.advised.get(part.code)
    if told is None:
        return {"mishap": ""}
    steps = {f"step{n}": step for n, step in enumerate(told.steps, start=1)}
    return {
        **facts(told, "mishap coat title"),
        "scrap": "yes" if told.scrap else "no",
        **steps,
        **dict(told.numbers),
    }


@topic("coats")
def _coats(scene: Scene, which: Words, named: dict[str, str]) -> Facts:
    part = part_named(scene, which)
    return {
        "set": part.coats,
        "reworks": part.reworks,
        "on": tuple(part.work),
        "stripped": tuple(work.layer for work in part.stripped),
    }


@topic("checks")
def _checks(scene: Scene, which: Words, named: dict[str, str]) -> Facts:
    part = part_named(scene, which)
    owed = scene.session.bench.checks_of(part)
    return {
        "owed": owed,
        "left": tuple(name for name in owed if not part.checks.get(name)),
    }


@topic("ahead")
def _ahead(scene: Scene, which: Words, named: dict[str, str]) -> Facts:
    part = part_named(scene, which)
    return {"stages": tuple(stage.key for stage in part.route[part.at :])}


@topic("spoilt")
def _spoilt(scene: Scene, which: Words, named: dict[str, str]) -> Facts:
    fill = scene.session.bench.fills.get(which[0] if which else "")
    return {"why": fill.spoilt if fill else ""}


@topic("held")
def _held(scene: Scene, which: Words, named: dict[str, str]) -> Facts:
    """Answer with who holds a part or a lamp; ``expect held lamp EX-LM-A by=OP-1``."""
    claim = scene.session.bench.claims.get((which[0], which[-1]))
    return {"by": claim.who if claim else ""}


@topic("tacked-by")
def _tacked_by(scene: Scene, which: Words, named: dict[str, str]) -> Facts:
    part = part_named(scene, which)
    found = who_tacked(scene.session.journal.entries())
    layer = which[-1]
    return {
        each.operator: f"{each.spots[0]}-{each.spots[-1]}"
        for each in found
        if (each.part, each.layer) == (part.code, layer)
    }


@topic("answer")
def _answer(scene: Scene, which: Words, named: dict[str, str]) -> Facts:
    found = answer(scene.session.bench, scene.session.now())
    found_out: Facts = {}
    for name, task in (("first", found.first), ("then", found.then)):
        found_out[name] = task.part if task else ""
        found_out[f"{name}_act"] = task.act if task else ""
        found_out[f"{name}_reason"] = task.reason if task else ""
        found_out[f"{name}_in_s"] = task.due_ms / MS if task else 0
        found_out[f"{name}_slack_s"] = task.slack_ms / MS if task else 0
    return found_out


@topic("hand-over")
def _hand_over(scene: Scene, which: Words, named: dict[str, str]) -> Facts:
    tasks = hand_over_list(scene.session.bench, scene.session.now())
    return {
        "parts": tuple(code for task in tasks for code in task.parts),
        "reasons": tuple(task.reason for task in tasks),
    }


@topic("collision")
def _collision(scene: Scene, which: Words, named: dict[str, str]) -> Facts:
    part = part_named(scene, which)
    found = collision(scene.session.bench, part, scene.session.now())
    if found is None:
        return {"with": ""}
    return {
        "with": found.other,
        "at": f"{found.at.local():%H:%M}",
        "wait_s": found.wait_s,
    }


@topic("plan")
def _plan(scene: Scene, which: Words, named: dict[str, str]) -> Facts:
    """Answer with a part's way to its appointment, in minutes and seconds."""
    part = part_named(scene, which)
    plan = plan_for(scene.session.bench, part, scene.session.now())
    if plan is None:
        return {"takes": ""}
    return {
        "takes": clock(plan.total_ms),
        "slack": clock(plan.slack_ms),
        "latest": f"{plan.latest.local():%H:%M:%S}",
    }
