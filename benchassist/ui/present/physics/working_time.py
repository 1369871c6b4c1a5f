"""Wet resin under room light: smear tests, open dishes and how long they last."""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain import working_time
from benchassist.domain.commands import ChangeDish, RecordSmear
from benchassist.domain.state import Bench, Dish
from benchassist.domain.words import clock
from benchassist.sums.subject import typed_number
from benchassist.ui.present.physics.plot import number
from benchassist.ui.view import Field, Tone
from benchassist.ui.words import say
from benchassist.value import value

# The budget of camphorquinone composites, 1296 klx·s both times: Lane, Watts and
# Wilson 1998, Dent Mater 14:353-357 (abstract read). Only a shape for other resins.
PUBLISHED = say(
    "Camphorquinone composites stood 1296 klx·s in one study; for your "
    "resin that is only a shape. Put a drop on glass, drag it every 60 "
    "s, type when it drags."
)


@value
class DishRow:
    """One dish: its lot, how it stands, and the time left."""

    lot: str
    covered: bool
    state: str
    left: str
    tone: Tone


@value
class RoomView:
    """Dishes, the smear tests on file, and what to do next."""

    dishes: tuple[DishRow, ...]
    smears: tuple[str, ...]
    note: str


def room_view(bench: Bench, now: Instant) -> RoomView:
    """Return all dishes as they are now."""
    smears = tuple(
        (
            say(
                "{material} under {light}: dragged after {clock} at {number} klx, "
                "a budget of {budget_klx_s:.0f} klx·s (±30 %)",
                material=each.material,
                light=each.light,
                clock=clock(each.seconds * 1000),
                number=number(each.klx),
                budget_klx_s=working_time.budget_klx_s(each),
            )
        )
        for each in bench.smears.values()
    )
    rows = tuple(_row(bench, dish, now) for dish in bench.dishes.values())
    return RoomView(rows, smears, PUBLISHED if not smears else "")


def _row(bench: Bench, dish: Dish, now: Instant) -> DishRow:
    left = working_time.left_ms(bench, dish, now)
    light = say("{light}, {number} klx", light=dish.light, number=number(dish.klx))
    covered = not dish.since
    state = (
        say("covered (was under {light})", light=light)
        if covered
        else say("open, {light}", light=light)
    )
    if left is None:
        told = say("no smear test of it yet")
        return DishRow(dish.lot, covered, state, told, "attention")
    smear = working_time.smear_of(bench, dish.lot, dish.light)
    budget = working_time.budget_klx_s(smear) if smear else 1.0
    if left <= 0:
        told = say("used up: throw it away")
        return DishRow(dish.lot, covered, state, told, "stop")
    # The budget is known to 30 %; its early end is what is acted on.
    early = int(left - working_time.SPREAD * budget / dish.klx * 1000)
    if early <= 0:
        told = say("{clock} at most, may drag now", clock=clock(left))
        return DishRow(dish.lot, covered, state, told, "attention")
    told = say("{clock} to {clock2} left", clock=clock(early), clock2=clock(left))
    return DishRow(dish.lot, covered, state, told, "plain")


def smear_fields(bench: Bench, light: str, klx: str) -> tuple[Field, ...]:
    """Return the fields of a smear test."""
    materials = tuple(
        (code, f"{code}  {m.title}") for code, m in bench.materials.items()
    )
    return (
        Field(
            "material", say("Material"), "choice", choices=materials or (("", "none"),)
        ),
        Field("light", say("Kind of light"), "text", light),
        Field("klx", say("At the resin, klx"), "number", klx),
        Field("minutes", say("Dragged after, min"), "number", ""),
    )


def dish_fields(bench: Bench, light: str, klx: str) -> tuple[Field, ...]:
    """Return the fields with which a dish is opened."""
    there = (code for code in bench.lots if code not in bench.closed_lots)
    lots = tuple((code, code) for code in there) or (("", "none"),)
    return (
        Field("lot", say("Lot in the dish"), "choice", choices=lots),
        Field("light", say("Kind of light"), "text", light),
        Field("klx", say("At the resin, klx"), "number", klx),
    )


def smear_command(values: dict[str, str]) -> RecordSmear:
    """Return the command of a smear test; raises UnknownError in one sentence."""
    seconds = _number(values, "minutes", say("Dragged after")) * 60
    klx = _number(values, "klx", say("At the resin"))
    return RecordSmear(values["material"], values["light"], klx, seconds)


def dish_command(values: dict[str, str]) -> ChangeDish:
    """Return the command that opens a dish; raises UnknownError in one sentence."""
    klx = _number(values, "klx", say("At the resin"))
    return ChangeDish(values["lot"], "open", values["light"], klx)


def _number(values: dict[str, str], name: str, label: str) -> float:
    return typed_number(label, values.get(name, ""))
