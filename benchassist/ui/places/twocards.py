"""What pages of two cards over their options share: F, and opening and closing."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import QRectF

from benchassist.ui.counts import HIGH_MM, CountRow
from benchassist.ui.hands import OptionGroup
from benchassist.ui.host import Host
from benchassist.ui.listcard import ListCard
from benchassist.ui.page import Page
from benchassist.ui.present.lists import CardsView, ListRow
from benchassist.ui.title import Title, TitleRow
from benchassist.ui.words import shown
from benchassist.value import replace

GAP_MM = 2.4
FIRST = 0.34  # of the width, for the card that is read first
PAGES = {"PgDown": 1, "PgUp": -1}


class TwoCards(Page):
    """Title, numbers where there are any, two cards, options; PgDown goes on."""

    def __init__(self, host: Host) -> None:
        super().__init__(host.look, OptionGroup(host.look, host.hands))
        self._host = host
        self._share = FIRST
        self._options.setParent(self)
        self._title = TitleRow(host.look, self)
        self._counts = CountRow(host.look, self)
        self._first = ListCard(host.look, self)
        self._rest = ListCard(host.look, self)
        for card in (self._first, self._rest):
            card.picked.connect(self.act)

    def show_view(self, view: CardsView) -> None:
        """Show other cards; a list that is the same one stays where it was."""
        self._title.show_view(Title(view.title, view.line, view.right))
        self._counts.show_view(view.counts)
        self._counts.setVisible(bool(view.counts))
        first, rest = shown((view.first, view.rest))
        old = self._rest.view
        same = old is not None and old.head == rest.head
        at = old.first if old is not None and same else 0
        self._first.show_view(first)
        self._rest.show_view(replace(rest, first=min(at, max(0, len(rest.rows) - 1))))
        self._options.show_view(view.options)
        self.fit()

    def act(self, act: object) -> None:
        """Do what a row asks for, here or in the window."""
        if not self.take(act):
            self.asked.emit(act)

    def _boxed(self) -> Iterator[tuple[ListRow, QRectF]]:
        for card in (self._first, self._rest):
            for row, box in card.boxes():
                if row.act is not None:
                    yield row, box.translated(card.pos())

    def boxes(self) -> Iterator[tuple[str, QRectF]]:
        """Yield the rows that ask for something."""
        yield from ((row.left, box) for row, box in self._boxed())

    def pick(self, name: str) -> None:
        """Do what a row asks for."""
        self.act(next(row.act for row, _ in self._boxed() if row.left == name))

    def key(self, key: str) -> bool:
        """Go through the rows."""
        view = self._rest.view
        if key not in PAGES or view is None:
            return False
        self._rest.show_view(replace(view, first=self._rest.page(PAGES[key])))
        return True

    def fit(self) -> None:
        """Place everything for the width there is."""
        theme, wide = self._theme, self.width()
        gap, top = theme.px(GAP_MM), self._title.grow(wide) + theme.px(1.0)
        self._title.setGeometry(0, 0, wide, self._title.height())
        if self._counts.view:
            self._counts.setGeometry(0, top, wide, theme.px(HIGH_MM))
            top += theme.px(HIGH_MM) + gap
        acts = self._options.height_for(wide)
        high = self.height() - top - acts - gap
        left = round(wide * self._share)
        self._first.setGeometry(0, top, left, high)
        self._rest.setGeometry(left + gap, top, wide - left - gap, high)
        self._options.setGeometry(0, self.height() - acts, wide, acts)
