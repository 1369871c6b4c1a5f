"""The latest start of every step that still makes the appointment, and the slack."""

from datetime import datetime, timedelta
from typing import Annotated

from pydantic import AwareDatetime, Field

from benchassist.calculators.model import Answer, InputError, Model

EARLIEST_YEAR = 1970


class Step(Model):
    """A step and its 80th-percentile time in this practice."""

    name: Annotated[str, Field(min_length=1, max_length=200)]
    minutes: Annotated[float, Field(ge=0, le=100_000)]


class Input(Model):
    """The steps still to do, in order, and when the part is due.

    Times are ISO 8601 with an offset. ``now`` is what slack is counted from.
    """

    steps: Annotated[list[Step], Field(min_length=1, max_length=500)]
    due: AwareDatetime
    now: AwareDatetime | None = None


class StepForecast(Model):
    """``slack_minutes`` is what is left before this step must have begun."""

    name: str
    minutes: float
    latest_start: datetime
    slack_minutes: float | None


class Output(Answer):
    """``start_now`` is the one thing to start: the first step, and how urgent it is.

    Slack at a later step counts the steps before it as done without a pause.
    """

    steps: list[StepForecast]
    total_minutes: float
    latest_start: datetime
    slack_minutes: float | None
    makes_it: bool | None
    start_now: str
    reason: str | None = None


def run(question: Input) -> Output:
    """Walk backwards from the due time."""
    if question.due.year < EARLIEST_YEAR:
        raise InputError("The due time lies too far back.", field="due")
    left = sum(step.minutes for step in question.steps)
    total = left
    slack = None
    if question.now is not None:
        until_due = (question.due - question.now).total_seconds() / 60.0
        slack = until_due - total
    steps = []
    for step in question.steps:
        steps.append(
            StepForecast(
                name=step.name,
                minutes=step.minutes,
                latest_start=question.due - timedelta(minutes=left),
                slack_minutes=slack,
            )
        )
        left -= step.minutes
    return Output(
        steps=steps,
        total_minutes=total,
        latest_start=steps[0].latest_start,
        slack_minutes=slack,
        makes_it=None if slack is None else slack >= 0.0,
        start_now=steps[0].name,
        reason=None if slack is not None else "Give now to know the slack.",
    )
