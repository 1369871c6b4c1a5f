"""The slim line over a page: the state, what comes next and what the foot would do.

A page takes none of them away; it has them in short words.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter

from benchassist.ui.band import draw_fill, inks_of
from benchassist.ui.paint import Painted, Run, panel
from benchassist.ui.shapes import draw_shape
from benchassist.ui.theme import FAR_LEAST, HEAVY, MUST, READ, STRONG, Face, Theme
from benchassist.ui.view import Band, Slim
from benchassist.ui.words import say, shown
from benchassist.value import replace, value

LINE_MM = 15.2  # [mm] of one line
SHARES = (0.39, 0.33, 0.28)  # [ratio] of the width: state, NEXT, PEDAL
ONE_LINE_MM = 300.0  # [mm] from here on one line holds all three


@value
class SlimView:
    """The state, what comes and what the foot does; ``late`` turns NEXT straw.

    ``off`` is said instead of what the foot does, while it does nothing or is down;
    ``share`` is how much of a long press is over, 0 to 1. ``lost``: nothing is
    recorded, which the foot's box says on the plate of STOP.
    """

    band: Band
    slim: Slim
    late: bool = False
    off: str = ""
    share: float = 0.0
    lost: bool = False


class _Boxes(NamedTuple):
    state: QRectF
    next: QRectF
    pedal: QRectF


class SlimLine(Painted[SlimView]):
    """Three boxes side by side, or in two lines where the screen is narrow."""

    def show_view(self, view: SlimView) -> None:
        """Show ``view``, the ring in steps so that it repaints seldom."""
        band = replace(view.band, fill=round(view.band.fill, 2))
        super().show_view(replace(view, band=band))

    def spoken(self, view: SlimView) -> str:
        """Return all three."""
        band, slim = view.band, view.slim
        state = f"{band.word} {band.code} {band.right}".strip()
        foot = view.off or slim.pedal
        return say(
            "{state}. NEXT: {next_code} {next_right}. PEDAL: {foot}",
            state=state,
            next_code=slim.next_code,
            next_right=slim.next_right,
            foot=foot,
        )

    def height_for(self, width: int) -> int:
        """Return the height at ``width`` pixels."""
        line = self.theme.px(LINE_MM)
        return line if self._in_one(width) else 2 * line + self.theme.px(1.4)

    def lay(self, view: SlimView) -> Iterator[Run]:
        """Lay out the words of the three boxes."""
        boxes = self._boxes()
        yield from self._state(view.band, boxes.state)
        palette = self.theme.palette
        ink, ground, label = palette.ink, palette.card, palette.attention
        tag, under = (ink, palette.plate) if view.lost else (label, ground)
        foot = Run(say("PEDAL"), 0, 0, self._small(), tag, under)
        yield from self._labelled(
            foot, (view.off or view.slim.pedal,), ink, boxes.pedal
        )
        if view.late:
            ink = label = palette.letters
            ground = palette.attention
        told = (view.slim.next_code, view.slim.next_right)
        head = Run(say("NEXT"), 0, 0, self._small(), label, ground)
        yield from self._labelled(head, told, ink, boxes.next)

    def draw(self, painter: QPainter, view: SlimView) -> None:
        """Draw the fill of the state and the grounds of the others."""
        boxes, palette = self._boxes(), self.theme.palette
        word = view.band.word
        draw_fill(painter, self.theme, word, boxes.state)
        inks = inks_of(palette, word)
        if word == "STOP":
            for run in self.runs():
                if boxes.state.contains(run.capitals):
                    side, rise = self.theme.px(2.4), self.theme.px(2.0)
                    plate = run.capitals.adjusted(-side, -rise, side, rise)
                    panel(painter, plate, self.theme.px(1.0), ground=inks.ground)
            square = self.square().adjusted(-4, -4, 4, 4)
            panel(painter, square, self.theme.px(1.0), ground=inks.ground)
        draw_shape(painter, word, self.square(), ink=inks.shape, share=view.band.fill)
        radius = self.theme.px(2.2)
        ground = palette.attention if view.late else palette.card
        panel(painter, boxes.next, radius, ground=ground)
        foot = palette.plate if view.lost else palette.card
        panel(painter, boxes.pedal, radius, ground=foot)
        if view.share > 0.0:
            filled = QRectF(boxes.pedal)
            filled.setWidth(filled.width() * view.share)
            panel(painter, filled, radius, ground=palette.held, edge=palette.attention)

    def square(self) -> QRectF:
        """Return where the shape of the state is drawn."""
        box, side = self._boxes().state, self.theme.px(8.6)
        top = box.center().y() - side / 2
        return QRectF(box.left() + self.theme.px(4.4), top, side, side)

    def _in_one(self, width: int) -> bool:
        return width >= self.theme.px(ONE_LINE_MM)

    def _small(self) -> Face:
        return self.theme.face(READ + 0.7, STRONG)

    def _boxes(self) -> _Boxes:
        high, gap = self.theme.px(LINE_MM), self.theme.px(3.0)
        whole = self.width() - 2 * gap
        needs = self._needs()
        if self._in_one(self.width()):
            wide = _shared([whole * share for share in SHARES], needs)
            second = QRectF(wide[0] + gap, 0, wide[1], high)
            third = QRectF(second.right() + gap, 0, wide[2], high)
            return _Boxes(QRectF(0, 0, wide[0], high), second, third)
        top, half = high + self.theme.px(1.4), (self.width() - gap) / 2
        left, right = _shared([half, half], needs[1:])
        return _Boxes(
            QRectF(0, 0, self.width(), high),
            QRectF(0, top, left, high),
            QRectF(left + gap, top, right, high),
        )

    def _needs(self) -> list[float]:
        """Return what each box has to hold, in the smallest far letters."""
        if self.view is None:
            return [0.0, 0.0, 0.0]
        px, least = self.theme.px, self.theme.face(FAR_LEAST, STRONG)
        band, slim = self.view.band, self.view.slim
        word, code = self.theme.face(READ + 2.0, HEAVY), self.theme.face(MUST, HEAVY)
        state = word.width(shown(band.word)) + code.width(band.code)
        labelled = (
            (say("NEXT"), (slim.next_code, slim.next_right)),
            (say("PEDAL"), (self.view.off or slim.pedal,)),
        )
        return [
            px(4.4 + 8.6 + 2.8) + state + px(3.8) + px(4.0),
            *(
                px(3.4) * 2
                + self._small().width(label)
                + px(2.4)
                + sum(least.width(each) + px(8.0) for each in told if each)
                - px(8.0)
                for label, told in labelled
            ),
        ]

    def _state(self, band: Band, box: QRectF) -> Iterator[Run]:
        """Lay out word, code and time; what has no room is left to the page."""
        inks = inks_of(self.theme.palette, band.word)
        word, code = self.theme.face(READ + 2.0, HEAVY), self.theme.face(MUST, HEAVY)
        plain = self.theme.face(MUST, STRONG)
        left = box.left() + self.theme.px(4.4 + 8.6 + 2.8)
        middle = box.center().y()
        ink, ground = inks.letters, inks.ground
        told = shown(band.word)
        yield Run(told, left, middle + word.cap / 2, word, ink, ground, "near")
        left += word.width(told) + self.theme.px(3.8)
        line = middle + code.cap / 2
        if band.code:
            yield Run(band.code, left, line, code, ink, ground, "must")
            left += code.width(band.code) + self.theme.px(4.0)
        right = box.right() - self.theme.px(4.0) - plain.width(band.right)
        if band.right and right >= left:
            yield Run(band.right, right, line, plain, ink, ground, "must")

    def _labelled(
        self, label: Run, words: tuple[str, ...], ink: str, box: QRectF
    ) -> Iterator[Run]:
        """Lay out a label and the words beside it, smaller where they are long."""
        theme, middle, edge = self.theme, box.center().y(), self.theme.px(3.4)
        left = box.left() + edge
        yield replace(label, x=left, baseline=middle + label.face.cap / 2)
        left += label.face.width(label.text) + theme.px(2.4)
        told = tuple(each for each in words if each)
        room, gap = box.right() - edge - left, theme.px(8.0)
        face = _fitting(theme, "  ".join(told), room)
        line = middle + face.cap / 2
        reading = "must" if face.cap >= theme.face(MUST, STRONG).cap else "far"
        for text in told:
            yield Run(text, left, line, face, ink, label.ground, reading)  # type: ignore[arg-type]
            left += face.width(text) + gap


def _fitting(theme: Theme, words: str, room: float) -> Face:
    """Return the largest face in which ``words`` stand in ``room`` pixels."""
    face = theme.face(MUST, STRONG)
    return face if face.width(words) <= room else theme.face(FAR_LEAST, STRONG)


def _shared(wide: list[float], needs: list[float]) -> list[float]:
    """Return widths of which whatever is too narrow takes what others can spare."""
    for narrow in reversed(range(len(wide))):
        for other in range(len(wide)):
            spare = max(0.0, wide[other] - needs[other])
            moved = min(spare, max(0.0, needs[narrow] - wide[narrow]))
            wide[other] -= moved
            wide[narrow] += moved
    return wide
