"""The dose ledger as bars, a bound drawn as an open end, and the gates' verdicts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import NamedTuple

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPen

from benchassist.ui.paint import Painted, Run, tone_ink, wrap
from benchassist.ui.theme import HEAVY, NEAR, READ, STRONG
from benchassist.ui.view import Bar, GateRow

_HEADROOM = 1.04  # [ratio] the scale ends a little past the longest bar
_LONGEST = 3.0  # [shares of what is owed] beyond this a bar runs off its open end


_PASSED = ("good", "quiet")


class _Placed(NamedTuple):
    bar: Bar
    rect: QRectF
    runs: tuple[Run, ...]


class LedgerBars(Painted[tuple[Bar, ...]]):
    """One bar for each side and layer, all to one scale; the tick is what is owed."""

    def spoken(self, view: tuple[Bar, ...]) -> str:
        """Return each bar's label, owed text and evidence."""
        return ". ".join(f"{one.label}: {one.owed}, {one.evidence}" for one in view)

    def height_for(self, width: int) -> int:
        """Return the height that the bars need at ``width`` pixels."""
        bottoms = [one.rect.bottom() for one in self._place(self.view or (), width)]
        return round(max(bottoms, default=0) + self.theme.px(2.0))

    def lay(self, view: tuple[Bar, ...]) -> Iterator[Run]:
        """Lay out title, labels and figures."""
        if view:
            face, palette = self.theme.face(NEAR, STRONG), self.theme.palette
            yield Run("DOSE LEDGER", 0, face.cap, face, palette.quiet, palette.ground)
        for placed in self._place(view, self.width()):
            yield from placed.runs

    def draw(self, painter: QPainter, view: tuple[Bar, ...]) -> None:
        """Draw the bars."""
        longest = max((min(one.high, _LONGEST) for one in view), default=1.0)
        scale = max(1.0, longest) * _HEADROOM
        for placed in self._place(view, self.width()):
            self._draw_bar(painter, placed.bar, placed.rect, scale)

    def _draw_bar(
        self, painter: QPainter, view: Bar, rect: QRectF, scale: float
    ) -> None:
        palette = self.theme.palette
        unit = rect.width() / scale
        painter.fillRect(rect, QColor(palette.raised))
        seen = QRectF(rect)
        seen.setWidth(unit * min(view.low, scale))
        painter.fillRect(seen, QColor(palette.measured))
        if view.high > view.low:
            self._draw_open_end(painter, seen, unit * min(view.high, scale))
        owed_x = rect.left() + unit
        painter.setPen(QPen(QColor(palette.ink), self.theme.px(0.6)))
        rise = self.theme.px(1.0)
        painter.drawLine(
            QPointF(owed_x, rect.top() - rise), QPointF(owed_x, rect.bottom() + rise)
        )

    def _draw_open_end(self, painter: QPainter, seen: QRectF, high_px: float) -> None:
        """Hatch what may have arrived, with no line at its end: nobody knows."""
        ink = QColor(self.theme.palette.measured)
        maybe = QRectF(seen.right(), seen.top(), 0, seen.height())
        maybe.setRight(seen.left() + high_px)
        painter.fillRect(maybe, QBrush(ink, Qt.BrushStyle.BDiagPattern))
        painter.setPen(QPen(ink, 1.5))
        painter.drawLine(maybe.topLeft(), maybe.topRight())
        painter.drawLine(maybe.bottomLeft(), maybe.bottomRight())

    def _place(self, view: tuple[Bar, ...], width: int) -> list[_Placed]:
        theme, palette = self.theme, self.theme.palette
        label, read = theme.face(READ, STRONG), theme.face(READ)
        ground = palette.ground
        top = theme.face(NEAR).cap + theme.px(3.0)
        placed = []
        for one in view:
            line = top + label.cap
            runs = [Run(one.label, 0, line, label, palette.ink, ground)]
            words = f"{one.owed}, {one.evidence}" if one.evidence else one.owed
            beside = width - read.width(words)
            if beside < label.width(one.label) + theme.px(4.0):
                beside, line = 0.0, line + read.pitch
            for number, text in enumerate(wrap(words, read, width)):
                line += read.pitch if number else 0
                runs.append(Run(text, beside, line, read, palette.quiet, ground))
            rect = QRectF(0, line + theme.px(2.6), width, theme.px(2.8))
            placed.append(_Placed(one, rect, tuple(runs)))
            top = rect.bottom() + theme.px(4.4)
        return placed


class GateList(Painted[tuple[GateRow, ...]]):
    """Each gate with its verdict word and its reason."""

    def spoken(self, view: tuple[GateRow, ...]) -> str:
        """Return each gate's title, verdict and reason."""
        return ". ".join(f"{one.title}: {one.verdict}, {one.reason}" for one in view)

    def height_for(self, width: int) -> int:
        """Return the height that the gates need at ``width`` pixels."""
        runs = self._place(self.view or (), width)
        return round(_lowest(runs) + self.theme.px(1.0))

    def lay(self, view: tuple[GateRow, ...]) -> Iterator[Run]:
        """Lay out the gates, without the reasons of what passed where it is tight."""
        runs = self._place(view, self.width())
        if _lowest(runs) > self.height():
            short = (
                replace(one, reason="") if one.tone in _PASSED else one for one in view
            )
            runs = self._place(tuple(short), self.width())
        yield from (run for run in runs if run.rect.bottom() <= self.height())

    def _place(self, view: tuple[GateRow, ...], width: int) -> list[Run]:
        theme, palette = self.theme, self.theme.palette
        ground = palette.ground
        title, read = theme.face(READ, STRONG), theme.face(READ)
        verdict, small = theme.face(READ, HEAVY), theme.face(NEAR, STRONG)
        runs = (
            [Run("GATES", 0, small.cap, small, palette.quiet, ground)] if view else []
        )
        line = small.cap + theme.px(1.0)
        for one in view:
            line += title.pitch
            x = width - verdict.width(one.verdict)
            ink = tone_ink(theme, one.tone)
            runs.append(Run(one.verdict, x, line, verdict, ink, ground))
            for number, text in enumerate(wrap(one.title, title, x - theme.px(4.0))):
                line += title.pitch if number else 0
                runs.append(Run(text, 0, line, title, palette.ink, ground))
            for text in wrap(one.reason, read, width):
                line += read.pitch
                runs.append(Run(text, 0, line, read, palette.quiet, ground))
            line += theme.px(1.2)
        return runs


def _lowest(runs: list[Run]) -> float:
    return max((run.rect.bottom() for run in runs), default=0.0)
