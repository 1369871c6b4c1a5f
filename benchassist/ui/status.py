"""The status bar: when, who, with what; the store's mark; the light so far."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QPainter, QPen

from benchassist.ui.paint import Painted, Run, elided
from benchassist.ui.theme import NEAR, STRONG
from benchassist.value import value


@value
class Status:
    """What the bar says: each item by what it is for.

    ``alarms`` stand as long as they are true: they are never pushed out by others.
    ``past`` says that the words at the right are an alarm too.
    """

    who_when: tuple[str, ...]
    alarms: tuple[str, ...]
    things: tuple[str, ...]
    mark: str
    right: str
    past: bool = False


STATUS_MM = 9.1  # [mm] of the bar on every screen


class StatusBar(Painted[Status]):
    """One line, from which things give way: no alarm moves the page under it."""

    def spoken(self, view: Status) -> str:
        """Return all items."""
        items = (*view.who_when, *view.alarms, *view.things, view.mark, view.right)
        return ". ".join(item for item in items if item)

    def height_for(self) -> int:
        """Return the height of the bar, whatever it says."""
        return self.theme.px(STATUS_MM)

    def lay(self, view: Status) -> Iterator[Run]:
        """Lay out the mark first, then the words at the right, then the items."""
        theme, palette = self.theme, self.theme.palette
        strong, plain = theme.face(NEAR, STRONG), theme.face(NEAR)
        edge = gap = theme.px(5.0)
        line, ground = (theme.px(STATUS_MM) + strong.cap) / 2, palette.card
        pill = strong.width(view.mark) + theme.px(6.0) + gap if view.mark else 0.0

        def room(right: str, alarms: tuple[str, ...]) -> float:
            """Return what is left between those who must stand and the right words."""
            must = sum(strong.width(text) + gap for text in (*view.who_when, *alarms))
            used = 2 * edge + plain.width(right) + gap * bool(right) + pill + must - gap
            return self.width() - used

        tried = list(_said(view))
        right, alarms = next((each for each in tried if room(*each) >= 0), tried[-1])
        right_x = self.width() - edge - plain.width(right)
        limit = right_x - pill - gap * bool(right)
        must = [(text, palette.ink) for text in view.who_when]
        must += [(text, palette.attention) for text in alarms]
        x, items = float(edge), []
        for text, ink in must:
            told = elided(text, strong, limit - x)
            if not told:
                break
            items.append(Run(told, x, line, strong, ink, ground))
            x = items[-1].rect.right() + gap
        for text in view.things:
            if x + plain.width(text) <= limit:
                items.append(Run(text, x, line, plain, palette.quiet, ground))
                x = items[-1].rect.right() + gap
        if view.mark:
            left = (x - gap + right_x - strong.width(view.mark)) / 2
            yield Run(view.mark, left, line, strong, palette.ink, ground)
        if right:
            ink = palette.attention if view.past else palette.quiet
            yield Run(right, right_x, line, plain, ink, ground)
        yield from items

    def draw(self, painter: QPainter, view: Status) -> None:
        """Draw the ground and the outline of the mark."""
        palette = self.theme.palette
        painter.fillRect(self.rect(), QColor(palette.card))
        if not view.mark:
            return
        box = self.runs()[0].capitals
        side, rise = self.theme.px(3.0), self.theme.px(1.5)
        box.adjust(-side, -rise, side, rise)
        painter.setPen(QPen(QColor(palette.ink), 1.6))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRoundedRect(box, box.height() / 2, box.height() / 2)


def _said(view: Status) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Yield the words at the right and the alarms, shorter from one to the next.

    What an alarm is stays to the last; what to do about it stands in band and list,
    too. Light that is past its limit is an alarm itself.
    """
    short = tuple(text.split(": ")[0] for text in view.alarms)
    first = (*short[:1], *view.alarms[1:])
    right = view.right.split(";")[0]
    right = right.split(". ")[-1] if view.past else right.split(": ")[0]
    yield view.right, view.alarms
    yield right, view.alarms
    yield right, first
    if not view.past:
        yield view.right.split(". ")[0], first
        yield "", first
    yield right if view.past else "", short
