"""Every page that can be opened is read whole, on each screen and in each theme."""

import ast
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

import benchassist
from tests.ui import every_page
from tests.ui.longer import longer

LONGER = """
from tests.ui.longer import speak
speak()
from tests.ui.every_page import report
report(*{})
"""
pytestmark = pytest.mark.slow  # once, in the checkout

# Opened with something in hand: a filled form, a mishap that was told.
HELD = {"confirm", "mishap", ""}


def in_longer_words(screen):
    """Return what is amiss on every page in a language of words 40 % longer."""
    child = subprocess.run(
        [sys.executable, "-c", LONGER.format((screen, "dark"))],
        check=True, capture_output=True, text=True, timeout=240,
        cwd=Path(__file__).parents[2], env={**os.environ, "QT_QPA_PLATFORM": "offscreen"},
    )  # fmt: skip
    return json.loads(child.stdout)


def test_every_page_is_read_whole_dark_and_through_orange_glasses():
    assert every_page.seen("1366", "dark") == {}


@pytest.mark.parametrize(
    ("screen", "theme"), [("1366", "light"), ("1920", "dark"), ("2560", "light")]
)
def test_every_page_is_read_whole(screen, theme):
    assert every_page.seen(screen, theme) == {}


def test_every_near_word_is_said_and_fits_when_it_is_two_fifths_longer():
    assert in_longer_words("1366") == {}


def test_longer_words_fit_on_a_large_screen():
    assert in_longer_words("1920") == {}


def test_longer_words_keep_their_fields():
    assert longer("{part}: dry, go on") == "{part}: dryö, goö onö"
    assert longer("OPEN {n:.1f} mm") == "OPENÖÖ {n:.1f} mmö"


def test_no_page_is_opened_that_is_not_among_the_measured():
    opened = set()
    for file in (Path(benchassist.__file__).parent / "ui").rglob("*.py"):
        for node in ast.walk(ast.parse(file.read_text("utf-8"))):
            if (
                isinstance(node, ast.Call)
                and getattr(node.func, "id", "") == "OpenPage"
            ):
                opened |= {
                    each.value for each in node.args if isinstance(each, ast.Constant)
                }

    assert opened - HELD <= set(every_page.NAMES)
    assert len(opened) > 20
