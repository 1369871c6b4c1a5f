"""What will change, line by line: of what, before, after; what does not fit is counted.

Shown before anything is held; the widget decides nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter

from benchassist.ui.paint import Painted, Run, elided, folded, panel, tone_ink
from benchassist.ui.theme import HEAVY, NEAR, READ, STRONG, Face
from benchassist.ui.view import Tone
from benchassist.ui.words import say

ROW_MM = 15.2  # [mm] of a row with its gap; a choice
GAP_MM = 1.6
PAD_MM = 4.0
HEAD_MM = 9.0
ABOUT, WAS, ARROW = 0.14, 0.15, 0.44  # of a row's width: columns, where it turns


@dataclass(frozen=True)
class ChangeRow:
    """One line: of what, what of it, before, after, and a word at the right."""

    about: str
    what: str
    was: str
    now: str
    word: str = ""
    tone: Tone = "plain"


@dataclass(frozen=True)
class ChangeList:
    """A heading, its rows, and what is said where there are none."""

    title: str
    rows: tuple[ChangeRow, ...]
    empty: str = ""


class Changes(Painted[ChangeList]):
    """The rows on a card, each on a plate of its own."""

    def spoken(self, view: ChangeList) -> str:
        """Return every row as a sentence."""
        rows = (
            say(
                "{about}, {what}: {was}, then {now} {word}",
                about=row.about,
                what=row.what,
                was=row.was,
                now=row.now,
                word=row.word,
            ).strip()
            for row in view.rows
        )
        return ". ".join((view.title, *rows)) if view.rows else view.empty

    def lay(self, view: ChangeList) -> Iterator[Run]:
        """Lay out the heading, then as many rows as fit."""
        theme, palette = self.theme, self.theme.palette
        head, pad = theme.face(NEAR, STRONG), theme.px(PAD_MM)
        line = (theme.px(HEAD_MM) + head.cap) / 2
        yield Run(view.title, pad, line, head, palette.quiet, palette.card)
        told = say("before, and after")
        x = self.width() - pad - head.width(told)
        yield Run(told, x, line, head, palette.quiet, palette.card)
        shown = self._shown(view)
        for number, row in enumerate(shown):
            yield from self._row(row, self._plate(number))
        left = len(view.rows) - len(shown)
        if left:
            words = say("and {left} more", left=left)
            plate = self._plate(len(shown))
            middle = plate.top() + (plate.height() + head.cap) / 2
            yield Run(words, 2 * pad, middle, head, palette.quiet, palette.card)
        if not view.rows and view.empty:
            face = theme.face(READ)
            middle = theme.px(HEAD_MM) + face.rise + pad
            text = elided(view.empty, face, self.width() - 2 * pad)
            yield Run(text, pad, middle, face, palette.quiet, palette.card)

    def draw(self, painter: QPainter, view: ChangeList) -> None:
        """Draw the card and the plates."""
        palette, radius = self.theme.palette, self.theme.px(2.4)
        panel(painter, QRectF(self.rect()), radius, ground=palette.card)
        for number in range(len(self._shown(view))):
            panel(painter, self._plate(number), radius, ground=palette.raised)

    def _shown(self, view: ChangeList) -> tuple[ChangeRow, ...]:
        room = self.height() - self.theme.px(HEAD_MM) - self.theme.px(GAP_MM)
        fit = max(1, int(room // self.theme.px(ROW_MM)))
        if len(view.rows) > fit:
            return view.rows[: max(1, fit - 1)]  # the last line counts the others
        return view.rows

    def _plate(self, number: int) -> QRectF:
        theme = self.theme
        pad, high = theme.px(GAP_MM), theme.px(ROW_MM)
        top = theme.px(HEAD_MM) + number * high
        return QRectF(pad, top, self.width() - 2 * pad, high - pad)

    def _row(self, row: ChangeRow, plate: QRectF) -> Iterator[Run]:
        theme, palette = self.theme, self.theme.palette
        heavy, plain = theme.face(READ, HEAVY), theme.face(READ)
        strong, small = theme.face(READ, STRONG), theme.face(NEAR, HEAVY)
        pad, ground = theme.px(PAD_MM), palette.raised
        line = plate.top() + (plate.height() + heavy.cap) / 2
        left, right = plate.left() + pad, plate.right() - pad
        ink = tone_ink(theme, row.tone)
        if row.word:
            right -= small.width(row.word)
            yield Run(row.word, right, line, small, ink, ground)
            right -= pad
        about = elided(row.about, heavy, plate.width() * 0.2)
        yield Run(about, left, line, heavy, palette.ink, ground)
        what_x = left + max(heavy.width(about) + pad, plate.width() * ABOUT)
        arrow_x = plate.left() + plate.width() * ARROW
        was = elided(row.was, plain, plate.width() * WAS)
        was_x = arrow_x - pad - plain.width(was)
        quiet = (palette.quiet, ground)
        room = was_x - pad - what_x
        cell = QRectF(what_x, plate.top(), room, plate.height())
        yield from self._cell(row.what, (plain, theme.face(NEAR)), cell, quiet)
        yield Run(was, was_x, line, plain, palette.quiet, ground)
        yield Run(">", arrow_x, line, strong, ink, ground)
        now_x = arrow_x + strong.width(">") + pad
        faces = (strong, theme.face(NEAR, STRONG))
        cell = QRectF(now_x, plate.top(), right - now_x, plate.height())
        yield from self._cell(row.now, faces, cell, (ink, ground))

    def _cell(
        self, text: str, faces: tuple[Face, Face], cell: QRectF, inks: tuple[str, str]
    ) -> Iterator[Run]:
        """Lay out a cell on one line, or smaller on two where it does not fit."""
        face = faces[0] if faces[0].width(text) <= cell.width() else faces[1]
        lines = folded(text, face, cell.width())
        high = face.cap + face.pitch * (len(lines) - 1)
        line = cell.top() + (cell.height() - high) / 2 + face.cap
        for words in lines:
            yield Run(words, cell.left(), line, face, *inks)
            line += face.pitch
