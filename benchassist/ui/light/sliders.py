"""Sliders for the hands: arrow keys, or a finger on the bar."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from PySide6.QtCore import QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QMouseEvent, QPainter

from benchassist.ui.paint import Painted, Run, bar, panel
from benchassist.ui.theme import READ
from benchassist.value import value

ROW_MM = 9.6  # [mm] of one slider; a choice


@value
class Slider:
    """One slider: name, value, ends, step, unit; ``usual`` is where it began."""

    name: str
    title: str
    at: float
    low: float
    high: float
    step: float
    unit: str
    usual: float

    @property
    def share(self) -> float:
        """Where the value lies between the ends, 0 to 1."""
        return (self.at - self.low) / (self.high - self.low)

    def moved(self, to: float) -> Slider:
        """Return the slider at the step nearest to a value."""
        steps = round((to - self.low) / self.step)
        held = min(max(self.low + steps * self.step, self.low), self.high)
        return replace(self, at=held)


@value
class SlidersView:
    """All sliders, and which of them the arrow keys move."""

    sliders: tuple[Slider, ...]
    chosen: int = 0


class Sliders(Painted[SlidersView]):
    """Sliders under each other.

    Signals: ``moved(SlidersView)`` at every change.
    """

    moved = Signal(object)

    def spoken(self, view: SlidersView) -> str:
        """Return every slider with its value."""
        return ". ".join(f"{s.title} {s.at:g} {s.unit}" for s in view.sliders)

    def height_for(self) -> int:
        """Return the height of all sliders."""
        count = len(self.view.sliders) if self.view else 0
        return self.theme.px(ROW_MM) * count

    def key(self, key: str) -> bool:
        """Choose a slider with up and down, move it with left and right."""
        view = self.view
        if view is None:
            return False
        if key in ("Up", "Down"):
            count = len(view.sliders)
            step = 1 if key == "Down" else -1
            self._tell(replace(view, chosen=(view.chosen + step) % count))
            return True
        steps = {"Left": -1, "Right": 1, "PgDown": -5, "PgUp": 5}.get(key)
        if steps is None:
            return False
        slider = view.sliders[view.chosen]
        self._move(view.chosen, slider.at + steps * slider.step)
        return True

    def lay(self, view: SlidersView) -> Iterator[Run]:
        """Lay out titles and values."""
        theme, palette = self.theme, self.theme.palette
        title, worth = theme.face(READ), theme.face(READ)
        for number, slider in enumerate(view.sliders):
            rect = self._rect(number)
            chosen = number == view.chosen
            ground = palette.raised if chosen else palette.card
            line = rect.center().y() + worth.cap / 2
            x = theme.px(3.0)
            yield Run(slider.title, x, line, title, palette.quiet, ground)
            text = f"{slider.at:g} {slider.unit}"
            right = rect.right() - theme.px(3.0) - worth.width(text)
            ink = palette.attention if chosen else palette.ink
            yield Run(text, right, line, worth, ink, ground)

    def draw(self, painter: QPainter, view: SlidersView) -> None:
        """Draw grounds, tracks, where each began, and knobs."""
        palette, px = self.theme.palette, self.theme.px
        for number, slider in enumerate(view.sliders):
            chosen = number == view.chosen
            panel(
                painter,
                self._rect(number),
                px(2.0),
                ground=palette.raised if chosen else palette.card,
                edge=palette.attention if chosen else "",
            )
            track = self._track(number)
            ink = palette.attention if chosen else palette.measured
            bar(painter, track, slider.share, ink=ink, ground=palette.line)
            began = slider.moved(slider.usual).share
            at = track.left() + track.width() * began
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QColor(palette.ink))
            painter.drawRect(QRectF(at, track.top() - px(1.0), px(0.5), px(4.0)))
            knob = QPointF(
                track.left() + track.width() * slider.share, track.center().y()
            )
            painter.setBrush(QColor(palette.ink))
            painter.drawEllipse(knob, px(1.9), px(1.9))

    def mousePressEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        """Choose the slider under the finger and move it there."""
        self._drag(event.position())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        """Follow the finger on the chosen slider."""
        view = self.view
        if view is not None and event.buttons() & Qt.MouseButton.LeftButton:
            self._to(view.chosen, event.position().x())

    def _drag(self, at: QPointF) -> None:
        view = self.view
        for number in range(len(view.sliders) if view else 0):
            if view is not None and self._rect(number).contains(at):
                self._tell(replace(view, chosen=number))
                self._to(number, at.x())

    def _to(self, number: int, x: float) -> None:
        view = self.view
        if view is None:
            return
        track, slider = self._track(number), view.sliders[number]
        share = (x - track.left()) / max(1.0, track.width())
        self._move(number, slider.low + share * (slider.high - slider.low))

    def _move(self, number: int, to: float) -> None:
        view = self.view
        if view is None:
            return
        slider = view.sliders[number].moved(to)
        sliders = (*view.sliders[:number], slider, *view.sliders[number + 1 :])
        self._tell(replace(view, sliders=sliders))

    def _tell(self, view: SlidersView) -> None:
        if view != self.view:
            self.show_view(view)
            self.moved.emit(view)

    def _rect(self, number: int) -> QRectF:
        px = self.theme.px
        high = px(ROW_MM)
        return QRectF(0, number * high, self.width(), high - px(1.4))

    def _track(self, number: int) -> QRectF:
        px, rect = self.theme.px, self._rect(number)
        left, right = rect.left() + px(52.0), rect.right() - px(24.0)
        return QRectF(left, rect.center().y() - px(1.0), right - left, px(2.0))
