"""The light check on the screen: why it stops, both curves, which lamp would do."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QWidget

from benchassist.ui.hands import Hands
from benchassist.ui.heading import Paragraphs, Words
from benchassist.ui.hold import HOLD_WORDS, Pressable
from benchassist.ui.paint import Run, draw_key, panel, tone_ink, wrap
from benchassist.ui.theme import HEAVY, NEAR, READ, STRONG, Theme
from benchassist.ui.view import LampRow, LightCheck, Option
from benchassist.ui.words import say

if TYPE_CHECKING:
    from benchassist.ui.light.plot import PlotPane  # no start-up waits for it

LEAST_PLOT_MM = 22.0  # [mm] with its key; a lower plot says nothing; a choice
LAMP_CODE_MM = 4.6  # [mm] capitals of a lamp's code; a choice


class LampButton(Pressable[LampRow]):
    """A lamp, what the check says of it, and the key that picks it up."""

    @property
    def option(self) -> Option | None:
        """What is chosen by pressing here; nothing for a lamp that cannot be picked."""
        return self.view.option if self.view else None

    def spoken(self, view: LampRow) -> str:
        """Return code, verdict and line."""
        key = say(", key {key}", key=view.option.key) if view.option else ""
        return f"{view.code}: {view.verdict}, {view.line}{key}"

    def height_for(self, width: int) -> int:
        """Return the height that the lamp needs at ``width`` pixels."""
        runs = self._place(self.view, width) if self.view else []
        lowest = max((run.baseline for run in runs), default=0.0)
        return round(lowest + self.theme.px(3.2))

    def lay(self, view: LampRow) -> Iterator[Run]:
        """Lay out code, line and verdict, with the key if there is one."""
        yield from self._place(view, self.width())

    def draw(self, painter: QPainter, view: LampRow) -> None:
        """Draw the ground, the key's outline and the bar of a hold."""
        palette, radius = self.theme.palette, self.theme.px(2.4)
        edge = palette.line if view.option else ""
        panel(painter, QRectF(self.rect()), radius, ground=palette.raised, edge=edge)
        if view.option:
            draw_key(painter, self.runs()[-1], self.theme)
        self.draw_hold(painter, radius)

    def _place(self, view: LampRow, width: int) -> list[Run]:
        """Lay out two lines: code and verdict, then what it needs, how to take it."""
        theme, palette = self.theme, self.theme.palette
        code, verdict = theme.face(LAMP_CODE_MM, STRONG), theme.face(READ, HEAVY)
        read, small = theme.face(NEAR + 0.3), theme.face(NEAR)
        pad, gap, ground = theme.px(4.6), theme.px(3.0), palette.raised
        line = theme.px(2.8) + code.cap
        left, edge = pad + theme.px(11.0), width - pad
        ink = tone_ink(theme, view.tone)
        right = edge - verdict.width(view.verdict)
        runs = [
            Run(view.code, left, line, code, palette.ink, ground),
            Run(view.verdict, right, line, verdict, ink, ground),
        ]
        line += read.pitch
        room: float = edge - left
        if view.option is not None and view.option.hold:
            told = self.hold_words(small.width(HOLD_WORDS))
            x = edge - small.width(told)
            ink = palette.quiet if told == HOLD_WORDS else palette.attention
            runs.append(Run(told, x, line, small, ink, ground))
            room = x - gap - left
        for number, text in enumerate(wrap(view.line, read, max(room, 1.0))):
            at = line + read.pitch * number
            runs.append(Run(text, left, at, read, palette.quiet, ground))
        if view.option:
            face = theme.face(READ, STRONG)
            middle = (runs[0].baseline - code.cap + line + face.cap) / 2
            x = pad + theme.px(3.0) - face.width(view.option.key) / 2
            ink = palette.attention
            runs.append(Run(view.option.key, x, middle, face, ink, ground))
        return runs


class LightView(QWidget):
    """Reason and curves at the left, the lamp to pick up and all lamps at the right."""

    def __init__(self, theme: Theme, hands: Hands, parent: QWidget) -> None:
        super().__init__(parent)
        self._theme = theme
        self._hands = hands
        self._view: LightCheck | None = None
        self._why = Paragraphs(theme, self)
        self._pick = Paragraphs(theme, self)
        self._plot: PlotPane | None = None
        self._pool: list[LampButton] = []
        self.headline_px = self.options_px = self.foot_px = 0

    def show_view(self, view: LightCheck) -> None:
        """Show another light check."""
        if view == self._view:
            return
        self._view = view
        self._why.show_view((Words(view.reason, "far"), Words(view.why, tone="quiet")))
        self._pick.show_view(
            (Words(view.pick, "must", "attention"), Words(view.pick_line, tone="quiet"))
        )
        if view.curves is not None:
            self._pane().show_view(view.curves)
        while len(self._pool) < len(view.lamps):
            button = LampButton(self._theme, self)
            button.down.connect(self._hands.press)
            button.up.connect(self._hands.release)
            self._pool.append(button)
        for number, button in enumerate(self._pool):
            button.setVisible(number < len(view.lamps))
            if number < len(view.lamps):
                button.show_view(view.lamps[number])

    def buttons(self) -> Sequence[LampButton]:
        """Return the lamps that are shown; one that has no room has no key either."""
        shown = self._pool[: len(self._view.lamps)] if self._view else []
        return [button for button in shown if not button.isHidden()]

    def set_theme(self, theme: Theme) -> None:
        """Paint in another theme."""
        self._theme = theme
        for part in (self._why, self._pick, self._plot, *self._pool):
            if part is not None:
                part.set_theme(theme)

    def arrange(self) -> None:
        """Place all parts.

        At the left ``headline_px`` belong to the headline and ``foot_px`` to what was
        said, at the right ``options_px`` at the foot to what a hand may accept.
        """
        px = self._theme.px
        gap = px(10.0)
        half = (self.width() - gap) // 2
        top = self.headline_px
        why = self._why.height_for(half)
        self._why.setGeometry(0, top, half, why)
        top += why + px(4.0)
        self._arrange_curves(half, top)
        left, right = half + gap, self.width() - half - gap
        pick = self._pick.height_for(right)
        self._pick.setGeometry(left, 0, right, pick)
        top = pick + px(4.0) if pick else 0
        lamps = self._view.lamps if self._view else ()
        for button in self._pool[: len(lamps)]:
            height = button.height_for(right)
            button.setGeometry(left, top, right, height)
            # A lamp that would be cut is left out; those that would do come first.
            button.setVisible(top + height <= self.height() - self.options_px)
            top += height + px(2.0)

    def _pane(self) -> PlotPane:
        """Return the plot, made for the first curves: its library costs a window."""
        if self._plot is None:
            from benchassist.ui.light.plot import PlotPane  # noqa: PLC0415

            self._plot = PlotPane(self._theme, self)
        return self._plot

    def _arrange_curves(self, width: int, top: int) -> None:
        if self._plot is None:
            return
        curves = self._view is not None and self._view.curves is not None
        room = self.height() - self.foot_px - top
        self._plot.setVisible(curves and room >= self._theme.px(LEAST_PLOT_MM))
        self._plot.setGeometry(0, top, width, max(0, room))
