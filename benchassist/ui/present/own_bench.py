"""The path from nothing to the first part: ten steps, each left or taken up again.

Only what a label, a leaflet and an instruction for use carry is asked; nothing is
filled in for a practice but what is common practice, and that is said.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

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
from benchassist.ui.present.forms import (
    Choices,
    Form,
    FormError,
    Row,
    alone,
    as_read,
    materials,
)
from benchassist.ui.present.owned import CODE, OWN_WORD, ROLES, STATUS
from benchassist.ui.present.shelf import LOT, SCAN, USE_BY, bottle_of
from benchassist.ui.view import Option, TableView
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
    "tack-free after rinsing",
    "inspection",
    "fit and contacts",
    "occlusion",
    "shade",
    "label",
)


@value
class Step:
    """One step: what leaving it costs, the page that does it, what there is already.

    The pedal has no page: it is learned by its next press.
    """

    title: str
    later: str
    page: str
    has: Callable[[Bench], str] = lambda _bench: ""
    needed: bool = True

    @property
    def act(self) -> OpenPage | LearnPedal:
        """Return what does it."""
        return OpenPage(self.page) if self.page else LearnPedal()


def _first(found: Iterable[str]) -> str:
    codes_ = tuple(found)
    more = say(" and {many} more", many=len(codes_) - 1) if len(codes_) > 1 else ""
    return f"{codes_[0]}{more}" if codes_ else ""


def _resin(bench: Bench) -> str:
    return _first(code for code in bench.lots if code not in bench.closed_lots)


def _fill(bench: Bench) -> str:
    return next((f"{code}, {fill.lot}" for code, fill in bench.fills.items()), "")


NO_PART = say("no part goes in")
STEPS: tuple[Step, ...] = (
    Step(say("Who works here"), NO_PART, "own-who", lambda b: b.operator),
    Step(say("Screen: measure it"), say("letters may be small"), "ruler", needed=False),
    Step(say("Pedal: press it"), say("the space bar is the pedal"), "", needed=False),
    Step(say("Curing box"), say("no cure"), "own-box", lambda b: _first(b.boxes)),
    Step(say("Lamp"), say("no coat"), "own-lamp", lambda b: _first(b.lamps)),
    Step(say("Resin and its lot"), NO_PART, "own-resin", _resin),
    Step(
        say("Recipe, from its instructions"),
        NO_PART,
        "own-recipe",
        lambda b: _first(b.recipes),
    ),
    Step(
        say("Wash baths"),
        say("resin in them is not counted"),
        "fill-bath",
        lambda b: _first(b.baths),
        needed=False,
    ),
    Step(say("Vessel and glycerine"), say("no second half"), "own-vessel", _fill),
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


def _lamp(_bench: Bench, read: dict[str, Any]) -> cm.FileLibrary:
    code, reading, when = read["code"], read["reading"], read["when"]
    if when and not reading:
        raise FormError(say("Your meter reads: write it, or choose “no meter yet”."))
    made = Lamp(
        code,
        code,
        "unknown",
        "",
        reading if when else 0.0,
        bands=_bands(read["light"]),
        mw_cm2=read["mw_cm2"],
    )
    readings = ((code, reading),) if when == "today" else ()
    return cm.FileLibrary(lamps=(made,), readings=readings)


def _box(_bench: Bench, read: dict[str, Any]) -> cm.FileLibrary:
    code, rate_hz = read["code"], 1.0
    if read["unit"] == "flash":
        for label, found in ((COUNTS, read["counts"]), (SECONDS, read["seconds"])):
            if not found:
                raise FormError(say("{label}: write a number above 0.", label=label))
        rate_hz = read["counts"] / read["seconds"]
    made = Box(
        code,
        code,
        read["unit"],
        round(rate_hz, 4),
        CountRule(read["step"], int(read["most"])),
        "unknown",
        "",
        read["height"],
        bands=_bands(read["light"]),
    )
    return cm.FileLibrary(boxes=(made,))


def _material(_bench: Bench, read: dict[str, Any]) -> cm.FileLibrary:
    code, bands = read["code"], _bands(read["light"])
    lots: tuple[Lot, ...] = bottle_of({**read, "material": code}).lots
    hand = None
    if read["hand_s"]:
        if not bands:
            raise FormError(
                say("Light it listens to: choose it, the seconds belong to it.")
            )
        hand = HandTack(read["hand_s"], *bands[0], 0.0)
    made = Material(
        code,
        code,
        read["role"],
        (),
        "design class",
        (bands[0][0] + bands[0][1]) / 2 if bands else 0.0,
        0.0,
        0.0,
        bands=bands,
        document=read["document"],
        revision=read["revision"],
        hand_tack=hand,
        box_band=bands[0] if bands else None,
    )
    return cm.FileLibrary(materials=(made,), lots=lots)


def _recipe(bench: Bench, read: dict[str, Any]) -> cm.FileLibrary:
    code, material, item = read["code"], read["material"], read["item"]
    if material not in bench.materials:
        raise FormError(say("Resin: take it in first, one step before this one."))
    washes = [BathStep("Wash 1", *read["wash_1"])]
    if read["wash_2"]:
        washes.append(BathStep("Wash 2", *read["wash_2"]))
    coats, faces = int(read["coats"]), SPOTS[item]
    if coats and not faces:
        msg = say("Coats: a {item} is not coated; write 0.", item=item)
        raise FormError(msg)
    if coats and not read["tack_s"]:
        raise FormError(say("{label}: write a number above 0.", label=TACK))
    boxes = tuple(bench.boxes.values())
    revisions = (each.revision for each in bench.recipes.values() if each.code == code)
    made = Recipe(
        code=code,
        revision=max(revisions, default=0) + 1,
        title=f"{item.capitalize()}, {bench.materials[material].title}",
        material=material,
        item_class=item,
        ifu_revision=read["ifu"],
        status=read["status"],
        record_no=read["record"],
        washes=tuple(washes),
        solvent_max_s=sum(step.max_s for step in washes),
        dry_before_box_s=int(read["dry_min"] * 60),
        dry_before_coat_s=COAT_DRY_S,
        sides=("",) if read["sides"] == "1" else ("A", "B"),
        total=int(read["total"]),
        unit=boxes[0].unit if boxes else "flash",
        rule=None,
        dose_max=0,
        coat_material=read["coat"] if coats else "",
        stain_materials=(),
        coats=coats,
        stain_passes=0,
        faces=tuple(SpotFace(title, spots) for title, spots in faces) if coats else (),
        planned_tack_s=int(read["tack_s"]) if coats else 0,
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
    return cm.FileLibrary(recipes=(made,))


def _vessel(_bench: Bench, read: dict[str, Any]) -> cm.FileLibrary:
    code = read["code"]
    made = Vessel(code, code, "", read["height"])
    return cm.FileLibrary(vessels=(made,), fills=((code, read["lot"], 0),))


def _bands(light: str) -> tuple[tuple[float, float], ...]:
    """Return the bands that a label's words mean, a peak with its usual width."""
    found = []
    for word in filter(None, light.split(",")):
        low, _, high = word.partition("-")
        found.append((float(low) - PEAK_NM, float(high or low) + PEAK_NM))
    return tuple(found)


PATH, GO_ON = "own-bench", say("Keep, go on")
COUNTS, SECONDS = say("One full run shows"), say("and takes, s")
TACK = say("Lamp on each spot, s")
UNITS: Choices = (("flash", "flashes"), ("s", "seconds"))
READ_WHEN: Choices = (
    ("new", say("when new")),
    ("today", "today"),
    ("", say("no meter yet")),
)
SIDES: Choices = (("1", "one"), ("2", say("two, turned")))

WHO = Form(
    "own-who",
    say("Who works here?"),
    (Row("who", say("Your code"), "code", say("such as OP-1, never a name")),),
    as_read(cm.ClaimStation),
    keep=say("This is me"),
    back=PATH,
)
BOX = Form(
    "own-box",
    say("Your curing box"),
    (
        Row("code", CODE, "code", OWN_WORD),
        Row("unit", say("It counts"), start="flash", choices=UNITS),
        Row("counts", COUNTS, "number", say("flashes; 2200")),
        Row("seconds", SECONDS, "number", say("by the clock")),
        Row("step", say("Set in steps of"), "step", start="100"),
        Row("most", say("Most it can be set to"), "number", say("empty: no end")),
        Row("light", say("Light on its label"), start="385-405", choices=LIGHTS),
        Row(
            "height", say("Chamber height, mm"), "positive", say("for a vessel inside")
        ),
    ),
    _box,
    say("Let it run once and stop the time: the rate follows."),
    GO_ON,
    PATH,
)
LAMP = Form(
    "own-lamp",
    say("Your lamp"),
    (
        Row("code", CODE, "code", OWN_WORD),
        Row("light", say("Light it gives"), choices=LIGHTS),
        Row("mw_cm2", say("mW/cm² on its label"), "number", say("empty: not said")),
        Row("reading", say("Your meter reads"), "number", say("tip at 1 mm")),
        Row("when", say("That was"), start="today", choices=READ_WHEN),
    ),
    _lamp,
    say("Label only: no coat till a coupon passed, or its papers are typed, key E."),
    GO_ON,
    PATH,
)
RESIN = Form(
    "own-resin",
    say("Your resin"),
    (
        SCAN,
        Row("code", say("Your code for it"), "code", say("one word")),
        Row("role", say("It is"), start="print", choices=ROLES),
        Row("light", say("Light it listens to"), start="385-405", choices=LIGHTS),
        LOT,
        USE_BY,
        Row("document", say("Its instructions"), help=say("title or number")),
        Row("revision", say("Their revision"), help=say("or the date on them")),
        Row("hand_s", say("Hand lamp, s, if they say"), "number", say("else empty")),
    ),
    _material,
    say("A resin printed from may be brushed on too; the recipe says so."),
    GO_ON,
    PATH,
)
RECIPE = Form(
    "own-recipe",
    say("A recipe, as its papers say"),
    (
        Row("code", say("Code of the recipe"), "code", OWN_WORD),
        Row("item", say("For"), start="crown", choices=alone(CLASSES)),
        Row("material", say("Resin"), choices=lambda b: materials(b, "print")),
        Row("ifu", say("Instructions, revision"), "word", say("as printed on them")),
        Row("status", say("It is"), start="as IFU", choices=STATUS),
        Row("record", say("Record, if so"), help=say("of the validation")),
        Row("wash_1", say("First wash, s"), "span", say("least-most: 120-300")),
        Row("wash_2", say("Second wash, s"), "span-or-none", say("120-300, or empty")),
        Row("dry_min", say("Dry before the box, min"), "positive", say("at least")),
        Row(
            "total", say("Whole cure, each side"), "positive", say("flashes or seconds")
        ),
        Row("sides", say("Sides"), start="1", choices=SIDES),
        Row("coats", say("Coats"), start="2", choices=alone("0123")),
        Row("coat", say("Coat resin"), choices=lambda b: materials(b, "print", "coat")),
        Row("tack_s", TACK, "number", "planned"),
    ),
    _recipe,
    say("The instructions decide this. Times of brush and rinse: common practice."),
    GO_ON,
    PATH,
)
VESSEL = Form(
    "own-vessel",
    say("Vessel and glycerine"),
    (
        Row("code", say("Code on its lid"), "code", OWN_WORD),
        Row("height", say("Height, mm"), "positive", "outside"),
        Row("lot", say("Glycerine, lot"), "word", say("fresh, poured down the wall")),
    ),
    _vessel,
    say("Clear to the eye is not clear to this light: read it empty, key E."),
    back=PATH,
)
FORMS = {form.name: form for form in (WHO, BOX, LAMP, RESIN, RECIPE, VESSEL)}
