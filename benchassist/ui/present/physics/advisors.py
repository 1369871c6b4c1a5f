"""What a stage asks before it begins: vessel, float, bubble, bath, drying, purge.

Each advisor is a line in a table: its fields, filled from the part where that is
known, and a calculator that answers. Sizes by class of item are estimates, and said
to be: nothing an advisor finds is shown as good, only what to beware of has a colour.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from pydantic import ValidationError

from benchassist.calculators import bubble, drying, purge, vessel, wash_bath
from benchassist.calculators import float as float_
from benchassist.calculators.model import InputError
from benchassist.calculators.plausible import unlikely
from benchassist.clock import MS
from benchassist.domain.box_light import judge_box
from benchassist.domain.gates.box_light import second_half
from benchassist.domain.library import Box, Vessel
from benchassist.domain.limits import limit
from benchassist.domain.nitrogen import SKIN_PERCENT
from benchassist.domain.size import size_of
from benchassist.domain.state import Bench, Part
from benchassist.domain.words import clock
from benchassist.physics.purge import oxygen_left_percent
from benchassist.sums.subject import UnknownError, typed_number
from benchassist.ui.present.physics.plot import number
from benchassist.ui.view import Field, Tone
from benchassist.ui.words import say
from benchassist.value import value

ESTIMATE = say("Size and density of this class of item are estimates: type your own.")
WET_FILM_UM = 30.0  # of alcohol left on a part; common practice, no source

Values = dict[str, float]


@value
class Advice:
    """An advisor's answer: one word, one line, and what it rests on."""

    word: str
    tone: Tone
    line: str
    more: tuple[str, ...] = ()


@value
class Advisor:
    """An advisor for the part at hand, with its fields filled in."""

    name: str
    title: str
    fields: tuple[Field, ...]
    answer: Callable[[Values], Advice]


# Which advisors a stage asks first.
BY_STAGE: dict[str, tuple[str, ...]] = {
    "wash": ("bath",),
    "dry": ("drying",),
    "box": ("drying", "vessel"),
    "submerge": ("vessel", "float", "bubble"),
    "purge": ("purge",),
}
ALL = ("vessel", "float", "bubble", "bath", "drying", "purge")


def advisors(bench: Bench, part: Part | None) -> tuple[Advisor, ...]:
    """Return all advisors, those that the part's stage needs first."""
    first = BY_STAGE.get(part.stage.kind, ()) if part and part.route else ()
    names = (*first, *(name for name in ALL if name not in first))
    return tuple(_MAKERS[name](bench, part) for name in names)


def typed(advisor: Advisor, values: dict[str, str]) -> Advice:
    """Return the answer to what was typed, or one sentence on what is wrong."""
    found: Values = {}
    for field in advisor.fields:
        try:
            told = values.get(field.name, field.value)
            found[field.name] = typed_number(field.label, told)
        except UnknownError as error:
            return Advice("", "stop", str(error))
    try:
        return _doubted(advisor, found, advisor.answer(found))
    except InputError as error:
        return Advice("", "stop", error.message)
    except ValidationError as error:
        return Advice("", "stop", _told(advisor, error))


def _doubted(advisor: Advisor, values: Values, advice: Advice) -> Advice:
    """Return an answer with what was typed in the wrong unit by all likelihood."""
    slips = [
        f"{field.label}: {told}"
        for field in advisor.fields
        if (told := unlikely(field.name, values[field.name]))
    ]
    if not slips:
        return advice
    return replace(advice, tone="attention", more=(*slips, *advice.more))


def _told(advisor: Advisor, error: ValidationError) -> str:
    fault = error.errors()[0]
    name = str(fault["loc"][-1]) if fault["loc"] else ""
    label = next(
        (f.label for f in advisor.fields if f.name == name), name or say("Value")
    )
    return f"{label}: {fault['msg'][0].lower()}{fault['msg'][1:]}."


def _number(name: str, label: str, usual: float) -> Field:
    return Field(name, label, "number", f"{usual:g}")


def _glycerine(values: Values) -> dict[str, float]:
    return {"wt_percent": values["wt_percent"], "celsius": values["celsius"]}


def _glycerine_fields(bench: Bench) -> tuple[Field, ...]:
    return (
        _number("wt_percent", say("Glycerine, %"), limit(bench, "glycerine_percent")),
        _number("celsius", say("At, °C"), limit(bench, "room_celsius")),
    )


# --- vessel --------------------------------------------------------------------


def _vessel(bench: Bench, part: Part | None) -> Advisor:
    size = size_of(bench, part)
    measured = bench.vessel_sizes.get(part.vessel) if part else None
    dish: Vessel | None = bench.vessels.get(part.vessel) if part else None
    box: Box | None = bench.boxes.get(part.box) if part else None

    def answer(values: Values) -> Advice:
        found = vessel.run(
            vessel.Input.model_validate({"heights": values | {"hold_down_cm3": 0.0}})
        )
        lines = [
            (
                say(
                    "Needs {number} mm: 3 under it, 5 over it, 5 to the rim.",
                    number=number(found.needed_height_mm or 0, 3),
                )
            ),
            say(
                "The part lifts the level by {number} mm.",
                number=number(found.level_rise_mm or 0),
            ),
            *_transmission(bench, part),
            *(() if size.measured else (ESTIMATE,)),
        ]
        where = say(
            "Fill to {number} mm before it goes in.",
            number=number(found.fill_before_mm or 0, 3),
        )
        if found.fits:
            return Advice(say("FITS"), "plain", where, tuple(lines))
        what = say("the vessel") if not found.fits_vessel else say("the chamber")
        return Advice(
            say("TOO HIGH"),
            "stop",
            say("It does not fit {what}.", what=what),
            tuple(lines),
        )

    title = say("Vessel {code}", code=dish.code) if dish else say("Vessel")
    fields = (
        _number("part_mm", say("Part, height mm"), round(size.height_mm, 1)),
        _number("part_cm3", say("Part, cm³"), round(size.volume_cm3, 3)),
        _number(
            "vessel_mm", say("Vessel, height mm"), dish.height_mm if dish else 60.0
        ),
        _number(
            "floor_mm", say("Its floor, mm"), measured.floor_mm if measured else 3.0
        ),
        _number(
            "vessel_area_cm2",
            say("Inside, cm²"),
            measured.inside_cm2 if measured else 80.0,
        ),
        _number(
            "chamber_mm", say("Chamber, mm"), box.chamber_height_mm if box else 90.0
        ),
    )
    return Advisor("vessel", title, fields, answer)


def _transmission(bench: Bench, part: Part | None) -> list[str]:
    """Return what the part's own vessel does to the light, and to the count."""
    if part is None or not part.coat_lot or part.box not in bench.boxes:
        return []
    count = second_half(part)
    through = judge_box(bench, part, part.coat_lot, count).through
    dish = bench.vessels.get(part.vessel)
    if dish is None or dish.curve not in bench.curves:
        return [say("Its wall was never measured: what it lets through is not known.")]
    if not count or not through:
        return [say("{through:.0%} of the useful light goes through.", through=through)]
    step = bench.boxes[part.box].rule.step or 1
    raised = vessel.run(
        vessel.Input.model_validate(
            {
                "effective_transmittance": through,
                "count": {"total": count, "step": step},
            }
        )
    ).needed_count
    return [
        (
            say(
                "{through:.0%} of the useful light goes through: {count} would be "
                "{raised}. Raising a count needs your own validation.",
                through=through,
                count=count,
                raised=raised,
            )
        )
    ]


# --- float and bubble ----------------------------------------------------------


def _float(bench: Bench, part: Part | None) -> Advisor:
    size = size_of(bench, part)

    def answer(values: Values) -> Advice:
        found = float_.run(
            float_.Input.model_validate(
                {
                    "volume_cm3": values["volume_cm3"],
                    "density_g_cm3": values["density_g_cm3"],
                    "trapped_air_cm3": values["trapped_air_cm3"],
                    "glycerine": _glycerine(values),
                }
            )
        )
        more = [found.where_to_hold, found.orientation, f"±20 %. {ESTIMATE}"]
        if found.verdict == "floats":
            line = say(
                "{number} gf upwards: hold it with {number2} g of steel or more.",
                number=number(found.net_gf),
                number2=number(found.hold_down_g),
            )
            return Advice(say("FLOATS"), "attention", line, tuple(more))
        line = say(
            "But {number} cm³ of trapped air, a {number2} mm bubble, floats "
            "it: fill the hollow.",
            number=number(found.air_to_float_cm3),
            number2=number(found.bubble_to_float_mm),
        )
        return Advice(say("SINKS"), "plain", line, tuple(more))

    fields = (
        _number("volume_cm3", say("Part, cm³"), round(size.volume_cm3, 3)),
        _number("density_g_cm3", say("Its density, g/cm³"), size.density_g_cm3),
        _number("trapped_air_cm3", say("Trapped air, cm³"), 0.0),
        *_glycerine_fields(bench),
    )
    return Advisor("float", say("Float and hold-down"), fields, answer)


def _bubble(bench: Bench, part: Part | None) -> Advisor:
    del part

    def answer(values: Values) -> Advice:
        found = bubble.run(
            bubble.Input.model_validate(
                {
                    "diameter_mm": values["diameter_mm"],
                    "depth_mm": values["depth_mm"],
                    "glycerine": _glycerine(values),
                }
            )
        )
        told = say("On the coat it is an oxygen spot: brush it off below the surface.")
        wait = found.advice != "brush off"
        return Advice(
            say("WAIT {clock}", clock=clock(found.rise_s * MS))
            if wait
            else say("BRUSH OFF"),
            "plain" if wait else "attention",
            found.why,
            (told, *([found.reason] if found.reason else [])),
        )

    fields = (
        _number("diameter_mm", say("Smallest bubble, mm"), 0.3),
        _number("depth_mm", say("Depth, mm"), 30.0),
        *_glycerine_fields(bench),
    )
    return Advisor("bubble", say("Bubbles"), fields, answer)


# --- wash and drying -----------------------------------------------------------


def _bath(bench: Bench, part: Part | None) -> Advisor:
    carried = size_of(bench, part).carried_g

    def answer(values: Values) -> Advice:
        found = wash_bath.run(
            wash_bath.Input.model_validate(
                {
                    "volumes_ml": [values["volume_ml"]],
                    "resin_in_g": values["resin_in_g"],
                    "limit_wt_percent": values["limit_wt_percent"],
                    "parts_done": round(values["parts_done"]),
                    "parts": max(1, min(1000, round(values["parts_done"]))),
                }
            )
        )
        now = found.baths[0].now_wt_percent
        left = found.parts_left
        more = (
            say("±30 %. Water in the alcohol shifts a hydrometer the same way."),
            say("Change it by its date as well."),
            ESTIMATE,
        )
        if left is None:
            return Advice(say("BY DATE"), "plain", found.reason or "", more)
        line = say(
            "{number} % by mass now; about {left} such parts left.",
            number=number(now),
            left=left,
        )
        if left <= 0:
            return Advice(say("SPENT"), "stop", line, more)
        return Advice(
            say("{left} PARTS LEFT", left=left),
            "plain" if left > 5 else "attention",  # noqa: PLR2004 - a morning's parts
            line,
            more,
        )

    fields = (
        _number("volume_ml", say("Bath, mL"), 1000.0),
        _number("resin_in_g", say("Resin a part brings, g"), round(carried, 3)),
        _number("parts_done", say("Parts so far"), 0.0),
        _number(
            "limit_wt_percent", say("Limit, % by mass"), wash_bath.LIMIT_WT_PERCENT
        ),
    )
    return Advisor("bath", say("Wash bath"), fields, answer)


def _drying(bench: Bench, part: Part | None) -> Advisor:
    area = round(size_of(bench, part).area_cm2, 1)

    def answer(values: Values) -> Advice:
        found = drying.run(drying.Input.model_validate(values))
        share = found.fraction_of_lower_explosive_limit
        line = say(
            "{number} mL left on it would make {share:.0%} of what can burn.",
            number=number(found.liquid_ml),
            share=share,
        )
        more = (
            (
                say(
                    "{number} mL in this chamber is the lower explosive limit; near "
                    "the part it is richer.",
                    number=number(found.liquid_at_limit_ml),
                )
            ),
            found.advice,
            say("No gate passes by this sum: the drying gate stands."),
            ESTIMATE,
        )
        tone: Tone = "stop" if share >= 0.25 else "attention"  # noqa: PLR2004 - a quarter, as ventilation alarms are set; common practice
        return Advice(f"{share:.0%}", tone, line, more)

    fields = (
        _number("area_cm2", say("Wet area, cm²"), area),
        _number("film_um", say("Film left, µm"), WET_FILM_UM),
        _number("chamber_l", say("Chamber, L"), 5.0),
    )
    return Advisor("drying", say("Drying before the box"), fields, answer)


def _purge(bench: Bench, part: Part | None) -> Advisor:
    """Return how long to flush, and what the recipe's own time leaves."""
    recipe = bench.recipe_of(part) if part is not None else None

    def answer(values: Values) -> Advice:
        found = purge.run(purge.Input.model_validate(values))
        left = ""
        if found_s := recipe.purge_s if recipe is not None else 0:
            percent = oxygen_left_percent(
                chamber_l=values["chamber_l"],
                flow_l_min=values["flow_l_min"],
                seconds=found_s,
            )
            left = say(
                "The recipe's {clock} leave {percent:.2g} % oxygen.",
                clock=clock(found_s * MS),
                percent=percent,
            )
        more = (
            *([left] if left else []),
            say(
                "Well mixed; dead corners take longer. Keep the flow on while it "
                "flashes."
            ),
            say("Nitrogen in a closed room suffocates unnoticed: ventilate."),
        )
        line = say("Then flashes may start, with the flow kept on.")
        return Advice(
            say("PURGE {clock}", clock=clock(found.s * MS)), "plain", line, more
        )

    fields = (
        _number("chamber_l", say("Chamber, L"), limit(bench, "chamber_l") or 10.0),
        _number(
            "flow_l_min", say("Flow, L/min"), limit(bench, "nitrogen_l_min") or 5.0
        ),
        _number("target_percent", say("Oxygen wanted, %"), SKIN_PERCENT),
    )
    return Advisor("purge", say("Nitrogen"), fields, answer)


_MAKERS: dict[str, Callable[[Any, Any], Advisor]] = {
    "vessel": _vessel,
    "float": _float,
    "bubble": _bubble,
    "bath": _bath,
    "drying": _drying,
    "purge": _purge,
}
