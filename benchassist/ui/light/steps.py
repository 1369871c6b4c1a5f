"""The steps of knowing a pair, painted: what each allows beside its seconds."""

from __future__ import annotations

import math
from collections.abc import Iterator

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from benchassist.ui.paint import Painted, Run, panel, tone_ink, wrap
from benchassist.ui.present.knowing import Knowing, StepRow
from benchassist.ui.theme import HEAVY, MUST, NEAR, READ, STRONG
from benchassist.ui.words import say

LEFT_SHARE = 0.44  # of the width, for words; the rest is the axis in seconds
ROW_MM = 25.0  # [mm] high, two lines under a title; a choice
AXIS_MM = 9.0
HEAD_MM = 16.5  # [mm] the headline, two lines beside it
TICK_S = 10


class Steps(Painted[Knowing]):
    """A headline, three rows with their intervals, and the axis under them."""

    def spoken(self, view: Knowing) -> str:
        """Return the headline and each step's verdict."""
        rows = (f"{row.title}: {row.verdict} {row.badge}" for row in view.steps)
        return ". ".join((view.headline, *view.lines, *rows))

    def lay(self, view: Knowing) -> Iterator[Run]:
        """Lay out headline, rows and axis."""
        yield from self._head(view)
        for row, rect in zip(view.steps, self._rows(view), strict=True):
            yield from self._row(row, rect)
            yield from self._interval_words(view, row, rect)
        yield from self._axis_words(view)

    def draw(self, painter: QPainter, view: Knowing) -> None:
        """Draw the rows' grounds, the intervals and the line of what is planned."""
        palette = self.theme.palette
        rects = self._rows(view)
        for row, rect in zip(view.steps, rects, strict=True):
            edge = palette.attention if row.here else ""
            panel(painter, rect, self.theme.px(2.0), ground=palette.card, edge=edge)
            self._draw_interval(painter, view, row, rect)
        foot = rects[-1].bottom()
        x, px = self._x(view, view.planned_s), self.theme.px
        painter.setPen(QPen(QColor(palette.ink), 2.0))
        ticks = [
            (rect.top() + px(1.0), rect.bottom() - px(1.0))
            for row, rect in zip(view.steps, rects, strict=True)
            if row.low  # elsewhere words stand in its way
        ]
        for top, bottom in (*ticks, (foot + px(0.4), foot + px(3.6))):
            painter.drawLine(QPointF(x, top), QPointF(x, bottom))
        self._draw_axis(painter, view, foot)

    # --- where things are --------------------------------------------------------

    def _rows(self, view: Knowing) -> list[QRectF]:
        px = self.theme.px
        top = px(HEAD_MM)
        gap = px(2.0)
        free = self.height() - top - px(AXIS_MM)
        high = min(px(ROW_MM), (free - gap * (len(view.steps) - 1)) / len(view.steps))
        return [
            QRectF(0, top + n * (high + gap), self.width(), high)
            for n in range(len(view.steps))
        ]

    def _x(self, view: Knowing, seconds: float) -> float:
        left = self.width() * LEFT_SHARE
        room = self.width() - left - self.theme.px(12.0)
        return left + room * min(1.0, seconds / view.axis_s)

    # --- words -------------------------------------------------------------------

    def _head(self, view: Knowing) -> Iterator[Run]:
        theme, ground = self.theme, self.theme.palette.ground
        big, face = theme.face(MUST, STRONG), theme.face(READ)
        line = big.rise
        ink = tone_ink(theme, view.tone)
        yield Run(view.headline, 0, line, big, ink, ground, "must")
        x = big.width(view.headline) + theme.px(7.0)
        base = face.rise
        for number, told in enumerate(view.lines):
            ink = theme.palette.quiet if number else theme.palette.ink
            for text in wrap(told, face, self.width() - x):
                if base + face.depth > theme.px(HEAD_MM):
                    return
                yield Run(text, x, base, face, ink, ground)
                base += face.pitch

    def _row(self, row: StepRow, rect: QRectF) -> Iterator[Run]:
        theme, palette = self.theme, self.theme.palette
        pad = theme.px(4.0)
        title, near = theme.face(READ, HEAVY), theme.face(NEAR)
        word, badge = theme.face(READ, HEAVY), theme.face(NEAR, STRONG)
        right = self.width() * LEFT_SHARE - theme.px(4.0)
        ink = tone_ink(theme, row.tone)
        two = title.cap + 2 * near.pitch + near.depth
        low = rect.height() < theme.px(2.4) + two  # no room for two lines below
        line = rect.top() + theme.px(2.4) + title.cap
        if low:
            line = rect.center().y() + title.cap / 2
        x = right
        if row.verdict:
            x = right - word.width(row.verdict)
            yield Run(row.verdict, x, line, word, ink, palette.card)
        if row.badge and low:
            x -= badge.width(row.badge) + theme.px(2.4) * bool(row.verdict)
            # Dropped where it would lie on the title: the verdict says as much.
            if x > rect.left() + pad + title.width(row.title) + theme.px(2.0):
                yield Run(row.badge, x, line, badge, ink, palette.card)
        elif row.badge:
            below = line + badge.pitch * bool(row.verdict)
            wide = badge.width(row.badge)
            x = min(x, right - wide)
            yield Run(row.badge, right - wide, below, badge, ink, palette.card)
        yield Run(row.title, rect.left() + pad, line, title, palette.ink, palette.card)
        if low:
            return
        room = x - rect.left() - pad - theme.px(4.0)
        for text in row.lines:
            for part in wrap(text, near, room):
                line += near.pitch
                if line + near.depth > rect.bottom():
                    return
                left = rect.left() + pad
                yield Run(part, left, line, near, palette.quiet, palette.card)

    def _interval_words(
        self, view: Knowing, row: StepRow, rect: QRectF
    ) -> Iterator[Run]:
        theme, palette = self.theme, self.theme.palette
        middle = rect.center().y()
        if not row.low:
            face = theme.face(NEAR)
            x = self.width() * LEFT_SHARE + theme.px(6.0)
            line = middle + face.cap / 2
            room = self.width() - x - theme.px(3.0)
            for text in wrap(row.told, face, room)[:2]:
                yield Run(text, x, line, face, palette.quiet, palette.card)
                line += face.pitch
            return
        face = theme.face(READ, HEAVY)
        line = middle + face.cap / 2
        low = f"{row.low:.0f}"
        x = self._x(view, row.low) - face.width(low) - theme.px(1.6)
        yield Run(low, x, line, face, palette.attention, palette.card)
        high = f"{row.high:.0f} s" if math.isfinite(row.high) else "?"
        x = self._x(view, min(row.high, view.axis_s)) + theme.px(1.6)
        yield Run(high, x, line, face, palette.attention, palette.card)

    def _axis_words(self, view: Knowing) -> Iterator[Run]:
        theme, palette = self.theme, self.theme.palette
        face = theme.face(NEAR)
        foot = self._rows(view)[-1].bottom()
        line = foot + theme.px(3.6) + face.cap
        told = say("Seconds a spot; planned {planned_s:g}", planned_s=view.planned_s)
        yield Run(told, 0, line, face, palette.quiet, palette.ground)
        every = TICK_S * max(1, round(view.axis_s / (8 * TICK_S)))
        for seconds in range(0, round(view.axis_s) + 1, every):
            text = f"{seconds} s" if seconds + every > view.axis_s else f"{seconds}"
            x = self._x(view, seconds) - face.width(text) / 2
            yield Run(text, x, line, face, palette.quiet, palette.ground)

    # --- shapes ------------------------------------------------------------------

    def _draw_interval(
        self, painter: QPainter, view: Knowing, row: StepRow, rect: QRectF
    ) -> None:
        if not row.low:
            return
        theme, palette = self.theme, self.theme.palette
        left = self._x(view, row.low)
        right = self._x(view, min(row.high, view.axis_s))
        high = theme.px(4.2)
        bar = QRectF(left, rect.center().y() - high / 2, max(high, right - left), high)
        if math.isfinite(row.high) and row.here:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QColor(palette.attention))
        else:  # no longest is known, or another step counts: outlined
            pen = QPen(QColor(palette.attention if row.here else palette.quiet), 2.0)
            pen.setStyle(Qt.PenStyle.DashLine)
            painter.setPen(pen)
            painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRoundedRect(bar, high / 2, high / 2)

    def _draw_axis(self, painter: QPainter, view: Knowing, foot: float) -> None:
        px, palette = self.theme.px, self.theme.palette
        y = foot + px(2.0)
        painter.setPen(QPen(QColor(palette.quiet), 1.5))
        painter.drawLine(
            QPointF(self._x(view, 0), y), QPointF(self._x(view, view.axis_s), y)
        )
        every = TICK_S * max(1, round(view.axis_s / (8 * TICK_S)))
        for seconds in range(0, round(view.axis_s) + 1, every):
            x = self._x(view, seconds)
            painter.drawLine(QPointF(x, y - px(0.8)), QPointF(x, y + px(0.8)))
