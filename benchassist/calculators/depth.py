"""Cure depth from a working curve, or a working curve from measured depths."""

from typing import Annotated

from pydantic import AfterValidator, Field

from benchassist.calculators.model import Answer, InputError, Model, about, finite
from benchassist.physics import working_curve

Exposure = Annotated[float, Field(ge=1e-6, le=1e7, description="mJ/cm2")]
STRAIGHT = 10.0  # times Ec, to which the curve is taken as straight; common practice
LEAST_DP_UM = 1.0  # a hundredth of a resin printed in thin layers; our choice
Depth = Annotated[float, Field(ge=0, le=1e5, description="um")]


def _um(value: float) -> float:
    if value < LEAST_DP_UM:
        message = (
            f"no resin takes its light up within {LEAST_DP_UM:g} um: did you type "
            "millimetres? 0.175 mm is 175 um"
        )
        raise ValueError(message)
    return value


class Input(Model):
    """Either exposure, Ec and Dp, or ``measured`` pairs of exposure and thickness."""

    exposure_mj_cm2: Annotated[float, Field(ge=0, le=1e7)] | None = None
    ec_mj_cm2: Exposure | None = None
    dp_um: Annotated[float, Field(ge=1e-6, le=1e5), AfterValidator(_um)] | None = None
    measured: (
        Annotated[
            list[tuple[Exposure, Depth]],
            Field(min_length=2, max_length=1000, description="[mJ/cm2, um]"),
        ]
        | None
    ) = None


class Output(Answer):
    """Intervals are 95 %, each [low, high]; null ends are not bounded."""

    cd_um: float | None = None
    dp_um: float
    ec_mj_cm2: float
    dp_95_um: tuple[float, float] | None = None
    ec_95_mj_cm2: tuple[float, float | None] | None = None
    points_used: int | None = None
    reason: str | None = None


def run(question: Input) -> Output:
    """Return the depth for given constants, or fit them, or both."""
    if question.measured is None:
        return _depth(question)
    if question.ec_mj_cm2 is not None or question.dp_um is not None:
        raise InputError(
            "Give either measured points or Ec and Dp, not both.", field="measured"
        )
    # What did not cure lies below Ec and says nothing about the slope.
    cured = [point for point in question.measured if point[1] > 0.0]
    with about("measured"):
        fit = working_curve.fit_working_curve(
            [point[0] for point in cured], [point[1] for point in cured]
        )
    dp_interval, ec_interval = fit.dp_interval_um, fit.ec_interval_mj_cm2
    reason = None
    if dp_interval is None or ec_interval is None:
        reason = "Two points leave no scatter to judge; measure a third for intervals."
    elif finite(ec_interval.high) is None:
        reason = "The points scatter too much to bound Ec from above."
    return Output(
        cd_um=None
        if question.exposure_mj_cm2 is None
        else working_curve.cure_depth_um(
            exposure_mj_cm2=question.exposure_mj_cm2,
            ec_mj_cm2=fit.ec_mj_cm2,
            dp_um=fit.dp_um,
        ),
        dp_um=fit.dp_um,
        ec_mj_cm2=fit.ec_mj_cm2,
        dp_95_um=(dp_interval.low, dp_interval.high) if dp_interval else None,
        ec_95_mj_cm2=(ec_interval.low, finite(ec_interval.high))
        if ec_interval
        else None,
        points_used=len(cured),
        reason=" ".join(filter(None, (reason, _past(question, fit.ec_mj_cm2)))) or None,
    )


def _depth(question: Input) -> Output:
    exposure, ec, dp = question.exposure_mj_cm2, question.ec_mj_cm2, question.dp_um
    if exposure is None or ec is None or dp is None:
        missing = next(
            name
            for name in ("exposure_mj_cm2", "ec_mj_cm2", "dp_um")
            if getattr(question, name) is None
        )
        raise InputError(
            "Give exposure_mj_cm2, ec_mj_cm2 and dp_um, or measured points.",
            field=missing,
        )
    return Output(
        cd_um=working_curve.cure_depth_um(
            exposure_mj_cm2=exposure, ec_mj_cm2=ec, dp_um=dp
        ),
        dp_um=dp,
        ec_mj_cm2=ec,
        reason=_past(question, ec),
    )


def _past(question: Input, ec_mj_cm2: float) -> str | None:
    """Return that an exposure lies far past where the curve is straight."""
    exposure = question.exposure_mj_cm2
    if exposure is None or exposure <= STRAIGHT * ec_mj_cm2:
        return None
    return (
        f"The curve is straight to about {STRAIGHT:g} times Ec, and this is "
        f"{exposure / ec_mj_cm2:.3g} times: the depth is an upper estimate. Are "
        "exposure and Ec both in mJ/cm2?"
    )
