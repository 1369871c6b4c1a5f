"""The chart of the day ahead: parts × time, what is planned, when it will be done."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPen, QPolygonF

from benchassist.ui.paint import Painted, Run, draw_key, elided, panel, tone_ink, wrap
from benchassist.ui.present.day_chart import DayBar, DayRow, DayView
from benchassist.ui.theme import FAR_LEAST, HEAVY, NEAR, STRONG, Face
from benchassist.ui.words import say

ROW_MM = (8.4, 7.4, 6.6)  # [mm] high, the first with which all rows fit; a choice
TALL_MM = (14.0, 11.0)  # where it is a column of its own
NAMES_MM = 66.0  # [mm] of key, code and kind at the left
LEGEND_MM = 7.0  # [mm] of a line of the legend
COMPACT_MM = 240.0  # [mm] of a chart with room for kinds and legend
LEAST_BAR_PX = 3.0
LEGEND = (
    ("hands", say("hands")),
    ("alone", say("alone")),
    ("place", say("box or bath")),
)
PROMISED = say("promised")
OF_DAYS = say("done: even chance to 4 in 5")


class DayChart(Painted[DayView]):
    """Rows of trays, a lane for each box and for the hands, notes below."""

    def spoken(self, view: DayView) -> str:
        """Return the far line, its reason, and what each part will do."""
        rows = (f"{row.code} {row.right}" for row in view.rows)
        return ". ".join(filter(None, (view.far, view.why, *view.notes, *rows)))

    # --- where things stand -------------------------------------------------------

    @property
    def compact(self) -> bool:
        """Whether it is a column beside the bench: no kinds, no legend."""
        return self.width() < self.theme.px(COMPACT_MM)

    def _names_mm(self) -> float:
        return NAMES_MM / 2 if self.compact else NAMES_MM

    def _near(self) -> Face:
        return self.theme.face(NEAR)

    def _far_px(self, view: DayView) -> float:
        if not view.far:
            return self.theme.px(7.0)
        more = len(self._far(view)) - 1
        return self.theme.px(13.0) + self.theme.face(FAR_LEAST, HEAVY).cap * 1.5 * more

    def _far(self, view: DayView) -> list[str]:
        face, room = (
            self.theme.face(FAR_LEAST, HEAVY),
            self.width() - self.theme.px(2.0),
        )
        return wrap(view.far, face, max(room, 1.0))

    def _notes(self, view: DayView) -> list[str]:
        face = self._near()
        return [line for note in view.notes for line in wrap(note, face, self.width())]

    def _top(self, view: DayView) -> float:
        return self._far_px(view) + self.theme.px(6.4)

    def _foot(self, view: DayView) -> float:
        face = self._near()
        legend = 0 if self.compact else self.theme.px(LEGEND_MM) * self._legend()[-1][2]
        return self.height() - len(self._notes(view)) * face.pitch - legend

    def _pitch(self, view: DayView) -> float:
        room = self._foot(view) - self._top(view)
        count = max(1, len(view.rows) + len(view.lanes))
        tall = TALL_MM if self.compact else ()
        sizes = [float(self.theme.px(mm)) for mm in (*tall, *ROW_MM)]
        return next((px for px in sizes if px * count <= room), sizes[-1])

    def shown(self, view: DayView) -> tuple[DayRow, ...]:
        """Return the rows that fit; the lanes below them always do."""
        room = self._foot(view) - self._top(view)
        most = max(1, int(room / self._pitch(view)) - len(view.lanes))
        return view.rows if len(view.rows) <= most else view.rows[: most - 1]

    def _span(self, view: DayView) -> tuple[float, float]:
        """Return from where to where time runs, in pixels."""
        face = self._near()
        words = max((face.width(row.right) for row in view.rows), default=0.0)
        left = float(self.theme.px(self._names_mm()))
        return left, max(left + 50.0, self.width() - words - self.theme.px(5.0))

    def _x(self, view: DayView, ms: float) -> float:
        left, right = self._span(view)
        return left + (right - left) * min(1.0, max(0.0, ms / view.until_ms))

    def _lines(self, view: DayView) -> Iterator[tuple[DayRow, float]]:
        """Yield every row and lane with its middle."""
        pitch, y = self._pitch(view), self._top(view)
        rows = self.shown(view)
        for row in rows:
            yield row, y + pitch / 2
            y += pitch
        if len(rows) < len(view.rows):
            y += pitch  # where it is said how many more there are
        for lane in view.lanes:
            yield lane, y + pitch / 2
            y += pitch

    # --- words --------------------------------------------------------------------

    def lay(self, view: DayView) -> Iterator[Run]:
        """Lay out the far line, hours, names, promises and notes."""
        palette, near = self.theme.palette, self._near()
        ground = palette.ground
        yield from self._headline(view)
        hours = self._top(view) - self.theme.px(2.0)
        free = self._x(view, 0) + near.width(view.now)
        for ms, name in view.ticks:
            x = self._x(view, ms) - near.width(name) / 2
            if x > free:
                yield Run(name, x, hours, near, palette.quiet, ground)
                free = x + near.width(name) + self.theme.px(2.0)
        strong = self.theme.face(NEAR, STRONG)
        if view.rows:
            at = self._x(view, 0) - strong.width(view.now) / 2
            yield Run(view.now, at, hours, strong, palette.ink, ground)
        for row, middle in self._lines(view):
            yield from self._row_words(row, middle)
        left = len(view.rows) - len(self.shown(view))
        if left:
            y = self._top(view) + self._pitch(view) * (len(self.shown(view)) + 0.7)
            told = say("{left} more: the table has all", left=left)
            yield Run(told, self.theme.px(13.0), y, near, palette.quiet, ground)
        yield from self._below(view)

    def _headline(self, view: DayView) -> Iterator[Run]:
        theme, palette = self.theme, self.theme.palette
        near, x = theme.face(NEAR + 0.7), float(theme.px(1.0))
        far = theme.face(FAR_LEAST, HEAVY)
        line = theme.px(2.0) + far.cap if view.far else theme.px(5.0)
        if view.far:
            inks, lines = (palette.ink, palette.ground), self._far(view)
            for number, text in enumerate(lines):
                line += far.cap * 1.5 * (number > 0)
                yield Run(text, x, line, far, *inks, "far")
            x += far.width(lines[-1]) + theme.px(4.0)
        if why := elided(view.why, near, max(0.0, self.width() - x)):
            yield Run(why, x, line, near, palette.attention, palette.ground)

    def _row_words(self, row: DayRow, middle: float) -> Iterator[Run]:
        theme, palette = self.theme, self.theme.palette
        ground = palette.ground
        near, strong = self._near(), theme.face(NEAR, STRONG)
        line = middle + near.cap / 2
        if row.key:
            x = theme.px(6.6) - strong.width(row.key) / 2
            yield Run(row.key, x, line, strong, palette.attention, ground)
        x = float(theme.px(14.0))
        yield Run(row.code, x, line, strong, palette.ink, ground)
        x += strong.width(row.code) + theme.px(2.0)
        room = theme.px(self._names_mm()) - theme.px(2.0) - x
        if kind := elided(row.what, near, room):
            yield Run(kind, x, line, near, palette.quiet, ground)
        if row.right:
            ink = tone_ink(theme, row.tone)
            x = self.width() - theme.px(1.0) - near.width(row.right)
            yield Run(row.right, x, line, near, ink, ground)

    def _below(self, view: DayView) -> Iterator[Run]:
        palette, near = self.theme.palette, self._near()
        y = self._foot(view) + self.theme.px(5.0)
        if not self.compact:
            for name, x, row in self._legend():
                at = y + self.theme.px(LEGEND_MM) * (row - 1)
                if view.rows:
                    yield Run(name, x, at, near, palette.quiet, palette.ground)
            y += self.theme.px(LEGEND_MM) * (self._legend()[-1][2] - 1)
        y += self.theme.px(2.0)
        for line in self._notes(view):
            at = y + near.cap
            yield Run(line, 0.0, at, near, palette.ink, palette.ground)
            y += near.pitch

    def _legend(self) -> list[tuple[str, float, int]]:
        """Return the words of the legend, each with its x and its line, from 1."""
        near, left = self._near(), float(self.theme.px(10.0))
        placed, x, line = list[tuple[str, float, int]](), left, 1
        for name in (*(each for _, each in LEGEND), OF_DAYS, PROMISED):
            if x > left and x + near.width(name) > self.width():
                x, line = left, line + 1
            placed.append((name, x, line))
            x += near.width(name) + self.theme.px(14.0)
        return placed

    # --- shapes -------------------------------------------------------------------

    def draw(self, painter: QPainter, view: DayView) -> None:
        """Draw hours, bars, ends and flags."""
        palette = self.theme.palette
        if not view.rows:
            return
        lines = list(self._lines(view))
        foot = lines[-1][1] + self._pitch(view) / 2
        painter.setPen(QPen(QColor(palette.line), 1.0))
        for ms, _ in view.ticks:
            x = self._x(view, ms)
            painter.drawLine(QPointF(x, self._top(view)), QPointF(x, foot))
        for row, middle in lines:
            self._draw_row(painter, view, row, middle)
        painter.setPen(QPen(QColor(palette.ink), 2.5))
        x = self._x(view, 0)
        painter.drawLine(QPointF(x, self._top(view)), QPointF(x, foot))
        self._draw_legend(painter, view)

    def _draw_row(
        self, painter: QPainter, view: DayView, row: DayRow, middle: float
    ) -> None:
        theme, palette = self.theme, self.theme.palette
        if row.front:
            half = self._pitch(view) / 2 - 1
            frame = QRectF(1, middle - half, self.width() - 2, 2 * half)
            # Straw frames what Enter does, which is not here.
            ground, edge = palette.ground, palette.quiet
            panel(painter, frame, 6, ground=ground, edge=edge, width=2)
        if row.key:
            for run in self.runs():
                if run.text == row.key and abs(run.capitals.center().y() - middle) < 1:
                    draw_key(painter, run, theme)
        for each in row.bars:
            box = self._box(view, each.start_ms, each.end_ms, middle)
            self._draw_bar(painter, each, box)
        if row.late_ms and row.done_ms <= view.until_ms:
            box = self._box(view, row.done_ms, row.late_ms, middle)
            box.adjust(0, box.height() * 0.3, 0, -box.height() * 0.3)
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QColor(tone_ink(theme, row.tone)))
            painter.drawRect(box)
        if row.due_ms is not None and 0 <= row.due_ms <= view.until_ms:
            self._draw_flag(painter, self._x(view, row.due_ms), middle)

    def _box(self, view: DayView, start: int, end: int, middle: float) -> QRectF:
        high = self._pitch(view) * 0.56
        x = self._x(view, start)
        wide = max(LEAST_BAR_PX, self._x(view, end) - x)
        return QRectF(x, middle - high / 2, wide, high)

    def _draw_bar(self, painter: QPainter, each: DayBar, box: QRectF) -> None:
        palette = self.theme.palette
        if each.kind == "alone":
            painter.setPen(QPen(QColor(palette.quiet), 2.0))
            middle = box.center().y()
            painter.drawLine(QPointF(box.left(), middle), QPointF(box.right(), middle))
            return
        ink = palette.attention if each.kind == "hands" else palette.quiet
        painter.setPen(QPen(QColor(ink), 1.5))
        hatched = each.kind == "place"
        brush = QBrush(QColor(ink), Qt.BrushStyle.BDiagPattern)
        painter.setBrush(brush if hatched else Qt.BrushStyle.NoBrush)
        painter.drawRoundedRect(box, 2.0, 2.0)

    def _draw_flag(self, painter: QPainter, x: float, middle: float) -> None:
        high = self.theme.px(2.6)
        painter.setPen(QPen(QColor(self.theme.palette.ink), 2.0))
        painter.drawLine(QPointF(x, middle - high), QPointF(x, middle + high))
        painter.setBrush(QColor(self.theme.palette.ink))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.drawPolygon(
            QPolygonF(
                [
                    QPointF(x, middle - high),
                    QPointF(x + high, middle - high * 0.5),
                    QPointF(x, middle),
                ]
            )
        )

    def _draw_legend(self, painter: QPainter, view: DayView) -> None:
        names = [name for _, name in LEGEND]
        for run in self.runs():
            middle = run.capitals.center().y()
            x, wide = run.x - self.theme.px(8.0), float(self.theme.px(6.0))
            high = self._pitch(view) * 0.4
            box = QRectF(x, middle - high / 2, wide, high)
            if run.text in names:
                kind = LEGEND[names.index(run.text)][0]
                self._draw_bar(painter, DayBar(kind, 0, 1), box)  # type: ignore[arg-type]
            elif run.text == OF_DAYS:
                painter.setPen(Qt.PenStyle.NoPen)
                painter.setBrush(QColor(self.theme.palette.good))
                painter.drawRect(box.adjusted(0, high * 0.3, 0, -high * 0.3))
            elif run.text == PROMISED:
                self._draw_flag(painter, x + wide / 2, middle)
