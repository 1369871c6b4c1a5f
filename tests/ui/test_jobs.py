"""What the window has a worker write: the day's logs, and cards for paper."""

import gc
import sqlite3
import sys
from contextlib import closing
from functools import partial

import pytest

from benchassist.clock import RealClock
from benchassist.domain import commands as cm
from benchassist.journal.writing import Journal
from benchassist.records.card import CardError
from benchassist.records.export import EXPORTS
from benchassist.rehearsal.demo import build_training
from benchassist.session import Session
from benchassist.ui.actions import ExportDay
from benchassist.ui.filing import read_file
from benchassist.ui.jobs import Checked, Exporter, Later
from benchassist.ui.worker import Job


@pytest.fixture
def running(tmp_path):
    """Return a session that holds its store, and the folder."""
    folder = tmp_path / "store"
    build_training(folder, RealClock(), zone="UTC")
    session = Session(Journal.open(folder), RealClock())
    session.handle(cm.ClaimStation("OP-9"))
    yield session, folder
    session.close()


def written(session, folder, out, what):
    """Do what the export page asks for with a folder."""
    return Exporter(folder).job(ExportDay(session.now().day(), str(out), what))()


def test_cards_are_written_while_the_window_runs(running, tmp_path):
    session, folder = running
    told = written(session, folder, tmp_path / "out", "cards")

    names = sorted(path.name for path in (tmp_path / "out").iterdir())
    seq = session.bench.seq
    assert names == [f"TRAINING-card-EX-T{n}-seq-{seq}.html" for n in (1, 2, 3, 4)]
    assert told == f"4 cards are in {tmp_path / 'out'}."


def test_the_logs_are_still_the_logs(running, tmp_path):
    session, folder = running
    told = written(session, folder, tmp_path / "out", "logs")

    assert len(list((tmp_path / "out").iterdir())) == len(EXPORTS)
    assert told.startswith("Written: ")


def test_the_library_is_written_and_read_by_the_window_itself(running, tmp_path):
    session, folder = running
    out = tmp_path / "out"

    told = Exporter(folder).job(ExportDay("2026-03-02", str(out), "library"))()

    (path,) = out.iterdir()
    assert told == f"The library is in {path}."
    command = read_file(path)
    assert command.lamps == tuple(session.bench.lamps.values())


def test_a_library_that_has_no_room_is_told_in_one_sentence(running, tmp_path):
    (tmp_path / "file").write_text("in the way")
    action = ExportDay("2026-03-02", str(tmp_path / "file"), "library")

    told = Exporter(running[1]).job(action)()

    assert told.startswith(f"{tmp_path / 'file'}: ")
    assert told.endswith("Choose another folder or free some space.")


def test_a_folder_that_refuses_is_told_the_window_as_one_sentence(
    running, tmp_path, qtbot
):
    (tmp_path / "file").write_text("in the way")
    action = ExportDay("2026-03-02", str(tmp_path / "file"), what="cards")
    job = Exporter(running[1]).job(action)
    said = []

    with pytest.raises(CardError):
        job()
    Job(job, partial(pytest.fail, "it was written"), said.append).start()

    qtbot.waitUntil(lambda: bool(said))
    (sentence,) = said
    assert "choose another folder" in sentence
    assert "\n" not in sentence


def test_what_waits_for_the_first_paint_brings_the_sums_and_walks_the_chain(running):
    _, folder = running

    assert Later(folder).work() == ""
    assert {"pyqtgraph", "benchassist.ui.present.physics.forecast"} <= set(sys.modules)


def test_a_changed_entry_is_found_after_the_first_paint(running):
    session, folder = running
    session.close()
    with closing(sqlite3.connect(folder / "journal.sqlite")) as db:
        for (name,) in db.execute(
            "SELECT name FROM sqlite_master WHERE type = 'trigger'"
        ).fetchall():
            db.execute(f"DROP TRIGGER {name}")
        db.execute("UPDATE events SET operator = 'EX-OTHER' WHERE seq = 2")
        db.commit()

    assert Later(folder).work().startswith("The record is damaged: ")


def test_what_is_loaded_is_out_of_the_collectors_rounds_once_the_record_was_walked():
    gc.unfreeze()
    Checked(window=None).done("")

    assert gc.get_freeze_count() > 0
    gc.unfreeze()
