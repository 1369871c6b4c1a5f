"""Where everything stands: zones that never move, near things that come and go.

Works out one rectangle for each widget that is seen; what has none is hidden. The
status bar, the state band, NEXT, PEDAL and the places are where they always are; the
body between them holds what is now at the left and list, card or map at the right.
"""

from __future__ import annotations

from typing import TypeAlias

from PySide6.QtCore import QRect
from PySide6.QtWidgets import QWidget

from benchassist.ui.page import Page
from benchassist.ui.parts import Drawer, Parts
from benchassist.ui.rail import RAIL_MM
from benchassist.ui.scene import SQUEEZES, Scene, Squeeze
from benchassist.ui.space import Space
from benchassist.ui.theme import Theme
from benchassist.ui.title import TITLE_MM
from benchassist.ui.words import say

Places: TypeAlias = dict[QWidget, QRect]

# [mm of the layout] from here on there are two, three and four columns: screens of
# 1366, 1920 and 2560 pixels have them, one of 1024 has one.
COLUMNS_MM = (300.0, 400.0, 480.0)
COLUMNS = range(1, len(COLUMNS_MM) + 2)  # how many there can be
EDGE_MM = 4.0  # [mm] beside everything but the lines
INDENT_MM = 2.5  # [mm] of words against the band above them
GAP_MM = 9.0  # [mm] between what is now and what stands beside it
SHARES = ((1.0,), (0.5, 0.5), (0.38, 0.34, 0.28), (0.32, 0.3, 0.22, 0.16))
WALK_SHARES = (0.36, 0.4, 0.24)
NARROW_SHARES = (0.46, 0.54)  # one column still sets digits beside map or card


def arranged(parts: Parts, theme: Theme, area: QRect, scene: Scene) -> Arrangement:
    """Return how a scene is placed, near things squeezed until all far ones fit."""
    first, *others = SQUEEZES
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
        self._count = 1

    def place(self, area: QRect) -> None:
        """Place everything in ``area``."""
        self._count = 1 + sum(area.width() >= self._px(mm) for mm in COLUMNS_MM)
        middle = Space(area)
        self.placed[self._parts.status] = middle.take_top(
            self._parts.status.height_for()
        )
        foot = self._parts.foot
        self.placed[foot] = middle.take_foot(foot.height_for(middle.width))
        if self._scene.page is not None:
            self._page(self._scene.page, middle)
        else:
            self._bench(middle)

    @property
    def columns(self) -> int:
        """How many columns the width has room for."""
        return self._count

    def after(self, drawer: int) -> str:
        """Return the name of what the key shows next, after so many drawers."""
        later = self.drawers[drawer : drawer + 1]
        return later[0].name if later else say("Back")

    # --- a page -----------------------------------------------------------------

    def _page(self, page: Page, middle: Space) -> None:
        """Place a page: the slim line over it, the rail of trays under it."""
        parts, edge = self._parts, self._px(EDGE_MM)
        self.placed[parts.rail] = middle.take_foot(parts.rail.height_for())
        inner = middle.inset(edge)
        inner.take_top(self._px(1.0))
        slim = parts.slim.height_for(inner.width)
        self.placed[parts.slim] = inner.take_top(slim, self._px(2.0))
        self.placed[page] = inner.rest()
        if self._view.message:
            # In the place of the page's name: nothing moves, and keys stay free.
            head = Space(inner.rest())
            head.width = page.head_px(head.width)
            height = parts.message.height_for(head.width, self._px(TITLE_MM))
            self.placed[parts.message] = head.take_top(height)
        self._ask(inner)

    # --- the bench --------------------------------------------------------------

    def _bench(self, middle: Space) -> None:
        parts, view = self._parts, self._view
        for line in (parts.pedal, parts.next):
            self.placed[line] = middle.take_foot(line.height_for(middle.width))
        far = Space(middle.rest())
        body = middle.inset(self._px(EDGE_MM))
        body.take_top(self._px(1.5))
        band = parts.band.height_for(body.width)
        self.placed[parts.band] = body.take_top(band, self._px(2.5))
        listed = self._listed()
        if not listed:
            rail = parts.rail.height_for()
            self.placed[parts.rail] = far.take_foot(rail)
            body.take_foot(rail, self._px(1.5))
        if view.undo is not None:
            height = parts.undo.height_for(body.width)
            self.placed[parts.undo] = body.take_foot(height, self._px(2.0))
        whole = Space(body.rest())
        if view.spots is not None:
            self._walk(body)
        elif view.light is not None:
            self._light(body)
        else:
            self._overview(body)
        self._ask(whole)

    def _listed(self) -> bool:
        """Say whether the list has a column; else the rail stands for it."""
        view = self._view
        if view.spots is not None or view.light is not None:
            return False
        return self._count > 1 and (view.card is None or self._count > 3)  # noqa: PLR2004 - the fourth column

    def _said(self, column: Space) -> None:
        """Place the last sentence at the foot of what is now; near things give way."""
        message = self._parts.message
        if self._view.message:
            height = message.height_for(column.width, self._px(RAIL_MM))
            self.placed[message] = column.take_foot(height, self._px(2.0))

    def _ask(self, body: Space) -> None:
        """Lay the field that an option needs over a card's options, or what can wait.

        What the card says stays whole: it is what is answered, or signed.
        """
        entry, card = self._parts.entry, self._parts.card
        if entry.option is None:
            return
        rect = self.placed.get(card)
        if rect is None:
            over = Space(body.rest())
            self.placed[entry] = over.take_foot(entry.height_for(over.width))
            return
        options = card.options_height(rect.width())
        height = max(entry.height_for(rect.width()), options)
        above = rect.adjusted(0, 0, 0, options - height)
        if card.least_height(above.width()) <= above.height():
            self.placed[card] = above
            self.placed[entry] = Space(rect).take_foot(height)
            return
        left = body.columns(SHARES[self._count - 1], self._px(GAP_MM))[0]
        self.placed[entry] = left.take_foot(entry.height_for(left.width))

    def _headline(self, space: Space) -> None:
        headline = self._parts.headline
        inner = space.inset(self._px(INDENT_MM))
        height = headline.height_for(inner.width, quiet=self._squeeze.subline)
        self.placed[headline] = inner.take_top(height)
        space.take_top(height, self._px(2.4))

    def _options(self, space: Space) -> None:
        height = self._parts.options.height_for(space.width)
        if height:
            gap = self._px(1.4)
            self.placed[self._parts.options] = space.take_foot(height, gap)

    def _cautions(self, space: Space) -> None:
        """Place the cautions at the foot, unless far things need the room."""
        if self._view.cautions and self._squeeze.cautions:
            cautions = self._parts.cautions
            inner = space.inset(self._px(INDENT_MM))
            height = cautions.height_for(inner.width)
            self.placed[cautions] = inner.take_foot(height)
            space.take_foot(height, self._px(2.0))

    def _countdown(self, space: Space) -> None:
        """Place the countdown as large as fits."""
        if self._view.countdown is not None:
            countdown = self._parts.countdown
            height = countdown.height_for(space.width, space.height)
            self.placed[countdown] = space.take_top(height, self._px(3.6))
            self.whole &= height <= space.foot - self.placed[countdown].top()
        self.whole &= space.height >= -self._px(3.6)

    def _walk(self, body: Space) -> None:
        """Place a spot walk: headline, countdown, this patch and the whole coat."""
        parts, spots = self._parts, self._view.spots
        self._headline(body)
        self._options(body)
        gap = self._px(3.0)
        in_one = spots is None or spots.last - spots.first == len(spots.states)
        shares: tuple[float, ...] = (0.36, 0.64) if in_one else WALK_SHARES
        if self._count == 1:
            shares = NARROW_SHARES
        left, segment, *coat = body.columns(shares, gap)
        maps = Space(
            QRect(segment.x, body.top, body.x + body.width - segment.x, body.height)
        )
        self._said(maps)
        for column in (segment, *coat):
            column.foot = maps.foot
        self.placed[parts.segment] = segment.rest()
        if coat:
            self.placed[parts.coat] = coat[0].rest()
        inset = self._px(INDENT_MM)
        left = left.inset(inset)
        if spots is not None and spots.wet_text:
            height = parts.wet.height_for(left.width)
            self.placed[parts.wet] = left.take_foot(height, self._px(2.0))
        if self._view.countdown is None:
            self._panels(Space(left.rest().adjusted(-inset, 0, inset, 0)))
        self._countdown(left)

    def _light(self, body: Space) -> None:
        """Place a light check: headline at the left, the check around it."""
        parts = self._parts
        inner = body.inset(self._px(INDENT_MM))
        left, right = inner.columns((0.5, 0.5), self._px(GAP_MM))
        foot = right.foot
        self._options(right)
        parts.light.options_px = foot - right.foot
        top = left.top
        height = parts.headline.height_for(left.width)
        self.placed[parts.headline] = left.take_top(height, self._px(2.4))
        parts.light.headline_px = left.top - top
        self._said(left)
        parts.light.foot_px = foot - left.foot
        self.placed[parts.light] = inner.rest()
        self.whole = left.height > 0

    def _overview(self, body: Space) -> None:
        """Place the bench while no lamp is in hand."""
        card = self._view.card
        left, *others = body.columns(SHARES[self._count - 1], self._px(GAP_MM))
        if not others:
            self._narrow(left)
            return
        right, *more = others
        spare = None
        opened = not more and self._open(right)
        if card is not None and not opened:
            self.placed[self._parts.card] = right.rest()
        elif not opened:
            self._rows(right)
            spare = right
        if more:
            why = more[-1]
            self._why(why)
            spare = None if card is not None and len(more) == 1 else spare
        if len(more) > 1:
            self._rows(more[0]) if card is not None else self._beside(more[0])
        self._left(left, spare)
        self.drawers = self.drawers or self._drawers()

    def _beside(self, column: Space) -> None:
        """Fill a fourth column with the day, or with what the others leave out."""
        day = self._parts.day
        if day.view is not None and day.view.rows:
            self.placed[day] = column.rest()
        elif self._view.panels:
            panels = self._parts.all_panels
            self.placed[panels] = column.take_top(
                panels.height_for(column.width, column.height)
            )

    def _narrow(self, column: Space) -> None:
        """Place everything in one column, no list; digits stand beside a card."""
        view, gap = self._view, self._px(3.0)
        card, options = self._parts.card, self._parts.options
        left = right = column
        beside = view.card is not None and view.countdown is not None
        if beside:
            indent = 2 * self._px(INDENT_MM)
            least = self._parts.countdown.least_width() + indent
            share = max(NARROW_SHARES[0], least / max(1, column.width - gap))
            left, right = column.columns((share, 1.0 - share), gap)
            need = card.least_height(right.width) + options.height_for(right.width)
            over = self._parts.headline.height_for(column.width) + gap
            over += self._parts.countdown.height_for(column.width, 0) + gap
            over += options.height_for(column.width)
            under = over + card.least_height(column.width)
            beside = need <= right.height or under > column.height
        if beside:
            column = right
            self._headline(left)
            self._countdown(left.inset(self._px(INDENT_MM)))
        else:
            self._headline(column)
        self._options(column)
        if view.card is not None and view.countdown is not None and not beside:
            # The digits over the card, which is wide enough for all of its words so.
            room = Space(column.inset(self._px(INDENT_MM)).rest())
            room.foot -= card.least_height(column.width) + gap
            top = room.top
            self._countdown(room)
            column.take_top(room.top - top)
        self._said(column)
        if self._open(column):
            return
        if view.card is not None:
            self.placed[self._parts.card] = column.rest()
            least = self._parts.card.least_height(column.width)
            self.whole &= least <= column.height
            return
        self._cautions(column)
        self._panels(column)
        self._countdown(Space(column.inset(self._px(INDENT_MM)).rest()))

    def _drawers(self) -> tuple[Drawer, ...]:
        return tuple(
            drawer
            for drawer in self._parts.drawers(self._view, folded=self._folded)
            if drawer.widget not in self.placed
        )

    def _open(self, column: Space) -> bool:
        """Place the drawer that is open; say whether one is."""
        number = self._scene.drawer
        if not number:
            return False
        self._folded = True  # which panels fit is seen once they are placed
        self.drawers = self._drawers()
        if not 0 < number <= len(self.drawers):
            return False
        self.placed[self.drawers[number - 1].widget] = column.rest()
        return True

    def _left(self, column: Space, spare: Space | None) -> None:
        """Place headline and countdown, then the panels that fit."""
        self._headline(column)
        self._options(column)
        self._said(column)
        self._cautions(column)
        if self._squeeze.panels:
            # A stop, a deviation or a warning has its room before the way has.
            view = self._view
            pressing = view.band.word == "STOP" or any(p.verdict for p in view.panels)
            if not pressing:
                self._way(column)
            self._panels(column, spare)
            if pressing:
                self._way(column)
        self._countdown(Space(column.inset(self._px(INDENT_MM)).rest()))

    def _way(self, column: Space) -> None:
        """Place the part's way at the foot, where the countdown leaves it room."""
        view = self._view
        strip, gap, least = self._parts.way, self._px(2.4), 0
        if view.countdown is not None:
            least = self._parts.countdown.least_height(column.width) + self._px(3.0)
        if view.way and column.height - least >= strip.height_for() + gap:
            self.placed[strip] = column.take_foot(strip.height_for(), gap)

    def _panels(self, column: Space, spare: Space | None = None) -> None:
        """Place the panels under the headline, or under the least countdown."""
        panels, gap, least = self._parts.panels, self._px(3.0), 0
        if self._parts.all_panels in self.placed:
            return
        if self._view.countdown is not None:
            inner = column.inset(self._px(INDENT_MM)).width
            least = self._parts.countdown.least_height(inner) + gap
        room = column.height - least
        folded = panels.folded(column.width, room)
        if folded and spare and panels.folded(spare.width, spare.height) < folded:
            folded = panels.folded(spare.width, spare.height)
            height = panels.height_for(spare.width, spare.height)
            self.placed[panels] = spare.take_top(height)
        elif height := panels.height_for(column.width, room):
            take = column.take_foot if self._view.countdown else column.take_top
            self.placed[panels] = take(height, gap)
        self._folded = folded > 0

    def _why(self, column: Space) -> None:
        """Fill the last column of a wide screen with reasons: dose and gates."""
        parts, gap = self._parts, self._px(3.0)
        if self._view.bars:
            height = parts.bars.height_for(column.width)
            if height <= column.height:
                self.placed[parts.bars] = column.take_top(height, gap)
        if self._view.gates:
            height = parts.gates.height_for(column.width)
            self.placed[parts.gates] = column.take_top(min(height, column.height), gap)
        if self._count == 3 and self._view.panels:  # noqa: PLR2004 - no fourth column
            panels = parts.all_panels
            height = panels.height_for(column.width, column.height)
            if height and not panels.folded(column.width, column.height):
                self.placed[panels] = column.take_top(height)

    def _rows(self, column: Space) -> None:
        """Place the list, as high as it needs."""
        rows = self._parts.rows
        height = rows.height_for(column.width, column.height)
        self.placed[rows] = column.take_top(height, self._px(3.0))
