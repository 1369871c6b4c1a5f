"""Lots and bottles, baths and routine checks: what the hands keep up every day."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import TYPE_CHECKING

from benchassist.domain import commands as cm
from benchassist.domain.baths import load
from benchassist.domain.gates.lot_expiry import NEVER, last_day
from benchassist.domain.library import Lot
from benchassist.domain.routines import Due, due
from benchassist.scan import Label, ScanError, read
from benchassist.ui.actions import OpenPage
from benchassist.ui.present.forms import GS_SHOWN, NONE, FormError, codes, number
from benchassist.ui.view import Field, FormView, Option, TableView

if TYPE_CHECKING:
    from benchassist.clock import Instant
    from benchassist.domain.state import Bench

SOON_DAYS = 7  # a lot that ends within a week is said
SHOWN = 7  # routine checks with a digit of their own; 8 and 9 are taken
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
        "Lots and bottles",
        ("Lot", "Material", "Use by", "Opened", "Stirred", ""),
        tuple(row[1:] for row in rows),
        "No bottle is on file yet: 1 takes the first one in.",
        (
            Option("A bottle came in: scan or type", "1", OpenPage("bottle")),
            Option("Opened, decanted, stirred", "2", OpenPage("handle-bottle")),
            Option("Empty or thrown away", "3", OpenPage("close-bottle")),
            Option("How long an open one keeps", "4", OpenPage("keeping")),
            Option("Two lots mixed", "5", OpenPage("mix")),
        ),
        note=f"{away} put away" if away else "",
    )


def _here(bench: Bench, lot: Lot) -> bool:
    return lot.code not in bench.closed_lots


def _lot_row(bench: Bench, lot: Lot, now: Instant) -> tuple[str, ...]:
    last = last_day(bench, lot.code)
    bottle = bench.bottles.get(lot.code)
    opened = bottle.opened.day() if bottle and bottle.opened else ""
    stirred = f"{bottle.stirred.local():%a %H:%M}" if bottle and bottle.stirred else ""
    material = bench.materials.get(lot.material)
    told = "no expiry on file" if last == NEVER else last
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
        return "past its day: to nobody"
    if days > SOON_DAYS:
        return ""
    return "last day" if not days else f"ends in {days} d"


def bottle(
    bench: Bench, error: str = "", scan: str = "", material: str = ""
) -> FormView:
    """Return the form for a bottle that came in, its label scanned or not yet."""
    materials = {code: each.title for code, each in bench.materials.items()}
    fields = (
        Field("scan", "Scan its label", "scan", scan, help="then Enter; or type below"),
        Field(
            "material",
            "Material",
            "choice",
            material or _last(bench),
            codes(materials) or NONE,
        ),
        Field("lot", "Lot", "text", help="as printed on the bottle"),
        Field("expires", "Use by", "text", help="2027-03-31, or empty"),
    )
    note = "Nothing waits for this: runs and washes go on."
    return FormView("bottle", "A bottle came in", fields, "Keep", note, error)


def _last(bench: Bench) -> str:
    """Return the material of the lot that came in last: the likeliest next."""
    return next((lot.material for lot in reversed(bench.lots.values())), "")


def handle_bottle(bench: Bench, error: str = "") -> FormView:
    """Return the form for what was done to a bottle."""
    acts = (("stirred", "stirred"), ("opened", "opened"), ("decanted", "decanted"))
    fields = (
        Field("lot", "Lot", "choice", choices=codes(_open_lots(bench)) or NONE),
        Field("act", "It was", "choice", "stirred", acts),
    )
    note = "Stir, then let the bubbles rise before brushing."
    return FormView("handle-bottle", "A bottle", fields, "Enter", note, error)


def close_bottle(bench: Bench, error: str = "") -> FormView:
    """Return the form that puts a bottle away for good."""
    fields = (
        Field("lot", "Lot", "choice", choices=codes(_open_lots(bench)) or NONE),
        Field("reason", "Why", "text", help="empty, old, dirty"),
    )
    note = "It is offered to no part any more. Empty bottles go to resin waste."
    title = "A bottle is put away"
    return FormView("close-bottle", title, fields, "Put away", note, error)


def keeping(bench: Bench, error: str = "") -> FormView:
    """Return the form for how long an open bottle keeps, as its papers say."""
    materials = {code: each.title for code, each in bench.materials.items()}
    fields = (
        Field("material", "Material", "choice", choices=codes(materials) or NONE),
        Field("open_days", "Open, days", "number", help="empty: not said"),
        Field("decanted_days", "Decanted, days", "number", help="empty: not said"),
        Field("stir_min", "Stir every, min", "number", help="empty: not said"),
        Field("document", "Which paper", "text", help="such as EX-IFU-3"),
        Field("revision", "Its revision", "text", help="or the date printed on it"),
    )
    note = "The earliest day counts: printed, opened or decanted."
    return FormView("keeping", "How long it keeps", fields, "Keep", note, error)


def mix(bench: Bench, error: str = "") -> FormView:
    """Return the form for a mix of two lots of one material."""
    known = codes(_open_lots(bench)) or NONE
    fields = (
        Field("lot", "Code of the mix", "text", help="its own: never the old number"),
        Field("first", "One lot", "choice", choices=known),
        Field("second", "The other", "choice", choices=known),
        Field("percent", "Of the first, %", "number", "50"),
        Field("expires", "Use by", "text", help="empty: as the earlier of the two"),
    )
    note = "A mix is as old as its older lot, and a recall of either finds it."
    return FormView("mix", "Two lots mixed", fields, "Keep", note, error)


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
        raise FormError("Lot: scan the label, or type what is printed on the bottle.")
    expires = day("Use by", values["expires"]) or label.expires
    return cm.FileLibrary(lots=(Lot(lot, values["material"], expires),))


def mix_of(bench: Bench, values: dict[str, str]) -> cm.FileLibrary:
    """Return the command that files a mix.

    Raises
    ------
    FormError
        If the two are one, of different materials, or the share is none.
    """
    first, second = values["first"], values["second"]
    share = number("Of the first", values["percent"]) / 100
    if first == second:
        raise FormError("The other: choose another lot than the first.")
    if not 0 < share < 1:
        raise FormError("Of the first, %: write a share between 0 and 100.")
    if bench.lots[first].material != bench.lots[second].material:
        raise FormError("The other: a mix is of one material, and these are two.")
    parents = ((first, share), (second, 1 - share))
    expires = day("Use by", values["expires"])
    made = Lot(values["lot"], bench.lots[first].material, expires, parents)
    return cm.FileLibrary(lots=(made,))


def day(label: str, typed: str) -> str:
    """Return a day as typed, or an empty string.

    Raises
    ------
    FormError
        If it is no day.
    """
    if not typed.strip():
        return ""
    try:
        return date.fromisoformat(typed.strip()).isoformat()
    except ValueError as error:
        msg = f"{label}: “{typed}” is no day; write it like 2027-03-31."
        raise FormError(msg) from error


# --- baths -------------------------------------------------------------------------


def bath_rows(bench: Bench) -> tuple[tuple[str, ...], ...]:
    """Return the wash baths as rows of the equipment page."""
    return tuple(_bath_row(bench, code) for code in bench.baths)


def _bath_row(bench: Bench, code: str) -> tuple[str, ...]:
    bath = bench.baths[code]
    kind = max(bath.washed, key=lambda each: bath.washed[each], default=CLASS)
    held = load(bench, code, kind)
    by = "hydrometer" if held.measured else "counted"
    left = f"about {held.left_low} to {held.left_high} {_plural(kind)} left"
    return (
        code,
        f"{bath.litres:g} L since {bath.filled.day()}",
        by,
        f"{held.low:.1f} to {held.high:.1f} % resin",
        left,
    )


def _plural(kind: str) -> str:
    return kind if kind.endswith("s") else f"{kind}s"


def upkeep(bench: Bench, now: Instant) -> TableView:
    """Return the baths, and what keeps lamps, baths and the bench fit for work."""
    asked = len(due(bench, now))
    return TableView(
        "Baths, trend, checks",
        ("Bath", "Filled", "Known by", "Holds", "Washes about"),
        bath_rows(bench),
        "No bath is counted yet: 1 says when one was filled.",
        (
            Option("Change a bath", "1", OpenPage("fill-bath")),
            Option("Baths take turns", "2", OpenPage("rotate-baths")),
            Option("Read a bath: hydrometer", "3", OpenPage("measure-bath")),
            Option("A lamp was seen to", "4", OpenPage("service-lamp")),
            Option("How a lamp ages", "5", OpenPage("trend")),
            Option(f"Checks of the bench: {asked} due", "6", OpenPage("routines")),
        ),
    )


def fill_bath(bench: Bench, error: str = "") -> FormView:
    """Return the form for a bath that was filled anew."""
    steps = {step.title for each in bench.recipes.values() for step in each.washes}
    titles = dict.fromkeys((*bench.baths, *sorted(steps)))
    fields = (
        Field("bath", "Bath", "choice", choices=tuple((each, each) for each in titles)),
        Field("litres", "Litres", "number", "1"),
        Field("lot", "Lot of the alcohol", "text", help="or empty"),
    )
    note = "Alcohol burns: no flame, lid on, wipe spills, swabs in a closed bin."
    return FormView("fill-bath", "Change a bath", fields, "Changed", note, error)


def rotate_baths(bench: Bench, error: str = "") -> FormView:
    """Return the form for two baths that take turns."""
    known = tuple((each, each) for each in bench.baths) or NONE
    second = known[1][0] if len(known) > 1 else ""
    fields = (
        Field("first", "Discarded", "choice", choices=known),
        Field("clean", "Takes its place", "choice", second, known),
        Field("litres", "Fresh litres", "number", "1"),
        Field("lot", "Lot of the alcohol", "text", help="or empty"),
    )
    note = "The clean bath becomes the first and is filled anew. Waste by local code."
    return FormView("rotate-baths", "Baths take turns", fields, "Done", note, error)


def measure_bath(bench: Bench, error: str = "") -> FormView:
    """Return the form for a hydrometer's readings."""
    fields = (
        Field(
            "bath", "Bath", "choice", choices=tuple((b, b) for b in bench.baths) or NONE
        ),
        Field("density", "Hydrometer in it", "number", help="such as 0.793"),
        Field("fresh", "In fresh alcohol", "number", "0.785"),
        Field("celsius", "Both at, °C", "number", "20"),
    )
    note = "Water shifts it like resin: read fresh alcohol of the same can beside it."
    return FormView("measure-bath", "Read a bath", fields, "Enter", note, error)


def service_lamp(bench: Bench, error: str = "") -> FormView:
    """Return the form for what was done to a lamp."""
    acts = (
        ("tip cleaned", "tip cleaned"),
        ("tip changed", "tip changed"),
        ("repaired", "repaired"),
    )
    fields = (
        Field(
            "lamp", "Lamp", "choice", choices=tuple((c, c) for c in bench.lamps) or NONE
        ),
        Field("act", "It was", "choice", choices=acts),
        Field("note", "Note", "text", help="no names"),
    )
    note = (
        "After a repair or a new tip the lamp is read anew, and its coupons are over."
    )
    return FormView("service-lamp", "A lamp was seen to", fields, "Enter", note, error)


# --- routine checks ----------------------------------------------------------------


def routines(bench: Bench, now: Instant) -> TableView:
    """Return what is due of the routine checks, what is overdue on top."""
    asked = due(bench, now)
    rows = tuple(_routine_row(each, n) for n, each in enumerate(asked, start=1))
    good = tuple(
        Option(
            f"{_named(each)}: good",
            str(n),
            cm.DoRoutine(each.routine.code, good=True, thing=each.thing),
        )
        for n, each in enumerate(asked[:SHOWN], start=1)
    )
    return TableView(
        "Checks of the bench",
        ("", "What", "When", ""),
        rows,
        "Everything is looked at. The next ones come tomorrow.",
        (*good, Option("Something is amiss", "8", OpenPage("amiss"))) if asked else (),
        note=f"{len(asked)} due; common practice, your own rules go first",
    )


WHENS = {
    "open": "at opening",
    "close": "at closing",
    "week": "every week",
    "month": "every month",
    "year": "every year",
}


def _named(each: Due) -> str:
    return f"{each.thing} {each.routine.title}".strip()


def _routine_row(each: Due, n: int) -> tuple[str, ...]:
    if not each.good:
        state = "was not good"
    elif each.late_days is None:
        state = "never done"
    else:
        state = f"{each.late_days} d overdue" if each.late_days else "today"
    digit = str(n) if n <= SHOWN else ""
    return digit, _named(each), WHENS[each.routine.when], state


def amiss(bench: Bench, error: str = "") -> FormView:
    """Return the form for a check that was not good."""
    from benchassist.domain.routines import ROUTINES, things  # noqa: PLC0415

    choices = tuple(
        (f"{routine.code} {thing}".strip(), f"{thing} {routine.title}".strip())
        for routine in ROUTINES.values()
        for thing in things(bench, routine)
    )
    fields = (
        Field("check", "Which", "choice", choices=choices),
        Field("note", "What is amiss", "text", help="a few words, no names"),
    )
    note = "It stays on top until it is good."
    return FormView("amiss", "Something is amiss", fields, "Enter", note, error)


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
    "amiss": amiss,
}
BACK = {
    # form: the page that opens once it is handed in
    **dict.fromkeys(
        ("bottle", "handle-bottle", "close-bottle", "keeping", "mix"), "lots"
    ),
    **dict.fromkeys(
        ("fill-bath", "rotate-baths", "measure-bath", "service-lamp"), "upkeep"
    ),
    "amiss": "routines",
}


def _keeping_of(values: dict[str, str]) -> cm.SetKeeping:
    return cm.SetKeeping(
        values["material"],
        number("Open, days", values["open_days"] or "0"),
        number("Decanted, days", values["decanted_days"] or "0"),
        number("Stir every", values["stir_min"] or "0"),
        values["document"],
        values["revision"],
    )


def _filled_of(values: dict[str, str]) -> cm.FillBath:
    litres = number("Litres", values["litres"])
    return cm.FillBath(values["bath"], litres, values["lot"])


def _rotated_of(values: dict[str, str]) -> cm.RotateBaths:
    litres = number("Fresh litres", values["litres"])
    return cm.RotateBaths(values["first"], values["clean"], litres, values["lot"])


def _measured_of(values: dict[str, str]) -> cm.MeasureBath:
    return cm.MeasureBath(
        values["bath"],
        number("Hydrometer in it", values["density"]),
        number("In fresh alcohol", values["fresh"]),
        number("Both at", values["celsius"]),
    )


def _amiss_of(values: dict[str, str]) -> cm.DoRoutine:
    routine, _, thing = values["check"].partition(" ")
    return cm.DoRoutine(routine, good=False, thing=thing, note=values["note"])


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
    "amiss": lambda _bench, values: _amiss_of(values),
}
