"""The pages for the hands: intake, equipment, the day."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, time, timedelta, timezone
from typing import TYPE_CHECKING

from benchassist.domain import commands as cm
from benchassist.domain.library import Variant
from benchassist.domain.light import output_share, reading_age_h
from benchassist.domain.limits import limit_on
from benchassist.domain.shelf import LotRole, allowed
from benchassist.domain.standing import Standing
from benchassist.domain.state import Bench, Closed
from benchassist.ui.actions import ExportDay, OpenPage
from benchassist.ui.present import own_bench, shelf
from benchassist.ui.present.fill import Gap
from benchassist.ui.present.forms import NONE, Choices, FormError, number
from benchassist.ui.present.rows import doing
from benchassist.ui.present.shown import percent
from benchassist.ui.view import Field, FormView, Option, TableView

if TYPE_CHECKING:
    from benchassist.clock import Instant


def _codes(codes: tuple[str, ...], titles: dict[str, str] | None = None) -> Choices:
    told = titles or {}
    return tuple((code, f"{code}  {told.get(code, '')}".rstrip()) for code in codes)


def intake(bench: Bench, error: str = "") -> FormView:
    """Return the form that takes a new part in."""
    recipes = {code: recipe.title for code, recipe in bench.recipes.items()}
    lots = {
        code: bench.materials[lot.material].title
        for code, lot in bench.lots.items()
        if lot.material in bench.materials
    }
    layers: tuple[LotRole, ...] = ("print", "coat", "stain")
    roles = {
        role: _codes(
            tuple(
                code
                for code, lot in bench.lots.items()
                if lot.material in bench.materials
                and lot.material
                in (
                    {
                        each
                        for one in bench.recipes.values()
                        for each in allowed(one, role)
                    }
                    or {lot.material}
                )
            ),
            lots,
        )
        for role in layers
    }
    count = tuple((str(n), str(n)) for n in range(4))
    finish = (("coat", "coat"), ("polish", "polish instead"), ("none", "no glaze"))
    cover = (("glycerine", "under glycerine"), ("nitrogen", "in nitrogen"))
    fields = (
        Field("part", "Case code", "text", help="a code, never a name"),
        Field("recipe", "Recipe", "choice", choices=_codes(tuple(recipes), recipes)),
        Field("print_lot", "Print lot", "choice", choices=roles["print"] or NONE),
        Field("stains", "Stain passes", "choice", "0", count),
        Field("stain_lot", "Stain lot", "choice", choices=NONE + roles["stain"]),
        Field("coats", "Coats", "choice", "2", count),
        Field("coat_lot", "Coat lot", "choice", choices=roles["coat"] or NONE),
        Field("finish", "Finish", "choice", "coat", finish),
        Field("cover", "Second half", "choice", "glycerine", cover),
        Field("hold", "Second half later today", "check"),
        Field("mouth", "Back from the mouth", "check", help="coat again only"),
        Field("lamp", "Lamp", "choice", choices=_codes(tuple(bench.lamps)) or NONE),
        Field(
            "box", "Curing box", "choice", choices=_codes(tuple(bench.boxes)) or NONE
        ),
        Field(
            "vessel", "Vessel", "choice", choices=NONE + _codes(tuple(bench.vessels))
        ),
        Field("peg", "Peg or place", "text", help="such as “blue tape”"),
        Field("due", "Due", "text", help="today HH:MM, or empty"),
    )
    note = "" if recipes else "No recipe is on file: key E, then 9."
    return FormView("intake", "New part", fields, "Take in", note, error)


def equipment(bench: Bench, now: Instant) -> TableView:
    """Return lamps, boxes and vessels with what was last known of them."""
    rows = []
    for lamp in bench.lamps.values():
        age_h = reading_age_h(bench, lamp.code, now)
        read = f"read {age_h:.0f} h ago" if age_h < 1e6 else "never read"  # noqa: PLR2004 - infinite
        share = f"{percent(output_share(bench, lamp.code))} of baseline"
        rows.append((lamp.code, lamp.title, f"spectrum {lamp.knowledge}", share, read))
    for box in bench.boxes.values():
        counts = f"{box.rate_hz:g} flashes/s" if box.unit == "flash" else "seconds"
        step = box.rule.programs or f"steps of {box.rule.step}"
        rows.append(
            (box.code, box.title, f"spectrum {box.knowledge}", counts, str(step))
        )
    most = int(limit_on(bench, "glycerine_immersions", now))
    for vessel in bench.vessels.values():
        fill = bench.fills.get(vessel.code)
        used = f"{fill.immersions} of {most} immersions" if fill else "empty"
        wall = "wall measured" if vessel.curve else "wall never measured"
        lot = f"glycerine {fill.lot}" if fill else ""
        rows.append((vessel.code, vessel.title, wall, used, lot))
    return TableView(
        "Lamps, boxes, baths",
        ("Code", "What", "Known by", "State", "Last"),
        tuple(rows),
        "Nothing is on file yet: key E, then 9.",
        (
            Option("Enter a lamp reading", "1", OpenPage("reading")),
            Option("Change glycerine", "2", OpenPage("glycerine")),
            Option("How well do we know it?", "3", OpenPage("how-well")),
            Option("Coupon tests", "4", OpenPage("tested")),
            Option("One tab's result", "5", OpenPage("coupon")),
            Option("Type a label or papers", "6", OpenPage("papers")),
            Option("Own meter through a vessel", "7", OpenPage("through")),
            Option("Baths, trend, checks", "8", OpenPage("upkeep")),
            Option("Your own bench, step by step", "9", OpenPage("own-bench")),
        ),
    )


def reading(bench: Bench, error: str = "") -> FormView:
    """Return the form for a lamp reading."""
    lamps = _codes(tuple(bench.lamps)) or NONE
    fields = (
        Field("lamp", "Lamp", "choice", choices=lamps),
        Field("reading", "Reading", "number", help="same meter as the baseline"),
    )
    return FormView("reading", "Lamp reading", fields, "Enter", error=error)


def glycerine(bench: Bench, error: str = "") -> FormView:
    """Return the form for a change of glycerine."""
    fields = (
        Field(
            "vessel",
            "Vessel",
            "choice",
            choices=_codes(tuple(bench.vessels)) or NONE,
        ),
        Field("lot", "Fresh glycerine, lot", "text"),
    )
    note = "Emptied, wiped, filled down the wall without bubbles."
    return FormView("glycerine", "Change glycerine", fields, "Changed", note, error)


def coupon(bench: Bench, error: str = "") -> FormView:
    """Return the form for the result of one tab."""
    fields = (
        Field("lamp", "Lamp", "choice", choices=_codes(tuple(bench.lamps)) or NONE),
        Field(
            "material",
            "Material",
            "choice",
            choices=_codes(
                tuple(bench.materials),
                {code: each.title for code, each in bench.materials.items()},
            )
            or NONE,
        ),
        Field("seconds", "Lit for, s", "number"),
        Field(
            "how",
            "It was",
            "choice",
            choices=(
                ("", "set: edge and groove stayed"),
                ("not set", "not set, or unsure"),
                ("tacky at the end", "set, but tacky after the box"),
            ),
        ),
    )
    note = "One tab proves little: a coupon test of sets A and B does. See How well."
    return FormView("coupon", "One tab", fields, "Enter", note, error)


def papers(bench: Bench, error: str = "") -> FormView:
    """Return the form for what a label or papers state."""
    things = (
        *((f"lamp {code}", f"lamp {code}") for code in bench.lamps),
        *((f"material {code}", f"resin {code}") for code in bench.materials),
        *((f"box {code}", f"box {code}") for code in bench.boxes),
    )
    fields = (
        Field("thing", "What", "choice", choices=things or NONE),
        Field("bands", "Bands on the label, nm", "text", help="380-410, 445-475"),
        Field("mw_cm2", "Irradiance on it, mW/cm²", "number", help="a lamp's"),
        Field("document", "Document", "text", help="such as EX-DS-4"),
        Field("revision", "Its revision", "text"),
        Field("reason", "Why it changes", "text"),
    )
    note = "A number without document and revision is a guess: it passes nothing."
    return FormView("papers", "Label and papers", fields, "Enter", note, error)


def through(bench: Bench, error: str = "") -> FormView:
    """Return the form for the own meter behind an empty vessel."""
    fields = (
        Field(
            "vessel", "Vessel", "choice", choices=_codes(tuple(bench.vessels)) or NONE
        ),
        Field("behind", "Reading behind its wall", "number", help="empty, as used"),
        Field("without", "Reading without it", "number", help="same meter, same place"),
    )
    note = "Air inside makes the empty wall read some 4 % low: on the safe side."
    return FormView("through", "Own meter, empty vessel", fields, "Enter", note, error)


FORMS = {
    "intake": intake,
    "reading": reading,
    "glycerine": glycerine,
    "coupon": coupon,
    "papers": papers,
    "through": through,
    **shelf.FORMS,
    **own_bench.FORMS,
}
# Where a form leads once it is handed in; the bench where nothing is said.
BACK = {**shelf.BACK, **own_bench.BACK}


def day(bench: Bench, now: Instant) -> TableView:
    """Return the day's parts and their states, with the export."""
    rows = []
    for part in bench.parts.values():
        phase = part.phase
        if isinstance(phase, Closed):
            state = f"{phase.how} {phase.at.local():%H:%M}"
        else:
            state = doing(Standing(bench, part, now))[0]
        due = f"{part.due.local():%H:%M}" if part.due else ""
        opened = ", ".join(each.id for each in bench.open_deviations(part.code))
        rows.append((part.code, bench.recipe_of(part).item_class, state, due, opened))
    export = Option(
        "Export this day",
        "2",
        Gap(ExportDay(now.day()), "out"),
        needs_text="Folder to write CSV and JSON Lines to",
    )
    cards = Option(
        "Cards for paper",
        "3",
        Gap(ExportDay(now.day(), what="cards"), "out"),
        needs_text="Folder to write a card of each part in flight to",
    )
    return TableView(
        f"Day {now.day()}",
        ("Code", "What", "State", "Due", "Open deviations"),
        tuple(rows),
        "No part was taken in today. Key N takes one in.",
        (export, cards),
        note="Closed parts of earlier days are in the export of their day.",
    )


def command_of(
    bench: Bench, name: str, values: dict[str, str], now: Instant
) -> cm.Command:
    """Return the command a submitted form stands for.

    Raises
    ------
    FormError
        If a value cannot be read; the text says which and what is expected.
    """
    if name == "intake":
        return _take_in(values, now)
    return COMMANDS[name](bench, values)


def _tab(values: dict[str, str]) -> cm.RecordCoupon:
    how = values["how"]
    return cm.RecordCoupon(
        values["lamp"],
        values["material"],
        passed=not how,
        tack_s=number("Lit for", values["seconds"]),
        how=how,  # type: ignore[arg-type] # one of the choices
    )


def _through(values: dict[str, str]) -> cm.ReadThrough:
    behind = number("Behind its wall", values["behind"])
    without = number("Without it", values["without"])
    return cm.ReadThrough(values["vessel"], behind / without if without else 0)


def _papers(values: dict[str, str]) -> cm.TypePapers:
    kind, _, code = values["thing"].partition(" ")
    bands = []
    for told in values["bands"].replace(";", ",").split(","):
        if not told.strip():
            continue
        low, dash, high = told.replace("–", "-").partition("-")
        if not dash:
            msg = f"Bands: “{told.strip()}” is none; write it like 380-410."
            raise FormError(msg)
        bands.append((number("Bands", low), number("Bands", high)))
    mw_cm2 = values["mw_cm2"].strip()
    return cm.TypePapers(
        kind,  # type: ignore[arg-type] # one of the choices
        code,
        values["reason"],
        tuple(bands),
        values["document"],
        values["revision"],
        number("Irradiance", mw_cm2) if mw_cm2 else 0.0,
    )


def _take_in(values: dict[str, str], now: Instant) -> cm.TakeIn:
    variant = Variant(
        stain_passes=int(values["stains"]),
        coats=int(values["coats"]) if values["finish"] == "coat" else 0,
        finish=values["finish"],  # type: ignore[arg-type] # one of the choices
        cover=values["cover"],  # type: ignore[arg-type] # one of the choices
        hold_between=values.get("hold") == "yes",
        back_from_mouth=values.get("mouth") == "yes",
    )
    return cm.TakeIn(
        part=values["part"],
        recipe=values["recipe"],
        print_lot=values["print_lot"],
        coat_lot=values["coat_lot"],
        stain_lot=values["stain_lot"],
        lamp=values["lamp"],
        box=values["box"],
        vessel=values["vessel"],
        peg=values["peg"],
        due=_due(values["due"], now),
        variant=variant,
    )


COMMANDS: dict[str, Callable[[Bench, dict[str, str]], cm.Command]] = {
    "reading": lambda _bench, values: cm.ReadLamp(
        values["lamp"], number("Reading", values["reading"])
    ),
    "glycerine": lambda _bench, values: cm.FillGlycerine(
        values["vessel"], values["lot"]
    ),
    "papers": lambda _bench, values: _papers(values),
    "through": lambda _bench, values: _through(values),
    "coupon": lambda _bench, values: _tab(values),
    **shelf.COMMANDS,
    **own_bench.COMMANDS,
}


def texts_to_blank(typed: str) -> tuple[tuple[int, ...], str]:
    """Return the numbers of the entries and the reason, from one line.

    Raises
    ------
    FormError
        If there is no number, or no reason behind the numbers.
    """
    numbers, _, reason = typed.partition(":")
    words = numbers.replace(",", " ").split()
    if not words or not all(word.isdecimal() for word in words) or not reason.strip():
        msg = f"“{typed}”: write entries' numbers, a colon and why, as 12, 14: a name."
        raise FormError(msg)
    return tuple(map(int, words)), reason.strip()


def _due(typed: str, now: Instant) -> Instant | None:
    if not typed.strip():
        return None
    try:
        at = time.fromisoformat(typed.strip())
    except ValueError as error:
        msg = f"Due: “{typed}” is not a time; write it like 14:30."
        raise FormError(msg) from error
    zone = timezone(timedelta(minutes=now.offset_min))
    due = datetime.combine(now.local().date(), at, tzinfo=zone)
    if due < now.local():
        due += timedelta(days=1)
    return now.plus(int((due - now.local()).total_seconds() * 1000))
