"""The read-only window: what is proven is marked, and every way on is a key."""

# ruff: noqa: S608 - statements of our own making

import gc
import shutil
import sqlite3
import typing
from contextlib import closing

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from benchassist import app as program
from benchassist.clock import RealClock
from benchassist.domain import events as ev
from benchassist.domain.state import Phase
from benchassist.journal.errors import JournalReadOnlyError
from benchassist.journal.files import DATABASE
from benchassist.journal.reading import ReadOnlyJournal
from benchassist.journal.writing import Journal
from benchassist.readable import in_words, look
from benchassist.recovery import backup
from benchassist.rehearsal.demo import build_training
from benchassist.ui import settings as kept
from benchassist.ui.desk import Desk
from benchassist.ui.jobs import Exporter
from benchassist.ui.present.pages import FormError, texts_to_blank
from benchassist.ui.present.record import again, record
from benchassist.ui.present.recovery import PHASES
from benchassist.ui.present.recovery import recovery as view_of
from benchassist.ui.reading import Reading
from benchassist.ui.recovery import RecoveryWindow
from benchassist.ui.worker import Job
from benchassist.value import replace

WAIT_MS = 20_000
HOLD_MS = 2600
BOUNCE_MS = 200  # what comes sooner after a key was lifted is a bounce of it
pytestmark = pytest.mark.qt_log_ignore("This plugin does not support")


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    folder = tmp_path_factory.mktemp("made") / "store"
    build_training(folder, RealClock(), zone="UTC")
    return folder


@pytest.fixture
def damaged(made, tmp_path):
    """A store in which it was changed who took a part in, and a backup from before."""
    folder = shutil.copytree(made, tmp_path / "store")
    backup(folder, tmp_path / "backup")
    with closing(sqlite3.connect(folder / DATABASE, isolation_level=None)) as db:
        db.execute("DROP TRIGGER events_stay_as_they_are")
        (seq,) = db.execute(
            "SELECT seq FROM events WHERE kind = 'PartTaken' ORDER BY seq LIMIT 1"
        ).fetchone()
        db.execute(f"UPDATE events SET operator = 'OP-9' WHERE seq = {seq}")
    return folder, seq


@pytest.fixture
def opened(qtbot, tmp_path, qapp):
    """Return what opens the read-only window on a folder; closed at the end."""
    made = []

    def open_(folder, why):
        desk = Desk(folder, tmp_path / "none.json", Exporter(folder).job)
        shown = RecoveryWindow(
            desk, kept.Settings(), RealClock(), said="It is damaged.", why=why
        )
        made.append(shown)
        qtbot.addWidget(shown)
        shown.pedal.install(qapp)
        shown.resize(1366, 768)
        shown.show()
        shown.ticker.start()
        qtbot.waitUntil(lambda: shown.page._model.rowCount() > 0, timeout=WAIT_MS)
        return shown

    yield open_
    for shown in made:
        shown.pedal.remove(qapp)
        shown.close()


@pytest.fixture
def window(damaged, opened):
    return opened(damaged[0], "damaged")


def rows(window):
    return {row[0]: row[-1] for row in window.page._model.view.rows}


def strike(window, key, text="", *, hold_ms=0):
    """Press and lift a key as the window system tells it; ``hold_ms`` in between."""
    for kind in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease):
        event = QKeyEvent(kind, key, Qt.KeyboardModifier.NoModifier, text)
        event.setTimestamp(RealClock().now().mono_ms)
        QApplication.sendEvent(window.windowHandle(), event)
        if kind == QEvent.Type.KeyPress and hold_ms:
            QTest.qWait(hold_ms)
    QTest.qWait(BOUNCE_MS)


def letter(window, key):
    strike(window, getattr(Qt.Key, f"Key_{key}"), key.lower())


def do(window, qtbot, key, typed, *, hold_ms=0):
    """Press a key, type what it asks for, confirm; wait until something is said."""
    letter(window, key)
    assert window._entry.isVisible()
    window._entry._field.setText(typed)
    strike(window, Qt.Key.Key_Return, hold_ms=hold_ms)
    qtbot.waitUntil(
        lambda: window.said.text() not in ("", "Working …"), timeout=WAIT_MS
    )
    return window.said.text()


def test_it_names_the_first_bad_place_and_marks_every_part(window, damaged):
    _, seq = damaged

    assert f"Entry {seq} is not what was written" in window.page._note.text()
    assert window.page._title.view.text == "TRAINING. Read only: this record is damaged"
    assert rows(window)["EX-T1"] == f"not proven: entry {seq}"
    assert rows(window)["EX-T4"] == "proven"


def test_every_option_has_a_key_of_its_own_and_fits(window):
    options = window.page._model.view.options
    keys = [option.key for option in options]

    assert len(set(keys)) == len(keys) == 6
    for button in window.page.buttons():
        assert window.page.rect().contains(button.geometry().topLeft())
    assert window.page._table.isVisible()


def test_cards_and_what_is_readable_are_written(window, qtbot, tmp_path):
    told = do(window, qtbot, "1", str(tmp_path / "cards"))
    assert told.startswith("4 cards are in")
    assert "is not what was written" in told
    window.said.setText("")

    told = do(window, qtbot, "2", str(tmp_path / "out"))
    assert "could be read" in told
    assert len(list((tmp_path / "out").iterdir())) == 1
    assert not window.again


def test_a_backup_takes_its_place_and_the_bench_opens(window, qtbot, damaged, tmp_path):
    folder, _ = damaged
    told = do(window, qtbot, "3", str(tmp_path / "backup"), hold_ms=HOLD_MS)

    assert told.startswith("The backup is in place")
    Journal.open(folder).close()
    qtbot.waitUntil(
        lambda: window.page._model.view.options[0].key == "Enter", timeout=WAIT_MS
    )
    strike(window, Qt.Key.Key_Return)
    assert window.again
    assert not window.isVisible()


def test_it_goes_on_with_a_copy_set_aside(window, qtbot, damaged):
    folder, seq = damaged
    told = do(window, qtbot, "4", "OP-1: the disk failed", hold_ms=HOLD_MS)

    assert "set-aside-1" in told
    with ReadOnlyJournal.open(folder) as journal:
        accepted = [each.event for each in journal.entries()]
    assert [
        each.entries for each in accepted if isinstance(each, ev.DamageAccepted)
    ] == [(seq,)]


def test_it_goes_on_in_a_new_store(window, qtbot, damaged):
    folder, seq = damaged
    told = do(window, qtbot, "5", "OP-1: the disk failed", hold_ms=HOLD_MS)

    assert f"from entry {seq - 1} of the old" in told
    Journal.open(folder).close()
    assert (folder / "set-aside-1" / DATABASE).exists()


def test_an_index_that_lost_a_row_is_made_anew_by_hand(opened, qtbot, made, tmp_path):
    folder = shutil.copytree(made, tmp_path / "store")
    with closing(sqlite3.connect(folder / DATABASE, isolation_level=None)) as db:
        db.execute("DELETE FROM touches WHERE seq = (SELECT max(seq) FROM touches)")
    told, whole = in_words(folder)
    assert not whole
    assert "keys S, 9, 3, then 6" in told

    window = opened(folder, "by hand")
    strike(window, Qt.Key.Key_6, "6", hold_ms=HOLD_MS)
    qtbot.waitUntil(lambda: "made anew" in window.said.text(), timeout=WAIT_MS)

    assert in_words(folder)[1]
    qtbot.waitUntil(
        lambda: window.page._model.view.options[0].key == "Enter", timeout=WAIT_MS
    )


def test_a_record_with_nothing_in_flight_says_so_and_how_far_it_is_proven(made):
    broken = look(made)
    parts = dict(list(broken.bench.parts.items())[:1])
    bench = replace(broken.bench, parts=parts)
    view = view_of(
        replace(broken, bench=bench, parts=(), first_bad=4), said="", why="damaged"
    )

    assert view.empty == "No part was in flight."
    assert "The chain vouches for 1 to 3." in view.note


def test_a_hold_that_is_too_short_does_nothing(window, qtbot, damaged):
    folder, _ = damaged
    letter(window, "5")
    window._entry._field.setText("OP-1: the disk failed")
    strike(window, Qt.Key.Key_Return, hold_ms=1000)
    qtbot.wait(300)

    assert window.said.text() == ""
    assert not (folder / "set-aside-1").exists()


def test_what_cannot_be_done_is_said(window, qtbot, tmp_path):
    told = do(window, qtbot, "3", str(tmp_path / "nothing"), hold_ms=HOLD_MS)

    assert "There is no journal" in told
    assert not window.again


def test_escape_closes_it(window, qtbot):
    letter(window, "2")
    strike(window, Qt.Key.Key_Escape)
    assert window.isVisible()
    strike(window, Qt.Key.Key_Escape)

    assert not window.isVisible()
    assert not window.again


def test_a_whole_record_that_is_looked_at_by_hand_is_said_to_be_whole(made):
    broken = look(made)

    view = view_of(broken, said="", why="by hand")
    newer = view_of(broken, said="Entry 9 is whole.", why="newer")

    assert view.title == "TRAINING. Read only: this record is as it was written"
    assert view.options[0].key == "Enter"
    assert len({option.key for option in view.options}) == len(view.options)
    assert newer.title.endswith("a later version wrote this record")
    assert newer.note.startswith("Entry 9 is whole.")
    assert {option.key for option in newer.options} == {"1", "2", "P"}


def test_the_page_of_the_record_names_its_last_entry(made):
    with ReadOnlyJournal.open(made) as journal:
        head = journal.head
    page = record(head, "/somewhere")

    assert ("Last entry", str(head.seq)) in page.rows
    assert "".join(row[1] for row in page.rows[-2:]).replace(" ", "") == head.hash.hex()
    assert record(head, "", "No.").note == "No."


@pytest.mark.parametrize(
    ("typed", "found"),
    [("12, 14: a name", ((12, 14), "a name")), ("7:OP-1: why", ((7,), "OP-1: why"))],
)
def test_what_is_to_be_removed_is_read_from_one_line(typed, found):
    assert texts_to_blank(typed) == found


@pytest.mark.parametrize("typed", ["", "12", "12:", ": why", "a: why", "-1: why"])
def test_a_line_that_names_nothing_is_said(typed):
    with pytest.raises(FormError, match="numbers"):
        texts_to_blank(typed)


def test_what_a_job_found_is_heard_by_who_nobody_else_holds(qtbot):
    heard = []

    class Listener:
        def done(self, found):
            heard.append(found)

    Job(lambda: "found", Listener().done, heard.append).start()
    gc.collect()

    qtbot.waitUntil(lambda: heard == ["found"], timeout=WAIT_MS)


def test_a_record_that_is_read_again_says_how_far(qapp):
    told = Reading(RealClock(), 0.25)
    told.close()  # nothing was shown yet
    told.tell(2000, 400_000)
    label = told._label

    assert "2 000 of 400 000 entries" in label.text().replace("\u00a0", " ")
    assert label.isVisible()
    told.close()
    assert again(0, 9, 5).endswith("0 of 9 entries.")
    assert again(100_000, 400_000, 60_000).endswith("About 3 min more.")


def test_every_phase_has_its_words():
    assert PHASES.keys() == {kind.kind for kind in typing.get_args(Phase)}


def test_the_story_of_a_part_is_read_from_what_is_left(window, qtbot):
    code = next(iter(rows(window)))
    before = window.page.accessibleName()
    letter(window, "P")
    window._entry._field.setText(code)
    strike(window, Qt.Key.Key_Return)
    named = f"Story of {code}"
    qtbot.waitUntil(lambda: window.page.accessibleName() == named, timeout=WAIT_MS)
    told = window.page._model.view.rows
    assert any(row[1] == "taken in" for row in told)
    assert {row[-1] for row in told} <= {"proven", "NOT proven"}
    assert "NOT proven" in {row[-1] for row in told}
    strike(window, Qt.Key.Key_Escape)
    assert window.page.accessibleName() == before
    assert window.isVisible()


def test_a_place_is_named_once_and_what_was_mended_is_no_longer_called_damaged(made):
    broken = replace(
        look(made),
        findings=("Entry 4 does not fit.",),
        amiss="Entry 4 does not fit. What came after entry 3 is not known.",
    )
    assert view_of(broken, said="", why="damaged").note.count("Entry 4") == 1

    done = view_of(look(made), said="It is damaged.", why="damaged", done=True)
    assert "damaged" not in done.title
    assert done.title.endswith("The bench may open again")


def test_a_folder_that_takes_no_writing_opens_to_be_read_and_tried_again(
    made, monkeypatch, capsys
):
    shown = []

    def refuses(folder, _kind):
        message = f"The folder {folder} cannot be written to."
        raise JournalReadOnlyError(message)

    def show(_folder, _real, *, said, why):
        shown.append((said, why))
        return 2

    monkeypatch.setattr(program, "open_store", refuses)
    monkeypatch.setattr(program, "show_read_only", show)

    assert program.run(made, kind="training") == 2
    assert shown == [(f"The folder {made} cannot be written to.", "unwritable")]
    view = view_of(look(made), said=shown[0][0], why="unwritable")
    assert view.title.endswith("nothing can be written here")
    assert view.note.startswith("The folder ")
    assert view.options[0].text == "Try again"
    assert "cannot be written to" in capsys.readouterr().err
