"""How far coats cure through their depth, and how thick a skin stays soft."""

from itertools import accumulate
from math import inf
from typing import Annotated, Literal

import numpy as np
from pydantic import Field

from benchassist.calculators.model import Answer, InputError, Model, about, finite
from benchassist.calculators.resin import (
    RESOLUTIONS,
    Coating,
    Draws,
    Resin,
    Seed,
    Segment,
    Span,
    Thickness,
    Threshold,
    Timed,
    Uncertain,
    check_total,
    drawn,
    uncertain,
)
from benchassist.calculators.shapes import Grid
from benchassist.physics.coat import (
    COARSE,
    SET_CONVERSION,
    Exposure,
    NewCoat,
    Snapshot,
    simulate,
)
from benchassist.physics.coat_resin import Radicals
from benchassist.physics.coat_uncertainty import band
from benchassist.physics.spectra import FloatArray


class Input(Model):
    """Coats, and what is done to them in the order of time.

    ``coats_um`` are on the part at the start, the lowest first; segments may lay
    more. ``draws`` repeats the computation with the uncertain values drawn from
    their ranges.
    """

    resin: Resin = Resin()
    coats_um: list[Thickness] = Field(default_factory=list, max_length=10)
    segments: Annotated[list[Segment], Field(min_length=1, max_length=50)]
    threshold: Threshold = SET_CONVERSION
    radicals: Radicals = "full"
    resolution: Literal["standard", "coarse", "preview"] = "standard"
    draws: Draws = 0
    seed: Seed = 0
    grid: Grid = Grid()


class After(Model):
    """The coats at the end of one timed segment.

    ``inhibition_s`` counts from the segment's start; null where no depth was freed
    of oxygen in it.
    """

    segment: int
    end_s: float
    mean_conversion: float
    tacky_um: float
    tacky_bottom_um: float
    inhibition_s: float | None


class Profile(Model):
    """Fields over the depth, at the centres of cells, the top first."""

    depth_um: list[float]
    width_um: list[float]
    conversion: list[float]
    oxygen_mol_l: list[float]
    radicals_mol_l: list[float]
    initiator_mol_l: list[list[float]]


class ProfileSpan(Model):
    """The conversion of the draws over the depth."""

    depth_um: list[float]
    low: list[float]
    median: list[float]
    high: list[float]


class Spread(Model):
    """Medians and the middle 90 % of the draws, at the end, and what was varied."""

    draws: int
    mean_conversion: Span
    tacky_um: Span
    tacky_bottom_um: Span
    inhibition_s: Span
    profile: ProfileSpan
    varied: list[Uncertain]


class Output(Answer):
    """The coats at the end, and after every timed segment.

    ``tacky_um`` is the depth from the top in which the conversion stays below the
    threshold. ``inhibition_s``, from the very start, is when any depth first carries
    half the radicals it would have without oxygen; null where none does.
    """

    mean_conversion: float
    tacky_um: float
    tacky_bottom_um: float
    inhibition_s: float | None
    profile: Profile
    after: list[After]
    band: Spread | None = None
    reason: str | None = None


def run(question: Input) -> Output:
    """Compute the coats, and the draws if any are asked for."""
    grid_nm = question.grid.nm()
    resin = question.resin.on(grid_nm, field="resin")
    steps: list[NewCoat | Exposure] = [NewCoat(um) for um in question.coats_um]
    steps += [
        segment.step(grid_nm, field=f"segments.{index}")
        for index, segment in enumerate(question.segments)
    ]
    _check(question)
    with about("resin"):
        shots = simulate(
            resin,
            steps,
            radicals=question.radicals,
            resolution=RESOLUTIONS[question.resolution],
            grid_nm=grid_nm,
        )
        draws = []
        if question.draws:
            draws = simulate(
                resin,
                steps,
                sample=drawn(resin, draws=question.draws, seed=question.seed),
                radicals=question.radicals,
                resolution=COARSE,
                grid_nm=grid_nm,
            )
    after = _after(question, shots)
    freed_s = float(_first_freed_s(shots)[0])
    last = shots[-1]
    return Output(
        mean_conversion=after[-1].mean_conversion,
        tacky_um=after[-1].tacky_um,
        tacky_bottom_um=after[-1].tacky_bottom_um,
        inhibition_s=finite(freed_s),
        profile=Profile(
            depth_um=last.depth_um.tolist(),
            width_um=last.widths_um.tolist(),
            conversion=last.conversion[0].tolist(),
            oxygen_mol_l=last.oxygen_mol_l[0].tolist(),
            radicals_mol_l=last.radicals_mol_l[0].tolist(),
            initiator_mol_l=last.initiator_mol_l[0].tolist(),
        ),
        after=after,
        band=_spread(question, draws) if draws else None,
        reason="No depth was freed of oxygen at any time." if freed_s == inf else None,
    )


def _check(question: Input) -> None:
    laid = [s.new_coat_um for s in question.segments if isinstance(s, Coating)]
    check_total([*question.coats_um, *laid], field="segments")
    if not any(isinstance(segment, Timed) for segment in question.segments):
        raise InputError(
            "Give at least one timed segment, with light or dark and its seconds.",
            field="segments",
        )
    if not question.coats_um and isinstance(question.segments[0], Timed):
        raise InputError(
            "There is no coat to begin with; give coats_um or begin with new_coat_um.",
            field="coats_um",
        )


def _after(question: Input, shots: list[Snapshot]) -> list[After]:
    timed = [i for i, s in enumerate(question.segments) if isinstance(s, Timed)]
    ends_s = accumulate(float(shot.duration_s[0]) for shot in shots)
    return [
        After(
            segment=index,
            end_s=end_s,
            mean_conversion=float(shot.mean_conversion[0]),
            tacky_um=float(shot.soft_top_um(question.threshold)[0]),
            tacky_bottom_um=float(shot.soft_bottom_um(question.threshold)[0]),
            inhibition_s=finite(float(shot.inhibition_s[0])),
        )
        for index, end_s, shot in zip(timed, ends_s, shots, strict=True)
    ]


def _first_freed_s(shots: list[Snapshot]) -> FloatArray:
    """Return when any depth was first freed of oxygen, from the very start."""
    start_s = np.zeros_like(shots[0].duration_s)
    first_s = np.full_like(start_s, inf)
    for shot in shots:
        first_s = np.minimum(first_s, start_s + shot.inhibition_s)
        start_s = start_s + shot.duration_s
    return first_s


def _spread(question: Input, draws: list[Snapshot]) -> Spread:
    last = draws[-1]
    profile = band(last.conversion)
    return Spread(
        draws=question.draws,
        mean_conversion=span(last.mean_conversion),
        tacky_um=span(last.soft_top_um(question.threshold)),
        tacky_bottom_um=span(last.soft_bottom_um(question.threshold)),
        inhibition_s=span(_first_freed_s(draws)),
        profile=ProfileSpan(
            depth_um=last.depth_um.tolist(),
            low=profile.low.tolist(),
            median=profile.median.tolist(),
            high=profile.high.tolist(),
        ),
        varied=uncertain(),
    )


def span(values: FloatArray) -> Span:
    """Return the median and the middle 90 % of draws."""
    low, median, high = (finite(float(value)) for value in band(values))
    return Span(low=low, median=median, high=high)
