"""What the pages about light share: a title, a body, options at the foot."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF
from PySide6.QtGui import QHideEvent
from PySide6.QtWidgets import QWidget

from benchassist.domain.shelf import offered
from benchassist.sums.subject import Subject, UnknownError
from benchassist.ui.actions import OpenPage
from benchassist.ui.hands import OptionGroup
from benchassist.ui.heading import Words
from benchassist.ui.host import Host
from benchassist.ui.light import LIGHT_PAGES
from benchassist.ui.light.asking import Asker
from benchassist.ui.light.fields import Fields
from benchassist.ui.light.notes import Notes
from benchassist.ui.light.plot import PlotPane
from benchassist.ui.page import Page
from benchassist.ui.space import Space
from benchassist.ui.title import TITLE_MM, Title, TitleRow
from benchassist.ui.view import Option
from benchassist.ui.words import say

if TYPE_CHECKING:
    from benchassist.clock import Instant
    from benchassist.domain.state import Bench


class LightPage(Page):
    """A page with its title above its body and options below it.

    A page that is filled knows the bench as it was then; it decides nothing and
    hands commands on.
    """

    name = ""
    follows = False  # the bench while it changes; else what was typed stays
    # Nobody looks at a page, or types on it, before it has been filled.
    bench: Bench
    now: Instant
    _about: Subject | None = None
    _lamp = ""  # another than the part's, where one was asked for

    def __init__(self, host: Host) -> None:
        theme, options = host.look, OptionGroup(host.look, host.hands)
        super().__init__(theme, options)
        options.setParent(self)
        self._words = Notes(theme, self)
        self.setAccessibleName(LIGHT_PAGES[self.name].title)
        self.asker = Asker(self)
        self.asker.failed.connect(self.told_amiss)
        self._heading = TitleRow(theme, self)
        self._heading.show_view(Title(LIGHT_PAGES[self.name].title))

    # --- what a page does ------------------------------------------------------

    def refill(self, bench: Bench, now: Instant) -> None:
        """Show the bench as it is now.

        Raises
        ------
        UnknownError
            If what the page rests on is not on file; it is shown.
        """

    def arrange(self, space: Space) -> None:
        """Place the body's widgets in ``space``."""

    def told_amiss(self, sentence: str) -> None:
        """Show why there is no answer."""
        for plot in self.findChildren(PlotPane):
            plot.show_view(None)
        self._words.show_view((Words(sentence, tone="stop"),))
        self.fit()

    @property
    def idle(self) -> bool:
        """Whether nothing is being worked on."""
        return self.asker.idle

    # --- what all pages do -----------------------------------------------------

    def fill(self, bench: Bench, now: Instant) -> None:
        """Fill the page; why there is no answer is shown."""
        self.bench, self.now = bench, now
        try:
            self.refill(bench, now)
        except UnknownError as error:
            self.told_amiss(str(error))
        self.fit()

    def lamp_option(self, shown: str, key: str) -> tuple[Option, ...]:
        """Return the way to the lamp after the one that is shown, if there are more."""
        codes = offered(self.bench, "lamp")
        at = codes.index(shown) if shown in codes else -1

        def other() -> None:
            self._lamp = codes[(at + 1) % len(codes)]
            self.fill(self.bench, self.now)

        return (Option(say("Other lamp"), key, other),) if len(codes) > 1 else ()

    def pass_time(self, bench: Bench, now: Instant) -> None:
        """Let time pass; a page that follows the bench is filled anew by an event."""
        if self.follows and bench is not self.bench:
            self.fill(bench, now)

    def boxes(self) -> Iterator[tuple[str, QRectF]]:
        """Yield the fields in sight, to go into one."""
        for number, fields in enumerate(self.findChildren(Fields)):
            if fields.isVisible():
                yield str(number), QRectF(fields.geometry())

    def pick(self, name: str) -> None:
        """Go into fields."""
        self.findChildren(Fields)[int(name)].begin()

    def show_options(self, options: tuple[Option, ...]) -> None:
        """Show other options at the foot."""
        self._options.show_view(options)
        self.fit()

    def key(self, key: str) -> bool:
        """Leaf through the sentences."""
        return self._words.key(key)

    def back(self) -> str:
        """Return where Esc leads: to all sums about light."""
        return say("Light curves")

    def escape(self) -> bool:
        """Go back to all sums about light."""
        self.asked.emit(OpenPage("light"))
        return True

    def choose(self, option: Option) -> bool:
        """Take an option that belongs to the page: its command is a page's method."""
        if callable(option.command):
            option.command()
            return True
        return False

    def fit(self) -> None:
        """Place everything for the present size."""
        px = self._theme.px
        space = Space(self.rect())
        self._heading.setGeometry(space.take_top(px(TITLE_MM), px(1.6)))
        height = self._options.height_for(self.width())
        if height:
            self._options.setGeometry(space.take_foot(height, px(1.4)))
        self._options.setVisible(bool(height))
        self.arrange(space)

    def hideEvent(self, event: QHideEvent) -> None:  # noqa: N802
        """Forget what was asked: nobody looks."""
        self.asker.drop()
        super().hideEvent(event)


def place(widget: QWidget, space: Space, height: int, gap: int = 0) -> None:
    """Place a widget at the top of a space; one without height is hidden."""
    widget.setVisible(height > 0)
    if height > 0:
        widget.setGeometry(space.take_top(height, gap))
