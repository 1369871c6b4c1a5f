"""The pages about light, coats and glycerine, made when they are first opened."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, NamedTuple

from PySide6.QtCore import QObject, Signal

from benchassist.ui.words import say

if TYPE_CHECKING:
    from benchassist.clock import Instant
    from benchassist.domain.state import Bench
    from benchassist.ui.hands import Hands
    from benchassist.ui.light.base import LightPage
    from benchassist.ui.theme import Theme


class Entry(NamedTuple):
    """A page: its key, its title, and where its class is found."""

    key: str
    title: str
    module: str
    kind: str

    def make(self, theme: Theme, hands: Hands) -> LightPage:
        """Make the page; what it needs is imported now."""
        module = import_module(f"benchassist.ui.light.{self.module}")
        page: LightPage = getattr(module, self.kind)(theme, hands)
        return page


LIGHT_PAGES: dict[str, Entry] = {
    "pairing": Entry("L", say("Light: pairing"), "pairing", "PairingPage"),
    "how-well": Entry("B", say("How well known"), "how_well", "HowWellPage"),
    "spectrum": Entry("S", say("Spectra"), "spectrum", "SpectrumPage"),
    "tack": Entry("T", say("Tack window"), "tack", "TackPage"),
    "forecast": Entry("F", say("Coat forecast"), "forecast", "ForecastPage"),
    "spots": Entry("P", say("Spots"), "spots", "SpotsPage"),
    "working-curve": Entry("C", say("Working curve"), "working_curve", "CurvePage"),
    "eyes": Entry("E", say("Eyes and skin"), "eyes", "EyesPage"),
    "room-light": Entry("R", say("Room light"), "room_light", "RoomPage"),
    "advisors": Entry("U", say("Bench sums"), "advisors", "AdvisorsPage"),
}


class LightPages(QObject):
    """Makes the pages when they are first asked for, and keeps them.

    Signals: ``commanded(object)`` a command or an action of the window, ``said(str)``
    a sentence for the operator.
    """

    commanded = Signal(object)
    said = Signal(str)

    def __init__(self, theme: Theme, hands: Hands, parent: QObject) -> None:
        super().__init__(parent)
        self._theme, self._hands = theme, hands
        self._made: dict[str, LightPage] = {}

    def page(self, name: str, bench: Bench, now: Instant) -> LightPage:
        """Return a page, filled with the bench as it is now."""
        if name not in self._made:
            page = LIGHT_PAGES[name].make(self._theme, self._hands)
            page.commanded.connect(self.commanded)
            page.said.connect(self.said)
            self._made[name] = page
        self._made[name].show_bench(bench, now)
        return self._made[name]

    def look(self, name: str, bench: Bench, now: Instant) -> None:
        """Let time pass on the page that is open."""
        if name in self._made:
            self._made[name].look(bench, now)

    def set_theme(self, theme: Theme) -> None:
        """Show the pages in another theme."""
        self._theme = theme
        for page in self._made.values():
            page.set_theme(theme)
