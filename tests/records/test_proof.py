"""Nothing that was altered leaves the record without a word."""

# ruff: noqa: S608 - statements of our own making

import json
import shutil
import sqlite3
from contextlib import closing

import pytest

from benchassist.cli import main
from benchassist.clock import RealClock
from benchassist.domain.events import PartReleased
from benchassist.journal.chain import link
from benchassist.journal.files import DATABASE, WITNESS
from benchassist.journal.reading import ReadOnlyJournal
from benchassist.journal.writing import Journal
from benchassist.records.export import EXPORTS, AlteredError, export_day
from benchassist.records.proof import prove
from benchassist.rehearsal import run_script
from benchassist.rehearsal.demo import build_training


@pytest.fixture(scope="module")
def _made(tmp_path_factory):
    folder = tmp_path_factory.mktemp("made") / "store"
    run_script("o4_arch_and_call", folder=folder)
    return folder


@pytest.fixture
def store(_made, tmp_path):
    return shutil.copytree(_made, tmp_path / "store")


def alter(folder, *statements):
    """Change what is on disk as one could who takes off the guards, and puts them back."""
    with closing(sqlite3.connect(folder / DATABASE, isolation_level=None)) as db:
        guards = db.execute(
            "SELECT name, sql FROM sqlite_master WHERE type = 'trigger'"
        ).fetchall()
        for name, _ in guards:
            db.execute(f"DROP TRIGGER {name}")
        for statement in statements:
            db.execute(statement)
        for _, sql in guards:
            db.execute(sql)


def day_of(folder):
    with ReadOnlyJournal.open(folder) as journal:
        first = next(journal.entries())
    return first.at.day()


def export(folder, out):
    """Return the rows that are exported, and the sentence if there is one."""
    with ReadOnlyJournal.open(folder) as journal:
        try:
            paths, said = export_day(journal, day_of(folder), out), ""
        except AlteredError as error:
            paths, said = error.paths, str(error)
    (lines,) = [path for path in paths if path.suffix == ".jsonl"]
    return [json.loads(line) for line in lines.read_text("utf-8").splitlines()], said


def seq_of(folder, kind):
    with closing(sqlite3.connect(folder / DATABASE)) as db:
        row = db.execute(
            "SELECT seq FROM events WHERE kind = ? ORDER BY seq LIMIT 1", (kind,)
        ).fetchone()
    return row[0]


def test_an_untouched_day_is_proven_row_by_row_and_names_its_head(store, tmp_path):
    rows, said = export(store, tmp_path / "out")

    assert said == ""
    assert {row["proven"] for row in rows} == {"yes"}
    with ReadOnlyJournal.open(store) as journal:
        assert {row["last_hash"] for row in rows} == {journal.head.hash.hex()}


def test_an_edited_payload_is_marked_and_said(store, tmp_path, capsys):
    seq = seq_of(store, "SpotTacked")
    alter(
        store,
        "UPDATE events SET payload = replace(payload, '\"light_ms\":',"
        f" '\"light_ms\":9') WHERE seq = {seq}",
    )

    rows, said = export(store, tmp_path / "out")

    assert said.startswith(
        f"Entry {seq} is not what was written: its hash does not fit."
    )
    assert {row["seq"] for row in rows if row["proven"] == "NO"} <= {seq - 1, seq}
    assert all(row["proven"] == "NO" for row in rows if row["seq"] == seq)
    words = ["export", "--data", str(store), "--day", day_of(store)]
    assert main([*words, "--out", str(tmp_path / "again")]) == 2
    told = capsys.readouterr()
    assert len(told.out.splitlines()) == len(EXPORTS)
    assert told.err.count("\n") == 1


def test_an_edit_with_its_hash_made_to_fit_is_marked_too(store, tmp_path):
    seq = seq_of(store, "SpotTacked")
    with ReadOnlyJournal.open(store) as journal:
        before, row = journal._rows(seq - 2, seq)
    payload = row.payload.replace('"light_ms":', '"light_ms":9')
    fits = link(before.hash, row._replace(payload=payload))
    alter(
        store,
        f"UPDATE events SET payload = '{payload}', hash = x'{fits.hex()}'"
        f" WHERE seq = {seq}",
    )

    rows, said = export(store, tmp_path / "out")

    assert f"Entry {seq + 1} is not what was written" in said
    assert all(row["proven"] == "NO" for row in rows if row["seq"] == seq)


@pytest.mark.parametrize(
    ("statement", "said"),
    [
        ("DELETE FROM part_days", "The index of the day"),
        ("DELETE FROM touches WHERE seq = {seq}", "missing from the index"),
        (
            "INSERT INTO touches VALUES ('part', 'EX-99', {seq}, 'part')",
            "is listed under EX-99",
        ),
        (
            "UPDATE events SET hash = x'00' WHERE seq = (SELECT max(seq) FROM events)",
            "",
        ),
        ("CREATE TRIGGER more AFTER INSERT ON events BEGIN SELECT 1; END", "guards"),
    ],
)
def test_what_an_index_hides_or_adds_is_said(store, tmp_path, statement, said):
    seq = seq_of(store, "SpotTacked")
    if "EX-99" in statement:
        alter(
            store, f"INSERT INTO part_days VALUES ('{day_of(store)}', 'EX-99', {seq})"
        )
    alter(store, statement.format(seq=seq))

    _, told = export(store, tmp_path / "out")

    assert told
    assert said in told


def test_a_tail_that_was_cut_off_is_said(store, tmp_path):
    alter(store, "DELETE FROM events WHERE seq > (SELECT max(seq) - 3 FROM events)")

    _, told = export(store, tmp_path / "out")

    assert "was already written" in told


def test_a_witness_that_is_gone_is_said(store, tmp_path):
    (store / WITNESS).unlink()

    _, told = export(store, tmp_path / "out")

    assert "witness" in told


def test_a_writer_at_work_is_no_finding(store, tmp_path):
    with Journal.open(store) as journal, ReadOnlyJournal.open(store) as reader:
        at = journal.last_at
        last = list(journal.entries())[-1]
        proof = prove(reader, [last], reader.head.seq)

        assert (proof.amiss, proof.unproven) == ("", frozenset())
        assert proof.vouches(last.seq)
        assert at is not None


def test_a_card_of_an_altered_part_says_so(tmp_path, capsys):
    folder = tmp_path / "training"
    build_training(folder, RealClock(), zone="UTC")
    words = ["cards", "--data", str(folder), "--out"]
    assert main([*words, str(tmp_path / "whole")]) == 0
    page = next((tmp_path / "whole").iterdir()).read_text("utf-8")
    with ReadOnlyJournal.open(folder) as journal:
        assert f"hash {journal.head.hash.hex()[:16]}" in page
        assert "chain walked from entry 1: whole." in page
    capsys.readouterr()
    seq = seq_of(folder, "PartTaken")
    alter(folder, f"UPDATE events SET operator = 'OP-9' WHERE seq = {seq}")

    assert main([*words, str(tmp_path / "altered")]) == 2
    told = capsys.readouterr()
    assert f"Entry {seq} is not what was written" in told.err
    page = next((tmp_path / "altered").iterdir()).read_text("utf-8")
    assert "not whole" in page
    assert f"Entry {seq} is not what was written" in page


def test_a_long_record_is_walked_from_what_is_taken_out(store, monkeypatch):
    monkeypatch.setattr("benchassist.records.proof.WHOLE", 10)
    alter(store, "UPDATE events SET operator = 'OP-9' WHERE seq = 3")
    with ReadOnlyJournal.open(store) as journal:
        last = journal.head.seq
        released = [
            each for each in journal.entries() if isinstance(each.event, PartReleased)
        ]
        tail = released or list(journal.entries(last - 2))
        proof = prove(journal, tail, last)

    assert proof.first == tail[0].seq - 1
    assert not proof.vouches(3)
    assert proof.vouches(last)
