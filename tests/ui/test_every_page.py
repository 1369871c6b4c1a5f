"""Every page that can be opened is read whole, on each screen and in each theme."""

import ast
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QPoint, Qt
from PySide6.QtGui import QFocusEvent, QFontMetricsF

import benchassist
from benchassist.ui.form import FormPage
from benchassist.ui.table import TablePage
from benchassist.ui.tiles import Tile
from tests.ui import every_page, measures
from tests.ui.glasses import amber, contrast
from tests.ui.longer import longer
from tests.ui.screens import MOMENTS, Stage

LONGER = """
from tests.ui.longer import speak
speak()
from tests.ui.every_page import {}
{}(*{})
"""
pytestmark = pytest.mark.slow  # once, in the checkout

# Opened with something in hand: a filled form, a mishap that was told.
HELD = {"confirm", "mishap", ""}


def in_longer_words(*asked, report="report"):
    """Return what is amiss in a language of words 40 % longer."""
    child = subprocess.run(
        [sys.executable, "-c", LONGER.format(report, report, asked)],
        check=True, capture_output=True, text=True, timeout=1200,
        cwd=Path(__file__).parents[2], env={**os.environ, "QT_QPA_PLATFORM": "offscreen"},
    )  # fmt: skip
    return json.loads(child.stdout)


def test_every_page_is_read_whole_dark_and_through_orange_glasses():
    assert every_page.seen("1366", "dark") == {}


@pytest.mark.parametrize(
    ("screen", "theme"),
    [("1024", "dark"), ("1366", "light"), ("1920", "dark"), ("2560", "light")],
)
def test_every_page_is_read_whole(screen, theme):
    assert every_page.seen(screen, theme) == {}


@pytest.mark.parametrize("screen", ["1024", "1366", "1920"])
def test_every_near_word_is_said_and_fits_when_it_is_two_fifths_longer(screen):
    assert in_longer_words(screen, "dark") == {}


@pytest.mark.usefixtures("_fonts")
@pytest.mark.parametrize("screen", ["1366", "1920"])
def test_a_form_of_few_fields_has_large_ones_and_the_path_needs_no_scrolling(
    screen, tmp_path
):
    size, mm = every_page.SCREENS[screen]
    stage = Stage(MOMENTS["queue"], tmp_path)
    stage.show_on(size, mm, "dark")
    caps = {}
    for name in every_page.pages(stage):
        page = stage.bench._page
        if not isinstance(page, FormPage):
            continue
        fields = tuple(page._inputs.values())
        high = QFontMetricsF(fields[0].font()).capHeight() * mm
        caps.setdefault(len(fields), set()).add(high)
        if name.startswith("own-"):
            assert page._scroll.verticalScrollBar().maximum() == 0, name
    stage.close()

    assert len(caps) > 5
    assert min(min(each) for count, each in caps.items() if count <= 4) > 6.0
    assert min(min(each) for count, each in caps.items() if count <= 8) > 5.0


@pytest.mark.parametrize("screen", ["1024", "1366"])
def test_every_moment_stands_whole_in_longer_words(screen):
    assert in_longer_words(screen, report="report_moments") == {}


@pytest.mark.usefixtures("_fonts")
def test_every_moment_stands_whole_on_each_screen():
    assert every_page.moments("1024", "1366", "1920") == {}


@pytest.mark.usefixtures("_fonts")
@pytest.mark.parametrize("screen", ["1024", "1366", "1920"])
def test_a_long_form_shows_whole_rows_and_says_that_there_are_more(screen, tmp_path):
    stage = Stage(MOMENTS["what you own, a recipe"], tmp_path)
    stage.show_on(*every_page.SCREENS[screen], "dark")
    page, app = stage.bench._page, stage.app
    port, fields = page._scroll.viewport(), list(page._inputs.values())
    for number in (0, len(fields) // 2, len(fields) - 1, 3):
        app.sendEvent(fields[number], QFocusEvent(QEvent.Type.FocusIn))
        inside = [
            (max(0, top), min(port.height(), top + cell.height()), cell.height())
            for cell in page._cells
            if (top := cell.mapTo(port, QPoint(0, 0)).y()) < port.height()
            and top + cell.height() > 0
        ]
        whole = port.rect().contains(fields[number].mapTo(port, QPoint(0, 0)))

        assert whole
        assert all(foot - top == high for top, foot, high in inside), inside
    more = bool(page._title.view.right)
    everything = page._bar.maximum() == 0
    stage.close()

    assert more is not everything
    assert more == (screen != "1920")


@pytest.mark.usefixtures("_fonts")
@pytest.mark.parametrize("theme", ["dark", "light"])
def test_the_key_of_a_row_is_read_as_any_other_key_is(theme, tmp_path):
    stage = Stage(MOMENTS["what you own"], tmp_path)
    stage.show_on(*every_page.SCREENS["1366"], theme)
    page, look = stage.bench._page, stage.bench.theme.palette
    ink = page._model.data(page._model.index(0, 0), Qt.ItemDataRole.ForegroundRole)
    stage.close()

    assert ink.name() == look.attention
    for ground in (look.card, look.raised):  # of one row and the next
        assert contrast(ink.name(), ground) >= measures.LEAST_PLAIN
        assert contrast(amber(ink.name()), amber(ground)) >= measures.LEAST_AMBER


@pytest.mark.usefixtures("_fonts")
def test_a_table_says_that_there_are_more_rows_exactly_where_there_are(tmp_path):
    stage = Stage(MOMENTS["queue"], tmp_path)
    stage.show_on(*every_page.SCREENS["1366"], "dark")
    told = {True: 0, False: 0}
    for name in every_page.pages(stage):
        page = stage.bench._page
        if not isinstance(page, TablePage):
            continue
        table, last = page._table, page._model.index(page._model.rowCount() - 1, 0)
        rows = page._model.rowCount() > 0
        cut = rows and table.visualRect(last).bottom() > table.viewport().height()
        assert bool(page._title.view.right) == cut, name
        across = table.horizontalHeader()
        assert not rows or across.length() >= table.viewport().width() - 1, name
        told[cut] += 1
    stage.close()

    assert min(told.values()) > 1


@pytest.mark.usefixtures("_fonts")
@pytest.mark.parametrize("screen", ["1024", "1366", "1920"])
def test_where_there_is_nothing_to_read_what_can_be_done_has_the_page(screen, tmp_path):
    stage = Stage(MOMENTS["queue"], tmp_path)
    stage.show_on(*every_page.SCREENS[screen], "dark")
    lines = {}
    for name in every_page.pages(stage):
        page = stage.bench._page
        if isinstance(page, TablePage) and not page._model.rowCount():
            tiles, mm = page.buttons(), stage.bench.theme.mm_per_px
            assert all(isinstance(each, Tile) for each in tiles), name
            assert all(each.isVisible() for each in tiles), name
            assert all(each.height() * mm > 20.0 for each in tiles), name
            lines[name] = [each.option.line for each in tiles]
    stage.close()

    assert len(lines) > 4
    for name in ("setup", "shelf-acts", "acts", "upkeep"):
        assert all(lines[name]), name


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
