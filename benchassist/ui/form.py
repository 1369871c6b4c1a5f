"""A form for the hands: labels, fields, one key that hands it in."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QPointF, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QFont,
    QKeyEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPolygonF,
    QResizeEvent,
)
from PySide6.QtWidgets import (
    QComboBox,
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLineEdit,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from benchassist.ui.actions import OpenPage
from benchassist.ui.hands import Hands, OptionGroup
from benchassist.ui.page import Page, PageLabel, style_sheet
from benchassist.ui.present.forms import GS_SHOWN, amiss
from benchassist.ui.theme import NEAR, READ, STRONG, Theme
from benchassist.ui.title import Title, TitleRow
from benchassist.ui.view import Field, FormView, Option
from benchassist.ui.words import say, shown
from benchassist.value import replace

COLUMN_MM = 80.0  # [mm] of a field with its label; a choice
MOST_COLUMNS = 4
CELL_MM = 26.0  # [mm] of a field with its label and what may be wrong with it
GROWS = (1.5, 1.25)  # how much larger the fields are where few are asked for
ANGLE_MM = 19.0  # [mm] of a choice that are not its words: pads and the angle
YES, NO = "yes", ""
Input = QComboBox | QLineEdit
Inputs = dict[str, Input]
SEPARATOR = "\x1d"  # GS1's, as a scanner types it


class FormPage(Page):
    """A page with one form.

    Signals: ``submitted(str, dict)``, the form's name and what each field holds by
    its name; a check field holds ``"yes"`` or nothing.
    """

    submitted = Signal(str, dict)

    def __init__(self, theme: Theme, hands: Hands) -> None:
        super().__init__(theme, OptionGroup(theme, hands))
        self._view: FormView | None = None
        self._leads_to = ""
        self._inputs: Inputs = {}
        self._cells: list[QWidget] = []
        self._grid = QGridLayout()
        self._title = TitleRow(theme)
        self._error = PageLabel(READ, STRONG, role="stop")
        self._error.setWordWrap(True)
        self._scroll = QScrollArea()
        self._scroll.setWidgetResizable(True)
        self._scroll.setFrameShape(QFrame.Shape.NoFrame)
        self._scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        head = QHBoxLayout()
        head.addWidget(self._title, 1)
        head.addWidget(self._options)
        box.addLayout(head)
        box.addWidget(self._error)
        box.addWidget(self._scroll)
        box.setStretchFactor(self._scroll, 1)
        box.addStretch(0)
        self._pitch, self._more = 1, False  # [px] from row to row; fields out of sight
        self._bar = self._scroll.verticalScrollBar()
        self._bar.valueChanged.connect(self._snap)
        self.set_theme(theme)

    def show_view(self, view: FormView, leads_to: str = "") -> None:
        """Show another form, or the same one with an error; what was typed stays.

        ``leads_to`` is the page that it was opened from.
        """
        old, self._view, self._leads_to = self._view, view, leads_to
        # The help of a field stands there, too: one height for all of them.
        self._title.others = (view.note, *(field.help for field in view.fields))
        self._say(view.note)
        self._error.setText(view.error)
        self._error.setVisible(bool(view.error))
        self.setAccessibleName(view.title)
        self._options.show_view((Option(view.submit, "Enter", view.name),))
        if old is None or (old.name, old.fields) != (view.name, view.fields):
            self._build(view.fields)
        self.fit()

    @property
    def frames(self) -> bool:
        """Say that the page frames what Enter does."""
        return True

    def head_px(self, width: int) -> int:
        """Leave the button beside the name free."""
        return width - self._options.natural_width() - self._theme.px(2.4)

    def values(self) -> dict[str, str]:
        """Return what the fields hold, by field name."""
        return values_of(self._inputs)

    def scan(self, text: str) -> None:
        """Put what was scanned outside a field into the field for it."""
        for part in self._inputs.values():
            if isinstance(part, ScanLine):
                part.setText(text.replace(SEPARATOR, GS_SHOWN))

    def back(self) -> str:
        """Say that what was typed stays."""
        return say("Keep draft")

    def escape(self) -> bool:
        """Go back to the page that the form was opened from, if there is one."""
        if self._leads_to:
            self.asked.emit(OpenPage(self._leads_to))
        return bool(self._leads_to)

    def begin(self) -> None:
        """Take the focus to the field that an error names, else to the first one."""
        fields = tuple(self._inputs.values())
        at_fault = self._view.error.partition(":")[0] if self._view else ""
        # A sentence names a field by its label, which may end in the unit.
        named = [
            part
            for part in fields
            if at_fault
            and at_fault in (label := part.accessibleName(), label.partition(",")[0])
        ]
        for part in (*named, *fields)[:1]:
            part.setFocus(Qt.FocusReason.OtherFocusReason)
            if isinstance(part, QLineEdit):
                part.end(False)  # noqa: FBT003 - Qt takes no name

    def choose(self, _option: Option) -> bool:
        """Hand the form in."""
        if self._view is not None:
            self.submitted.emit(self._view.name, self.values())
        return True

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802
        """Show the help of the field that the focus comes to, or else the note."""
        if event.type() == QEvent.Type.FocusIn and isinstance(watched, QWidget):
            self._say(watched.accessibleDescription())
            self._scroll.ensureWidgetVisible(watched, 0, 0)
        return False

    def _say(self, line: str) -> None:
        """Say a quiet line beside the name, and whether there are more fields."""
        if self._view is not None:
            more = say("Tab: more fields") if self._more else ""
            quiet = line or self._view.note
            self._title.show_view(Title(self._view.title, quiet, more))

    def _snap(self, at: int) -> None:
        """Scroll by whole rows: none is cut at the edge."""
        self._bar.setValue(round(at / self._pitch) * self._pitch)

    def set_theme(self, theme: Theme) -> None:
        """Show the page in another theme; the fields keep what was typed."""
        super().set_theme(theme)
        self._flow()

    def fit(self) -> None:
        """Give the button the size that it needs."""
        self._options.setFixedSize(
            self._options.natural_width(),
            self._options.height_for(self._options.natural_width()),
        )

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        """Lay the fields out in as many columns as fit."""
        super().resizeEvent(event)
        self._flow()

    def _build(self, fields: tuple[Field, ...]) -> None:
        host = QWidget()
        self._grid = QGridLayout(host)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._cells = []
        self._inputs = {}
        for field in fields:
            part = self._inputs[field.name] = input_for(field)
            part.installEventFilter(self)
            cell, stack = cell_for(field, part, STRONG, self._theme.px(1.0))
            if isinstance(part, QLineEdit):
                stack.addWidget(Wrong(field.rule or field.kind, part))
            stack.addStretch(1)
            self._cells.append(cell)
        self._scroll.setWidget(host)
        self._flow()

    def _flow(self) -> None:
        """Lay the fields out, and as large as leaves them all in sight."""
        grown = (replace(self._theme, scale=self._theme.scale * by) for by in GROWS)
        theme, columns = next(
            (
                (each, columns)
                for each in grown
                if (columns := self._columns(each))
                and -(-len(self._cells) // columns) * each.px(CELL_MM) <= self._room_px
            ),
            (self._theme, self._columns(self._theme) or 1),
        )
        host = self._scroll.widget()
        if host is not None:
            if host.styleSheet() != style_sheet(theme):
                host.setStyleSheet(style_sheet(theme))
            for label in host.findChildren(PageLabel):
                label.set_theme(theme)
        dress(self._inputs, theme)
        self._grid.setHorizontalSpacing(theme.px(5.0))
        self._grid.setVerticalSpacing(theme.px(2.4))
        for number, cell in enumerate(self._cells):
            self._grid.addWidget(cell, *divmod(number, columns))
        for column in range(MOST_COLUMNS):
            self._grid.setColumnStretch(column, 1 if column < columns else 0)
        for row in range(len(self._cells)):
            self._grid.setRowStretch(row, 0)
        self._grid.setRowStretch(len(self._cells), 1)
        self._show_whole_rows(-(-len(self._cells) // columns))

    @property
    def _room_px(self) -> int:
        """The height there is for fields; the form before this one may have less."""
        return self.height() - self._scroll.y()

    def _show_whole_rows(self, rows: int) -> None:
        """Give the fields the height of as many whole rows as there is room for."""
        gap, room = self._grid.verticalSpacing(), self._room_px
        need = self._grid.minimumSize().height()  # which it has where it is scrolled
        self._pitch = max(1, (need + gap) // max(1, rows))
        seen = max(1, (room + gap) // self._pitch)
        self._more = rows > seen
        most = seen * self._pitch - gap if self._more else self.height()
        self._scroll.setMaximumHeight(max(0, most))
        self._bar.setSingleStep(self._pitch)
        self._say("")

    def _columns(self, theme: Theme) -> int:
        """Return in how many columns no choice and no label is cut, 0 in none."""
        room, gap = self.width(), theme.px(5.0)
        columns = max(1, min(MOST_COLUMNS, room // theme.px(COLUMN_MM)))
        face, over = theme.face(READ), theme.face(NEAR, STRONG)
        words = (
            face.width(part.itemText(n))
            for part in self._inputs.values()
            if isinstance(part, QComboBox)
            for n in range(part.count())
        )
        labels = (over.width(part.accessibleName()) for part in self._inputs.values())
        need = max(
            max(words, default=0.0) + theme.px(ANGLE_MM), max(labels, default=0.0)
        )
        while columns > 0 and (room - gap * (columns - 1)) / columns < need:
            columns -= 1
        return columns


class Wrong(PageLabel):
    """What is wrong with a field, said while it is typed in; else it takes no room."""

    def __init__(self, rule: str, part: QLineEdit) -> None:
        super().__init__(NEAR, STRONG, role="stop")
        self._rule, self._part = rule, part
        self.setWordWrap(True)
        part.textChanged.connect(self.look)
        self.look(part.text())

    def look(self, typed: str) -> None:
        """Say what to write instead, once what is typed cannot be read."""
        told = amiss(self._rule, typed)
        self.setText(told)
        self.setVisible(bool(told))
        self._part.setProperty("wrong", bool(told))
        self._part.style().unpolish(self._part)
        self._part.style().polish(self._part)


class ScanLine(QLineEdit):
    """A field for a scanner, which is a keyboard: it keeps the group separator.

    A plain field drops characters that nobody can see, and without that one a lot
    and what follows it are read as one.
    """

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802
        """Show the separator as a mark of its own."""
        if event.text() == SEPARATOR:
            self.insert(GS_SHOWN)
            event.accept()
            return
        super().keyPressEvent(event)


class ChoiceBox(QComboBox):
    """A list to choose from, with a mark that it opens."""

    ink = "#808080"

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802
        """Draw the box, then a small angle at its right."""
        super().paintEvent(event)
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(QColor(self.ink), 2.4))
        side = self.height() / 7
        tip = QPointF(self.width() - 3 * side, self.height() / 2 + side / 2)
        left, right = tip + QPointF(-side, -side), tip + QPointF(side, -side)
        painter.drawPolyline(QPolygonF([left, tip, right]))
        painter.end()


def values_of(inputs: Inputs) -> dict[str, str]:
    """Return what fields hold, by their names."""
    return {
        name: part.text().strip()
        if isinstance(part, QLineEdit)
        else str(part.currentData())
        for name, part in inputs.items()
    }


def dress(inputs: Inputs, theme: Theme) -> None:
    """Give fields the type and ink of a theme."""
    for part in inputs.values():
        part.setFont(theme.face(READ).font)
        if isinstance(part, ChoiceBox):
            part.ink = theme.palette.quiet


def cell_for(
    field: Field, part: Input, weight: QFont.Weight, gap: int
) -> tuple[QWidget, QVBoxLayout]:
    """Return a field's label over its control, ``gap`` pixels apart, and the layout."""
    cell, title = QWidget(), PageLabel(NEAR, weight, role="quiet")
    title.setText(field.label)
    title.setBuddy(part)
    part.setAccessibleName(field.label)
    part.setAccessibleDescription(field.help)
    stack = QVBoxLayout(cell)
    stack.setContentsMargins(0, 0, 0, 0)
    stack.setSpacing(gap)
    stack.addWidget(title)
    stack.addWidget(part)
    return cell, stack


def input_for(field: Field) -> Input:
    """Return the control for a field, holding its value.

    A yes or no is a list of two: space belongs to the foot and toggles nothing.
    """
    if field.kind == "scan":
        return ScanLine(field.value)
    if field.kind in ("text", "number"):
        line = QLineEdit(field.value)
        line.setCursorPosition(0)  # a long value shows its beginning
        if field.kind == "number":
            line.setInputMethodHints(Qt.InputMethodHint.ImhFormattedNumbersOnly)
        return line
    choices = field.choices
    if field.kind == "check":
        choices = ((NO, "no"), (YES, "yes"))
    box = ChoiceBox()
    for value, text in choices:
        box.addItem(shown(text), value)
    box.setCurrentIndex(max(0, box.findData(field.value)))
    box.setMinimumContentsLength(8)
    box.setSizeAdjustPolicy(
        QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
    )
    return box
