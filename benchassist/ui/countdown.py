"""The countdown: digits that are read across the room, and what they count."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Literal, NamedTuple

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter

from benchassist.ui.paint import Painted, Run, bar, panel, wrap
from benchassist.ui.theme import DIGITS, HEAVY, MUST, NEAR, READ, STRONG
from benchassist.ui.view import Countdown
from benchassist.value import replace

LARGE_MM = (38.0, 32.0)  # [mm] capitals of the digits where there is room; a choice
LARGE_SHARE = 0.98  # [ratio] of the width that they may take with their unit
_BAR_MM = 3.2


class _Plan(NamedTuple):
    """How much is shown: the digits' size, the lines, the bar."""

    cap_mm: float
    lines: Literal["all", "joined", "none"] = "all"
    bar: bool = True


_LEAST = _Plan(DIGITS, lines="none")
_PLANS = (
    *(_Plan(cap_mm) for cap_mm in LARGE_MM),
    _Plan(DIGITS),
    _Plan(DIGITS, lines="joined"),
    _LEAST,
    _Plan(DIGITS, lines="none", bar=False),
)


class CountdownView(Painted[Countdown]):
    """Large digits, their unit, a few lines, and a bar of the time that passed."""

    def show_view(self, view: Countdown) -> None:
        """Show ``view``, its fill in steps so that it repaints seldom."""
        fill = None if view.fill is None else round(view.fill, 3)
        super().show_view(replace(view, fill=fill))

    def spoken(self, view: Countdown) -> str:
        """Return digits, unit and lines as one sentence."""
        return ", ".join((f"{view.big} {view.unit}".strip(), *view.lines))

    def least_height(self, width: int) -> int:
        """Return the height of the smallest digits, their unit and their bar."""
        return self._height(self.view, _LEAST, width) if self.view else 0

    def least_width(self) -> int:
        """Return the width of the smallest digits with the block behind them."""
        if self.view is None:
            return 0
        digits = self.theme.face(_LEAST.cap_mm, HEAVY).width(_widest(self.view.big))
        return round(digits + 2 * self.theme.px(2.5)) + 1

    def height_for(self, width: int, available: int) -> int:
        """Return the height for the largest digits that ``available`` pixels hold."""
        if self.view is None:
            return 0
        return self._height(self.view, self._plan(self.view, width, available), width)

    def lay(self, view: Countdown) -> Iterator[Run]:
        """Lay out digits, unit and lines."""
        plan = self._plan(view, self.width(), self.height())
        yield from self._place(view, plan, self.width())

    def draw(self, painter: QPainter, view: Countdown) -> None:
        """Draw the block behind late digits, and the bar at the foot."""
        palette = self.theme.palette
        if view.late:
            block = self.runs()[0].capitals
            pad = self.theme.px(2.5)
            block.adjust(-pad, -pad, pad, pad)
            panel(painter, block, pad, ground=palette.attention)
        barred = self._plan(view, self.width(), self.height()).bar
        if barred and view.fill is not None:
            height = self.theme.px(_BAR_MM)
            foot = QRectF(0, self.height() - height, self.width(), height)
            ink = palette.attention if view.late else palette.measured
            bar(painter, foot, view.fill, ink=ink, ground=palette.raised)

    def _plan(self, view: Countdown, width: int, available: int) -> _Plan:
        for plan in _PLANS:
            digits = self.theme.face(plan.cap_mm, HEAVY)
            wide = digits.width(_widest(view.big)) + self.theme.px(5.0)
            wide += self.theme.face(MUST, STRONG).width(view.unit)
            # Larger digits must leave room for their unit and for the lines.
            if plan.cap_mm > DIGITS and wide > width * LARGE_SHARE:
                continue
            if self._height(view, plan, width) <= available:
                return plan
        return _PLANS[-1]

    def _height(self, view: Countdown, plan: _Plan, width: int) -> int:
        runs = self._place(view, plan, width)
        lowest = runs[0].capitals.bottom() + self.theme.px(2.5 if view.late else 0.5)
        lowest = max(lowest, *(run.rect.bottom() for run in runs[1:]), 0.0)
        barred = plan.bar and view.fill is not None
        foot = self.theme.px(2.4) + self.theme.px(_BAR_MM) if barred else 0
        return round(lowest + foot)

    def _place(self, view: Countdown, plan: _Plan, width: int) -> list[Run]:
        theme, palette = self.theme, self.theme.palette
        digits = theme.face(plan.cap_mm, HEAVY)
        unit = theme.face(MUST, STRONG)
        read = theme.face(READ if plan.lines == "all" else NEAR)
        pad = theme.px(2.5)
        baseline = pad + digits.cap
        inset = float(pad if view.late else 0)
        ink, ground = palette.ink, palette.ground
        if view.late:
            ink, ground = palette.letters, palette.attention
        runs = [Run(view.big, inset, baseline, digits, ink, ground, "digits")]
        beside = 2 * inset + digits.width(view.big) + theme.px(3.0)
        room = width - beside
        low = baseline + (pad if view.late else 0.0)
        if view.unit:
            fits = unit.width(view.unit) <= room
            x, line = (beside, baseline) if fits else (0.0, low + unit.pitch)
            low = max(low, line)
            ink, ground = palette.ink, palette.ground
            runs.append(Run(view.unit, x, line, unit, ink, ground, "must"))
        if plan.lines == "none":
            return runs
        words = view.lines if plan.lines == "all" else (", ".join(view.lines),)
        lines = [part for text in words for part in wrap(text, read, max(room, 1))]
        foot = baseline - (unit.pitch if view.unit else 0.0)
        top = foot - read.pitch * (len(lines) - 1) - read.rise
        if low > baseline + pad or top < 0:
            lines = [part for text in words for part in wrap(text, read, width)]
            beside, foot = 0.0, low + read.pitch * len(lines) + theme.px(0.4)
        for number, text in enumerate(reversed(lines)):
            line = foot - read.pitch * number
            runs.append(Run(text, beside, line, read, palette.quiet, palette.ground))
        return runs


def _widest(big: str) -> str:
    """Return the digits at their widest, so that their size seldom changes."""
    zeros = re.sub(r"\d", "0", big)
    return "00" if zeros == "0" else zeros
