"""The pages for the hands: intake, equipment, the day."""

from __future__ import annotations

from collections.abc import Callable

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain.kept import UNMEASURED
from benchassist.domain.library import Box
from benchassist.domain.light import output_share, reading_age_h
from benchassist.domain.limits import limit_on
from benchassist.domain.shelf import offered
from benchassist.domain.standing import Standing
from benchassist.domain.state import Bench, Closed, Fill
from benchassist.ui.actions import ExportDay, OpenPage
from benchassist.ui.present import late, own_bench, owned, shelf, vessel_size
from benchassist.ui.present.fill import Gap
from benchassist.ui.present.forms import NONE, Choices, FormError, number
from benchassist.ui.present.rows import doing
from benchassist.ui.present.shown import percent
from benchassist.ui.view import Field, FormView, Option, TableView
from benchassist.ui.words import say


def _codes(codes: tuple[str, ...], titles: dict[str, str] | None = None) -> Choices:
    told = titles or {}
    return tuple((code, f"{code}  {told.get(code, '')}".rstrip()) for code in codes)


def equipment(bench: Bench, now: Instant) -> TableView:
    """Return lamps, boxes and vessels with what was last known of them."""
    rows = []
    for lamp in (bench.lamps[code] for code in offered(bench, "lamp")):
        age_h = reading_age_h(bench, lamp.code, now)
        read = (
            say("read {age_h:.0f} h ago", age_h=age_h)
            if age_h < 1e6  # noqa: PLR2004 - infinite
            else say("never read")
        )
        share = say(
            "{percent} of baseline", percent=percent(output_share(bench, lamp.code))
        )
        rows.append(
            (
                lamp.code,
                lamp.title,
                say("spectrum {knowledge}", knowledge=lamp.knowledge),
                share,
                read,
            )
        )
    for box in (bench.boxes[code] for code in offered(bench, "box")):
        counts = (
            say("{rate_hz:g} flashes/s", rate_hz=box.rate_hz)
            if box.unit == "flash"
            else "seconds"
        )
        rows.append(
            (
                box.code,
                box.title,
                say("spectrum {knowledge}", knowledge=box.knowledge),
                counts,
                _kept(bench, box),
            )
        )
    most = int(limit_on(bench, "glycerine_immersions", now))
    for vessel in (bench.vessels[code] for code in offered(bench, "vessel")):
        fill = bench.fills.get(vessel.code)
        used = _used(fill, most) if fill else say("empty")
        wall = say("wall measured") if vessel.curve else say("wall never measured")
        lot = say("glycerine {lot}", lot=fill.lot) if fill else ""
        rows.append((vessel.code, vessel.title, wall, used, lot))
    return TableView(
        say("Lamps, boxes, baths"),
        (say("Code"), say("What"), say("Known by"), say("State"), say("Last")),
        tuple(rows),
        say("Nothing is on file yet: key E, then 9."),
        (
            Option(say("Enter a lamp reading"), "1", OpenPage("reading")),
            Option(say("Change glycerine"), "2", OpenPage("glycerine")),
            Option(say("How well do we know it?"), "3", OpenPage("how-well")),
            Option(say("Coupon tests"), "4", OpenPage("tested")),
            Option(say("One tab's result"), "5", OpenPage("coupon")),
            Option(say("Type a label or papers"), "6", OpenPage("papers")),
            Option(say("Own meter through a vessel"), "7", OpenPage("through")),
            Option(say("Baths, trend, checks"), "8", OpenPage("upkeep")),
            Option(say("Your own bench, step by step"), "9", OpenPage("own-bench")),
            Option(say("Limit, bottles, codes"), "0", OpenPage("shelf-acts")),
        ),
    )


def _kept(bench: Bench, box: Box) -> str:
    """Return what was last read of a box, else how it is set."""
    kept = bench.boxes_kept.get(box.code)
    told = []
    if kept is not None and kept.counter != UNMEASURED:
        since = kept.counter - kept.born
        life = f" / {box.life:g}" if box.life else ""
        told.append(say("counter {since:g}{life}", since=since, life=life))
    if kept is not None and kept.first:
        told.append(say("light {share}", share=percent(kept.last / kept.first)))
    if told:
        return ", ".join(told)
    return str(box.rule.programs or say("steps of {step}", step=box.rule.step))


def _used(fill: Fill, most: int) -> str:
    """Return how a fill of glycerine stands: spoilt, else how often it was used."""
    if fill.spoilt:
        return say("not used again: {why}", why=fill.spoilt)
    told = say(
        "{immersions} of {most} immersions", immersions=fill.immersions, most=most
    )
    return f"{told}, {fill.percent:.0f} %" if fill.percent else told


def reading(bench: Bench, error: str = "") -> FormView:
    """Return the form for a lamp reading."""
    lamps = _codes(tuple(bench.lamps)) or NONE
    fields = (
        Field("lamp", say("Lamp"), "choice", choices=lamps),
        Field(
            "reading", say("Reading"), "number", help=say("same meter as the baseline")
        ),
    )
    return FormView("reading", say("Lamp reading"), fields, say("Keep"), error=error)


def glycerine(bench: Bench, error: str = "") -> FormView:
    """Return the form for a change of glycerine."""
    fields = (
        Field(
            "vessel",
            say("Vessel"),
            "choice",
            choices=_codes(tuple(bench.vessels)) or NONE,
        ),
        Field("lot", say("Fresh glycerine, lot"), "text"),
    )
    note = say("Emptied, wiped, filled down the wall without bubbles.")
    return FormView(
        "glycerine", say("Change glycerine"), fields, say("Changed"), note, error
    )


def coupon(bench: Bench, error: str = "") -> FormView:
    """Return the form for the result of one tab."""
    fields = (
        Field(
            "lamp", say("Lamp"), "choice", choices=_codes(tuple(bench.lamps)) or NONE
        ),
        Field(
            "material",
            say("Material"),
            "choice",
            choices=_codes(
                tuple(bench.materials),
                {code: each.title for code, each in bench.materials.items()},
            )
            or NONE,
        ),
        Field("seconds", say("Lit for, s"), "number"),
        Field(
            "how",
            say("It was"),
            "choice",
            choices=(
                ("", say("set: edge and groove stayed")),
                ("not set", say("not set, or unsure")),
                ("tacky at the end", say("set, but tacky after the box")),
            ),
        ),
    )
    note = say(
        "One tab proves little: a coupon test of sets A and B does. See How well."
    )
    return FormView("coupon", say("One tab"), fields, say("Keep"), note, error)


def papers(bench: Bench, error: str = "") -> FormView:
    """Return the form for what a label or papers state."""
    things = (
        *((f"lamp {code}", say("lamp {code}", code=code)) for code in bench.lamps),
        *(
            (f"material {code}", say("resin {code}", code=code))
            for code in bench.materials
        ),
        *((f"box {code}", say("box {code}", code=code)) for code in bench.boxes),
    )
    fields = (
        Field("thing", say("What"), "choice", choices=things or NONE),
        Field("bands", say("Bands on the label, nm"), "text", help="380-410, 445-475"),
        Field(
            "mw_cm2", say("Irradiance on it, mW/cm²"), "number", help=say("a lamp's")
        ),
        Field("document", say("Document"), "text", help=say("such as EX-DS-4")),
        Field("revision", say("Its revision"), "text"),
        Field("reason", say("Why it changes"), "text"),
    )
    note = say("A number without document and revision is a guess: it passes nothing.")
    return FormView("papers", say("Label and papers"), fields, say("Keep"), note, error)


def through(bench: Bench, error: str = "") -> FormView:
    """Return the form for the own meter behind an empty vessel."""
    fields = (
        Field(
            "vessel",
            say("Vessel"),
            "choice",
            choices=_codes(tuple(bench.vessels)) or NONE,
        ),
        Field(
            "behind",
            say("Reading behind its wall"),
            "number",
            help=say("empty, as used"),
        ),
        Field(
            "without",
            say("Reading without it"),
            "number",
            help=say("same meter, same place"),
        ),
    )
    note = say("Air inside makes the empty wall read some 4 % low: on the safe side.")
    return FormView(
        "through", say("Own meter, empty vessel"), fields, say("Keep"), note, error
    )


FORMS = {
    "late": late.form,
    "reading": reading,
    "glycerine": glycerine,
    "coupon": coupon,
    "papers": papers,
    "through": through,
    "operator": owned.operator,
    "nitrogen": owned.nitrogen,
    "vessel-size": vessel_size.form,
    **shelf.FORMS,
    **own_bench.FORMS,
}
# Where a form leads once it is handed in; the bench where nothing is said.
BACK = {
    "vessel-size": "shelf-acts",
    **shelf.BACK,
    **own_bench.BACK,
    "operator": "kept operator",
    "nitrogen": "kept",
}


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
        say("Export this day"),
        "2",
        Gap(ExportDay(now.day()), "out"),
        needs_text=say("Folder to write CSV and JSON Lines to"),
    )
    cards = Option(
        say("Cards for paper"),
        "3",
        Gap(ExportDay(now.day(), what="cards"), "out"),
        needs_text=say("Folder to write a card of each part in flight to"),
    )
    return TableView(
        say("Day {day}", day=now.day()),
        (say("Code"), say("What"), say("State"), say("Due"), say("Open deviations")),
        tuple(rows),
        say("No part was taken in today. Key N takes one in."),
        (export, cards),
        note=say("Closed parts of earlier days are in the export of their day."),
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
    found = owned.command(bench, name, values)
    if found is not None:
        return found
    return COMMANDS[name](bench, values)


def _tab(values: dict[str, str]) -> cm.RecordCoupon:
    how = values["how"]
    return cm.RecordCoupon(
        values["lamp"],
        values["material"],
        passed=not how,
        tack_s=number(say("Lit for"), values["seconds"]),
        how=how,  # type: ignore[arg-type] # one of the choices
    )


def _through(values: dict[str, str]) -> cm.ReadThrough:
    behind = number(say("Behind its wall"), values["behind"])
    without = number(say("Without it"), values["without"])
    return cm.ReadThrough(values["vessel"], behind / without if without else 0)


def _papers(values: dict[str, str]) -> cm.TypePapers:
    kind, _, code = values["thing"].partition(" ")
    bands = []
    for told in values["bands"].replace(";", ",").split(","):
        if not told.strip():
            continue
        low, dash, high = told.replace("–", "-").partition("-")
        if not dash:
            msg = say(
                "Bands: “{told}” is none; write it like 380-410.", told=told.strip()
            )
            raise FormError(msg)
        bands.append((number(say("Bands"), low), number(say("Bands"), high)))
    mw_cm2 = values["mw_cm2"].strip()
    return cm.TypePapers(
        kind,  # type: ignore[arg-type] # one of the choices
        code,
        values["reason"],
        tuple(bands),
        values["document"],
        values["revision"],
        number(say("Irradiance"), mw_cm2) if mw_cm2 else 0.0,
    )


COMMANDS: dict[str, Callable[[Bench, dict[str, str]], cm.Command]] = {
    "reading": lambda _bench, values: cm.ReadLamp(
        values["lamp"], number(say("Reading"), values["reading"])
    ),
    "glycerine": lambda _bench, values: cm.FillGlycerine(
        values["vessel"], values["lot"]
    ),
    "papers": lambda _bench, values: _papers(values),
    "through": lambda _bench, values: _through(values),
    "coupon": lambda _bench, values: _tab(values),
    "operator": lambda _bench, values: cm.SetLevel(
        values["who"],
        values["level"],  # type: ignore[arg-type] # one of the choices
    ),
    "nitrogen": lambda _bench, values: cm.SetNitrogen(
        number(say("Flow"), values["flow"] or "0"),
        number(say("Room it flushes"), values["chamber"] or "0"),
        number(say("Oxygen left"), values["oxygen"] or "0"),
        values["reason"],
    ),
    "vessel-size": lambda _bench, values: vessel_size.command(values),
    **shelf.COMMANDS,
    **own_bench.COMMANDS,
}


def back(name: str) -> str:
    """Return the page that opens once a form is handed in; "" is the bench."""
    word, _, rest = name.partition(" ")
    if word in ("kept", "kept-new", "check", "retire"):
        kind = rest.partition(" ")[0]
        return "upkeep" if kind == "bath" else f"{owned.PAGE} {kind}"
    return BACK.get(name, "")


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
        msg = say(
            "“{typed}”: write entries' numbers, a colon and why, as 12, 14: a name.",
            typed=typed,
        )
        raise FormError(msg)
    return tuple(map(int, words)), reason.strip()


def shelf_acts(bench: Bench, now: Instant) -> TableView:
    """Return the acts that concern the shelf and the record, not one part."""
    del bench, now
    return TableView(
        say("Limit, bottles, codes"),
        (),
        (),
        say("Each says what it changes before it is held."),
        (
            Option(say("Glycerine limit"), "1", OpenPage("glycerine-limit")),
            Option(say("Put a bottle away"), "2", OpenPage("bottle-away")),
            Option(say("How codes are written"), "3", OpenPage("code-shape")),
            Option(say("A vessel by the ruler"), "4", OpenPage("vessel-size")),
            Option(say("Places on a box's shelf"), "5", OpenPage("box-places")),
        ),
    )
