"""The state band: one word, its shape, and the part that is meant."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import NamedTuple

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter

from benchassist.ui.paint import Painted, Run, panel
from benchassist.ui.shapes import draw_shape
from benchassist.ui.theme import CODE, HEAVY, MUST, Face
from benchassist.ui.view import Band

WORD_MM = 11.5  # [mm] capitals of the word where there is room; a choice


class _Plan(NamedTuple):
    word: Face
    code: Face
    stacked: bool


class StateBand(Painted[Band]):
    """The band across the top; filled when something must be done or not done."""

    def show_view(self, view: Band) -> None:
        """Show ``view``, its fill to the hundredth so that it repaints seldom."""
        super().show_view(replace(view, fill=round(view.fill, 2)))

    def spoken(self, view: Band) -> str:
        """Return the word and the part's code."""
        return f"{view.word} {view.code}".strip()

    def height_for(self, width: int) -> int:
        """Return the height that the band needs at ``width`` pixels."""
        if self.view is None:
            return 0
        plan = self._plan(self.view, width)
        height = plan.code.cap + 2 * self.theme.px(6.0)
        if plan.stacked:
            height += plan.word.cap + self.theme.px(5.0)
        return round(height)

    def gap(self, width: int) -> tuple[int, int]:
        """Return from where to where nothing stands between word and code."""
        if self.view is None:
            return 0, width
        plan = self._plan(self.view, width)
        pad, gap = self.theme.px(6.0), self.theme.px(4.0)
        word = pad + self._shape_px(plan.word) + gap + plan.word.width(self.view.word)
        code = width - pad - plan.code.width(self.view.code)
        return round(word) + 2 * gap, round(code) - 2 * gap

    def lay(self, view: Band) -> Iterator[Run]:
        """Lay out the word at the left and the code at the right."""
        plan = self._plan(view, self.width())
        ink, ground = self._inks(view)
        pad = self.theme.px(6.0)
        middle = (self.height() + plan.code.cap) / 2
        word_line = (self.height() + plan.word.cap) / 2
        if plan.stacked:
            middle = self.height() - pad
            word_line = pad + plan.word.cap
        word_x = pad + self._shape_px(plan.word) + self.theme.px(4.0)
        yield Run(view.word, word_x, word_line, plan.word, ink, ground, "must")
        if view.code:
            code_x = self.width() - pad - plan.code.width(view.code)
            yield Run(view.code, code_x, middle, plan.code, ink, ground, "code")

    def draw(self, painter: QPainter, view: Band) -> None:
        """Draw the ground and the shape."""
        ink, ground = self._inks(view)
        radius = self.theme.px(3.5)
        rect = QRectF(self.rect())
        edge = "" if view.word in ("DO", "STOP") else ink
        panel(painter, rect, radius, ground=ground, edge=edge, width=3.0)
        draw_shape(painter, view.word, self.square(), ink=ink, share=view.fill)

    def square(self) -> QRectF:
        """Return where the shape is drawn, beside the word."""
        word = self.runs()[0]
        side = self._shape_px(word.face)
        top = word.baseline - (word.face.cap + side) / 2
        return QRectF(self.theme.px(6.0), top, side, side)

    def _shape_px(self, word: Face) -> float:
        return word.cap * 1.3

    def _inks(self, view: Band) -> tuple[str, str]:
        palette = self.theme.palette
        return {
            "DO": (palette.letters, palette.attention),
            "STOP": (palette.letters, palette.stop),
            "ASK": (palette.attention, palette.ground),
            "WAIT": (palette.ink, palette.ground),
            "HOLD": (palette.ink, palette.ground),
            "DONE": (palette.good, palette.ground),
        }[view.word]

    def _plan(self, view: Band, width: int) -> _Plan:
        """Choose a word small enough to stand beside the code, or else above it."""
        code = self.theme.face(CODE, HEAVY)
        gaps = 2 * self.theme.px(6.0) + 2 * self.theme.px(4.0)
        small = self.theme.face(MUST, HEAVY)
        for word in (self.theme.face(WORD_MM, HEAVY), small):
            needed = (
                self._shape_px(word) + word.width(view.word) + code.width(view.code)
            )
            if needed + gaps <= width:
                return _Plan(word, code, stacked=False)
        return _Plan(small, code, stacked=True)
