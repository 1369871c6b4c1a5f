"""Light through a vessel, the count that makes up for it, and room for the part."""

from typing import Annotated

from pydantic import Field

from benchassist.calculators.model import Answer, InputError, Model, Share, about
from benchassist.physics import vessel

Index = Annotated[float, Field(ge=1, le=4)]
Millimetres = Annotated[float, Field(ge=0, le=1000, description="mm")]


class Heights(Model):
    """Vessel, part and chamber; heights in mm, volumes in cm3."""

    vessel_mm: Millimetres
    floor_mm: Millimetres
    part_mm: Millimetres
    chamber_mm: Millimetres
    vessel_area_cm2: Annotated[float, Field(ge=0.1, le=1e4)]
    part_cm3: Annotated[float, Field(ge=0, le=1000)]
    hold_down_cm3: Annotated[float, Field(ge=0, le=1000)] = 0.0


class Count(Model):
    """A count to be raised for the light that the vessel takes."""

    total: Annotated[int, Field(ge=1, le=1_000_000)]
    step: Annotated[int, Field(ge=1, le=1_000_000)] = 1


class Input(Model):
    """A stack of media, a vessel to be filled, or both.

    ``indices`` run from outside to the part; ``internal_transmittance`` holds one
    share for each layer between the first and the last. ``effective_transmittance``,
    if measured, takes the stack's place for the count.
    """

    indices: Annotated[list[Index], Field(min_length=2, max_length=20)] | None = None
    internal_transmittance: Annotated[list[Share], Field(max_length=18)] | None = None
    effective_transmittance: Annotated[float, Field(ge=1e-6, le=1)] | None = None
    count: Count | None = None
    heights: Heights | None = None


class Output(Answer):
    """``needed_count`` is a sum, not a permission: raising it needs validation.

    ``fill_before_mm`` is measured from the vessel's inner floor.
    """

    single_pass: float | None = None
    with_reflections: float | None = None
    needed_count: int | None = None
    fits: bool | None = None
    needed_height_mm: float | None = None
    fits_vessel: bool | None = None
    fits_chamber: bool | None = None
    fill_before_mm: float | None = None
    level_with_part_mm: float | None = None
    level_rise_mm: float | None = None
    reason: str | None = None


def run(question: Input) -> Output:
    """Answer what the input holds: the stack, the count, the room."""
    if question.indices is None and question.internal_transmittance is not None:
        raise InputError("Internal transmittances need indices.", field="indices")
    answer: dict[str, float | int | bool | str | None] = {}
    transmittance = question.effective_transmittance
    if question.indices is not None:
        with about("internal_transmittance"):
            passed = vessel.stack_transmission(
                question.indices, question.internal_transmittance or []
            )
        answer.update(passed._asdict())
        transmittance = transmittance or passed.with_reflections
    if question.count is not None:
        if transmittance is None:
            raise InputError(
                "A count needs indices or a measured effective_transmittance.",
                field="effective_transmittance",
            )
        answer |= _counted(question.count, transmittance)
    if question.heights is not None:
        _check(question.heights)
        fit = vessel.fit(**question.heights.model_dump())._asdict()
        answer |= {
            "fits": fit["fits_vessel"] and fit["fits_chamber"],
            "needed_height_mm": fit.pop("needed_mm"),
            **fit,
        }
    if not answer:
        raise InputError("Give indices, heights or a count.", field="indices")
    return Output.model_validate(answer)


def _check(heights: Heights) -> None:
    """Refuse a vessel without room, and a part that cannot lie in it by its volume."""
    inside_mm = heights.vessel_mm - heights.floor_mm
    if inside_mm <= 0.0:
        raise InputError(
            "The vessel's floor is as thick as the vessel is high.",
            field="heights.floor_mm",
            given=heights.floor_mm,
        )
    held_cm3 = heights.part_cm3 + heights.hold_down_cm3
    room_cm3 = heights.vessel_area_cm2 * inside_mm / 10.0
    if held_cm3 > room_cm3:
        message = (
            f"{held_cm3:g} cm3 do not fit a vessel of {room_cm3:.3g} cm3: did you type "
            "mm3, or the vessel's area in mm2? Type cm3 and cm2."
        )
        raise InputError(message, field="heights.part_cm3", given=heights.part_cm3)
    box_cm3 = heights.vessel_area_cm2 * heights.part_mm / 10.0
    if heights.part_cm3 > box_cm3:
        message = (
            f"A part {heights.part_mm:g} mm high in this vessel is at most "
            f"{box_cm3:.3g} cm3, not {heights.part_cm3:g}: did you type centimetres? "
            "Type millimetres."
        )
        raise InputError(message, field="heights.part_mm", given=heights.part_mm)


def _counted(count: Count, transmittance: float) -> dict[str, int | str]:
    # Below a thousandth nothing sensible is left to count.
    if transmittance < 1e-3:  # noqa: PLR2004
        return {"reason": "The vessel lets practically no light through."}
    needed = vessel.raised_count(
        count.total, transmittance=transmittance, step=count.step
    )
    return {"needed_count": needed}
