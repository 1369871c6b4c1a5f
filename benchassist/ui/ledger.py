"""The dose ledger as bars, a bound drawn as an open end, and the gates' verdicts."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPen

from benchassist.ui.paint import Painted, Run, panel, tone_ink, wrap
from benchassist.ui.theme import HEAVY, NEAR, READ, STRONG
from benchassist.ui.view import Bar, GateRow
from benchassist.ui.words import say
from benchassist.value import replace

_PAD_MM = 4.0
_HEADROOM = 1.04  # [ratio] the scale ends a little past the longest bar
_LONGEST = 3.0  # [shares of what is owed] beyond this a bar runs off its open end


_PASSED = ("good", "quiet")
_GRAVEST_FIRST = ("stop", "attention", "plain", "good", "quiet")


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
        return round(max(bottoms, default=0) + self.theme.px(_PAD_MM))

    def lay(self, view: tuple[Bar, ...]) -> Iterator[Run]:
        """Lay out title, labels and figures."""
        if view:
            face, palette = self.theme.face(NEAR, STRONG), self.theme.palette
            pad = self.theme.px(_PAD_MM)
            line = pad + face.cap
            yield Run(say("DOSE LEDGER"), pad, line, face, palette.quiet, palette.card)
        for placed in self._place(view, self.width()):
            yield from placed.runs

    def draw(self, painter: QPainter, view: tuple[Bar, ...]) -> None:
        """Draw the ground and the bars."""
        ground = self.theme.palette.card
        panel(painter, QRectF(self.rect()), self.theme.px(2.4), ground=ground)
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
        ground, pad = palette.card, theme.px(_PAD_MM)
        right = width - pad
        top = pad + theme.face(NEAR).cap + theme.px(5.0)
        placed = []
        for one in view:
            line = top + label.cap
            runs = [Run(one.label, pad, line, label, palette.ink, ground)]
            words = f"{one.owed}, {one.evidence}" if one.evidence else one.owed
            beside = right - read.width(words)
            if beside < runs[0].rect.right() + theme.px(4.0):
                beside, line = float(pad), line + read.pitch
            for number, text in enumerate(wrap(words, read, right - pad)):
                line += read.pitch if number else 0
                runs.append(Run(text, beside, line, read, palette.quiet, ground))
            rect = QRectF(pad, line + theme.px(2.6), right - pad, theme.px(2.8))
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
        return round(_lowest(runs) + self.theme.px(_PAD_MM / 2))

    def lay(self, view: tuple[GateRow, ...]) -> Iterator[Run]:
        """Lay out the gates; where it is tight, what stops comes first."""
        runs = self._place(view, self.width())
        if _lowest(runs) <= self.height():
            yield from runs
            return
        for gates in _shorter(view):
            runs = self._place(gates, self.width())
            if _lowest(runs) <= self.height():
                break
        yield from (run for run in runs if run.rect.bottom() <= self.height())

    def draw(self, painter: QPainter, _view: tuple[GateRow, ...]) -> None:
        """Draw the ground."""
        ground = self.theme.palette.card
        panel(painter, QRectF(self.rect()), self.theme.px(2.4), ground=ground)

    def _place(self, view: tuple[GateRow, ...], width: int) -> list[Run]:
        theme, palette = self.theme, self.theme.palette
        ground, pad = palette.card, theme.px(_PAD_MM)
        title, read = theme.face(READ, STRONG), theme.face(READ)
        verdict, small = theme.face(READ, HEAVY), theme.face(NEAR, STRONG)
        line = pad + small.cap
        runs = (
            [Run(say("GATES"), pad, line, small, palette.quiet, ground)] if view else []
        )
        line += theme.px(1.4)
        for one in view:
            line += title.pitch
            x = width - pad - verdict.width(one.verdict)
            ink = tone_ink(theme, one.tone)
            runs.append(Run(one.verdict, x, line, verdict, ink, ground))
            room = x - pad - theme.px(4.0)
            for number, text in enumerate(wrap(one.title, title, room)):
                line += title.pitch if number else 0
                runs.append(Run(text, pad, line, title, palette.ink, ground))
            for text in wrap(one.reason, read, width - 2 * pad):
                line += read.pitch
                runs.append(Run(text, pad, line, read, palette.quiet, ground))
            line += theme.px(1.2)
        return runs


def _lowest(runs: list[Run]) -> float:
    return max((run.rect.bottom() for run in runs), default=0.0)


def _shorter(view: tuple[GateRow, ...]) -> Iterator[tuple[GateRow, ...]]:
    """Return the gates in ever shorter forms, the gravest first in each."""
    gates = sorted(view, key=_gravity)
    stopping = [one for one in gates if one.tone not in _PASSED]
    passed = [replace(one, reason="") for one in gates if one.tone in _PASSED]
    for count in range(len(passed), -1, -1):
        left = len(passed) - count
        more = (
            (GateRow(say("and {left} more", left=left), say("PASS"), "", "good"),)
            if left
            else ()
        )
        yield (*stopping, *passed[:count], *more)
    yield tuple(replace(one, reason="") for one in stopping)


def _gravity(gate: GateRow) -> int:
    return _GRAVEST_FIRST.index(gate.tone)
