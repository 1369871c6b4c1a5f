"""Every look of every shipped rehearsal: words, and what the pedal promises."""

from functools import partial

import pytest

from benchassist.domain.pedal import TABLE, meaning
from benchassist.rehearsal import Player, load_script, shipped_scripts
from benchassist.rehearsal.memory import MemoryJournal
from benchassist.ui.present import hands, pages
from benchassist.ui.present.look import look

WORDS = {"WAIT", "DO", "HOLD", "STOP", "ASK"}
MOST_LOOKS = 80
NEVER = ("fully cured", "biocompatible", "certified")


def _same(book):
    """Return the one book, so that it is still there after a restart."""
    return book


@pytest.fixture(scope="module", params=shipped_scripts())
def looks(request):
    """Return looks of one script, at moments spread over all that happened."""
    player = Player(load_script(request.param), partial(_same, MemoryJournal()))
    seen = []
    last = -1
    for _ in player.moments():
        session = player.session
        if session.bench.seq != last:
            last = session.bench.seq
            seen.append((session.bench, session.now()))
    return seen[:: max(1, len(seen) // MOST_LOOKS)]


def test_every_look_has_a_word_a_headline_and_says_what_the_foot_would_do(looks):
    for bench, now in looks:
        view = look(bench, now)

        assert view.band.word in WORDS
        assert view.headline
        assert view.pedal_line
        assert view.next_line
        assert len(view.rows) <= len(bench.in_flight)


def test_nothing_that_is_said_promises_what_no_bench_can_know(looks):
    for bench, now in looks:
        told = repr(look(bench, now)).lower()

        assert not any(word in told for word in NEVER)


def test_an_example_store_carries_its_mark_on_every_look(looks):
    for bench, now in looks:
        marked = look(bench, now).mark == "EXAMPLE"

        assert marked == (bench.store is not None)


def test_a_countdown_only_runs_where_something_runs(looks):
    for bench, now in looks:
        view = look(bench, now)
        running = meaning(bench, now).row.situation in (
            "running", "drying", "timer-due", "dry-due", "brushing", "walking",
            "paused", "wet-hold", "on-hold", "away",
        )  # fmt: skip

        assert running or view.countdown is None


def test_the_pages_fill_at_any_moment(looks):
    for bench, now in looks[::10]:
        forms = [make(bench).fields for make in pages.FORMS.values()]

        assert all(forms)
        assert pages.day(bench, now).headers
        assert pages.equipment(bench, now).headers
        assert hands.more(bench).options


def test_every_row_of_the_pedal_table_says_what_the_pedal_must_never():
    assert all(row.never for row in TABLE.values())
