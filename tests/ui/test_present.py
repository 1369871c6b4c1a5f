"""Every look of every shipped rehearsal: words, and what the pedal promises."""

from functools import partial

import pytest

from benchassist.domain import commands as cm
from benchassist.domain import library as lib
from benchassist.domain.advice import answer
from benchassist.domain.calls import GATED
from benchassist.domain.decide import decide
from benchassist.domain.gates import GATES
from benchassist.domain.outcome import Refusal
from benchassist.domain.pedal import TABLE, meaning
from benchassist.domain.standing import Standing
from benchassist.domain.state import InRun, Ready, Soaking
from benchassist.records.card_now import stands
from benchassist.rehearsal import Player, load_script, shipped_scripts
from benchassist.rehearsal.memory import MemoryJournal
from benchassist.ui.present import hands, pages
from benchassist.ui.present.heard import stop_call
from benchassist.ui.present.look import UNASKED, look
from tests.domain.builders import DENTURE, desk_at

WORDS = {"WAIT", "DO", "HOLD", "STOP", "ASK", "DONE"}
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


def test_one_part_has_one_answer_whoever_is_asked(looks):
    for bench, now in looks:
        view = look(bench, now)
        words = {
            code: row.word for row in view.rows for code in (row.code, *row.others)
        }
        press = decide(bench, cm.PressPedal(), now)
        no_gate = not isinstance(press, Refusal) or press.code not in GATES

        assert words.get(view.band.code, view.band.word) == view.band.word
        if meaning(bench, now).row.situation in ("ready", "loaded", "brush", "card"):
            assert no_gate, press
        if view.band.word == "STOP":
            assert not no_gate, press
        for task in (each for each in _tasks(bench, now) if each.part in words):
            waits = Standing(bench, bench.parts[task.part], now).after
            assert bool(task.shut) == (words[task.part] == "STOP" or bool(waits)), task
        for code, word in words.items():
            told = stands(bench, bench.parts[code], now)
            shut = word == "STOP" or bool(Standing(bench, bench.parts[code], now).after)
            assert any(each.startswith("Not yet") for each in told) == shut
            after = Standing(bench, bench.parts[code], now).after
            if word == "WAIT" and not after:
                assert isinstance(bench.parts[code].phase, Soaking | InRun)
        if stop_call(bench, now) is not None:
            assert view.band.word == "STOP"


def _tasks(bench, now):
    found = answer(bench, now)
    for task in (found.first, found.then):
        if task and task.act in GATED and task.due_ms <= 0:
            yield task


def band_and_row(desk, code="EX-1"):
    view = look(desk.bench, desk.now)
    (row,) = (row for row in view.rows if row.code == code)
    return view.band.word, row.word


def test_before_a_shut_gate_band_and_list_say_stop_in_front_or_not():
    desk = desk_at("coat-1", phase=Ready, lamp="LM-B")
    assert band_and_row(desk) == ("STOP", "STOP")

    desk.take("EX-2")

    assert band_and_row(desk) == ("DO", "STOP")


def test_a_card_to_be_held_is_asked_in_band_and_list():
    hold = lib.Variant(coats=1, hold_between=True)
    for stage, more in (
        ("half-1", {}),
        ("submerge", {}),
        ("coat-1", {}),
        ("flip-1", {"recipe": DENTURE}),
        ("hold", {"variant": hold}),
    ):
        assert band_and_row(desk_at(stage, phase=Ready, **more)) == ("ASK", "ASK")


def test_what_the_bench_asks_comes_before_the_part_in_band_and_list():
    desk = desk_at("wash-1", phase=Soaking)
    assert band_and_row(desk) == ("WAIT", "WAIT")

    desk.must(cm.HandOver("OP-2"))
    assert band_and_row(desk) == ("ASK", "ASK")

    desk.must(cm.ReadHandOver(), cm.CallAway())
    assert band_and_row(desk) == ("HOLD", "HOLD")


def test_a_part_that_is_released_or_scrapped_is_done():
    desk = desk_at("fit")
    desk.must(cm.ScrapPart("EX-1", "lost"))

    view = look(desk.bench, desk.now)

    assert (view.band.word, view.band.code) == ("DONE", "EX-1")
    assert view.headline.startswith("Scrapped ")


def test_a_part_of_which_it_is_asked_whether_to_scrap_it_is_nobodys_work():
    desk = desk_at("fit")
    desk.must(cm.ReportMishap("EX-1", "cracked", ("margin or connector",)))

    assert answer(desk.bench, desk.now).first.act == "scrap or keep"
    assert band_and_row(desk) == ("ASK", "ASK")


def test_the_first_paint_asks_no_gate_of_a_part_in_the_list():
    desk = desk_at("coat-1", phase=Ready, lamp="LM-B")
    desk.take("EX-2")

    (row,) = (
        row
        for row in look(desk.bench, desk.now, "", UNASKED).rows
        if row.code == "EX-1"
    )

    assert row.word == "ASK"  # its card; the look after the first says STOP


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
            "paused", "wet-hold", "on-hold", "away", "coupon-lit", "coupon",
        )  # fmt: skip

        # A number to be set on a box, or a wait for another, has no bar of its own.
        large = view.countdown
        assert running or large is None or large.fill is None


def test_the_pages_fill_at_any_moment(looks):
    for bench, now in looks[::10]:
        forms = [form.view(bench).fields for form in pages.FORMS.values()]

        assert any(forms)
        assert pages.day(bench, now).headers
        assert pages.equipment(bench, now).headers
        assert hands.change(bench).title
        assert hands.deviations(bench, now).empty


def test_every_row_of_the_pedal_table_says_what_the_pedal_must_never():
    assert all(row.never for row in TABLE.values())
