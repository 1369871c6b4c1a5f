"""The parts in flight as a list, the one that is harmed first on top."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from PySide6.QtCore import (
    QAbstractListModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QRectF,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QPainter, QResizeEvent
from PySide6.QtWidgets import (
    QFrame,
    QListView,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from benchassist.ui.paint import Painted, Run, wrap
from benchassist.ui.row import LOW_MM, TALL_MM, RowLayout
from benchassist.ui.theme import NEAR, READ, STRONG, Theme
from benchassist.ui.view import Row

Index = QModelIndex | QPersistentModelIndex
ROW_ROLE = Qt.ItemDataRole.UserRole
FILL_STEPS = 250  # a bar of 500 px does not move for less
RING_STEPS = 36  # nor does the small ring of a low row
EMPTY = "No part is in flight. Take one in by hand: key N."
PAGE_KEYS = {"PgDown": 1, "PgUp": -1}


class RowsModel(QAbstractListModel):
    """The rows as Qt wants them; only what changed is announced."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._rows: tuple[Row, ...] = ()

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008, N802
        """Return how many parts are in flight."""
        return 0 if parent.isValid() else len(self._rows)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return the row itself, or what it says."""
        if not index.isValid():
            return None
        row = self._rows[index.row()]
        if role == ROW_ROLE:
            return row
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            late = " late" if row.late else ""
            more = f" and {len(row.others)} more" if row.others else ""
            told = (f"{row.code}{more}", row.klass, row.line, f"{row.right}{late}")
            return f"{row.word} {', '.join(told)}"
        return None

    def show_rows(self, rows: tuple[Row, ...]) -> None:
        """Show other rows."""
        if len(self._rows) != len(rows):
            self.beginResetModel()
            self._rows = rows
            self.endResetModel()
            return
        old, self._rows = self._rows, rows
        for number, (was, now) in enumerate(zip(old, rows, strict=True)):
            if was != now:
                index = self.index(number)
                self.dataChanged.emit(index, index)


class RowDelegate(QStyledItemDelegate):
    """Paints a row, in two lines or in one."""

    def __init__(self, theme: Theme, parent: QObject) -> None:
        super().__init__(parent)
        self.theme = theme
        self.low = False

    def height(self) -> int:
        """Return the height of a row in pixels."""
        return self.theme.px(LOW_MM if self.low else TALL_MM)

    def sizeHint(self, _option: QStyleOptionViewItem, _index: Index) -> QSize:  # noqa: N802
        """Return the size of a row."""
        return QSize(1, self.height())

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: Index
    ) -> None:
        """Paint the row of ``index``."""
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self.layout_of(index.data(ROW_ROLE), QRectF(option.rect)).draw(painter)
        painter.restore()

    def layout_of(self, row: Row, cell: QRectF) -> RowLayout:
        """Return ``row`` laid out in ``cell``."""
        return RowLayout(row, cell, self.theme, self.low)


class RowList(QListView):
    """The list; a tap on a row picks its part."""

    picked = Signal(str)

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._rows: tuple[Row, ...] = ()
        self._model = RowsModel(self)
        self._delegate = RowDelegate(theme, self)
        self.setModel(self._model)
        self.setItemDelegate(self._delegate)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setSelectionMode(QListView.SelectionMode.NoSelection)
        self.setVerticalScrollMode(QListView.ScrollMode.ScrollPerItem)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setUniformItemSizes(True)
        self.setAccessibleName("Parts in flight, the one harmed first on top")
        self.viewport().setAutoFillBackground(False)
        self.clicked.connect(self._pick)

    def show_view(self, rows: tuple[Row, ...]) -> None:
        """Show other rows, low ones where tall ones do not fit."""
        steps = RING_STEPS if self._tight(len(rows)) else FILL_STEPS
        rows = tuple(replace(row, fill=round(row.fill * steps) / steps) for row in rows)
        if rows == self._rows:
            return
        old, self._rows = self._rows, rows
        if len(old) == len(rows):
            self._model.show_rows(self._ordered())
        else:
            self._choose_height()
        if _front(old) != _front(rows):
            self.verticalScrollBar().setValue(0)

    def set_theme(self, theme: Theme) -> None:
        """Paint in another theme."""
        self._delegate.theme = theme
        self._choose_height()
        self.viewport().update()

    def count(self) -> int:
        """Return how many rows there are."""
        return len(self._rows)

    def turn(self, pages: int) -> None:
        """Go some pages down the list, or up where negative."""
        bar = self.verticalScrollBar()
        bar.setValue(bar.value() + pages * max(1, self.whole_rows()))

    def height_for(self, available: int) -> int:
        """Return the height of the rows that are seen whole in ``available`` pixels."""
        low, tall = (self._delegate.theme.px(mm) for mm in (LOW_MM, TALL_MM))
        each = low if tall * self.count() > available else tall
        return each * min(self.count(), available // each)

    def parts_seen(self) -> tuple[int, int]:
        """Return how many parts the rows stand for that are seen, and all rows."""
        counts = [1 + len(row.others) for row in self._ordered()]
        return sum(counts[: self.whole_rows()]), sum(counts)

    def whole_rows(self) -> int:
        """Return how many rows are seen whole."""
        return min(len(self._rows), self.height() // self._delegate.height())

    def layouts(self) -> tuple[RowLayout, ...]:
        """Return the rows that are seen whole, as they are laid out."""
        seen = self.viewport().rect()
        return tuple(
            self._delegate.layout_of(index.data(ROW_ROLE), QRectF(cell))
            for index in map(self._model.index, range(self._model.rowCount()))
            if seen.contains(cell := self.visualRect(index))
        )

    def runs(self) -> tuple[Run, ...]:
        """Return the text of the rows that are seen whole."""
        return tuple(run for layout in self.layouts() for run in layout.runs())

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        """Choose the height of the rows anew."""
        super().resizeEvent(event)
        self._choose_height()

    def _tight(self, count: int) -> bool:
        return self._delegate.theme.px(TALL_MM) * count > self.height()

    def _choose_height(self) -> None:
        self._delegate.low = self._tight(len(self._rows))
        self._model.show_rows(self._ordered())
        self.doItemsLayout()

    def _ordered(self) -> tuple[Row, ...]:
        """Return the rows with the one in front no lower than the last in sight."""
        last, front = self.whole_rows() - 1, _front(self._rows)
        if front is None or not 0 <= last < front:
            return self._rows
        rest = self._rows[:front] + self._rows[front + 1 :]
        return (*rest[:last], self._rows[front], *rest[last:])

    def _pick(self, index: QModelIndex) -> None:
        self.picked.emit(_next_of(index.data(ROW_ROLE)))


def _front(rows: tuple[Row, ...]) -> int | None:
    """Return the number of the row in front, if there is one."""
    return next((number for number, row in enumerate(rows) if row.focused), None)


def _next_of(row: Row) -> str:
    """Return the part that picking ``row`` brings forward: itself, or its next one."""
    return row.others[0] if row.focused and row.others else row.code


@dataclass(frozen=True)
class Seen:
    """How many parts are seen of how many, and what a key would show instead."""

    seen: int
    count: int
    hint: str = ""


class RowsTitle(Painted[Seen]):
    """What the list holds, how much of it is seen, and what to do if it is empty."""

    def spoken(self, view: Seen) -> str:
        """Return the title."""
        return _title(view)

    def lay(self, view: Seen) -> Iterator[Run]:
        """Lay out the title, the hint, and the empty state below them."""
        palette = self.theme.palette
        face, small = self.theme.face(NEAR, STRONG), self.theme.face(NEAR)
        line = self.theme.px(1.0) + face.rise
        yield Run(_title(view), 0, line, face, palette.quiet, palette.ground)
        x = self.width() - small.width(view.hint) - self.theme.px(0.5)
        if view.hint and x > face.width(_title(view)):
            yield Run(view.hint, x, line, small, palette.quiet, palette.ground)
        if not view.count:
            read = self.theme.face(READ)
            for text in wrap(EMPTY, read, self.width()):
                line += read.pitch
                yield Run(text, 0, line, read, palette.ink, palette.ground)


def _title(view: Seen) -> str:
    if view.seen < view.count:
        return f"IN FLIGHT, BY HARM: {view.seen} OF {view.count} (PgDown)"
    return f"IN FLIGHT, BY HARM: {view.count}" if view.count else "IN FLIGHT"


def part_of(rows: tuple[Row, ...], key: str) -> str:
    """Return the code of the part that ``key`` picks, or nothing.

    A row may have a key of its own, which picks the next one of its basket when
    pressed again; Tab and Backtab go down and up from the row in front.
    """
    if key in ("Tab", "Backtab") and rows:
        step = 1 if key == "Tab" else -1
        front = _front(rows)
        at = min(-step, 0) if front is None else front
        return rows[(at + step) % len(rows)].code
    named = (row for row in rows if row.key and row.key.upper() == key.upper())
    row = next(named, None)
    return _next_of(row) if row else ""
