"""What a practice owns: one table of its forms, one sheet for all of them.

A thing is entered as its label says (``own_bench``), then every value that it has on
file can be changed here, with a reason; a recipe's change is its next revision. Who
entered it and who checked it stands beside it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, get_args

from benchassist.domain import commands as cm
from benchassist.domain.deciders.owned import KINDS, Thing, on_file
from benchassist.domain.events import ShelfKind
from benchassist.domain.library import Meter, Recipe
from benchassist.domain.shelf import offered, revisions
from benchassist.domain.words import listed
from benchassist.ui.actions import LearnPedal, OpenPage
from benchassist.ui.present.forms import NONE, RULES, Choices, FormError, parsed
from benchassist.ui.view import Field, FormView, Option, TableView
from benchassist.value import replace, value

if TYPE_CHECKING:
    from benchassist.clock import Instant
    from benchassist.domain.state import Bench

PAGE = "kept"  # what the names of these pages begin with
SHOWN = 5  # things with a digit of their own; 7 to 9 are acts, 6 is more
REASON = "Why it changes"
ROLES: Choices = (
    ("print", "printed from"),
    ("coat", "brushed on only"),
    ("stain", "a stain"),
)
STATUS: Choices = (
    ("as IFU", "as its instructions say"),
    ("validated here", "validated here, with a record"),
    ("off-IFU, accepted by prescriber", "otherwise, accepted by the prescriber"),
)
LEVELS: Choices = (
    ("alone", "alone"),
    ("gates only", "told at gates only"),
    ("every prompt", "told at every step"),
    ("watch", "watches"),
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
    Row("document", "Which paper", help="without it a number is a guess"),
    Row("revision", "Its revision", help="or the date printed on it"),
)
ROWS: dict[ShelfKind, tuple[Row, ...]] = {
    "material": (
        Row("title", "Name"),
        Row("role", "It is", choices=ROLES),
        Row("bands", "Light it listens to, nm", "bands", "380-410, 445-475"),
        Row("design_nm", "Printed at, nm", "number"),
        Row("set_j_cm2", "Tacks with, J/cm²", "number", "at that wavelength"),
        Row("final_j_cm2", "Second half brings, J/cm²", "number"),
        *PAPERS,
    ),
    "recipe": (
        Row("title", "Name"),
        Row("ifu_revision", "Instructions, revision", "word", "as printed on them"),
        Row("status", "It is", choices=STATUS),
        Row("record_no", "Record, if so", help="of the validation"),
        Row("washes", "Washes, s", "washes", "Wash 1 120-300, Wash 2 60-180"),
        Row("solvent_max_s", "Alcohol in all, s", "whole"),
        Row("dry_before_box_s", "Dry before the box, s", "whole"),
        Row("dry_before_coat_s", "Dry before a coat, s", "whole"),
        Row("total", "Whole cure, each side", "whole", "flashes or seconds"),
        Row("dose_max", "Most ever, each side", "whole", "0: twice the whole"),
        Row("coat_material", "Coat resin", help="its code, or empty"),
        Row("stain_materials", "Stains", "list", "their codes, with commas"),
        Row("coats", "Coats", "whole"),
        Row("stain_passes", "Stain passes", "whole"),
        Row("faces", "Sides and spots", "faces", "cheek side 20, biting side 20"),
        Row("planned_tack_s", "Lamp on each spot, s", "whole"),
        Row("brush_s", "Brushing a patch, s", "whole"),
        Row("move_s", "Move to the next spot, s", "whole"),
        Row("wet_limit_s", "Wet at the most, s", "whole"),
        Row("refine", "Refined", "yes"),
        Row("abrade", "Abraded", "yes"),
        Row("degas_s", "Bubbles rise for, s", "whole"),
        Row("purge_s", "Flushed with nitrogen, s", "whole"),
        Row("rinse_s", "Rinse, s", "whole"),
        Row("dry_after_rinse_s", "Dry after it, s", "whole"),
        Row("checks", "Checks", "list", "with commas"),
    ),
    "lamp": (
        Row("title", "Name"),
        Row("bands", "Light on its label, nm", "bands", "380-410, 445-475"),
        Row("mw_cm2", "mW/cm² on its label", "number"),
        Row("baseline_reading", "Own meter when new", "number", "tip at 1 mm"),
        Row("useful_mm", "Width it lights evenly, mm", "number", "measured here"),
        Row("tip_mm", "Tip, mm", "number", "across"),
        Row("source_mm", "Beam: source behind tip, mm", "number", "from a far reading"),
        *PAPERS,
    ),
    "box": (
        Row("title", "Name"),
        Row("rate_hz", "Counts a second", "positive", "one full run, by the clock"),
        Row("rule.step", "Set in steps of", "whole"),
        Row("rule.max_run", "Most it can be set to", "whole", "0: no end"),
        Row("rule.programs", "Fixed programs", "counts", "1000, 2000; empty: any"),
        Row("chamber_height_mm", "Chamber height, mm", "positive"),
        Row("start_allowance_s", "Warms up for, s", "whole"),
        Row("warm_s", "Hot afterwards for, s", "whole"),
        Row("life", "Its lamp lasts, counts", "number", "by its papers"),
        Row("bands", "Light on its label, nm", "bands", "380-410"),
        *PAPERS,
    ),
    "vessel": (
        Row("title", "Name"),
        Row("height_mm", "Height, mm", "positive", "outside"),
        Row("through", "Lets through, %", "share", "own meter, empty"),
    ),
    "meter": (
        Row("title", "Name"),
        Row("what", "It reads", "word", "lamp light, mW/cm²"),
        Row("calibrated", "Calibrated on", "day", "2026-03-31"),
        Row("until", "Good until", "day", "2027-03-31"),
        Row("document", "Its certificate"),
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
    Shelf("material", "Resins and stains", "a resin", "own-resin"),
    Shelf("recipe", "Recipes", "a recipe", "own-recipe"),
    Shelf("lamp", "Lamps", "a lamp", "own-lamp"),
    Shelf("box", "Curing boxes", "a box", "own-box"),
    Shelf("vessel", "Vessels", "a vessel", "own-vessel"),
    Shelf("meter", "Meters", "a meter", "kept-new meter"),
    Shelf("operator", "Operators", "an operator", "operator"),
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
        "What you own",
        ("", "There are"),
        (*rows, ("Bottles, mixes", "key L"), ("Baths, glycerine", "key E")),
        "",
        (
            *(
                Option(shelf.title, str(n), OpenPage(f"{PAGE} {shelf.kind}"))
                for n, shelf in enumerate(SHELVES, start=1)
            ),
            Option("Nitrogen: flow, volume, oxygen", "8", OpenPage("nitrogen")),
            Option("Pedal: learn another key", "9", LearnPedal()),
        ),
        note=f"{away} retired; what was done with them stays" if away else "",
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
        Option(f"Change {code}", str(n), OpenPage(f"{change}{code}"))
        for n, code in enumerate(some, start=1)
        if change
    )
    further = first + SHOWN
    more = (
        (Option("More", "6", OpenPage(f"{PAGE} {shelf.kind} +{further}")),)
        if len(known) > SHOWN
        else ()
    )
    check = Option("Read by other eyes", "7", OpenPage(f"check {shelf.kind}"))
    return TableView(
        shelf.title,
        ("", "Code", "What", "Entered", "Checked", ""),
        rows,
        f"None is on file yet: 8 enters {shelf.one}.",
        (
            *things,
            *more,
            *((check,) if change else ()),
            Option(f"Enter {shelf.one}", "8", OpenPage(shelf.enter)),
            Option("Used no more", "9", OpenPage(f"retire {shelf.kind}")),
        ),
        note=f"{first + 1} to {first + len(some)} of {len(known)}" if more else "",
    )


def _row(bench: Bench, kind: ShelfKind, code: str) -> tuple[str, ...]:
    retired = bench.retired.get((kind, code))
    state = f"retired {retired}" if retired else ""
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
    entered = f"by {filed.by}" if filed.by else "from a file"
    checked = "not checked"
    if filed.checked_by:
        checked = f"checked by {filed.checked_by}, {filed.checked_day}"
    return f"{entered}, {filed.day}", checked


def _sheet(bench: Bench, shelf: Shelf, thing: Thing, error: str) -> FormView:
    """Return the one sheet of every thing: its values as they are, then why."""
    rows = ROWS[shelf.kind]
    fields = [_field(row, _at(thing, row.name)) for row in rows]
    if not thing.code:
        code = Field("code", "Code on its label", "text", help="your own", rule="code")
        name, note = f"kept-new {shelf.kind}", "Its readings are its own alone."
        title = f"Enter {shelf.one}"
        return FormView(name, title, (code, *fields), "Keep", note, error)
    fields.append(Field("reason", REASON, "text", help="it stays on the record"))
    named = thing.id if isinstance(thing, Recipe) else thing.code
    entered, checked = _eyes(bench, shelf.kind, thing.code)
    keep = "Parts in work keep theirs. " if isinstance(thing, Recipe) else ""
    note = f"{keep}Entered {entered}; {checked}."
    return FormView(
        f"{PAGE} {shelf.kind} {thing.code}",
        f"{named}, {shelf.one}",
        tuple(fields),
        "Change",
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
            named = parsed("code", "Code on its label", values["code"])
            return cm.FileThing(_changed(replace(fresh, code=named), values))
        case "kept":
            thing = on_file(bench, _kind(kind), code)
            if thing is None:
                msg = f"{code} is not on file any more."
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
    fields = [Field("code", "Which", "choice", choices=known)]
    if word == "check":
        note = "Every value beside its papers, by another than who entered it."
        return FormView(name, "Read by other eyes", tuple(fields), "Right", note, error)
    fields.append(Field("reason", "Why", "text", help="broken, sold, its papers ended"))
    note = "It is offered no more; what was done with it stays on record."
    return FormView(name, "Used no more", tuple(fields), "Retire", note, error)


def operator(bench: Bench, error: str = "") -> FormView:
    """Return the form for an operator and how far they work by themselves."""
    del bench
    fields = (
        Field("who", "Code", "text", help="such as OP-3, never a name", rule="code"),
        Field("level", "Works", "choice", "alone", LEVELS),
    )
    note = "A level says how much the bench explains."
    return FormView("operator", "Enter an operator", fields, "Keep", note, error)


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
        Field("flow", "Flow, L/min", "number", told["flow"], help="empty: not known"),
        Field("chamber", "Room it flushes, L", "number", told["chamber"]),
        Field("oxygen", "Oxygen left by meter, %", "number", told["oxygen"]),
        Field("reason", "How it is known", "text", help="meter, flow gauge, ruler"),
    )
    note = "It displaces air: ventilate, watch the oxygen alarm, close the valve."
    return FormView("nitrogen", "Nitrogen", fields, "Enter", note, error)


def stated(bench: Bench, told: cm.FileThing) -> str:
    """Return in a line what a change changes, for the page on which it is held."""
    thing = told.thing
    kind = KINDS[type(thing)]
    old = on_file(bench, kind, thing.code)
    if old is None:
        return f"{thing.code} comes onto the shelf."
    lines = []
    for row in ROWS[kind]:
        was, new = _at(old, row.name), _at(thing, row.name)
        if was != new:
            show = str if row.choices else RULES[row.rule].show
            lines.append(f"{row.label}: {show(was) or 'none'} > {show(new) or 'none'}")
    head = thing.code
    if isinstance(thing, Recipe):
        newest = revisions(bench, thing.code)[-1]
        head = f"{thing.code} r{newest.revision + 1}"
        keep = tuple(
            part.code for part in bench.in_flight if part.recipe.startswith(newest.code)
        )
        if keep:
            lines.append(f"{listed(keep)} keep {'theirs' if keep[1:] else 'its own'}")
    return f"{head}. {'; '.join(lines)}." if lines else f"{head}: nothing changes."
