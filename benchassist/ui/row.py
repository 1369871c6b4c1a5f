"""How one part in flight looks in the list: its shape, code, place and time."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter

from benchassist.ui.paint import Run, bar, draw_key, draw_runs, elided, panel
from benchassist.ui.shapes import draw_shape
from benchassist.ui.theme import HEAVY, NEAR, READ, STRONG, Face, Theme
from benchassist.ui.view import Row

TALL_MM = 22.4  # [mm] a row of two lines; a choice
LOW_MM = 12.0  # [mm] a row of one line, still a target for a gloved finger; a choice
GAP_MM = 1.8  # [mm] between two rows
TALL_CODE_MM = 6.2  # [mm] capitals of the code where there is room; a choice


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
        """Lay out the text, the time first."""
        palette, ground = self.theme.palette, self._ground()
        face = self._code_face()
        first = self._first_line(face)
        time = self._time()
        code_x = self.box.left() + self.theme.px(11.5 if self.low else 18.0)
        code = Run(self.row.code, code_x, first, face, palette.ink, ground)
        more = self._more(code)
        beside = (more or code).rect.right() + self.theme.px(3.4)
        lay = self._beside if self.low else self._below
        rest = lay(code, beside, time)
        return (time, code, *((more,) if more else ()), *rest)

    def draw(self, painter: QPainter) -> None:
        """Draw ground, shape, bar and text."""
        palette, box = self.theme.palette, self.box
        edge = palette.attention if self.row.focused else ""
        panel(painter, box, self.theme.px(2.4), ground=self._ground(), edge=edge)
        runs = self.runs()
        if self.row.late:
            chip = runs[0].capitals
            pad = self.theme.px(1.3)
            chip.adjust(-pad, -pad, pad, pad)
            panel(painter, chip, pad, ground=palette.attention)
        side = self.theme.px(6.2 if self.low else 9.6)
        centre = box.left() + self.theme.px(5.8 if self.low else 9.4)
        square = QRectF(centre - side / 2, box.center().y() - side / 2, side, side)
        word, ink = self.row.word, palette.ink
        draw_shape(painter, word, square, ink=ink, share=self.row.fill)
        if not self.low:
            self._draw_bar(painter, runs[1].x)
        draw_runs(painter, runs)
        for run in runs:
            if run.reading == "ornament":
                draw_key(painter, run, self.theme)

    def _draw_bar(self, painter: QPainter, left: float) -> None:
        box, palette = self.box, self.theme.palette
        right = box.right() - self.theme.px(4.0)
        height = self.theme.px(1.0)
        rect = QRectF(left, box.bottom() - height - self.theme.px(0.9), 0, height)
        rect.setRight(right)
        ink = palette.attention if self.row.focused else palette.measured
        bar(painter, rect, self.row.fill, ink=ink, ground=palette.line)

    def _ground(self) -> str:
        palette = self.theme.palette
        return palette.raised if self.row.focused else palette.card

    def _code_face(self) -> Face:
        return self.theme.face(READ + 0.5 if self.low else TALL_CODE_MM, HEAVY)

    def _first_line(self, face: Face) -> float:
        if self.low:
            return self.box.center().y() + face.cap / 2
        return self.box.top() + self.theme.px(3.0) + face.cap

    def _time(self) -> Run:
        face = self.theme.face(READ + 0.5 if self.low else TALL_CODE_MM, STRONG)
        palette = self.theme.palette
        ink, ground = palette.ink, self._ground()
        if self.row.late:
            ink, ground = palette.letters, palette.attention
        x = self.box.right() - self.theme.px(4.0) - face.width(self.row.right)
        return Run(self.row.right, x, self._first_line(face), face, ink, ground)

    def _more(self, code: Run) -> Run | None:
        """Lay out how many parts go through it together with this one."""
        if not self.row.others:
            return None
        face, palette = self.theme.face(READ, STRONG), self.theme.palette
        x = code.rect.right() + self.theme.px(2.4)
        text = f"+{len(self.row.others)}"
        return Run(text, x, code.baseline, face, palette.ink, self._ground())

    def _key(self, right: float, baseline: float) -> Iterator[Run]:
        """Lay out the key that brings this part to the front, ending at ``right``."""
        if self.row.key:
            face = self.theme.face(NEAR, STRONG)
            x = right - face.width(self.row.key)
            palette, ground = self.theme.palette, self._ground()
            yield Run(
                self.row.key, x, baseline, face, palette.quiet, ground, "ornament"
            )

    def _beside(self, code: Run, left: float, time: Run) -> Iterator[Run]:
        """Lay out key, class and line on the code's own line."""
        key_right = time.x - self.theme.px(6.0)
        key = list(self._key(key_right, code.baseline - self.theme.px(0.5)))
        yield from key
        right = key[0].x - self.theme.px(4.0) if key else time.x - self.theme.px(4.0)
        words = ", ".join(part for part in (self.row.klass, self.row.line) if part)
        if self.theme.face(READ).width(words) > right - left:
            words = self.row.line or self.row.klass
        yield from self._words(words, left, right, code.baseline, quiet=True)

    def _below(self, code: Run, left: float, time: Run) -> Iterator[Run]:
        """Lay out the class beside the code, the line and the key below it."""
        right = time.x - self.theme.px(4.0)
        face, klass, line = self.theme.face(READ), self.row.klass, self.row.line
        if left + face.width(klass) > right:
            klass, line = "", ", ".join(part for part in (klass, line) if part)
        yield from self._words(klass, left, right, code.baseline, quiet=True)
        second = code.baseline + self.theme.px(3.0 + READ)
        edge = self.box.right() - self.theme.px(5.4)
        key = list(self._key(edge, second))
        yield from key
        right = key[0].x - self.theme.px(4.0) if key else edge
        if code.x + face.width(line) > right:
            line = self.row.line or self.row.klass
        yield from self._words(line, code.x, right, second)

    def _words(
        self,
        words: str,
        left: float,
        right: float,
        baseline: float,
        *,
        quiet: bool = False,
    ) -> Iterator[Run]:
        """Lay out near text, shortened where the row has no more room."""
        face, palette = self.theme.face(READ), self.theme.palette
        shown = elided(words, face, right - left)
        if shown:
            ink = palette.quiet if quiet else palette.ink
            yield Run(shown, left, baseline, face, ink, self._ground())
