"""A table with one chosen row: painted, walked by arrow keys or tapped."""

from __future__ import annotations

import math
from collections.abc import Iterator

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import QColor, QMouseEvent, QPainter, QWheelEvent

from benchassist.ui.paint import (
    Painted,
    Run,
    around,
    panel,
    tone_ink,
    wrap,
)
from benchassist.ui.theme import NEAR, PLAIN, READ, STRONG, Face
from benchassist.ui.view import Tone
from benchassist.ui.words import say
from benchassist.value import value

ROW_MM = 7.6  # [mm] from one row to the next; a choice
MOST_LINES = 3  # of a cell
LITTLE_PX = 0.01  # rounding
PITCH = 1.7  # [ratio] of its capitals from one line to the next
BETWEEN_MM = {READ: 4.0, NEAR: 2.4}  # [mm] of two columns, by their letters
STEPS = {"Up": -1, "Down": 1, "PgUp": -6, "PgDown": 6, "Home": -(10**6), "End": 10**6}


@value
class Cell:
    """Words in a tone; strong ones stand out."""

    text: str
    tone: Tone = "plain"
    strong: bool = False


@value
class GridView:
    """Headers, rows of cells, the chosen row (-1: none), and what an empty one says."""

    headers: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    chosen: int = -1
    empty: str = ""


class Grid(Painted[GridView]):
    """Rows under headers; as many as fit, the chosen one always among them.

    Signals: ``picked(int)`` the row that was tapped or walked to.
    """

    picked = Signal(int)
    _first = 0
    _cap_mm = READ

    def spoken(self, view: GridView) -> str:
        """Return the chosen row, or how many there are."""
        if 0 <= view.chosen < len(view.rows):
            return ", ".join(cell.text for cell in view.rows[view.chosen])
        return say("{many} rows", many=len(view.rows))

    def key(self, key: str) -> bool:
        """Walk to another row; say whether the key was for that."""
        view = self.view
        step = STEPS.get(key)
        if view is None or step is None or view.chosen < 0 or not view.rows:
            return False
        self.picked.emit(min(max(0, view.chosen + step), len(view.rows) - 1))
        return True

    def rows_that_fit(self) -> int:
        """Return how many rows are seen at once."""
        return max(1, int((self.height() - self._top()) // self._pitch()))

    def height_for(self) -> int:
        """Return the height at which every row is seen."""
        rows = len(self.view.rows) if self.view else 0
        return math.ceil(self._top() + self._pitch() * rows)

    def lay(self, view: GridView) -> Iterator[Run]:
        """Lay out headers and the rows that are seen."""
        palette = self.theme.palette
        if not view.rows:
            yield from self._lay_empty(view)
            return
        head = self.theme.face(NEAR, STRONG)
        columns = self._columns(view)
        for text, (x, wide) in zip(view.headers, columns, strict=True):
            if not text:
                continue
            line = head.rise
            for told in wrap(text, head, max(wide, 1.0)):
                yield Run(told, x, line, head, palette.quiet, palette.ground)
                line += head.pitch
        for number in self._seen(view):
            yield from self._lay_row(view, number, columns)

    def draw(self, painter: QPainter, view: GridView) -> None:
        """Draw the rows' grounds and, where rows are hidden, how far down this is."""
        palette, radius = self.theme.palette, self.theme.px(1.4)
        for number in self._seen(view):
            chosen = number == view.chosen
            panel(
                painter,
                self._rect(number),
                radius,
                ground=palette.raised if chosen else palette.card,
                edge=palette.attention if chosen else "",
            )
        seen = len(self._seen(view))
        if seen < len(view.rows):
            track = QRectF(
                self.width() - self.theme.px(1.2),
                self._top(),
                self.theme.px(1.2),
                self._pitch() * seen,
            )
            share = seen / len(view.rows)
            thumb = QRectF(track)
            thumb.setTop(track.top() + track.height() * self._first / len(view.rows))
            thumb.setHeight(track.height() * share)
            painter.fillRect(track, QColor(palette.card))
            painter.fillRect(thumb, QColor(palette.quiet))

    def mousePressEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        """Choose the row under the finger."""
        view = self.view
        if view is None or event.button() != Qt.MouseButton.LeftButton:
            return
        for number in self._seen(view):
            if self._rect(number).contains(event.position()) and view.chosen >= 0:
                self.picked.emit(number)

    def wheelEvent(self, event: QWheelEvent) -> None:  # noqa: N802
        """Walk by the wheel."""
        self.key("Up" if event.angleDelta().y() > 0 else "Down")

    def _lay_empty(self, view: GridView) -> Iterator[Run]:
        face, palette = self.theme.face(READ), self.theme.palette
        line = face.rise
        for text in wrap(view.empty, face, max(self.width(), 1)):
            yield Run(text, 0, line, face, palette.quiet, palette.ground)
            line += face.pitch

    def _lay_row(
        self, view: GridView, number: int, columns: list[tuple[float, float]]
    ) -> Iterator[Run]:
        palette = self.theme.palette
        rect = self._rect(number)
        ground = palette.raised if number == view.chosen else palette.card
        for cell, (x, wide) in zip(view.rows[number], columns, strict=True):
            if not cell.text:
                continue
            face = self._face(cell, self._cap_mm)
            ink = tone_ink(self.theme, cell.tone)
            told = Run(cell.text, x, rect.center().y(), face, ink, ground)
            yield from around(told, wide, most=MOST_LINES, close=PITCH)

    def _face(self, cell: Cell, cap_mm: float) -> Face:
        return self.theme.face(cap_mm, STRONG if cell.strong else PLAIN)

    def _columns(self, view: GridView) -> list[tuple[float, float]]:
        """Return each column's left and width: as its words need, the rest shared.

        Where they do not fit, the letters are smaller, then the widest gives way.
        """
        self._cap_mm = READ if self._spare(view, READ)[0] >= 0 else NEAR
        spare, wide = self._spare(view, self._cap_mm)
        pad, gap = self.theme.px(2.4), self.theme.px(BETWEEN_MM[self._cap_mm])
        # The widest gives way as far as to the next one, then both do, and so on; none
        # below its longest word.
        least = [max(map(self._longest, column)) for column in self._told(view)]
        while spare < -LITTLE_PX:
            free = [n for n, each in enumerate(wide) if each > least[n]]
            if not free:
                break
            most = max(wide[n] for n in free)
            top = [n for n in free if wide[n] == most]
            stops = [least[n] for n in top] + [wide[n] for n in free if n not in top]
            by = min(most - max(stops), -spare / len(top))
            wide = [each - by if n in top else each for n, each in enumerate(wide)]
            spare += by * len(top)
        extra = max(0.0, spare) / max(1, len(wide))
        placed, x = [], float(pad)
        for each in wide:
            placed.append((x, each + 1.0))
            x += each + gap + extra
        return placed

    def _told(self, view: GridView) -> Iterator[tuple[tuple[str, Face], ...]]:
        """Yield each column: what it says and in which letters, its head first."""
        head = self.theme.face(NEAR, STRONG)
        for column, text in enumerate(view.headers):
            cells = (row[column] for row in view.rows)
            told = ((cell.text, self._face(cell, self._cap_mm)) for cell in cells)
            yield ((text, head), *told)

    def _longest(self, told: tuple[str, Face]) -> float:
        text, face = told
        return max(map(face.width, text.split()), default=0.0)

    def _spare(self, view: GridView, cap_mm: float) -> tuple[float, list[float]]:
        """Return the pixels that are left over, and what each column needs."""
        pad, gap = self.theme.px(2.4), self.theme.px(BETWEEN_MM[cap_mm])
        head = self.theme.face(NEAR, STRONG)
        wide = [head.width(text) for text in view.headers]
        for row in view.rows:
            for column, cell in enumerate(row):
                wide[column] = max(
                    wide[column], self._face(cell, cap_mm).width(cell.text)
                )
        spare: float = (
            self.width() - 2 * pad - self.theme.px(1.6) - gap * (len(wide) - 1)
        )
        return spare - sum(wide), wide

    def _top(self) -> float:
        head, view = self.theme.face(NEAR, STRONG), self.view
        lines = 1
        if view is not None and view.rows and self._spare(view, NEAR)[0] < 0:
            columns = zip(view.headers, self._columns(view), strict=True)
            lines = max(len(wrap(text, head, wide)) for text, (_, wide) in columns)
        return head.pitch * lines + self.theme.px(0.8)

    def _pitch(self) -> float:
        if self.view is None or self._spare(self.view, NEAR)[0] >= 0:
            return float(self.theme.px(ROW_MM))
        columns = self._columns(self.view)
        lines = max(
            len(wrap(cell.text, self._face(cell, self._cap_mm), max(wide, 1.0)))
            for row in self.view.rows
            for cell, (_, wide) in zip(row, columns, strict=True)
        )
        more = self.theme.face(self._cap_mm).cap * PITCH * (min(lines, MOST_LINES) - 1)
        return self.theme.px(ROW_MM) + more

    def _rect(self, number: int) -> QRectF:
        top = self._top() + self._pitch() * (number - self._first)
        high = self._pitch() - self.theme.px(0.8)
        return QRectF(0, top, self.width() - self.theme.px(1.6), high)

    def _seen(self, view: GridView) -> range:
        """Return the rows that are seen; the chosen one stays among them."""
        fit = self.rows_that_fit()
        last = max(0, len(view.rows) - fit)
        first = min(self._first, last)
        if view.chosen >= 0:
            first = min(max(first, view.chosen - fit + 1), view.chosen)
        self._first = max(0, first)
        return range(self._first, min(len(view.rows), self._first + fit))
