"""Enter what was done away from the program: the form, and what is held of it."""

from __future__ import annotations

from datetime import datetime, time, timedelta, timezone
from typing import TYPE_CHECKING

from benchassist.domain import commands as cm
from benchassist.domain.decide import decide
from benchassist.domain.events import DeviationOpened
from benchassist.domain.evolve import after
from benchassist.domain.stages import STAGES
from benchassist.domain.state import Closed, Soaking
from benchassist.ui.present.forms import FormError
from benchassist.ui.view import Field, FormView, Option, TableView

if TYPE_CHECKING:
    from benchassist.clock import Instant
    from benchassist.domain.state import Bench, Part

TITLE = "Done away from here: what, and when?"
ASKED: dict[str, tuple[str, str]] = {
    # mode of a stage: what is asked beside the times, and its help
    "box": ("The box's counter", "empty where nobody read it: then it is assumed"),
    "coat": ("Seconds a spot", "as the lamp was held, such as 10"),
}


def form(bench: Bench, error: str = "") -> FormView:
    """Return the form for the stage that the part in front is at."""
    part = bench.focused
    if part is None or isinstance(part.phase, Closed):
        note = "Choose the part first: F1 to F12."
        return FormView("late", TITLE, (), "Enter", note, error)
    mode = STAGES[part.stage.kind].mode
    title = f"{part.code}, {part.stage.title}: done when?"
    began, told = "", "HH:MM, empty: when it came here"
    if isinstance(part.phase, Soaking):
        began, told = f"{part.phase.since.local():%H:%M}", "as started here"
    fields = [
        Field("began", "Began", "text", began, help=told),
        Field("ended", "Ended", "text", help="HH:MM, as on the card"),
        Field("source", "Noted where", "text", "paper card", help="such as paper card"),
        Field("part", "Part", "choice", part.code, ((part.code, part.code),)),
    ]
    if mode in ASKED:
        label, told = ASKED[mode]
        fields.insert(2, Field("number", label, "text", help=told))
    note = "both times stay on the record"
    if mode == "dry":
        note = "Drying is not taken from paper: its time runs from here."
    return FormView("late", title, tuple(fields), "Enter late", note, error)


def command(values: dict[str, str], now: Instant) -> cm.EnterLate:
    """Return what a form says was done.

    Raises
    ------
    FormError
        If a time or a number cannot be read; the text says which.
    """
    if "ended" not in values:
        msg = "Choose the part first: F1 to F12."
        raise FormError(msg)
    number = values.get("number", "").strip()
    if number and not number.isdecimal():
        msg = f"“{number}” is not a whole number: use digits, such as 2200."
        raise FormError(msg)
    told = int(number) if number else -1
    return cm.EnterLate(
        part=values["part"],
        ended=_at("Ended", values["ended"], now),
        began=_at("Began", values["began"], now) if values["began"].strip() else None,
        count=told,
        spot_s=max(0, told),
        source=values.get("source", ""),
    )


def _at(label: str, typed: str, now: Instant) -> Instant:
    """Return the last time of day of these digits that is not ahead."""
    try:
        at = time.fromisoformat(typed.strip())
    except ValueError as error:
        msg = f"{label}: “{typed}” is no time; write it like 09:40."
        raise FormError(msg) from error
    zone = timezone(timedelta(minutes=now.offset_min))
    then = datetime.combine(now.local().date(), at, tzinfo=zone)
    if then > now.local():
        then -= timedelta(days=1)
    return now.plus(round((then - now.local()).total_seconds() * 1000))


def confirm(bench: Bench, command: cm.EnterLate, now: Instant) -> TableView:
    """Return the page on which it is held, with what will be written."""
    part: Part | None = bench.parts.get(command.part)
    stage = part.stage.title if part else ""
    rows = [
        ("Part", command.part),
        ("Stage", stage),
        ("Ended", f"{command.ended.local():%a %H:%M}"),
    ]
    if command.began is not None:
        rows.insert(2, ("Began", f"{command.began.local():%a %H:%M}"))
    mode = STAGES[part.stage.kind].mode if part else ""
    if mode == "box":
        read = f"{command.count}, as read: seen" if command.count >= 0 else "not read"
        rows.append(("Counter", read))
        if command.count < 0:
            rows.append(("Counts as", "assumed: 0 is credited for sure"))
    if mode == "coat":
        rows.append(("A spot", f"{command.spot_s} s, assumed: nobody paced it"))
    rows.append(("Noted", command.source or "nowhere"))
    rows += _follows(bench, command, now)
    option = Option(
        "Yes, record it as entered late", "Enter", command, hold=True, tone="attention"
    )
    return TableView(
        "Enter it late?", ("What", "As told"), tuple(rows), "", (option,),
        note="nothing is written yet",
    )  # fmt: skip


def _follows(
    bench: Bench, command: cm.EnterLate, now: Instant
) -> list[tuple[str, str]]:
    """Return what it will lead to: where the part stands then, what is to assess."""
    decision = decide(bench, command, now)
    if not isinstance(decision, tuple):
        return []
    found = bench
    for event in decision:
        found = after(found, event, now)
    rows = [("Stands then at", found.parts[command.part].stage.title)]
    opened = (event for event in decision if isinstance(event, DeviationOpened))
    return [*rows, *(("To assess", event.text) for event in opened)]
