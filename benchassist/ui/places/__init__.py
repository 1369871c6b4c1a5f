"""Every place of the program: its letter, its name, where it stands in the menu.

A letter goes to the same place from everywhere. To add a page: a file here with its
class, or a table in ``present.tables``, and one line below.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

from benchassist.ui.light import LIGHT_PAGES
from benchassist.ui.page import Page
from benchassist.ui.words import say
from benchassist.value import value

if TYPE_CHECKING:
    from benchassist.ui.host import Host

COMES, ON_ITS_WAY, OUT = WAYS = say("COMES IN"), say("ON ITS WAY"), say("GOES OUT")


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
    way: str = ""


PLACES: tuple[Place, ...] = (
    Place("N", "intake", say("New parts"), say("take one or many in"), COMES),
    Place("L", "lots", say("Lots and bottles"), say("came in, opened, stirred"), COMES),
    Place(
        "E", "equipment", say("Lamps, boxes, baths"), say("readings, glycerine"), COMES
    ),
    Place("R", "kept", say("What you own"), say("resins, recipes, lamps"), COMES),
    Place(
        "T", "how-well", say("Test with a coupon"), say("how well we know it"), COMES
    ),
    Place("Q", "light", say("Light curves"), say("forecast, spots, eyes"), COMES),
    Place("D", "day", say("Day"), say("what runs, what comes"), ON_ITS_WAY),
    Place(
        "C",
        "change",
        say("Change this part"),
        say("lamp, box, hold, scrap"),
        ON_ITS_WAY,
    ),
    Place(
        "A", "plan", say("Appointments"), say("will each make its time?"), ON_ITS_WAY
    ),
    Place("V", "deviations", say("Deviations"), say("what went otherwise"), ON_ITS_WAY),
    Place(
        "J", "late", say("Done away from here"), say("enter it from paper"), ON_ITS_WAY
    ),
    Place("Z", "fix", say("Fix a record"), say("correct what was written"), ON_ITS_WAY),
    Place("P", "story", say("Part story"), say("one page, intake to now"), OUT),
    Place("F", "find", say("Find, recall"), say("by lot, lamp, box, day"), OUT),
    Place("Y", "rounds", say("Open, close the day"), say("checks, then sign"), OUT),
    Place("X", "export", say("Export, print"), say("day, cards, labels"), OUT),
    Place("G", "people", say("Hand over"), say("who is here; O changes it"), OUT),
    Place("S", "setup", say("Set-up"), say("screen, pedal, sound"), OUT),
    Place("W", "what-now", say("What now?"), say("something went wrong")),
    Place("M", "menu", say("Everything"), say("one key each")),
)
BY_KEY: dict[str, Place] = {place.key: place for place in PLACES}
# Pages that are a file of this folder or a page of sums; the others: tables, forms.
OWN: frozenset[str] = frozenset(
    {
        "box-places",
        "branch",
        "change",
        "day",
        "export",
        "faces",
        "facts",
        "find",
        "first-start",
        "fix",
        "intake",
        "light",
        "menu",
        "rounds",
        "story",
        "trend",
        "what-now",
        *LIGHT_PAGES,
    }
)


def make(name: str, host: Host) -> Page:
    """Make a page of this folder, or of the sums; what it needs is imported now.

    A module has one page: it is the one class of its own that is a ``Page``.
    """
    folder = "light" if name in LIGHT_PAGES else "places"
    module = import_module(f"benchassist.ui.{folder}.{name.replace('-', '_')}")
    own = (each for each in vars(module).values() if isinstance(each, type))
    pages = (each for each in own if each.__module__ == module.__name__)
    kind = next(each for each in pages if issubclass(each, Page))
    page: Page = kind(host)  # type: ignore[call-arg,arg-type] # each is made by its host
    return page
