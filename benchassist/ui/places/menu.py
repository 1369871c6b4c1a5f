"""Everything there is, along a part's way: comes in, on its way, goes out."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen

from benchassist.clock import Instant
from benchassist.domain.state import Bench
from benchassist.ui.actions import OpenPage
from benchassist.ui.host import Host
from benchassist.ui.paint import Run, draw_runs
from benchassist.ui.places import PLACES, WAYS
from benchassist.ui.theme import HEAVY, NEAR
from benchassist.ui.tilepage import TilePage
from benchassist.ui.title import TITLE_MM, Title
from benchassist.ui.view import Option, TileView
from benchassist.ui.words import say

HEAD_MM = 10.0  # [mm] of the line of ways
BETWEEN_MM = 13.0  # [mm] between the columns, where the way's stops are


class MenuPage(TilePage):
    """Three columns of places: a letter, a tap, or Enter on the framed one."""

    title = Title(say("Everything"), say("one key each, the same key from everywhere"))
    above_mm = HEAD_MM
    left_mm = 8.0

    def __init__(self, host: Host) -> None:
        super().__init__(host)
        self._columns = [[each for each in PLACES if each.way == way] for way in WAYS]
        self._grid.between_mm = BETWEEN_MM

    def fill(self, bench: Bench, now: Instant) -> None:
        """Show all places."""
        del bench, now
        rows = max(map(len, self._columns))
        tiles: list[TileView | None] = []
        for row in range(rows):
            for column in self._columns:
                place = column[row] if row < len(column) else None
                tiles.append(
                    TileView(
                        Option(place.title, place.key, OpenPage(place.page)), place.line
                    )
                    if place
                    else None
                )
        self._grid.show_view(tuple(tiles), len(WAYS))

    def runs(self) -> tuple[Run, ...]:
        """Return the names of the ways."""
        return tuple(self._heads())

    def _heads(self) -> Iterator[Run]:
        theme, palette = self._theme, self._theme.palette
        face = theme.face(NEAR + 0.3, HEAVY)
        line = theme.px(TITLE_MM) + (theme.px(HEAD_MM) + face.cap) / 2
        for x, way in zip(self._grid.lefts(), WAYS, strict=True):
            at = self._grid.x() + x + theme.px(2.6)
            yield Run(way, at, line, face, palette.attention, palette.ground)

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802
        """Draw the way along the top, and a stop for each place."""
        super().paintEvent(event)
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        theme, palette = self._theme, self._theme.palette
        middle = theme.px(TITLE_MM) + theme.px(HEAD_MM) / 2
        painter.setPen(QPen(QColor(palette.line), theme.px(0.9)))
        runs = self.runs()
        starts = [run.x - theme.px(7.0) for run in runs]
        ends = [*(start - theme.px(2.0) for start in starts[1:]), self.width() - 4.0]
        for run, end in zip(runs, ends, strict=True):
            painter.drawLine(
                QPointF(run.rect.right() + 8, middle), QPointF(end, middle)
            )
        tip, barb = QPointF(self.width() - 4, middle), theme.px(2.4)
        painter.drawLine(tip, tip + QPointF(-barb, -barb))
        painter.drawLine(tip, tip + QPointF(-barb, barb))
        self._draw_stops(painter, starts, middle)
        draw_runs(painter, runs)
        painter.end()

    def _draw_stops(
        self, painter: QPainter, starts: list[float], middle: float
    ) -> None:
        theme, palette = self._theme, self._theme.palette
        for column, x in enumerate(starts):
            boxes = [
                box.translated(self._grid.x(), self._grid.y())
                for number, box in enumerate(self._grid.boxes())
                if number % len(WAYS) == column and box.width()
            ]
            painter.setPen(QPen(QColor(palette.line), theme.px(0.9)))
            if boxes:
                foot = boxes[-1].center().y()
                painter.drawLine(QPointF(x, middle), QPointF(x, foot))
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QColor(palette.attention))
            painter.drawEllipse(QPointF(x, middle), theme.px(2.4), theme.px(2.4))
            for box in boxes:
                at = QPointF(x, box.center().y())
                painter.setPen(QPen(QColor(palette.quiet), theme.px(0.6)))
                painter.setBrush(QColor(palette.ground))
                painter.drawEllipse(at, theme.px(2.2), theme.px(2.2))
