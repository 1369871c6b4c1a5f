"""The rail of trays: hanging tags, in the order of the F-keys, that carry the code."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QMouseEvent, QPainter, QPen, QPolygonF

from benchassist.ui.paint import Painted, Run
from benchassist.ui.shapes import draw_shape
from benchassist.ui.theme import HEAVY, NEAR, STRONG, Face
from benchassist.ui.view import Tag
from benchassist.ui.words import say
from benchassist.value import replace

RAIL_MM = 13.2  # [mm] of the rail with its tags
TAGS = 12  # trays within reach of the F-keys; more are reached with Shift
PAD_MM, LEAST_PAD_MM = 2.2, 0.9  # [mm] beside the words of a tag
SHAPE_MM = 4.4  # [mm] of the shape of its state
STEPS = 36  # of the small ring: it does not move for less


class Rail(Painted[tuple[Tag, ...]]):
    """Twelve places for tags; those with a part in them can be picked.

    Signals: ``picked(str)`` the code on the tag that was tapped.
    """

    picked = Signal(str)

    def spoken(self, view: tuple[Tag, ...]) -> str:
        """Return what hangs where."""
        hung = (
            say(
                "tray {tray} {code} {right}",
                tray=tag.tray,
                code=tag.code,
                right=tag.right,
            )
            for tag in view
            if tag.code
        )
        return say("Trays: ") + (", ".join(hung) or say("all free"))

    def show_view(self, view: tuple[Tag, ...]) -> None:
        """Show ``view``, the rings in steps so that they repaint seldom."""
        super().show_view(
            tuple(replace(tag, fill=round(tag.fill * STEPS) / STEPS) for tag in view)
        )

    def height_for(self) -> int:
        """Return the height of the rail."""
        return self.theme.px(RAIL_MM)

    def lay(self, view: tuple[Tag, ...]) -> Iterator[Run]:
        """Lay out key, code and time of each tag."""
        for tag, box in zip(view, self._boxes(len(view)), strict=True):
            yield from self._tag(tag, box)

    def draw(self, painter: QPainter, view: tuple[Tag, ...]) -> None:
        """Draw the rail, the tags that hang on it and hooks where none does."""
        palette, line = self.theme.palette, self.theme.px(0.5)
        painter.setPen(QPen(QColor(palette.line), self.theme.px(1.0)))
        painter.drawLine(QPointF(8, line), QPointF(self.width() - 8, line))
        for tag, box in zip(view, self._boxes(len(view)), strict=True):
            if tag.code:
                self._draw_tag(painter, tag, box)
            else:
                self._draw_hook(painter, box)

    def mousePressEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        """Pick the part on the tag under the finger."""
        for code, box in self.boxes():
            if box.contains(event.position()):
                self.picked.emit(code)

    def boxes(self) -> Iterator[tuple[str, QRectF]]:
        """Yield the code and the place of each tag with a part."""
        view = self.view or ()
        for tag, box in zip(view, self._boxes(len(view)), strict=True):
            if tag.code:
                yield tag.code, box

    def _boxes(self, count: int) -> list[QRectF]:
        """Return where each tag hangs, with a gap after every fourth."""
        edge, top = self.theme.px(3.8), self.theme.px(1.9)
        gap, more = self.theme.px(0.9), self.theme.px(1.6)
        groups = max(0, (count - 1) // 4)
        wide = (self.width() - 2 * edge - gap * (count - 1) - more * groups) / max(
            1, count
        )
        high = self.height() - top - 1
        return [
            QRectF(edge + n * (wide + gap) + more * (n // 4), top, wide, high)
            for n in range(count)
        ]

    def _pad(self, tag: Tag, box: QRectF) -> float:
        """Return the room beside the words; where they need it there is little."""
        wide = box.width() - self._beside(tag) - 2 * self.theme.px(PAD_MM)
        return self.theme.px(PAD_MM if wide >= 0 else LEAST_PAD_MM)

    def _beside(self, tag: Tag) -> float:
        """Return the width of shape and words beside each other."""
        words = self.theme.face(NEAR, STRONG).width(tag.right)
        return words + self.theme.px(SHAPE_MM) if tag.code else words

    def shape_box(self, tag: Tag, box: QRectF) -> QRectF:
        """Return where the shape of a tag's state stands in the tag's ``box``."""
        side = self.theme.px(SHAPE_MM)
        left = box.left() + self._pad(tag, box) - 1
        return QRectF(left, box.bottom() - side - self.theme.px(0.6), side, side)

    def _inks(self, tag: Tag) -> tuple[str, str, str]:
        """Return the ink, the ground and the edge of a tag."""
        palette = self.theme.palette
        if tag.late or tag.fresh:
            return palette.letters, palette.attention, palette.attention
        if tag.front:
            return palette.ink, palette.raised, palette.ink
        if tag.needed:
            return palette.ink, palette.raised, palette.quiet
        return palette.ink, palette.card, palette.line

    def _tag(self, tag: Tag, box: QRectF) -> Iterator[Run]:
        theme, palette = self.theme, self.theme.palette
        key, code = theme.face(NEAR, STRONG), theme.face(NEAR, HEAVY)
        plain = theme.face(NEAR, STRONG)
        ink, ground, _ = self._inks(tag)
        side = self._pad(tag, box)
        first = box.top() + theme.px(1.3) + key.cap
        second = box.bottom() - theme.px(1.1)
        if not tag.code:
            ground = palette.ground
        name = tag_key(tag.tray)
        quiet = ink if tag.late or tag.fresh else palette.quiet
        yield Run(name, box.left() + side, first, key, quiet, ground)
        right = box.right() - side
        if tag.code:
            room = right - box.left() - side - key.width(name) - theme.px(1.6)
            short = _tail(tag.code, code, room)
            yield Run(short, right - code.width(short), first, code, ink, ground)
        if self._beside(tag) > box.width() - 2 * side:
            return  # its shape alone says it: words across it say nothing
        told, faint = tag.right, palette.quiet if not tag.code else ink
        yield Run(told, right - plain.width(told), second, plain, faint, ground)

    def _draw_tag(self, painter: QPainter, tag: Tag, box: QRectF) -> None:
        ink, ground, edge = self._inks(tag)
        theme, corner = self.theme, self.theme.px(2.0)
        thick = 2.5 if tag.front else 1.5
        painter.setPen(QPen(QColor(edge), thick))
        painter.setBrush(QColor(ground))
        left, right, top, foot = box.left(), box.right(), box.top(), box.bottom()
        corners = (
            QPointF(left + corner, top),
            QPointF(right - corner, top),
            QPointF(right, top + corner),
            QPointF(right, foot),
            QPointF(left, foot),
            QPointF(left, top + corner),
        )
        painter.drawPolygon(QPolygonF(list(corners)))
        painter.setPen(QPen(QColor(theme.palette.quiet), 2.0))
        middle = box.center().x()
        painter.drawLine(QPointF(middle, 0), QPointF(middle, theme.px(2.6)))
        shape = self.shape_box(tag, box)
        draw_shape(painter, tag.word, shape, ink=ink, share=tag.fill)

    def _draw_hook(self, painter: QPainter, box: QRectF) -> None:
        side = self.theme.px(2.6)
        at = QRectF(box.center().x(), self.theme.px(0.2), side, side)
        painter.setPen(QPen(QColor(self.theme.palette.line), 2.0))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawArc(at, 0, -180 * 16)


def tag_key(tray: int) -> str:
    """Return the key of a tray: F1 to F12, and with Shift beyond."""
    return f"F{tray}" if tray <= TAGS else f"Sh F{tray - TAGS}"


def _tail(code: str, face: Face, room: float) -> str:
    """Return the end of a code that tells it from the others, as much as fits."""
    if face.width(code) <= room:
        return code
    tail = code.rsplit("-", 1)[-1]
    while len(tail) > 1 and face.width(tail) > room:
        tail = tail[1:]
    return tail
