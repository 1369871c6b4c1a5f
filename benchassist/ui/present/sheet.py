"""A sheet: rows to go through, what they lead to beside them, one act at the foot.

Plain values; a page paints them and tells what a hand did. What a row is about is
known to whoever made the sheet.
"""

from __future__ import annotations

from typing import Literal

from benchassist.domain.words import Typed, minutes
from benchassist.ui.present.fill import Gap
from benchassist.ui.view import Option, Tone
from benchassist.ui.words import say
from benchassist.value import value

Mark = Literal["head", "done", "same", "new", "gone", "plain", "line", "tag"]


@value
class Turn:
    """Turn a row to its next or former value; 0 only frames it."""

    row: str
    by: int = 1


@value
class FillIn:
    """Put what was typed into a row."""

    row: str
    value: str = ""


@value
class GoTo:
    """Go to another step of the sheet, or do one of its own acts."""

    step: str


@value
class SheetRow:
    """One row: its option, what it says now, what it said, and where that is from.

    A row that ``turns`` answers to left and right and to its key again; one that does
    not is typed, and its option asks for it.
    """

    name: str
    option: Option
    value: str
    was: str = ""
    note: str = ""
    tone: Tone = "quiet"
    turns: bool = True


def turn_row(  # noqa: PLR0917 - a row is no less
    row: str, name: str, told: str, note: str, framed: str, key: str = ""
) -> SheetRow:
    """Return a row to be turned; its key only frames it where another is framed."""
    option = Option(name, key, Turn(row, int(row == framed)))
    return SheetRow(row, option, told, note=note)


def typed_row(
    row: str, name: str, told: str, asked: str, *, note: str = "", key: str = ""
) -> SheetRow:
    """Return a row to be typed, with what is asked for."""
    option = Option(name, key, Gap(FillIn(row), "value"), needs_text=asked)
    return SheetRow(row, option, Typed(told) or "–", note=note, turns=False)


@value
class SheetLine:
    """One line of what the rows lead to; ``mark`` says how it is drawn."""

    text: str
    right: str = ""
    mark: Mark = "plain"
    tone: Tone = "plain"


@value
class Step:
    """One of the steps of a longer sheet."""

    text: str
    state: Literal["done", "now", "later"]
    step: str


@value
class Sheet:
    """Everything that a page of rows shows."""

    title: str
    quiet: str
    right: str
    rows: tuple[SheetRow, ...]
    lines: tuple[SheetLine, ...]
    options: tuple[Option, ...]
    steps: tuple[Step, ...] = ()
    line: str = ""
    error: str = ""
    framed: str = ""


def turned(values: tuple[str, ...], now: str, by: int) -> str:
    """Return the value that comes ``by`` after the one there is, around the end."""
    if not values:
        return now
    at = values.index(now) if now in values else (-1 if by > 0 else 0)
    return values[(at + by) % len(values)]


@value
class WayStage:
    """One stage of a way: its title, how long, what is done of it, and a number."""

    title: str
    takes_ms: int
    mark: Mark
    number: str = ""


def way_lines(stages: tuple[WayStage, ...]) -> tuple[SheetLine, ...]:
    """Return stages as lines; short ones that stay as they are share a line."""
    out: list[SheetLine] = []
    group: list[WayStage] = []
    for stage in stages:
        if group and not _joins(group, stage):
            out.append(_line(group))
            group = []
        group.append(stage)
    if group:
        out.append(_line(group))
    return tuple(out)


LONGEST = 32  # characters of a line of the way


def _joins(group: list[WayStage], stage: WayStage) -> bool:
    told = ", ".join(each.title for each in (*group, stage))
    plain = all(each.mark == "same" and not each.number for each in (*group, stage))
    return plain and len(told) <= LONGEST


def _line(group: list[WayStage]) -> SheetLine:
    first = group[0]
    told = ", ".join((first.title, *(each.title.lower() for each in group[1:])))
    takes = sum(each.takes_ms for each in group)
    span = minutes(takes) if takes else ""
    if first.mark == "done":
        span = "done"
    elif first.mark == "gone":
        span = say("falls away")
    elif first.mark == "new":
        span = say("new, {span}", span=span).rstrip(", ")
    right = ", ".join(each for each in (first.number, span) if each)
    tone: Tone = "attention" if first.mark in ("new", "gone") else "plain"
    return SheetLine(told, right, first.mark, tone)
