import pytest

from benchassist.journal import backup
from benchassist.journal.errors import JournalBusyError, JournalWriteError
from benchassist.journal.reading import ReadOnlyJournal
from benchassist.journal.writing import Journal


def test_a_backup_is_a_whole_journal(filled, tmp_path, spot):
    with Journal.open(filled) as journal:
        original = list(journal.entries())
        head = journal.backup(tmp_path / "deep" / "backup")
        journal.append([spot(50)])

    assert head.seq == 41
    with Journal.open(tmp_path / "deep" / "backup") as copy:
        assert copy.opening.witness == "agrees"
        assert copy.opening.damage == ()
        assert list(copy.entries()) == original
        copy.append([spot(60)])


def test_a_reader_can_back_up_while_the_writer_writes(journal, folder, tmp_path, spot):
    journal.append([spot(n) for n in range(1, 4000)])
    with ReadOnlyJournal.open(folder) as reader:
        head = reader.backup(tmp_path / "backup")

    assert head == journal.head
    with Journal.open(tmp_path / "backup") as copy:
        assert copy.walk(1, 5000).faults == ()


def test_an_empty_journal_can_be_backed_up(folder, tmp_path):
    with Journal.open(folder) as journal:
        journal.backup(tmp_path / "backup")
    with Journal.open(tmp_path / "backup") as copy:
        assert copy.head.seq == 0


def test_nothing_is_overwritten(filled, tmp_path):
    (tmp_path / "backup").mkdir()
    (tmp_path / "backup" / "note.txt").write_text("mine")

    with (
        Journal.open(filled) as journal,
        pytest.raises(JournalWriteError, match="not empty"),
    ):
        journal.backup(tmp_path / "backup")


def test_a_backup_between_ceaseless_commits_gives_up_in_words(
    journal, folder, tmp_path, spot, monkeypatch
):
    journal.append([spot(n) for n in range(1, 300)])
    monkeypatch.setattr(backup, "_PAGES", 1)
    monkeypatch.setattr(backup, "_RESTARTS", 3)

    class Restless(backup._Patience):
        """Commits whenever the backup pauses."""

        def __call__(self, status, remaining, total):
            journal.append([spot(300)])
            super().__call__(status, remaining, total)

    monkeypatch.setattr(backup, "_Patience", Restless)
    with (
        ReadOnlyJournal.open(folder) as reader,
        pytest.raises(JournalBusyError, match="quiet moment"),
    ):
        reader.backup(tmp_path / "backup")
