import csv
import io
import json
import shutil
import sqlite3
from contextlib import closing
from dataclasses import replace

import pytest

from benchassist.clock import Instant
from benchassist.domain import events as ev
from benchassist.domain.evolve import evolve
from benchassist.domain.state import Bench, Closed
from benchassist.journal.drafts import Draft
from benchassist.journal.files import DATABASE
from benchassist.journal.reading import ReadOnlyJournal
from benchassist.journal.writing import Journal
from benchassist.records.amendment import amendments
from benchassist.records.day_log import NEVER_TAKEN_IN, NOT_KNOWN, part_log
from benchassist.records.export import (
    EXPORTS,
    AlteredError,
    ExportError,
    export_amendment,
    export_day,
)
from benchassist.records.rows import COLUMNS
from benchassist.rehearsal import run_script

NOON = Instant(1_772_449_200_000, 60, 5_000, "boot-1")  # 2026-03-02 12:00 local
DAY = "2026-03-02"
SCRIPTS = ["o1_plain_crown", "o4_phone_call", "o5_power_loss_died", "o6_wrong_program"]


def rows_of(paths):
    """Return the rows of the JSON Lines file among the exported ones."""
    (path,) = [path for path in paths if path.suffix == ".jsonl"]
    return [json.loads(line) for line in path.read_text("utf-8").splitlines()]


def days_of(entries):
    return sorted({entry.at.day() for entry in entries})


@pytest.fixture
def store():
    return ev.StoreCreated("real", "store-1", "bench-1", "Europe/Berlin")


@pytest.fixture
def journal(tmp_path, store):
    with Journal.open(tmp_path / "bench") as opened:
        opened.append([Draft(NOON, "OP-1", "tool", store)])
        yield opened


def write(journal, *events, at_s=0):
    at = NOON.plus(at_s * 1000)
    return journal.append([Draft(at, "OP-1", "hand", event) for event in events])


@pytest.fixture(scope="module", params=SCRIPTS)
def rehearsed(request, tmp_path_factory):
    """The journal of a shipped rehearsal, and the whole bench at its end."""
    folder = tmp_path_factory.mktemp("rehearsed")
    run_script(request.param, folder=folder)
    with ReadOnlyJournal.open(folder) as journal:
        bench = Bench()
        for entry in journal.entries():
            bench = evolve(bench, entry)
        yield journal, bench


def test_a_part_alone_is_where_it_is_on_the_whole_bench(rehearsed, tmp_path):
    journal, bench = rehearsed
    found = {}
    for day in days_of(journal.entries()):
        for row in rows_of(export_day(journal, day, tmp_path)):
            found[row["part"]] = row["part_state"], row["part_stage"]

    assert bench.parts
    for code, part in bench.parts.items():
        closed = isinstance(part.phase, Closed)
        state = part.phase.how if closed else part.phase.kind
        assert found[code] == (state, part.stage.key)


def test_a_part_log_holds_all_that_names_the_part(rehearsed, tmp_path):
    journal, _ = rehearsed
    (first, *_) = days_of(journal.entries())
    rows = rows_of(export_day(journal, first, tmp_path))

    for part in {row["part"] for row in rows}:
        seqs = [row["seq"] for row in rows if row["part"] == part]
        own = [
            entry.seq
            for entry in journal.entries()
            if part
            in getattr(entry.event, "parts", (getattr(entry.event, "part", ""),))
        ]
        assert set(own) <= set(seqs)
        assert seqs == sorted(set(seqs))
        runs = {row["event"]["run"] for row in rows if row["kind"] == "RunStarted"}
        ended = [
            entry
            for entry in journal.entries_of("part", part)
            if isinstance(entry.event, ev.DoseCredited)
        ]
        assert {entry.event.run for entry in ended} <= runs


def test_the_end_of_a_run_is_in_the_log_and_the_dose_of_others_is_not(
    journal, tmp_path
):
    write(
        journal,
        ev.RunStarted("run-1", "BX", "", ("K-1", "K-2"), "", 1, 100, 10.0, "flash"),
        ev.RunEndObserved("run-1", "completed", 100, 100, "observed"),
        ev.DoseCredited(
            "K-1", "run-1", "", 1, ("body",), 100, 100, "flash", "observed"
        ),
        ev.DoseCredited(
            "K-2", "run-1", "", 1, ("body",), 100, 100, "flash", "observed"
        ),
        ev.DeviationOpened("D-1", "late", ("K-1",), "looked at"),
    )
    write(journal, ev.DeviationClosed("D-1", "use as is", "no harm"))

    rows = rows_of(export_day(journal, DAY, tmp_path / "out"))

    assert [row["seq"] for row in rows if row["part"] == "K-1"] == [2, 3, 4, 6, 7]
    assert [row["seq"] for row in rows if row["part"] == "K-2"] == [2, 3, 5]
    assert {row["part_state"] for row in rows} == {NEVER_TAKEN_IN}


def test_sleep_and_steps_of_the_clock_stand_beside_what_a_part_had(tmp_path):
    run_script("clock_and_sleep_on_record", folder=tmp_path / "bench")
    with ReadOnlyJournal.open(tmp_path / "bench") as journal:
        rows = rows_of(export_day(journal, DAY, tmp_path / "out"))

    found = {row["kind"]: row["event"] for row in rows}
    assert found["NobodyWatched"] == {"gap_ms": 140_000}
    assert found["WallClockStepped"] == {"step_ms": 3_600_000}
    kinds = [row["kind"] for row in rows]
    between = kinds.index("StageStarted"), kinds.index("StageEnded")
    assert between[0] < kinds.index("NobodyWatched") < between[1]


def test_the_two_forms_say_the_same_and_keep_to_their_standards(rehearsed, tmp_path):
    journal, _ = rehearsed
    (day, *_) = days_of(journal.entries())
    paths = export_day(journal, day, tmp_path)
    table, *_ = paths
    text = table.read_bytes().decode("utf-8")

    # RFC 4180: lines end in CRLF, the last one too, and all have as many fields.
    header, *lines = csv.reader(io.StringIO(text, newline=""), strict=True)
    assert text.endswith("\r\n")
    assert "\n" not in text.replace("\r\n", "")
    assert tuple(header) == tuple(COLUMNS)
    assert {len(line) for line in lines} <= {len(COLUMNS)}
    # jsonlines.org: one JSON value a line, UTF-8, lines end in LF.
    rows = rows_of(paths)
    assert len(rows) == len(lines)
    for row, line in zip(rows, lines, strict=True):
        assert tuple(sorted(row)) == tuple(sorted(COLUMNS))
        event = json.loads(line[-1])
        assert event == row["event"]
        assert line[:-1] == [str(row[name]) for name in tuple(COLUMNS)[:-1]]


def test_it_is_the_same_byte_for_byte_for_the_same_last_entry(journal, tmp_path):
    write(journal, ev.PartHeld("K-1", "till Monday"), ev.PartHeld("K-2", "ü"))
    first = export_day(journal, DAY, tmp_path / "first")
    contents = [path.read_bytes() for path in first]
    write(journal, ev.PartScrapped("K-1", "cracked"), ev.PartHeld("K-3", ""))
    journal.rebuild_projections()

    again = export_day(journal, DAY, tmp_path / "again", upto=3)
    later = export_day(journal, DAY, tmp_path / "first")

    assert [path.name for path in again] == [path.name for path in first]
    assert [path.read_bytes() for path in again] == contents
    assert [path.read_bytes() for path in first] == contents
    assert not {path.name for path in later} & {path.name for path in first}


def test_the_names_carry_day_and_last_entry(journal, tmp_path):
    write(journal, ev.PartHeld("K-1", ""))

    names = [path.name for path in export_day(journal, DAY, tmp_path / "out")]

    assert names == [f"parts-{DAY}-seq-2.{suffix}" for suffix in EXPORTS]
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == sorted(names)


@pytest.mark.parametrize(
    ("kind", "mark"),
    [
        ("real", ""),
        ("demo", "EXAMPLE"),
        ("training", "TRAINING"),
        ("rehearsal", "EXAMPLE"),
    ],
)
def test_every_row_of_an_example_store_says_so(tmp_path, store, kind, mark):
    with Journal.open(tmp_path / kind) as journal:
        journal.append([Draft(NOON, "OP-1", "tool", replace(store, kind=kind))])
        write(journal, ev.PartHeld("EX-K-1", ""), ev.PartHeld("EX-K-2", ""))
        paths = export_day(journal, DAY, tmp_path / "out")

    rows = rows_of(paths)
    assert len(rows) == 2
    assert {row["mark"] for row in rows} == {mark}
    assert all(path.name.startswith(mark or "parts") for path in paths)


def test_only_parts_touched_that_local_day_are_in_it_with_their_whole_log(
    journal, tmp_path
):
    write(journal, ev.PartHeld("K-1", "noon"), ev.PartHeld("K-2", "noon"))
    write(journal, ev.PartHeld("K-1", "after midnight"), at_s=12 * 3600)

    today = rows_of(export_day(journal, DAY, tmp_path / "out"))
    tomorrow = rows_of(export_day(journal, "2026-03-03", tmp_path / "out"))

    assert [(row["part"], row["seq"]) for row in today] == [
        ("K-1", 2), ("K-1", 4), ("K-2", 3),
    ]  # fmt: skip
    assert [(row["part"], row["seq"]) for row in tomorrow] == [("K-1", 2), ("K-1", 4)]
    assert today[0]["at"] == "2026-03-02T12:00:00.000+01:00"
    assert today[1]["at"] == "2026-03-03T00:00:00.000+01:00"
    assert today[0]["event"] == {"part": "K-1", "reason": "noon"}


def test_a_day_without_parts_is_a_header_alone(journal, tmp_path):
    table, lines, *_ = export_day(journal, "2020-01-01", tmp_path / "out")

    assert table.read_text().splitlines() == [",".join(COLUMNS)]
    assert lines.read_bytes() == b""


@pytest.mark.parametrize(
    "day", ["", "yesterday", "2026-13-01", "20260302", "2026-W10-1"]
)
def test_what_is_no_day_is_said(journal, tmp_path, day):
    with pytest.raises(ExportError, match="write it as 2026-03-02"):
        export_day(journal, day, tmp_path / "out")
    assert not (tmp_path / "out").exists()


def test_an_empty_journal_has_nothing_to_export(tmp_path):
    with (
        Journal.open(tmp_path / "bench") as journal,
        pytest.raises(ExportError, match="still empty"),
    ):
        export_day(journal, DAY, tmp_path / "out")


def test_a_folder_that_refuses_is_said_and_leaves_no_half_file(journal, tmp_path):
    (tmp_path / "out").write_text("a file")

    with pytest.raises(ExportError, match="choose another folder"):
        export_day(journal, DAY, tmp_path / "out")


def test_a_writing_that_breaks_off_leaves_no_half_file(journal, tmp_path):
    (tmp_path / "out" / f"parts-{DAY}-seq-1.csv").mkdir(parents=True)  # in the way

    with pytest.raises(ExportError):
        export_day(journal, DAY, tmp_path / "out")

    assert [path.name for path in (tmp_path / "out").iterdir()] == [
        f"parts-{DAY}-seq-1.csv"
    ]


def test_an_export_writes_nothing_to_the_journal(journal, tmp_path):
    write(journal, ev.PartHeld("K-1", ""))
    before = (journal.folder / DATABASE).read_bytes()
    with ReadOnlyJournal.open(journal.folder) as reader:
        export_day(reader, DAY, tmp_path / "out")

    assert (journal.folder / DATABASE).read_bytes() == before


# --- what was put right ------------------------------------------------------------


@pytest.fixture
def put_right(tmp_path):
    """A crown released on one day and put right on the next; the first day's last."""
    folder = tmp_path / "told"
    run_script("told_wrong_released", folder=folder)
    with ReadOnlyJournal.open(folder) as journal:
        signed = max(e.seq for e in journal.entries() if e.at.day() == DAY)
        yield journal, signed


def test_a_report_is_the_same_for_ever_up_to_its_entry(put_right, tmp_path):
    journal, signed = put_right
    rows = rows_of(export_day(journal, DAY, tmp_path / "a", upto=signed))

    assert {row["part_state"] for row in rows} == {"released"}
    assert {row["corrected_by"] for row in rows} == {""}
    assert {row["happened"] for row in rows} == {"yes"}


def test_what_is_true_since_is_marked_and_what_was_told_stays_readable(
    put_right, tmp_path
):
    journal, _ = put_right
    rows = rows_of(export_day(journal, DAY, tmp_path / "a"))
    changed = [row for row in rows if row["corrected_by"]]

    dose, check = changed
    assert (dose["told"]["low"], dose["event"]["low"]) == (2200, 300)
    assert (check["told"]["passed"], check["event"]["passed"]) == (True, False)
    assert {row["part_state"] for row in rows} == {"released"}  # assessed since


def test_an_addition_to_a_report_has_the_changed_rows_alone(put_right, tmp_path):
    journal, signed = put_right
    found = amendments(journal, DAY, signed, journal.head.seq)

    assert [(row.kind, row.field, row.was, row.now) for row in found] == [
        ("DoseCredited", "low", 2200, 300),
        ("DoseCredited", "high", 2200, 300),
        ("CheckRecorded", "passed", True, False),
    ]
    assert found[0].why == "the box's own log says 300"
    assert found[0].who == "OP-1"
    assert found[0].when.startswith("2026-03-03")
    paths = export_amendment(journal, DAY, signed, tmp_path / "b")
    assert [path.suffix for path in paths] == [".csv", ".jsonl"]
    assert all(path.name.startswith("EXAMPLE-amendment-") for path in paths)
    header, *rows = csv.reader(io.StringIO(paths[0].read_text("utf-8"), newline=""))
    lines = rows_of(paths)
    assert sorted(header) == list(lines[0])
    assert header[:2] == ["mark", "part"]
    assert {row["mark"] for row in lines} == {"EXAMPLE"}
    assert {row["proven"] for row in lines} == {"yes"}
    assert {row["last_hash"] for row in lines} == {journal.head.hash.hex()}
    assert [(row[6], row[7]) for row in rows] == [
        ("2200", "300"),
        ("2200", "300"),
        ("true", "false"),
    ]


def test_there_is_no_addition_where_nothing_was_put_right(put_right, tmp_path):
    journal, _ = put_right
    assert export_amendment(journal, DAY, journal.head.seq, tmp_path / "b") == ()
    assert not (tmp_path / "b").exists()


def test_an_addition_says_what_the_chain_does_not_vouch_for(put_right, tmp_path):
    journal, signed = put_right
    (*_, last) = amendments(journal, DAY, signed, journal.head.seq)
    altered = tmp_path / "altered"
    shutil.copytree(journal.folder, altered)
    with closing(sqlite3.connect(altered / DATABASE)) as db:
        db.execute("DROP TRIGGER events_stay_as_they_are")
        db.execute("UPDATE events SET operator = 'OP-9' WHERE seq = ?", (last.seq,))
        db.commit()
    with (
        ReadOnlyJournal.open(altered) as damaged,
        pytest.raises(AlteredError, match="rely on no row") as told,
    ):
        export_amendment(damaged, DAY, signed, tmp_path / "b")

    proven = {row["seq"]: row["proven"] for row in rows_of(told.value.paths)}
    assert proven[last.seq] == "NO"
    assert "yes" in proven.values()


def test_an_addition_of_no_day_or_to_no_folder_is_one_sentence(put_right, tmp_path):
    journal, signed = put_right
    (tmp_path / "file").write_text("")
    with pytest.raises(ExportError, match="is no day"):
        export_amendment(journal, "yesterday", signed, tmp_path)
    with pytest.raises(ExportError, match="cannot be written"):
        export_amendment(journal, DAY, signed, tmp_path / "file")


def test_an_addition_says_what_did_not_happen(tmp_path):
    run_script("told_wrong_turn", folder=tmp_path)
    with ReadOnlyJournal.open(tmp_path) as journal:
        entries = list(journal.entries())
        first = min(e.seq for e in entries if isinstance(e.event, ev.Corrected))
        found = amendments(journal, entries[0].at.day(), first - 1, journal.head.seq)

    gone = [row for row in found if row.field == ev.GONE]
    assert "FlipConfirmed" in {row.kind for row in gone}
    assert {(row.was, row.now) for row in gone} == {(False, True)}
    assert {row.why for row in gone} == {"turned only on paper"}


def test_of_a_part_whose_entries_are_missing_nothing_is_claimed(tmp_path):
    """Where it stands follows from all that was done: with a hole in it nobody knows."""
    run_script("o1_plain_crown", folder=tmp_path)
    with closing(sqlite3.connect(tmp_path / DATABASE)) as db:
        for (name,) in db.execute(
            "SELECT name FROM sqlite_master WHERE type = 'trigger'"
        ).fetchall():
            db.execute(f"DROP TRIGGER {name}")
        db.execute(
            "DELETE FROM touches WHERE seq IN"
            " (SELECT seq FROM events WHERE kind = 'BrushWetted')"
        )
        db.commit()
    with ReadOnlyJournal.open(tmp_path) as journal:
        found = part_log(journal, "EX-21", journal.head.seq)

    assert (found.state, found.stage, found.bench) == (NOT_KNOWN, "", None)
