"""Enter what was done away from the program: the form, and what is held of it."""

from __future__ import annotations

from datetime import datetime, time, timedelta, timezone

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain.decide import decide
from benchassist.domain.events import DeviationOpened
from benchassist.domain.evolve import after
from benchassist.domain.stages import STAGES
from benchassist.domain.state import Bench, Closed, Part, Soaking
from benchassist.ui.present.fill import held
from benchassist.ui.present.forms import FormError
from benchassist.ui.present.shown import weekday
from benchassist.ui.view import Field, FormView, TableView
from benchassist.ui.words import say

TITLE = say("Done away from here: what, and when?")
ASKED: dict[str, tuple[str, str]] = {
    # mode of a stage: what is asked beside the times, and its help
    "box": (
        say("The box's counter"),
        say("empty where nobody read it: then it is assumed"),
    ),
    "coat": (say("Seconds a spot"), say("seconds on a spot, such as 10")),
}


def form(bench: Bench, error: str = "") -> FormView:
    """Return the form for the stage that the part in front is at."""
    part = bench.focused
    if part is None or isinstance(part.phase, Closed):
        note = say("Choose the part first: F1 to F12.")
        return FormView("late", TITLE, (), say("Keep"), note, error)
    mode = STAGES[part.stage.kind].mode
    title = say("{code}, {title}: done when?", code=part.code, title=part.stage.title)
    began, told = "", say("HH:MM, empty: when it came here")
    if isinstance(part.phase, Soaking):
        began, told = f"{part.phase.since.local():%H:%M}", say("as started here")
    fields = [
        Field("began", say("Began"), "text", began, help=told),
        Field("ended", say("Ended"), "text", help=say("HH:MM, as on the card")),
        Field(
            "source",
            say("Noted where"),
            "text",
            "paper card",
            help=say("such as paper card"),
        ),
        Field("part", say("Part"), "choice", part.code, ((part.code, part.code),)),
    ]
    if mode in ASKED:
        label, told = ASKED[mode]
        fields.insert(2, Field("number", label, "text", help=told))
    note = say("both times stay on the record")
    if mode == "dry":
        note = say("Drying is not taken from paper: its time runs from here.")
    return FormView("late", title, tuple(fields), say("Enter late"), note, error)


def command(values: dict[str, str], now: Instant) -> cm.EnterLate:
    """Return what a form says was done.

    Raises
    ------
    FormError
        If a time or a number cannot be read; the text says which.
    """
    if "ended" not in values:
        msg = say("Choose the part first: F1 to F12.")
        raise FormError(msg)
    number = values.get("number", "").strip()
    if number and not number.isdecimal():
        msg = say(
            "“{number}” is not a whole number: use digits, such as 2200.", number=number
        )
        raise FormError(msg)
    told = int(number) if number else -1
    return cm.EnterLate(
        part=values["part"],
        ended=_at(say("Ended"), values["ended"], now),
        began=_at(say("Began"), values["began"], now)
        if values["began"].strip()
        else None,
        count=told,
        spot_s=max(0, told),
        source=values.get("source", ""),
    )


def _at(label: str, typed: str, now: Instant) -> Instant:
    """Return the last time of day of these digits that is not ahead."""
    try:
        at = time.fromisoformat(typed.strip())
    except ValueError as error:
        msg = say(
            "{label}: “{typed}” is no time; write it like 09:40.",
            label=label,
            typed=typed,
        )
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
        (say("Part"), command.part),
        (say("Stage"), stage),
        (say("Ended"), _told_at(command.ended)),
    ]
    if command.began is not None:
        rows.insert(2, (say("Began"), _told_at(command.began)))
    mode = STAGES[part.stage.kind].mode if part else ""
    if mode == "box":
        read = (
            say("{count}, as read: seen", count=command.count)
            if command.count >= 0
            else say("not read")
        )
        rows.append((say("Counter"), read))
        if command.count < 0:
            rows.append((say("Counts as"), say("assumed: 0 is credited for sure")))
    if mode == "coat":
        rows.append(
            (
                say("A spot"),
                say("{spot_s} s, assumed: nobody paced it", spot_s=command.spot_s),
            )
        )
    rows.append((say("Noted"), command.source or "nowhere"))
    rows += _follows(bench, command, now)
    option = held(say("Yes, record it as entered late"), command)
    return TableView(
        say("Enter it late?"),
        (say("What"), say("As told")), tuple(rows), "", (option,),
        note=say("nothing is written yet"),
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
    rows = [(say("Stands then at"), found.parts[command.part].stage.title)]
    opened = (event for event in decision if isinstance(event, DeviationOpened))
    return [*rows, *((say("To assess"), event.text) for event in opened)]


def _told_at(at: Instant) -> str:
    local = at.local()
    return f"{weekday(local)} {local:%H:%M}"
