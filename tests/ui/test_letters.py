"""A letter leads to the same place from everywhere; digits answer."""

import ast
import re
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication

import benchassist
from benchassist.ui.light import LIGHT_PAGES
from benchassist.ui.pedal import in_a_field
from benchassist.ui.places import BY_KEY, PLACES
from benchassist.ui.present import recovery
from tests.ui.screens import MOMENTS, Moment, Stage

# Once, in the checkout.
pytestmark = [pytest.mark.slow, pytest.mark.usefixtures("_fonts")]

# Called away, light or dark, who works here, quiet: letters without a page.
LETTERS = {*BY_KEY, *"HIOK"}
SUMS = {
    f"sums {page.key}": Moment(
        "day", "09:12:33 open-lamp-session", keys=("Q", page.key)
    )
    for page in LIGHT_PAGES.values()
    if page.key
}
PAGES = {name: moment for name, moment in MOMENTS.items() if moment.keys} | SUMS
ALL = MOMENTS | SUMS


def shadowed(stage):
    """Return the buttons that take a place's letter for something else."""
    return [
        (option.key, option.text)
        for option in (button.option for button in stage.bench.hands._buttons)
        if option is not None
        and option.key.upper() in LETTERS
        and option.key != "O"  # who works here, asked on the screen itself
        and getattr(option.command, "page", "") != BY_KEY[option.key.upper()].page
    ]


@pytest.mark.parametrize("name", ALL)
def test_no_button_takes_the_letter_of_a_place(name, tmp_path):
    stage = Stage(ALL[name], tmp_path)
    try:
        assert not shadowed(stage)
    finally:
        stage.close()


@pytest.mark.parametrize("name", PAGES)
def test_from_every_page_every_letter_leads_to_its_place(name, tmp_path):
    stage = Stage(PAGES[name], tmp_path)
    pages = stage.window.pages
    page = pages._name
    try:
        for place in PLACES:
            if not in_a_field():
                stage.press(place.key)
                assert pages._name == place.page, place.key
            if QApplication.focusWidget() is not None:
                QApplication.focusWidget().clearFocus()
            pages.open(page)
    finally:
        stage.close()


# A sentence that sends a hand somewhere: its keys, and what it speaks of.
SENT = re.compile(r"\b[Kk]eys? ([A-Z](?:,? (?:then )?(?:\d|[A-Z])\b)*)(?![a-z])")
ABOUT = {
    "C": "nother",
    "E": "[Bb]ath|glycerine|box|papers|read it empty",
    "G": "People",
    "H": "Hand over",
    "J": "meanwhile",
    "L": "[Bb]ottle|lot|shelf|Stir",
    "N": "part",
    "O": "[Cc]laim|station|who|still",
    "R": "recipe|rate|enter it again",
    "T": "coupon",
    "V": "Judge",
    "Y": "answer it|do them",
    "Z": "Fix",
}
LEADS = {
    ("C", "9", "4"): "facts",
    ("E", "1"): "reading",
    ("E", "9"): "own-bench",
    ("Q", "2"): "spectrum",
    ("R", "6"): "kept meter",
    ("R", "8"): "nitrogen",
    ("S", "5"): "setup",  # it is heard there
    ("S", "9", "3"): "record",  # it is held there
    ("S", "9", "3", "6"): "record",  # in the read-only window
}


def sent():
    """Return the keys that sentences of the program name, each with its sentence."""
    found = set()
    for file in Path(benchassist.__file__).parent.rglob("*.py"):
        tree = ast.parse(file.read_text("utf-8"))
        docs = {
            id(node.body[0].value)
            for node in ast.walk(tree)
            if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef)
            and isinstance(node.body[0], ast.Expr)
        }
        found |= {
            (tuple(re.findall(r"[A-Z0-9]", keys)), node.value)
            for node in ast.walk(tree)
            if isinstance(node, ast.Constant)
            and isinstance(node.value, str)
            and id(node) not in docs
            for keys in SENT.findall(node.value)
        }
    return found


def test_a_sentence_that_names_one_letter_speaks_of_its_place():
    alone = [(keys[0], told) for keys, told in sent() if len(keys) == 1]

    assert len(alone) > 20
    assert [(k, told) for k, told in alone if not re.search(ABOUT[k], told)] == []


def test_a_sentence_that_names_several_keys_leads_where_it_says(tmp_path):
    ways = {keys for keys, _ in sent() if len(keys) > 1}
    assert ways == set(LEADS)
    stage = Stage(MOMENTS["queue"], tmp_path)
    pages = stage.window.pages
    for keys, page in LEADS.items():
        for key in keys:
            stage.press(key)
        assert pages.name == page, keys
        pages.leave()
    stage.close()


def test_the_ways_on_from_a_damaged_record_are_digits_in_their_order():
    for options in recovery.OPTIONS.values():
        # P is a part's story here, too: the letter leads to the same place.
        keys = [each.key for each in options if each.key not in ("Enter", "P")]
        assert keys == [str(n) for n in range(1, len(keys) + 1)]
