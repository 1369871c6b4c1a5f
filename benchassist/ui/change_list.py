"""What will change, line by line: of what, before, after; what does not fit is counted.

Shown before anything is held; the widget decides nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter

from benchassist.ui.paint import (
    CLOSE,
    Painted,
    Run,
    elided,
    largest,
    panel,
    tone_ink,
    wrap,
)
from benchassist.ui.theme import HEAVY, NEAR, READ, STRONG
from benchassist.ui.view import Tone
from benchassist.ui.words import say

ROW_MM = 17.4  # [mm] of a row of two lines with its gap; a choice
GAP_MM = 1.6
PAD_MM = 4.0
HEAD_MM = 9.0
ABOVE_MM = 2.6  # [mm] over the first line of a row
BELOW = 1.8  # [ratio] of its capitals from the first line to the second


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
            for text in wrap(view.empty, face, max(1, self.width() - 2 * pad)):
                yield Run(text, pad, middle, face, palette.quiet, palette.card)
                middle += face.pitch

    def draw(self, painter: QPainter, view: ChangeList) -> None:
        """Draw the card and the plates."""
        palette, radius = self.theme.palette, self.theme.px(2.4)
        panel(painter, QRectF(self.rect()), radius, ground=palette.card)
        for number in range(len(self._shown(view))):
            panel(painter, self._plate(number), radius, ground=palette.raised)

    def _shown(self, view: ChangeList) -> tuple[ChangeRow, ...]:
        room = self.height() - self.theme.px(HEAD_MM) - self.theme.px(GAP_MM)
        fit = max(1, int(room // self._high(view)))
        if len(view.rows) > fit:
            return view.rows[: max(1, fit - 1)]  # the last line counts the others
        return view.rows

    def _high(self, view: ChangeList) -> float:
        """Return how high a row is with its gap: the same for all of them."""
        wide = self.width() - 2 * self.theme.px(GAP_MM)
        lines = [len(self._after(row, wide)[1]) for row in view.rows]
        face = self.theme.face(READ)
        return self.theme.px(ROW_MM) + face.cap * CLOSE * (max(lines, default=1) - 1)

    def _plate(self, number: int) -> QRectF:
        theme = self.theme
        pad, high = theme.px(GAP_MM), self._high(self.view) if self.view else 0.0
        top = theme.px(HEAD_MM) + number * high
        return QRectF(pad, top, self.width() - 2 * pad, high - pad)

    def _row(self, row: ChangeRow, plate: QRectF) -> Iterator[Run]:
        """Lay out of what, what of it and the word; below, before and after."""
        theme, palette = self.theme, self.theme.palette
        heavy, plain = theme.face(READ, HEAVY), theme.face(READ)
        strong, small = theme.face(READ, STRONG), theme.face(NEAR, HEAVY)
        pad, ground, ink = theme.px(PAD_MM), palette.raised, tone_ink(theme, row.tone)
        line = plate.top() + theme.px(ABOVE_MM) + heavy.cap
        left, right = plate.left() + pad, plate.right() - pad
        right -= small.width(row.word)
        yield Run(row.word, right, line, small, ink, ground)
        yield Run(row.about, left, line, heavy, palette.ink, ground)
        x = left + heavy.width(row.about) + pad
        face = largest(row.what, (plain, theme.face(NEAR)), right - pad - x)
        what = elided(row.what, face, right - pad - x)
        yield Run(what, x, line, face, palette.quiet, ground)
        line += heavy.cap * BELOW
        x, lines = self._after(row, plate.width())
        yield Run(row.was, left, line, plain, palette.quiet, ground)
        arrow = plate.left() + x - pad - strong.width(">")
        yield Run(">", arrow, line, strong, ink, ground)
        for text in lines:
            yield Run(text, plate.left() + x, line, strong, ink, ground)
            line += strong.cap * CLOSE

    def _after(self, row: ChangeRow, wide: float) -> tuple[float, list[str]]:
        """Return where the words of what it will be begin, and their lines."""
        pad, strong = self.theme.px(PAD_MM), self.theme.face(READ, STRONG)
        was = self.theme.face(READ).width(row.was)
        x = pad + was + (pad if was else 0.0) + strong.width(">") + pad
        return x, wrap(row.now, strong, max(1.0, wide - pad - x))
