"""Lots and bottles, baths and routine checks: what the hands keep up every day."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain.baths import load
from benchassist.domain.gates.lot_expiry import NEVER, last_day
from benchassist.domain.library import Lot
from benchassist.domain.routines import due
from benchassist.domain.shelf import offered
from benchassist.domain.state import Bench
from benchassist.scan import Label, ScanError, read
from benchassist.ui.actions import OpenPage
from benchassist.ui.present.forms import (
    GS_SHOWN,
    NONE,
    FormError,
    codes,
    number,
    parsed,
)
from benchassist.ui.view import Field, FormView, Option, TableView
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
    stirred = f"{bottle.stirred.local():%a %H:%M}" if bottle and bottle.stirred else ""
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


def bottle(
    bench: Bench, error: str = "", scan: str = "", material: str = ""
) -> FormView:
    """Return the form for a bottle that came in, its label scanned or not yet."""
    materials = {code: each.title for code, each in bench.materials.items()}
    fields = (
        Field(
            "scan",
            say("Scan its label"),
            "scan",
            scan,
            help=say("then Enter; or type below"),
        ),
        Field(
            "material",
            say("Material"),
            "choice",
            material or _last(bench),
            codes(materials) or NONE,
        ),
        Field("lot", say("Lot"), "text", help=say("as printed on the bottle")),
        Field(
            "expires",
            say("Use by"),
            "text",
            help=say("2027-03-31, or empty"),
            rule="day",
        ),
    )
    note = say("Nothing waits for this: runs and washes go on.")
    return FormView("bottle", say("A bottle came in"), fields, say("Keep"), note, error)


def _last(bench: Bench) -> str:
    """Return the material of the lot that came in last: the likeliest next."""
    return next((lot.material for lot in reversed(bench.lots.values())), "")


def handle_bottle(bench: Bench, error: str = "") -> FormView:
    """Return the form for what was done to a bottle."""
    acts = (("stirred", "stirred"), ("opened", "opened"), ("decanted", "decanted"))
    fields = (
        Field("lot", say("Lot"), "choice", choices=codes(_open_lots(bench)) or NONE),
        Field("act", say("It was"), "choice", "stirred", acts),
    )
    note = say("Stir, then let the bubbles rise before brushing.")
    return FormView("handle-bottle", say("A bottle"), fields, say("Keep"), note, error)


def close_bottle(bench: Bench, error: str = "") -> FormView:
    """Return the form that puts a bottle away for good."""
    fields = (
        Field("lot", say("Lot"), "choice", choices=codes(_open_lots(bench)) or NONE),
        Field("reason", say("Why"), "text", help=say("empty, old, dirty")),
    )
    note = say("It is offered to no part any more. Empty bottles go to resin waste.")
    title = say("A bottle is put away")
    return FormView("close-bottle", title, fields, say("Put away"), note, error)


def keeping(bench: Bench, error: str = "") -> FormView:
    """Return the form for how long an open bottle keeps, as its papers say."""
    materials = {code: each.title for code, each in bench.materials.items()}
    fields = (
        Field("material", say("Material"), "choice", choices=codes(materials) or NONE),
        Field("open_days", say("Open, days"), "number", help=say("empty: not said")),
        Field(
            "decanted_days",
            say("Decanted, days"),
            "number",
            help=say("empty: not said"),
        ),
        Field(
            "stir_min", say("Stir every, min"), "number", help=say("empty: not said")
        ),
        Field("document", say("Which paper"), "text", help=say("such as EX-IFU-3")),
        Field(
            "revision",
            say("Its revision"),
            "text",
            help=say("or the date printed on it"),
        ),
    )
    note = say("The earliest day counts: printed, opened or decanted.")
    return FormView(
        "keeping", say("How long it keeps"), fields, say("Keep"), note, error
    )


def mix(bench: Bench, error: str = "") -> FormView:
    """Return the form for a mix of two lots, by weight."""
    known = codes(_open_lots(bench)) or NONE
    fields = (
        Field(
            "lot",
            say("Code of the mix"),
            "text",
            help=say("its own: never the old number"),
        ),
        Field(
            "first",
            say("One lot"),
            "choice",
            choices=known,
            help=say("of a stain the stain"),
        ),
        Field(
            "first_g",
            say("Of it, g"),
            "number",
            help=say("by the scale"),
            rule="positive",
        ),
        Field("second", say("The other"), "choice", choices=known),
        Field("second_g", say("Of that, g"), "number", rule="positive"),
        Field("expires", say("Use by"), "text", help=MIXED_DAY, rule="day"),
    )
    note = say("A mix is as old as its older lot, and a recall of either finds it.")
    return FormView("mix", say("Two lots mixed"), fields, say("Keep"), note, error)


def _open_lots(bench: Bench) -> dict[str, str]:
    return {
        code: bench.materials[lot.material].title
        for code, lot in bench.lots.items()
        if lot.material in bench.materials and _here(bench, lot)
    }


def bottle_of(values: dict[str, str]) -> cm.FileLibrary:
    """Return the command that files a bottle, from its scan or from what was typed.

    Raises
    ------
    FormError
        If the scan is refused, or neither it nor a hand says the lot.
    """
    label = Label("GS1")
    if values["scan"]:
        try:
            label = read(values["scan"].replace(GS_SHOWN, "\x1d"))
        except ScanError as error:
            raise FormError(str(error)) from error
    lot = values["lot"] or label.lot
    if not lot:
        raise FormError(
            say("Lot: scan the label, or type what is printed on the bottle.")
        )
    expires = parsed("day", say("Use by"), values["expires"]) or label.expires
    return cm.FileLibrary(lots=(Lot(lot, values["material"], expires),))


def mix_of(bench: Bench, values: dict[str, str]) -> cm.FileLibrary:
    """Return the command that files a mix.

    Raises
    ------
    FormError
        If the two are one, of materials that are not mixed, or not weighed.
    """
    first, second = values["first"], values["second"]
    weighed = parsed("positive", say("Of it, g"), values["first_g"])
    beside = parsed("positive", say("Of that, g"), values["second_g"])
    if first == second:
        raise FormError(say("The other: choose another lot than the first."))
    main, other = (bench.lots[lot].material for lot in (first, second))
    thinned = bench.materials[main].role == "stain"
    if main != other and not thinned:
        raise FormError(say("The other: a mix is of one material, or thins a stain."))
    share = round(weighed / (weighed + beside), 6)
    parents = ((first, share), (second, round(1 - share, 6)))
    expires = parsed("day", say("Use by"), values["expires"])
    if not expires and main != other and bench.latest is not None:
        expires = bench.latest.day()
    made = Lot(values["lot"].strip(), main, expires, parents)
    return cm.FileLibrary(lots=(made,))


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
            Option(say("Change a bath"), "1", OpenPage("fill-bath")),
            Option(say("Baths take turns"), "2", OpenPage("rotate-baths")),
            Option(say("Read a bath: hydrometer"), "3", OpenPage("measure-bath")),
            Option(say("A lamp was seen to"), "4", OpenPage("service-lamp")),
            Option(say("How a lamp or a box ages"), "5", OpenPage("trend")),
            Option(
                say("Checks of the bench: {asked} due", asked=asked),
                "6",
                OpenPage("rounds"),
            ),
            Option(say("Look at glycerine"), "7", OpenPage("see-glycerine")),
            Option(say("Read a box: counter, light, run"), "8", OpenPage("read-box")),
            Option(say("A bath is used no more"), "9", OpenPage("retire bath")),
        ),
    )


def fill_bath(bench: Bench, error: str = "") -> FormView:
    """Return the form for a bath that was filled anew."""
    steps = {step.title for each in bench.recipes.values() for step in each.washes}
    titles = dict.fromkeys((*bench.baths, *sorted(steps)))
    fields = (
        Field(
            "bath",
            say("Bath"),
            "choice",
            choices=tuple((each, each) for each in titles),
        ),
        Field("litres", say("Litres"), "number", "1"),
        Field("lot", say("Lot of the alcohol"), "text", help=say("or empty")),
    )
    note = say("Alcohol burns: no flame, lid on, wipe spills, swabs in a closed bin.")
    return FormView(
        "fill-bath", say("Change a bath"), fields, say("Changed"), note, error
    )


def rotate_baths(bench: Bench, error: str = "") -> FormView:
    """Return the form for two baths that take turns."""
    known = tuple((each, each) for each in bench.baths) or NONE
    second = known[1][0] if len(known) > 1 else ""
    fields = (
        Field("first", say("Discarded"), "choice", choices=known),
        Field("clean", say("Takes its place"), "choice", second, known),
        Field("litres", say("Fresh litres"), "number", "1"),
        Field("lot", say("Lot of the alcohol"), "text", help=say("or empty")),
    )
    note = say(
        "The clean bath becomes the first and is filled anew. Waste by local code."
    )
    return FormView(
        "rotate-baths", say("Baths take turns"), fields, say("Done"), note, error
    )


def measure_bath(bench: Bench, error: str = "") -> FormView:
    """Return the form for a hydrometer's readings."""
    fields = (
        Field(
            "bath",
            say("Bath"),
            "choice",
            choices=tuple((b, b) for b in bench.baths) or NONE,
        ),
        Field("density", say("Hydrometer in it"), "number", help=say("such as 0.793")),
        Field("fresh", say("In fresh alcohol"), "number", "0.785"),
        Field("celsius", say("Both at, °C"), "number", "20"),
    )
    note = say(
        "Water shifts it like resin: read fresh alcohol of the same can beside it."
    )
    return FormView(
        "measure-bath", say("Read a bath"), fields, say("Keep"), note, error
    )


def service_lamp(bench: Bench, error: str = "") -> FormView:
    """Return the form for what was done to a lamp."""
    acts = (
        ("tip cleaned", "tip cleaned"),
        ("tip changed", "tip changed"),
        ("repaired", "repaired"),
    )
    fields = (
        Field(
            "lamp",
            say("Lamp"),
            "choice",
            choices=tuple((c, c) for c in bench.lamps) or NONE,
        ),
        Field("act", say("It was"), "choice", choices=acts),
        Field("note", say("Note"), "text", help=say("no names")),
    )
    note = say(
        "After a repair or a new tip the lamp is read anew, and its coupons are over."
    )
    return FormView(
        "service-lamp", say("A lamp was seen to"), fields, say("Keep"), note, error
    )


def see_glycerine(bench: Bench, error: str = "") -> FormView:
    """Return the form for a look at a vessel's glycerine."""
    seen = (
        ("clear", say("clear: print behind it is sharp")),
        ("hazy", say("hazy")),
        ("tinted", say("pink or yellow")),
        ("debris", say("specks in it")),
        ("sticky", say("thick or sticky")),
    )
    vessels = tuple((code, code) for code in bench.fills) or NONE
    fields = (
        Field("vessel", say("Vessel"), "choice", choices=vessels),
        Field("seen", say("It is"), "choice", "clear", seen),
        Field(
            "density",
            say("Hydrometer in it"),
            "number",
            help=say("such as 1.255, or empty"),
        ),
        Field("celsius", say("At, °C"), "number", "20"),
    )
    note = say("Hold print behind it, against the light. Water thins it: lid on.")
    return FormView(
        "see-glycerine", say("Look at glycerine"), fields, say("Keep"), note, error
    )


def read_box(bench: Bench, error: str = "") -> FormView:
    """Return the form for a reading of a box."""
    what = (
        ("life counter", say("its life counter")),
        ("light", say("its light: own meter, one place")),
        ("full run", say("one full run, by the clock")),
        ("new lamp", say("a new lamp; counter now")),
    )
    boxes = tuple((code, code) for code in offered(bench, "box")) or NONE
    fields = (
        Field("box", say("Box"), "choice", choices=boxes),
        Field("what", say("Read"), "choice", "life counter", what),
        Field(
            "value",
            say("It shows"),
            "number",
            help=say("counts, or the meter's reading"),
        ),
        Field(
            "seconds",
            say("A full run took, s"),
            "number",
            help=say("of a full run only"),
        ),
        Field(
            "reason",
            say("Why, if it differs"),
            "text",
            help=say("run without the bench"),
        ),
    )
    note = say("Door shut, nobody looks in. Light: the same place, the same meter.")
    return FormView("read-box", say("Read a box"), fields, say("Keep"), note, error)


FORMS = {
    "bottle": bottle,
    "handle-bottle": handle_bottle,
    "close-bottle": close_bottle,
    "keeping": keeping,
    "mix": mix,
    "fill-bath": fill_bath,
    "rotate-baths": rotate_baths,
    "measure-bath": measure_bath,
    "service-lamp": service_lamp,
    "see-glycerine": see_glycerine,
    "read-box": read_box,
}
BACK = {
    # form: the page that opens once it is handed in
    **dict.fromkeys(
        ("bottle", "handle-bottle", "close-bottle", "keeping", "mix"), "lots"
    ),
    **dict.fromkeys(
        (
            *("fill-bath", "rotate-baths", "measure-bath", "service-lamp"),
            *("see-glycerine", "read-box"),
        ),
        "upkeep",
    ),
}


def _keeping_of(values: dict[str, str]) -> cm.SetKeeping:
    return cm.SetKeeping(
        values["material"],
        number(say("Open, days"), values["open_days"] or "0"),
        number(say("Decanted, days"), values["decanted_days"] or "0"),
        number(say("Stir every"), values["stir_min"] or "0"),
        values["document"],
        values["revision"],
    )


def _filled_of(values: dict[str, str]) -> cm.FillBath:
    litres = number(say("Litres"), values["litres"])
    return cm.FillBath(values["bath"], litres, values["lot"])


def _rotated_of(values: dict[str, str]) -> cm.RotateBaths:
    litres = number(say("Fresh litres"), values["litres"])
    return cm.RotateBaths(values["first"], values["clean"], litres, values["lot"])


def _measured_of(values: dict[str, str]) -> cm.MeasureBath:
    return cm.MeasureBath(
        values["bath"],
        number(say("Hydrometer in it"), values["density"]),
        number(say("In fresh alcohol"), values["fresh"]),
        number(say("Both at"), values["celsius"]),
    )


COMMANDS: dict[str, Callable[[Bench, dict[str, str]], cm.Command]] = {
    # form: what it stands for; each raises FormError where a value cannot be read
    "bottle": lambda _bench, values: bottle_of(values),
    "mix": mix_of,
    "handle-bottle": lambda _bench, values: cm.HandleBottle(
        values["lot"],
        values["act"],  # type: ignore[arg-type] # a choice
    ),
    "close-bottle": lambda _bench, values: cm.CloseLot(values["lot"], values["reason"]),
    "keeping": lambda _bench, values: _keeping_of(values),
    "fill-bath": lambda _bench, values: _filled_of(values),
    "rotate-baths": lambda _bench, values: _rotated_of(values),
    "measure-bath": lambda _bench, values: _measured_of(values),
    "service-lamp": lambda _bench, values: cm.ServiceLamp(
        values["lamp"],
        values["act"],  # type: ignore[arg-type] # a choice
        values["note"],
    ),
    "see-glycerine": lambda _bench, values: cm.SeeGlycerine(
        values["vessel"],
        values["seen"],  # type: ignore[arg-type] # a choice
        number(say("Hydrometer in it"), values["density"] or "0"),
        number(say("At"), values["celsius"] or "0"),
    ),
    "read-box": lambda _bench, values: cm.ReadBox(
        values["box"],
        values["what"],  # type: ignore[arg-type] # a choice
        number(say("It shows"), values["value"]),
        number(say("A full run took"), values["seconds"] or "0"),
        values["reason"],
    ),
}
