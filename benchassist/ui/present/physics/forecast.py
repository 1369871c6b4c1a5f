"""What a coat becomes: conversion against depth, after each tack and at the end.

Three ways to the same answer, from quick to sure: a preview of the planned cover that
follows a slider, the accurate run of all covers, and draws from what is not known.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from benchassist.physics.coat import (
    COARSE,
    PREVIEW,
    SET_CONVERSION,
    STANDARD,
    Exposure,
    NewCoat,
    Resolution,
    Snapshot,
    simulate,
    stacked,
)
from benchassist.physics.coat_uncertainty import (
    Sample,
    band,
    draw_sample,
    nominal_sample,
)
from benchassist.physics.spectra import FloatArray
from benchassist.sums.coat import COVERS, Coating
from benchassist.ui.present.physics.plot import (
    Band,
    Ink,
    Line,
    Mark,
    Plot,
    Points,
    Stroke,
    number,
    spread,
)
from benchassist.ui.words import say
from benchassist.value import value

CHUNK, CHUNKS = 25, 8  # draws at a time, between which a newer question is looked for
COVER_WORDS = {
    "air": say("in air"),
    "glycerine": say("under glycerine"),
    "nitrogen": "nitrogen",
}


@value
class Setting:
    """What the sliders stand at; ``output`` is a share of the lamp as it is today."""

    coat_um: float
    output: float
    tack_s: float


@value
class Profile:
    """The coats at one moment: conversion over the depth, and the soft skin.

    ``low`` and ``high`` are the 90 % band; empty where nothing was drawn yet.
    ``mean`` and ``soft_um`` hold low end, median and high end.
    """

    label: str
    depth_um: Points
    conversion: Points
    mean: tuple[float, float, float]
    soft_um: tuple[float, float, float]
    low: Points = ()
    high: Points = ()


@value
class Forecast:
    """What was computed for a setting: after each tack, and at the end by cover."""

    setting: Setting
    tacks: tuple[Profile, ...]
    ends: dict[str, Profile]
    draws: int = 0


def preview(coating: Coating, setting: Setting, cover: str) -> Forecast:
    """Return a quick forecast for one cover: it has to follow a slider."""
    shots = simulate(
        coating.resin,
        [*_tacks(coating, setting), *coating.ending(cover)],
        resolution=PREVIEW,
        grid_nm=coating.grid_nm,
    )
    ends = {cover: _profile(COVER_WORDS[cover], shots[-1], [0])}
    return Forecast(setting, _after_tacks(coating, shots, [0]), ends)


def computed(coating: Coating, setting: Setting) -> Forecast:
    """Return the accurate forecast for every cover."""
    exact = nominal_sample(initiators=len(coating.resin.initiators))
    shots = _all_covers(coating, setting, exact, STANDARD)
    ends = {
        cover: _profile(COVER_WORDS[cover], shots[-1], [row])
        for row, cover in enumerate(COVERS)
    }
    return Forecast(setting, _after_tacks(coating, shots, [0]), ends)


def drawn(
    coating: Coating, setting: Setting, stop: Callable[[], bool]
) -> Forecast | None:
    """Return the forecast with its 90 % bands, or None once ``stop`` says so."""
    initiators = len(coating.resin.initiators)
    parts: list[list[Snapshot]] = []
    for seed in range(CHUNKS):
        if stop():
            return None
        sample = draw_sample(
            CHUNK,
            initiators=initiators,
            seed=seed,
            rate_sets=1 + len(coating.resin.others),
        )
        parts.append(_all_covers(coating, setting, sample, COARSE))
    shots = [stacked(each) for each in zip(*parts, strict=True)]
    rows = range(0, CHUNK * CHUNKS * len(COVERS), len(COVERS))
    ends = {
        cover: _profile(COVER_WORDS[cover], shots[-1], [row + n for row in rows])
        for n, cover in enumerate(COVERS)
    }
    return Forecast(
        setting, _after_tacks(coating, shots, rows), ends, draws=CHUNK * CHUNKS
    )


def _tacks(coating: Coating, setting: Setting) -> list[NewCoat | Exposure]:
    return coating.tacks(setting.tack_s, coat_um=setting.coat_um, output=setting.output)


def _all_covers(
    coating: Coating, setting: Setting, sample: Sample, resolution: Resolution
) -> list[Snapshot]:
    """Return one row for each draw and cover, in that order.

    Every row has the same tacks; of the endings each has its own and stands still
    through the others', so that the costly part is computed once.
    """
    steps = _tacks(coating, setting)
    rows = np.repeat(np.arange(sample.rows), len(COVERS))
    for n, cover in enumerate(COVERS):
        share = np.tile(np.eye(len(COVERS))[n], sample.rows)
        steps += coating.ending(cover, share)
    return simulate(
        coating.resin,
        steps,
        sample=sample.take(rows),
        resolution=resolution,
        grid_nm=coating.grid_nm,
    )


def _after_tacks(
    coating: Coating, shots: list[Snapshot], rows: Sequence[int]
) -> tuple[Profile, ...]:
    many = coating.subject.coats > 1
    return tuple(
        _profile(
            say("after tack {n}", n=n + 1) if many else say("after the tack"),
            shots[2 * n],
            rows,
        )
        for n in range(coating.subject.coats)
    )


def _profile(label: str, shot: Snapshot, rows: Sequence[int]) -> Profile:
    chosen = replace(shot, conversion=shot.conversion[list(rows)], balance=None)
    over = band(chosen.conversion)
    single = len(rows) == 1
    return Profile(
        label=label,
        depth_um=_points(shot.depth_um),
        conversion=_points(over.median),
        mean=_three(chosen.mean_conversion),
        soft_um=_three(chosen.soft_top_um()),
        low=() if single else _points(over.low),
        high=() if single else _points(over.high),
    )


def _points(values: FloatArray) -> Points:
    return tuple(float(each) for each in values)


def _three(values: FloatArray) -> tuple[float, float, float]:
    found = band(values)
    return float(found.low), float(found.median), float(found.high)


# --- what is shown -------------------------------------------------------------

_END_LOOK: dict[str, tuple[Stroke, Ink]] = {
    "air": ("dashdot", "stop"),
    "glycerine": ("solid", "ink"),
    "nitrogen": ("dashed", "good"),
}


@value
class ForecastView:
    """A plot, and a row of words for each moment: what, mean, soft skin in µm."""

    plot: Plot
    rows: tuple[tuple[str, str, str], ...]
    state: str


def forecast_view(found: Forecast, planned: str) -> ForecastView:
    """Return what is shown of a forecast; the ``planned`` cover carries the band."""
    ends = [found.ends[cover] for cover in COVERS if cover in found.ends]
    deepest = max(max(each.depth_um) for each in (*found.tacks, *ends))
    lines = [
        Line(each.label, each.depth_um, each.conversion, "dotted", "quiet")
        for each in found.tacks[-1:]
    ]
    for cover in COVERS:
        if cover in found.ends:
            end = found.ends[cover]
            stroke, ink = _END_LOOK[cover]
            lines.append(Line(end.label, end.depth_um, end.conversion, stroke, ink))
    end = found.ends.get(planned, ends[0])
    drawn_band = Band(say("90 % band"), end.depth_um, end.low, end.high)
    plot = Plot(
        say("depth below the surface, µm"),
        "conversion",
        (0.0, deepest),
        (0.0, 1.05),
        lines=tuple(lines),
        bands=(drawn_band,) if end.low else (),
        marks=(Mark("set", y=SET_CONVERSION, stroke="dotted", ink="quiet"),),
    )
    rows = tuple(_row(each, found.draws) for each in (*found.tacks, *ends))
    return ForecastView(plot, rows, _state(found))


def _row(profile: Profile, draws: int) -> tuple[str, str, str]:
    if not draws:
        mean, soft = number(profile.mean[1]), number(profile.soft_um[1])
        return (
            profile.label,
            say("about {mean}", mean=mean),
            say("about {soft}", soft=soft),
        )
    mean = spread(*profile.mean)
    return profile.label, mean, spread(*profile.soft_um)


def _state(found: Forecast) -> str:
    if found.draws:
        return say("median and 90 % band of {draws} draws", draws=found.draws)
    if len(found.ends) == len(COVERS):
        return say("central values; the band follows")
    return say("preview")
