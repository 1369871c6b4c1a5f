"""What all painted widgets share: text laid out as runs that can be measured.

A widget lays its text out as runs and paints exactly those, so that a test can
measure what is shown. Nothing here knows what a bench is.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from math import inf
from typing import Generic, Literal, TypeVar

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import (
    QColor,
    QPainter,
    QPaintEvent,
    QPen,
    QResizeEvent,
)
from PySide6.QtWidgets import QWidget

from benchassist.ui.theme import Face, Theme
from benchassist.ui.view import Tone
from benchassist.ui.words import shown
from benchassist.value import replace, value

V = TypeVar("V")
_UNBROKEN = re.compile(r"\d\S* (?:s|min|h|nm|µm|mm|ms|%|°C)(?![^\s.,:;)])\S*|\S+")
CLOSE = 1.5  # [ratio] of its capitals from one line of a row to its second
Reading = Literal["digits", "code", "must", "far", "near", "ornament"]


@value
class Run:
    """A piece of text on one line: where it stands, how it looks, who must read it.

    ``x`` and ``baseline`` are in pixels of the widget. ``reading`` is ``digits``,
    ``code`` or ``must`` for what is read at 1.5 m, ``far`` for words beside it,
    ``near`` for the rest, ``ornament`` for what repeats what a shape says.
    """

    text: str
    x: float
    baseline: float
    face: Face
    ink: str
    ground: str
    reading: Reading = "near"

    @property
    def rect(self) -> QRectF:
        """The box from the tallest letters' top to the descenders."""
        top = self.baseline - self.face.rise
        height = self.face.rise + self.face.depth
        return QRectF(self.x, top, self.face.width(self.text), height)

    @property
    def capitals(self) -> QRectF:
        """The box of the capitals alone."""
        top = self.baseline - self.face.cap
        return QRectF(self.x, top, self.face.width(self.text), self.face.cap)


class Painted(QWidget, Generic[V]):
    """A widget that shows one value and repaints only when the value changes."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._view: V | None = None
        self._runs: tuple[Run, ...] | None = None
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)

    @property
    def theme(self) -> Theme:
        """The theme that this widget is painted in."""
        return self._theme

    @property
    def view(self) -> V | None:
        """The value that is shown."""
        return self._view

    def show_view(self, view: V) -> None:
        """Show ``view``; do nothing if it is what is shown already."""
        view = shown(view)
        if view == self._view:
            return
        self._view = view
        self.setAccessibleName(self.spoken(view))
        self.renew()

    def set_theme(self, theme: Theme) -> None:
        """Paint in another theme."""
        self._theme = theme
        self.renew()

    def renew(self) -> None:
        """Lay the text out again and repaint."""
        self._runs = None
        self.update()

    def runs(self) -> tuple[Run, ...]:
        """Return the text that is shown, as it is shown."""
        if self._runs is None:
            view = self._view
            self._runs = () if view is None else tuple(self.lay(view))
        return self._runs

    def spoken(self, _view: V) -> str:
        """Return what a screen reader says of the view."""
        return ""

    def lay(self, _view: V) -> Iterable[Run]:
        """Lay out the text of the view for the present size."""
        return ()

    def draw(self, painter: QPainter, view: V) -> None:
        """Draw what lies under the text."""

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        """Lay the text out again for the new size."""
        self._runs = None
        super().resizeEvent(event)

    def paintEvent(self, _event: QPaintEvent) -> None:  # noqa: N802
        """Draw the shapes, then the runs."""
        if self._view is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self.draw(painter, self._view)
        draw_runs(painter, self.runs())
        painter.end()


def draw_runs(painter: QPainter, runs: tuple[Run, ...]) -> None:
    """Draw text that was laid out before."""
    for run in runs:
        run.face.draw(painter, run.text, QPointF(run.x, run.baseline), run.ink)


def wrap(text: str, face: Face, width: float) -> list[str]:
    """Return ``text`` in lines no wider than ``width`` pixels, broken at spaces.

    A number stays with its unit. A word wider than a line is broken inside: nothing
    is ever cut away.
    """
    lines: list[str] = []
    line = ""
    for word in _UNBROKEN.findall(text):
        candidate = f"{line} {word}" if line else word
        if face.width(candidate) <= width:
            line = candidate
            continue
        if line:
            lines.append(line)
        line = word
        while face.width(line) > width and len(line) > 1:
            cut = next(
                (
                    n
                    for n in range(len(line) - 1, 1, -1)
                    if face.width(line[:n]) <= width
                ),
                1,
            )
            lines.append(line[:cut])
            line = line[cut:]
    return [*lines, line] if line else lines


def elided(text: str, face: Face, width: float) -> str:
    """Return ``text``, shortened at its end if it is wider than ``width`` pixels."""
    if face.width(text) <= width:  # known already; to elide is to measure anew
        return text
    return face.metrics.elidedText(text, Qt.TextElideMode.ElideRight, max(0.0, width))


def folded(text: str, face: Face, width: float, most: int = 2) -> list[str]:
    """Return ``text`` in ``most`` lines at most, the last shortened if need be."""
    lines = wrap(text, face, max(width, 1.0))
    if len(lines) > most:
        lines[most - 1 :] = [elided(" ".join(lines[most - 1 :]), face, width)]
    return lines


def halves(text: str, face: Face) -> list[str]:
    """Return ``text`` in the two lines of which the wider is narrowest."""
    words = text.split(" ")
    split = [[" ".join(words[:n]), " ".join(words[n:])] for n in range(len(words))]
    narrow = min(split, key=lambda lines: max(map(face.width, lines)))
    return [line for line in narrow if line]


def lines_in(face: Face, high: float) -> int:
    """Return how many close lines of ``face`` a row holds, two at the most."""
    return 1 + (face.rise + face.cap * CLOSE + face.depth <= high)


def around(
    words: Run,
    room: float,
    high: float = inf,
    *,
    right: bool = False,
    most: int = 2,
    close: float = CLOSE,
) -> Iterable[Run]:
    """Yield words on one line around the middle of a row, or on two close ones.

    They stand at their ``x``, or with ``right`` end there; ``baseline`` is the middle.
    A row less ``high`` than two lines has one; a higher one ``most``.
    """
    face = words.face
    pitch = face.cap * close
    lines = folded(words.text, face, room, most if lines_in(face, high) > 1 else 1)
    base = words.baseline + face.cap / 2 - pitch * (len(lines) - 1) / 2
    for told in lines:
        x = words.x - face.width(told) if right else words.x
        yield replace(words, text=told, x=x, baseline=base)
        base += pitch


def stands(text: str, face: Face, room: float, most: int = 1) -> bool:
    """Say whether ``text`` stands whole in ``most`` lines, with no word broken."""
    if not text:
        return True
    widest = max(map(face.width, text.split()))
    return widest <= room and len(wrap(text, face, room)) <= most


def largest(text: str, faces: tuple[Face, ...], width: float) -> Face:
    """Return the first face in which ``text`` takes one line, else the last one."""
    return next((each for each in faces if each.width(text) <= width), faces[-1])


def draw_key(painter: QPainter, run: Run, theme: Theme) -> None:
    """Draw the outline of a key around its letter."""
    box = run.capitals
    side, rise = theme.px(1.8), theme.px(1.4)
    box.adjust(-side, -rise, side, rise)
    painter.setPen(QPen(QColor(theme.palette.line), 1.5))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRoundedRect(box, theme.px(1.0), theme.px(1.0))


def bar(
    painter: QPainter, rect: QRectF, share: float, *, ink: str, ground: str
) -> None:
    """Draw a bar that is filled up to ``share``, 0 to 1."""
    radius = rect.height() / 2
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(ground))
    painter.drawRoundedRect(rect, radius, radius)
    filled = QRectF(rect)
    filled.setWidth(rect.width() * min(1.0, max(0.0, share)))
    if filled.width() >= rect.height():
        painter.setBrush(QColor(ink))
        painter.drawRoundedRect(filled, radius, radius)


def panel(
    painter: QPainter,
    rect: QRectF,
    radius: float,
    *,
    ground: str,
    edge: str = "",
    width: float = 2.0,
) -> None:
    """Draw a ground with rounded corners, outlined where ``edge`` is given."""
    painter.setPen(QPen(QColor(edge), width) if edge else Qt.PenStyle.NoPen)
    painter.setBrush(QColor(ground))
    inset = width / 2 if edge else 0.0
    painter.drawRoundedRect(rect.adjusted(inset, inset, -inset, -inset), radius, radius)


def tone_ink(theme: Theme, tone: Tone) -> str:
    """Return the colour in which words of ``tone`` are written."""
    palette = theme.palette
    return {
        "plain": palette.ink,
        "attention": palette.attention,
        "good": palette.good,
        "stop": palette.stop,
        "quiet": palette.quiet,
    }[tone]
