"""What a hand may choose at any time, beside the card that is asked now."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from benchassist.domain import commands as cm
from benchassist.domain.state import Bench, OnHold, Ready
from benchassist.domain.training import score
from benchassist.domain.words import listed
from benchassist.ui.actions import OpenPage
from benchassist.ui.present import people
from benchassist.ui.present.fill import Gap
from benchassist.ui.view import Option, TableView

if TYPE_CHECKING:
    from benchassist.clock import Instant

KEYS = "123456789BJU"  # digits answer; these letters lead to no place


def undo_options() -> tuple[Option, ...]:
    """Return the three answers to whether an undone start really ran."""
    return (
        Option("it did not run", "U", cm.VoidStart("no")),
        Option("it ran", "B", cm.VoidStart("yes")),
        Option("not sure", "J", cm.VoidStart("not sure")),
    )


def claim_option() -> Option:
    """Return the way to claim the station."""
    return Option(
        "Who works here?",
        "O",
        Gap(cm.ClaimStation(""), "who"),
        needs_text="Operator code, such as OP-1",
    )


def confirm_options(bench: Bench) -> tuple[Option, ...]:
    """Return the way to say who is there, once nobody is known to be."""
    if not (bench.unconfirmed and bench.operator):
        return ()
    who = claim_option()
    return (replace(who, text=f"still {bench.operator}?"),)


def confirm(command: cm.Command) -> TableView:
    """Return the page on which what a form told is held, before it is written down."""
    title, told = _stated(command)
    option = Option("It is so", "Enter", command, hold=True, tone="attention")
    return TableView(title, (), (), told, (option,))


def _stated(command: cm.Command) -> tuple[str, str]:
    title, told = "Is it so?", "It is written down when it is held."
    match command:
        case cm.FillGlycerine(vessel=vessel, lot=lot):
            title = "Change glycerine"
            told = f"{vessel}: emptied, wiped, filled anew with {lot}."
        case cm.FillBath(bath=bath, litres=litres):
            title, told = "Change a bath", f"{bath}: emptied, filled with {litres:g} L."
        case cm.RotateBaths(first=first, clean=clean):
            title = "Baths take turns"
            told = f"{first} is discarded, {clean} takes its place and is filled anew."
        case cm.SetKeeping(material=material, document=document, revision=revision):
            title = "How long it keeps"
            told = f"{material} keeps so by {document}, {revision}."
        case cm.CloseLot(lot=lot, reason=reason):
            title = "A bottle is put away"
            told = f"{lot} is put away for good: {reason}. No part gets it any more."
        case cm.ChooseLot(part=part, role=role, lot=lot):
            title = "Bottle in hand"
            told = f"From now {part} gets its {role} from {lot}."
        case _:
            pass
    return title, told


def deviations(bench: Bench) -> TableView:
    """Return the page of what went otherwise: open it, accept it."""
    part = bench.focused
    rows = tuple(
        (found.id, listed(found.parts), found.text, f"{found.opened.local():%H:%M}")
        for found in bench.deviations.values()
        if not found.decision
    )
    options = []
    if part is not None:
        opening = Gap(cm.OpenDeviation((part.code,), ""), "text")
        told = f"Open one for {part.code}"
        options.append(Option(told, "", opening, hold=True, needs_text="What happened"))
        for found in bench.open_deviations(part.code):
            closing = Gap(cm.CloseDeviation(found.id, "use as is", ""), "reason")
            told = f"Accept {found.id} as it is"
            why = f"Reason ({found.text})"
            options.append(Option(told, "", closing, hold=True, needs_text=why))
    heads = ("Deviation", "Parts", "What", "Since") if rows else ()
    empty = "No deviation is open."
    return TableView("Deviations", heads, rows, empty, keyed(options))


def change(bench: Bench) -> TableView:
    """Return the page on which the part in front is changed by hand."""
    part = bench.focused
    if part is None:
        return TableView("Change this part", (), (), "Choose a part first: its F-key.")
    told = f"Now: {part.lamp or 'no lamp'}, {part.box or 'no box'}, "
    told += part.vessel or "no vessel"
    options = [
        Option("Another lamp", "", OpenPage("gear-lamp")),
        Option("Another box", "", OpenPage("gear-box")),
        Option("Another vessel", "", OpenPage("gear-vessel")),
    ]
    if isinstance(part.phase, Ready):
        holding = Gap(cm.HoldPart(part.code, ""), "reason")
        told_hold = "Put on hold, covered"
        options.append(
            Option(told_hold, "", holding, hold=True, needs_text="Why it waits")
        )
    if isinstance(part.phase, OnHold):
        options.append(
            Option("Take from hold", "", cm.ResumePart(part.code), hold=True)
        )
    scrapping = Gap(cm.ScrapPart(part.code, ""), "reason")
    options.append(
        Option(
            "Scrap this part",
            "0",
            scrapping,
            hold=True,
            tone="stop",
            needs_text="Why it is scrapped",
        )
    )
    about = f"Change {part.code}"
    return TableView(about, (), (), told, keyed(options))


def gear(bench: Bench, role: Literal["lamp", "box", "vessel"]) -> TableView:
    """Return the page on which the part in front gets another lamp, box or vessel."""
    part = bench.focused
    title = f"Another {role}"
    if part is None:
        return TableView(title, (), (), "Choose a part first: its F-key.")
    on_file = {
        "lamp": tuple(bench.lamps),
        "box": tuple(bench.boxes),
        "vessel": tuple(bench.vessels),
    }[role]
    mine = {"lamp": part.lamp, "box": part.box, "vessel": part.vessel}[role]
    options = (
        Option(f"Use {code}", "", cm.ChooseEquipment(part.code, role, code), hold=True)
        for code in on_file
        if code != mine
    )
    told = f"{part.code} now: {mine or 'none'}"
    return TableView(f"{title} for {part.code}", (), (), told, keyed(options))


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
    claims = Option("Claim, put down, take over", "2", OpenPage("claims"))
    rows = people.hand_over_rows(bench, now)
    return TableView(
        "People: hand-over, nearest to harm first",
        people.HEADS if rows else (),
        rows,
        "Nothing runs and nothing is claimed.",
        (people.hand_over(), claims, claim_option()),
    )


def holdings(bench: Bench) -> TableView:
    """Return the page on which parts and lamps are claimed, put down, taken over."""
    rows = tuple(
        (held.code, held.who, f"{held.since.local():%H:%M}")
        for held in bench.claims.values()
    )
    empty = "Nothing is claimed. A claim keeps a part or a lamp for one operator."
    options = keyed(people.claims(bench, bench.focused))
    heads = ("Claimed", "By", "Since") if rows else ()
    return TableView("Claims", heads, rows, empty, options)


def school(bench: Bench) -> TableView:
    """Return the page of levels."""
    options = keyed(people.learning(bench))
    told = "A level says how much the bench explains; “watch” lets nothing begin."
    right, made = score(bench, bench.operator)
    if made:
        told = f"{told} Said first so far: {right} of {made} right."
    return TableView(f"Learning: {bench.operator}", (), (), told, options)
