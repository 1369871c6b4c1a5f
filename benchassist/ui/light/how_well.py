"""How well do we know this pair: label or papers, coupon tested here, measured."""

from __future__ import annotations

from typing import TYPE_CHECKING

from benchassist.sums.subject import Subject, UnknownError, subject
from benchassist.ui.hands import Hands
from benchassist.ui.heading import Paragraphs, Words
from benchassist.ui.light.base import LightPage
from benchassist.ui.light.steps import Steps
from benchassist.ui.page import BACK
from benchassist.ui.present import knowing
from benchassist.ui.space import Space
from benchassist.ui.theme import Theme
from benchassist.ui.view import Option
from benchassist.ui.words import say

if TYPE_CHECKING:
    from benchassist.clock import Instant
    from benchassist.domain.state import Bench


class HowWellPage(LightPage):
    """One lamp on one coat: each step with what it allows, and the way up."""

    name = "how-well"
    follows = True

    def __init__(self, theme: Theme, hands: Hands) -> None:
        super().__init__(theme, hands)
        self._lamp = ""
        self._title = Paragraphs(theme, self)
        self._steps = Steps(theme, self)
        self.set_theme(theme)

    def refill(self, bench: Bench, now: Instant) -> None:
        """Show how well the part at hand, or a stand-in, is known."""
        try:
            found = subject(bench, now, self._lamp)
        except UnknownError as error:
            self._title.show_view((Words(str(error), tone="stop"),))
            self._steps.hide()
            self.show_options(())
            return
        view = knowing.knowing(bench, found)
        self._title.show_view(
            (Words(f"{view.title} {view.about}", tone="quiet", small=True),)
        )
        self._steps.show()
        self._steps.show_view(view)
        others = len(bench.lamps) > 1
        more = (Option(say("Other lamp"), "4", self._other),) if others else ()
        self.show_options((*knowing.options(bench, found), *more))

    def arrange(self, space: Space) -> None:
        """Place the question above the steps."""
        high = self._title.height_for(space.width)
        self._title.setGeometry(space.take_top(high, self._theme.px(1.6)))
        self._steps.setGeometry(space.rest())

    def escape(self) -> bool:
        """Leave: this is a place of its own."""
        return False

    def back(self) -> str:
        """Return where Esc leads."""
        return BACK

    def _other(self) -> None:
        """Ask of the next lamp on file."""
        if self.bench is None or self.now is None:
            return
        found: Subject = subject(self.bench, self.now, self._lamp)
        codes = list(self.bench.lamps)
        at = codes.index(found.lamp) if found.lamp in codes else -1
        self._lamp = codes[(at + 1) % len(codes)]
        self.show_bench(self.bench, self.now)
