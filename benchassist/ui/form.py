"""A form for the hands: labels, fields, one key that hands it in."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QFrame,
    QGridLayout,
    QLineEdit,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from benchassist.ui.hands import Hands, OptionGroup
from benchassist.ui.page import Page, PageLabel
from benchassist.ui.theme import HEAVY, NEAR, READ, STRONG, Theme
from benchassist.ui.view import Field, FormView, Option

COLUMNS = 2
YES, NO = "yes", ""
TITLE_MM = 5.4  # [mm] capitals of a page's title; a choice


class FormPage(Page):
    """A page with one form.

    Signals: ``submitted(str, dict)``, the form's name and what each field holds by
    its name; a check field holds ``"yes"`` or nothing.
    """

    submitted = Signal(str, dict)

    def __init__(self, theme: Theme, hands: Hands) -> None:
        super().__init__(theme, OptionGroup(theme, hands))
        self._view: FormView | None = None
        self._inputs: dict[str, QComboBox | QLineEdit] = {}
        self._title = PageLabel(TITLE_MM, HEAVY)
        self._note = PageLabel(READ, role="quiet")
        self._error = PageLabel(READ, STRONG, role="stop")
        self._scroll = QScrollArea()
        self._scroll.setWidgetResizable(True)
        self._scroll.setFrameShape(QFrame.Shape.NoFrame)
        self._scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        box = QVBoxLayout(self)
        for part in (self._title, self._note, self._scroll, self._error, self._options):
            box.addWidget(part)
        box.setStretchFactor(self._scroll, 1)
        self.set_theme(theme)

    def show_view(self, view: FormView) -> None:
        """Show another form, or the same one with an error; what was typed stays."""
        old, self._view = self._view, view
        self._title.setText(view.title)
        for part, text in ((self._note, view.note), (self._error, view.error)):
            part.setText(text)
            part.setVisible(bool(text))
        self.setAccessibleName(view.title)
        self._options.show_view((Option(view.submit, "Enter", view.name),))
        if old is None or (old.name, old.fields) != (view.name, view.fields):
            self._build(view.fields)
        self.fit()

    def values(self) -> dict[str, str]:
        """Return what the fields hold, by field name."""
        return {
            name: part.text().strip()
            if isinstance(part, QLineEdit)
            else str(part.currentData())
            for name, part in self._inputs.items()
        }

    def choose(self, _option: Option) -> bool:
        """Hand the form in."""
        if self._view is not None:
            self.submitted.emit(self._view.name, self.values())
        return True

    def _build(self, fields: tuple[Field, ...]) -> None:
        host = QWidget()
        grid = QGridLayout(host)
        grid.setHorizontalSpacing(self._theme.px(6.0))
        grid.setVerticalSpacing(self._theme.px(1.0))
        self._inputs = {}
        for number, field in enumerate(fields):
            row, column = divmod(number, COLUMNS)
            cell = QVBoxLayout()
            title = PageLabel(NEAR, STRONG, role="quiet")
            title.setText(field.label)
            part = _input(field)
            part.setAccessibleName(field.label)
            part.setAccessibleDescription(field.help)
            part.setToolTip(field.help)
            part.setFont(self._theme.face(READ).font)
            title.setBuddy(part)
            title.set_theme(self._theme)
            cell.addWidget(title)
            cell.addWidget(part)
            if field.help:
                help_line = PageLabel(NEAR, role="quiet")
                help_line.setText(field.help)
                help_line.set_theme(self._theme)
                cell.addWidget(help_line)
            cell.addStretch(1)
            grid.addLayout(cell, row, column)
            self._inputs[field.name] = part
        grid.setRowStretch(len(fields), 1)
        self._scroll.setWidget(host)
        for part in tuple(self._inputs.values())[:1]:
            part.setFocus(Qt.FocusReason.OtherFocusReason)


def _input(field: Field) -> QComboBox | QLineEdit:
    """Return the control for a field, holding its value.

    A yes or no is a list of two: space belongs to the foot and toggles nothing.
    """
    if field.kind in ("text", "number"):
        line = QLineEdit(field.value)
        if field.kind == "number":
            line.setInputMethodHints(Qt.InputMethodHint.ImhFormattedNumbersOnly)
        return line
    choices = field.choices
    if field.kind == "check":
        choices = ((NO, "no"), (YES, "yes"))
    box = QComboBox()
    for value, text in choices:
        box.addItem(text, value)
    box.setCurrentIndex(max(0, box.findData(field.value)))
    return box
