"""The straw frame: Tab moves it over all that can be done, Enter does it.

Exactly one thing is framed, on the bench and on every page; a page of rows or fields
frames them itself. Arrows walk among what has a key, where the page wants none. The
frame lies over the widgets and takes no finger. It keeps nothing that leads back to it
or to its bench: a circle would be collected in the middle of somebody's painting, and
the program ends there.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Literal, TypeAlias

from PySide6.QtCore import QPoint, QRect, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from benchassist.domain.commands import Command
from benchassist.ui.foot import Foot
from benchassist.ui.hands import AnyButton, Hands
from benchassist.ui.page import Page
from benchassist.ui.parts import Parts
from benchassist.ui.rail import Rail
from benchassist.ui.rows import RowList
from benchassist.ui.theme import Theme
from benchassist.ui.view import BenchView
from benchassist.value import value

STEPS = {"Tab": 1, "Backtab": -1}
ARROWS = {"Right": (1, 0), "Left": (-1, 0), "Down": (0, 1), "Up": (0, -1)}
EDGE_PX = 4.5  # thicker than any other edge: through amber colour tells nothing
ENTER, BACK = "Enter", "place Esc"


Boxed: TypeAlias = RowList | Rail | Foot | Page


@value
class Stop:
    """Something that can be done: its name, where it stands, its key, part or place.

    An ``act`` is a key that tells something at once, with no hold and nothing asked.
    ``told`` are its words: the same key with other words is another thing.

    Plain values: what holds a signal or a widget in a circle outlives its window.
    """

    name: str
    where: QRect
    kind: Literal["key", "act", "row", "part", "place"]
    what: str
    told: str = ""


_NONE = Stop("", QRect(), "place", "")


class Ring(QWidget):
    """What is framed, and the way round.

    Signals: ``picked(str)`` the code of a part; ``gone(str)`` the key of a place.
    """

    picked = Signal(str)
    gone = Signal(str)

    def __init__(
        self, theme: Theme, parts: Parts, hands: Hands, bench: QWidget
    ) -> None:
        super().__init__(bench)
        self._theme, self._parts, self._hands = theme, parts, hands
        self._stops: tuple[Stop, ...] = ()
        self._chosen = _NONE  # by Tab or an arrow; else what Enter usually does
        self._front = ("", "")  # the part in front, the page over it
        self._asked = ""  # the one thing that a card asks for, where it holds nothing
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)

    def set_theme(self, theme: Theme) -> None:
        """Draw in another theme."""
        self._theme = theme
        self.update()

    def show_view(self, view: BenchView, page: Page | None, *, on: bool) -> None:
        """Frame what Enter does at this look; a choice lasts while its thing does."""
        front = view.band.code, page.accessibleName() if page else ""
        if front != self._front:
            self._front, self._chosen = front, _NONE
        options = view.card.options if view.card and page is None else ()
        alone = len(options) == 1 and not options[0].hold
        self._asked = f"key {options[0].key}" if alone else ""
        on = on and (page is None or not page.frames)
        self._stops = tuple(self._found(view, page)) if on else ()
        framed = self.framed
        self.setVisible(framed is not None)
        if framed is None:
            return
        self.setGeometry(framed.where.adjusted(-1, -1, 1, 1))
        self.raise_()

    @property
    def stops(self) -> tuple[Stop, ...]:
        """All that can be done, in reading order."""
        return self._stops

    @property
    def framed(self) -> Stop | None:
        """The one thing that Enter does."""
        by_name = {stop.name: stop for stop in self._stops}
        usual: tuple[str, ...] = ("front", self._first("part"), "place N")
        if BACK in by_name:
            # On a page nothing is told, begun or brought forward unless it was chosen.
            key = self._first("key", "act") or self._first("row")
            usual = ("" if by_name.get(key, _NONE).kind == "act" else key, BACK)
        chosen = by_name.get(self._chosen.name)
        if chosen is not None and chosen.told == self._chosen.told:
            return chosen
        usual = (f"key {ENTER}", self._asked, *usual)
        return next((by_name[name] for name in usual if name in by_name), None)

    def _first(self, *kinds: str) -> str:
        return next((stop.name for stop in self._stops if stop.kind in kinds), "")

    def key(self, key: str, view: BenchView, page: Page | None) -> bool:
        """Move the frame, or do what is framed; say whether the key was ours."""
        framed = self.framed
        if framed is None or (key not in STEPS and key != ENTER):
            return False
        if key == ENTER:
            self._do(framed, view, page)
            return True
        at = self._stops.index(framed)
        if page is not None and self._chosen is _NONE and at:
            at = -1 if STEPS[key] > 0 else 0  # a page is walked from its first
        self._chosen = self._stops[(at + STEPS[key]) % len(self._stops)]
        self.show_view(view, page, on=True)
        return True

    def arrow(self, key: str) -> bool:
        """Move the frame among what has a key; say whether the key was an arrow."""
        keyed = [stop for stop in self._stops if stop.kind in ("key", "act")]
        if key not in ARROWS or not keyed:
            return False
        at = self.framed if self.framed in keyed else None
        across, down = ARROWS[key]

        def far(stop: Stop) -> tuple[bool, int]:
            """Return how far it lies that way; what lies behind, round the corner."""
            d = stop.where.center() - (at or stop).where.center()
            ahead, aside = d.x() * across + d.y() * down, d.x() * down + d.y() * across
            return ahead <= 0, ahead + 3 * abs(aside)

        others = [stop for stop in keyed if stop is not at]
        self._chosen = min(others, key=far) if others and at else keyed[0]
        return True  # shown at the next look

    @property
    def _around(self) -> QWidget:
        """The bench that the frame lies over."""
        bench = self.parentWidget()
        assert bench is not None  # noqa: S101 - it is made with one
        return bench

    def _do(self, stop: Stop, view: BenchView, page: Page | None) -> None:
        match stop.kind:
            case "row":
                if page is not None:
                    page.pick(stop.what)
            case "part":
                self.picked.emit(stop.what)
            case "place":
                self.gone.emit(stop.what)
            case _:
                for button in self._buttons(view, page):
                    option = button.option
                    if option is not None and stop.what in (option.key, option.text):
                        self._hands.press(button, ENTER)
                        return

    # --- what there is ----------------------------------------------------------

    def _buttons(self, view: BenchView, page: Page | None) -> Sequence[AnyButton]:
        return page.buttons() if page else self._parts.buttons(view)

    def _found(self, view: BenchView, page: Page | None) -> Iterator[Stop]:
        """Yield what can be done: the left half, the right, rail, places."""
        middle = self._around.width() // 2
        buttons = [(self._box(each), each) for each in self._buttons(view, page)]
        shown = [(box, each) for box, each in buttons if each.isVisible()]
        # A page reads in lines, the bench in halves.
        shown.sort(key=lambda p: (not page and p[0].center().x() > middle, *_at(p[0])))
        if page is not None:
            for code, row in self._moved(page):
                yield Stop(f"row {code}", row, "row", code)
        for box, button in shown:
            if (option := button.option) is not None:
                asks = option.hold or option.needs_number or option.needs_text
                tells = isinstance(option.command, Command) and not asks
                kind: Literal["key", "act"] = "act" if tells else "key"
                key = option.key or option.text
                yield Stop(f"key {key}", box, kind, key, option.text)
        rows, rail, foot = self._parts.rows, self._parts.rail, self._parts.foot
        front, band = view.band.code, self._parts.band
        listed = [
            pair
            for widget in (rows, rail)
            if widget.isVisible()
            for pair in self._moved(widget)
        ]
        if band.isVisible() and front and front not in dict(listed):
            yield Stop("front", band.geometry(), "part", front)  # it has no tray
        for code, box in listed:
            yield Stop("front" if code == front else f"part {code}", box, "part", code)
        for key, box in self._moved(foot):
            yield Stop(f"place {key}", box, "place", key)

    def _box(self, button: AnyButton) -> QRect:
        return QRect(button.mapTo(self._around, QPoint(0, 0)), button.size())

    def _moved(self, widget: Boxed) -> Iterator[tuple[str, QRect]]:
        """Yield what a widget has to tap, where it stands on the bench."""
        corner = widget.mapTo(self._around, QPoint(0, 0))
        for name, cell in widget.boxes():
            yield name, cell.toRect().translated(corner)

    def paintEvent(self, _event: QPaintEvent) -> None:  # noqa: N802
        """Draw the frame."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(QColor(self._theme.palette.attention), EDGE_PX))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        half, radius = EDGE_PX / 2, self._theme.px(2.0)
        box = QRectF(self.rect()).adjusted(half, half, -half, -half)
        painter.drawRoundedRect(box, radius, radius)
        painter.end()


def _at(box: QRect) -> tuple[int, int]:
    return box.top(), box.left()
