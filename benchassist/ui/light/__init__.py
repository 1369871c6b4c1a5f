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
    """A page: its digit, its title, its tile's words and drawing, where its class is.

    One without a digit is a place of its own.
    """

    key: str
    title: str
    line: str
    drawing: str
    module: str
    kind: str

    def make(self, theme: Theme, hands: Hands) -> LightPage:
        """Make the page; what it needs is imported now."""
        module = import_module(f"benchassist.ui.light.{self.module}")
        page: LightPage = getattr(module, self.kind)(theme, hands)
        return page


LIGHT_PAGES: dict[str, Entry] = {
    "pairing": Entry(
        "1",
        say("Lamps and resins"),
        say("which light sets which"),
        "lamp",
        "pairing",
        "PairingPage",
    ),
    "spectrum": Entry(
        "2",
        say("Spectra"),
        say("a curve from a file"),
        "curve",
        "spectrum",
        "SpectrumPage",
    ),
    "tack": Entry(
        "3",
        say("Tack window"),
        say("seconds a spot, coupons"),
        "clock",
        "tack",
        "TackPage",
    ),
    "forecast": Entry(
        "4",
        say("Coat forecast"),
        say("how a coat sets"),
        "drop",
        "forecast",
        "ForecastPage",
    ),
    "spots": Entry(
        "5", say("Spots"), say("how many cover a shape"), "spots", "spots", "SpotsPage"
    ),
    "working-curve": Entry(
        "6",
        say("Working curve"),
        say("from your own thicknesses"),
        "steps",
        "working_curve",
        "CurvePage",
    ),
    "eyes": Entry(
        "7",
        say("Eyes and skin"),
        say("limits of the day, glasses"),
        "eye",
        "eyes",
        "EyesPage",
    ),
    "room-light": Entry(
        "8",
        say("Room light"),
        say("smear test, open dishes"),
        "sun",
        "room_light",
        "RoomPage",
    ),
    "advisors": Entry(
        "9",
        say("Bench sums"),
        say("baths, float, bubbles"),
        "bench",
        "advisors",
        "AdvisorsPage",
    ),
    "how-well": Entry("", say("How well known"), "", "", "how_well", "HowWellPage"),
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
