"""What a hand may choose at any time, beside the card that is asked now."""

from __future__ import annotations

from collections.abc import Iterable

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain.codes import EXAMPLES, as_shape
from benchassist.domain.limits import limit
from benchassist.domain.state import Bench, OnHold, Ready
from benchassist.domain.training import level_of, score
from benchassist.domain.words import listed
from benchassist.physics.glycerine import percent_of
from benchassist.ui.actions import OpenPage
from benchassist.ui.present import owned, people
from benchassist.ui.present.fill import Gap, held
from benchassist.ui.present.rows import when
from benchassist.ui.view import Option, TableView
from benchassist.ui.words import say
from benchassist.value import replace

KEYS = "123456789BU"  # digits answer; these letters lead to no place


def undo_options() -> tuple[Option, ...]:
    """Return the three answers to whether an undone start really ran."""
    return (
        Option(say("it did not run"), "U", cm.VoidStart("no")),
        Option(say("it ran"), "B", cm.VoidStart("yes")),
        Option(say("not sure"), "0", cm.VoidStart("not sure")),
    )


def claim_option() -> Option:
    """Return the way to claim the station."""
    return Option(
        say("Who works here?"),
        "O",
        Gap(cm.ClaimStation(""), "who"),
        needs_text=say("Operator code, such as OP-1"),
    )


def confirm_options(bench: Bench) -> tuple[Option, ...]:
    """Return the way to say who is there, once nobody is known to be."""
    if not (bench.unconfirmed and bench.operator):
        return ()
    still = say("still {operator}?", operator=bench.operator)
    return (replace(claim_option(), text=still),)  # whoever says so types the code


def confirm(bench: Bench, command: cm.Command, title: str = "") -> TableView:
    """Return the page on which what a form told is held, before it is written down.

    ``title`` is the form's.
    """
    stated = STATED.get(type(command), say("It is written down when it is held."))
    told = f"{stated.format(**vars(command))} {_follows(bench, command)}".strip()
    option = held(say("It is so"), command)
    return TableView(title or say("Is it so?"), (), (), told, (option,))


def _follows(bench: Bench, command: cm.Command) -> str:
    """Return what else follows from what a form told, on the bench as it is."""
    match command:
        case cm.FileThing():
            return owned.stated(bench, command)
        case cm.SeeGlycerine(density=density, celsius=celsius) if density:
            return say(
                "{share:.0f} % glycerine; under {least:g} % it is not used.",
                share=percent_of(density, celsius),
                least=limit(bench, "glycerine_least"),
            )
        case cm.CloseLot(lot=lot):
            parts = bench.in_flight
            waits = tuple(p.code for p in parts if lot in (p.coat_lot, p.stain_lot))
            told = say(
                "{list} waits for it: stopped at the brush until another",
                list=listed(waits),
            )
            return say("{told} is chosen.", told=told) if waits else ""
        case cm.SetCodeShape(kind=kind, shape=shape):
            example = as_shape(shape) if shape else EXAMPLES[kind]
            return say("From then on they are like {example}.", example=example)
        case _:
            return ""


# What a form told, by its kind of command: what is held, with its fields.
STATED: dict[type[cm.Command], str] = {
    cm.FillGlycerine: say("{vessel}: emptied, wiped, filled anew with {lot}."),
    cm.SeeGlycerine: say("{vessel}: {seen}. What is not clear is not used again."),
    cm.ReadBox: say("{box}, {what}: {value:g}."),
    cm.FillBath: say("{bath}: emptied, filled with {litres:g} L."),
    cm.RotateBaths: say(
        "{first} is discarded, {clean} takes its place and is filled anew."
    ),
    cm.SetKeeping: say("{material} keeps so by {document}, {revision}."),
    cm.CloseLot: say("{lot} is put away for good: {reason}. No part gets it any more."),
    cm.SetCodeShape: say("Codes there are stay as they are."),
    cm.SetLimit: say(
        "{value:g} immersions of one fill. Every vessel is judged by it from then on."
    ),
    cm.ChooseLot: say("From now {part} gets its {role} from {lot}."),
    cm.FileThing: "",
    cm.CheckThing: say("{code}: every value beside its papers."),
    cm.RetireThing: say("{code} is offered no more: {reason}."),
    cm.MeasureVessel: say("{vessel}: measured outside, inside and its floor."),
    cm.SetNitrogen: say(
        "{flow_l_min:g} L/min into {chamber_l:g} L, {oxygen_percent:g} % oxygen left "
        "by meter."
    ),
}


def deviations(bench: Bench, now: Instant) -> TableView:
    """Return the page of what went otherwise: open it, accept it."""
    part = bench.focused
    rows = tuple(
        (found.id, listed(found.parts), found.text, when(found.opened, now))
        for found in bench.deviations.values()
        if not found.decision
    )
    options = []
    if part is not None:
        opening = Gap(cm.OpenDeviation((part.code,), ""), "text")
        told = say("Open one for {code}", code=part.code)
        options.append(
            Option(told, "", opening, hold=True, needs_text=say("What happened"))
        )
        for found in bench.open_deviations(part.code):
            closing = Gap(cm.CloseDeviation(found.id, "use as is", ""), "reason")
            told = say("Accept {id} as it is", id=found.id)
            why = say("Reason ({text})", text=found.text)
            options.append(Option(told, "", closing, hold=True, needs_text=why))
    heads = (say("Deviation"), say("Parts"), say("What"), say("Since")) if rows else ()
    empty = say("No deviation is open.")
    return TableView(say("Deviations"), heads, rows, empty, keyed(options))


def change(bench: Bench) -> TableView:
    """Return the page on which the part in front is changed by hand."""
    part = bench.focused
    if part is None:
        return TableView(
            say("Change this part"), (), (), say("Choose a part first: its F-key.")
        )
    told = say(
        "Now: {lamp}, {box}, ",
        lamp=part.lamp or say("no lamp"),
        box=part.box or say("no box"),
    )
    told += part.vessel or say("no vessel")
    options = [
        Option(
            say("Photos, print file, note"),
            "4",  # named so
            OpenPage("facts"),
            line=say("what was seen and measured of it"),
        ),
    ]
    if isinstance(part.phase, Ready):
        holding = Gap(cm.HoldPart(part.code, ""), "reason")
        told_hold = say("Put on hold, covered")
        options.append(
            Option(told_hold, "", holding, hold=True, needs_text=say("Why it waits"))
        )
    if isinstance(part.phase, OnHold):
        options.append(
            Option(say("Take from hold"), "", cm.ResumePart(part.code), hold=True)
        )
    scrapping = Gap(cm.ScrapPart(part.code, ""), "reason")
    options.append(
        Option(
            say("Scrap this part"),
            "0",
            scrapping,
            hold=True,
            tone="stop",
            needs_text=say("Why it is scrapped"),
            line=say("it ends here; its story stays"),
        )
    )
    about = say("Change {code}", code=part.code)
    return TableView(about, (), (), told, keyed(options))


def keyed(options: Iterable[Option]) -> tuple[Option, ...]:
    """Return options with a free key for each that has none."""
    given = tuple(options)
    taken = {option.key for option in given}
    free = iter(key for key in KEYS if key not in taken)
    return tuple(
        option if option.key else replace(option, key=next(free, ""))
        for option in given
    )


def folk(bench: Bench, now: Instant) -> TableView:
    """Return the hand-over: what runs, whose it is, and the ways to pass it on."""
    claims = Option(say("Claim, put down, take over"), "2", OpenPage("claims"))
    rows = people.hand_over_rows(bench, now)
    return TableView(
        say("People: hand-over, nearest to harm first"),
        people.HEADS if rows else (),
        rows,
        say("Nothing runs and nothing is claimed."),
        (people.hand_over(), claims, claim_option()),
    )


def holdings(bench: Bench, now: Instant) -> TableView:
    """Return the page on which parts and lamps are claimed, put down, taken over."""
    rows = tuple(
        (held.code, held.who, when(held.since, now)) for held in bench.claims.values()
    )
    empty = say("Nothing is claimed. A claim keeps a part or a lamp for one operator.")
    options = keyed(people.claims(bench, bench.focused))
    heads = (say("Claimed"), say("By"), say("Since")) if rows else ()
    return TableView(say("Claims"), heads, rows, empty, options)


def school(bench: Bench) -> TableView:
    """Return the page of levels: what the bench does at each, and which it is now."""
    who = bench.operator
    if not who:
        nobody = say("A level is an operator's own: say first who works here.")
        return TableView(say("Learning"), (), (), nobody, (claim_option(),))
    rows = tuple(
        (name, does, say("now") if level == level_of(bench) else "")
        for level, name, does in people.LEVELS
    )
    right, made = score(bench, who)
    so_far = say(
        "Said before it was shown: {right} of {made} right.", right=right, made=made
    )
    return TableView(
        say("Learning: {operator}", operator=who),
        ("", "", ""),  # the cells say it all
        rows,
        "",
        keyed(people.learning(bench)),
        note=so_far if made else say("A level says how much the bench explains."),
    )
