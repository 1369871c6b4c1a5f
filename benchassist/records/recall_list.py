"""The written list of a recall: what is not known first, then the parts that have it.

One CSV for a spreadsheet and one page for paper, each with the chain's proof.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import chain
from pathlib import Path

from benchassist.domain.recall import Answer, Found, Sought
from benchassist.files import write_whole, written_to
from benchassist.journal.finding import find
from benchassist.journal.reading import Reader
from benchassist.records import cells
from benchassist.records.export import AlteredError, ExportError
from benchassist.records.paper import head, mark_of, p, page, row, stem, table, titles
from benchassist.records.proof import Proof, prove

COLUMNS = (
    *("mark", "sought", "days", "part", "how", "sure", "state", "closed_day"),
    *("prescriber", "proven", "last_seq", "last_hash"),
)
FIRST = "Of these parts it is not known. They may have it or not."


def write_recall(journal: Reader, sought: Sought, out: Path) -> tuple[Path, ...]:
    """Write the list of what is sought, as CSV and as a page.

    Raises
    ------
    ExportError
        If the journal is empty or the folder refuses.
    AlteredError
        If the chain does not vouch for all of it; the files are written and marked.
    """
    store = journal.store
    if store is None:
        raise ExportError("There is nothing to write: this journal is still empty.")
    answer, last = find(journal, sought), journal.head.seq
    parts = [each.part for each in (*answer.unknown, *answer.known)]
    listed = {part: journal.seqs_of("part", part) for part in parts}
    first = min(chain.from_iterable(listed.values()), default=1)
    proof = prove(journal, journal.entries(first - 1, first), last)
    mark = mark_of(store)
    proven = {part: proof.says(*seqs) for part, seqs in listed.items()}
    name = stem(mark, "recall", sought.code or sought.first, "seq", str(last))
    with written_to(out, "list", ExportError) as folder:
        paths = (
            write_whole(
                folder / f"{name}.csv", as_csv(answer, mark, proven, proof).encode()
            ),
            write_whole(
                folder / f"{name}.html", as_page(answer, mark, proven, proof).encode()
            ),
        )
    if proof.amiss:
        raise AlteredError(proof.amiss, paths)
    return paths


def as_csv(answer: Answer, mark: str, proven: dict[str, str], proof: Proof) -> str:
    """Return the list as CSV (RFC 4180), what is not known first."""
    sought = answer.sought
    days = f"{sought.first}..{sought.last}" if sought.first or sought.last else ""
    rows = (
        (
            mark,
            f"{sought.kind} {sought.code}".strip(),
            days,
            each.part,
            ", ".join(each.how),
            each.sure,
            each.state,
            each.closed_day,
            each.prescriber,
            proven[each.part],
            proof.last,
            proof.hash,
        )
        for each in (*answer.unknown, *answer.known)
    )
    return cells.as_csv(COLUMNS, rows)


def as_page(answer: Answer, mark: str, proven: dict[str, str], proof: Proof) -> str:
    """Return the list as one page for paper."""
    sought = answer.sought
    title = f"Recall {sought.code or sought.first}"
    return page(title, _body(answer, mark, proven, proof, title))


def _body(
    answer: Answer, mark: str, proven: dict[str, str], proof: Proof, title: str
) -> Iterator[str]:
    sought = answer.sought
    yield head(title, mark)
    some = sought.first or sought.last
    days = f"{sought.first or '…'} to {sought.last or 'now'}" if some else ""
    yield p(
        sought.kind, days, f"through {', '.join(answer.through)}" * bool(answer.through)
    )
    yield f"<h2>Not known: {len(answer.unknown)}</h2>"
    if answer.unknown:
        yield p(FIRST)
        yield from _table(answer.unknown, proven)
    yield f"<h2>Known: {len(answer.known)}</h2>"
    yield from _table(answer.known, proven)
    yield p(proof.told, proof.amiss)


def _table(parts: Iterable[Found], proven: dict[str, str]) -> Iterator[str]:
    names = ("Part", "How", "How sure", "Where it is", "Prescriber", "Proven")
    rows = (
        row(
            each.part,
            ", ".join(each.how),
            each.sure,
            f"{each.state} {each.closed_day}".strip(),
            each.prescriber,
            proven[each.part],
        )
        for each in parts
    )
    yield from table((titles(*names), *rows))
