"""What a hand may choose at any time, beside the card that is asked now."""

from __future__ import annotations

from dataclasses import replace

from benchassist.domain import commands as cm
from benchassist.domain.state import Bench, OnHold, Part, Ready
from benchassist.ui.present.fill import Gap
from benchassist.ui.present.pages import page_options
from benchassist.ui.view import Option, TableView


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


def options(bench: Bench, part: Part | None) -> tuple[Option, ...]:
    """Return the further hand actions for the part in front."""
    out = [claim_option()]
    if part is None:
        return tuple(out)
    code = part.code
    out.append(
        Option(
            "Open a deviation",
            "D",
            Gap(cm.OpenDeviation((code,), ""), "text"),
            needs_text="What happened",
        )
    )
    for found in bench.open_deviations(code):
        closing = cm.CloseDeviation(found.id, "use as is", "")
        out.append(
            Option(
                f"Assess {found.id}: use as is",
                "E",
                Gap(closing, "reason"),
                hold=True,
                needs_text=f"Reason ({found.text})",
            )
        )
    if isinstance(part.phase, Ready):
        out.append(
            Option(
                "Put on hold, covered",
                "P",
                Gap(cm.HoldPart(code, ""), "reason"),
                hold=True,
                needs_text="Why it waits",
            )
        )
    if isinstance(part.phase, OnHold):
        out.append(Option("Take from hold", "P", cm.ResumePart(code), hold=True))
    out.extend(_equipment(bench, part))
    out.append(
        Option(
            "Scrap this part",
            "X",
            Gap(cm.ScrapPart(code, ""), "reason"),
            hold=True,
            tone="stop",
            needs_text="Why it is scrapped",
        )
    )
    return tuple(out)


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


def more(bench: Bench) -> TableView:
    """Return the page of everything else a hand may do, one key each."""
    part = bench.focused
    chosen = options(bench, part)
    free = iter("123456789")
    keyed = tuple(
        option if option.key else replace(option, key=next(free, ""))
        for option in chosen
    )
    about = f"{part.code}: {part.stage.title}" if part else "No part is chosen."
    return TableView(
        "By hand",
        ("Part in front",),
        ((about,),),
        "",
        (*page_options(), *keyed),
        note="Hold for two seconds where the key fills. Esc goes back.",
    )
