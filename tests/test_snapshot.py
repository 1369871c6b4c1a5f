"""A snapshot is the state, whole, or it is nothing."""

from functools import partial

import pytest

from benchassist import snapshot
from benchassist.domain.state import Bench
from benchassist.journal.kept import KeptState
from benchassist.rehearsal import Player, load_script, shipped_scripts
from benchassist.rehearsal.memory import MemoryJournal

EVERY = 40  # [moments] between two looks at the state of a script


def _same(book):
    """Return the one book, so that it is still there after a restart."""
    return book


@pytest.mark.parametrize("name", shipped_scripts())
def test_every_state_of_every_script_comes_back_the_same(name):
    player = Player(load_script(name), partial(_same, MemoryJournal()))
    for number, _ in enumerate(player.moments()):
        if number % EVERY == 0:
            bench = player.session.bench

            assert snapshot.load(snapshot.dump(bench)) == bench
    assert snapshot.load(snapshot.dump(player.session.bench)) == player.session.bench


@pytest.mark.parametrize("text", ["", "{}", "[]", "null", '{"store": 3}', "{{"])
def test_what_is_no_snapshot_is_refused(text):
    with pytest.raises(ValueError, match=r"snapshot|Expecting"):
        snapshot.load(text)


def test_an_empty_bench_comes_back():
    assert snapshot.load(snapshot.dump(Bench())) == Bench()


def test_a_kept_state_is_of_the_entry_under_which_it_is_kept():
    text = snapshot.kept(Bench(seq=7), "salt")

    assert snapshot.believed(KeptState(7, text)) == Bench(seq=7)
    assert snapshot.believed(KeptState(8, text)) is None
    assert snapshot.believed(KeptState()) is None
    assert snapshot.believed(KeptState(7, text.partition("\n")[2])) is None


def test_the_digest_of_a_kept_state_says_nothing_of_what_is_in_it():
    assert snapshot.kept(Bench(), "one") != snapshot.kept(Bench(), "two")
