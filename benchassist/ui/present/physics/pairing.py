"""Every light against every layer: verdict, seconds, and where the light goes."""

from __future__ import annotations

import math
from dataclasses import replace

from benchassist.domain.box_light import judge_box
from benchassist.domain.gates.box_light import second_half
from benchassist.domain.knowledge import TESTED_HERE
from benchassist.domain.layer import layer_light
from benchassist.domain.library import Curve
from benchassist.domain.light import judge_lamp, output_share
from benchassist.domain.limits import limit
from benchassist.domain.outcome import Level
from benchassist.domain.shelf import offered
from benchassist.domain.state import Bench
from benchassist.physics.light_check import (
    Absorber,
    layer_absorbance_per_cm,
    match_lamp,
)
from benchassist.physics.spectra import (
    SpectrumError,
    integrate,
    tabulated,
    wavelength_grid,
)
from benchassist.sums.coat import absorbers_of
from benchassist.sums.subject import Subject, UnknownError, second_half_s
from benchassist.ui.present.physics.overlap import overlap_plot
from benchassist.ui.present.physics.plot import Plot, number
from benchassist.ui.present.shown import TONES
from benchassist.ui.view import Tone
from benchassist.ui.words import say
from benchassist.value import value

ORDER: tuple[Level, ...] = ("pass", "marginal", "fail")
SHORT_FAIL = say("will not finish it")
NO_PIGMENT = say("Pigment and scatter are not counted.")


@value
class Pair:
    """One light on one layer: ``lamp``, or ``box`` through ``vessel``, and a lot."""

    light: str
    verdict: str
    needs: str
    reason: str
    tone: Tone
    lot: str
    lamp: str = ""
    box: str = ""
    vessel: str = ""


def layers(bench: Bench, subject: Subject) -> tuple[str, ...]:
    """Return the lots whose layers are compared: one of each material, mixes too.

    The subject's own coat and stain come first.
    """
    own = [subject.lot, subject.part.stain_lot]
    found: dict[str, str] = {}
    for code in (*own, *bench.lots):
        lot = bench.lots.get(code)
        if lot is not None and lot.material in bench.materials:
            found.setdefault(code if lot.parents else lot.material, code)
    return tuple(found.values())


def pairs(bench: Bench, subject: Subject, lot: str) -> tuple[Pair, ...]:
    """Return every lamp, and every box with every vessel, on the layer of a lot.

    What is retired lights nothing any more.
    """
    planned = subject.recipe.planned_tack_s
    found = [_lamp(bench, lamp, lot, planned) for lamp in offered(bench, "lamp")]
    found += [
        _box(bench, subject, box, vessel, lot)
        for box in offered(bench, "box")
        for vessel in offered(bench, "vessel")
    ]
    rank = {level.upper(): n for n, level in enumerate(ORDER)}
    return tuple(sorted(found, key=lambda pair: (not pair.lamp, rank[pair.verdict])))


def _lamp(bench: Bench, lamp: str, lot: str, planned_s: float) -> Pair:
    answer = judge_lamp(bench, lamp, lot, planned_s)
    acts = math.isfinite(answer.high_s) and answer.level != "fail"
    # A few words fit the row; the whole reason stands beside the curves.
    here = f", {TESTED_HERE}" if answer.badge == TESTED_HERE else ""
    refused = answer.reason if answer.code == "will-not-set" else answer.badge
    return Pair(
        light=lamp,
        verdict=answer.level.upper(),
        needs=say("{seconds} s a spot{here}", seconds=answer.seconds, here=here)
        if acts
        else refused,
        reason=answer.reason,
        tone=TONES[answer.level],
        lot=lot,
        lamp=lamp,
    )


def _box(bench: Bench, subject: Subject, box: str, vessel: str, lot: str) -> Pair:
    part = replace(subject.part, box=box, vessel=vessel)
    count = second_half(part) or subject.recipe.total // 2
    answer = judge_box(bench, part, lot, count)
    level = answer.level
    acts = math.isfinite(answer.needed_s) and level != "fail"
    needs = f"{math.ceil(answer.needed_s)} s" if acts else SHORT_FAIL
    if acts and answer.through < 1.0:
        needs = say(
            "{needs}, {through:.0%} through", needs=needs, through=answer.through
        )
    return Pair(
        light=say("{box} in {vessel}", box=box, vessel=vessel),
        verdict=level.upper(),
        needs=needs,
        reason=answer.reason,
        tone=TONES[level],
        lot=lot,
        box=box,
        vessel=vessel,
    )


# --- one pair in full ----------------------------------------------------------


@value
class Detail:
    """One pair in full: a plot of both curves, and sentences."""

    plot: Plot | None
    lines: tuple[str, ...]
    help: tuple[str, ...]


def detail(bench: Bench, subject: Subject, pair: Pair) -> Detail:
    """Return both curves, where the light goes, and what would help."""
    try:
        absorbers = absorbers_of(bench, pair.lot)
    except UnknownError as error:
        return Detail(None, (str(error),), _help(bench, subject, pair))
    light = _light(bench, pair)
    if light is None:
        line = say("{lamp} has no spectrum on file.", lamp=pair.lamp or pair.box)
        return Detail(None, (line,), _help(bench, subject, pair))
    lines = _where_it_goes(bench, pair, light, absorbers)
    if pair.box:
        planned_s = second_half_s(bench, subject)
        lines = (
            say(
                "{reason}. The second half lasts {planned_s:.0f} s.",
                reason=pair.reason,
                planned_s=planned_s,
            ),
            *lines,
        )
    plot = overlap_plot(
        light,
        absorbers,
        absorbs=say("layer absorbs"),
        shines=say("{lamp} shines", lamp=pair.lamp or pair.box),
    )
    return Detail(plot, lines, _help(bench, subject, pair))


def _light(bench: Bench, pair: Pair) -> Curve | None:
    source = bench.lamps[pair.lamp] if pair.lamp else bench.boxes[pair.box]
    return bench.curves.get(source.curve)


def _where_it_goes(
    bench: Bench, pair: Pair, light: Curve, absorbers: list[Absorber]
) -> tuple[str, ...]:
    """Return how much acts, how much the coat keeps, how much goes on."""
    layer = layer_light(bench, pair.lot)
    grid_nm = wavelength_grid()
    lit = tabulated(light, grid_nm)
    coat_um = limit(bench, "coat_um")
    photons = integrate(lit * grid_nm, grid_nm)
    if layer is None or photons <= 0:
        return ()
    kept = 1 - 10 ** (-layer_absorbance_per_cm(absorbers, grid_nm) * coat_um * 1e-4)
    share = integrate(lit * grid_nm * kept, grid_nm) / photons
    passes = say(
        "The coat of {coat_um:g} µm absorbs {share:.1%}; {it:.1%} pass on. "
        "{no_pigment}",
        coat_um=coat_um,
        share=share,
        it=1 - share,
        no_pigment=NO_PIGMENT,
    )
    try:
        match = match_lamp(light, absorbers, design_nm=layer.design_nm)
    except SpectrumError as error:
        return passes, str(error)
    today = output_share(bench, pair.lamp) if pair.lamp else 1.0
    acts = say(
        "{number} mW/cm² in all, {number2} effective at {design_nm:g} nm.",
        number=number(match.total_mw_cm2 * today, 3),
        number2=number(match.effective_mw_cm2 * today, 3),
        design_nm=layer.design_nm,
    )
    return acts, passes


def _help(bench: Bench, subject: Subject, pair: Pair) -> tuple[str, ...]:
    """Return what would help: another light, a reading, a measurement, a coupon."""
    told = []
    if pair.verdict != "PASS":
        told += _another(bench, subject, pair)
    source = bench.lamps[pair.lamp] if pair.lamp else bench.boxes[pair.box]
    if source.knowledge == "unknown" or not source.curve:
        told.append(say("File the spectrum of {code}: keys Q, 2.", code=source.code))
    elif source.knowledge == "declared":
        told.append(
            say(
                "{code} is known from its papers; a measured spectrum: keys Q, 2.",
                code=source.code,
            )
        )
    vessel = bench.vessels.get(pair.vessel)
    if vessel is not None and not vessel.curve:
        told.append(
            say(
                "Measure what the wall of {code} lets through: keys Q, 2.",
                code=vessel.code,
            )
        )
    layer = layer_light(bench, pair.lot)
    if layer is not None and not layer.known and pair.lamp:
        told.append(say("A coupon of this lamp on this layer settles it: key T."))
    if layer is not None:
        told += [
            say("How {name} absorbs is our guess: measure it.", name=each.name)
            for each in layer.initiators
            if bench.curves[each.curve].confidence == "from memory"
        ]
    return tuple(told)


def _another(bench: Bench, subject: Subject, pair: Pair) -> list[str]:
    others = [
        each
        for each in pairs(bench, subject, pair.lot)
        if bool(each.lamp) == bool(pair.lamp) and each.verdict == "PASS"
    ]
    if others:
        return [
            say(
                "{light} passes: {needs}.", light=others[0].light, needs=others[0].needs
            )
        ]
    kind = "lamp" if pair.lamp else say("box and vessel")
    return [say("No {kind} on file passes this layer.", kind=kind)]
