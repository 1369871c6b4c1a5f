"""The story of a part: the one in front, or any that was ever taken in."""

from __future__ import annotations

from functools import partial
from typing import Any

from benchassist.clock import Instant
from benchassist.domain.state import Bench
from benchassist.records.story import WALKING, Story, story
from benchassist.ui.actions import OpenPage, OpenStory
from benchassist.ui.asking import ask
from benchassist.ui.hands import OptionGroup
from benchassist.ui.host import Host
from benchassist.ui.listcard import ListCard
from benchassist.ui.page import Page
from benchassist.ui.present import story as words
from benchassist.ui.title import Title, TitleRow
from benchassist.ui.view import Option
from benchassist.ui.waychart import HIGH_MM, WayChartView
from benchassist.ui.words import say
from benchassist.value import replace

GAP_MM = 2.2
CARDS_MM = 34.0  # [mm] that the cards keep before there is a chart; a choice
CARDS = 3
SHARES = (0.28, 0.40, 0.32)  # of the width: dose, with what, not as planned
PAGES = {"PgDown": 1, "PgUp": -1}


class StoryPage(Page):
    """A chart over three cards over the signature, or every entry in one list."""

    def __init__(self, host: Host) -> None:
        super().__init__(host.look, OptionGroup(host.look, host.hands))
        self._host = host
        self._which = words.Which()
        self._story: Story | None = None
        self._told = ""
        self._options.setParent(self)
        self._title = TitleRow(host.look, self)
        self._chart = WayChartView(host.look, self)
        self._cards = [ListCard(host.look, self) for _ in range(CARDS)]
        self._foot = ListCard(host.look, self)
        self._view: words.StoryView | None = None
        self.setAccessibleName(say("Story of a part"))

    def fill(self, bench: Bench, now: Instant) -> None:
        """Show the story of the part in front, unless a hand asked for another."""
        code = self._which.code or bench.focus
        if code:
            self._told = say("reading its entries")
            book = self._host.session.journal
            for walk in (False, True) if book.on_disk else (True,):
                ask(book, partial(_read, code, walk), self._read, self._failed)
        self._show(bench, now)

    def _show(self, bench: Bench, now: Instant) -> None:
        code = self._which.code or bench.focus
        found = self._story
        if found is not None and found.part == code:
            view = words.view(found, self._which, now)
        else:
            view = words.asked(bench, code, self._told)
        self._view = view
        self._title.show_view(Title(view.title, view.line, view.right))
        self._chart.setVisible(view.chart is not None)
        if view.chart is not None:
            self._chart.show_view(view.chart)
        for card, shown in zip(self._cards, view.cards, strict=False):
            card.show_view(shown)
        for n, card in enumerate(self._cards):
            card.setVisible(n < len(view.cards))
        self._foot.setVisible(view.foot is not None)
        if view.foot is not None:
            self._foot.show_view(view.foot)
        self._options.show_view(view.options)
        self.fit()

    def _read(self, found: object) -> None:
        if isinstance(found, Story):
            old = self._story
            later = old is not None and (old.part, old.last) == (found.part, found.last)
            if later and found.proof.amiss == WALKING:
                return  # what was walked came first
            self._story, self._told = found, ""
            session = self._host.session
            self._show(session.bench, session.now())

    def _failed(self, sentence: str) -> None:
        self._told, self._story = sentence, None
        session = self._host.session
        self._show(session.bench, session.now())

    # --- hands ---------------------------------------------------------------------

    def choose(self, option: Option) -> bool:
        """Show every entry, or write what is shown."""
        command = option.command
        if isinstance(command, words.Which):
            self._which = command
            self.asked.emit(OpenPage("story"))
            return True
        return False

    def take(self, action: object) -> bool:
        """Take the code that was typed."""
        if isinstance(action, OpenStory):
            action = words.Which(action.part)
        if not isinstance(action, words.Which):
            return False
        self._which = replace(action, code=action.code.strip())
        self.asked.emit(OpenPage("story"))
        return True

    def back(self) -> str:
        """Return the words beside Esc."""
        return say("In short") if self._which.every else super().back()

    def escape(self) -> bool:
        """Go back from every entry; leaving, the part in front is meant again."""
        if not self._which.every:
            self._which = words.Which()
            return False
        self._which = replace(self._which, every=False)
        self.asked.emit(OpenPage("story"))
        return True

    def key(self, key: str) -> bool:
        """Go through the entries."""
        alone = self._view is None or len(self._view.cards) == 1
        card = self._cards[0 if alone else 1]
        if key not in PAGES or card.view is None:
            return False
        card.show_view(replace(card.view, first=card.page(PAGES[key])))
        return True

    # --- places --------------------------------------------------------------------

    def fit(self) -> None:
        """Place everything for the width there is."""
        theme, wide = self._theme, self.width()
        gap, top = theme.px(GAP_MM), self._title.grow(wide) + theme.px(1.0)
        acts = self._options.height_for(wide)
        bottom = self.height() - acts - gap
        self._title.setGeometry(0, 0, wide, self._title.height())
        self._options.setGeometry(0, self.height() - acts, wide, acts)
        view = self._view
        if view is None:
            return
        if view.foot is not None:
            foot = self._foot.height_for(wide)  # what is signed stands whole
            self._foot.setGeometry(0, bottom - foot, wide, foot)
            bottom -= foot + gap
        high = theme.px(HIGH_MM) + gap
        drawn = view.chart is not None and bottom - top - high >= theme.px(CARDS_MM)
        self._chart.setVisible(drawn)
        if drawn:
            self._chart.setGeometry(0, top, wide, theme.px(HIGH_MM))
            top += high
        count = max(1, len(view.cards))
        shares = SHARES if count == len(SHARES) else (1.0,) * count
        room, x = wide - gap * (count - 1), 0
        for card, share in zip(self._cards, shares, strict=False):
            each = round(room * share)
            card.setGeometry(x, top, each, bottom - top)
            x += each + gap


def _read(code: str, walk: bool, journal: Any) -> Story:  # noqa: ANN401, FBT001
    return story(journal, code, walk=walk)
