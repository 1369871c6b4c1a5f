"""The path from nothing to the first part: ten steps, each left or taken up again.

Only what a label, a leaflet and an instruction for use carry is asked; nothing is
filled in for a practice but what is common practice, and that is said.
"""

from __future__ import annotations

from collections.abc import Callable

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain.library import (
    BathStep,
    Box,
    CountRule,
    HandTack,
    Lamp,
    Lot,
    Material,
    Recipe,
    SpotFace,
    Vessel,
)
from benchassist.domain.state import Bench
from benchassist.ui.actions import LearnPedal, OpenPage
from benchassist.ui.present.forms import NONE, FormError, codes, number
from benchassist.ui.present.shelf import bottle_of
from benchassist.ui.view import Field, FormView, Option, TableView
from benchassist.ui.words import say
from benchassist.value import value

PEAK_NM = 15.0  # a label that names a peak: this much to either side; assumed
LIGHTS = (
    # what a label says, and the bands it means [nm]
    ("385-405", say("385 to 405 nm")),
    ("405", say("405 nm")),
    ("385", say("385 nm")),
    ("365", say("365 nm")),
    ("460", say("460 nm")),
    ("405,460", say("405 and 460 nm")),
    ("385,460", say("385 and 460 nm")),
    ("430", say("430 nm")),
    ("", say("the label does not say")),
)
CLASSES = ("crown", "veneer", "bridge", "splint", "denture base", "try-in")
# Patches of light in one coat of a class: common practice, no source; the recipe of a
# practice's own may say otherwise. A crown's are the fewest circles of the usual beam
# that leave no hole on one of usual size (`physics.spots.covering_lattice`): one a side
# would leave 12 % of it without light.
SPOTS: dict[str, tuple[tuple[str, int], ...]] = {
    "crown": (
        ("biting side", 3),
        ("cheek side", 3),
        ("tongue side", 3),
        ("front neighbour", 2),
        ("back neighbour", 2),
    ),
    "veneer": (("cheek side", 2),),
    "bridge": (("cheek side", 4), ("biting side", 4), ("tongue side", 4)),
    "splint": (("cheek side", 20), ("biting side", 20), ("tongue side", 20)),
    "denture base": (("cheek side", 20), ("tongue side", 20)),
    "try-in": (),
}
BRUSH_S, MOVE_S, WET_S, RINSE_S, DRY_S, COAT_DRY_S = 15, 3, 120, 60, 120, 300
DEGAS_S = 300  # bubbles leave or are brushed off meanwhile
CHECKS = (
    "tack after rinsing",
    "inspection",
    "fit and contacts",
    "occlusion",
    "shade",
    "label",
)
STATUS = (
    ("as IFU", say("as its instructions say")),
    ("validated here", say("validated here, with a record")),
    ("off-IFU, accepted by prescriber", say("otherwise, prescriber accepts")),
)


@value
class Step:
    """One step: what there is already, what leaving it costs, what does it."""

    title: str
    later: str
    act: OpenPage | LearnPedal
    has: Callable[[Bench], str]
    needed: bool = True


def _first(found: dict[str, object]) -> str:
    codes_ = tuple(found)
    more = say(" and {many} more", many=len(codes_) - 1) if len(codes_) > 1 else ""
    return f"{codes_[0]}{more}" if codes_ else ""


def _resin(bench: Bench) -> str:
    return _first({code: None for code in bench.lots if code not in bench.closed_lots})


def _fill(bench: Bench) -> str:
    return next((f"{code}, {fill.lot}" for code, fill in bench.fills.items()), "")


STEPS: tuple[Step, ...] = (
    Step(
        say("Who works here"),
        say("no part goes in"),
        OpenPage("own-who"),
        lambda b: b.operator,
    ),
    Step(
        say("Screen: measure it"),
        say("letters may be small"),
        OpenPage("ruler"),
        lambda _b: "",
        needed=False,
    ),
    Step(
        say("Pedal: press it"),
        say("the space bar is the pedal"),
        LearnPedal(),
        lambda _b: "",
        needed=False,
    ),
    Step(
        say("Curing box"),
        say("no cure"),
        OpenPage("own-box"),
        lambda b: _first({**b.boxes}),
    ),
    Step(
        say("Lamp"), say("no coat"), OpenPage("own-lamp"), lambda b: _first({**b.lamps})
    ),
    Step(
        say("Resin and its lot"), say("no part goes in"), OpenPage("own-resin"), _resin
    ),
    Step(
        say("Recipe, from its instructions"),
        say("no part goes in"),
        OpenPage("own-recipe"),
        lambda b: _first({**b.recipes}),
    ),
    Step(
        say("Wash baths"),
        say("resin in them is not counted"),
        OpenPage("fill-bath"),
        lambda b: _first({**b.baths}),
        needed=False,
    ),
    Step(
        say("Vessel and glycerine"),
        say("no second half"),
        OpenPage("own-vessel"),
        _fill,
    ),
)


def path(bench: Bench, now: Instant) -> TableView:
    """Return the steps with what there is and what each later costs."""
    del now
    rows = []
    for n, step in enumerate(STEPS, start=1):
        has = step.has(bench)
        state = "done" if has else "open" if step.needed else say("if you like")
        rows.append((str(n), step.title, has, state, "" if has else step.later))
    left = sum(1 for step in STEPS if step.needed and not step.has(bench))
    options = [
        Option(step.title, str(n), step.act) for n, step in enumerate(STEPS, start=1)
    ]
    first = next((s for s in STEPS if s.needed and not s.has(bench)), None)
    go_on = Option(say("Take the first part in"), "Enter", OpenPage("intake"))
    if first is not None:
        go_on = Option(say("Next: {title}", title=first.title), "Enter", first.act)
    note = (
        say(
            "{left} step{it} to the first part; stop anywhere, it goes on "
            "where you left",
            left=left,
            it="s" * (left > 1),
        )
        if left
        else say(
            "A first part can go in. Before a coat: a coupon, key T, about 16 min."
        )
    )
    return TableView(
        say("Your own bench"),
        ("", say("Step"), say("You have"), "", say("If later")),
        tuple(rows),
        "",
        (go_on, *options),
        note=note,
    )


# --- the forms ---------------------------------------------------------------------


def who(bench: Bench, error: str = "") -> FormView:
    """Return the form for who works here."""
    del bench
    fields = (
        Field(
            "who",
            say("Your code"),
            "text",
            help=say("such as OP-1, never a name"),
            rule="code",
        ),
    )
    return FormView(
        "own-who", say("Who works here?"), fields, say("This is me"), "", error
    )


def box(bench: Bench, error: str = "") -> FormView:
    """Return the form for a curing box."""
    del bench
    units = (("flash", "flashes"), ("s", "seconds"))
    fields = (
        Field(
            "code",
            say("Code on its label"),
            "text",
            help=say("your own, one word"),
            rule="code",
        ),
        Field("unit", say("It counts"), "choice", "flash", units),
        Field("counts", say("One full run shows"), "number", help=say("flashes; 2200")),
        Field("seconds", say("and takes, s"), "number", help=say("by the clock")),
        Field("step", say("Set in steps of"), "number", "100"),
        Field(
            "most", say("Most it can be set to"), "number", help=say("empty: no end")
        ),
        Field("light", say("Light on its label"), "choice", "385-405", LIGHTS),
        Field(
            "height",
            say("Chamber height, mm"),
            "number",
            help=say("for a vessel inside"),
        ),
    )
    note = say("Let it run once and stop the time: the rate follows.")
    return FormView(
        "own-box", say("Your curing box"), fields, say("Keep, go on"), note, error
    )


def lamp(bench: Bench, error: str = "") -> FormView:
    """Return the form for a handheld lamp."""
    del bench
    when = (("new", say("when new")), ("today", "today"), ("", say("no meter yet")))
    fields = (
        Field(
            "code",
            say("Code on its label"),
            "text",
            help=say("your own, one word"),
            rule="code",
        ),
        Field("light", say("Light it gives"), "choice", "", LIGHTS),
        Field(
            "mw_cm2", say("mW/cm² on its label"), "number", help=say("empty: not said")
        ),
        Field("reading", say("Your meter reads"), "number", help=say("tip at 1 mm")),
        Field("when", say("That was"), "choice", "today", when),
    )
    note = say(
        "Label only: no coat till a coupon passed, or its papers are typed, key E."
    )
    return FormView(
        "own-lamp", say("Your lamp"), fields, say("Keep, go on"), note, error
    )


def resin(bench: Bench, error: str = "") -> FormView:
    """Return the form for a resin with its first lot."""
    del bench
    roles = (
        ("print", say("printed from")),
        ("coat", say("brushed on only")),
        ("stain", say("a stain")),
    )
    fields = (
        Field(
            "scan", say("Scan its label"), "scan", help=say("then Enter; or type below")
        ),
        Field(
            "code", say("Your code for it"), "text", help=say("one word"), rule="code"
        ),
        Field("role", say("It is"), "choice", "print", roles),
        Field("light", say("Light it listens to"), "choice", "385-405", LIGHTS),
        Field("lot", say("Lot"), "text", help=say("as printed on the bottle")),
        Field(
            "expires",
            say("Use by"),
            "text",
            help=say("2027-03-31, or empty"),
            rule="day",
        ),
        Field("document", say("Its instructions"), "text", help=say("title or number")),
        Field(
            "revision", say("Their revision"), "text", help=say("or the date on them")
        ),
        Field(
            "hand_s", say("Hand lamp, s, if they say"), "number", help=say("else empty")
        ),
    )
    note = say("A resin printed from may be brushed on too; the recipe says so.")
    return FormView(
        "own-resin", say("Your resin"), fields, say("Keep, go on"), note, error
    )


def recipe(bench: Bench, error: str = "") -> FormView:
    """Return the form for a recipe as its instructions say."""
    materials = {
        code: each.title
        for code, each in bench.materials.items()
        if each.role == "print"
    }
    coats = {
        code: each.title
        for code, each in bench.materials.items()
        if each.role != "stain"
    }
    fields = (
        Field(
            "code",
            say("Code of the recipe"),
            "text",
            help=say("your own, one word"),
            rule="code",
        ),
        Field("item", say("For"), "choice", "crown", tuple((c, c) for c in CLASSES)),
        Field("material", say("Resin"), "choice", choices=codes(materials) or NONE),
        Field(
            "ifu", say("Instructions, revision"), "text", help=say("as printed on them")
        ),
        Field("status", say("It is"), "choice", "as IFU", STATUS),
        Field("record", say("Record, if so"), "text", help=say("of the validation")),
        Field(
            "wash_1",
            say("First wash, s"),
            "text",
            help=say("least-most: 120-300"),
            rule="span",
        ),
        Field(
            "wash_2",
            say("Second wash, s"),
            "text",
            help=say("120-300, or empty"),
            rule="span",
        ),
        Field(
            "dry_min", say("Dry before the box, min"), "number", help=say("at least")
        ),
        Field(
            "total",
            say("Whole cure, each side"),
            "number",
            help=say("flashes or seconds"),
        ),
        Field(
            "sides",
            say("Sides"),
            "choice",
            "1",
            (("1", "one"), ("2", say("two, turned"))),
        ),
        Field(
            "coats",
            say("Coats"),
            "choice",
            "2",
            tuple((str(n), str(n)) for n in range(4)),
        ),
        Field("coat", say("Coat resin"), "choice", choices=codes(coats) or NONE),
        Field("tack_s", say("Lamp on each spot, s"), "number", help="planned"),
    )
    note = say("The instructions own this. Times of brush and rinse: common practice.")
    return FormView(
        "own-recipe",
        say("A recipe, as its papers say"),
        fields,
        say("Keep, go on"),
        note,
        error,
    )


def vessel(bench: Bench, error: str = "") -> FormView:
    """Return the form for a vessel and its glycerine."""
    del bench
    fields = (
        Field(
            "code",
            say("Code on its lid"),
            "text",
            help=say("your own, one word"),
            rule="code",
        ),
        Field("height", say("Height, mm"), "number", help="outside"),
        Field(
            "lot",
            say("Glycerine, lot"),
            "text",
            help=say("fresh, poured down the wall"),
        ),
    )
    note = say("Clear to the eye is not clear to this light: read it empty, key E.")
    return FormView(
        "own-vessel", say("Vessel and glycerine"), fields, say("Keep"), note, error
    )


FORMS = {
    "own-who": who,
    "own-box": box,
    "own-lamp": lamp,
    "own-resin": resin,
    "own-recipe": recipe,
    "own-vessel": vessel,
}
BACK = dict.fromkeys(FORMS, "own-bench")


# --- what they stand for -----------------------------------------------------------


def _vessel(values: dict[str, str]) -> cm.FileLibrary:
    code = _code(values)
    made = Vessel(code, code, "", _positive(say("Height"), values["height"]))
    lot = _word(say("Glycerine, lot"), values["lot"])
    return cm.FileLibrary(vessels=(made,), fills=((code, lot, 0),))


COMMANDS: dict[str, Callable[[Bench, dict[str, str]], cm.Command]] = {
    # form: what it stands for; each raises FormError where a value cannot be read
    "own-who": lambda _bench, values: cm.ClaimStation(values["who"]),
    "own-box": lambda _bench, values: cm.FileLibrary(boxes=(_box(values),)),
    "own-lamp": lambda _bench, values: _lamp(values),
    "own-resin": lambda _bench, values: _resin_of(values),
    "own-recipe": lambda bench, values: cm.FileLibrary(
        recipes=(_recipe(bench, values),)
    ),
    "own-vessel": lambda _bench, values: _vessel(values),
}


def _word(label: str, typed: str) -> str:
    if not typed.strip():
        msg = say(
            "{label}: write it down; it is on the label or in the papers.", label=label
        )
        raise FormError(msg)
    return typed.strip()


def _code(values: dict[str, str]) -> str:
    return _word(say("Code"), values["code"])


def _bands(light: str) -> tuple[tuple[float, float], ...]:
    """Return the bands that a label's words mean, a peak with its usual width."""
    found = []
    for word in filter(None, light.split(",")):
        low, _, high = word.partition("-")
        found.append((float(low) - PEAK_NM, float(high or low) + PEAK_NM))
    return tuple(found)


def _positive(label: str, typed: str) -> float:
    found = number(label, typed or "0")
    if not 0 < found < 1e6:  # noqa: PLR2004 - no count or length of a bench is larger
        msg = say("{label}: write a number above 0.", label=label)
        raise FormError(msg)
    return found


def _box(values: dict[str, str]) -> Box:
    code, rate_hz = _code(values), 1.0
    if values["unit"] == "flash":
        counts = _positive(say("One full run shows"), values["counts"])
        rate_hz = counts / _positive(say("and takes"), values["seconds"])
    most = number(say("Most it can be set to"), values["most"] or "0")
    step = _positive(say("Set in steps of"), values["step"])
    return Box(
        code,
        code,
        values["unit"],  # type: ignore[arg-type] # a choice
        round(rate_hz, 4),
        CountRule(int(step), int(most)),
        "unknown",
        "",
        _positive(say("Chamber height"), values["height"]),
        bands=_bands(values["light"]),
    )


def _lamp(values: dict[str, str]) -> cm.FileLibrary:
    code = _code(values)
    reading = number(say("Your meter reads"), values["reading"] or "0")
    if values["when"] and reading <= 0:
        raise FormError(say("Your meter reads: write it, or choose “no meter yet”."))
    mw_cm2 = number(say("mW/cm² on its label"), values["mw_cm2"] or "0")
    made = Lamp(
        code,
        code,
        "unknown",
        "",
        reading if values["when"] else 0.0,
        bands=_bands(values["light"]),
        mw_cm2=mw_cm2,
    )
    read = ((code, reading),) if values["when"] == "today" else ()
    return cm.FileLibrary(lamps=(made,), readings=read)


def _resin_of(values: dict[str, str]) -> cm.FileLibrary:
    code, bands = _code(values), _bands(values["light"])
    lots: tuple[Lot, ...] = bottle_of({**values, "material": code}).lots
    hand = None
    if values["hand_s"]:
        if not bands:
            raise FormError(
                say("Light it listens to: choose it, the seconds belong to it.")
            )
        low, high = bands[0]
        hand = HandTack(number(say("Hand lamp"), values["hand_s"]), low, high, 0.0)
    made = Material(
        code,
        code,
        values["role"],  # type: ignore[arg-type] # a choice
        (),
        "design class",
        (bands[0][0] + bands[0][1]) / 2 if bands else 0.0,
        0.0,
        0.0,
        bands=bands,
        document=values["document"],
        revision=values["revision"],
        hand_tack=hand,
        box_band=bands[0] if bands else None,
    )
    return cm.FileLibrary(materials=(made,), lots=lots)


def _wash(label: str, title: str, typed: str) -> BathStep:
    low, dash, high = typed.replace("–", "-").partition("-")
    if not dash:
        msg = say(
            "{label}: write least and most in seconds, like 120-300.", label=label
        )
        raise FormError(msg)
    least, most = _positive(label, low), _positive(label, high)
    if least > most:
        msg = say("{label}: the least is more than the most.", label=label)
        raise FormError(msg)
    return BathStep(title, int(least), int(most))


def _recipe(bench: Bench, values: dict[str, str]) -> Recipe:
    code, material = _code(values), values["material"]
    if material not in bench.materials:
        raise FormError(say("Resin: take it in first, one step before this one."))
    washes = [_wash(say("First wash"), "Wash 1", values["wash_1"])]
    if values["wash_2"]:
        washes.append(_wash(say("Second wash"), "Wash 2", values["wash_2"]))
    coats, item = int(values["coats"]), values["item"]
    boxes = tuple(bench.boxes.values())
    faces = SPOTS[item]
    if coats and not faces:
        msg = say("Coats: a {item} is not coated; write 0.", item=item)
        raise FormError(msg)
    revisions = (each.revision for each in bench.recipes.values() if each.code == code)
    return Recipe(
        code=code,
        revision=max(revisions, default=0) + 1,
        title=f"{item.capitalize()}, {bench.materials[material].title}",
        material=material,
        item_class=item,
        ifu_revision=_word(say("Instructions, revision"), values["ifu"]),
        status=values["status"],  # type: ignore[arg-type] # a choice
        record_no=values["record"],
        washes=tuple(washes),
        solvent_max_s=sum(step.max_s for step in washes),
        dry_before_box_s=int(
            _positive(say("Dry before the box"), values["dry_min"]) * 60
        ),
        dry_before_coat_s=COAT_DRY_S,
        sides=("",) if values["sides"] == "1" else ("A", "B"),
        total=int(_positive(say("Whole cure"), values["total"])),
        unit=boxes[0].unit if boxes else "flash",
        rule=None,
        dose_max=0,
        coat_material=values["coat"] if coats else "",
        stain_materials=(),
        coats=coats,
        stain_passes=0,
        faces=tuple(SpotFace(title, spots) for title, spots in faces) if coats else (),
        planned_tack_s=int(_positive(say("Lamp on each spot"), values["tack_s"]))
        if coats
        else 0,
        brush_s=BRUSH_S,
        move_s=MOVE_S,
        wet_limit_s=WET_S,
        refine=item == "crown",
        abrade=False,
        degas_s=DEGAS_S,
        purge_s=0,
        rinse_s=RINSE_S,
        dry_after_rinse_s=DRY_S,
        checks=CHECKS,
    )
