"""What a hand may choose at any time, beside the card that is asked now."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import TYPE_CHECKING

from benchassist.domain import commands as cm
from benchassist.domain.state import Bench, OnHold, Part, Ready
from benchassist.domain.training import score
from benchassist.ui.actions import OpenPage
from benchassist.ui.present import people
from benchassist.ui.present.fill import Gap
from benchassist.ui.present.pages import page_options
from benchassist.ui.view import Option, TableView

if TYPE_CHECKING:
    from benchassist.clock import Instant

# Never H or W, which work everywhere, nor K, which quiets what sounds.
KEYS = "123456789ABCDEFGIJLMNOPQRSTUVXYZ"


def undo_options() -> tuple[Option, ...]:
    """Return the three answers to whether an undone start really ran."""
    return (
        Option("it did not run", "U", cm.VoidStart("no")),
        Option("it ran", "R", cm.VoidStart("yes")),
        Option("not sure", "?", cm.VoidStart("not sure")),
    )


def claim_option() -> Option:
    """Return the way to claim the station."""
    return Option(
        "Claim the station",
        "O",
        Gap(cm.ClaimStation(""), "who"),
        needs_text="Operator code, such as OP-1",
    )


def confirm_options(bench: Bench) -> tuple[Option, ...]:
    """Return the way to say who is there, once nobody is known to be."""
    if not (bench.unconfirmed and bench.operator):
        return ()
    who = claim_option()
    return (replace(who, text=f"{bench.operator} unconfirmed: who is here?"),)


def confirm(command: cm.FillGlycerine) -> TableView:
    """Return the page on which what a form told is held, before it is written down."""
    told = f"{command.vessel}: emptied, wiped, filled anew with {command.lot}."
    option = Option("It is so", "Enter", command, hold=True, tone="attention")
    return TableView("Change glycerine", (), (), told, (option,))


def _about_part(bench: Bench, part: Part) -> list[Option]:
    """Return what a hand may do with the part in front."""
    code = part.code
    opening = Gap(cm.OpenDeviation((code,), ""), "text")
    out = [
        Option("Open a deviation", "D", opening, hold=True, needs_text="What happened")
    ]
    for found, key in zip(bench.open_deviations(code), "EFGI", strict=False):
        closing = Gap(cm.CloseDeviation(found.id, "use as is", ""), "reason")
        told = f"Assess {found.id}: use as is"
        why = f"Reason ({found.text})"
        out.append(Option(told, key, closing, hold=True, needs_text=why))
    if isinstance(part.phase, Ready):
        holding = Gap(cm.HoldPart(code, ""), "reason")
        told = "Put on hold, covered"
        out.append(Option(told, "C", holding, hold=True, needs_text="Why it waits"))
    if isinstance(part.phase, OnHold):
        out.append(Option("Take from hold", "C", cm.ResumePart(code), hold=True))
    scrapping = Gap(cm.ScrapPart(code, ""), "reason")
    out.append(
        Option(
            "Scrap this part",
            "X",
            scrapping,
            hold=True,
            tone="stop",
            needs_text="Why it is scrapped",
        )
    )
    return out


def _equipment(bench: Bench, part: Part) -> list[Option]:
    found = []
    for role, table, mine in (
        ("lamp", bench.lamps.keys(), part.lamp),
        ("box", bench.boxes.keys(), part.box),
        ("vessel", bench.vessels.keys(), part.vessel),
    ):
        for code in table:
            if code != mine:
                chosen = cm.ChooseEquipment(part.code, role, code)  # type: ignore[arg-type]
                found.append(Option(f"Use {role} {code}", "", chosen, hold=True))
    return found


def keyed(options: Iterable[Option]) -> tuple[Option, ...]:
    """Return options with a free key for each that has none."""
    given = tuple(options)
    taken = {option.key for option in given}
    free = iter(key for key in KEYS if key not in taken)
    return tuple(
        option if option.key else replace(option, key=next(free, ""))
        for option in given
    )


def more(bench: Bench) -> TableView:
    """Return the page of everything else a hand may do, a key for each."""
    part = bench.focused
    about = f"{part.code}, {part.stage.title}" if part else "no part chosen"
    options = [claim_option()]
    if part is not None:
        options += _about_part(bench, part)
        options.append(Option("Other lamp, box, vessel", "T", OpenPage("gear")))
    options.append(Option("Learning: levels", "B", OpenPage("learning")))
    told = "Hold for two seconds where it says so. Esc goes back."
    return TableView(
        f"By hand: {about}", (), (), told, keyed((*page_options(), *options))
    )


def gear(bench: Bench) -> TableView:
    """Return the page on which the part in front gets other equipment."""
    part = bench.focused
    if part is None:
        return TableView("Equipment of a part", (), (), "Choose a part first.")
    told = f"Now: {part.lamp or 'no lamp'}, {part.box or 'no box'}, "
    told += part.vessel or "no vessel"
    options = keyed(_equipment(bench, part))
    return TableView(f"Equipment of {part.code}", (), (), told, options)


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
