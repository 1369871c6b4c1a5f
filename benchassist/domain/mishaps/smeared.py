"""The coat drags or smears, or what lies under it does."""

from __future__ import annotations

from benchassist.clock import MS
from benchassist.domain.coat import coat_state
from benchassist.domain.layer import lot_for
from benchassist.domain.light import judge_lamp
from benchassist.domain.mishaps import touched
from benchassist.domain.mishaps.kind import (
    Answers,
    Branch,
    Case,
    Deviates,
    Mishap,
    Question,
    options,
)
from benchassist.domain.mishaps.rework import dry_s, free, strip_and_lay
from benchassist.domain.state import Bench, LayerWork, Part
from benchassist.domain.words import layer_words, minutes

UNDER = "the layer under it"
WHICH = options("Which layer smeared?", "this layer", UNDER)
TWO = 2


def questions(bench: Bench, part: Part, answers: Answers) -> tuple[Question, ...]:
    """Return what has to be known where the coat stands."""
    soft = len(part.work) >= TWO and coat_state(part) in ("wet", "tacked")
    return ((WHICH,) if soft else ()) + touched.questions(bench, part, answers)


def branch(case: Case) -> Branch:
    """Return the way on for a smear: a soft layer is a question to its lamp."""
    if case.said(0) == UNDER:
        return _under(case)
    choice = case.answers[-1] if case.answers else ""
    tacked = coat_state(case.part) == "tacked"
    extra = (_light(case, case.part.newest_coat),) if tacked else ()
    return touched.by_state(case, "Smeared", choice, extra)


def _under(case: Case) -> Branch:
    """Take both layers off: one that was not set carries nothing."""
    part = case.part
    layers = tuple(part.work)[-TWO:]
    below, above = (layer_words(layer) for layer in layers)
    wait = minutes(dry_s(case) * MS)
    steps = (
        "Swab both layers off with alcohol; do not abrade.",
        _light(case, layers[0]),
        f"Dry {wait}, then lay both again, each set before the next.",
    )
    return Branch(
        "The layer below was not set",
        steps,
        strip_and_lay(
            case, layers, "Layer below not set", glycerine=bool(part.immersed_in)
        ),
        Deviates(
            "layer-not-set",
            _same_lot(case.bench, part, part.work[layers[0]]),
            f"{part.code}: {below} was not set under {above}.",
        ),
        rework=True,
    )


def _light(case: Case, layer: str) -> str:
    """Return what the light check says of the lamps that tacked a layer."""
    part, bench = case.part, case.bench
    planned = bench.recipe_of(part).planned_tack_s
    lot = lot_for(part, layer)
    answers = (
        judge_lamp(bench, lamp, lot, planned)
        for lamp in part.work[layer].lamps or (part.lamp,)
    )
    told = ", ".join(f"{each.lamp} {each.reason}" for each in answers)
    return f"Light on {layer.replace('-', ' ')}: {told}."


def _same_lot(bench: Bench, part: Part, soft: LayerWork) -> tuple[str, ...]:
    """Return every part in flight with this lot under one of these lamps."""
    alike = (
        each.code
        for each in bench.in_flight
        for work in each.work.values()
        if set(work.lots) & set(soft.lots) and set(work.lamps) & set(soft.lamps)
    )
    return tuple(dict.fromkeys((part.code, *alike)))


MISHAP = Mishap("smeared", "Smeared", free, questions, branch)
