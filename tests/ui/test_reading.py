"""What is shown can be read: measured on every state, on both screens, both themes.

Must-read capitals are 8.7 mm, the part's code 17.5 mm, digits 26 mm, near text 3.3 mm;
contrast is 7:1 plain (WCAG 2, level AAA) and 4.5:1 through orange glasses. Sizes
follow from the visual angles of ISO 9241-3 as quoted, and common practice.
"""

import numpy as np
import pytest
from pyqtgraph import PlotWidget
from PySide6.QtGui import QFontMetricsF, QImage
from PySide6.QtWidgets import QLabel, QLineEdit, QTableView

from benchassist.ui.entry import Entry
from benchassist.ui.form import ChoiceBox, FormPage
from benchassist.ui.table import TablePage
from benchassist.ui.theme import amber, contrast

LEAST_MM = {
    "digits": 26.0,
    "code": 17.5,
    "must": 8.7,
    "far": 7.0,
    "near": 3.3,
    "ornament": 3.3,
}
FAR = ("digits", "code", "must", "far")


@pytest.fixture(params=["small", "large"])
def screen(request):
    return request.param


def text_of(runs, reading):
    return " ".join(run.text for _, run, _ in runs if run.reading == reading)


def test_capitals_are_as_high_as_the_distance_asks(show_bench, shown, look, screen):
    bench = show_bench(look, screen)
    mm_per_px = bench.theme.mm_per_px

    too_small = [
        (run.text, run.reading)
        for _, run, _ in shown(bench)
        if QFontMetricsF(run.face.font).capHeight() * mm_per_px < LEAST_MM[run.reading]
    ]

    assert not too_small


def test_every_text_stands_whole_inside_its_widget(show_bench, shown, look, screen):
    bench = show_bench(look, screen)

    cut = []
    for widget, run, _ in shown(bench):
        inner = widget.viewport() if hasattr(widget, "viewport") else widget
        ink = run.face.metrics.tightBoundingRect(run.text)
        ink.translate(run.x, run.baseline)
        room = inner.rect().toRectF().adjusted(-1, -1, 1, 1)
        if not room.contains(ink):
            cut.append((type(widget).__name__, run.text, ink, room))

    assert not cut


def test_nothing_covers_a_far_text(show_bench, shown, look, screen):
    bench = show_bench(look, screen)

    for widget, run, box in shown(bench):
        if run.reading in FAR:
            for x, y in (
                (box.left() + 2, box.center().y()),
                (box.right() - 2, box.center().y()),
            ):
                on_top = bench.childAt(round(x), round(y))
                assert on_top is widget, (run.text, on_top)


def test_what_the_foot_needs_is_there_in_far_letters(show_bench, shown, look, screen):
    runs = shown(show_bench(look, screen))

    must = text_of(runs, "must")
    for sentence in (look.headline, look.next_line, look.pedal_line):
        assert " ".join(sentence.split()) in must
    assert look.band.word in must.split()
    assert text_of(runs, "code") == look.band.code
    if look.countdown is not None:
        assert text_of(runs, "digits") == look.countdown.big
        assert look.countdown.unit in must
    assert {"NEXT", "PEDAL"} <= set(text_of(runs, "far").split())


@pytest.mark.parametrize("palette", ["dark", "light"])
def test_text_stands_out_plain_and_through_orange_glasses(
    show_bench, shown, look, palette
):
    for _, run, _ in shown(show_bench(look, "small", palette)):
        plain = contrast(run.ink, run.ground)
        through_glasses = contrast(amber(run.ink), amber(run.ground))

        assert plain >= 7.0, run
        assert through_glasses >= 4.5, run


@pytest.mark.parametrize("palette", ["dark", "light"])
def test_the_ground_that_a_text_claims_is_the_ground_that_is_painted(
    show_bench, shown, look, palette
):
    bench = show_bench(look, "small", palette)
    picture = bench.grab().toImage().convertToFormat(QImage.Format.Format_RGB32)
    pixels = np.frombuffer(picture.constBits(), np.uint32)
    pixels = pixels.reshape(picture.height(), -1) & 0xFFFFFF

    wrong = []
    for widget, run, box in shown(bench):
        if bench.childAt(box.center().toPoint()) not in (widget, *widget.children()):
            continue  # a near text under the message
        part = pixels[
            max(0, int(box.top())) : int(box.bottom()),
            int(box.left()) : int(box.right()) + 1,
        ]
        values, counts = np.unique(part, return_counts=True)
        if values[counts.argmax()] != int(run.ground[1:], 16):
            wrong.append((run.text, run.ground, f"{values[counts.argmax()]:06x}"))

    assert not wrong


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
            assert "hold 2 s" in near


def test_during_a_walk_only_what_the_lamp_needs_is_shown(samples, show_bench, screen):
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
        "CoatInset",
        "WetBar",
        "FarLine",
        "HintLine",
    }


def test_a_very_long_next_line_takes_more_lines_and_never_smaller_letters(
    samples, show_bench, shown
):
    bench = show_bench(samples.LONG, "small")
    lines = [run for _, run, _ in shown(bench) if run.text in samples.LONG.next_line]

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
        assert samples.WAIT.next_line in must
        assert samples.WAIT.pedal_line in must
        assert text_of(shown(bench), "code") == "EX-23"
        for kind in (QLabel, QLineEdit, ChoiceBox, QTableView):
            for part in page.findChildren(kind):
                cap_mm = QFontMetricsF(part.font()).capHeight() * bench.theme.mm_per_px
                assert cap_mm >= LEAST_MM["near"], part


def test_the_plot_is_labelled_in_near_letters(samples, show_bench, screen):
    bench = show_bench(samples.STOP_WITH_CURVES, screen)
    plot = bench.findChild(PlotWidget)
    font = plot.getAxis("bottom").style["tickFont"]

    cap_mm = QFontMetricsF(font).capHeight() * bench.theme.mm_per_px

    assert plot.isVisible()
    assert cap_mm >= LEAST_MM["near"]


def test_a_field_that_is_asked_for_is_whole_and_covers_nothing_far(
    samples, show_bench, shown, screen
):
    bench = show_bench(samples.ASK, screen)
    bench.key_down("2")
    runs = shown(bench)
    entry = bench.findChild(Entry)

    asked = [run.text for widget, run, _ in runs if widget.parent() is entry]
    assert {"Flashes still on the counter of EX-BX-1", "confirm", "leave it"} <= set(
        asked
    )
    for widget, run, box in runs:
        if run.reading in FAR:
            assert bench.childAt(box.center().toPoint()) is widget
        if widget.parent() is entry:
            assert widget.rect().toRectF().adjusted(-1, -1, 1, 1).contains(run.rect)
    field = entry.findChild(QLineEdit)
    assert QFontMetricsF(field.font()).capHeight() * bench.theme.mm_per_px >= 3.3
