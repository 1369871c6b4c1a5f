"""Where everything stands: far things keep their millimetres, near things give way.

Works out one rectangle for each widget that is seen; what has none is hidden.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TypeAlias

from PySide6.QtCore import QRect
from PySide6.QtWidgets import QWidget

from benchassist.ui.parts import Parts
from benchassist.ui.theme import Theme
from benchassist.ui.view import BenchView

Places: TypeAlias = dict[QWidget, QRect]

THREE_COLUMNS_MM = 400.0  # [mm] from here on near things get a column of their own
TITLE_MM = 8.4  # [mm] of the title above the list
# Far things across the whole width; without hints and cautions; without the list.
ACROSS, BARE, ALONE = 1, 2, 3


@dataclass(frozen=True)
class Scene:
    """What is to be placed: the view, and what the hands have opened."""

    view: BenchView
    page: QWidget | None
    drawer: int


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


def places(parts: Parts, theme: Theme, area: QRect, scene: Scene) -> Places:
    """Return where each widget stands, squeezing near things until far ones fit."""
    placed: Places = {}
    for squeeze in range(ALONE + 1):
        arrangement = Arrangement(parts, theme, scene, squeeze)
        placed = arrangement.place(area)
        if arrangement.whole:
            break
    return placed


class Arrangement:
    """One way to place a scene; ``whole`` says whether all far things fitted."""

    def __init__(self, parts: Parts, theme: Theme, scene: Scene, squeeze: int) -> None:
        self._parts = parts
        self._px = theme.px
        self._scene = scene
        self._view = scene.view
        self._squeeze = squeeze
        self._placed: Places = {}
        self.whole = True

    def place(self, area: QRect) -> Places:
        """Return where each widget stands in ``area``."""
        middle = self._frame(area)
        page = self._scene.page
        if page is not None:
            self._band(middle)
            self._placed[page] = middle.rest()
            return self._placed
        self._undo(middle)
        whole = Space(middle.rest())
        if self._view.spots is not None:
            self._walk(middle)
        elif self._view.light is not None:
            self._light(middle)
        else:
            self._overview(middle)
        self._ask(whole)
        return self._placed

    def _frame(self, area: QRect) -> Space:
        """Place status bar, NEXT, PEDAL and hints; return what lies between them."""
        parts, whole = self._parts, Space(area)
        status = parts.status.height_for(whole.width)
        self._placed[parts.status] = whole.take_top(status)
        lines = [parts.pedal, parts.next]
        if self._squeeze < BARE:
            hints = parts.hints.height_for(whole.width)
            self._placed[parts.hints] = whole.take_foot(hints)
        for line in lines:
            self._placed[line] = whole.take_foot(line.height_for(whole.width))
        edge = self._px(2.6)
        return Space(whole.rest().adjusted(0, edge, 0, -edge)).inset(self._px(4.0))

    def _undo(self, middle: Space) -> None:
        if self._view.undo is not None:
            undo = self._parts.undo
            height = undo.height_for(middle.width)
            self._placed[undo] = middle.take_foot(height, self._px(2.4))

    def _ask(self, middle: Space) -> None:
        """Lay the field that an option needs over the card, or over what can wait."""
        entry = self._parts.entry
        if entry.option is not None:
            card = self._placed.get(self._parts.card)
            over = Space(card or middle.rest())
            height = entry.height_for(over.width)
            if card is not None:
                height = max(height, self._parts.card.options_height(over.width))
            self._placed[entry] = over.take_foot(height)

    def _message(self, space: Space) -> int:
        """Place the message over the foot of ``space``; return how much it covers."""
        message = self._parts.message
        if not self._view.message:
            return 0
        height = message.height_for(space.width)
        self._placed[message] = Space(space.rest()).take_foot(height)
        return height + self._px(2.0)

    def _band(self, space: Space) -> None:
        band = self._parts.band
        height = band.height_for(space.width)
        self._placed[band] = space.take_top(height, self._px(2.6))

    def _headline(self, space: Space) -> None:
        headline = self._parts.headline
        inner = space.inset(self._px(2.5))
        height = headline.height_for(inner.width)
        self._placed[headline] = inner.take_top(height)
        space.take_top(height, self._px(3.2))

    def _options(self, space: Space) -> None:
        height = self._parts.options.height_for(space.width)
        if height:
            gap = self._px(1.4)
            self._placed[self._parts.options] = space.take_foot(height, gap)

    def _cautions(self, space: Space) -> None:
        """Place the cautions across the foot, unless far things need the room."""
        if self._view.cautions and self._squeeze < BARE:
            cautions = self._parts.cautions
            inner = space.inset(self._px(2.5))
            height = cautions.height_for(inner.width)
            self._placed[cautions] = inner.take_foot(height)
            space.take_foot(height, self._px(2.0))

    def _countdown(self, space: Space, keep: int = 0) -> None:
        """Place the countdown as large as fits, leaving ``keep`` pixels below it."""
        if self._view.countdown is not None:
            countdown = self._parts.countdown
            room = space.height - keep
            height = countdown.height_for(space.width, room)
            self._placed[countdown] = space.take_top(height, self._px(3.6))
            self.whole &= height <= space.foot - self._placed[countdown].top()
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
        self._placed[parts.segment] = segment.rest()
        if coat:
            self._placed[parts.coat] = coat[0].rest()
        left = left.inset(self._px(2.5))
        if spots is not None and spots.wet_text:
            self._placed[parts.wet] = left.take_foot(parts.wet.height_for(), gap)
        self._countdown(left)

    def _light(self, middle: Space) -> None:
        """Place a light check: band, headline at the left, the check around it."""
        parts = self._parts
        self._band(middle)
        self._options(middle)
        middle.take_foot(self._message(middle))
        left = middle.inset(self._px(2.5)).columns((0.5, 0.5), self._px(10.0))[0]
        top = left.top
        height = parts.headline.height_for(left.width)
        self._placed[parts.headline] = left.take_top(height, self._px(3.0))
        parts.light.headline_px = left.top - top
        self._placed[parts.light] = middle.inset(self._px(2.5)).rest()
        self.whole = left.height > 0

    def _overview(self, middle: Space) -> None:
        """Place the bench while no lamp is in hand."""
        view, parts = self._view, self._parts
        if not view.message:
            self._cautions(middle)
        elif view.card is None:
            # Over the list and the panels; but options must stay in sight.
            covered = self._message(middle)
            middle.take_foot(covered if view.options else 0)
        loud = view.band.word in ("DO", "STOP") and view.card is None
        across = loud or self._squeeze >= ACROSS
        if across:
            self._band(middle)
            self._headline(middle)
        if self._squeeze >= ALONE and view.card is None:
            self._left(middle, across=across)
            return
        near = bool(view.card or view.bars or view.gates)
        wide = near and middle.width >= self._px(THREE_COLUMNS_MM)
        shares: tuple[float, ...] = (0.515, 0.485)
        if wide:
            shares = (0.4, 0.34, 0.26) if view.card else (0.4, 0.3, 0.3)
        left, right, *third = middle.columns(shares, self._px(4.5))
        self._left(left, across=across)
        rows: Space | None = third[0] if third else right
        if view.card is not None:
            right.take_foot(self._message(right))
            self._placed[parts.card] = right.rest()
        elif third:
            self._ledger(right)
        elif self._scene.drawer and near:
            self._drawer(right)
            rows = None
        if rows is not None and (third or view.card is None):
            self._rows(rows)

    def _left(self, column: Space, *, across: bool) -> None:
        """Place band, headline, countdown, then the panels that fit."""
        parts, view = self._parts, self._view
        if not across:
            self._band(column)
            self._headline(column)
        self._options(column)
        least = parts.countdown.least_height() if view.countdown else 0
        gap = self._px(3.0)
        room = column.height - least - gap
        panels = parts.panels.height_for(column.width, room) if view.panels else 0
        if panels:
            self._placed[parts.panels] = column.take_foot(panels, gap)
        self._countdown(Space(column.inset(self._px(2.5)).rest()))

    def _ledger(self, column: Space) -> None:
        """Fill the middle column of a wide screen with ledger and gates."""
        parts, gap = self._parts, self._px(3.0)
        if self._view.bars:
            height = parts.bars.height_for(column.width)
            if height <= column.height:
                self._placed[parts.bars] = column.take_top(height, gap)
        if self._view.gates:
            height = parts.gates.height_for(column.width)
            self._placed[parts.gates] = column.take_top(min(height, column.height))

    def _drawer(self, column: Space) -> None:
        """Show ledger or gates where the list was."""
        shown: list[QWidget] = []
        if self._view.bars:
            shown.append(self._parts.bars)
        if self._view.gates:
            shown.append(self._parts.gates)
        self._placed[shown[(self._scene.drawer - 1) % len(shown)]] = column.rest()

    def _rows(self, column: Space) -> None:
        """Place the list and its title; an empty list leaves its room to the title."""
        parts = self._parts
        if not parts.rows.count():
            self._placed[parts.rows_title] = column.rest()
            return
        self._placed[parts.rows_title] = column.take_top(self._px(TITLE_MM))
        height = parts.rows.height_for(column.height)
        self._placed[parts.rows] = column.take_top(height)


def structure(view: BenchView) -> tuple[BenchView, int]:
    """Return what of a look decides where things stand."""
    countdown, spots = view.countdown, view.spots
    fixed = replace(
        view,
        rows=(),
        band=replace(view.band, fill=0.0),
        countdown=countdown and replace(countdown, fill=0.0),
        spots=spots and replace(spots, states=(), wet_fill=0.0, wet_text=""),
    )
    return fixed, len(view.rows)
