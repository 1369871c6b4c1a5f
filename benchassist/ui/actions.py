"""What a hand may ask of the window itself; nothing here reaches the journal."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class OpenPage:
    """Show another page."""

    page: str


@dataclass(frozen=True)
class LearnPedal:
    """Take the next key pressed as the pedal's."""


@dataclass(frozen=True)
class ExportDay:
    """Write the day's logs to a folder."""

    day: str
    out: str = ""
