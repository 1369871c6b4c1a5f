"""How far the chain vouches for what is taken out of a journal.

Whoever reads an export or a card years later asks whether it is what was written. Each
is therefore walked before it leaves: the links of its own entries and of all that
follow, the end of the journal against its witness, and the index that found them. The
last entry's number and hash are printed, so that a copy outside anchors the chain.
"""

from __future__ import annotations

from collections.abc import Iterable

from benchassist.domain.events import Entry
from benchassist.domain.words import sentences
from benchassist.journal.opening import found_now
from benchassist.journal.projections import touches
from benchassist.journal.reading import Reader
from benchassist.value import value

WHOLE = 100_000  # [entries] walked from the first one on: two seconds at most
HASH_CHARS = 16  # of a hash, on paper: enough to tell two histories apart


@value
class Proof:
    """What a walk found: entries ``first`` to ``last``, the last one's hash (hex).

    ``unproven`` are the numbers of entries that the chain does not vouch for;
    ``amiss`` says the first bad place and how much more there is.
    """

    first: int
    last: int
    hash: str
    unproven: frozenset[int] = frozenset()
    amiss: str = ""

    def vouches(self, seq: int) -> bool:
        """Return whether the chain vouches for an entry."""
        return self.first <= seq <= self.last and seq not in self.unproven

    def says(self, *seqs: int) -> str:
        """Return what stands in the column “proven” of what rests on some entries."""
        return "yes" if all(map(self.vouches, seqs)) else "NO"

    @property
    def told(self) -> str:
        """Return the line that goes on paper and into a report."""
        holds = "not whole" if self.amiss else "whole"
        return (
            f"Entry {self.last}, hash {self.hash[:HASH_CHARS]}; chain walked from entry"
            f" {self.first}: {holds}."
        )


def prove(
    journal: Reader,
    entries: Iterable[Entry],
    last: int,
    listed: Iterable[tuple[str, Entry]] = (),
    day: str = "",
) -> Proof:
    """Walk what is to be taken out.

    Parameters
    ----------
    journal
        Any open journal; it is only read.
    entries
        What is taken out.
    last
        The entry up to which it is.
    listed
        Codes of parts, each with an entry that was found under it.
    day
        The local day (YYYY-MM-DD) of which all is taken out, if it is one.
    """
    first = 1
    if last > WHOLE:
        first = max(1, min((each.seq for each in entries), default=last) - 1)
    report = journal.walk(first, last - first + 1)
    said = [fault.sentence for fault in report.faults]
    # An entry whose hash was made to fit shows in the link of the one behind it.
    unproven = {seq for fault in report.faults for seq in (fault.seq - 1, fault.seq)}
    said += found_now(journal).damage
    for part, entry in listed:
        if ("part", part) not in {each[:2] for each in touches(entry)}:
            unproven.add(entry.seq)
            said.append(
                f"Entry {entry.seq} is listed under {part} and does not name it."
            )
    if day:
        said += _not_listed(journal, day, last)
    more = f"{len(said) - 1} more findings." if len(said) > 1 else ""
    amiss = sentences(said[0], more) if said else ""
    hashed = journal.hash_of(last)
    return Proof(
        first, last, hashed.hex() if hashed else "", frozenset(unproven), amiss
    )


def _not_listed(journal: Reader, day: str, last: int) -> list[str]:
    """Return what the index should list for a day and does not."""
    parts = set(journal.parts_on(day, last))
    found = []
    first, end = journal.around(day)
    report = journal.walk_index(first, min(end, last) - first + 1)
    found += [fault.sentence for fault in report.faults]
    for entry in journal.readable(first - 1, min(end, last)):
        named = {each.subject for each in touches(entry) if each.subject_kind == "part"}
        if entry.at.day() == day and not named <= parts:
            missing = ", ".join(sorted(named - parts))
            found.append(f"The index of the day {day} leaves out {missing}.")
            parts |= named
    return found
