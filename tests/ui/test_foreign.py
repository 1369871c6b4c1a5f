"""What the rules say comes through in another language, and nothing else does."""

import json
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from benchassist import assets
from benchassist.domain import commands as cm
from benchassist.domain.words import Typed
from benchassist.rehearsal import Player, load_script
from benchassist.rehearsal.memory import MemoryJournal
from benchassist.ui import words
from benchassist.ui.foreign import Reader, texts
from benchassist.ui.present import facts
from benchassist.ui.present.sheet import typed_row
from benchassist.ui.view import Band, BenchView, GateRow, Option
from benchassist.ui.words import Said, say, shown
from tests.ui import domain_words

TOLD = {
    "dry {minutes} more": "noch {minutes} trocknen",
    "{minutes} min": "{minutes} Minuten",
    "Wait until the surface is dry.": "Warten, bis die Fläche trocken ist.",
    "Stage before": "Schritt davor",
    "{code} is at {title}, not at {title2}.": "Bei {title2} wird {code} nicht erwartet.",
    "{a} is at {b}": "falsch",
    "Wash": "Bad",
    "Drying": "Trocknen",
    "dry, go on": "trocken, weiter",
    "{one} and {other}": "{one} und {other}",
    "{count} {kind}s": "{count} mal {kind}",
    "crown": "Krone",
    "recalled: {typed}": "zurückgerufen: {typed}",
    "WAIT": "WARTEN",
    "{code}: {what}, due in {right}": "{code}: in {right} fällig, {what}",
    "pass": "gut",
    "Enter": "Eingabe",  # a key is pressed by this name, in any language
}


@pytest.fixture
def read():
    """Return what tells a sentence in a small language of the test."""
    return Reader(lambda text: TOLD.get(text, text), TOLD).told


@pytest.fixture
def in_words():
    """Speak that language until the test is over."""

    def look_up(text):
        return TOLD.get(text, text)

    words.look_up_by(look_up, Reader(look_up, TOLD).shown)
    yield
    words.look_up_by(None)


def test_the_texts_are_those_of_the_sources():
    """Stale: run ``python -m tests.ui.domain_words``."""
    kept = assets.read_text("resources", "words", "domain.js")
    assert kept == domain_words.written()


def test_every_text_is_read_back():
    assert list(texts()) == domain_words.found()
    assert len(domain_words.found()) > 2500


def test_a_sentence_is_told_and_what_stands_in_its_fields_too(read):
    assert read("dry 3 min more") == "noch 3 Minuten trocknen"


def test_sentences_in_a_row_are_told_each_as_it_stands(read):
    told = read("Dry 3 min more. Wait until the surface is dry.")

    assert told == "Noch 3 Minuten trocknen. Warten, bis die Fläche trocken ist."


def test_a_head_before_a_sentence_is_told_and_fields_change_places(read):
    told = read("Stage before: EX-27 is at Wash, not at Drying")

    assert told == "Schritt davor: Bei Trocknen wird EX-27 nicht erwartet"


def test_a_word_in_capitals_stays_in_capitals(read):
    assert read("PASS") == "GUT"
    assert read("STAGE BEFORE") == "SCHRITT DAVOR"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (" crown ", " Krone "),
        ("crown (Wash)", "Krone (Bad)"),
        ("Wait until the surface is dry", "Warten, bis die Fläche trocken ist"),
        ("crown, EX-1: Drying", "Krone, EX-1: Trocknen"),
        ("crown and Wash", "Krone und Bad"),
    ],
)
def test_edges_brackets_and_lists_are_those_of_the_text(read, text, told):
    assert read(text) == told


@pytest.mark.parametrize(
    "text",
    [
        "EX-27",
        "1:14",
        "",
        "broke off, by hand",
        "Stain and opaque",  # "and" alone explains nothing
        "she said to wash it off and then rinse it all over again",
    ],
)
def test_what_no_rule_says_stays_as_it_is(read, text):
    assert read(text) == text


def test_what_was_said_already_is_not_read_again(read):
    assert read(Said("crown")) == "crown"


def test_what_is_said_tells_its_fields(in_words):
    told = say("{code}: {what}, due in {right}", code="EX-1", what="dry, go on", right="1:14")  # fmt: skip

    assert told == "EX-1: in 1:14 fällig, trocken, weiter"
    assert shown(told) is told


def test_a_view_is_told_where_it_is_text_and_kept_where_code_compares(in_words):
    option = Option("dry, go on", "Enter", cm.ChoosePart("crown"))
    view = BenchView(
        ("crown",), "", "", Band("WAIT", "crown"),
        "dry 3 min more", gates=(GateRow("Stage before", "PASS", "", "good"),),
        options=(option,),
    )  # fmt: skip

    told = shown(view)

    assert told.status == ("Krone",)
    assert told.headline == "noch 3 Minuten trocknen"
    assert told.gates == (GateRow("Schritt davor", "GUT", "", "good"),)
    assert told.band.word == "WAIT"
    assert told.options == (Option("trocken, weiter", "Enter", cm.ChoosePart("crown")),)


def test_what_a_hand_typed_stays_as_it_was_typed_alone_and_in_a_sentence(in_words):
    row = typed_row("note", "crown", "dry, go on", "crown")

    assert shown(row).value == "dry, go on"
    told = say("{one} and {other}", one="crown", other=Typed("crown"))
    assert told == "Krone und crown"


def test_a_field_that_holds_what_a_hand_typed_is_not_read(read):
    assert read("recalled: dry, go on") == "zurückgerufen: dry, go on"
    assert read("Recalled: crown.") == "Zurückgerufen: crown."


def test_a_note_that_reads_like_a_rule_is_shown_as_it_was_typed(in_words):
    book = MemoryJournal()
    player = Player(load_script("o1_plain_crown"), lambda: book)
    for _ in player.moments():
        pass
    bench = player.session.bench
    part = replace(next(iter(bench.parts.values())), note="crown")
    player.close()

    assert facts.lines(bench, part)[0] == "Note: crown"


def test_without_a_language_a_view_is_the_same_one():
    view = (object(), "crown")

    assert shown(view) is view


@pytest.mark.slow  # once, in the checkout
def test_every_look_at_every_rehearsed_day_is_told():
    child = subprocess.run(
        [sys.executable, "-m", "tests.ui.every_look"],
        check=True, capture_output=True, text=True, timeout=1200,
        cwd=Path(__file__).parents[2],
    )  # fmt: skip
    found = json.loads(child.stdout)

    assert found["texts"] > 3000
    assert found["not said"] == {}
