"""The lines at the foot of the screen: what comes next, what the foot would do."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor, QPainter
from PySide6.QtWidgets import QWidget

from benchassist.ui.paint import Painted, Reading, Run, panel, stands, wrap
from benchassist.ui.theme import FAR_LEAST, MUST, NEAR, READ, STRONG, Face, Theme
from benchassist.ui.view import Tone
from benchassist.ui.words import say
from benchassist.value import value

LINE_MM = 15.7  # [mm] of a line at the foot of the bench
MOST_ASIDE = 2  # lines of near words beside the far ones
SIDE_MM, EDGE_MM = 3.0, 0.5  # [mm] beside a sentence, above and below it together
# [ratio] of a sentence's capitals: from line to line, above the first, below the last
PITCH, RISE, FALL = 1.38, 1.1, 0.25


@value
class FarText:
    """A labelled line for the far eye; ``tone`` other than plain inverts it.

    ``aside`` is near text at the right, left out where the far words need the room;
    ``short`` is said where one line does not hold ``text``.
    """

    label: str
    text: str
    tone: Tone = "plain"
    aside: str = ""
    short: str = ""


class FarLine(Painted[FarText]):
    """A line that is read at 1.5 m; a long text takes a second line, never less.

    What a foot that is kept down would do fills the line from the left.
    """

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(theme, parent)
        self._share = 0.0

    @property
    def share(self) -> float:
        """How much of a long press is over, 0 to 1."""
        return self._share

    def show_share(self, share: float) -> None:
        """Show how much of a long press is over, 0 to 1."""
        if share != self._share:
            self._share = share
            self.update()

    def spoken(self, view: FarText) -> str:
        """Return label and text."""
        return f"{view.label}: {view.text}"

    def height_for(self, width: int) -> int:
        """Return the height that the line needs at ``width`` pixels."""
        face = self.theme.face(MUST, STRONG)
        count = 1 if self.view is None else len(self._lines(self.view, width))
        return round(self.theme.px(LINE_MM) + face.pitch * max(0, count - 1))

    def lay(self, view: FarText) -> Iterator[Run]:
        """Lay out the label, the text beside it and the near words at the right."""
        theme = self.theme
        ink, ground, label_ink = self._inks(view)
        face = theme.face(MUST, STRONG)
        first = (theme.px(LINE_MM) + face.cap) / 2
        label = theme.face(FAR_LEAST, STRONG)
        yield Run(view.label, theme.px(5.0), first, label, label_ink, ground, "far")
        end = 0.0
        for number, text in enumerate(self._lines(view, self.width())):
            line = first + face.pitch * number
            yield Run(text, self._text_x(), line, face, ink, ground, "must")
            end = max(end, self._text_x() + face.width(text))
        yield from self._aside(view, end + theme.px(8.0))

    def draw(self, painter: QPainter, view: FarText) -> None:
        """Draw the ground, what is filled of it, and the rule above it."""
        _, ground, _ = self._inks(view)
        palette, wide = self.theme.palette, self.width()
        painter.fillRect(self.rect(), QColor(ground))
        painter.fillRect(QRectF(0, 0, wide, 2), QColor(palette.line))
        if self._share > 0.0:
            filled = QRectF(0, 0, wide * self._share, self.height())
            painter.fillRect(filled, QColor(palette.held))
            filled.setHeight(self.theme.px(1.8))
            painter.fillRect(filled, QColor(palette.attention))

    def _aside(self, view: FarText, left: float) -> Iterator[Run]:
        """Lay out the near words at the right; where they do not stand whole, none."""
        face, edge = self.theme.face(NEAR), self.theme.px(5.0)
        room = self.width() - edge - left
        if not view.aside or not stands(view.aside, face, room, MOST_ASIDE):
            return
        lines = wrap(view.aside, face, room)
        ink = self.theme.palette.quiet if view.tone == "plain" else self._inks(view)[0]
        ground = self._inks(view)[1]
        middle = (self.theme.px(LINE_MM) + face.cap) / 2 + self.theme.px(1.0)
        first = middle - face.pitch * (len(lines) - 1) / 2
        for number, text in enumerate(lines):
            x = self.width() - edge - face.width(text)
            yield Run(text, x, first + face.pitch * number, face, ink, ground)

    def _text_x(self) -> float:
        # Both labels share one column, as wide as the longer of them.
        widest = self.theme.face(FAR_LEAST, STRONG).width(say("PEDAL"))
        return self.theme.px(5.0) + widest + self.theme.px(7.0)

    def _lines(self, view: FarText, width: int) -> list[str]:
        room, face = width - self._text_x() - self.theme.px(4.0), self._face()
        long = view.short and face.width(view.text) > room
        return wrap(view.short if long else view.text, face, room)

    def _face(self) -> Face:
        return self.theme.face(MUST, STRONG)

    def _inks(self, view: FarText) -> tuple[str, str, str]:
        palette = self.theme.palette
        if view.tone == "plain":
            return palette.ink, palette.card, palette.attention
        if view.tone == "quiet":
            return palette.quiet, palette.card, palette.attention
        if view.tone == "stop":
            return palette.ink, palette.plate, palette.ink
        return palette.letters, palette.attention, palette.letters


class MessageLine(Painted[str]):
    """One sentence about the last press, in letters as large as its room holds."""

    def spoken(self, view: str) -> str:
        """Return the sentence."""
        return view

    def height_for(self, width: int, room: int) -> int:
        """Return ``room``, or what the sentence needs above it at ``width`` pixels."""
        face, lines = self._plan(self.view or "", width, room)
        return max(room, self._need(face, len(lines)))

    def lay(self, view: str) -> Iterator[Run]:
        """Lay out the sentence."""
        theme, palette = self.theme, self.theme.palette
        face, lines = self._plan(view, self.width(), self.height())
        reading: Reading = "far" if face == theme.face(FAR_LEAST, STRONG) else "near"
        spare = self.height() - self._need(face, len(lines))
        line = face.cap * RISE + (spare + self.theme.px(EDGE_MM)) / 2
        for text in lines:
            ink, ground = palette.attention, palette.raised
            yield Run(text, theme.px(SIDE_MM), line, face, ink, ground, reading)
            line += face.cap * PITCH

    def draw(self, painter: QPainter, _view: str) -> None:
        """Draw the ground."""
        palette, radius = self.theme.palette, self.theme.px(2.4)
        rect = QRectF(self.rect())
        panel(painter, rect, radius, ground=palette.raised, edge=palette.attention)

    def _plan(self, text: str, width: int, room: int) -> tuple[Face, list[str]]:
        """Choose the largest letters in which the sentence fits, else the smallest."""
        wide = width - 2 * self.theme.px(SIDE_MM)
        faces = [self.theme.face(mm, STRONG) for mm in (FAR_LEAST, READ, NEAR)]
        plans = [(face, wrap(text, face, wide)) for face in faces]
        fits = (plan for plan in plans if self._need(plan[0], len(plan[1])) <= room)
        return next(fits, plans[-1])

    def _need(self, face: Face, count: int) -> int:
        """Return the height of so many lines, with the edge."""
        high = face.cap * (RISE + PITCH * (count - 1) + FALL)
        return round(high + self.theme.px(EDGE_MM))
