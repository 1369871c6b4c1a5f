"""What can be read of a store, and how far its chain vouches for it.

Nothing here writes into a store: it is looked at, told of and copied out of.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

from benchassist.domain.state import Bench
from benchassist.files import folder_for, write_whole
from benchassist.journal.codec import canonical
from benchassist.journal.errors import JournalError
from benchassist.journal.opening import found_now
from benchassist.journal.reading import Reader
from benchassist.stores import Known, last_state, reading
from benchassist.value import value

if TYPE_CHECKING:
    from benchassist.journal.chain import Fault

SLICE = 1000  # [links] walked at a time
MOST = 3  # [findings] named in one sentence


class RecoveryError(JournalError):
    """An act that cannot be done; the message is for the operator."""


@value
class PartProof:
    """A part in flight as last known, and whether the chain vouches for it."""

    code: str
    proven: str


@value
class Broken:
    """What is left of a store: its findings, the first bad entry, its parts.

    ``first_bad`` is 0 where no single entry is; ``bench`` the state after ``upto``,
    the last entry that was folded, ``amiss`` why not more.
    """

    findings: tuple[str, ...]
    first_bad: int
    last: int
    upto: int
    parts: tuple[PartProof, ...] = ()
    amiss: str = ""
    bench: Bench = Bench()

    @property
    def sentence(self) -> str:
        """Return the first bad place, and how much more there is."""
        if not self.findings:
            return self.amiss or "Nothing is damaged."
        more = len(self.findings) - 1
        return self.findings[0] + (f" And {more} more." if more else "")


def look(folder: Path) -> Broken:
    """Return what can be read of a store and how far the chain vouches for it.

    Raises
    ------
    JournalError
        If not even its end can be found.
    """
    with reading(folder) as journal:
        last = journal.head.seq
        faults = list(walked(journal, last))
        findings = [fault.sentence for fault in faults]
        with suppress(JournalError):
            told = found_now(journal).damage
            findings += [each for each in told if each not in findings]
        known = known_of(journal)
        first_bad = min((fault.seq for fault in faults), default=0)
        unproven = _unproven(faults)
        parts = tuple(_proofs(journal, known, unproven))
    return Broken(
        tuple(findings), first_bad, last, known.seq, parts, known.amiss, known.bench
    )


def walked(journal: Reader, last: int) -> Iterator[Fault]:
    """Walk the chain to entry ``last`` in slices; yield where it is broken."""
    for first in range(1, last + 1, SLICE):
        yield from journal.walk(first, min(SLICE, last - first + 1)).faults


def _unproven(faults: list[Fault]) -> set[int]:
    """Return the entries beside a break: the hash between two vouches for both."""
    return {seq for fault in faults for seq in (fault.seq - 1, fault.seq)}


def known_of(journal: Reader) -> Known:
    """Return the state that the entries make, or that they make none."""
    try:
        return last_state(journal)
    except (LookupError, TypeError, ValueError) as error:
        # Entries that are each readable and together make no sense.
        return Known(Bench(), 0, f"The state cannot be made ({type(error).__name__}).")


def _proofs(journal: Reader, known: Known, unproven: set[int]) -> Iterator[PartProof]:
    for part in known.bench.in_flight:
        try:
            own = set(journal.seqs_of("part", part.code))
        except JournalError:
            own = set()
        bad, later = own & unproven, {seq for seq in own if seq > known.seq}
        if not own:
            told = "not proven: the index cannot be read"
        elif bad:
            told = f"not proven: entry {max(bad)}"
        elif later:
            told = f"proven to entry {known.seq}; later ones are not shown"
        else:
            told = "proven"
        yield PartProof(part.code, told)


def in_words(folder: Path) -> tuple[str, bool]:
    """Return how a store's chain and index are found, and whether all is well.

    Raises
    ------
    JournalError
        If it cannot be read.
    """
    with reading(folder) as journal:
        head = journal.head
        found = [fault.sentence for fault in walked(journal, head.seq)]
        found += [each for each in found_now(journal).damage if each not in found]
        found += filter(None, journal.index_faults(head.seq))
        if not found:
            told = f"Entries 1 to {head.seq} are what was written; the last one's hash"
            return f"{told} is {head.hash.hex()}.", True
    more = len(found) - MOST
    return " ".join(found[:MOST]) + (f" And {more} more." if more > 0 else ""), False


def salvage(folder: Path, out: Path) -> str:
    """Write every entry that can be read as JSON Lines, each marked proven or not.

    Raises
    ------
    JournalError
        If nothing can be read, or the folder refuses.
    """
    with reading(folder) as journal:
        last = journal.head.seq
        faults = list(walked(journal, last))
        unproven = _unproven(faults)
        lines = [
            canonical(
                {
                    "seq": entry.seq,
                    "at": entry.at.local().isoformat(timespec="milliseconds"),
                    "operator": entry.operator,
                    "channel": entry.channel,
                    "kind": type(entry.event).__name__,
                    "version": entry.event.version,
                    "event": entry.event,
                    "proven": "NO" if entry.seq in unproven else "yes",
                }
            )
            for entry in journal.readable(0, last)
        ]
    try:
        path = folder_for(out) / f"readable-seq-{last}.jsonl"
        write_whole(path, "".join(f"{line}\n" for line in lines).encode())
    except OSError as error:
        message = f"{out} cannot be written to ({error.strerror}): choose another."
        raise RecoveryError(message) from error
    return f"{len(lines)} of {last} entries could be read; they are in {path}."
