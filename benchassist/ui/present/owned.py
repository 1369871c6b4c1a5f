"""What a practice owns: one table of its forms, one sheet for all of them.

A thing is entered as its label says (``own_bench``), then every value that it has on
file can be changed here, with a reason; a recipe's change is its next revision. Who
entered it and who checked it stands beside it.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, get_args

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain.deciders.owned import KINDS, Thing, on_file
from benchassist.domain.events import ShelfKind
from benchassist.domain.library import Meter, Recipe
from benchassist.domain.limits import limit
from benchassist.domain.shelf import offered, revisions
from benchassist.domain.state import Bench
from benchassist.domain.words import listed
from benchassist.ui.actions import LearnPedal, OpenPage
from benchassist.ui.present.forms import (
    RULES,
    Choices,
    Form,
    Row,
    as_read,
    on_shelf,
)
from benchassist.ui.present.people import NAMES
from benchassist.ui.view import Option, TableView
from benchassist.ui.words import say
from benchassist.value import replace, value

CODE, OWN_WORD = say("Code on its label"), say("your own, one word")
WHICH = say("Which")
PAGE = "kept"  # what the names of these pages begin with
SHOWN = 5  # things with a digit of their own; 7 to 9 are acts, 6 is more
REASON = say("Why it changes")
ROLES: Choices = (
    ("print", say("printed from")),
    ("coat", say("brushed on only")),
    ("stain", say("a stain")),
)
STATUS: Choices = (
    ("as IFU", say("as its instructions say")),
    ("validated here", say("validated here, with a record")),
    ("off-IFU, accepted by prescriber", say("otherwise, prescriber accepted")),
)


PAPERS = (
    Row("document", say("Which paper"), help=say("without it a number is a guess")),
    Row("revision", say("Its revision"), help=say("or the date printed on it")),
)
ROWS: dict[ShelfKind, tuple[Row, ...]] = {
    "material": (
        Row("title", say("Name"), "word"),
        Row("role", say("It is"), choices=ROLES),
        Row("bands", say("Light it listens to, nm"), "bands", say("380-410, 445-475")),
        Row("design_nm", say("Printed at, nm"), "number"),
        Row("set_j_cm2", say("Tacks with, J/cm²"), "number", say("at that wavelength")),
        Row("final_j_cm2", say("Second half brings, J/cm²"), "number"),
        *PAPERS,
    ),
    "recipe": (
        Row("title", say("Name"), "word"),
        Row(
            "ifu_revision",
            say("Instructions, revision"),
            "word",
            say("as printed on them"),
        ),
        Row("status", say("It is"), choices=STATUS),
        Row("record_no", say("Record, if so"), help=say("of the validation")),
        Row("washes", say("Washes, s"), "washes", say("Wash 1 120-300, Wash 2 60-180")),
        Row("solvent_max_s", say("Alcohol in all, s"), "whole"),
        Row("dry_before_box_s", say("Dry before the box, s"), "whole"),
        Row("dry_before_coat_s", say("Dry before a coat, s"), "whole"),
        Row("total", say("Whole cure, each side"), "whole", say("flashes or seconds")),
        Row(
            "dose_max", say("Most ever, each side"), "whole", say("0: twice the whole")
        ),
        Row("coat_material", say("Coat resin"), help=say("its code, or empty")),
        Row("stain_materials", say("Stains"), "list", say("their codes, with commas")),
        Row("coats", say("Coats"), "whole"),
        Row("stain_passes", say("Stain passes"), "whole"),
        Row(
            "faces",
            say("Sides and spots"),
            "faces",
            say("cheek side 20, biting side 20"),
        ),
        Row("planned_tack_s", say("Lamp on each spot, s"), "whole"),
        Row("brush_s", say("Brushing a patch, s"), "whole"),
        Row("move_s", say("Move to the next spot, s"), "whole"),
        Row("wet_limit_s", say("Wet at the most, s"), "whole"),
        Row("refine", say("Refined"), "yes"),
        Row("abrade", say("Abraded"), "yes"),
        Row("degas_s", say("Bubbles rise for, s"), "whole"),
        Row("purge_s", say("Flushed with nitrogen, s"), "whole"),
        Row("rinse_s", say("Rinse, s"), "whole"),
        Row("dry_after_rinse_s", say("Dry after it, s"), "whole"),
        Row("checks", say("Checks"), "list", say("with commas")),
    ),
    "lamp": (
        Row("title", say("Name"), "word"),
        Row("bands", say("Light on its label, nm"), "bands", say("380-410, 445-475")),
        Row("mw_cm2", say("mW/cm² on its label"), "number"),
        Row(
            "baseline_reading", say("Own meter when new"), "number", say("tip at 1 mm")
        ),
        Row(
            "useful_mm",
            say("Width it lights evenly, mm"),
            "number",
            say("measured here"),
        ),
        Row("tip_mm", say("Tip, mm"), "number", say("across")),
        Row(
            "source_mm",
            say("Beam: source behind tip, mm"),
            "number",
            say("from a far reading"),
        ),
        *PAPERS,
    ),
    "box": (
        Row("title", say("Name"), "word"),
        Row(
            "rate_hz",
            say("Counts a second"),
            "positive",
            say("one full run, by the clock"),
        ),
        Row("rule.step", say("Set in steps of"), "step"),
        Row("rule.max_run", say("Most it can be set to"), "whole", say("0: no end")),
        Row(
            "rule.programs",
            say("Fixed programs"),
            "counts",
            say("1000, 2000; empty: any"),
        ),
        Row("chamber_height_mm", say("Chamber height, mm"), "positive"),
        Row("start_allowance_s", say("Warms up for, s"), "whole"),
        Row("warm_s", say("Hot afterwards for, s"), "whole"),
        Row("life", say("Its lamp lasts, counts"), "number", say("by its papers")),
        Row("bands", say("Light on its label, nm"), "bands", say("380-410")),
        *PAPERS,
    ),
    "vessel": (
        Row("title", say("Name"), "word"),
        Row("height_mm", say("Height, mm"), "positive", say("outside")),
        Row("through", say("Lets through, %"), "share", say("own meter, empty")),
    ),
    "meter": (
        Row("title", say("Name"), "word"),
        Row("what", say("It reads"), "word", say("lamp light, mW/cm²")),
        Row("calibrated", say("Calibrated on"), "day", say("2026-03-31")),
        Row("until", say("Good until"), "day", say("2027-03-31")),
        Row("document", say("Its certificate")),
    ),
}


@value
class Shelf:
    """One kind of thing: its name, what it is called, the form that enters one."""

    kind: ShelfKind
    title: str
    one: str
    enter: str


SHELVES: tuple[Shelf, ...] = (
    Shelf("material", say("Resins and stains"), say("a resin"), "own-resin"),
    Shelf("recipe", say("Recipes"), say("a recipe"), "own-recipe"),
    Shelf("lamp", say("Lamps"), say("a lamp"), "own-lamp"),
    Shelf("box", say("Curing boxes"), say("a box"), "own-box"),
    Shelf("vessel", say("Vessels"), say("a vessel"), "own-vessel"),
    Shelf("meter", say("Meters"), say("a meter"), "kept-new meter"),
    Shelf("operator", say("Operators"), say("an operator"), "operator"),
)
BY_KIND = {shelf.kind: shelf for shelf in SHELVES}
NEW: dict[ShelfKind, Thing] = {"meter": Meter("", "", "")}


# --- pages -------------------------------------------------------------------------


def shelves(bench: Bench, now: Instant) -> TableView:
    """Return every kind of thing that a practice owns, and how many there are."""
    del now
    ways = (
        *(
            (shelf.title, OpenPage(f"{PAGE} {shelf.kind}"), offered(bench, shelf.kind))
            for shelf in SHELVES
        ),
        (say("Nitrogen: flow, volume, oxygen"), OpenPage("nitrogen"), None),
        (say("Pedal: learn another key"), LearnPedal(), None),
    )
    rows = (
        *(
            (str(n), name, "" if things is None else str(len(things)))
            for n, (name, _, things) in enumerate(ways, start=1)
        ),
        ("L", say("Bottles, mixes"), ""),
        ("E", say("Baths, glycerine"), ""),
    )
    away = len(bench.retired)
    return TableView(
        say("What you own"),
        ("", "", ""),
        rows,
        "",
        tuple(Option(name, str(n), way) for n, (name, way, _) in enumerate(ways, 1)),
        note=say("{away} retired; what was done with them stays", away=away)
        if away
        else "",
    )


def page(bench: Bench, name: str) -> TableView | None:
    """Return the list of a kind, by its name; None where it is no such name."""
    word, _, rest = name.partition(" ")
    kind, _, code = rest.partition(" ")
    if word != PAGE or not kind or code.strip("+0123456789"):
        return None
    return _list(bench, BY_KIND[_kind(kind)], int(code or 0))


def _kind(word: str) -> ShelfKind:
    return next(kind for kind in get_args(ShelfKind) if kind == word)


def _codes(bench: Bench, kind: ShelfKind) -> tuple[str, ...]:
    """Return the codes of a kind, those that are retired behind the others."""
    gone = (code for of, code in bench.retired if of == kind)
    return (*offered(bench, kind), *gone)


def _list(bench: Bench, shelf: Shelf, first: int) -> TableView:
    known = _codes(bench, shelf.kind)
    first = first if first < len(known) else 0
    some = known[first : first + SHOWN]
    rows = tuple(
        (str(n), *_row(bench, shelf.kind, code)) for n, code in enumerate(some, start=1)
    )
    change = "" if shelf.kind == "operator" else f"{PAGE} {shelf.kind} "
    things = (
        Option(say("Change {code}", code=code), str(n), OpenPage(f"{change}{code}"))
        for n, code in enumerate(some, start=1)
        if change
    )
    further = first + SHOWN
    more = (
        (Option(say("More"), "6", OpenPage(f"{PAGE} {shelf.kind} +{further}")),)
        if len(known) > SHOWN
        else ()
    )
    ways = (
        ("check", say("Read by other eyes"), "7"),
        ("retire", say("Used no more"), "9"),
    )
    check, retire = (
        (Option(told, key, OpenPage(f"{way} {shelf.kind}")),)
        if offered(bench, shelf.kind) and (change or way == "retire")
        else ()
        for way, told, key in ways
    )
    return TableView(
        shelf.title,
        ("", say("Code"), say("What"), say("Entered"), say("Checked"), ""),
        rows,
        say("None is on file yet: 8 enters {one}.", one=shelf.one),
        (
            *things,
            *more,
            *check,
            Option(say("Enter {one}", one=shelf.one), "8", OpenPage(shelf.enter)),
            *retire,
        ),
        note=say(
            "{first} to {last} of {all}",
            first=first + 1,
            last=first + len(some),
            all=len(known),
        )
        if more
        else "",
    )


def _row(bench: Bench, kind: ShelfKind, code: str) -> tuple[str, ...]:
    retired = bench.retired.get((kind, code))
    state = say("retired {day}", day=retired) if retired else ""
    if kind == "operator":
        return code, bench.levels.get(code, ""), "", "", state
    thing = on_file(bench, kind, code)
    named = thing.id if isinstance(thing, Recipe) else code
    title = thing.title if thing else ""
    return named, title if title != code else "", *_eyes(bench, kind, code), state


def _eyes(bench: Bench, kind: ShelfKind, code: str) -> tuple[str, str]:
    """Return who entered a thing as it is now, and who checked that."""
    filed = bench.filed.get((kind, code))
    if filed is None:
        return "", ""
    entered = say("by {who}", who=filed.by) if filed.by else say("from a file")
    checked = say("not checked")
    if filed.checked_by:
        checked = say(
            "checked by {who}, {day}", who=filed.checked_by, day=filed.checked_day
        )
    return f"{entered}, {filed.day}", checked


# --- forms ---------------------------------------------------------------------------


def form(bench: Bench, name: str) -> Form | None:
    """Return the form of a name: a thing's sheet, one that checks or retires one.

    None where the name is none of these, or the thing is not on file.
    """
    word, _, rest = name.partition(" ")
    kind, _, code = rest.partition(" ")
    match word:
        case "kept-new":
            return _new(name, BY_KIND[_kind(kind)])
        case "kept" if thing := code and on_file(bench, _kind(kind), code):
            return _sheet(bench, BY_KIND[_kind(kind)], thing)
        case "check":
            return _check(name, _kind(kind))
        case "retire":
            return _retire(name, _kind(kind))
        case _:
            return None


def _rows(kind: ShelfKind, thing: Thing) -> tuple[Row, ...]:
    """Return a kind's rows, each beginning with what a thing has on file."""
    return tuple(
        replace(row, start=row.show(_at(thing, row.name))) for row in ROWS[kind]
    )


def _new(name: str, shelf: Shelf) -> Form:
    """Return the sheet that enters a thing."""
    fresh = NEW[shelf.kind]
    return Form(
        name,
        say("Enter {one}", one=shelf.one),
        (Row("code", CODE, "code", OWN_WORD), *_rows(shelf.kind, fresh)),
        lambda _b, read: cm.FileThing(
            _changed(replace(fresh, code=read["code"]), read)
        ),
        say("Its readings are its own alone."),
    )


def _sheet(bench: Bench, shelf: Shelf, thing: Thing) -> Form:
    """Return the one sheet of every thing: its values as they are, then why."""
    why = Row("reason", REASON, help=say("it stays on the record"))
    named = thing.id if isinstance(thing, Recipe) else thing.code
    entered, checked = _eyes(bench, shelf.kind, thing.code)
    note = say("Entered {entered}; {checked}.", entered=entered, checked=checked)
    if isinstance(thing, Recipe):
        keep = say("Parts in work keep theirs.")
        note = f"{keep} {note}"
    return Form(
        f"{PAGE} {shelf.kind} {thing.code}",
        f"{named}, {shelf.one}",
        (*_rows(shelf.kind, thing), why),
        lambda _bench, read: cm.FileThing(_changed(thing, read), read["reason"]),
        note,
        say("Change"),
    )


def _check(name: str, kind: ShelfKind) -> Form:
    return Form(
        name,
        say("Read by other eyes"),
        (Row("code", WHICH, choices=on_shelf(kind)),),
        lambda _bench, read: cm.CheckThing(kind, **read),
        say("Every value beside its papers, by another than who entered it."),
        say("Right"),
    )


def _retire(name: str, kind: ShelfKind) -> Form:
    return Form(
        name,
        say("Used no more"),
        (
            Row("code", WHICH, choices=on_shelf(kind)),
            Row("reason", say("Why"), help=say("broken, sold, its papers ended")),
        ),
        lambda _bench, read: cm.RetireThing(kind, **read),
        say("It is offered no more; what was done with it stays on record."),
        say("Retire"),
    )


def _at(thing: object, name: str) -> Any:  # noqa: ANN401 - whatever is there
    for part in name.split("."):
        thing = getattr(thing, part)
    return thing


def _with(thing: Any, name: str, found: object) -> Any:  # noqa: ANN401 - of any kind
    head, _, rest = name.partition(".")
    inner = _with(getattr(thing, head), rest, found) if rest else found
    return replace(thing, **{head: inner})


def _changed(thing: Thing, read: dict[str, Any]) -> Thing:
    for row in ROWS[KINDS[type(thing)]]:
        thing = _with(thing, row.name, read[row.name])
    return thing


def _limit(code: str) -> Callable[[Bench], str]:
    return lambda bench: RULES["number"].show(limit(bench, code))


OPERATOR = Form(
    "operator",
    say("Enter an operator"),
    (
        Row("who", say("Code"), "code", say("such as OP-3, never a name")),
        Row("level", say("Works"), start="alone", choices=tuple(NAMES.items())),
    ),
    as_read(cm.SetLevel),
    say("A level says how much the bench explains."),
    back="kept operator",
)
# What sums and gates take the oxygen left from.
NITROGEN = Form(
    "nitrogen",
    say("Nitrogen"),
    (
        Row(
            "flow_l_min",
            say("Flow, L/min"),
            "number",
            say("empty: not known"),
            _limit("nitrogen_l_min"),
        ),
        Row(
            "chamber_l",
            say("Room it flushes, L"),
            "number",
            start=_limit("chamber_l"),
        ),
        Row(
            "oxygen_percent",
            say("Oxygen left by meter, %"),
            "number",
            start=_limit("nitrogen_percent"),
        ),
        Row("reason", say("How it is known"), help=say("meter, flow gauge, ruler")),
    ),
    as_read(cm.SetNitrogen),
    say("It displaces air: ventilate, watch the oxygen alarm, close the valve."),
    back="kept",
)


def stated(bench: Bench, told: cm.FileThing) -> str:
    """Return in a line what a change changes, for the page on which it is held."""
    thing = told.thing
    kind = KINDS[type(thing)]
    old = on_file(bench, kind, thing.code)
    if old is None:
        return say("{code} comes onto the shelf.", code=thing.code)
    lines = []
    for row in ROWS[kind]:
        was, new = _at(old, row.name), _at(thing, row.name)
        if was != new:
            none = say("none")
            both = f"{row.show(was) or none} > {row.show(new) or none}"
            lines.append(f"{row.label}: {both}")
    head = thing.code
    if isinstance(thing, Recipe):
        newest = revisions(bench, thing.code)[-1]
        head = f"{thing.code} r{newest.revision + 1}"
        keep = tuple(
            part.code
            for part in bench.in_flight
            if bench.recipe_of(part).code == newest.code
        )
        if keep:
            lines.append(say("{parts}: kept as taken in", parts=listed(keep)))
    if not lines:
        return say("{code}: nothing changes.", code=head)
    return f"{head}. {'; '.join(lines)}."
