"""The countdown: digits that are read across the room, and what they count."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter

from benchassist.ui.paint import Painted, Run, bar, panel, wrap
from benchassist.ui.theme import DIGITS, HEAVY, MUST, READ, STRONG
from benchassist.ui.view import Countdown


class CountdownView(Painted[Countdown]):
    """Large digits, their unit, a few lines, and a bar of the time that passed."""

    def show_view(self, view: Countdown) -> None:
        """Show ``view``, its fill in steps so that it repaints seldom."""
        super().show_view(replace(view, fill=round(view.fill, 3)))

    def spoken(self, view: Countdown) -> str:
        """Return digits, unit and lines as one sentence."""
        return ", ".join((f"{view.big} {view.unit}".strip(), *view.lines))

    def height_for(self, width: int) -> int:
        """Return the height that the countdown needs at ``width`` pixels."""
        if self.view is None:
            return 0
        runs = self._place(self.view, width)
        lowest = max(run.rect.bottom() for run in runs)
        return round(lowest + self.theme.px(2.0) + self._bar_px())

    def lay(self, view: Countdown) -> Iterator[Run]:
        """Lay out digits, unit and lines."""
        yield from self._place(view, self.width())

    def draw(self, painter: QPainter, view: Countdown) -> None:
        """Draw the block behind late digits and the bar at the foot."""
        palette = self.theme.palette
        if view.late:
            block = self.runs()[0].rect
            pad = self.theme.px(2.5)
            block.setHeight(self.runs()[0].face.cap)
            block.adjust(-pad, -pad, pad, pad)
            panel(painter, block, pad, ground=palette.attention)
        height = self._bar_px()
        foot = QRectF(0, self.height() - height, self.width(), height)
        ink = palette.attention if view.late else palette.measured
        bar(painter, foot, view.fill, ink=ink, ground=palette.raised)

    def _bar_px(self) -> int:
        return self.theme.px(3.2)

    def _place(self, view: Countdown, width: int) -> list[Run]:
        theme, palette = self.theme, self.theme.palette
        digits = theme.face(DIGITS, HEAVY)
        unit = theme.face(MUST, STRONG)
        read = theme.face(READ)
        pad = theme.px(2.5)
        baseline = pad + digits.cap
        inset = pad if view.late else 0
        loud = (palette.letters, palette.attention)
        ink, ground = loud if view.late else (palette.ink, palette.ground)
        runs = [Run(view.big, inset, baseline, digits, ink, ground, "digits")]
        beside = inset + digits.width(view.big) + theme.px(3.0) + inset
        room = width - beside
        below = baseline
        if view.unit:
            fits = unit.width(view.unit) <= room
            if not fits:
                below += unit.pitch
            x, line = (beside, baseline) if fits else (0.0, below)
            runs.append(
                Run(view.unit, x, line, unit, palette.ink, palette.ground, "must")
            )
        lines = [part for text in view.lines for part in wrap(text, read, max(room, 1))]
        foot = baseline - (unit.pitch if view.unit else 0.0)
        top = foot - read.pitch * (len(lines) - 1) - read.cap
        if below > baseline or top < 0:
            lines = [part for text in view.lines for part in wrap(text, read, width)]
            beside, foot = 0.0, below + read.pitch * len(lines) + theme.px(1.0)
        for number, text in enumerate(reversed(lines)):
            line = foot - read.pitch * number
            runs.append(Run(text, beside, line, read, palette.quiet, palette.ground))
        return runs
