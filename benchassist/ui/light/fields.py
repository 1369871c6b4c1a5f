"""A few fields beside a plot: what is typed is told at once."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QComboBox, QGridLayout, QVBoxLayout, QWidget

from benchassist.ui.form import Inputs, dress, input_for, values_of
from benchassist.ui.page import PageLabel
from benchassist.ui.theme import NEAR, Theme
from benchassist.ui.view import Field


class Fields(QWidget):
    """Fields in columns.

    Signals: ``changed(dict)`` what the fields hold, by name, at every change.
    """

    changed = Signal(dict)

    def __init__(
        self,
        theme: Theme,
        parent: QWidget,
        columns: int = 2,
        stretch: tuple[int, ...] = (),
    ) -> None:
        super().__init__(parent)
        self._theme = theme
        self._columns = columns
        self._fields: tuple[Field, ...] = ()
        self._inputs: Inputs = {}
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        for column in range(columns):
            self._grid.setColumnStretch(column, stretch[column] if stretch else 1)
        self._cells: list[QWidget] = []

    def show_view(self, fields: tuple[Field, ...]) -> None:
        """Show other fields; the same ones keep what was typed."""
        if fields == self._fields:
            return
        self._fields = fields
        for cell in self._cells:
            self._grid.removeWidget(cell)
            cell.hide()
            cell.deleteLater()
        self._cells, self._inputs = [], {}
        for number, field in enumerate(fields):
            cell = self._cell(field)
            self._cells.append(cell)
            self._grid.addWidget(cell, *divmod(number, self._columns))
        self._grid.setRowStretch(len(fields), 1)
        self.set_theme(self._theme)

    def values(self) -> dict[str, str]:
        """Return what the fields hold, by name."""
        return values_of(self._inputs)

    def begin(self) -> None:
        """Take the focus to the first field."""
        for part in tuple(self._inputs.values())[:1]:
            part.setFocus(Qt.FocusReason.OtherFocusReason)

    def key(self, key: str) -> bool:
        """Go out with Enter; say whether the key was for that."""
        if key == "Enter":
            self.leave()
        return key == "Enter"

    def leave(self) -> None:
        """Give the focus back, so that keys are heard again."""
        for part in self._inputs.values():
            part.clearFocus()

    def set_theme(self, theme: Theme) -> None:
        """Show the fields in another theme."""
        self._theme = theme
        margin = theme.px(1.2)  # for the frame around what Enter means
        self._grid.setContentsMargins(margin, margin, margin, margin)
        self._grid.setHorizontalSpacing(theme.px(3.0))
        self._grid.setVerticalSpacing(theme.px(1.6))
        for label in self.findChildren(PageLabel):
            label.set_theme(theme)
        dress(self._inputs, theme)

    def height_for(self) -> int:
        """Return the height that the fields need."""
        return self._grid.sizeHint().height() if self._cells else 0

    def _cell(self, field: Field) -> QWidget:
        cell = QWidget(self)
        stack = QVBoxLayout(cell)
        stack.setContentsMargins(0, 0, 0, 0)
        stack.setSpacing(self._theme.px(0.4))
        title = PageLabel(NEAR, role="quiet")
        title.setText(field.label)
        part = input_for(field)
        if isinstance(part, QComboBox):
            # Beside a plot the columns are narrow: no choice may be cut.
            part.setSizeAdjustPolicy(
                QComboBox.SizeAdjustPolicy.AdjustToContentsOnFirstShow
            )
            part.setMinimumContentsLength(0)
            part.currentIndexChanged.connect(self._tell)
        else:
            part.textChanged.connect(self._tell)
        part.setAccessibleName(field.label)
        title.setBuddy(part)
        stack.addWidget(title)
        stack.addWidget(part)
        self._inputs[field.name] = part
        return cell

    def _tell(self, _new: object) -> None:
        self.changed.emit(self.values())
