"""A signed day on paper: what it came to, and the anchor that it carries outside."""

import csv
import io
import sqlite3
from contextlib import closing
from functools import partial

import pytest

from benchassist.journal.files import DATABASE
from benchassist.journal.reading import ReadOnlyJournal
from benchassist.journal.writing import Journal
from benchassist.records.day_log import day_log
from benchassist.records.day_page import NOT_SIGNED, as_day_page
from benchassist.records.export import export_day
from benchassist.records.part_lines import COLUMNS, as_part_lines
from benchassist.rehearsal import Player, load_script

DAY = "2026-03-02"


@pytest.fixture(scope="module")
def closed(tmp_path_factory):
    """Return the folder of a day that was signed on disk, and put right next day."""
    folder = tmp_path_factory.mktemp("closed")
    player = Player(load_script("closed_day"), partial(Journal.open, folder))
    for _ in player.moments():
        pass
    player.close()
    return folder


def log_of(folder, day=DAY):
    with ReadOnlyJournal.open(folder) as journal:
        return day_log(journal, journal.store, day, journal.head.seq)


def test_the_page_of_a_day_carries_who_signed_and_the_anchor(closed):
    log = log_of(closed)
    (signature,) = log.signed
    text = as_day_page(log)

    assert signature.holds
    assert len(signature.event.hash) == 64
    with ReadOnlyJournal.open(closed) as journal:
        assert journal.hash_of(signature.event.head).hex() == signature.event.hash
    assert "Signed by OP-1" in text
    assert f"After entry {signature.event.head}, hash {signature.event.hash}" in text
    assert "carried forward at Dry: Covered and dark, in its tray" in text
    assert "Bench, pedal and keys wiped of resin: not good" in text
    assert "EX-RC-C r1 validated here" in text


def test_what_was_put_right_afterwards_is_an_addition_and_no_change(closed):
    log = log_of(closed)
    (signature,) = log.signed
    (change,) = [each for each in log.amended if each.field == "print_lot"]

    assert (change.was, change.now) == ("EX-LT-C1", "EX-LT-C2")
    assert change.put_right > signature.event.head
    assert "an addition, not a change" in as_day_page(log)
    # Up to the signature the day is the same for ever.
    with ReadOnlyJournal.open(closed) as journal:
        then = day_log(journal, journal.store, DAY, signature.entry.seq)
    assert then.amended == ()
    assert then.parts[0].bench.parts["EX-71"].print_lot == "EX-LT-C1"


def test_a_day_that_nobody_signed_says_so(closed):
    log = log_of(closed, "2026-03-03")

    assert log.signed == ()
    assert NOT_SIGNED in as_day_page(log)


def test_the_export_has_the_page_and_its_lines_name_the_signature(closed, tmp_path):
    with ReadOnlyJournal.open(closed) as journal:
        names = [path.name for path in export_day(journal, DAY, tmp_path)]
    assert any(name.endswith(".page.html") for name in names)
    rows = list(csv.reader(io.StringIO(as_part_lines(log_of(closed)))))
    line = dict(zip(COLUMNS, rows[1], strict=True))
    assert line["signed"].startswith("OP-1 2026-03-02T")
    assert log_of(closed).signed[0].event.hash in line["signed"]


def test_a_record_made_anew_under_the_signature_is_found_out(closed, tmp_path):
    folder = tmp_path / "copy"
    with ReadOnlyJournal.open(closed) as journal:
        journal.backup(folder)
    (signature,) = log_of(folder).signed
    with closing(sqlite3.connect(folder / DATABASE)) as db:
        db.execute("DROP TRIGGER events_stay_as_they_are")
        db.execute(
            "UPDATE events SET hash = x'00' WHERE seq = ?", (signature.event.head,)
        )
        db.commit()
    log = log_of(folder)

    assert not log.signed[0].holds
    assert "THE RECORD HAS ANOTHER" in as_day_page(log)
