"""A card with rows that fold with a count, painted as one."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from PySide6.QtCore import QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QMouseEvent, QPainter, QPen, QPolygonF

from benchassist.ui.paint import (
    CLOSE,
    Painted,
    Run,
    around,
    bar,
    elided,
    panel,
    tone_ink,
    wrap,
)
from benchassist.ui.present.lists import ListRow, ListView
from benchassist.ui.theme import HEAVY, NEAR, READ, STRONG, Face
from benchassist.ui.words import say

HEAD_MM = 8.6
ROWS_MM = (10.4, 9.0, 7.8, 6.7)  # [mm] high, the first with which all fit; a choice
FOLDED_MM = 12.2  # [mm] where words of a row take two lines
MOST_LINES = 3
BAR_MM = 4.0  # [mm] more for a row with a bar
PAD_MM = 3.4
NUMBER_MM = 11.0  # [mm] capitals of the number that is said first
CALL_MM = 5.0  # [mm] capitals of what hands are called to do
BELOW_MOST = 0.45  # of the height, for quiet lines under rows
LEFT_MOST = 0.42  # of the width, for what a row is about


class _Cells(NamedTuple):
    x: float
    room: float
    middle: float
    space: float
    right: str
    end: float


class ListCard(Painted[ListView]):
    """Rows of one card; ``shown`` says how many of them are seen.

    Signals: ``picked(object)`` what a row that was tapped asks for.
    """

    picked = Signal(object)

    def spoken(self, view: ListView) -> str:
        """Return head, number and rows."""
        rows = (f"{row.left} {row.middle} {row.right}".strip() for row in view.rows)
        head = f"{view.head} {view.right}".strip()
        number = f"{view.number} {view.words}".strip()
        return ". ".join(
            each for each in (head, number, *rows, *view.below, *view.call) if each
        )

    # --- room ---------------------------------------------------------------------

    def _top(self, view: ListView) -> float:
        top = self.theme.px(HEAD_MM) if view.head else self.theme.px(PAD_MM)
        return top + (self.theme.px(NUMBER_MM + 6.0) if view.number else 0)

    def _below(self, view: ListView) -> list[str]:
        face, wide = self.theme.face(NEAR), self.width() - 2 * self.theme.px(PAD_MM)
        lines = [line for told in view.below for line in wrap(told, face, max(wide, 1))]
        most = max(2, int(self.height() * BELOW_MOST // face.pitch))
        if not view.rows or len(lines) <= most:
            return lines
        left = len(lines) - most + 1
        return [*lines[: most - 1], say("{left} more lines: on paper", left=left)]

    def _call(self, view: ListView) -> tuple[list[str], Face]:
        wide = self.width() - 4 * self.theme.px(PAD_MM)
        faces = [self.theme.face(mm, HEAVY) for mm in (CALL_MM, READ)]
        face = next(
            (f for f in faces if all(f.width(t) <= wide for t in view.call)), faces[-1]
        )
        lines = [line for told in view.call for line in wrap(told, face, max(wide, 1))]
        return lines, face

    def _foot(self, view: ListView) -> float:
        """Return where the rows end: above the call and the quiet lines."""
        high = float(self.theme.px(PAD_MM))
        if view.call:
            lines, face = self._call(view)
            high += face.pitch * len(lines) + self.theme.px(4.0) + self.theme.px(2.0)
        return (
            self.height() - high - len(self._below(view)) * self.theme.face(NEAR).pitch
        )

    def _pitch(self, view: ListView) -> float:
        room = self._foot(view) - self._top(view)
        more = self.theme.px(BAR_MM) * any(row.share >= 0 for row in view.rows)
        lines, close = self._lines(view), self.theme.face(NEAR + 0.3).cap * CLOSE
        high = (FOLDED_MM,) if lines > 1 else ROWS_MM
        more += round(close * max(0, lines - 2))
        sizes = [self.theme.px(mm) + more for mm in high]
        return next((px for px in sizes if px * len(view.rows) <= room), sizes[-1])

    def shown(self, view: ListView) -> tuple[ListRow, ...]:
        """Return the rows that are seen; the last line counts the others."""
        rows = view.rows[view.first :]
        fit = int((self._foot(view) - self._top(view)) // self._pitch(view))
        if len(rows) <= fit:
            return rows
        return rows[: max(0, fit - 1)]

    def boxes(self) -> Iterator[tuple[ListRow, QRectF]]:
        """Yield the rows that are seen and where each stands."""
        view = self.view
        if view is None:
            return
        high, y = self._pitch(view), self._top(view)
        for number, row in enumerate(self.shown(view)):
            yield row, QRectF(0, y + number * high, self.width(), high)

    def mousePressEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        """Tell what the row under the finger asks for."""
        for row, box in self.boxes():
            if row.act is not None and box.contains(event.position()):
                self.picked.emit(row.act)

    def page(self, by: int) -> int:
        """Return the first row after going a page on (1) or back (-1)."""
        view = self.view
        if view is None:
            return 0
        step = max(1, len(self.shown(view)))
        last = max(0, len(view.rows) - 1)
        ahead = view.first + by * step
        return max(0, ahead) if ahead <= last else view.first

    def height_for(self, width: int) -> int:
        """Return the height that head and quiet lines need at a width."""
        view = self.view
        if view is None:
            return 0
        face, wide = self.theme.face(NEAR), width - 2 * self.theme.px(PAD_MM)
        lines = sum(len(wrap(told, face, max(wide, 1))) for told in view.below)
        return round(self._top(view) + lines * face.pitch + self.theme.px(PAD_MM))

    # --- words --------------------------------------------------------------------

    def lay(self, view: ListView) -> Iterator[Run]:
        """Lay out head, number, rows, quiet lines and the call."""
        theme, palette = self.theme, self.theme.palette
        ground, pad = palette.card, float(theme.px(PAD_MM))
        end = self.width() - pad
        if view.head:
            face, line = theme.face(NEAR + 0.4, HEAVY), theme.px(HEAD_MM) * 0.5
            baseline = line + face.cap / 2
            yield Run(view.head, pad, baseline, face, palette.attention, ground)
            small = theme.face(NEAR)
            room = end - pad - face.width(view.head) - theme.px(4.0)
            if view.right and small.width(view.right) <= room:
                at = end - small.width(view.right)
                yield Run(view.right, at, baseline, small, palette.quiet, ground)
        if view.number:
            yield from self._number(view, pad, end)
        if not view.rows and view.empty:
            y, room = self._top(view), self._foot(view) - self._top(view)
            face, wide = theme.face(READ), max(end - pad, 1.0)
            if len(wrap(view.empty, face, wide)) * face.pitch + face.depth > room:
                face = theme.face(NEAR)
            for told in wrap(view.empty, face, wide):
                y += face.pitch
                yield Run(told, pad, y, face, palette.quiet, ground)
        yield from self._rows(view)
        yield from self._end(view, pad)

    def _number(self, view: ListView, pad: float, end: float) -> Iterator[Run]:
        theme, palette = self.theme, self.theme.palette
        big, face = theme.face(NUMBER_MM, HEAVY), theme.face(READ)
        line = theme.px(HEAD_MM) + theme.px(1.0) + big.cap
        yield Run(view.number, pad, line, big, palette.attention, palette.card)
        x = pad + big.width(view.number) + theme.px(4.0)
        lines = wrap(view.words, face, max(end - x, 1))[:2]
        y = line - big.cap / 2 - face.pitch * (len(lines) - 1) / 2 + face.cap / 2
        for told in lines:
            yield Run(told, x, y, face, palette.ink, palette.card)
            y += face.pitch

    def _cells(self, view: ListView, row: ListRow) -> _Cells:
        """Return where the words of a row stand, and the room that each has."""
        theme, pad = self.theme, float(self.theme.px(PAD_MM))
        strong, plain = theme.face(READ, STRONG), theme.face(NEAR + 0.3)
        end, gap = self.width() - pad, theme.px(3.0)
        x = pad + (theme.px(7.0) if any(each.mark for each in view.rows) else 0.0)
        widest = max((strong.width(each.left) for each in view.rows), default=0.0)
        middle = x + min(widest, (end - x) * LEFT_MOST) + theme.px(4.0)
        right = row.right
        if row.middle:
            right = elided(right, plain, (end - middle) * 0.62)
        taken = plain.width(right) + gap if right else 0.0
        room = middle - x - theme.px(2.0) if row.middle else end - x - taken
        return _Cells(x, room, middle, end - middle - taken, right, end)

    def _face(self, view: ListView) -> Face:
        """Return the letters of what rows are about: one size for a list."""
        strong, small = self.theme.face(READ, STRONG), self.theme.face(NEAR, STRONG)
        fits = all(
            strong.width(row.left) <= self._cells(view, row).room for row in view.rows
        )
        return strong if fits else small

    def _lines(self, view: ListView) -> int:
        """Return how many lines the words of a row take, the same for all rows."""
        face, plain = self._face(view), self.theme.face(NEAR + 0.3)
        many = 1
        for row in view.rows:
            cells = self._cells(view, row)
            many = max(
                many,
                len(wrap(row.left, face, max(cells.room, 1.0))),
                len(wrap(row.middle, plain, max(cells.space, 1.0))),
            )
        return min(many, MOST_LINES)

    def _rows(self, view: ListView) -> Iterator[Run]:
        theme, palette = self.theme, self.theme.palette
        face, plain = self._face(view), theme.face(NEAR + 0.3)
        pitch, y = self._pitch(view), self._top(view)
        rows, ground, x = self.shown(view), palette.card, float(theme.px(PAD_MM))
        most = self._lines(view)
        for row in rows:
            middle = y + (pitch - theme.px(BAR_MM) * (row.share >= 0)) / 2
            at = self._cells(view, row)
            x = at.x
            first = Run(row.left, x, middle, face, palette.ink, ground)
            yield from around(first, at.room, most=most)
            if row.right:
                ink, left = tone_ink(theme, row.tone), at.end - plain.width(at.right)
                base = middle + plain.cap / 2
                yield Run(at.right, left, base, plain, ink, ground)
            if row.middle:
                run = Run(row.middle, at.middle, middle, plain, palette.quiet, ground)
                yield from around(run, at.space, most=most)
            y += pitch
        left_over = len(view.rows) - view.first - len(rows)
        if left_over or view.first:
            told = (
                say("{left_over} more: PgDn", left_over=left_over)
                if left_over
                else say("PgUp: back")
            )
            small = theme.face(NEAR)
            y += small.cap * 1.6
            if y + small.depth <= self._foot(view):
                yield Run(told, x, y, small, palette.attention, ground)

    def _end(self, view: ListView, pad: float) -> Iterator[Run]:
        theme, palette = self.theme, self.theme.palette
        small, y = theme.face(NEAR), self._foot(view)
        for told in self._below(view):
            y += small.pitch
            yield Run(told, pad, y - small.depth, small, palette.quiet, palette.card)
        if view.call:
            lines, face = self._call(view)
            y = self.height() - theme.px(PAD_MM) - theme.px(2.0) - face.depth
            y -= face.pitch * (len(lines) - 1)
            for told in lines:
                at = (self.width() - face.width(told)) / 2
                yield Run(told, at, y, face, palette.letters, palette.attention)
                y += face.pitch

    # --- shapes -------------------------------------------------------------------

    def draw(self, painter: QPainter, view: ListView) -> None:
        """Draw the card, its marks and bars, and the plate of the call."""
        theme, palette = self.theme, self.theme.palette
        panel(painter, QRectF(self.rect()), theme.px(2.4), ground=palette.card)
        pad = theme.px(PAD_MM)
        for row, whole in self.boxes():
            high = whole.height() - theme.px(BAR_MM) * (row.share >= 0)
            if row.mark:
                at = QPointF(pad + theme.px(2.0), whole.top() + high / 2)
                self._mark(painter, row, at)
            if row.share >= 0:
                y, wide = whole.top() + high, self.width() - 2 * pad
                ink = tone_ink(theme, row.tone)
                box = QRectF(pad, y, wide, theme.px(2.2))
                bar(painter, box, row.share, ink=ink, ground=palette.line)
        if view.call:
            lines, face = self._call(view)
            high = face.pitch * len(lines) + theme.px(4.0)
            box = QRectF(pad, self.height() - pad - high, self.width() - 2 * pad, high)
            panel(painter, box, theme.px(2.0), ground=palette.attention)

    def _mark(self, painter: QPainter, row: ListRow, at: QPointF) -> None:
        """Draw a tick, a ring or a diamond: told by shape, not by colour alone."""
        theme, palette = self.theme, self.theme.palette
        size = theme.px(1.9)
        ink = {"good": palette.good, "open": palette.quiet, "amiss": palette.attention}
        painter.setPen(QPen(QColor(ink[row.mark]), theme.px(0.55)))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        if row.mark == "amiss":
            corners = ((0, -size), (size, 0), (0, size), (-size, 0))
            painter.drawPolygon(QPolygonF([at + QPointF(x, y) for x, y in corners]))
            return
        painter.drawEllipse(at, size, size)
        if row.mark == "good":
            hook = ((-0.5, 0.0), (-0.1, 0.45), (0.6, -0.5))
            points = [at + QPointF(x * size, y * size) for x, y in hook]
            painter.drawPolyline(QPolygonF(points))
