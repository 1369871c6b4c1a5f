"""How one part in flight looks in the list: its shape, code, place and time."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from benchassist.ui.paint import Run, bar, draw_runs, panel
from benchassist.ui.shapes import draw_shape
from benchassist.ui.theme import HEAVY, NEAR, READ, STRONG, Face, Theme
from benchassist.ui.view import Row

TALL_MM = 23.0  # [mm] a row of two lines; a choice
LOW_MM = 11.4  # [mm] a row of one line, still a target for a gloved finger; a choice
GAP_MM = 2.0  # [mm] between two rows


@dataclass(frozen=True)
class RowLayout:
    """One row laid out in its cell, in two lines or, where ``low``, in one."""

    row: Row
    cell: QRectF
    theme: Theme
    low: bool

    @property
    def box(self) -> QRectF:
        """The ground of the row, without the gap below it."""
        return self.cell.adjusted(0, 0, 0, -self.theme.px(GAP_MM))

    def runs(self) -> tuple[Run, ...]:
        """Lay out the text."""
        first = self._first_line()
        last = self.box.right() - self.theme.px(4.0)
        time = self._time_face()
        time_x = last - time.width(self.row.right)
        code_x = self.box.left() + self.theme.px(12.0 if self.low else 19.0)
        palette = self.theme.palette
        late = (palette.letters, palette.attention)
        ink, ground = late if self.row.late else (palette.ink, self._ground())
        return (
            Run(self.row.right, time_x, first, time, ink, ground),
            Run(self.row.code, code_x, first, self._code_face(), palette.ink, self._ground()),
            *(self._one_line(code_x, time_x) if self.low else self._two_lines(code_x, time_x)),
        )

    def draw(self, painter: QPainter) -> None:
        """Draw ground, shape, text and the bar of the time that passed."""
        palette, box = self.theme.palette, self.box
        edge = palette.attention if self.row.focused else ""
        panel(painter, box, self.theme.px(2.4), ground=self._ground(), edge=edge)
        runs = self.runs()
        if self.row.late:
            chip = QRectF(runs[0].rect.x(), runs[0].rect.y(), runs[0].rect.width(), runs[0].face.cap)
            pad = self.theme.px(1.4)
            panel(painter, chip.adjusted(-pad, -pad, pad, pad), pad, ground=palette.attention)
        side = self.theme.px(6.4 if self.low else 10.0)
        left = box.left() + self.theme.px(3.2 if self.low else 4.6)
        middle = box.center().y() if self.low else self._first_line() - self._code_face().cap / 2
        top = middle - side / 2 + (0 if self.low else self.theme.px(1.6))
        draw_shape(painter, self.row.word, QRectF(left, top, side, side), ink=palette.ink, share=self.row.fill)
        self._draw_key(painter)
        draw_runs(painter, runs)
        self._draw_bar(painter)

    def _ground(self) -> str:
        palette = self.theme.palette
        return palette.raised if self.row.focused else palette.card
