"""Every place of the program: its letter, its name, where it stands in the menu.

A letter goes to the same place from everywhere. To add a page: a file here with a
``make(host)``, or a table in ``present.tables``, and one line below.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Literal

from benchassist.value import value

if TYPE_CHECKING:
    from benchassist.ui.host import Host
    from benchassist.ui.page import Page

Way = Literal["COMES IN", "ON ITS WAY", "GOES OUT", ""]
WAYS: tuple[Way, ...] = ("COMES IN", "ON ITS WAY", "GOES OUT")


@value
class Place:
    """A place: the letter that goes there, its page, and what the menu says of it.

    ``way`` is the menu's column; a place without one is reached from another page or
    by its letter alone.
    """

    key: str
    page: str
    title: str
    line: str
    way: Way = ""


PLACES: tuple[Place, ...] = (
    Place("N", "intake", "New parts", "take one or many in", "COMES IN"),
    Place("L", "lots", "Lots and bottles", "came in, opened, stirred", "COMES IN"),
    Place("E", "equipment", "Lamps, boxes, baths", "readings, glycerine", "COMES IN"),
    Place("T", "how-well", "Test with a coupon", "how well we know it", "COMES IN"),
    Place("Q", "pairing", "Light curves", "forecast, spots, eyes", "COMES IN"),
    Place("D", "day", "Day", "what runs, what comes", "ON ITS WAY"),
    Place("C", "change", "Change this part", "lamp, box, hold, scrap", "ON ITS WAY"),
    Place("A", "plan", "Appointments", "will each make its time?", "ON ITS WAY"),
    Place("V", "deviations", "Deviations", "what went otherwise", "ON ITS WAY"),
    Place("J", "late", "Done away from here", "enter it from paper", "ON ITS WAY"),
    Place("Z", "fix", "Fix a record", "correct what was written", "ON ITS WAY"),
    Place("F", "find", "Find by lot", "which parts have it", "GOES OUT"),
    Place("X", "export", "Export, print", "day, cards, labels", "GOES OUT"),
    Place("G", "people", "Hand over", "who is here; O changes it", "GOES OUT"),
    Place("S", "setup", "Set-up", "screen, pedal, sound, learn", "GOES OUT"),
    Place("W", "what-now", "What now?", "something went wrong"),
    Place("M", "menu", "Everything", "one key each"),
)
BY_KEY: dict[str, Place] = {place.key: place for place in PLACES}
# Pages that are a file of this folder; the others are tables, forms or sums.
OWN: frozenset[str] = frozenset(
    {
        "bottle-away",
        "change",
        "code-shape",
        "day",
        "export",
        "first-start",
        "fix",
        "glycerine-limit",
        "intake",
        "menu",
        "trend",
        "what-now",
    }
)


def make(name: str, host: Host) -> Page:
    """Make a page of this folder; what it needs is imported now."""
    module = import_module(f"benchassist.ui.places.{name.replace('-', '_')}")
    page: Page = module.make(host)
    return page
