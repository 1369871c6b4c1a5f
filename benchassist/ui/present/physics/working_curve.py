"""The working curve of a lamp on a material: the practice's own, or an assumption."""

from __future__ import annotations

import math
import re

from benchassist.domain.events import WorkingCurveFitted
from benchassist.domain.layer import layer_light
from benchassist.domain.light import judge_lamp
from benchassist.domain.limits import limit
from benchassist.domain.state import Bench
from benchassist.physics.spectra import wavelength_grid
from benchassist.physics.working_curve import (
    WorkingCurve,
    cure_depth_um,
    fit_working_curve,
    penetration_depth_um,
)
from benchassist.sums.coat import mean_absorbance_per_cm
from benchassist.sums.subject import Subject, UnknownError
from benchassist.ui.present.physics.plot import (
    Dots,
    Line,
    Mark,
    Plot,
    Points,
    number,
    spread,
)
from benchassist.ui.words import say
from benchassist.value import value

Pairs = tuple[tuple[float, float], ...]
DRAWN = 60  # points of a drawn curve
MOST_E_FOLDS = 4.0  # of exposure that a curve nobody measured is shown over
GUESS = say("assumed from the initiators and the set exposure; type your own: key Tab")


@value
class InUse:
    """Dp in µm and Ec in effective mJ/cm², and whose they are."""

    dp_um: float
    ec_mj_cm2: float
    own: bool
    source: str


def in_use(bench: Bench, subject: Subject) -> InUse:
    """Return the curve in use: the practice's own fit once there is one.

    Without one Dp follows from the initiators alone, where this lamp acts on them,
    and Ec from the material's set exposure reaching through one coat.

    Raises
    ------
    UnknownError
        If what it rests on is not on file.
    """
    fitted = fitted_for(bench, subject)
    if fitted is not None:
        numbers = dict(fitted.numbers)
        source = say(
            "fitted here to {many} points: {record}",
            many=len(fitted.points),
            record=fitted.record,
        )
        return InUse(numbers["dp_um"], numbers["ec_mj_cm2"], own=True, source=source)
    layer = layer_light(bench, subject.lot)
    if layer is None:
        message = say(
            "What {lot} absorbs is not on file.", lot=subject.lot or say("this coat")
        )
        raise UnknownError(message)
    absorbance = mean_absorbance_per_cm(bench, subject, wavelength_grid())
    dp_um = penetration_depth_um(absorbance)
    ec = layer.set_j_cm2 * 1e3 * math.exp(-limit(bench, "coat_um") / dp_um)
    return InUse(dp_um, ec, own=False, source=GUESS)


def fitted_for(bench: Bench, subject: Subject) -> WorkingCurveFitted | None:
    """Return the practice's own fit for this lamp on this material, if any."""
    found = bench.lots.get(subject.lot)
    if found is None:
        return None
    return bench.working_curves.get((subject.lamp, found.material))


def reach(bench: Bench, subject: Subject, exposure_mj_cm2: float) -> list[str]:
    """Return a sentence on how deep an effective exposure cures."""
    try:
        curve = in_use(bench, subject)
    except UnknownError:
        return []
    depth = cure_depth_um(
        exposure_mj_cm2=exposure_mj_cm2, ec_mj_cm2=curve.ec_mj_cm2, dp_um=curve.dp_um
    )
    whose = say("your working curve") if curve.own else say("an assumed working curve")
    coat_um = limit(bench, "coat_um")
    if depth < coat_um:
        return [
            say(
                "There it cures {number} of {coat_um:g} µm, by {whose}.",
                number=number(depth),
                coat_um=coat_um,
                whose=whose,
            )
        ]
    return [
        say(
            "There it reaches through the coat of {coat_um:g} µm, by {whose}.",
            coat_um=coat_um,
            whose=whose,
        )
    ]


# --- entering and fitting ------------------------------------------------------


def parse_points(text: str) -> Pairs:
    """Return pairs of numbers typed as ``10 120; 20 190``.

    Raises
    ------
    UnknownError
        If something in it is no pair of numbers; the text says what.
    """
    found = []
    for piece in re.split(r"[;\n]", text):
        if not piece.strip():
            continue
        words = piece.replace(",", ".").split()
        try:
            x, y = map(float, words)
        except ValueError as error:
            message = say(
                "“{piece}” is no pair: type seconds, a space, µm.", piece=piece.strip()
            )
            raise UnknownError(message) from error
        if not (0 < x < math.inf and 0 <= y < math.inf):
            message = say(
                "“{piece}” cannot be: exposure above 0, thickness not below.",
                piece=piece.strip(),
            )
            raise UnknownError(message)
        found.append((x, y))
    return tuple(found)


def exposures(bench: Bench, subject: Subject, pairs: Pairs, unit: str) -> Pairs:
    """Return pairs in effective mJ/cm² and µm; ``unit`` is ``s`` or ``mJ/cm²``.

    Raises
    ------
    UnknownError
        If seconds are given and nobody knows what the lamp does to the layer.
    """
    if unit != "s":
        return pairs
    planned = subject.recipe.planned_tack_s
    answer = judge_lamp(bench, subject.lamp, subject.lot, planned)
    if not answer.effective_mw_cm2:
        message = say(
            "{lamp}: {reason}.",
            lamp=subject.lamp or say("No lamp"),
            reason=answer.reason,
        )
        raise UnknownError(message)
    return tuple((x * answer.effective_mw_cm2, y) for x, y in pairs)


@value
class CurveView:
    """A plot, sentences, and whether there is a fit that can be kept."""

    plot: Plot
    lines: tuple[str, ...]
    keepable: bool


def curve_view(bench: Bench, subject: Subject, points: Pairs) -> CurveView:
    """Return what is shown: the curve in use, the points typed, and their fit."""
    used = in_use(bench, subject)
    lines = [
        say(
            "In use: Dp {number} µm, Ec {ec}, {source}.",
            number=number(used.dp_um),
            ec=_ec(used),
            source=used.source,
        )
    ]
    fitted = fitted_for(bench, subject)
    if fitted is not None:
        lines.append(f"95 %: {_intervals(dict(fitted.numbers))}")
    shown = points or (fitted.points if fitted else ())
    cured = [(x, y) for x, y in shown if y > 0]
    drawn: list[Line] = []
    fit: WorkingCurve | None = None
    if points:
        try:
            fit = fit_working_curve([x for x, _ in cured], [y for _, y in cured])
        except ValueError as error:
            lines.append(str(error))
        else:
            lines.append(_fit_words(fit, len(cured)))
    top = max([limit(bench, "coat_um"), *(y for _, y in cured)]) * 1.3
    low, high = _range(cured, used, fit, top)
    if fit is not None:
        drawn.append(
            _drawn(say("fit to these points"), fit.dp_um, fit.ec_mj_cm2, low, high)
        )
    label = say("in use: your own") if used.own else say("in use: assumed")
    drawn.append(
        _drawn(label, used.dp_um, used.ec_mj_cm2, low, high, dashed=fit is not None)
    )
    dots = (Dots("measured", *_split(cured)),) if cured else ()
    plot = Plot(
        say("effective exposure, mJ/cm²"),
        say("thickness, µm"),
        (low, high),
        (0.0, top),
        lines=tuple(drawn),
        marks=(
            Mark(
                say("one coat"), y=limit(bench, "coat_um"), stroke="dotted", ink="quiet"
            ),
        ),
        dots=dots,
        log_x=True,
    )
    return CurveView(plot, tuple(lines), keepable=fit is not None)


def _ec(used: InUse) -> str:
    return say("{number} mJ/cm²", number=number(used.ec_mj_cm2))


def _fit_words(fit: WorkingCurve, count: int) -> str:
    dp, ec = fit.dp_interval_um, fit.ec_interval_mj_cm2
    if dp is None or ec is None:
        return say(
            "These {count} points: Dp {number} µm, Ec {number2} mJ/cm². Two "
            "points show no scatter; measure a third for intervals.",
            count=count,
            number=number(fit.dp_um),
            number2=number(fit.ec_mj_cm2),
        )
    told_dp = spread(dp.low, fit.dp_um, dp.high, unit=say("µm"))
    told_ec = spread(ec.low, fit.ec_mj_cm2, ec.high, unit=say("mJ/cm²"))
    return say(
        "These {count} points, with 95 %: Dp {told_dp}, Ec {told_ec}.",
        count=count,
        told_dp=told_dp,
        told_ec=told_ec,
    )


def _intervals(numbers: dict[str, float]) -> str:
    if "dp_um_low" not in numbers:
        return say("two points show no scatter.")
    dp = say(
        "Dp {number} to {number2} µm",
        number=number(numbers["dp_um_low"]),
        number2=number(numbers["dp_um_high"]),
    )
    high = numbers.get("ec_mj_cm2_high", math.inf)
    ec = say(
        "Ec {number} to {number2} mJ/cm²",
        number=number(numbers["ec_mj_cm2_low"]),
        number2=number(high),
    )
    return f"{dp}, {ec}."


def _split(points: list[tuple[float, float]]) -> tuple[Points, Points]:
    return tuple(x for x, _ in points), tuple(y for _, y in points)


def _range(
    cured: list[tuple[float, float]],
    used: InUse,
    fit: WorkingCurve | None,
    top_um: float,
) -> tuple[float, float]:
    """Return the exposures shown: those measured, else those up to the top."""
    if not cured:
        reach = math.exp(min(top_um / used.dp_um, MOST_E_FOLDS))
        return used.ec_mj_cm2 / reach, used.ec_mj_cm2 * reach**2
    known = [x for x, _ in cured]
    if fit is not None:
        known.append(max(fit.ec_mj_cm2, min(known) / 30))
    return min(known) / 1.5, max(known) * 1.5


def _drawn(
    label: str,
    dp_um: float,
    ec_mj_cm2: float,
    low: float,
    high: float,
    *,
    dashed: bool = False,
) -> Line:
    step = (high / low) ** (1 / (DRAWN - 1))
    x = tuple(low * step**n for n in range(DRAWN))
    y = tuple(
        cure_depth_um(exposure_mj_cm2=each, ec_mj_cm2=ec_mj_cm2, dp_um=dp_um)
        for each in x
    )
    if dashed:
        return Line(label, x, y, "dashed", "measured")
    return Line(label, x, y)
