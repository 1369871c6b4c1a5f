"""The pages about light, coats and glycerine: their digits and names."""

from __future__ import annotations

from typing import NamedTuple

from benchassist.ui.words import say


class Entry(NamedTuple):
    """A page: its digit, its title, its tile's words and drawing.

    One without a digit is a place of its own. Its class is the one of its module.
    """

    key: str
    title: str
    line: str = ""
    drawing: str = ""


LIGHT_PAGES: dict[str, Entry] = {
    "pairing": Entry(
        "1", say("Lamps and resins"), say("which light sets which"), "lamp"
    ),
    "spectrum": Entry("2", say("Spectra"), say("a curve from a file"), "curve"),
    "tack": Entry("3", say("Tack window"), say("seconds a spot, coupons"), "clock"),
    "forecast": Entry("4", say("Coat forecast"), say("how a coat sets"), "drop"),
    "spots": Entry("5", say("Spots"), say("how many cover a shape"), "spots"),
    "working-curve": Entry(
        "6", say("Working curve"), say("from your own thicknesses"), "steps"
    ),
    "eyes": Entry("7", say("Eyes and skin"), say("limits of the day, glasses"), "eye"),
    "room-light": Entry("8", say("Room light"), say("smear test, open dishes"), "sun"),
    "advisors": Entry("9", say("Bench sums"), say("baths, float, bubbles"), "bench"),
    "how-well": Entry("", say("How well known")),
}
