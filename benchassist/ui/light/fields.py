"""A few fields beside a plot: what is typed is told at once."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QComboBox, QGridLayout, QWidget

from benchassist.ui.form import Inputs, cell_for, dress, input_for, values_of
from benchassist.ui.page import PageLabel
from benchassist.ui.theme import PLAIN, Theme
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
        self._columns = columns  # at the most
        self._stretch = stretch or (1,) * columns
        self._fields: tuple[Field, ...] = ()
        self._inputs: Inputs = {}
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
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
        self._cells = [self._cell(field) for field in fields]
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
        self._flow(self.width())

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        """Lay the fields out for another width."""
        super().resizeEvent(event)
        self._flow(self.width())

    def height_for(self, width: int) -> int:
        """Lay the fields out for a width, and return the height that they need."""
        self._flow(width)
        return self._grid.sizeHint().height() if self._cells else 0

    def _flow(self, width: int) -> None:
        """Lay the fields out in as many columns as leave their words whole."""
        count = min(self._columns, max(1, len(self._cells)))
        while count > 1 and not self._fits(width, count):
            count -= 1
        stretch = self._stretch if count == self._columns else (1,) * count
        for column in range(self._columns):
            wide = stretch[column] if column < count else 0
            self._grid.setColumnStretch(column, wide)
        for number, cell in enumerate(self._cells):
            self._grid.addWidget(cell, *divmod(number, count))

    def _fits(self, width: int, count: int) -> bool:
        margin, gap = self._theme.px(1.2), self._theme.px(3.0)
        room = width - 2 * margin - gap * (count - 1)
        shares = self._stretch if count == self._columns else (1,) * count
        needs = [cell.minimumSizeHint().width() for cell in self._cells]
        return all(
            need <= room * shares[n % count] / sum(shares[:count])
            for n, need in enumerate(needs)
        )

    def _cell(self, field: Field) -> QWidget:
        part = self._inputs[field.name] = input_for(field)
        if isinstance(part, QComboBox):
            # Beside a plot the columns are narrow: no choice may be cut.
            part.setSizeAdjustPolicy(
                QComboBox.SizeAdjustPolicy.AdjustToContentsOnFirstShow
            )
            part.setMinimumContentsLength(0)
            part.currentIndexChanged.connect(self._tell)
        else:
            part.textChanged.connect(self._tell)
        cell, _ = cell_for(field, part, PLAIN, self._theme.px(0.4))
        cell.setParent(self)  # whose style its size hangs on
        return cell

    def _tell(self, _new: object) -> None:
        self.changed.emit(self.values())
