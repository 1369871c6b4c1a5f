"""The written list of a recall: what is not known first, every line with its proof."""

import csv
import io
import sqlite3
from contextlib import closing

import pytest

from benchassist.domain.recall import Answer, Found, Sought
from benchassist.journal.files import DATABASE
from benchassist.journal.reading import ReadOnlyJournal
from benchassist.journal.writing import Journal
from benchassist.records.export import AlteredError, ExportError
from benchassist.records.proof import Proof
from benchassist.records.recall_list import FIRST, as_csv, as_page, write_recall
from benchassist.rehearsal import Player, load_script
from benchassist.rehearsal.memory import MemoryJournal


@pytest.fixture
def recalled(tmp_path):
    book = MemoryJournal()
    for _ in Player(load_script("recall_mix"), lambda: book).moments():
        pass
    book.write(tmp_path / "store").close()
    return tmp_path / "store"


def read(table):
    return list(csv.DictReader(table.read_text().splitlines()))


def listed(folder, out, **sought):
    with ReadOnlyJournal.open(folder) as journal:
        table, page = write_recall(journal, Sought("lot", "EX-LT-C2", **sought), out)
    return read(table), page.read_text()


def test_every_part_of_the_list_stands_in_both_files(recalled, tmp_path):
    rows, page = listed(recalled, tmp_path / "out")

    assert rows
    assert {row["sought"] for row in rows} == {"lot EX-LT-C2"}
    assert {row["proven"] for row in rows} == {"yes"}
    assert len({row["last_hash"] for row in rows}) == 1
    assert all(f"<td>{row['part']}</td>" in page for row in rows)
    known = [row["sure"] != "not known" for row in rows]
    assert known == sorted(known)  # what is not known comes first
    assert (FIRST in page) == (False in known)


@pytest.mark.parametrize(
    ("days", "row", "page"),
    [
        ({}, "", ""),
        ({"first": "2020-01-01"}, "2020-01-01..", "2020-01-01 to now"),
        ({"last": "2099-12-31"}, "..2099-12-31", "… to 2099-12-31"),
    ],
)
def test_the_days_that_were_asked_for_stand_in_both(
    recalled, tmp_path, days, row, page
):
    rows, told = listed(recalled, tmp_path / "out", **days)

    assert {each["days"] for each in rows} == {row}
    assert page in told
    assert (" to " in told.split("<h2>")[0].split("<h1>")[1]) == bool(days)


def test_what_the_chain_does_not_vouch_for_is_written_and_marked(recalled, tmp_path):
    with closing(sqlite3.connect(recalled / DATABASE)) as db:
        for (name,) in db.execute(
            "SELECT name FROM sqlite_master WHERE type = 'trigger'"
        ).fetchall():
            db.execute(f"DROP TRIGGER {name}")
        db.execute("UPDATE events SET payload = replace(payload, 'EX-61', 'EX-6l')")
        db.commit()
    with pytest.raises(AlteredError, match="rely on no row") as told:
        listed(recalled, tmp_path / "out")

    table, _ = told.value.paths
    assert "NO" in {row["proven"] for row in read(table)}


def test_an_empty_journal_and_a_folder_that_refuses_are_told(recalled, tmp_path):
    empty = pytest.raises(ExportError, match="still empty")
    with Journal.open(tmp_path / "new") as journal, empty:
        write_recall(journal, Sought("lot", "EX-LT-C2"), tmp_path / "out")
    (tmp_path / "file").write_text("")
    with pytest.raises(ExportError, match="The list cannot be written"):
        listed(recalled, tmp_path / "file")


def test_what_is_not_known_stands_first_and_is_said_to_be_so():
    """A list that left out what nobody knows would call it safe by silence."""
    known = Found("EX-1", "released", "2026-03-02", ("coat 1",), "seen")
    unknown = Found("EX-2", "in work", "", (), "not known")
    answer = Answer(
        Sought("lot", "EX-LT-C2"), (known,), (unknown,), through=("EX-LT-M1",)
    )
    proven = {"EX-1": "yes", "EX-2": "NO"}
    page = as_page(answer, "EXAMPLE", proven, Proof(1, 9, "ab"))

    assert page.index(FIRST) < page.index("EX-2") < page.index("EX-1")
    assert "<h2>Not known: 1</h2>" in page
    assert "through EX-LT-M1" in page
    table = as_csv(answer, "EXAMPLE", proven, Proof(1, 9, "ab"))
    rows = csv.DictReader(io.StringIO(table, newline=""))
    assert [(row["part"], row["proven"]) for row in rows] == [
        ("EX-2", "NO"),
        ("EX-1", "yes"),
    ]
