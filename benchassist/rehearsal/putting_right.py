"""Words of a script line to a correction of an entry that the script names by kind.

A script knows no entry numbers: it names the kind, whom it concerns, and where several
do, which of them, counted from the first.
"""

from __future__ import annotations

from collections.abc import Sequence

from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.truth import Record

EXPECTED = (
    "expected: put-right KIND WHOM FIELD VALUE REASON, such as"
    ' put-right FlipConfirmed EX-27 happened no "turned only on paper"'
)
WORDS = 5  # kind, whom, field, value, reason
HAPPENED = "happened"
SUBJECTS = ("part", "run", "lamp", "lot", "vessel")


def correction_of(words: Sequence[str], record: Record) -> cm.Correct:
    """Return the correction that a line asks for.

    Raises
    ------
    ValueError
        If there is no such entry, or a word is missing.
    """
    named = dict(word.split("=", 1) for word in words[WORDS:] if "=" in word)
    if len(words) < WORDS:
        raise ValueError(EXPECTED)
    if named.keys() - {"part", "nth"}:
        raise ValueError(EXPECTED)
    kind, whom, field, text, reason = words[:WORDS]
    entry = _entry(record, kind, whom, int(named.get("nth", "0")))
    return cm.Correct(
        entry=entry.seq,
        field=ev.GONE if field == HAPPENED else field,
        value=text,
        reason=reason,
        part=named.get("part", ""),
    )


def _entry(record: Record, kind: str, whom: str, nth: int) -> ev.Entry:
    if kind not in ev.KINDS:
        message = f"there is no kind of entry called “{kind}”"
        raise ValueError(message)
    found = [
        entry
        for subject in SUBJECTS
        for entry in record.entries_of(subject, whom)
        if isinstance(entry.event, ev.KINDS[kind])
    ]
    if not found or nth > len(found):
        message = f"there is no {kind} of {whom}"
        raise ValueError(message)
    return found[nth - 1]
