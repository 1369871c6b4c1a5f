"""Tiles to choose from: a key, a drawing, a word, an example; one of them framed.

Enter does what is framed in straw; Tab and the arrows move the frame.
"""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import QRect, QRectF
from PySide6.QtGui import QPainter, QResizeEvent
from PySide6.QtWidgets import QWidget

from benchassist.ui.drawings import draw
from benchassist.ui.hands import Hands
from benchassist.ui.hold import HOLD_WORDS, Pressable
from benchassist.ui.paint import CLOSE, Run, draw_key, panel, tone_ink, wrap
from benchassist.ui.theme import NEAR, READ, STRONG, Face, Theme
from benchassist.ui.view import Option, TileView
from benchassist.ui.words import say

GAP_MM = 2.2
LEAST_TILE_MM = 12.0  # [mm] high: a target for a gloved finger
# [mm] capitals of a tile's word and of its example; a choice
PITCH = 1.75  # [ratio] of capitals from line to line, where there is room for it
Told = list[tuple[Face, list[str]]]
SIZES_MM = ((4.9, NEAR + 0.4), (READ, NEAR + 0.4), (READ, NEAR), (NEAR, NEAR))


class Tile(Pressable[TileView]):
    """One tile."""

    @property
    def option(self) -> Option | None:
        """What is chosen by pressing here."""
        return self.view.option if self.view else None

    def spoken(self, view: TileView) -> str:
        """Return word, example and key."""
        held = f", {HOLD_WORDS}" if view.option.hold else ""
        return say(
            "{text}, {line}, key {key}{held}",
            text=view.option.text,
            line=view.line,
            key=view.option.key,
            held=held,
        )

    def lay(self, view: TileView) -> Iterator[Run]:
        """Lay out key, word and example."""
        theme, palette = self.theme, self.theme.palette
        high = bool(view.drawing) and self.height() >= theme.px(24.0)
        key = theme.face(NEAR + 0.4 if high else READ, STRONG)
        ground = palette.card
        ink, middle = palette.attention, self.height() / 2
        x = theme.px(4.6) + theme.px(2.6) - key.width(view.option.key) / 2
        key_line = theme.px(5.6) + key.cap / 2 if high else middle + key.cap / 2
        yield Run(view.option.key, x, key_line, key, ink, ground)
        left = float(theme.px(15.0))
        if view.drawing:
            left = theme.px(33.0) if high else theme.px(30.0)
        room = self.width() - left - theme.px(3.0)
        if view.option.hold:
            small = theme.face(NEAR)
            hold = self.hold_words(small.width(HOLD_WORDS))
            end = self.width() - theme.px(4.0) - small.width(hold)
            ink = palette.quiet if hold == HOLD_WORDS else palette.attention
            yield Run(hold, end, middle + small.cap / 2, small, ink, ground)
            room = end - left - theme.px(3.0)
        close, told = self._words(view, room)
        inks = (tone_ink(theme, view.option.tone), tone_ink(theme, view.tone))
        y = middle - _high(told, close) / 2
        for (face, lines), ink in zip(told, inks, strict=True):
            for text in lines:
                y += face.cap * close
                line = y - face.cap * (close - 1) / 2
                yield Run(text, left, line, face, ink, ground)

    def _words(self, view: TileView, room: float) -> tuple[float, Told]:
        """Return word and example in lines, the largest in which both stand whole.

        Before them their pitch, in capitals. Where nothing holds both the word stands
        alone: half an example says nothing.
        """
        theme, found = self.theme, list[tuple[float, Told]]()
        sizes = [(*size, close) for size in SIZES_MM for close in (PITCH, CLOSE)]
        for line in (view.line, ""):
            for title_mm, plain_mm, close in sizes:
                title, plain = theme.face(title_mm, STRONG), theme.face(plain_mm)
                lines = wrap(view.option.text, title, room)
                told = [(title, lines), (plain, wrap(line, plain, room))]
                found.append((close, told))
                one = len(lines) == 1 or title_mm == NEAR
                if one and _high(told, close) <= self.height():
                    return found[-1]
        return found[-1]

    def draw(self, painter: QPainter, view: TileView) -> None:
        """Draw the ground, the key's outline, the drawing and the bar of a hold."""
        palette, radius = self.theme.palette, self.theme.px(2.4)
        rect = QRectF(self.rect())
        panel(painter, rect, radius, ground=palette.card, edge=palette.line, width=1.5)
        draw_key(painter, self.runs()[0], self.theme)
        if view.drawing:
            side = self.theme.px(15.0)
            left = (
                self.theme.px(15.0)
                if self.height() >= self.theme.px(24.0)
                else self.theme.px(12.6)
            )
            square = QRectF(left, (self.height() - side) / 2, side, side)
            draw(painter, view.drawing, square, palette.ink, self.theme.px(1.0))
        self.draw_hold(painter, radius)


def _high(told: Told, close: float) -> float:
    return sum(face.cap * close * len(lines) for face, lines in told)


class TileGrid(QWidget):
    """Tiles in columns, each as high as the room allows; gaps where there is none."""

    def __init__(self, theme: Theme, hands: Hands, parent: QWidget) -> None:
        super().__init__(parent)
        self._theme = theme
        self._hands = hands
        self._views: tuple[TileView | None, ...] = ()
        self._columns = 1
        self._tiles: list[Tile] = []
        self.most_mm = 31.0
        self.between_mm = GAP_MM + 0.8

    def show_view(self, views: tuple[TileView | None, ...], columns: int) -> None:
        """Show other tiles in so many columns."""
        if (views, columns) == (self._views, self._columns):
            return
        self._views, self._columns = views, columns
        while len(self._tiles) < len(views):
            tile = Tile(self._theme, self)
            tile.down.connect(self._hands.press)
            tile.up.connect(self._hands.release)
            self._tiles.append(tile)
        for number, tile in enumerate(self._tiles):
            view = views[number] if number < len(views) else None
            tile.setVisible(view is not None)
            if view is not None:
                tile.show_view(view)
        self._arrange()

    def buttons(self) -> list[Pressable[TileView]]:
        """Return the tiles that are shown."""
        pairs = zip(self._tiles, self._views, strict=False)
        return [tile for tile, view in pairs if view is not None]

    def set_theme(self, theme: Theme) -> None:
        """Paint in another theme."""
        self._theme = theme
        for tile in self._tiles:
            tile.set_theme(theme)
        self._arrange()

    def boxes(self) -> list[QRectF]:
        """Return where each tile stands; an empty box where there is none."""
        return [
            QRectF(self._box(number)) if view is not None else QRectF()
            for number, view in enumerate(self._views)
        ]

    def lefts(self) -> list[float]:
        """Return where each column begins."""
        return [float(self._box(column).left()) for column in range(self._columns)]

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        """Place the tiles for the new size."""
        super().resizeEvent(event)
        self._arrange()

    def _box(self, number: int) -> QRect:
        row, column = divmod(number, self._columns)
        gap, between = self._theme.px(GAP_MM), self._between()
        rows = max(1, -(-len(self._views) // self._columns))
        high = (self.height() - gap * (rows - 1)) // rows
        high = min(
            self._theme.px(self.most_mm), max(self._theme.px(LEAST_TILE_MM), high)
        )
        wide = (self.width() - between * (self._columns - 1)) // self._columns
        return QRect(column * (wide + between), row * (high + gap), wide, high)

    def _between(self) -> int:
        return self._theme.px(self.between_mm)

    def _arrange(self) -> None:
        for number, view in enumerate(self._views):
            if view is not None:
                self._tiles[number].setGeometry(self._box(number))
