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
EMPTY = "No part is in flight. Take one in by hand: open Parts."


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
            return f"{row.word} {row.code}, {row.klass}, {row.line}, {row.right}{late}"
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
        self.setVerticalScrollMode(QListView.ScrollMode.ScrollPerPixel)
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
        self._model.show_rows(rows)
        if len(old) != len(rows):
            self._choose_height()
        front = [number for number, row in enumerate(rows) if row.focused]
        if front and front != [number for number, row in enumerate(old) if row.focused]:
            self.scrollTo(self._model.index(front[0]))

    def set_theme(self, theme: Theme) -> None:
        """Paint in another theme."""
        self._delegate.theme = theme
        self._choose_height()
        self.viewport().update()

    def count(self) -> int:
        """Return how many parts are in flight."""
        return self._model.rowCount()

    def height_for(self, available: int) -> int:
        """Return the height of the rows that are seen whole in ``available`` pixels."""
        low, tall = (self._delegate.theme.px(mm) for mm in (LOW_MM, TALL_MM))
        each = low if tall * self.count() > available else tall
        return each * min(self.count(), available // each)

    def whole_rows(self) -> int:
        """Return how many rows are seen whole."""
        return min(self.count(), self.height() // self._delegate.height())

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
        self._delegate.low = self._tight(self.count())
        self.doItemsLayout()
        front = [number for number, row in enumerate(self._rows) if row.focused]
        if front:
            self.scrollTo(self._model.index(front[0]))

    def _pick(self, index: QModelIndex) -> None:
        self.picked.emit(index.data(ROW_ROLE).code)


@dataclass(frozen=True)
class Seen:
    """How many rows are seen of how many, and what a key would show instead."""

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
        x = self.width() - small.width(view.hint)
        if view.hint and x > face.width(_title(view)):
            yield Run(view.hint, x, line, small, palette.quiet, palette.ground)
        if not view.count:
            read = self.theme.face(READ)
            for text in wrap(EMPTY, read, self.width()):
                line += read.pitch
                yield Run(text, 0, line, read, palette.ink, palette.ground)


def _title(view: Seen) -> str:
    if view.seen < view.count:
        return f"IN FLIGHT, BY HARM: {view.seen} OF {view.count}"
    return f"IN FLIGHT, BY HARM: {view.count}" if view.count else "IN FLIGHT"


def part_of(rows: tuple[Row, ...], key: str) -> str:
    """Return the code of the part that ``key`` picks, or nothing.

    A row may have a key of its own; Tab and Backtab go down and up from the part in
    front.
    """
    if key in ("Tab", "Backtab") and rows:
        step = 1 if key == "Tab" else -1
        front = [number for number, row in enumerate(rows) if row.focused]
        at = front[0] if front else min(-step, 0)
        return rows[(at + step) % len(rows)].code
    named = (row.code for row in rows if row.key and row.key.upper() == key.upper())
    return next(named, "")
