"""The shortest tack that sets every coat, and the longest that lets its skin cure."""

from dataclasses import replace
from math import inf
from typing import Annotated

import numpy as np
from pydantic import Field

from benchassist.calculators.coat import span
from benchassist.calculators.model import Answer, Model, about, finite
from benchassist.calculators.resin import (
    Draws,
    Duration,
    Resin,
    Seed,
    Span,
    Thickness,
    Threshold,
    Timed,
    Uncertain,
    check_total,
    drawn,
    uncertain,
)
from benchassist.calculators.shapes import (
    Grid,
    LibraryAbsorber,
    Light,
    require_light,
)
from benchassist.physics.coat import COARSE, SET_CONVERSION
from benchassist.physics.coat_resin import CLEAVE_TWICE, ONE_CLEAVAGE, Radicals
from benchassist.physics.coat_tack import (
    LONGEST_S,
    PAUSE_S,
    SHORTEST_S,
    SKIN_LIMIT_UM,
    Lamp,
    TackWindow,
    tack_window,
)
from benchassist.physics.coat_uncertainty import nominal_sample


class Input(Model):
    """A lamp that sets coats one by one in air, and what cures them afterwards.

    ``later`` follows the last pause, such as the second half under glycerine.
    ``weakest`` and ``strongest`` are shares of the light where it is least and most,
    and ``circles`` is how many spots lie over one point at most: the least is for one
    circle at the weakest point, the most for all of them at the strongest.
    """

    light: Light
    resin: Resin = Resin()
    coats_um: Annotated[list[Thickness], Field(min_length=1, max_length=6)]
    pause_s: Duration = PAUSE_S
    weakest: Annotated[float, Field(ge=0.01, le=1)] = 1.0
    strongest: Annotated[float, Field(ge=0.1, le=10)] = 1.0
    circles: Annotated[int, Field(ge=1, le=9)] = 1
    later: Annotated[list[Timed], Field(min_length=1, max_length=20)]
    threshold: Threshold = SET_CONVERSION
    skin_limit_um: Annotated[float, Field(gt=0, le=500)] = SKIN_LIMIT_UM
    radicals: Radicals = "full"
    draws: Draws = 30
    seed: Seed = 0
    grid: Grid = Grid()


class Output(Answer):
    """Seconds a spot, the same for every coat, each with what limits it.

    ``least_s``: as the lamp goes off, every coat has reached the threshold from its
    bottom up to its soft skin. ``most_s``: the soft skin left after the later
    segments, in all coats together, is as thick as allowed. Null is endless.
    ``skin_um`` is what stays soft after the later segments by the least time,
    ``buried_um`` what of it lies under a later coat. ``caution`` says what the most
    does not count.
    """

    least_s: float | None
    most_s: float | None
    least_limit: str
    most_limit: str
    least_band: Span | None = None
    most_band: Span | None = None
    skin_um: float
    buried_um: float
    open: bool
    varied: list[Uncertain] = Field(default_factory=list)
    caution: str | None = None
    reason: str | None = None


def run(question: Input) -> Output:
    """Find both ends of the window, and their bands from the draws."""
    grid_nm = question.grid.nm()
    irradiance = question.light.on(grid_nm, field="light")
    require_light(irradiance, grid_nm, field="light")
    check_total(question.coats_um, field="coats_um")
    resin = question.resin.on(grid_nm, field="resin")
    later = [
        segment.step(grid_nm, field=f"later.{index}")
        for index, segment in enumerate(question.later)
    ]
    lamp = Lamp(
        irradiance,
        question.pause_s,
        question.weakest,
        question.strongest,
        question.circles,
    )
    band = None
    # The values in use by each set of rates: where the draws are looked for.
    sets = 1 + len(resin.others) if question.draws else 1
    in_use = nominal_sample(initiators=len(resin.initiators), rows=sets)
    in_use = replace(in_use, rate_set=np.arange(sets))
    with about("resin"):
        window = tack_window(
            resin,
            lamp,
            question.coats_um,
            later,
            sample=in_use,
            threshold=question.threshold,
            skin_limit_um=question.skin_limit_um,
            radicals=question.radicals,
            grid_nm=grid_nm,
        )
        if question.draws:
            band = tack_window(
                resin,
                lamp,
                question.coats_um,
                later,
                sample=drawn(resin, draws=question.draws, seed=question.seed),
                near=list(zip(window.least_s, window.most_s, strict=True)),
                threshold=question.threshold,
                skin_limit_um=question.skin_limit_um,
                radicals=question.radicals,
                resolution=COARSE,
                grid_nm=grid_nm,
            )
    least_s, most_s = float(window.least_s[0]), float(window.most_s[0])
    endless = inf in (least_s, most_s)
    return Output(
        least_s=finite(least_s),
        most_s=finite(most_s),
        least_limit=_least_limit(question, window),
        most_limit=_most_limit(question, most_s),
        least_band=band and span(band.least_s),
        most_band=band and span(band.most_s),
        skin_um=float(window.skin_um[0]),
        buried_um=float(window.buried_um[0]),
        open=least_s <= most_s and least_s < inf,
        varied=uncertain() if band else [],
        caution=_caution(question),
        reason=f"A null is longer than the {LONGEST_S:g} s looked at."
        if endless
        else None,
    )


def _caution(question: Input) -> str | None:
    """Return that a bis-acyl initiator may allow more, where one cleavage counts."""
    for initiator in question.resin.initiators:
        absorber = initiator.absorber
        known = absorber.id.lower() if isinstance(absorber, LibraryAbsorber) else ""
        if known in CLEAVE_TWICE and initiator.second is None:
            return ONE_CLEAVAGE
    return None


def _least_limit(question: Input, window: TackWindow) -> str:
    coat = f"coat {int(window.slowest_coat[0]) + 1}"
    if window.least_s[0] == inf:
        return (
            f"The body of {coat} does not reach conversion {question.threshold:g} in "
            f"{LONGEST_S:g} s; the lamp makes too few radicals there, or oxygen takes "
            "them."
        )
    return f"The body of {coat} is the last to reach conversion {question.threshold:g}."


def _most_limit(question: Input, most_s: float) -> str:
    skin = f"more than {question.skin_limit_um:g} um in all coats stays soft"
    if most_s == inf:
        return f"No tack up to {LONGEST_S:g} s keeps the skin from curing afterwards."
    if most_s == 0.0:
        return (
            f"Even after {SHORTEST_S:g} s {skin} at the end; the later segments do "
            "not cure it: look at their light, their time and what covers the coat."
        )
    return (
        f"After a longer tack too little initiator is left in the skin, and {skin} "
        "at the end."
    )
