"""A plain table page; an empty one says what to do next."""

from __future__ import annotations

from PySide6.QtCore import (
    QAbstractTableModel,
    QModelIndex,
    QPersistentModelIndex,
    Qt,
    Signal,
)
from PySide6.QtWidgets import QAbstractSlider, QHeaderView, QTableView, QVBoxLayout

from benchassist.ui.form import TITLE_MM
from benchassist.ui.hands import Hands, OptionGroup
from benchassist.ui.page import Page, PageLabel
from benchassist.ui.theme import HEAVY, READ, Theme
from benchassist.ui.view import TableView

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

    def show_view(self, view: TableView) -> None:
        """Show other cells."""
        self.beginResetModel()
        self._view = view
        self.endResetModel()

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008, N802
        """Return how many rows there are."""
        return 0 if parent.isValid() else len(self._view.rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008, N802
        """Return how many columns there are."""
        return 0 if parent.isValid() else len(self._view.headers)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return the text of a cell."""
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

    Signals: ``row_chosen(int)`` the number of the row that was tapped.
    """

    row_chosen = Signal(int)

    def __init__(self, theme: Theme, hands: Hands) -> None:
        super().__init__(theme, OptionGroup(theme, hands))
        self._title = PageLabel(TITLE_MM, HEAVY)
        self._note = PageLabel(READ, role="quiet")
        self._empty = PageLabel(READ)
        self._model = CellsModel()
        self._table = QTableView()
        self._table.setObjectName("cells")
        self._table.setModel(self._model)
        self._table.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._table.setSelectionMode(QTableView.SelectionMode.NoSelection)
        self._table.setShowGrid(False)
        self._table.setAlternatingRowColors(True)
        self._table.setWordWrap(False)
        self._table.verticalHeader().hide()
        across = self._table.horizontalHeader()
        across.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        across.setStretchLastSection(True)
        self._table.clicked.connect(self._tapped)
        box = QVBoxLayout(self)
        for part in (self._title, self._note, self._empty, self._table, self._options):
            box.addWidget(part)
        box.setStretchFactor(self._table, 1)
        box.addStretch(0)
        self.set_theme(theme)

    def show_view(self, view: TableView) -> None:
        """Show another table."""
        self._title.setText(view.title)
        self.setAccessibleName(view.title)
        self._table.setAccessibleName(view.title)
        self._note.setText(view.note)
        self._note.setVisible(bool(view.note))
        self._empty.setText(view.empty)
        self._empty.setVisible(not view.rows)
        self._table.setVisible(bool(view.rows))
        self._model.show_view(view)
        self._options.show_view(view.options)
        self.fit()

    def key(self, key: str) -> bool:
        """Scroll the table."""
        bar = self._table.verticalScrollBar()
        action = SCROLLS.get(key)
        if action is not None:
            bar.triggerAction(action)
        return action is not None

    def set_theme(self, theme: Theme) -> None:
        """Show the page in another theme."""
        super().set_theme(theme)
        face = theme.face(READ)
        self._table.setFont(face.font)
        self._table.horizontalHeader().setFont(face.font)
        self._table.verticalHeader().setDefaultSectionSize(round(face.pitch * 1.4))

    def _tapped(self, index: QModelIndex) -> None:
        self.row_chosen.emit(index.row())
