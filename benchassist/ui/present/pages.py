"""The pages for the hands: intake, equipment, the day."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from benchassist.domain import commands as cm
from benchassist.domain.light import output_share, reading_age_h
from benchassist.domain.limits import limit_on
from benchassist.domain.standing import Standing
from benchassist.domain.state import Bench, Closed
from benchassist.ui.actions import ExportDay, OpenPage
from benchassist.ui.present import late, own_bench, shelf
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
            Option("Limit, bottles, codes", "0", OpenPage("shelf-acts")),
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
    "late": late.form,
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
    if name == "late":
        return late.command(values, now)
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


def shelf_acts(bench: Bench, now: Instant) -> TableView:
    """Return the acts that concern the shelf and the record, not one part."""
    del bench, now
    return TableView(
        "Limit, bottles, codes",
        (),
        (),
        "Each says what it changes before it is held.",
        (
            Option("Glycerine limit", "1", OpenPage("glycerine-limit")),
            Option("Put a bottle away", "2", OpenPage("bottle-away")),
            Option("How codes are written", "3", OpenPage("code-shape")),
        ),
    )
