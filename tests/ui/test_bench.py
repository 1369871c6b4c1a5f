"""Keys and taps become signals; a look repaints only what changed."""

import subprocess
import sys
from dataclasses import replace

import pytest
from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtWidgets import QLineEdit, QWidget

from benchassist.ui.bench import DRAWER_KEY
from benchassist.ui.foot import Foot
from benchassist.ui.form import FormPage
from benchassist.ui.rail import Rail
from benchassist.ui.rows import RowList
from benchassist.ui.table import TablePage
from benchassist.ui.view import FormView, Option

IMPORT = """
import sys
import benchassist.ui.bench
import benchassist.ui.form, benchassist.ui.table, benchassist.ui.pedal
print([name for name in ("numpy", "scipy", "pyqtgraph", "pydantic") if name in sys.modules])
"""


class Painting(QObject):
    """Counts which widgets are painted."""

    def __init__(self):
        super().__init__()
        self.painted = []

    def eventFilter(self, watched, event):  # noqa: N802
        if event.type() == QEvent.Type.Paint:
            self.painted.append(type(watched).__name__)
        return False


@pytest.fixture
def heard():
    def listen(bench):
        told = []
        for name in ("chosen", "part_picked", "key_unused"):
            getattr(bench, name).connect(
                lambda value, name=name: told.append((name, value))
            )
        for name in ("called_away", "what_now", "page_left"):
            getattr(bench, name).connect(lambda name=name: told.append((name,)))
        bench.chosen_with.connect(
            lambda command, text: told.append(("with", command, text))
        )
        return told

    return listen


def watch(bench):
    painting = Painting()
    for widget in [bench, *bench.findChildren(QWidget)]:
        widget.installEventFilter(painting)
    return painting


def test_a_plain_import_of_the_bench_loads_nothing_heavy():
    run = subprocess.run(
        [sys.executable, "-c", IMPORT],
        capture_output=True,
        text=True,
        timeout=300,
        check=True,
    )

    assert run.stdout.strip() == "[]"


def test_the_plotting_library_waits_for_the_first_curves(samples):
    code = """
import sys
import importlib.util
from PySide6.QtCore import QSize
from PySide6.QtWidgets import QApplication
from benchassist.clock import RealClock
from benchassist.ui.bench import Bench
from benchassist.ui.theme import load_palette, theme_for
from benchassist.ui.ticker import Ticker
spec = importlib.util.spec_from_file_location("samples", sys.argv[1])
samples = importlib.util.module_from_spec(spec)
spec.loader.exec_module(samples)
app = QApplication([])
theme = theme_for(load_palette("dark"), mm_per_px=0.253, size=QSize(1366, 768))
clock = RealClock()
bench = Bench(theme, clock, Ticker(clock))
bench.show()
for view in (samples.WAIT, samples.STOP):
    bench.show_view(view)
    app.processEvents()
before = {"numpy", "pyqtgraph"} & set(sys.modules)
bench.show_view(samples.STOP_WITH_CURVES)
app.processEvents()
print(sorted(before), "pyqtgraph" in sys.modules)
"""
    run = subprocess.run(
        [sys.executable, "-c", code, samples.__file__],
        capture_output=True,
        text=True,
        timeout=300,
        check=True,
    )

    assert run.stdout.strip() == "[] True"


def test_the_same_look_again_repaints_nothing(samples, show_bench, qapp):
    bench = show_bench(samples.WAIT)
    qapp.processEvents()
    painting = watch(bench)

    bench.show_view(replace(samples.WAIT))
    qapp.processEvents()

    assert painting.painted == []


def test_a_second_that_passes_repaints_the_countdown_and_no_list(
    samples, show_bench, qapp
):
    bench = show_bench(samples.WAIT)
    qapp.processEvents()
    painting = watch(bench)

    bench.show_view(
        replace(samples.WAIT, countdown=replace(samples.WAIT.countdown, big="1:13"))
    )
    qapp.processEvents()

    # The bench fills the ground under the countdown, and nothing else.
    assert set(painting.painted) == {"CountdownView", "Bench"}


def test_a_fill_that_moves_less_than_a_pixel_repaints_nothing(
    samples, show_bench, qapp
):
    bench = show_bench(samples.WAIT)
    qapp.processEvents()
    painting = watch(bench)

    bench.show_view(
        replace(
            samples.WAIT,
            band=replace(samples.WAIT.band, fill=0.6201),
            countdown=replace(samples.WAIT.countdown, fill=0.62001),
            rows=tuple(replace(row, fill=row.fill + 1e-5) for row in samples.WAIT.rows),
        )
    )
    qapp.processEvents()

    assert painting.painted == []


def test_an_option_is_chosen_by_its_key(samples, show_bench, heard):
    bench = show_bench(samples.HOLD)
    told = heard(bench)

    bench.key_down("2")

    assert told == [("chosen", ("set",))]


def test_an_option_that_is_held_is_chosen_after_two_seconds(
    samples, show_bench, heard, pass_time
):
    bench = show_bench(samples.LOAD)
    told = heard(bench)

    bench.key_down("1")
    pass_time(2000)

    assert told == [("chosen", ("load",))]


def test_a_number_is_asked_for_then_confirmed_by_a_hold(
    samples, show_bench, heard, pass_time, qtbot
):
    bench = show_bench(samples.ASK)
    told = heard(bench)
    bench.key_down("2")
    field = bench.findChild(QLineEdit)
    qtbot.keyClicks(field, "1 000")
    bench.key_down("Enter")
    pass_time(2000)
    bench.key_up("Enter")
    refused = list(told)
    field.clear()
    qtbot.keyClicks(field, "1000")
    bench.key_down("Enter")
    pass_time(1900)
    early = list(told)
    pass_time(100)

    assert refused == early == []
    assert told == [("with", ("stopped",), "1000")]
    assert not field.isVisible()


def test_a_field_that_is_left_chooses_nothing(samples, show_bench, heard, pass_time):
    bench = show_bench(samples.ASK)
    told = heard(bench)

    bench.key_down("2")
    bench.key_down("1")
    bench.key_down("Esc")
    pass_time(3000)

    assert told == []
    assert not bench.findChild(QLineEdit).isVisible()


def test_a_field_closes_when_its_option_is_gone(samples, show_bench, heard):
    bench = show_bench(samples.ASK)
    bench.key_down("2")

    bench.show_view(samples.STOP)

    assert not bench.findChild(QLineEdit).isVisible()


def test_a_lamp_is_picked_up_by_a_hold_and_a_failing_one_never(
    samples, show_bench, heard, pass_time
):
    bench = show_bench(samples.STOP)
    told = heard(bench)

    for key in ("3", "4", "1"):
        bench.key_down(key)
        pass_time(2000)
        bench.key_up(key)

    assert ("chosen", ("lamp", "A")) in told
    assert len([one for one in told if one[0] == "chosen"]) == 1


def test_called_away_and_what_now_work_on_every_look(look, show_bench, heard):
    bench = show_bench(look)
    told = heard(bench)

    bench.key_down("H")
    bench.key_down("W")

    assert told == [("called_away",), ("what_now",)]


def test_a_part_is_picked_by_its_key_and_by_a_tap(samples, show_bench, heard, qtbot):
    bench = show_bench(samples.WAIT)
    told = heard(bench)
    rows = bench.findChild(RowList)
    row = rows.layouts()[2].box.center().toPoint()

    bench.key_down("F3")
    qtbot.mouseClick(rows, Qt.MouseButton.LeftButton, pos=row)

    assert told == [("part_picked", code) for code in ("EX-24", "EX-23")]


def test_a_tag_of_the_rail_is_picked_by_a_tap_and_by_its_key(
    samples, show_bench, heard, qtbot
):
    bench = show_bench(samples.HOLD)
    told = heard(bench)
    rail = bench.findChild(Rail)
    keys = [run for run in rail.runs() if run.text == "F4"]

    qtbot.mouseClick(
        rail, Qt.MouseButton.LeftButton, pos=keys[0].capitals.center().toPoint()
    )
    bench.key_down("F5")

    assert told == [("part_picked", "EX-31"), ("part_picked", "EX-25")]


def test_a_place_at_the_foot_is_reached_by_a_tap(samples, show_bench, heard, qtbot):
    bench = show_bench(samples.WAIT)
    told = heard(bench)
    foot = bench.findChild(Foot)

    for word in ("Day", "Called away"):
        run = next(run for run in foot.runs() if run.text == word)
        at = run.capitals.center().toPoint()
        qtbot.mouseClick(foot, Qt.MouseButton.LeftButton, pos=at)

    assert told == [("key_unused", "D"), ("called_away",)]


def test_a_key_that_nothing_wants_is_told_to_whoever_opens_pages(
    samples, show_bench, heard
):
    bench = show_bench(samples.WAIT)
    told = heard(bench)

    bench.key_down("P")

    assert told == [("key_unused", "P")]


def test_the_drawer_shows_ledger_then_gates_then_the_list_again(samples, show_bench):
    bench = show_bench(samples.WAIT)

    def seen():
        kinds = ("RowList", "LedgerBars", "GateList")
        return [
            type(child).__name__
            for child in bench.findChildren(QWidget)
            if child.isVisible() and type(child).__name__ in kinds
        ]

    order = [seen()]
    for _ in range(3):
        bench.key_down(DRAWER_KEY)
        order.append(seen())
    while seen() != ["RowList"]:
        bench.key_down(DRAWER_KEY)

    assert order[:3] == [["RowList"], ["LedgerBars"], ["GateList"]]


def test_a_form_is_handed_in_with_its_values_by_enter(samples, show_bench, heard):
    bench = show_bench(samples.WAIT)
    form = FormPage(bench.theme, bench.hands)
    form.show_view(samples.FORM)
    bench.open_page(form)
    handed = []
    form.submitted.connect(lambda name, values: handed.append((name, values)))

    bench.key_down("Enter")

    name, values = handed[0]
    assert name == "intake"
    assert values["part"] == "EX-41"
    assert values["recipe"] == "C"
    assert values["mouth"] == ""
    assert set(values) == {field.name for field in samples.FORM.fields}


def test_a_form_that_comes_back_with_an_error_keeps_what_was_typed(
    samples, show_bench, qtbot
):
    form = FormPage(show_bench(samples.WAIT).theme, show_bench(samples.WAIT).hands)
    qtbot.addWidget(form)
    form.show_view(samples.FORM)
    form.findChild(QLineEdit).setText("EX-77")

    form.show_view(replace(samples.FORM, error="Another code, please."))

    assert form.values()["part"] == "EX-77"
    form.show_view(
        FormView("reading", "A lamp reading", samples.FORM.fields[:1], "File")
    )
    assert form.values() == {"part": "EX-41"}


def test_a_page_keeps_parts_options_quiet_and_is_left_by_esc(
    samples, show_bench, heard
):
    bench = show_bench(samples.HOLD)
    told = heard(bench)
    table = TablePage(bench.theme, bench.hands)
    table.show_view(samples.TABLE)
    bench.open_page(table)

    bench.key_down("1")
    bench.key_down("A")
    bench.key_down("R")
    bench.key_down("H")
    bench.key_down("Esc")
    bench.key_down("1")

    assert told == [
        ("key_unused", "1"),
        ("key_unused", "A"),
        ("chosen", ("reading",)),
        ("called_away",),
        ("page_left",),
        ("chosen", ("wet",)),
    ]


def test_an_empty_table_says_what_to_do_next(samples, show_bench):
    bench = show_bench(samples.WAIT)
    table = TablePage(bench.theme, bench.hands)
    table.show_view(replace(samples.TABLE, rows=()))
    bench.open_page(table)

    texts = [
        child.text()
        for child in table.findChildren(QWidget)
        if child.isVisible() and hasattr(child, "text")
    ]
    assert samples.TABLE.empty in texts


def test_a_table_is_scrolled_by_keys(samples, show_bench):
    bench = show_bench(samples.WAIT)
    table = TablePage(bench.theme, bench.hands)
    table.show_view(replace(samples.TABLE, rows=samples.TABLE.rows * 30))
    bench.open_page(table)
    bar = table.findChild(QWidget, "cells").verticalScrollBar()

    bench.key_down("PgDown")
    down = bar.value()
    bench.key_down("Home")

    assert down > 0
    assert bar.value() == 0


def test_a_window_that_is_not_in_front_says_so_where_the_pedal_is(
    samples, show_bench, shown
):
    bench = show_bench(samples.WAIT)

    bench.set_front(front=False)
    away = [run.text for _, run, _ in shown(bench) if run.reading == "must"]
    bench.set_front(front=True)
    back = [run.text for _, run, _ in shown(bench) if run.reading == "must"]

    assert "off: window not in front" in away
    assert samples.WAIT.pedal_line not in away
    assert samples.WAIT.pedal_line in back


def test_typing_says_that_the_pedal_is_off(samples, show_bench, shown):
    bench = show_bench(samples.WAIT)

    bench.set_typing(typing=True)

    assert "rests while you type" in [run.text for _, run, _ in shown(bench)]


def test_another_theme_changes_every_colour_and_no_word(
    samples, show_bench, shown, themes
):
    bench = show_bench(samples.WAIT, palette="dark")
    before = [(run.text, run.ink) for _, run, _ in shown(bench)]

    bench.set_theme(themes(palette="light"))
    after = [(run.text, run.ink) for _, run, _ in shown(bench)]

    assert [text for text, _ in after] == [text for text, _ in before]
    assert not {ink for _, ink in after} & {ink for _, ink in before}


def test_what_is_shown_is_said_to_a_screen_reader(samples, show_bench):
    bench = show_bench(samples.WAIT)
    names = [child.accessibleName() for child in bench.findChildren(QWidget)]

    for said in ("WAIT EX-23", "NEXT: EX-22: brush coat 1, may wait 0:52"):
        assert said in names
    assert any(name.startswith("PEDAL: ") for name in names)


def test_an_option_of_the_look_itself_is_chosen_too(samples, show_bench, heard):
    bench = show_bench(replace(samples.WAIT, options=(Option("skip", "S", "skip"),)))
    told = heard(bench)

    bench.key_down("s")

    assert told == [("chosen", "skip")]
