"""The words of the read-only window: what is damaged, what is proven, what to do."""

from __future__ import annotations

from typing import Literal

from benchassist.domain.state import Part
from benchassist.domain.words import sentences
from benchassist.readable import Broken
from benchassist.ui.present.look import MARKS
from benchassist.ui.view import Option, TableView
from benchassist.ui.words import say
from benchassist.value import replace, value

Doing = Literal[
    "restore", "go-on", "new-store", "salvage", "cards", "story", "index", "open"
]
# Acts after which the bench may open again.
ENDS = ("restore", "go-on", "new-store", "index")
Why = Literal["damaged", "newer", "unwritable", "by hand"]
DAMAGED = say("Read only: this record is damaged")
WHOLE = say("Read only: this record is as it was written")
NEWER = say("Read only: a later version wrote this record")
UNWRITABLE = say("Read only: nothing can be written here")
MENDED = say("The bench may open again")
LOOKING = say("Looking at what can be read …")
WORKING = say("Working …")
NOTHING = say("No part in flight can be read from it.")
NONE = say("No part was in flight.")
HEADERS = (say("Code"), say("Where it is"), say("By the chain"))
HINT = say("Esc: close. Nothing is written to this record.")
WHO = say("Who decides it, and why")


@value
class Act:
    """Something that can be done about a store; ``typed`` is a folder or a reason."""

    what: Doing
    typed: str = ""


RESTORE = Option(
    say("Put a backup in its place"),
    "3",
    Act("restore"),
    hold=True,
    needs_text=say("Folder of the backup; hold to put it in this record's place"),
)
GO_ON = Option(
    say("Go on with it, a copy set aside"),
    "4",
    Act("go-on"),
    hold=True,
    needs_text=WHO,
)
ANEW = Option(
    say("Go on in a new store that refers to it"),
    "5",
    Act("new-store"),
    hold=True,
    needs_text=WHO,
)
INDEX = Option(say("Make its index anew"), "6", Act("index"), hold=True)
STORY = Option(
    say("Story of a part"),
    "P",
    Act("story"),
    needs_text=say("The code of a part, of today or of years ago"),
)
SALVAGE = Option(
    say("Export what can be read"),
    "2",
    Act("salvage"),
    needs_text=say("Folder to write every readable entry to"),
)
CARDS = Option(
    say("Cards for the parts in flight"),
    "1",
    Act("cards"),
    needs_text=say("Folder to write the cards to"),
)
# What a part was at when the record was last believed; no time is told, it is past.
PHASES = {
    "ready": "ready",
    "soaking": say("in its time"),
    "in run": say("in the box"),
    "brushing": "wet",
    "walking": say("wet, being tacked"),
    "paused": say("wet, paused"),
    "on hold": say("on hold, covered"),
    "closed": "closed",
}
OPEN = Option(say("Open the bench"), "Enter", Act("open"))
OPTIONS: dict[Why, tuple[Option, ...]] = {
    "damaged": (CARDS, STORY, SALVAGE, RESTORE, GO_ON, ANEW),
    "newer": (CARDS, STORY, SALVAGE),
    "unwritable": (replace(OPEN, text=say("Try again")), CARDS, STORY, SALVAGE),
    "by hand": (OPEN, CARDS, STORY, SALVAGE, RESTORE, GO_ON, ANEW, INDEX),
}


def _where(part: Part) -> str:
    return f"{part.stage.title}: {PHASES[part.phase.kind]}"


def recovery(
    broken: Broken | None, *, said: str, why: Why, done: bool = False
) -> TableView:
    """Return the page of a store that cannot be written to.

    ``said`` is the sentence with which it was refused, ``broken`` what was found
    since, ``done`` whether something was done after which the bench may open.
    """
    title = {"newer": NEWER, "unwritable": UNWRITABLE}.get(why, DAMAGED)
    if broken is None:
        return TableView(title, (), (), LOOKING, (), note=said)
    if done:
        title = MENDED
    elif why == "by hand" and not broken.findings:
        title = WHOLE
    bench = broken.bench
    rows = tuple(
        (part.code, _where(bench.parts[part.code]), part.proven)
        for part in broken.parts
    )
    mark = MARKS.get(bench.store.kind, "") if bench.store else ""
    title = f"{mark}. {title}" if mark else title
    read = say("Read to entry {upto} of {last}", upto=broken.upto, last=broken.last)
    if broken.first_bad > 1:
        proven = say("The chain vouches for 1 to {last}", last=broken.first_bad - 1)
        read = f"{proven}. {read}"
    found = said if why in ("newer", "unwritable") else broken.sentence
    # What cannot be folded further often names the same place as the chain's walk.
    note = sentences(found if found not in broken.amiss else "", broken.amiss, read)
    options = (OPEN, CARDS) if done else OPTIONS[why]
    empty = NONE if 0 < broken.upto == broken.last else NOTHING
    return TableView(title, HEADERS, rows, empty, options, note=note)
