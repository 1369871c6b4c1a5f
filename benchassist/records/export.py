"""A day's logs as files that are the same, byte for byte, for the same last entry.

A new export is one file beside this one and one line in ``EXPORTS``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from itertools import chain
from pathlib import Path

from benchassist.domain.events import StoreCreated
from benchassist.domain.words import is_day
from benchassist.files import write_whole, written_to
from benchassist.journal.codec import canonical
from benchassist.journal.reading import Reader
from benchassist.plain import PlainError
from benchassist.records import cells
from benchassist.records.amendment import amendments
from benchassist.records.csv_log import as_csv
from benchassist.records.day_log import DayLog, day_log
from benchassist.records.day_page import as_day_page
from benchassist.records.json_log import as_json_lines
from benchassist.records.paper import mark_of, stem
from benchassist.records.part_lines import as_part_lines
from benchassist.records.proof import Proof, prove

EXPORTS: Mapping[str, Callable[[DayLog], str]] = {
    # suffix of the file: what writes it
    "csv": as_csv,
    "jsonl": as_json_lines,
    "lines.csv": as_part_lines,
    "page.html": as_day_page,
}


class ExportError(PlainError):
    """A day cannot be exported; the message is for the operator."""


class AlteredError(ExportError):
    """The record is not what was written; the files are there, their rows marked.

    Attributes
    ----------
    paths
        The files.
    """

    def __init__(self, amiss: str, paths: tuple[Path, ...]) -> None:
        self.paths = paths
        super().__init__(
            f"{amiss} What was exported is marked row by row in the column “proven”:"
            " rely on no row that says NO."
        )


def export_day(
    journal: Reader, day: str, out: Path, *, upto: int | None = None
) -> tuple[Path, ...]:
    """Write the logs of every part that a local day touched, in each form.

    Parameters
    ----------
    journal
        Any open journal; a worker takes a ``ReadOnlyJournal`` of its own.
    day
        The local day, YYYY-MM-DD.
    out
        The folder to write to; made when absent.
    upto
        The last entry to export, ``None`` for the last there is. The names of the
        files carry it.

    Returns
    -------
    tuple of Path
        The files written, one for each form.

    Raises
    ------
    ExportError
        If the day is no day, the journal is empty or the folder refuses.
    AlteredError
        If the chain does not vouch for all of it; the files are written and marked.
    """
    last_seq = journal.head.seq if upto is None else min(upto, journal.head.seq)
    log = day_log(journal, _store(journal), _checked(day), last_seq)
    name = stem(log.mark, "parts", day, "seq", str(last_seq))
    # One after the other: the longest day is never in memory in all its forms.
    forms = ((suffix, form(log)) for suffix, form in EXPORTS.items())
    return _written(out, name, forms, log.proof)


def export_amendment(
    journal: Reader, day: str, reported: int, out: Path
) -> tuple[Path, ...]:
    """Write what was put right since a day's report, as CSV and JSON Lines.

    Parameters
    ----------
    journal, day, out
        As for ``export_day``.
    reported
        The last entry of the report.

    Returns
    -------
    tuple of Path
        The files written; none where nothing was put right since.

    Raises
    ------
    ExportError
        If the day is no day, the journal is empty or the folder refuses.
    AlteredError
        If the chain does not vouch for all of it; the files are written and marked.
    """
    mark, last = mark_of(_store(journal)), journal.head.seq
    found = amendments(journal, _checked(day), reported, last)
    if not found:
        return ()
    numbers = [(each.seq, each.put_right) for each in found]
    proof = prove(journal, map(journal.entry, chain.from_iterable(numbers)), last)
    rows = [
        {
            "mark": mark,
            **vars(each),
            "proven": proof.says(*behind),
            "last_seq": last,
            "last_hash": proof.hash,
        }
        for each, behind in zip(found, numbers, strict=True)
    ]
    name = stem(mark, "amendment", day, "seq", str(reported), "to", str(last))
    table = (map(_plain, row.values()) for row in rows)
    forms = {
        "csv": cells.as_csv(tuple(rows[0]), table),
        "jsonl": "".join(f"{canonical(row)}\n" for row in rows),
    }
    return _written(out, name, forms.items(), proof)


def _plain(told: object) -> object:
    return canonical(told) if isinstance(told, bool | tuple) else told


def _written(
    out: Path, name: str, forms: Iterable[tuple[str, str]], proof: Proof
) -> tuple[Path, ...]:
    with written_to(out, "export", ExportError) as folder:
        paths = tuple(
            write_whole(folder / f"{name}.{suffix}", text.encode())
            for suffix, text in forms
        )
    if proof.amiss:
        raise AlteredError(proof.amiss, paths)
    return paths


def _store(journal: Reader) -> StoreCreated:
    if journal.store is None:
        message = "There is nothing to export: this journal is still empty."
        raise ExportError(message)
    return journal.store


def _checked(day: str) -> str:
    if not is_day(day):
        message = f"{day!r} is no day: write it as 2026-03-02."
        raise ExportError(message)
    return day
