"""How one part looks in the list: its key, shape, code, what it is at and one time."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor, QPainter, QPen

from benchassist.ui.paint import Run, draw_runs, elided, panel
from benchassist.ui.shapes import draw_shape
from benchassist.ui.theme import HEAVY, NEAR, PLAIN, READ, STRONG, Theme
from benchassist.ui.view import Row
from benchassist.ui.words import say
from benchassist.value import replace

LOW_MM = 9.9  # [mm] a row with its gap: 9 mm to touch, 1 mm apart
TALL_MM = 14.0  # [mm] of a row where there is room; a choice
GAP_MM = 1.0
KEY_MM = 11.2  # [mm] of the plate of a key
EDGE_MM = 2.0  # [mm] at the left of all rows, for the straw edge of the next one
LEAST_WORDS_MM = 20.0  # [mm] of what a part is at, before its appointment gives way
GROWTH = 0.36  # [ratio] of a row that its capitals may take


@dataclass(frozen=True, eq=False)
class RowLayout:
    """One row laid out in its cell once; painting draws what is here.

    ``cap_mm`` are its capitals, ``alone_mm`` those that it has room for: a list is
    read in one size, that of its longest row.
    """

    row: Row
    cell: QRectF
    theme: Theme
    runs: tuple[Run, ...]
    cap_mm: float = READ
    chip: str = ""
    alone_mm: float = READ

    @cached_property
    def box(self) -> QRectF:
        """The plate of the row: its cell without the gap, and without the edge."""
        edge, gap = self.theme.px(EDGE_MM), self.theme.px(GAP_MM)
        return self.cell.adjusted(edge, 0, 0, -gap)

    def says(self, row: Row) -> bool:
        """Say whether this is how ``row`` is laid out, however full its ring is."""
        return self.row == row or self.row == replace(row, fill=self.row.fill)

    def draw(self, painter: QPainter, fill: float) -> None:
        """Draw ground, edges, shape and text; ``fill`` is that of the ring."""
        palette, box, row = self.theme.palette, self.box, self.row
        edge = palette.ink if row.focused else ""
        panel(
            painter, box, self.theme.px(1.8), ground=_ground(self), edge=edge, width=1.5
        )
        if row.next:
            wide = self.theme.px(1.2)
            mark = QRectF(box.left() - wide - 2, box.top() + 2, wide, box.height() - 4)
            panel(painter, mark, 2, ground=palette.attention)
        side = min(self.theme.px(6.0), box.height() * 0.62)
        centre = box.left() + self.theme.px(17.6)
        square = QRectF(centre - side / 2, box.center().y() - side / 2, side, side)
        draw_shape(painter, row.word, square, ink=_ink(self), share=fill)
        draw_runs(painter, self.runs)
        for run in self.runs:
            if run.reading == "ornament":
                self._draw_key(painter, run)
            elif run.text == self.chip and run.text:
                self._draw_chip(painter, run)

    def _draw_key(self, painter: QPainter, run: Run) -> None:
        """Draw the plate of the key, of one width for all, wider for a longer name."""
        wide = max(self.theme.px(KEY_MM), run.rect.width() + self.theme.px(2.0))
        high = self.theme.px(6.6)
        centre = run.capitals.center()
        plate = QRectF(centre.x() - wide / 2, centre.y() - high / 2, wide, high)
        painter.setPen(QPen(QColor(self.theme.palette.line), 1.5))
        painter.setBrush(QColor(0, 0, 0, 0))
        painter.drawRoundedRect(plate, self.theme.px(1.2), self.theme.px(1.2))

    def _draw_chip(self, painter: QPainter, run: Run) -> None:
        side, rise = self.theme.px(1.4), self.theme.px(1.3)
        pill = run.capitals.adjusted(-side, -rise, side, rise)
        painter.setPen(QPen(QColor(run.ink), 2.0))
        painter.setBrush(QColor(0, 0, 0, 0))
        painter.drawRoundedRect(pill, pill.height() / 2, pill.height() / 2)


def laid_out(
    row: Row, cell: QRectF, theme: Theme, most_mm: float | None = None
) -> RowLayout:
    """Return ``row`` laid out in ``cell``, the time first, the kind last.

    Its capitals are the largest that it has room for, ``most_mm`` at the most.
    """
    bare = RowLayout(row, cell, theme, ())
    share = bare.box.height() * GROWTH * theme.mm_per_px / theme.scale
    sizes = (min(READ + 1.1, max(READ, share)), READ)
    alone_mm, chip = _sized(bare, sizes)
    cap_mm = alone_mm
    if most_mm is not None and most_mm < alone_mm:
        cap_mm, chip = _sized(bare, (most_mm,))
    made = RowLayout(row, cell, theme, (), cap_mm, chip)
    return RowLayout(row, cell, theme, tuple(_runs(made)), cap_mm, chip, alone_mm)


def _ground(made: RowLayout) -> str:
    palette = made.theme.palette
    if made.row.late:
        return palette.attention
    return palette.raised if made.row.now else palette.card


def _ink(made: RowLayout) -> str:
    palette = made.theme.palette
    return palette.letters if made.row.late else palette.ink


def _sized(made: RowLayout, sizes: tuple[float, ...]) -> tuple[float, str]:
    """Return the size of the letters and the appointment, so that no word is cut.

    Letters give way first, then the word before a time that will be kept, then it.
    """
    theme, row = made.theme, made.row
    key = theme.face(NEAR, STRONG)
    tries = [
        *((row.chip, each) for each in sizes),
        *((row.chip_short, each) for each in (*sizes, NEAR)),
    ]
    for chip, cap_mm in tries:
        wide = float(theme.px(23.4 + 2.8 + 6.0))
        wide += key.width(chip) + theme.px(4.4) if chip else 0
        strong = theme.face(cap_mm, STRONG)
        words = strong if row.now else theme.face(cap_mm, PLAIN)
        wide += strong.width(row.right) + words.width(row.line)
        wide += theme.face(cap_mm, HEAVY).width(row.code)
        if wide <= made.box.width():
            return cap_mm, chip
    return NEAR, ""


def _runs(made: RowLayout) -> Iterator[Run]:
    theme, row, box, palette = made.theme, made.row, made.box, made.theme.palette
    ink, ground = _ink(made), _ground(made)
    quiet = ink if row.late else palette.quiet
    small, key = theme.face(NEAR, PLAIN), theme.face(NEAR, STRONG)
    cap_mm, chip = made.cap_mm, made.chip
    code, plain = theme.face(cap_mm, HEAVY), theme.face(cap_mm, PLAIN)
    strong = theme.face(cap_mm, STRONG)
    line = box.center().y() + code.cap / 2
    x = box.right() - theme.px(3.0) - strong.width(row.right)
    yield Run(row.right, x, line, strong, ink, ground)
    end = x - theme.px(3.0)
    least = theme.px(23.4 + LEAST_WORDS_MM) + code.width(row.code)
    room = end - theme.px(1.4) - key.width(chip) - box.left()
    if chip and room >= least:
        small_line = box.center().y() + small.cap / 2
        x = end + theme.px(0.4) - theme.px(1.4) - key.width(chip)
        yield Run(chip, x, small_line, key, quiet, ground)
        end = x - theme.px(3.4)
    if row.key:
        label = row.key.replace("Shift+", say("Sh "))
        middle = box.left() + theme.px(7.4) - key.width(label) / 2
        ink_key = ink if row.late else palette.attention
        key_line = box.center().y() + key.cap / 2
        yield Run(label, middle, key_line, key, ink_key, ground, "ornament")
    x = box.left() + theme.px(23.4)
    yield Run(row.code, x, line, code, ink, ground)
    x += code.width(row.code) + theme.px(2.8)
    words = strong if row.now else plain
    klass = small.width(row.klass) + theme.px(2.4)
    if end - x - klass >= words.width(row.line):
        yield Run(row.klass, x, line, small, quiet, ground)
        x += klass
    long = words.width(row.line) > end - x  # then as the far line says it
    told = elided((long and row.far) or row.line, words, end - x)
    if told:
        yield Run(told, x, line, words, ink, ground)
