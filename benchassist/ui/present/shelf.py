"""Lots and bottles, baths and routine checks: what the hands keep up every day."""

from __future__ import annotations

from datetime import date
from typing import Any

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain.baths import load
from benchassist.domain.gates.lot_expiry import NEVER, last_day
from benchassist.domain.library import Lot
from benchassist.domain.routines import due
from benchassist.domain.shelf import offered
from benchassist.domain.state import Bench
from benchassist.scan import Label, ScanError
from benchassist.scan import read as scanned
from benchassist.ui.actions import OpenPage
from benchassist.ui.present.forms import (
    GS_SHOWN,
    Choices,
    Form,
    FormError,
    Row,
    alone,
    as_read,
    codes,
    materials,
    on_shelf,
)
from benchassist.ui.present.shown import weekday
from benchassist.ui.view import Option, TableView
from benchassist.ui.words import say

SOON_DAYS = 7  # a lot that ends within a week is said
MIXED_DAY = say("empty: the earlier of the two; of a thinned stain today")
CLASS = "splint"  # what baths are counted in where nothing else is washed


# --- lots --------------------------------------------------------------------------


def lots(bench: Bench, now: Instant) -> TableView:
    """Return every lot that is not put away, the one that ends first in front."""
    rows = sorted(
        (_lot_row(bench, lot, now) for lot in bench.lots.values() if _here(bench, lot)),
        key=lambda row: row[0],
    )
    away = len(bench.lots) - len(rows)
    return TableView(
        say("Lots and bottles"),
        (
            say("Lot"),
            say("Material"),
            say("Use by"),
            say("Opened"),
            say("Stirred"),
            say("Note"),
        ),
        tuple(row[1:] for row in rows),
        say("No bottle is on file yet: 1 takes the first one in."),
        (
            Option(say("A bottle came in: scan or type"), "1", OpenPage("bottle")),
            Option(say("Opened, decanted, stirred"), "2", OpenPage("handle-bottle")),
            Option(say("Empty or thrown away"), "3", OpenPage("close-bottle")),
            Option(say("How long an open one keeps"), "4", OpenPage("keeping")),
            Option(say("Two lots mixed"), "5", OpenPage("mix")),
        ),
        note=say("{away} put away", away=away) if away else "",
    )


def _here(bench: Bench, lot: Lot) -> bool:
    return lot.code not in bench.closed_lots


def _lot_row(bench: Bench, lot: Lot, now: Instant) -> tuple[str, ...]:
    last = last_day(bench, lot.code)
    bottle = bench.bottles.get(lot.code)
    opened = bottle.opened.day() if bottle and bottle.opened else ""
    at = bottle.stirred.local() if bottle and bottle.stirred else None
    stirred = f"{weekday(at)} {at:%H:%M}" if at else ""
    material = bench.materials.get(lot.material)
    told = say("no expiry on file") if last == NEVER else last
    return (
        last,
        lot.code,
        material.title if material else lot.material,
        told,
        opened,
        stirred,
        _ends(last, now),
    )


def _ends(last: str, now: Instant) -> str:
    if last == NEVER:
        return ""
    days = (date.fromisoformat(last) - now.local().date()).days
    if days < 0:
        return say("past its day: to nobody")
    if days > SOON_DAYS:
        return ""
    return say("last day") if not days else say("ends in {days} d", days=days)


# --- forms of lots -----------------------------------------------------------------


def _last(bench: Bench) -> str:
    """Return the material of the lot that came in last: the likeliest next."""
    return next((lot.material for lot in reversed(bench.lots.values())), "")


def _open_lots(bench: Bench) -> Choices:
    return codes(
        {
            code: bench.materials[lot.material].title
            for code, lot in bench.lots.items()
            if lot.material in bench.materials and _here(bench, lot)
        }
    )


def bottle_of(read: dict[str, Any]) -> cm.FileLibrary:
    """Return the command that files a bottle, from its scan or from what was typed.

    Raises
    ------
    FormError
        If the scan is refused, or neither it nor a hand says the lot.
    """
    label = Label("GS1")
    if read["scan"]:
        try:
            label = scanned(read["scan"].replace(GS_SHOWN, "\x1d"))
        except ScanError as error:
            raise FormError(str(error)) from error
    lot = read["lot"] or label.lot
    if not lot:
        raise FormError(
            say("Lot: scan the label, or type what is printed on the bottle.")
        )
    expires = read["expires"] or label.expires
    return cm.FileLibrary(lots=(Lot(lot, read["material"], expires),))


def _mix(bench: Bench, read: dict[str, Any]) -> cm.FileLibrary:
    """Return the command that files a mix: of one material, or of a thinned stain."""
    first, second = read["first"], read["second"]
    weighed, beside = read["first_g"], read["second_g"]
    if first == second:
        raise FormError(say("The other: choose another lot than the first."))
    main, other = (bench.lots[lot].material for lot in (first, second))
    thinned = bench.materials[main].role == "stain"
    if main != other and not thinned:
        raise FormError(say("The other: a mix is of one material, or thins a stain."))
    share = round(weighed / (weighed + beside), 6)
    parents = ((first, share), (second, round(1 - share, 6)))
    expires = read["expires"]
    if not expires and main != other and bench.latest is not None:
        expires = bench.latest.day()
    return cm.FileLibrary(lots=(Lot(read["lot"], main, expires, parents),))


SCAN = Row("scan", say("Scan its label"), "scan", say("then Enter; or type below"))
LOT = Row("lot", say("Lot"), help=say("as printed on the bottle"))
USE_BY = Row("expires", say("Use by"), "day", say("2027-03-31, or empty"))
NOT_SAID = say("empty: not said")
ACTS = ("stirred", "opened", "decanted")

BOTTLE = Form(
    "bottle",
    say("A bottle came in"),
    (
        SCAN,
        Row("material", say("Material"), start=_last, choices=materials),
        LOT,
        USE_BY,
    ),
    lambda _bench, read: bottle_of(read),
    say("Nothing waits for this: runs and washes go on."),
    back="lots",
)
HANDLE_BOTTLE = Form(
    "handle-bottle",
    say("A bottle"),
    (
        Row("lot", say("Lot"), choices=_open_lots),
        Row("act", say("It was"), start="stirred", choices=alone(ACTS)),
    ),
    as_read(cm.HandleBottle),
    say("Stir, then let the bubbles rise before brushing."),
    back="lots",
)
CLOSE_BOTTLE = Form(
    "close-bottle",
    say("A bottle is put away"),
    (
        Row("lot", say("Lot"), choices=_open_lots),
        Row("reason", say("Why"), help=say("empty, old, dirty")),
    ),
    as_read(cm.CloseLot),
    say("It is offered to no part any more. Empty bottles go to resin waste."),
    say("Put away"),
    back="lots",
)
KEEPING = Form(
    "keeping",
    say("How long it keeps"),
    (
        Row("material", say("Material"), choices=materials),
        Row("open_days", say("Open, days"), "number", NOT_SAID),
        Row("decanted_days", say("Decanted, days"), "number", NOT_SAID),
        Row("stir_min", say("Stir every, min"), "number", NOT_SAID),
        Row("document", say("Which paper"), help=say("such as EX-IFU-3")),
        Row("revision", say("Its revision"), help=say("or the date printed on it")),
    ),
    as_read(cm.SetKeeping),
    say("The earliest day counts: printed, opened or decanted."),
    back="lots",
)
MIX = Form(
    "mix",
    say("Two lots mixed"),
    (
        Row("lot", say("Code of the mix"), help=say("its own: never the old number")),
        Row(
            "first",
            say("One lot"),
            help=say("of a stain the stain"),
            choices=_open_lots,
        ),
        Row("first_g", say("Of it, g"), "positive", say("by the scale")),
        Row("second", say("The other"), choices=_open_lots),
        Row("second_g", say("Of that, g"), "positive"),
        Row("expires", say("Use by"), "day", MIXED_DAY),
    ),
    _mix,
    say("A mix is as old as its older lot, and a recall of either finds it."),
    back="lots",
)


# --- baths -------------------------------------------------------------------------


def bath_rows(bench: Bench) -> tuple[tuple[str, ...], ...]:
    """Return the wash baths as rows of the equipment page."""
    return tuple(_bath_row(bench, code) for code in bench.baths)


def _bath_row(bench: Bench, code: str) -> tuple[str, ...]:
    bath = bench.baths[code]
    kind = max(bath.washed, key=lambda each: bath.washed[each], default=CLASS)
    held = load(bench, code, kind)
    by = "hydrometer" if held.measured else "counted"
    left = say(
        "about {left_low} to {left_high} {plural} left",
        left_low=held.left_low,
        left_high=held.left_high,
        plural=_plural(kind),
    )
    return (
        code,
        say("{litres:g} L since {day}", litres=bath.litres, day=bath.filled.day()),
        by,
        say("{low:.1f} to {high:.1f} % resin", low=held.low, high=held.high),
        left,
    )


def _plural(kind: str) -> str:
    return kind if kind.endswith("s") else f"{kind}s"


def upkeep(bench: Bench, now: Instant) -> TableView:
    """Return the baths, and what keeps lamps, baths and the bench fit for work."""
    asked = len(due(bench, now))
    of_baths = (
        Option(say("Baths take turns"), "2", OpenPage("rotate-baths")),
        Option(say("Read a bath: hydrometer"), "3", OpenPage("measure-bath")),
    )
    away = Option(say("A bath is used no more"), "9", OpenPage("retire bath"))
    baths = bool(bench.baths)
    return TableView(
        say("Baths, trend, checks"),
        (
            say("Bath"),
            say("Filled"),
            say("Known by"),
            say("Holds"),
            say("Washes about"),
        ),
        bath_rows(bench),
        say("No bath is counted yet: 1 says when one was filled."),
        (
            Option(
                say("Change a bath"),
                "1",
                OpenPage("fill-bath"),
                line=say("which one, how much, from which lot"),
            ),
            *(of_baths if baths else ()),
            Option(
                say("A lamp was seen to"),
                "4",
                OpenPage("service-lamp"),
                line=say("tip cleaned or changed, repaired"),
            ),
            Option(
                say("How a lamp or a box ages"),
                "5",
                OpenPage("trend"),
                line=say("its readings, and where they lead"),
            ),
            Option(
                say("Checks of the bench: {asked} due", asked=asked),
                "6",
                OpenPage("rounds"),
                line=say("opening, closing, week, month"),
            ),
            Option(
                say("Look at glycerine"),
                "7",
                OpenPage("see-glycerine"),
                line=say("clear or hazy, water in it"),
            ),
            Option(
                say("Read a box: counter, light, run"),
                "8",
                OpenPage("read-box"),
                line=say("against its log and its first day"),
            ),
            *((away,) if baths else ()),
        ),
    )


# --- forms of baths, lamps and boxes -----------------------------------------------


def _baths_to_fill(bench: Bench) -> Choices:
    """Return the baths there are, then those that a recipe washes in."""
    steps = {step.title for each in bench.recipes.values() for step in each.washes}
    return alone(dict.fromkeys((*offered(bench, "bath"), *sorted(steps))))


def _second(bench: Bench) -> str:
    return next(iter(offered(bench, "bath")[1:]), "")


SEEN_TO = ("tip cleaned", "tip changed", "repaired")
SEEN: Choices = (
    ("clear", say("clear: print behind it is sharp")),
    ("hazy", say("hazy")),
    ("tinted", say("pink or yellow")),
    ("debris", say("specks in it")),
    ("sticky", say("thick or sticky")),
)
OF_A_BOX: Choices = (
    ("life counter", say("its life counter")),
    ("light", say("its light: own meter, one place")),
    ("full run", say("one full run, by the clock")),
    ("new lamp", say("a new lamp; counter now")),
)
ALCOHOL = Row("lot", say("Lot of the alcohol"), help=say("or empty"))
HYDROMETER = say("Hydrometer in it")

FILL_BATH = Form(
    "fill-bath",
    say("Change a bath"),
    (
        Row("bath", say("Bath"), choices=_baths_to_fill),
        Row("litres", say("Litres"), "reading", start="1"),
        ALCOHOL,
    ),
    as_read(cm.FillBath),
    say("Alcohol burns: no flame, lid on, wipe spills, swabs in a closed bin."),
    say("Changed"),
    "upkeep",
)
ROTATE_BATHS = Form(
    "rotate-baths",
    say("Baths take turns"),
    (
        Row("first", say("Discarded"), choices=on_shelf("bath")),
        Row("clean", say("Takes its place"), start=_second, choices=on_shelf("bath")),
        Row("litres", say("Fresh litres"), "reading", start="1"),
        ALCOHOL,
    ),
    as_read(cm.RotateBaths),
    say("The clean bath becomes the first and is filled anew. Waste by local code."),
    say("Done"),
    "upkeep",
)
MEASURE_BATH = Form(
    "measure-bath",
    say("Read a bath"),
    (
        Row("bath", say("Bath"), choices=on_shelf("bath")),
        Row("density", HYDROMETER, "reading", say("such as 0.793")),
        Row("fresh", say("In fresh alcohol"), "reading", start="0.785"),
        Row("celsius", say("Both at, °C"), "reading", start="20"),
    ),
    as_read(cm.MeasureBath),
    say("Water shifts it like resin: read fresh alcohol of the same can beside it."),
    back="upkeep",
)
SERVICE_LAMP = Form(
    "service-lamp",
    say("A lamp was seen to"),
    (
        Row("lamp", say("Lamp"), choices=on_shelf("lamp")),
        Row("act", say("It was"), choices=alone(SEEN_TO)),
        Row("note", say("Note"), help=say("no names")),
    ),
    as_read(cm.ServiceLamp),
    say("After a repair or a new tip the lamp is read anew, and its coupons are over."),
    back="upkeep",
)
SEE_GLYCERINE = Form(
    "see-glycerine",
    say("Look at glycerine"),
    (
        Row("vessel", say("Vessel"), choices=lambda b: alone(b.fills)),
        Row("seen", say("It is"), start="clear", choices=SEEN),
        Row("density", HYDROMETER, "number", say("such as 1.255, or empty")),
        Row("celsius", say("At, °C"), "number", start="20"),
    ),
    as_read(cm.SeeGlycerine),
    say("Hold print behind it, against the light. Water thins it: lid on."),
    back="upkeep",
)
READ_BOX = Form(
    "read-box",
    say("Read a box"),
    (
        Row("box", say("Box"), choices=on_shelf("box")),
        Row("what", say("Read"), start="life counter", choices=OF_A_BOX),
        Row("value", say("It shows"), "reading", say("counts, or the meter's reading")),
        Row("seconds", say("A full run took, s"), "number", say("of a full run only")),
        Row("reason", say("Why, if it differs"), help=say("run without the bench")),
    ),
    as_read(cm.ReadBox),
    say("Door shut, nobody looks in. Light: the same place, the same meter."),
    back="upkeep",
)
FORMS = {
    form.name: form
    for form in (
        *(BOTTLE, HANDLE_BOTTLE, CLOSE_BOTTLE, KEEPING, MIX),
        *(FILL_BATH, ROTATE_BATHS, MEASURE_BATH),
        *(SERVICE_LAMP, SEE_GLYCERINE, READ_BOX),
    )
}
