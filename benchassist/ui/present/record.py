"""The page of the record itself: where it lies, its last entry, what may be done."""

from __future__ import annotations

from benchassist.journal.chain import Head
from benchassist.ui.actions import AskRecovery, BlankText, ExportDay
from benchassist.ui.present.fill import Gap
from benchassist.ui.view import Option, TableView
from benchassist.ui.words import say

GROUP = 16  # hexadecimal digits read at once, when two copies are compared
OPTIONS = (
    Option(
        say("Back it up"),
        "1",
        Gap(ExportDay("", what="backup"), "out"),
        needs_text=say("An empty or new folder for the backup"),
    ),
    Option(
        say("Remove a typed text"),
        "2",
        Gap(BlankText(), "typed"),
        hold=True,
        needs_text=say("Numbers of the entries, a colon, who decides it and why"),
    ),
    Option(
        say("Close the bench and look at it read-only"), "3", AskRecovery(), hold=True
    ),
)
NOTE = say(
    "Write number and hash down now and then: a copy of them proves what came before."
)


def record(head: Head, folder: str, amiss: str = "") -> TableView:
    """Return the page; ``amiss`` says why something could not be done."""
    digits = head.hash.hex()
    groups = [digits[n : n + GROUP] for n in range(0, len(digits), GROUP)]
    rows = (
        (say("Data folder"), folder),
        (say("Last entry"), str(head.seq)),
        (say("Its hash"), " ".join(groups[:2])),
        ("", " ".join(groups[2:])),
    )
    return TableView(
        say("The record"), (say("What"), ""), rows, "", OPTIONS, amiss or NOTE
    )


def again(done: int, last: int, took_ms: int) -> str:
    """Return what is said while a record is read from its first entry."""
    told = (
        say(
            "The program was brought up to date and reads its record again: "
            "{done:,} of {last:,} entries.",
            done=done,
            last=last,
        )
    ).replace(",", "\u00a0")
    if not done:
        return told
    left_s = took_ms * (last - done) / done / 1000
    return say("{told} About {it} min more.", told=told, it=max(1, round(left_s / 60)))
