"""The state band: one word, its shape, and the part that is meant.

Each state has a fill of its own, so that it is told apart by area before it is read:
DO a smooth plate, STOP bars with letters on plates, ASK and WAIT an outline, HOLD two,
DONE a hairline.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen, QPolygonF

from benchassist.domain.calls import Word
from benchassist.ui.paint import Painted, Run, panel
from benchassist.ui.shapes import draw_shape
from benchassist.ui.theme import CODE, HEAVY, MUST, Face, Palette, Theme
from benchassist.ui.view import Band
from benchassist.ui.words import shown
from benchassist.value import replace

WORD_MM = 11.5  # [mm] capitals of the word where there is room; a choice
BAND_MM = 26.3  # [mm] of the band on every screen
BAR_MM = 6.1  # [mm] across a bar of STOP: 14 arcmin at 1.5 m
BAR_SHARE = 0.5  # [ratio] of the band that is bar where no plate lies on it
SLANT = 1.0  # [ratio] of a bar: sideways for its height


class Inks(NamedTuple):
    """The colours of a state: its letters and shape, what they stand on, its edge."""

    letters: str
    shape: str
    ground: str
    edge: str = ""


def inks_of(palette: Palette, word: Word) -> Inks:
    """Return the colours of a state."""
    ink, ground, straw = palette.ink, palette.ground, palette.attention
    return {
        "DO": Inks(palette.letters, palette.letters, straw),
        "STOP": Inks(ink, palette.stop, palette.plate),
        "ASK": Inks(straw, straw, ground, straw),
        "WAIT": Inks(ink, ink, ground, ink),
        "HOLD": Inks(ink, ink, ground, ink),
        "DONE": Inks(palette.good, palette.good, ground),
    }[word]


def draw_fill(painter: QPainter, theme: Theme, word: Word, rect: QRectF) -> None:
    """Draw the fill of a state: plate, bars, one or two outlines, a hairline."""
    palette = theme.palette
    inks, radius = inks_of(palette, word), theme.px(3.0)
    if word == "DONE":
        line = QRectF(rect.left(), rect.bottom() - 2, rect.width(), 2)
        painter.fillRect(line, QColor(palette.line))
        return
    panel(painter, rect, radius, ground=inks.ground, edge=inks.edge, width=3.0)
    if word == "STOP":
        _draw_bars(painter, theme, rect, radius)
    elif word == "HOLD":
        inset = theme.px(2.2)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(QColor(palette.line), 2.0))
        inner = rect.adjusted(inset, inset, -inset, -inset)
        painter.drawRoundedRect(inner, radius - 3, radius - 3)


def _draw_bars(painter: QPainter, theme: Theme, rect: QRectF, radius: float) -> None:
    """Draw the slanting bars of STOP, inside rounded corners."""
    painter.save()
    clip = QPainterPath()
    clip.addRoundedRect(rect, radius, radius)
    painter.setClipPath(clip)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(theme.palette.stop))
    # A bar is measured across, at right angles to its slant.
    wide = theme.px(BAR_MM) * (1 + SLANT**2) ** 0.5
    slant = rect.height() * SLANT
    x = rect.left() - slant
    while x < rect.right():
        corners = (
            QPointF(x + slant, rect.top()),
            QPointF(x + slant + wide, rect.top()),
            QPointF(x + wide, rect.bottom()),
            QPointF(x, rect.bottom()),
        )
        painter.drawPolygon(QPolygonF(list(corners)))
        x += wide / BAR_SHARE
    painter.restore()


class _Plan(NamedTuple):
    word: Face
    code: Face
    stacked: bool


class StateBand(Painted[Band]):
    """The band across the top; neither word nor code ever moves."""

    def show_view(self, view: Band) -> None:
        """Show ``view``, its fill to the hundredth so that it repaints seldom."""
        super().show_view(replace(view, fill=round(view.fill, 2), right=""))

    def spoken(self, view: Band) -> str:
        """Return the word and the part's code."""
        return f"{view.word} {view.code}".strip()

    def height_for(self, width: int) -> int:
        """Return the height that the band needs at ``width`` pixels."""
        height = self.theme.px(BAND_MM)
        if self.view is not None and (plan := self._plan(self.view, width)).stacked:
            height += round(plan.word.cap + self.theme.px(5.0))
        return height

    def lay(self, view: Band) -> Iterator[Run]:
        """Lay out the word at the left and the code at the right."""
        plan = self._plan(view, self.width())
        inks = inks_of(self.theme.palette, view.word)
        pad = self._pad()
        middle = (self.height() + plan.code.cap) / 2
        word_line = (self.height() + plan.word.cap) / 2
        if plan.stacked:
            middle = self.height() - self.theme.px(5.0)
            word_line = self.theme.px(5.0) + plan.word.cap
        word_x = pad + self._shape_px(plan.word) + self.theme.px(4.6)
        ink, ground = inks.letters, inks.ground
        yield Run(shown(view.word), word_x, word_line, plan.word, ink, ground, "must")
        if view.code:
            code_x = self.width() - pad - plan.code.width(view.code)
            yield Run(view.code, code_x, middle, plan.code, ink, ground, "code")

    def draw(self, painter: QPainter, view: Band) -> None:
        """Draw the fill, the plates under letters on bars, and the shape."""
        rect = QRectF(self.rect())
        draw_fill(painter, self.theme, view.word, rect)
        inks = inks_of(self.theme.palette, view.word)
        if view.word == "STOP":
            for plate in self._plates():
                panel(painter, plate, self.theme.px(1.6), ground=inks.ground)
        draw_shape(painter, view.word, self.square(), ink=inks.shape, share=view.fill)

    def square(self) -> QRectF:
        """Return where the shape is drawn, beside the word."""
        word = self.runs()[0]
        side = self._shape_px(word.face)
        top = word.baseline - (word.face.cap + side) / 2
        return QRectF(self._pad(), top, side, side)

    def _plates(self) -> Iterator[QRectF]:
        """Yield the plates that letters stand on where the ground is barred."""
        side, rise = self.theme.px(5.6), self.theme.px(2.4)
        word, *code = self.runs()
        left = self.square().united(word.capitals)
        for box in (left, *(run.capitals for run in code)):
            plate = box.adjusted(-side, 0, side, 0)
            if self._plan(self.view or Band("STOP", ""), self.width()).stacked:
                plate.adjust(0, -rise / 2, 0, rise / 2)
            else:
                plate.setTop(rise)
                plate.setBottom(self.height() - rise)
            yield plate

    def _pad(self) -> float:
        return self.theme.px(7.6)

    def _shape_px(self, word: Face) -> float:
        return word.cap * 1.28

    def _plan(self, view: Band, width: int) -> _Plan:
        """Choose a word small enough to stand beside the code, or else above it."""
        code = self.theme.face(CODE, HEAVY)
        gaps = 2 * self._pad() + 3 * self.theme.px(4.6)
        small = self.theme.face(MUST, HEAVY)
        for word in (self.theme.face(WORD_MM, HEAVY), small):
            needed = (
                self._shape_px(word)
                + word.width(shown(view.word))
                + code.width(view.code)
            )
            if needed + gaps <= width:
                return _Plan(word, code, stacked=False)
        return _Plan(small, code, stacked=True)
