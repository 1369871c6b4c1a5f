"""Where everything stands: far things keep their millimetres, near things give way.

Works out one rectangle for each widget that is seen; what has none is hidden.
"""

from __future__ import annotations

from typing import TypeAlias

from PySide6.QtCore import QRect
from PySide6.QtWidgets import QWidget

from benchassist.ui.parts import Drawer, Parts
from benchassist.ui.scene import SQUEEZES, WITH_CARD, Scene, Squeeze
from benchassist.ui.theme import Theme

Places: TypeAlias = dict[QWidget, QRect]

THREE_COLUMNS_MM = 400.0  # [mm] from here on near things get a column of their own
TITLE_MM = 8.4  # [mm] of the title above the list
LEAST_MESSAGE_MM = 80.0  # [mm] of a message in the band; a choice
INDENT_MM = 2.5  # [mm] of words against the band above them


class Space:
    """A rectangle from which pieces are taken at the top and at the foot."""

    def __init__(self, rect: QRect) -> None:
        self.x, self.width = rect.x(), rect.width()
        self.top, self.foot = rect.y(), rect.y() + rect.height()

    @property
    def height(self) -> int:
        """What is left, in pixels; negative where too much was taken."""
        return self.foot - self.top

    def rest(self) -> QRect:
        """Return what is left."""
        return QRect(self.x, self.top, self.width, max(0, self.height))

    def take_top(self, height: int, gap: int = 0) -> QRect:
        """Take a piece at the top, and a gap below it."""
        piece = QRect(self.x, self.top, self.width, height)
        self.top += height + gap
        return piece

    def take_foot(self, height: int, gap: int = 0) -> QRect:
        """Take a piece at the foot, and a gap above it."""
        self.foot -= height + gap
        return QRect(self.x, self.foot + gap, self.width, height)

    def inset(self, by: int) -> Space:
        """Return the same space, narrower by ``by`` at both sides."""
        return Space(self.rest().adjusted(by, 0, -by, 0))

    def columns(self, shares: tuple[float, ...], gap: int) -> list[Space]:
        """Split what is left into columns."""
        whole = self.width - gap * (len(shares) - 1)
        spaces, x = [], self.x
        for share in shares:
            width = round(whole * share)
            spaces.append(Space(QRect(x, self.top, width, max(0, self.height))))
            x += width + gap
        return spaces


def arranged(parts: Parts, theme: Theme, area: QRect, scene: Scene) -> Arrangement:
    """Return how a scene is placed, near things squeezed until all far ones fit."""
    first, *others = SQUEEZES if scene.view.card is None else WITH_CARD
    tried = Arrangement(parts, theme, scene, first)
    tried.place(area)
    for squeeze in others:
        if tried.whole:
            break
        tried = Arrangement(parts, theme, scene, squeeze)
        tried.place(area)
    return tried


class Arrangement:
    """One way to place a scene.

    ``placed`` says where each widget stands, ``whole`` whether all far things fitted,
    ``drawers`` what can be shown instead of the list.
    """

    def __init__(
        self, parts: Parts, theme: Theme, scene: Scene, squeeze: Squeeze
    ) -> None:
        self._parts = parts
        self._px = theme.px
        self._scene = scene
        self._view = scene.view
        self._squeeze = squeeze
        self.placed: Places = {}
        self.whole = True
        self.drawers: tuple[Drawer, ...] = ()
        self._folded = False
        self._spare: Space | None = None  # under a list that is short

    def place(self, area: QRect) -> None:
        """Place everything in ``area``."""
        middle = self._frame(area)
        page = self._scene.page
        if page is not None:
            self._band(middle)
            self.placed[page] = middle.rest()
            self._message_in_band()
            self._ask(middle)
            return
        self._undo(middle)
        whole = Space(middle.rest())
        if self._view.spots is not None:
            self._walk(middle)
        elif self._view.light is not None:
            self._light(middle)
        else:
            self._overview(middle)
        self._ask(whole)

    def after(self, drawer: int) -> str:
        """Return the name of what the key shows next, after so many drawers."""
        later = self.drawers[drawer : drawer + 1]
        return later[0].name if later else "back"

    def _frame(self, area: QRect) -> Space:
        """Place status bar, NEXT, PEDAL and hints; return what lies between them."""
        parts, whole = self._parts, Space(area)
        status = parts.status.height_for(whole.width)
        self.placed[parts.status] = whole.take_top(status)
        lines = [parts.pedal, parts.next]
        if self._squeeze.hints:
            hints = parts.hints.height_for(whole.width)
            self.placed[parts.hints] = whole.take_foot(hints)
        for line in lines:
            self.placed[line] = whole.take_foot(line.height_for(whole.width))
        edge = self._px(2.6)
        return Space(whole.rest().adjusted(0, edge, 0, -edge)).inset(self._px(4.0))

    def _undo(self, middle: Space) -> None:
        if self._view.undo is not None:
            undo = self._parts.undo
            height = undo.height_for(middle.width)
            self.placed[undo] = middle.take_foot(height, self._px(2.4))

    def _ask(self, middle: Space) -> None:
        """Lay the field that an option needs over the card, or over what can wait."""
        entry = self._parts.entry
        if entry.option is not None:
            card = self.placed.get(self._parts.card)
            over = Space(card or middle.rest())
            height = entry.height_for(over.width)
            if card is not None:
                height = max(height, self._parts.card.options_height(over.width))
            self.placed[entry] = over.take_foot(height)

    def _message(self, space: Space) -> int:
        """Place the message over the foot of ``space``; return how much it covers."""
        message = self._parts.message
        if not self._view.message:
            return 0
        height = message.height_for(space.width)
        self.placed[message] = Space(space.rest()).take_foot(height)
        return height + self._px(2.0)

    def _message_in_band(self) -> None:
        """Place the message between word and code: a page keeps all of its keys."""
        band, message = self._parts.band, self._parts.message
        if not self._view.message:
            return
        rect = self.placed[band]
        left, right = band.gap(rect.width())
        width = max(right - left, self._px(LEAST_MESSAGE_MM))
        height = message.height_for(width)
        top = rect.top() + max(0, (rect.height() - height) // 2)
        self.placed[message] = QRect(rect.left() + left, top, width, height)

    def _band(self, space: Space) -> None:
        band = self._parts.band
        height = band.height_for(space.width)
        self.placed[band] = space.take_top(height, self._px(2.6))

    def _headline(self, space: Space) -> None:
        headline = self._parts.headline
        inner = space.inset(self._px(INDENT_MM))
        height = headline.height_for(inner.width)
        self.placed[headline] = inner.take_top(height)
        space.take_top(height, self._px(3.2))

    def _options(self, space: Space) -> None:
        height = self._parts.options.height_for(space.width)
        if height:
            gap = self._px(1.4)
            self.placed[self._parts.options] = space.take_foot(height, gap)

    def _cautions(self, space: Space) -> None:
        """Place the cautions across the foot, unless far things need the room."""
        if self._view.cautions and self._squeeze.cautions:
            cautions = self._parts.cautions
            inner = space.inset(self._px(INDENT_MM))
            height = cautions.height_for(inner.width)
            self.placed[cautions] = inner.take_foot(height)
            space.take_foot(height, self._px(2.0))

    def _countdown(self, space: Space, keep: int = 0) -> None:
        """Place the countdown as large as fits, leaving ``keep`` pixels below it."""
        if self._view.countdown is not None:
            countdown = self._parts.countdown
            room = space.height - keep
            height = countdown.height_for(space.width, room)
            self.placed[countdown] = space.take_top(height, self._px(3.6))
            self.whole &= height <= space.foot - self.placed[countdown].top()
        self.whole &= space.height >= -self._px(3.6)

    def _walk(self, middle: Space) -> None:
        """Place a spot walk: band, headline, countdown, segment and coat."""
        parts, spots = self._parts, self._view.spots
        self._band(middle)
        self._headline(middle)
        self._options(middle)
        gap = self._px(4.0)
        in_one = spots is None or spots.last - spots.first == len(spots.states)
        shares = (0.36, 0.64) if in_one else (0.36, 0.4, 0.24)
        left, *right = middle.columns(shares, gap)
        beside = Space(middle.rest().adjusted(left.width + gap, 0, 0, 0))
        covered = self._message(beside)
        for column in right:
            column.take_foot(covered)
        segment, *coat = right
        self.placed[parts.segment] = segment.rest()
        if coat:
            self.placed[parts.coat] = coat[0].rest()
        inset = self._px(INDENT_MM)
        left = left.inset(inset)
        if spots is not None and spots.wet_text:
            self.placed[parts.wet] = left.take_foot(parts.wet.height_for(), gap)
        if self._view.countdown is None:
            self._panels(Space(left.rest().adjusted(-inset, 0, inset, 0)))
        self._countdown(left)

    def _light(self, middle: Space) -> None:
        """Place a light check: band, headline at the left, the check around it."""
        parts = self._parts
        self._band(middle)
        middle.take_foot(self._message(middle))
        inner = middle.inset(self._px(INDENT_MM))
        left, right = inner.columns((0.5, 0.5), self._px(10.0))
        foot = right.foot
        self._options(right)
        parts.light.options_px = foot - right.foot
        top = left.top
        height = parts.headline.height_for(left.width)
        self.placed[parts.headline] = left.take_top(height, self._px(3.0))
        parts.light.headline_px = left.top - top
        self.placed[parts.light] = inner.rest()
        self.whole = left.height > 0

    def _overview(self, middle: Space) -> None:
        """Place the bench while no lamp is in hand."""
        view, parts = self._view, self._parts
        if view.message and view.card is None:
            # Over the list and the panels; but options must stay in sight.
            covered = self._message(middle)
            middle.take_foot(covered if view.options else 0)
        across = self._squeeze.across
        loud = view.band.word in ("DO", "STOP") and view.card is None
        if across or loud:
            self._band(middle)
        if across:
            self._headline(middle)
        if not self._squeeze.near:
            self._left(middle)
            return
        near = bool(view.card or view.bars or view.gates)
        wide = near and middle.width >= self._px(THREE_COLUMNS_MM)
        shares: tuple[float, ...] = (0.515, 0.485)
        if wide:
            shares = (0.4, 0.32, 0.28) if view.card else (0.4, 0.27, 0.33)
        left, right, *third = middle.columns(shares, self._px(4.5))
        last = third[0] if third else right
        listed = bool(third) or view.card is None
        if listed and not self._scene.drawer:
            self._rows(last)
            self._spare = last
        self._left(left)
        if view.card is None and wide:
            self._ledger(right)
        opened = self._open(last)
        if listed and self._scene.drawer and not opened:
            self._rows(last)
        if view.card is not None and not (opened and last is right):
            right.take_foot(self._message(right))
            self.placed[parts.card] = right.rest()

    def _open(self, column: Space) -> bool:
        """Place the drawer that is open; say whether one is."""
        self.drawers = tuple(
            drawer
            for drawer in self._parts.drawers(self._view, folded=self._folded)
            if drawer.widget not in self.placed
        )
        number = self._scene.drawer
        if not 0 < number <= len(self.drawers):
            return False
        self.placed[self.drawers[number - 1].widget] = column.rest()
        return True

    def _left(self, column: Space) -> None:
        """Place band and headline, countdown, then the panels that fit."""
        parts, view = self._parts, self._view
        if parts.band not in self.placed:
            self._band(column)
        if parts.headline not in self.placed:
            self._headline(column)
        self._options(column)
        if view.card is not None or not view.message:
            self._cautions(column)
        self._panels(column)
        self._countdown(Space(column.inset(self._px(INDENT_MM)).rest()))

    def _panels(self, column: Space) -> None:
        """Place the panels under the headline, or under the least countdown."""
        panels, gap, least = self._parts.panels, self._px(3.0), 0
        if self._view.countdown is not None:
            inner = column.inset(self._px(INDENT_MM)).width
            least = self._parts.countdown.least_height(inner) + gap
        room, spare = column.height - least, self._spare
        folded = panels.folded(column.width, room)
        if folded and spare and panels.folded(spare.width, spare.height) < folded:
            folded = panels.folded(spare.width, spare.height)
            height = panels.height_for(spare.width, spare.height)
            self.placed[panels] = spare.take_top(height)
        elif height := panels.height_for(column.width, room):
            take = column.take_foot if self._view.countdown else column.take_top
            self.placed[panels] = take(height, gap)
        self._folded = folded > 0

    def _ledger(self, column: Space) -> None:
        """Fill the middle column of a wide screen with ledger and gates."""
        parts, gap = self._parts, self._px(3.0)
        if self._view.bars:
            height = parts.bars.height_for(column.width)
            if height <= column.height:
                self.placed[parts.bars] = column.take_top(height, gap)
        if self._view.gates:
            height = parts.gates.height_for(column.width)
            self.placed[parts.gates] = column.take_top(min(height, column.height))

    def _rows(self, column: Space) -> None:
        """Place the list and its title; an empty list leaves its room to the title."""
        parts = self._parts
        if not parts.rows.count():
            self.placed[parts.rows_title] = column.rest()
            return
        self.placed[parts.rows_title] = column.take_top(self._px(TITLE_MM))
        height = parts.rows.height_for(column.height)
        self.placed[parts.rows] = column.take_top(height)
