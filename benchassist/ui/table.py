"""A plain table page; an empty one says what to do next."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from PySide6.QtCore import (
    QAbstractTableModel,
    QModelIndex,
    QPersistentModelIndex,
    QPoint,
    QRectF,
    Qt,
)
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QAbstractSlider, QHeaderView, QTableView, QVBoxLayout

from benchassist.ui.hands import AnyButton, Hands, OptionGroup
from benchassist.ui.page import Page, PageLabel
from benchassist.ui.theme import NEAR, READ, Face, Theme
from benchassist.ui.tiles import TileGrid
from benchassist.ui.title import Title, TitleRow
from benchassist.ui.view import Option, TableView, TileView
from benchassist.ui.words import say, shown

# [mm] capitals of the cells, the largest with which all of them fit; a choice
SIZES_MM = (5.4, 4.6, READ)
PAD_MM = 5.0  # [mm] beside the words of a cell
FEW = 4  # [tiles] as many stand in two columns, more in three
_Action = QAbstractSlider.SliderAction
SCROLLS = {
    "Up": _Action.SliderSingleStepSub,
    "Down": _Action.SliderSingleStepAdd,
    "PgUp": _Action.SliderPageStepSub,
    "PgDown": _Action.SliderPageStepAdd,
    "Home": _Action.SliderToMinimum,
    "End": _Action.SliderToMaximum,
}
Index = QModelIndex | QPersistentModelIndex


class CellsModel(QAbstractTableModel):
    """The cells as Qt wants them."""

    def __init__(self) -> None:
        super().__init__()
        self._view = TableView("", (), (), "")
        self._keys: Collection[str] = ()
        self.ink = ""  # of a key that is a row: the theme's

    def show_view(self, view: TableView, keys: Collection[str] = ()) -> None:
        """Show other cells; a first cell of ``keys`` is the key of its row."""
        self.beginResetModel()
        self._view, self._keys = view, keys
        self.endResetModel()

    @property
    def view(self) -> TableView:
        """What the cells are of."""
        return self._view

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008, N802
        """Return how many rows there are."""
        return 0 if parent.isValid() else len(self._view.rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008, N802
        """Return how many columns there are."""
        return 0 if parent.isValid() else len(self._view.headers)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return the text of a cell, and what a key is drawn in."""
        if role == Qt.ItemDataRole.ForegroundRole and index.column() == 0:
            pressed = self._view.rows[index.row()][0] in self._keys
            return QColor(self.ink) if pressed else None
        if role != Qt.ItemDataRole.DisplayRole or not index.isValid():
            return None
        return self._view.rows[index.row()][index.column()]

    def headerData(  # noqa: N802
        self,
        section: int,
        orientation: Qt.Orientation,
        role: int = Qt.ItemDataRole.DisplayRole,
    ) -> object:
        """Return the title of a column."""
        if role == Qt.ItemDataRole.DisplayRole and orientation == (
            Qt.Orientation.Horizontal
        ):
            return self._view.headers[section]
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return Qt.AlignmentFlag.AlignLeft
        return None


class TablePage(Page):
    """A page with one table and the options that belong to it.

    An option whose key is the first cell of a row is that row: it answers to the key
    and to a tap, and is not drawn a second time as a button.
    """

    def __init__(self, theme: Theme, hands: Hands) -> None:
        super().__init__(theme, OptionGroup(theme, hands))
        self._title = TitleRow(theme)
        self._note = PageLabel(READ, role="quiet")
        self._note.setWordWrap(True)
        self._empty = PageLabel(READ)
        self._empty.setWordWrap(True)
        self._model = CellsModel()
        self._rows: dict[str, Option] = {}
        self._table = QTableView()
        self._table.setObjectName("cells")
        self._table.setModel(self._model)
        self._table.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._table.setSelectionMode(QTableView.SelectionMode.NoSelection)
        self._table.setShowGrid(False)
        bar = Qt.ScrollBarPolicy.ScrollBarAlwaysOff  # it would lie on the last row
        self._table.setHorizontalScrollBarPolicy(bar)
        self._table.setAlternatingRowColors(True)
        self._table.verticalHeader().hide()
        across = self._table.horizontalHeader()
        across.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        across.setStretchLastSection(True)
        self._table.clicked.connect(self._tapped)
        self._tiles = TileGrid(theme, hands, self)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        for part in (self._title, self._note, self._empty, self._table, self._options):
            box.addWidget(part)
        box.setStretchFactor(self._table, 1)
        box.addWidget(self._tiles, 1)
        box.addStretch(0)
        self.set_theme(theme)

    def show_view(self, view: TableView) -> None:
        """Show another table."""
        view = shown(view)
        self.setAccessibleName(view.title)
        self._table.setAccessibleName(view.title)
        self._note.setText(view.note)
        self._note.setVisible(bool(view.note))
        self._empty.setText(view.empty)
        self._empty.setVisible(bool(view.empty) and not view.rows)
        self._table.setVisible(bool(view.rows))
        # Where a column needs no title, the others need none either: a list of steps.
        self._table.horizontalHeader().setVisible(all(view.headers))
        firsts = {row[0] for row in view.rows}
        self._rows = {
            each.key: each
            for each in view.options
            if each.key in firsts
            and not (each.hold or each.needs_number or each.needs_text)
        }
        self._model.show_view(view, self._rows)
        options = tuple(each for each in view.options if each.key not in self._rows)
        # Where there is nothing to read, what can be done has the page.
        tiles = () if view.rows else tuple(TileView(o, o.line) for o in options)
        self._tiles.show_view(tiles, 3 if len(tiles) > FEW else 2)
        self._tiles.setVisible(bool(tiles))
        self._options.show_view(() if tiles else options)
        self._options.setVisible(not tiles)
        self.fit()

    def buttons(self) -> Sequence[AnyButton]:
        """Return the tiles, or the options under the rows."""
        return self._tiles.buttons() or self._options.buttons()

    def _more(self) -> str:
        """Say how to go through rows that do not all fit."""
        rows = range(self._model.rowCount())
        need = self._head_px() + sum(map(self._table.rowHeight, rows))
        more = need > self._table.maximumHeight()
        return say("PgUp, PgDown: more rows") if more else ""

    def boxes(self) -> Iterator[tuple[str, QRectF]]:
        """Yield each row in sight that has a key."""
        port, model = self._table.viewport(), self._model
        for number, row in enumerate(model.view.rows):
            box = self._table.visualRect(model.index(number, 0))
            if row[0] in self._rows and port.rect().contains(box):
                box.setWidth(port.width())
                yield row[0], QRectF(box.translated(port.mapTo(self, QPoint(0, 0))))

    def pick(self, name: str) -> None:
        """Take a row."""
        self.key(name)

    def key(self, key: str) -> bool:
        """Take the row of the key, or scroll the table."""
        if key in self._rows:
            self.asked.emit(self._rows[key].command)
            return True
        bar = self._table.verticalScrollBar()
        action = SCROLLS.get(key)
        if action is not None:
            bar.triggerAction(action)
        return action is not None

    def set_theme(self, theme: Theme) -> None:
        """Show the table in another theme."""
        self._model.ink = theme.palette.attention
        super().set_theme(theme)

    def fit(self) -> None:
        """Show the cells as large as fits, and no row that would be cut."""
        super().fit()
        layout = self.layout()
        view = self._model.view
        if layout is None or not view.rows:
            self._title.show_view(Title(view.title))
            return
        sizes = map(self._theme.face, SIZES_MM)
        table, across = self._table, self._table.horizontalHeader()
        room = self.contentsRect().height() - 2 * layout.contentsMargins().top()
        wide = self.contentsRect().width()
        for part in (self._title, self._note, self._options):
            if not part.isHidden():
                need = max(part.minimumHeight(), part.sizeHint().height())
                if part.hasHeightForWidth():
                    need = part.heightForWidth(wide)
                room -= need + layout.spacing()
        least = self._theme.face(READ)
        if self._wide(least) > wide:
            least = self._theme.face(NEAR)
        face = next((each for each in sizes if self._fits(each, room)), least)
        table.setFont(face.font)
        for drawn in (across, across.viewport()):  # which asks nobody while hidden
            drawn.setFont(face.font)
        table.verticalHeader().setDefaultSectionSize(_row_px(face))
        # Where all are too wide the last column has what the others leave, and wraps.
        last, modes = self._model.columnCount() - 1, QHeaderView.ResizeMode
        narrow = self._wide(face) > wide
        across.setStretchLastSection(False)  # else it keeps the width that it had
        across.setSectionResizeMode(modes.ResizeToContents)
        across.resizeSections(modes.ResizeToContents)
        if narrow:
            across.setSectionResizeMode(last, modes.Stretch)
        across.setStretchLastSection(True)
        table.resizeRowsToContents()
        whole = self._head_px()
        for row in range(self._model.rowCount()):
            if whole + table.rowHeight(row) > room:
                break
            whole += table.rowHeight(row)
        table.setFixedHeight(max(0, whole))
        self._title.show_view(Title(view.title, right=self._more()))

    def _head_px(self) -> int:
        header = self._table.horizontalHeader()
        return 0 if header.isHidden() else header.sizeHint().height()

    def _fits(self, face: Face, room: int) -> bool:
        """Say whether all cells fit in one face, each on a single line."""
        high = _row_px(face) * self._model.rowCount() + self._head_px()
        return self._wide(face) <= self.width() and high <= room

    def _wide(self, face: Face) -> float:
        """Return how wide all columns are, each cell on a single line."""
        rows = self._model.view.rows
        if self._head_px():
            rows = (self._model.view.headers, *rows)
        widest = [max(map(face.width, column)) for column in zip(*rows, strict=True)]
        return sum(widest) + self._theme.px(PAD_MM) * len(widest)

    def _tapped(self, index: QModelIndex) -> None:
        self.key(self._model.view.rows[index.row()][0])


def _row_px(face: Face) -> int:
    return round(face.pitch * 1.25)
