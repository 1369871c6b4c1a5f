"""How well do we know this pair: label or papers, coupon tested here, measured."""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain.state import Bench
from benchassist.sums.subject import subject
from benchassist.ui.heading import Words
from benchassist.ui.host import Host
from benchassist.ui.light.base import LightPage
from benchassist.ui.light.steps import Steps
from benchassist.ui.page import BACK
from benchassist.ui.present import knowing
from benchassist.ui.space import Space


class HowWellPage(LightPage):
    """One lamp on one coat: each step with what it allows, and the way up."""

    name = "how-well"
    follows = True

    def __init__(self, host: Host) -> None:
        super().__init__(host)
        theme = host.look
        self._steps = Steps(theme, self)

    def refill(self, bench: Bench, now: Instant) -> None:
        """Show how well the part at hand, or a stand-in, is known."""
        found = subject(bench, now, self._lamp)
        view = knowing.knowing(bench, found)
        self._words.show_view(
            (Words(f"{view.title} {view.about}", tone="quiet", small=True),)
        )
        self._steps.show()
        self._steps.show_view(view)
        more = self.lamp_option(found.lamp, "4")
        self.show_options((*knowing.options(bench, found), *more))

    def told_amiss(self, sentence: str) -> None:
        """Show why nothing is known."""
        self._steps.hide()
        self.show_options(())
        super().told_amiss(sentence)

    def arrange(self, space: Space) -> None:
        """Place the question above the steps."""
        high = self._words.height_for(space.width)
        self._words.setGeometry(space.take_top(high, self._theme.px(1.6)))
        self._steps.setGeometry(space.rest())

    def escape(self) -> bool:
        """Leave: this is a place of its own."""
        return False

    def back(self) -> str:
        """Return where Esc leads."""
        return BACK
