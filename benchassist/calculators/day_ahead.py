"""Which promises of a day hold, what to put back, and until when that still helps."""

from typing import Annotated, Literal

from pydantic import Field, model_validator

from benchassist.calculators.model import Answer, InputError, Model, Share, about
from benchassist.clock import MINUTE_MS, MS
from benchassist.domain.day_ahead import Rules, answer
from benchassist.domain.day_chance import sigma_of
from benchassist.domain.day_play import Leg, Way
from benchassist.domain.order import BACK, FIRST

Minutes = Annotated[float, Field(ge=0, le=10_000)]
Name = Annotated[str, Field(max_length=200)]
MOST_MINUTES = 20_000
MOST_SPREAD = 1000  # 80th percentile over median; a guess, no hands are so uneven


class Step(Model):
    """One stage ahead, in minutes.

    ``hands`` is work by hand with its median and 80th percentile, ``coat`` a row of
    patches that are never broken off, ``alone`` needs nobody. A ``place`` (box or bath)
    is taken with ``minutes`` of hands, runs ``alone_minutes`` and no longer than
    ``most_minutes``, and is left with ``ends_minutes``. ``tacked``: the coat before it
    lies in the open meanwhile.
    """

    name: Annotated[str, Field(min_length=1, max_length=200)]
    mode: Literal["hands", "coat", "alone", "place"] = "hands"
    minutes: Minutes = 0.0
    minutes_80: Minutes | None = None
    patches: Annotated[list[Minutes], Field(max_length=200, default_factory=list)]
    alone_minutes: Minutes = 0.0
    most_minutes: Minutes = 0.0
    ends_minutes: Minutes = 0.0
    place: Name = ""
    load: Name = ""
    vessel: Name = ""
    tacked: bool = False

    @model_validator(mode="after")
    def _whole(self) -> "Step":
        if self.mode == "coat" and not any(self.patches):
            msg = "A coat names its patches, in minutes"
            raise ValueError(msg)
        if self.mode == "place" and not self.place:
            msg = "A place has a name: the box or the bath"
            raise ValueError(msg)
        return self


class Part(Model):
    """A part: its steps in order, when it is due from now, with whom it goes in."""

    code: Annotated[str, Field(min_length=1, max_length=200)]
    steps: Annotated[list[Step], Field(max_length=200)]
    due_minutes: Annotated[float, Field(ge=-10_000, le=10_000)] | None = None
    basket: Name = ""
    begun: bool = False
    arrives_minutes: Minutes = 0.0
    wish: Literal["first", "as due", "back", "not today"] = "as due"


class Input(Model):
    """The parts of a day, the pairs of hands, and what is kept for what comes."""

    parts: Annotated[list[Part], Field(min_length=1, max_length=60)]
    hands: Annotated[int, Field(ge=1, le=6)] = 1
    calls_per_h: Annotated[float, Field(ge=0, le=60)] = 0.0
    call_s: Annotated[float, Field(ge=0, le=3600)] = 0.0
    reserve_minutes: Minutes = 0.0
    seed: Name = ""


class PartAhead(Model):
    """One part: its chance, and when it is done, in minutes from now."""

    code: str
    due_minutes: float | None
    chance: Share
    verdict: Literal["holds", "open", "will not"]
    done_minutes_median: float
    done_minutes_80: float


class PutBack(Model):
    """Left to the end until that moment, it saves promises; whose the most."""

    code: str
    saves: str
    promises_gained: float
    until_minutes: float


class Output(Answer):
    """Forty played days; the same question has the same answer."""

    holding: int
    promised: int
    parts: list[PartAhead]
    put_back: PutBack | None
    reason: str | None = None


def run(question: Input) -> Output:
    """Play the day."""
    codes = [part.code for part in question.parts]
    if len(set(codes)) < len(codes):
        raise InputError("Two parts have the same code.", field="parts")
    found = answer(tuple(map(_way, question.parts)), _rules(question))
    if any(each.eighty_ms > MOST_MINUTES * MINUTE_MS for each in found.promises):
        raise InputError(
            "The work does not fit into the day: too few hands.", field="parts"
        )
    back = found.back
    return Output(
        holding=found.holding,
        promised=len(found.promised),
        parts=[
            PartAhead(
                code=each.code,
                due_minutes=None if each.due_ms is None else each.due_ms / MINUTE_MS,
                chance=each.chance,
                verdict=each.verdict,
                done_minutes_median=each.median_ms / MINUTE_MS,
                done_minutes_80=each.eighty_ms / MINUTE_MS,
            )
            for each in found.promises
        ],
        put_back=None
        if back is None
        else PutBack(
            code=back.code,
            saves=back.saves,
            promises_gained=back.gain,
            until_minutes=back.until_ms / MINUTE_MS,
        ),
        reason=None
        if back
        else "Putting one part off would save less than half a promise.",
    )


def _rules(question: Input) -> Rules:
    ranks = {"first": FIRST, "back": BACK, "not today": BACK}
    return Rules(
        seed=question.seed,
        hands=question.hands,
        calls_per_h=question.calls_per_h,
        call_ms=round(question.call_s * MS),
        reserve_ms=_ms(question.reserve_minutes),
        said=tuple(
            (part.code, ranks[part.wish])
            for part in question.parts
            if part.wish != "as due"
        ),
        not_today=tuple(
            part.code for part in question.parts if part.wish == "not today"
        ),
    )


def _way(part: Part) -> Way:
    return Way(
        code=part.code,
        legs=tuple(_leg(step, n) for n, step in enumerate(part.steps)),
        due_ms=None if part.due_minutes is None else _ms(part.due_minutes),
        basket=part.basket,
        begun=part.begun,
        arrives_ms=_ms(part.arrives_minutes),
    )


def _leg(step: Step, n: int) -> Leg:
    eighty = step.minutes_80
    with about(f"steps.{n}.minutes_80"):
        sigma = 0.0 if eighty is None else sigma_of(step.minutes, eighty)
        if eighty is not None and eighty > MOST_SPREAD * step.minutes:
            msg = f"minutes_80 can be {MOST_SPREAD} times the minutes at the most."
            raise ValueError(msg)
    return Leg(
        key=f"{n} {step.name}",
        mode=step.mode,
        hands_ms=_ms(step.minutes) if step.mode != "coat" else 0,
        sigma=sigma if step.mode == "hands" else 0.0,
        pieces=tuple(max(1, _ms(each)) for each in step.patches if each > 0),
        alone_ms=_ms(step.alone_minutes),
        most_ms=_ms(step.most_minutes),
        ends_ms=_ms(step.ends_minutes),
        place=step.place,
        load=step.load,
        vessel=step.vessel,
        tacked=step.tacked,
    )


def _ms(minutes: float) -> int:
    return round(minutes * MINUTE_MS)
