"""The PEDAL line: what the foot would do, filled while it is kept down."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from benchassist.ui.lines import FarLine, FarText
from benchassist.ui.theme import Theme
from benchassist.ui.words import say

LET_GO = FarText(
    say("PEDAL"),
    say("let go too soon: a short press"),
    "attention",
    short=say("let go too soon"),
)


class PedalLine(FarLine):
    """A far line that fills with what a long press does, and says when it was let go.

    A line that inverts (the foot is off) is never covered.
    """

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(theme, parent)
        self._line = self._long = FarText(say("PEDAL"), "")
        self._let_go = False

    def show_foot(self, line: FarText, long: str) -> None:
        """Show what the foot would do; ``long`` is what a long press does."""
        kept = FarText(say("PEDAL"), say("keep down: {long}", long=long), short=long)
        self._line, self._long = line, kept
        self._show()

    @property
    def meanwhile(self) -> str:
        """Return what a page's line says in its place while, or after, it is down."""
        return self._long.short if self.share else LET_GO.short * self._let_go

    def show_share(self, share: float) -> None:
        """Fill the line while the foot is down, with what a long press does."""
        super().show_share(share)
        self._show()

    def say_let_go(self, *, on: bool) -> None:
        """Say that the foot was lifted before a long press, or what it would do."""
        if on != self._let_go:
            self._let_go = on
            self._show()

    def _show(self) -> None:
        told = LET_GO if self._let_go else self._line
        told = self._long if self.share else told
        off = self._line.tone not in ("plain", "quiet")
        self.show_view(self._line if off else told)
