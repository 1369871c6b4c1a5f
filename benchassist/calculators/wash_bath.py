"""How much resin a wash bath holds after each part, and how many parts are left."""

from collections.abc import Iterator
from itertools import islice
from typing import Annotated

from pydantic import Field

from benchassist.calculators.model import Answer, Model, finite
from benchassist.physics import wash

MOST_PARTS = 20_000
MOSTLY_RESIN = 50.0  # [wt%]

# [wt%] of resin in an ethanol wash, from which conversion, hardness, trueness and
# cell viability were degraded: J Prosthet Dent, "Effects of postwashing with
# contaminated ethanol solutions on 3D printed materials" (abstract).
LIMIT_WT_PERCENT = 5.0

Millilitres = Annotated[float, Field(ge=0, le=1e5, description="mL")]


class Input(Model):
    """One bath or several in a row, and what each part brings and takes.

    ``resin_in_ml`` is the volume that the resin adds, by default its mass over its
    density. ``drag_out_ml`` leaves each bath with the part.
    """

    volumes_ml: Annotated[
        list[Annotated[float, Field(ge=10, le=1e5)]], Field(min_length=1, max_length=4)
    ]
    resin_in_g: Annotated[float, Field(ge=1e-6, le=1000)]
    resin_in_ml: Millilitres | None = None
    drag_out_ml: Annotated[float, Field(ge=0, le=10)] = 0.0
    limit_wt_percent: Annotated[float, Field(ge=0.1, le=50)] = LIMIT_WT_PERCENT
    solvent_g_cm3: Annotated[float, Field(ge=0.5, le=2)] = 0.785
    resin_g_cm3: Annotated[float, Field(ge=0.8, le=3)] = 1.1
    parts: Annotated[int, Field(ge=1, le=1000, description="parts to list")] = 50
    parts_done: Annotated[int, Field(ge=0, le=MOST_PARTS)] = 0


class Bath(Model):
    """One bath: its concentration after each part, and its count to the limit.

    ``parts_to_limit`` is the last part that still leaves the bath at or below it.
    """

    concentration_g_l: list[float]
    parts_to_limit: int | None
    now_wt_percent: float


class Output(Answer):
    """``parts_left`` is that of the bath that reaches the limit first; +-30 %."""

    baths: list[Bath]
    limit_g_l: float
    plateau_g_l: float | None
    parts_left: int | None
    reason: str | None = None


def run(question: Input) -> Output:
    """Follow the mass of resin from part to part."""
    densities = {
        "solvent_g_cm3": question.solvent_g_cm3,
        "resin_g_cm3": question.resin_g_cm3,
    }
    limit_g_l = wash.concentration_g_l(question.limit_wt_percent, **densities)
    plateau_g_l = wash.plateau_g_l(
        resin_in_g=question.resin_in_g, drag_out_ml=question.drag_out_ml
    )
    counts = wash.parts_to_limit(islice(_rows(question), MOST_PARTS), limit_g_l)
    reached = [count for count in counts if count is not None]
    followed = list(islice(_rows(question), max(question.parts, question.parts_done)))
    now = followed[question.parts_done - 1] if question.parts_done else ()
    return Output(
        baths=[
            Bath(
                concentration_g_l=[row[index] for row in followed[: question.parts]],
                parts_to_limit=count,
                now_wt_percent=wash.wt_percent(now[index], **densities) if now else 0.0,
            )
            for index, count in enumerate(counts)
        ],
        limit_g_l=limit_g_l,
        plateau_g_l=finite(plateau_g_l),
        parts_left=max(0, min(reached) - question.parts_done) if reached else None,
        reason=_full(question, followed)
        or _reason(plateau_g_l, limit_g_l, reached=bool(reached)),
    )


def _rows(question: Input) -> Iterator[tuple[float, ...]]:
    volume_in_ml = question.resin_in_ml
    if volume_in_ml is None:
        volume_in_ml = question.resin_in_g / question.resin_g_cm3
    return wash.bath_concentrations_g_l(
        volumes_ml=question.volumes_ml,
        resin_in_g=question.resin_in_g,
        volume_in_ml=volume_in_ml,
        drag_out_ml=question.drag_out_ml,
    )


def _full(question: Input, followed: list[tuple[float, ...]]) -> str | None:
    """Return that a bath would be more resin than solvent, which none is."""
    densities = {
        "solvent_g_cm3": question.solvent_g_cm3,
        "resin_g_cm3": question.resin_g_cm3,
    }
    for part, row in enumerate(followed, start=1):
        if wash.wt_percent(row[0], **densities) > MOSTLY_RESIN:
            return (
                f"After part {part} the first bath would be more resin than solvent: "
                "are resin_in_g and the volumes in grams and millilitres?"
            )
    return None


def _reason(plateau_g_l: float, limit_g_l: float, *, reached: bool) -> str | None:
    if plateau_g_l <= limit_g_l:
        return "The bath levels off below the limit; change it by its date."
    if not reached:
        return f"Not full after {MOST_PARTS} parts; change it by its date."
    if finite(plateau_g_l) is None:
        return "No drag-out: the bath rises without levelling off."
    return None
