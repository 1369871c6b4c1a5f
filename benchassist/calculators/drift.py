"""How a lamp or box drifts with use, and when its readings reach a floor."""

from typing import Annotated

from pydantic import Field

from benchassist.calculators.model import Answer, InputError, Model, about, finite
from benchassist.physics.drift import bound_at_floor_h, line_at_floor_h
from benchassist.physics.regression import fit_line

Hours = Annotated[float, Field(ge=0, le=1e6, description="h")]
Weight = Annotated[float, Field(ge=1e-6, le=1e6)]


class Input(Model):
    """Readings against hours of use; weights are inverse variances, 1 if not given.

    ``from_h`` is where the search for the floor begins, by default the last reading.
    """

    hours: Annotated[list[Hours], Field(min_length=3, max_length=10_000)]
    reading: Annotated[
        list[Annotated[float, Field(ge=-1e9, le=1e9)]], Field(max_length=10_000)
    ]
    weight: Annotated[list[Weight], Field(max_length=10_000)] | None = None
    at_h: Hours | None = None
    floor: Annotated[float, Field(ge=-1e9, le=1e9)] | None = None
    from_h: Hours | None = None
    new_weight: Weight = 1.0


class Output(Answer):
    """``hours_at_floor``: when the lower 95 % bound of a new reading meets the floor.

    ``line_at_floor_h``: when the fitted line does.
    """

    slope_per_h: float
    intercept: float
    residual_sd: float
    predicted: float | None = None
    predicted_low: float | None = None
    predicted_high: float | None = None
    hours_at_floor: float | None = None
    line_at_floor_h: float | None = None
    reason: str | None = None


def run(question: Input) -> Output:
    """Fit a straight line and look ahead along it."""
    hours = question.hours
    for field, values in (("reading", question.reading), ("weight", question.weight)):
        if values is not None and len(values) != len(hours):
            message = f"{len(hours)} hours but {len(values)} values of {field}."
            raise InputError(message, field=field)
    with about("hours"):
        line = fit_line(hours, question.reading, question.weight)
    at_floor = line_floor = predicted = half = None
    reason = None
    if question.at_h is not None:
        predicted = line.at(question.at_h)
        half = line.prediction_half_width(question.at_h, new_weight=question.new_weight)
    if question.floor is not None:
        start_h = max(hours) if question.from_h is None else question.from_h
        line_floor = line_at_floor_h(line, start_h=start_h, floor=question.floor)
        at_floor = bound_at_floor_h(
            line,
            start_h=start_h,
            floor=question.floor,
            new_weight=question.new_weight,
        )
        if finite(at_floor) is None:
            reason = "The readings never fall to the floor."
        elif finite(line_floor) is None:
            reason = "The fitted line never falls to the floor; its lower bound does."
    return Output(
        slope_per_h=line.slope,
        intercept=line.at(0.0),
        residual_sd=line.residual_sd,
        predicted=predicted,
        predicted_low=None if half is None else line.at(question.at_h or 0.0) - half,
        predicted_high=None if half is None else line.at(question.at_h or 0.0) + half,
        hours_at_floor=None if at_floor is None else finite(at_floor),
        line_at_floor_h=None if line_floor is None else finite(line_floor),
        reason=reason,
    )
