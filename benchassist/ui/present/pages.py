"""The pages for the hands: intake, equipment, the day."""

from __future__ import annotations

from typing import Any

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain.kept import UNMEASURED
from benchassist.domain.library import Box
from benchassist.domain.light import output_share, reading_age_h
from benchassist.domain.limits import limit_on
from benchassist.domain.shelf import offered
from benchassist.domain.standing import Standings
from benchassist.domain.state import Bench, Closed, Fill
from benchassist.domain.words import ago
from benchassist.ui.actions import OpenPage
from benchassist.ui.present import late, own_bench, owned, shelf
from benchassist.ui.present.forms import (
    Choices,
    Form,
    FormError,
    Row,
    as_read,
    materials,
    on_shelf,
)
from benchassist.ui.present.own_rules import CODE_SHAPE, GLYCERINE_LIMIT, VESSEL_SIZE
from benchassist.ui.present.rows import doing, when
from benchassist.ui.present.shown import percent
from benchassist.ui.view import FormView, Option, TableView
from benchassist.ui.words import say


def equipment(bench: Bench, now: Instant) -> TableView:
    """Return lamps, boxes and vessels with what was last known of them."""
    rows = []
    for lamp in (bench.lamps[code] for code in offered(bench, "lamp")):
        age_h = reading_age_h(bench, lamp.code, now)
        read = (
            say("read {ago}", ago=ago(age_h))
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


# --- forms -------------------------------------------------------------------------


def _tab(_bench: Bench, read: dict[str, Any]) -> cm.RecordCoupon:
    how = read["how"]
    return cm.RecordCoupon(
        read["lamp"], read["material"], passed=not how, tack_s=read["seconds"], how=how
    )


def _through(_bench: Bench, read: dict[str, Any]) -> cm.ReadThrough:
    without = read["without"]
    return cm.ReadThrough(read["vessel"], read["behind"] / without if without else 0)


def _things(bench: Bench) -> Choices:
    """Return what a label or papers state something of: its kind, then its code."""
    return (
        *((f"lamp {code}", say("lamp {code}", code=code)) for code in bench.lamps),
        *(
            (f"material {code}", say("resin {code}", code=code))
            for code in bench.materials
        ),
        *((f"box {code}", say("box {code}", code=code)) for code in bench.boxes),
    )


def _papers(_bench: Bench, read: dict[str, Any]) -> cm.TypePapers:
    kind, _, code = read.pop("thing").partition(" ")
    return cm.TypePapers(of=kind, code=code, **read)


OUTCOMES: Choices = (
    ("", say("set: edge and groove stayed")),
    ("not set", say("not set, or unsure")),
    ("tacky at the end", say("set, but tacky after the box")),
)
READING = Form(
    "reading",
    say("Lamp reading"),
    (
        Row("lamp", say("Lamp"), choices=on_shelf("lamp")),
        Row("reading", say("Reading"), "reading", say("same meter as the baseline")),
    ),
    as_read(cm.ReadLamp),
)
GLYCERINE = Form(
    "glycerine",
    say("Change glycerine"),
    (
        Row("vessel", say("Vessel"), choices=on_shelf("vessel")),
        Row("lot", say("Fresh glycerine, lot")),
    ),
    as_read(cm.FillGlycerine),
    say("Emptied, wiped, filled down the wall without bubbles."),
    say("Changed"),
)
COUPON = Form(
    "coupon",
    say("One tab"),
    (
        Row("lamp", say("Lamp"), choices=on_shelf("lamp")),
        Row("material", say("Material"), choices=materials),
        Row("seconds", say("Lit for, s"), "reading"),
        Row("how", say("It was"), choices=OUTCOMES),
    ),
    _tab,
    say("One tab proves little: a coupon test of sets A and B does. See How well."),
)
PAPERS = Form(
    "papers",
    say("Label and papers"),
    (
        Row("thing", say("What"), choices=_things),
        Row("bands", say("Bands on the label, nm"), "bands", "380-410, 445-475"),
        Row("mw_cm2", say("Irradiance on it, mW/cm²"), "number", say("a lamp's")),
        Row("document", say("Document"), help=say("such as EX-DS-4")),
        Row("revision", say("Its revision")),
        Row("reason", say("Why it changes")),
    ),
    _papers,
    say("A number without document and revision is a guess: it passes nothing."),
)
THROUGH = Form(
    "through",
    say("Own meter, empty vessel"),
    (
        Row("vessel", say("Vessel"), choices=on_shelf("vessel")),
        Row("behind", say("Reading behind its wall"), "reading", say("empty, as used")),
        Row(
            "without",
            say("Reading without it"),
            "reading",
            say("same meter, same place"),
        ),
    ),
    _through,
    say("Air inside makes the empty wall read some 4 % low: less is credited so."),
)
FORMS = {
    form.name: form
    for form in (
        *(READING, GLYCERINE, COUPON, PAPERS, THROUGH),
        *(owned.OPERATOR, owned.NITROGEN, VESSEL_SIZE, CODE_SHAPE, GLYCERINE_LIMIT),
        *shelf.FORMS.values(),
        *own_bench.FORMS.values(),
    )
}


def form(bench: Bench, name: str, error: str = "") -> FormView | None:
    """Return the form of a name, None where a page of that name is none."""
    if name == "late":
        return late.form(bench, error)
    found = owned.form(bench, name) or FORMS.get(name)
    return found.view(bench, error) if found else None


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
    found = owned.form(bench, name) or FORMS.get(name)
    if found is None:
        code = name.rpartition(" ")[2]
        raise FormError(say("{code} is not on file any more.", code=code))
    return found.command(bench, values)


def back(name: str) -> str:
    """Return the page that opens once a form is handed in; "" is the bench."""
    word, _, rest = name.partition(" ")
    if word in ("kept", "kept-new", "check", "retire"):
        kind = rest.partition(" ")[0]
        return "upkeep" if kind == "bath" else f"{owned.PAGE} {kind}"
    return FORMS[name].back if name in FORMS else ""


def day(bench: Bench, now: Instant) -> TableView:
    """Return the day's parts and their states."""
    rows, every = [], Standings(bench, now)
    for part in bench.parts.values():
        phase = part.phase
        if isinstance(phase, Closed):
            state = f"{phase.how} {when(phase.at, now)}"
        else:
            state = doing(every.of(part.code), every.word(part.code))[0]
        due = when(part.due, now) if part.due else ""
        opened = ", ".join(each.id for each in bench.open_deviations(part.code))
        rows.append((part.code, bench.recipe_of(part).item_class, state, due, opened))
    return TableView(
        say("Day {day}", day=now.day()),
        (say("Code"), say("What"), say("State"), say("Due"), say("Open deviations")),
        tuple(rows),
        say("No part was taken in today. Key N takes one in."),
        note=say("Closed parts of earlier days are in the export of their day."),
    )


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
            Option(
                say("Glycerine limit"),
                "1",
                OpenPage("glycerine-limit"),
                line=say("more immersions, by a record of yours"),
            ),
            Option(
                say("Put a bottle away"),
                "2",
                OpenPage("close-bottle"),
                line=say("it is offered to no part any more"),
            ),
            Option(
                say("How codes are written"),
                "3",
                OpenPage("code-shape"),
                line=say("of parts, bottles and people"),
            ),
            Option(
                say("A vessel by the ruler"),
                "4",
                OpenPage("vessel-size"),
                line=say("the card then says how high to fill"),
            ),
            Option(
                say("Places on a box's shelf"),
                "5",
                OpenPage("box-places"),
                line=say("who stands where, with a photo"),
            ),
        ),
    )
