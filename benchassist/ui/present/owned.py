"""What a practice owns: one table of its forms, one sheet for all of them.

A thing is entered as its label says (``own_bench``), then every value that it has on
file can be changed here, with a reason; a recipe's change is its next revision. Who
entered it and who checked it stands beside it.
"""

from __future__ import annotations

from typing import Any, get_args

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain.deciders.owned import KINDS, Thing, on_file
from benchassist.domain.events import ShelfKind
from benchassist.domain.library import Meter, Recipe
from benchassist.domain.shelf import offered, revisions
from benchassist.domain.state import Bench
from benchassist.domain.words import listed
from benchassist.ui.actions import LearnPedal, OpenPage
from benchassist.ui.present.forms import NONE, RULES, Choices, FormError, parsed
from benchassist.ui.view import Field, FormView, Option, TableView
from benchassist.ui.words import say
from benchassist.value import replace, value

CODE = say("Code on its label")
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
    ("off-IFU, accepted by prescriber", say("otherwise, accepted by the prescriber")),
)
LEVELS: Choices = (
    ("alone", say("alone")),
    ("gates only", say("told at gates only")),
    ("every prompt", say("told at every step")),
    ("watch", say("watches")),
)


@value
class Row:
    """One value of a thing: where it is, what it is called, how it is read."""

    name: str
    label: str
    rule: str = "text"
    help: str = ""
    choices: Choices = ()


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
        Row("rule.step", say("Set in steps of"), "whole"),
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
    rows = [(shelf.title, str(len(offered(bench, shelf.kind)))) for shelf in SHELVES]
    away = len(bench.retired)
    return TableView(
        say("What you own"),
        ("", say("There are")),
        (
            *rows,
            (say("Bottles, mixes"), say("key L")),
            (say("Baths, glycerine"), say("key E")),
        ),
        "",
        (
            *(
                Option(shelf.title, str(n), OpenPage(f"{PAGE} {shelf.kind}"))
                for n, shelf in enumerate(SHELVES, start=1)
            ),
            Option(say("Nitrogen: flow, volume, oxygen"), "8", OpenPage("nitrogen")),
            Option(say("Pedal: learn another key"), "9", LearnPedal()),
        ),
        note=say("{away} retired; what was done with them stays", away=away)
        if away
        else "",
    )


def page(bench: Bench, name: str, error: str) -> TableView | FormView | None:
    """Return the page of a name that ``owned`` gave, None where it is none of them."""
    word, _, rest = name.partition(" ")
    kind, _, code = rest.partition(" ")
    if word == "kept-new":
        return _sheet(bench, BY_KIND[_kind(kind)], NEW[_kind(kind)], error)
    if word != PAGE or not kind:
        return None
    shelf = BY_KIND[_kind(kind)]
    if code.startswith("+") or not code:
        return _list(bench, shelf, int(code or 0))
    thing = on_file(bench, shelf.kind, code)
    return None if thing is None else _sheet(bench, shelf, thing, error)


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
    check = Option(say("Read by other eyes"), "7", OpenPage(f"check {shelf.kind}"))
    return TableView(
        shelf.title,
        ("", say("Code"), say("What"), say("Entered"), say("Checked"), ""),
        rows,
        say("None is on file yet: 8 enters {one}.", one=shelf.one),
        (
            *things,
            *more,
            *((check,) if change else ()),
            Option(say("Enter {one}", one=shelf.one), "8", OpenPage(shelf.enter)),
            Option(say("Used no more"), "9", OpenPage(f"retire {shelf.kind}")),
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


def _sheet(bench: Bench, shelf: Shelf, thing: Thing, error: str) -> FormView:
    """Return the one sheet of every thing: its values as they are, then why."""
    rows = ROWS[shelf.kind]
    fields = [_field(row, _at(thing, row.name)) for row in rows]
    if not thing.code:
        code = Field("code", CODE, "text", help=say("your own, one word"), rule="code")
        name, note = f"kept-new {shelf.kind}", say("Its readings are its own alone.")
        title = say("Enter {one}", one=shelf.one)
        return FormView(name, title, (code, *fields), say("Keep"), note, error)
    fields.append(Field("reason", REASON, "text", help=say("it stays on the record")))
    named = thing.id if isinstance(thing, Recipe) else thing.code
    entered, checked = _eyes(bench, shelf.kind, thing.code)
    note = say("Entered {entered}; {checked}.", entered=entered, checked=checked)
    if isinstance(thing, Recipe):
        keep = say("Parts in work keep theirs.")
        note = f"{keep} {note}"
    return FormView(
        f"{PAGE} {shelf.kind} {thing.code}",
        f"{named}, {shelf.one}",
        tuple(fields),
        say("Change"),
        note,
        error,
    )


def _field(row: Row, found: Any) -> Field:  # noqa: ANN401 - by its rule
    if row.choices:
        return Field(row.name, row.label, "choice", str(found), row.choices, row.help)
    shown = RULES[row.rule].show(found)
    kind = "check" if row.rule == "yes" else "text"
    return Field(row.name, row.label, kind, shown, help=row.help, rule=row.rule)  # type: ignore[arg-type] # either


def _at(thing: object, name: str) -> Any:  # noqa: ANN401 - whatever is there
    for part in name.split("."):
        thing = getattr(thing, part)
    return thing


def _with(thing: Any, name: str, found: object) -> Any:  # noqa: ANN401 - of any kind
    head, _, rest = name.partition(".")
    inner = _with(getattr(thing, head), rest, found) if rest else found
    return replace(thing, **{head: inner})


# --- what they stand for -------------------------------------------------------------


def command(bench: Bench, name: str, values: dict[str, str]) -> cm.Command | None:
    """Return the command of a form that ``page`` or one of ``FORMS`` gave.

    Raises
    ------
    FormError
        If a value cannot be read; the text says which and what is expected.
    """
    word, _, rest = name.partition(" ")
    kind, _, code = rest.partition(" ")
    match word:
        case "kept-new":
            fresh = NEW[_kind(kind)]
            named = parsed("code", CODE, values["code"])
            return cm.FileThing(_changed(replace(fresh, code=named), values))
        case "kept":
            thing = on_file(bench, _kind(kind), code)
            if thing is None:
                msg = say("{code} is not on file any more.", code=code)
                raise FormError(msg)
            return cm.FileThing(_changed(thing, values), values["reason"])
        case "check":
            return cm.CheckThing(_kind(kind), values["code"])
        case "retire":
            return cm.RetireThing(_kind(kind), values["code"], values["reason"])
        case _:
            return None


def _changed(thing: Thing, values: dict[str, str]) -> Thing:
    for row in ROWS[KINDS[type(thing)]]:
        typed = values[row.name]
        found = typed if row.choices else parsed(row.rule, row.label, typed)
        thing = _with(thing, row.name, found)
    return thing


def form(bench: Bench, name: str, error: str) -> FormView | None:
    """Return the form that checks or retires a thing, None where it is neither."""
    word, _, kind = name.partition(" ")
    if word not in ("check", "retire"):
        return None
    known = tuple((code, code) for code in offered(bench, _kind(kind))) or NONE
    fields = [Field("code", say("Which"), "choice", choices=known)]
    if word == "check":
        note = say("Every value beside its papers, by another than who entered it.")
        title, right = say("Read by other eyes"), say("Right")
        return FormView(name, title, tuple(fields), right, note, error)
    fields.append(
        Field("reason", say("Why"), "text", help=say("broken, sold, its papers ended"))
    )
    note = say("It is offered no more; what was done with it stays on record.")
    title, away = say("Used no more"), say("Retire")
    return FormView(name, title, tuple(fields), away, note, error)


def operator(bench: Bench, error: str = "") -> FormView:
    """Return the form for an operator and how far they work by themselves."""
    del bench
    fields = (
        Field(
            "who",
            say("Code"),
            "text",
            help=say("such as OP-3, never a name"),
            rule="code",
        ),
        Field("level", say("Works"), "choice", "alone", LEVELS),
    )
    note = say("A level says how much the bench explains.")
    title = say("Enter an operator")
    return FormView("operator", title, fields, say("Keep"), note, error)


def nitrogen(bench: Bench, error: str = "") -> FormView:
    """Return the form for nitrogen: what sums and gates take the oxygen left from."""
    from benchassist.domain.limits import limit  # noqa: PLC0415 - one use

    told = {
        name: RULES["number"].show(limit(bench, code))
        for name, code in (
            ("flow", "nitrogen_l_min"),
            ("chamber", "chamber_l"),
            ("oxygen", "nitrogen_percent"),
        )
    }
    fields = (
        Field(
            "flow",
            say("Flow, L/min"),
            "number",
            told["flow"],
            help=say("empty: not known"),
        ),
        Field("chamber", say("Room it flushes, L"), "number", told["chamber"]),
        Field("oxygen", say("Oxygen left by meter, %"), "number", told["oxygen"]),
        Field(
            "reason",
            say("How it is known"),
            "text",
            help=say("meter, flow gauge, ruler"),
        ),
    )
    note = say("It displaces air: ventilate, watch the oxygen alarm, close the valve.")
    return FormView("nitrogen", say("Nitrogen"), fields, say("Keep"), note, error)


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
            show = str if row.choices else RULES[row.rule].show
            none = say("none")
            lines.append(f"{row.label}: {show(was) or none} > {show(new) or none}")
    head = thing.code
    if isinstance(thing, Recipe):
        newest = revisions(bench, thing.code)[-1]
        head = f"{thing.code} r{newest.revision + 1}"
        keep = tuple(
            part.code for part in bench.in_flight if part.recipe.startswith(newest.code)
        )
        if keep:
            lines.append(say("{parts}: kept as taken in", parts=listed(keep)))
    if not lines:
        return say("{code}: nothing changes.", code=head)
    return f"{head}. {'; '.join(lines)}."
