"""Questions to the record: on disk beside the window, in memory at once."""

import pytest

from benchassist.domain.recall import Sought
from benchassist.journal.finding import find
from benchassist.records.story import StoryError, story
from benchassist.rehearsal import Player, load_script
from benchassist.rehearsal.memory import MemoryJournal
from benchassist.ui.asking import ask


@pytest.fixture(scope="module")
def book():
    found = MemoryJournal()
    for _ in Player(load_script("recall_mix"), lambda: found).moments():
        pass
    return found


def _find(journal):
    return find(journal, Sought("lot", "EX-LT-C2"))


def _nobody(journal):
    return story(journal, "EX-NOBODY")


def test_a_record_on_disk_answers_as_the_one_in_memory_and_not_at_once(
    book, tmp_path, qtbot
):
    told, failed = [], []
    ask(book, _find, told.append, failed.append)
    assert len(told) == 1

    with book.write(tmp_path) as journal:
        ask(journal, _find, told.append, failed.append)
        assert len(told) == 1  # a press never waits for a file
        qtbot.waitUntil(lambda: len(told) == 2, timeout=20_000)
    assert told[0] == told[1]
    assert failed == []


@pytest.mark.parametrize("on_disk", [True, False])
def test_what_cannot_be_answered_is_one_sentence(book, tmp_path, qtbot, on_disk):
    told, failed = [], []
    with book.write(tmp_path) as journal:
        asked = journal if on_disk else book
        ask(asked, _nobody, told.append, failed.append)
        qtbot.waitUntil(lambda: bool(failed), timeout=20_000)
    assert told == []
    assert "knows no part" in failed[0]
    assert StoryError.__name__ not in failed[0]
