"""What is shown can be read: measured on every state, on both screens, both themes."""

from dataclasses import replace

import pytest
from pyqtgraph import PlotWidget
from PySide6.QtWidgets import QLabel, QLineEdit, QTableView

from benchassist.ui.entry import Entry
from benchassist.ui.form import ChoiceBox, FormPage
from benchassist.ui.lines import FarLine
from benchassist.ui.paint import wrap
from benchassist.ui.table import TablePage
from benchassist.ui.theme import READ
from tests.ui import measures
from tests.ui.measures import FAR, LEAST_MM, cap_mm, text_of

pytestmark = pytest.mark.slow  # once, in the checkout


@pytest.fixture(params=["narrow", "small", "large", "wide"])
def screen(request):
    return request.param


def test_capitals_are_as_high_as_the_distance_asks(show_bench, look, screen):
    assert not measures.too_small(show_bench(look, screen))


def test_every_text_stands_whole_inside_its_widget(show_bench, look, screen):
    assert not measures.cut(show_bench(look, screen))


def test_no_two_texts_run_into_each_other(show_bench, look, screen):
    assert not measures.overlapping(show_bench(look, screen))


def test_nothing_covers_a_far_text(show_bench, look, screen):
    assert not measures.covered(show_bench(look, screen))


def test_what_the_foot_needs_is_there_in_far_letters(show_bench, shown, look, screen):
    runs = shown(show_bench(look, screen))

    must = text_of(runs, "must")
    assert look.headline in must
    for long, short in (
        (look.next_line, look.next_short),
        (look.pedal_line, look.pedal_short),
    ):
        assert long in must or (screen == "narrow" and short and short in must)
    assert look.band.word in must.split()
    assert text_of(runs, "code") == look.band.code
    if look.countdown is not None:
        assert text_of(runs, "digits") == look.countdown.big
        assert look.countdown.unit in must
    assert {"NEXT", "PEDAL"} <= set(text_of(runs, "far").split())


@pytest.mark.parametrize("palette", ["dark", "light"])
def test_text_stands_out_plain_and_through_orange_glasses(show_bench, look, palette):
    assert not measures.faint(show_bench(look, "small", palette))


@pytest.mark.parametrize("palette", ["dark", "light"])
def test_the_ground_that_a_text_claims_is_the_ground_that_is_painted(
    show_bench, look, palette
):
    assert not measures.wrong_grounds(show_bench(look, "small", palette))


def test_the_mark_of_the_store_is_always_in_sight(show_bench, shown, look, screen):
    assert look.mark in text_of(shown(show_bench(look, screen)), "near")


def test_every_option_is_offered_with_its_key(show_bench, shown, look, screen):
    options = [
        *(look.card.options if look.card else ()),
        *(look.undo.options if look.undo else ()),
        *look.options,
        *(
            lamp.option
            for lamp in (look.light.lamps if look.light else ())
            if lamp.option
        ),
    ]
    near = text_of(shown(show_bench(look, screen)), "near")

    for option in options:
        assert f"{option.key} " in f"{near} "
        if option.hold:
            assert "keep down 2 s" in near


def test_during_a_walk_only_what_the_lamp_needs_is_shown(samples, show_bench, screen):
    inset = {"CoatInset"} if screen != "narrow" else set()
    bench = show_bench(samples.WALK, screen)
    names = {
        type(child).__name__
        for child in bench.children()
        if child.isWidgetType() and child.isVisible()
    }

    assert names == {
        "StatusBar",
        "StateBand",
        "Paragraphs",
        "CountdownView",
        "SegmentMap",
        "WetBar",
        "FarLine",
        "PedalLine",
        "Foot",
        "Rail",
        "Ring",
        *inset,
    }


def test_a_very_long_next_line_takes_more_lines_and_never_smaller_letters(
    samples, show_bench, shown
):
    told = "EX-204 and EX-205: wash 2, lift out, both of them late by 10:35"
    bench = show_bench(replace(samples.LONG, next_line=told, next_short=""), "small")
    line = bench.findChildren(FarLine)[0]
    lines = [run for run in line.runs() if run.reading == "must"]

    assert len(lines) == 2
    assert {run.reading for run in lines} == {"must"}


@pytest.mark.parametrize("palette", ["dark", "light"])
def test_pages_are_read_near_and_leave_the_far_lines_in_sight(
    samples, show_bench, shown, screen, palette
):
    bench = show_bench(samples.WAIT, screen, palette)
    form = FormPage(bench.theme, bench.hands)
    form.show_view(samples.FORM)
    table = TablePage(bench.theme, bench.hands)
    table.show_view(samples.TABLE)

    for page in (form, table):
        bench.open_page(page)

        must = text_of(shown(bench), "must")
        for told in ("EX-23", "EX-22", "0:52", samples.WAIT.slim.pedal):
            assert told in must
        for kind in (QLabel, QLineEdit, ChoiceBox, QTableView):
            for part in page.findChildren(kind):
                assert cap_mm(part.font(), bench.theme) >= LEAST_MM["near"], part


@pytest.mark.parametrize("screen", ["small", "large", "wide"])
def test_the_plot_is_labelled_in_near_letters(samples, show_bench, screen):
    bench = show_bench(samples.STOP_WITH_CURVES, screen)
    plot = bench.findChild(PlotWidget)
    font = plot.getAxis("bottom").style["tickFont"]

    assert plot.isVisible()
    assert cap_mm(font, bench.theme) >= LEAST_MM["near"]


def test_a_field_that_is_asked_for_is_whole_and_covers_nothing_far(
    samples, show_bench, shown, screen
):
    bench = show_bench(samples.ASK, screen)
    bench.key_down("2")
    runs = shown(bench)
    entry = bench.findChild(Entry)

    asked = [run.text for widget, run, _ in runs if widget.parent() is entry]
    told = " ".join(asked)
    for words in ("Flashes still on the counter of EX-BX-1", "confirm", "leave it"):
        assert words in told
    for widget, run, box in runs:
        if run.reading in FAR:
            assert bench.childAt(box.center().toPoint()) is widget
        if widget.parent() is entry:
            assert widget.rect().toRectF().adjusted(-1, -1, 1, 1).contains(run.rect)
    field = entry.findChild(QLineEdit)
    assert cap_mm(field.font(), bench.theme) >= LEAST_MM["near"]


@pytest.mark.parametrize(
    ("text", "kept"),
    [
        ("slow on this coat: 17 s, planned 15 s.", ("17 s,", "15 s.")),
        ("tip 1 to 3 mm off, 96 % of 10 min", ("3 mm", "96 %", "10 min")),
        ("3 splints", ("3",)),
    ],
)
def test_a_number_stays_with_its_unit(themes, text, kept):
    face = themes().face(READ)

    for width in range(120, round(face.width(text)) + 20, 10):
        lines = wrap(text, face, width)

        assert " ".join(lines) == text
        for words in kept:
            assert any(words in line for line in lines)
