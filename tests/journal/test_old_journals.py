"""Every journal that a version of the program ever wrote is still read."""

import shutil
from pathlib import Path

import pytest

from benchassist.journal import Journal, ReadOnlyJournal
from benchassist.journal.codec import canonical

KEPT = Path(__file__).parents[1] / "journals"
OLD = sorted(path.parent for path in KEPT.glob("*/journal.sqlite"))


def as_read(journal):
    return [
        canonical({"kind": type(entry.event).__name__, "entry": entry})
        for entry in journal.entries()
    ]


def test_there_is_one_of_every_format():
    assert "format-1" in {folder.name for folder in OLD}


@pytest.mark.parametrize("old", OLD, ids=lambda folder: folder.name)
def test_an_old_journal_opens_reads_and_goes_on(old, tmp_path, spot):
    folder = tmp_path / "copy"
    shutil.copytree(old, folder)
    expected = (old / "expected.jsonl").read_text("utf-8").splitlines()

    with ReadOnlyJournal.open(folder) as reader:
        assert as_read(reader) == expected
        assert reader.walk(1, len(expected)).faults == ()
    with Journal.open(folder) as journal:
        assert journal.opening.damage == ()
        assert journal.opening.witness == "agrees"
        assert journal.walk_index(1, len(expected)).faults == ()
        journal.append([spot(1)])
        assert as_read(journal)[:-1] == expected
