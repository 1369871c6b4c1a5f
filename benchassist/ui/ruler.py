"""The ruler page: a bar on the glass is measured, so that millimetres are true."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QPainter, QPen, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout

from benchassist.ui.actions import MeasureBar
from benchassist.ui.hands import Hands, OptionGroup
from benchassist.ui.page import Page, PageLabel
from benchassist.ui.paint import Painted, Run
from benchassist.ui.present.fill import Gap
from benchassist.ui.settings import MM_PER_PIXEL
from benchassist.ui.theme import HEAVY, READ, STRONG, Theme
from benchassist.ui.title import CAPITALS_MM as TITLE_MM
from benchassist.ui.view import Option
from benchassist.ui.words import say
from benchassist.value import value

FINE_MM, COARSE_MM = 0.5, 5.0  # [mm] of a step, on the whole bar
SHARE = 0.8  # of the page's width that the bar takes
MARK_MM, LONG_MM, LABEL_MM = 5, 10, 50  # [mm] between marks, long ones, numbers
# Pixels, because the millimetres of this very page are in doubt.
BAR_PX, TOP_PX, LONG_PX, SHORT_PX, FACE_PX = 12, 44, 24, 14, 44
NOTE = say("Lay a ruler on the bar. Step until the marks agree, or type its length.")


@value
class Bar:
    """A bar of ``length_px`` with marks every 5 mm, if a pixel has ``mm_per_px``."""

    length_px: int
    mm_per_px: float


class RulerBar(Painted[Bar]):
    """The bar with its marks; logical pixels, as everything that is painted."""

    def spoken(self, view: Bar) -> str:
        """Return the length that the marks tell."""
        return say(
            "Bar of {length_px:.1f} mm", length_px=view.length_px * view.mm_per_px
        )

    def lay(self, view: Bar) -> Iterator[Run]:
        """Lay out a number every 50 mm."""
        palette, face = self.theme.palette, self.theme.face(READ, STRONG)
        line = TOP_PX + LONG_PX + 8 + face.rise
        for mm in range(0, int(view.length_px * view.mm_per_px) + 1, LABEL_MM):
            x = self._left(view) + mm / view.mm_per_px - face.width(str(mm)) / 2
            yield Run(str(mm), x, line, face, palette.ink, palette.ground)

    def draw(self, painter: QPainter, view: Bar) -> None:
        """Draw the bar, its end marks, and the millimetre marks below it."""
        palette, left, top = self.theme.palette, self._left(view), TOP_PX
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
        bar = QRectF(left, top - BAR_PX, view.length_px, BAR_PX)
        painter.fillRect(bar, QColor(palette.attention))
        painter.setPen(QPen(QColor(palette.ink), 1))
        for mm in range(0, int(view.length_px * view.mm_per_px) + 1, MARK_MM):
            x = left + round(mm / view.mm_per_px)
            long = LONG_PX if mm % LONG_MM == 0 else SHORT_PX
            painter.drawLine(QPointF(x, top + 2), QPointF(x, top + 2 + long))
        painter.setPen(QPen(QColor(palette.attention), 1))
        for x in (left, left + view.length_px - 1):
            painter.drawLine(QPointF(x, 0), QPointF(x, top))

    def _left(self, view: Bar) -> int:
        return (self.width() - view.length_px) // 2


class RulerPage(Page):
    """A page on which the screen is measured.

    ``Enter`` and the typed length hand a ``MeasureBar`` on; steps stay on the page.
    """

    def __init__(self, theme: Theme, hands: Hands) -> None:
        super().__init__(theme, OptionGroup(theme, hands))
        self.setAccessibleName(say("Measure the screen"))
        self._mm_per_px = theme.mm_per_px
        self._title = PageLabel(TITLE_MM, HEAVY)
        self._title.setText(say("Measure the screen"))
        self._note = PageLabel(READ, role="quiet")
        self._note.setText(NOTE)
        self._error = PageLabel(READ, STRONG, role="stop")
        for words in (self._note, self._error):
            words.setWordWrap(True)
        self._bar = RulerBar(theme)
        self._bar.setFixedHeight(TOP_PX + LONG_PX + FACE_PX)
        self._length = PageLabel(TITLE_MM, HEAVY)
        head = QHBoxLayout()
        head.addWidget(self._title, 1)
        head.addWidget(self._length)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.addLayout(head)
        for part in (self._note, self._error, self._bar):
            box.addWidget(part)
        box.addStretch(1)
        box.addWidget(self._options)
        self.set_theme(theme)
        self._show()

    @property
    def length_mm(self) -> float:
        """How long the bar is, as far as the page knows now."""
        return self._bar_px() * self._mm_per_px

    def show_size(self, mm_per_px: float, error: str = "") -> None:
        """Begin with a pixel of so many mm; ``error`` says what could not be."""
        if not error:
            self._mm_per_px = mm_per_px
        self._tell(error)
        self._show()

    def choose(self, option: Option) -> bool:
        """Step, where the option is a step."""
        if isinstance(option.command, float):
            low, high = MM_PER_PIXEL
            stepped = (self.length_mm + option.command) / self._bar_px()
            self._mm_per_px = min(high, max(low, stepped))
            self._tell("")
            self._show()
            return True
        return False

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        """Draw as long a bar as fits now."""
        super().resizeEvent(event)
        self._show()

    def _tell(self, error: str) -> None:
        self._error.setText(error)
        self._error.setVisible(bool(error))
        self._note.setVisible(not error)

    def _bar_px(self) -> int:
        return max(100, int(self.width() * SHARE))

    def _show(self) -> None:
        bar_px = self._bar_px()
        self._bar.show_view(Bar(bar_px, self._mm_per_px))
        self._length.setText(say("Bar: {length_mm:.1f} mm", length_mm=self.length_mm))
        typed = Gap(MeasureBar(bar_px), "mm")
        question = say("How long is the bar from end to end, in mm?")
        self._options.show_view(
            (
                Option(say("0.5 mm shorter"), "Left", -FINE_MM),
                Option(say("0.5 mm longer"), "Right", FINE_MM),
                Option(say("5 mm shorter"), "Down", -COARSE_MM),
                Option(say("5 mm longer"), "Up", COARSE_MM),
                Option(say("Type its length"), "1", typed, needs_number=question),
                Option(
                    say("Keep this"),
                    "Enter",
                    MeasureBar(bar_px, f"{self.length_mm:.2f}"),
                    tone="attention",
                ),
            )
        )
        self.fit()
