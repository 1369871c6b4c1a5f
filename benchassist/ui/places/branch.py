"""The branch of what happened: what to do beside what changes, before it is held."""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain.state import Bench
from benchassist.ui.beside import Beside
from benchassist.ui.hands import OptionGroup
from benchassist.ui.heading import Paragraphs, Words
from benchassist.ui.host import Host
from benchassist.ui.page import Page
from benchassist.ui.present.branch import advice, branch
from benchassist.ui.step_list import StepList
from benchassist.ui.title import Title, TitleRow

SHARE = 0.58  # of the width for what to do
GAP_MM = 3.0


class BranchPage(Page):
    """Steps at the left, what changes at the right, the hold below both."""

    def __init__(self, host: Host) -> None:
        super().__init__(host.look, OptionGroup(host.look, host.hands))
        self._title = TitleRow(host.look, self)
        self._steps = StepList(host.look, self)
        self._beside = Beside(host.look, self)
        self._empty = Paragraphs(host.look, self)
        self._options.setParent(self)
        self._host = host

    def fill(self, bench: Bench, now: Instant) -> None:
        """Show what would be done, or what was advised."""
        code, case = self._host.told
        view = branch(bench, code, case, now) if case else advice(bench, code, now)
        self._title.show_view(Title(view.title, view.about, view.right))
        self._steps.show_view(view.steps)
        self._beside.show_view(view.lines)
        self._options.show_view(view.options)
        self._empty.show_view((Words(view.empty),) if view.empty else ())
        self._empty.setVisible(bool(view.empty))  # it lies over what is pressed
        self.setAccessibleName(f"{view.title}. {view.right}")
        for part in (self._steps, self._beside):
            part.setVisible(not view.empty)
        self.fit()

    def fit(self) -> None:
        """Place everything for the width there is."""
        wide, gap = self.width(), self._theme.px(GAP_MM)
        top = self._title.grow(wide)
        low = self._options.height_for(wide)
        self._title.setGeometry(0, 0, wide, top)
        high = max(0, self.height() - top - low - gap)
        left = round((wide - gap) * SHARE)
        self._steps.setGeometry(0, top, left, high)
        self._beside.setGeometry(left + gap, top, wide - left - gap, high)
        self._empty.setGeometry(0, top, wide, high)
        self._options.setGeometry(0, self.height() - low, wide, low)
