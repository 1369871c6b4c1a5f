"""The parts in flight as a list, the one that is harmed first on top."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from PySide6.QtCore import (
    QAbstractListModel,
    QModelIndex,
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

from benchassist.ui.paint import Run, bar, draw_runs, panel, wrap
from benchassist.ui.shapes import draw_shape
from benchassist.ui.theme import HEAVY, NEAR, PLAIN, READ, STRONG, Theme
from benchassist.ui.view import Row

Index = QModelIndex | QPersistentModelIndex
ROW_ROLE = Qt.ItemDataRole.UserRole
TALL_MM = 23.0  # [mm] a row of two lines; a choice
LOW_MM = 11.0  # [mm] a row of one line, still a target for a gloved finger; a choice
EMPTY = ("No part is in flight.", "Take one in by hand, or open one from Parts.")


class RowsModel(QAbstractListModel):
    """The rows as Qt wants them; only what changed is announced."""

    def __init__(self, parent: QWidget | None = None) -> None:
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
        # A bar of 500 px does not move for less than this.
        rows = tuple(replace(row, fill=round(row.fill * 250) / 250) for row in rows)
        old, self._rows = self._rows, rows
        if len(old) != len(rows):
            self._rows = old
            self.beginResetModel()
            self._rows = rows
            self.endResetModel()
            return
        for number, (was, now) in enumerate(zip(old, rows, strict=True)):
            if was != now:
                index = self.index(number)
                self.dataChanged.emit(index, index)


class RowDelegate(QStyledItemDelegate):
    """Paints one row, in two lines or in one."""

    def __init__(self, theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self.theme = theme
        self.low = False

    def sizeHint(self, option: QStyleOptionViewItem, _index: Index) -> QSize:  # noqa: N802
        """Return the size of a row."""
        height = self.theme.px(LOW_MM if self.low else TALL_MM)
        # Qt types the fields of its option as unknown.
        width: int = option.rect.width()  # type: ignore[attr-defined]
        return QSize(width, height + self.theme.px(2.0))

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: Index
    ) -> None:
        """Paint the row of ``index``."""
        row = index.data(ROW_ROLE)
        rect = QRectF(option.rect)  # type: ignore[attr-defined]
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        draw_row(painter, row, rect, self.theme, low=self.low)
        painter.restore()


def row_rect(rect: QRectF, theme: Theme) -> QRectF:
    """Return the ground of a row within the cell ``rect``."""
    return rect.adjusted(0, 0, 0, -theme.px(2.0))


def row_runs(row: Row, rect: QRectF, theme: Theme, *, low: bool) -> Iterator[Run]:
    """Lay out the text of ``row`` in its cell."""
    palette = theme.palette
    box = row_rect(rect, theme)
    ground = palette.raised if row.focused else palette.card
    code = theme.face(READ + 0.6 if low else 6.6, HEAVY)
    time = theme.face(READ + 0.6 if low else 6.6, STRONG)
    read = theme.face(READ)
    left = box.left() + theme.px(13.0 if low else 19.0)
    right = box.right() - theme.px(4.0)
    first = (
        box.center().y() + code.cap / 2 if low else box.top() + theme.px(4.0) + code.cap
    )
    ink, time_ground = (
        (palette.letters, palette.attention) if row.late else (palette.ink, ground)
    )
    time_x = right - time.width(row.right)
    yield Run(row.code, left, first, code, palette.ink, ground)
    yield Run(row.right, time_x, first, time, ink, time_ground)
    beside = left + code.width(row.code) + theme.px(4.0)
    room = time_x - theme.px(5.0) - beside
    if row.key:
        key = theme.face(NEAR, STRONG)
        key_x = right - key.width(row.key) - theme.px(1.6)
        key_line = box.bottom() - theme.px(5.6)
        if low:
            key_x = time_x - theme.px(6.0) - key.width(row.key)
            key_line = box.center().y() + key.cap / 2
            room = key_x - theme.px(5.0) - beside
        yield Run(row.key, key_x, key_line, key, palette.quiet, ground, "ornament")
    if low:
        words = _first_line(f"{row.klass}, {row.line}", read.width(""), read, room)
        yield Run(words, beside, first - (code.cap - read.cap) / 2, read, palette.quiet, ground)
        return
    yield Run(_first_line(row.klass, 0.0, read, room), beside, first, read, palette.quiet, ground)
    second = first + theme.px(8.4)
    room = right - theme.px(9.0) - left
    yield Run(_first_line(row.line, 0.0, read, room), left, second, read, palette.ink, ground)
