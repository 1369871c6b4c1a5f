"""What a hand may ask of the window itself; nothing here reaches the journal."""

from __future__ import annotations

from benchassist.value import value


@value
class OpenPage:
    """Show another page."""

    page: str


@value
class LearnPedal:
    """Take the next key pressed as the pedal's."""


@value
class ExportDay:
    """Write the day's logs to a folder."""

    day: str
    out: str = ""
