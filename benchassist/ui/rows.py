"""The parts in work as two lists: NOW, where hands are needed, and LATER.

NOW says how long each may wait, LATER when each is due. Rows are laid out once and
painted as they were laid out; only a row that changed is laid out or painted again.
"""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import QRect, QRectF, Qt, Signal
from PySide6.QtGui import QMouseEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from benchassist.ui.paint import Run, draw_runs, wrap
from benchassist.ui.row import LOW_MM, TALL_MM, RowLayout, laid_out
from benchassist.ui.theme import HEAVY, NEAR, READ, STRONG, Theme
from benchassist.ui.view import Row
from benchassist.ui.words import say
from benchassist.value import replace

RING_STEPS = 36  # of a small ring: it does not move for less
HEAD_MM = 7.2  # [mm] of a list's name
FOLD_MM = 7.2  # [mm] of the line that says how many are folded
EMPTY = say("Nothing is in work. Take parts in: key N.")
PAGE_KEYS = {"PgDown": 1, "PgUp": -1}
COLUMNS = {True: (say("NOW"), say("may wait")), False: (say("LATER"), say("due in"))}


class RowList(QWidget):
    """Both lists; a tap on a row picks its part.

    Signals: ``picked(str)`` the code of the part that was tapped; ``touched()`` when
    a pointer moves over the rows or presses one.
    """

    picked = Signal(str)
    touched = Signal()

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._rows: tuple[Row, ...] = ()
        self._shown: tuple[Row, ...] = ()
        self._layouts: list[RowLayout] = []
        self._words: tuple[Run, ...] = ()
        self._skipped = 0
        self.frozen = False
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setMouseTracking(True)
        self.setAccessibleName(say("Nothing is in work"))

    # --- what is shown ----------------------------------------------------------

    def show_view(self, rows: tuple[Row, ...]) -> None:
        """Show other rows; while ``frozen`` none of them changes its place."""
        if self.frozen:
            rows = _in_old_order(self._rows, rows)
        if rows != self._rows:
            self._rows = rows
            self._lay_out()

    def set_theme(self, theme: Theme) -> None:
        """Paint in another theme."""
        self._theme = theme
        self.renew()

    def renew(self) -> None:
        """Lay everything out again and repaint."""
        self._layouts, self._shown = [], ()
        self._lay_out()
        self.update()

    def _lay_out(self) -> None:
        """Lay out the rows that changed their words or place; repaint what differs."""
        was, was_words = self._painted(), self._words
        laid = {each.row.code: each for each in self._layouts}
        self._shown, self._layouts = self._fitting(), []
        words: list[Run] = []
        high, top = self._pitch(), 0
        for now in (True, False):
            listed = [row for row in self._shown if row.now == now]
            whole = sum(row.now == now for row in self._rows)
            if not whole:
                continue
            words += self._head(now, whole, top)
            top += self._theme.px(HEAD_MM)
            for row in listed:
                cell = QRectF(0, top, self.width(), high)
                made = laid.get(row.code)
                if made is None or made.cell != cell or not made.says(row):
                    made = laid_out(row, cell, self._theme)
                self._layouts.append(made)
                top += high
            if whole > len(listed):
                words += self._fold(now, whole - len(listed), top)
                top += self._theme.px(FOLD_MM)
            top += self._theme.px(1.2)
        if not self._rows:
            words += self._nothing()
        self._words = tuple(words)
        most = min((each.alone_mm for each in self._layouts), default=0.0)
        self._layouts = [
            each
            if each.cap_mm == most
            else laid_out(each.row, each.cell, self._theme, most)
            for each in self._layouts
        ]
        self.setAccessibleName(self._spoken())
        for layout, _steps in was ^ self._painted():
            self.update(_around(layout))
        if self._words != was_words:
            for run in (*was_words, *words):
                self.update(run.rect.toAlignedRect())

    def _painted(self) -> set[tuple[RowLayout, int]]:
        """Return what is painted: each row that is laid out, and how full its ring."""
        steps = (round(row.fill * RING_STEPS) for row in self._shown)
        return set(zip(self._layouts, steps, strict=True))

    def count(self) -> int:
        """Return how many rows there are."""
        return len(self._rows)

    def layouts(self) -> tuple[RowLayout, ...]:
        """Return the rows that are seen, as they are laid out."""
        return tuple(self._layouts)

    def runs(self) -> tuple[Run, ...]:
        """Return all text that is seen."""
        return (
            *self._words,
            *(run for layout in self._layouts for run in layout.runs),
        )

    def boxes(self) -> Iterator[tuple[str, QRectF]]:
        """Yield the code and the place of each row that is seen."""
        for layout, row in zip(self._layouts, self._shown, strict=True):
            yield row.code, layout.box

    def seen(self) -> tuple[Row, ...]:
        """Return the rows that are seen."""
        return self._shown

    def turn(self, pages: int) -> None:
        """Go some pages down the list, or up where negative."""
        step = max(1, len(self._shown) - 1)
        most = max(0, len(self._rows) - 1)
        self._skipped = min(most, max(0, self._skipped + pages * step))
        self.renew()

    # --- how much fits ----------------------------------------------------------

    def height_for(self, _width: int, available: int) -> int:
        """Return the height of what is seen in ``available`` pixels."""
        if not self._rows:
            return min(available, self._theme.px(30.0))
        tall, low = self._theme.px(TALL_MM), self._theme.px(LOW_MM)
        heads, count = self._heads_px(), len(self._rows)
        each = min(tall, max(low, (available - heads) // count))
        return min(available, heads + each * count)

    def _heads_px(self) -> int:
        """Return the height of the lists' names, and the gaps after the lists."""
        lists = len({row.now for row in self._rows})
        return lists * (self._theme.px(HEAD_MM) + self._theme.px(1.2))

    def _pitch(self) -> int:
        count = max(1, len(self._rows))
        room = (self.height() - self._heads_px()) // count
        return min(self._theme.px(TALL_MM), max(self._theme.px(LOW_MM), room))

    def _fitting(self) -> tuple[Row, ...]:
        """Return the rows that fit: LATER folds from its far end, NOW never first.

        The part in front is always among them.
        """
        room, high = self.height() - self._heads_px(), self._pitch()
        if len(self._rows) * high <= room:
            self._skipped = 0
            return self._rows
        fold = self._theme.px(FOLD_MM)
        kept = self._kept(max(1, (room - fold) // high))
        shown = {row.code for row in kept}
        if len({row.now for row in self._rows if row.code not in shown}) > 1:
            return self._kept(max(1, (room - 2 * fold) // high))  # a line for each list
        return kept

    def _kept(self, fits: int) -> tuple[Row, ...]:
        """Return so many rows, from where they were turned to, with the front one."""
        first = min(self._skipped, max(0, len(self._rows) - fits))
        kept = self._rows[first : first + fits]
        front = next((n for n, row in enumerate(self._rows) if row.focused), first)
        if self._skipped or first <= front < first + fits:
            return kept
        return (*kept[:-1], self._rows[front])

    # --- words ------------------------------------------------------------------

    def _head(self, now: bool, count: int, top: float) -> Iterator[Run]:  # noqa: FBT001 - which of two lists
        """Lay out a list's name, how many it has and what its column means."""
        theme, palette = self._theme, self._theme.palette
        strong, plain = theme.face(NEAR, HEAVY), theme.face(NEAR)
        name, column = COLUMNS[now]
        line = top + theme.px(1.6) + strong.rise
        x = float(theme.px(2.6))
        ground = palette.ground
        yield Run(name, x, line, strong, palette.attention, ground)
        x += strong.width(name) + theme.px(2.4)
        yield Run(str(count), x, line, plain, palette.quiet, ground)
        x = self.width() - theme.px(3.0) - plain.width(column)
        yield Run(column, x, line, plain, palette.quiet, ground)

    def _fold(self, now: bool, folded: int, top: float) -> Iterator[Run]:  # noqa: FBT001 - which of two lists
        """Lay out how many rows are folded, and when the first of them is due."""
        theme, palette = self._theme, self._theme.palette
        shown = {row.code for row in self._shown}
        hidden = (row for row in self._rows if row.code not in shown)
        first = next((row for row in hidden if row.now == now), None)
        told = say("{folded} more: PgDown", folded=folded)
        if first is not None and not now:
            told = say(
                "{folded} more, first in {right}: PgDown",
                folded=folded,
                right=first.right,
            )
        face = theme.face(NEAR)
        line = top + theme.px(1.0) + face.rise
        yield Run(told, theme.px(2.6), line, face, palette.quiet, palette.ground)

    def _nothing(self) -> Iterator[Run]:
        theme, palette = self._theme, self._theme.palette
        face, line = theme.face(READ, STRONG), float(theme.px(2.0))
        for text in wrap(EMPTY, face, max(1, self.width())):
            line += face.pitch
            yield Run(text, theme.px(2.6), line, face, palette.ink, palette.ground)

    def _spoken(self) -> str:
        """Return what a screen reader says of the lists."""
        if not self._rows:
            return say("Nothing is in work")
        told = []
        for row in self._shown:
            name, column = COLUMNS[row.now]
            late = "late " if row.late and "late" not in row.right else ""
            told.append(
                f"{name}: {row.word} {row.code}, {row.klass}, {row.line}, "
                f"{column} {late}{row.right}"
            )
        return ". ".join(told)

    # --- Qt ---------------------------------------------------------------------

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        """Lay everything out for the new size."""
        super().resizeEvent(event)
        self.renew()

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802
        """Paint the rows that the event asks for."""
        painter, asked = QPainter(self), event.region()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        draw_runs(
            painter,
            tuple(run for run in self._words if asked.intersects(run.rect.toRect())),
        )
        for layout, row in zip(self._layouts, self._shown, strict=True):
            if asked.intersects(_around(layout)):
                layout.draw(painter, row.fill)
        painter.end()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        """Tell that a pointer moves over the rows."""
        super().mouseMoveEvent(event)
        self.touched.emit()

    def mousePressEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        """Pick the row under the finger."""
        self.touched.emit()
        for layout, row in zip(self._layouts, self._shown, strict=True):
            if layout.box.contains(event.position()):
                self.picked.emit(_next_of(row))


def _around(layout: RowLayout) -> QRect:
    return layout.box.adjusted(-12, -3, 3, 3).toRect()


def _in_old_order(old: tuple[Row, ...], new: tuple[Row, ...]) -> tuple[Row, ...]:
    """Return the new rows where the old ones stood, if they are the same parts."""
    found = {row.code: row for row in new}
    if {row.code for row in old} != found.keys():
        return new
    return tuple(replace(found[row.code], now=row.now) for row in old)


def _front(rows: tuple[Row, ...]) -> int | None:
    """Return the number of the row in front, if there is one."""
    return next((number for number, row in enumerate(rows) if row.focused), None)


def _next_of(row: Row) -> str:
    """Return the part that picking ``row`` brings forward: itself, or its next one."""
    return row.others[0] if row.focused and row.others else row.code


def part_of(rows: tuple[Row, ...], key: str) -> str:
    """Return the code of the part that ``key`` picks, or nothing.

    The key of a tray picks the next one of its basket when pressed again.
    """
    named = [row for row in rows if row.key and row.key.upper() == key.upper()]
    if not named:
        return ""
    front = _front(tuple(named))
    if front is None:
        return named[0].code
    # Again: the next in the tray, whether its basket has parted or not.
    lying = sorted(code for row in named for code in (row.code, *row.others))
    return lying[(lying.index(named[front].code) + 1) % len(lying)]
