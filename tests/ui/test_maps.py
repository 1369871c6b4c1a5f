"""Where a spot lies, and what the bars and bounds draw."""

from dataclasses import replace

import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor, QImage, QPainter

from benchassist.ui.ledger import GateList, LedgerBars
from benchassist.ui.shapes import draw_shape
from benchassist.ui.spotmap import CoatInset, SegmentMap, spot_place

FACES = (("outer face", 20), ("biting face", 20), ("inner face", 20))
WORDS = ("WAIT", "DO", "HOLD", "STOP", "ASK")


@pytest.mark.parametrize(
    ("spot", "place"),
    [(0, (0, 0)), (19, (0, 19)), (20, (1, 0)), (59, (2, 19)), (60, (2, 20))],
)
def test_a_coat_is_walked_one_face_after_the_other(spot, place):
    assert spot_place(FACES, spot) == place


def picture_of(draw, width=120, height=120):
    picture = QImage(width, height, QImage.Format.Format_RGB32)
    picture.fill(QColor("black"))
    painter = QPainter(picture)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    draw(painter)
    painter.end()
    return picture


def lit(picture, x, y):
    return picture.pixelColor(round(x), round(y)).lightness() > 128


@pytest.mark.parametrize(
    ("word", "middle", "corner"),
    [
        ("WAIT", False, False),
        ("DO", True, True),
        ("HOLD", True, True),
        ("STOP", True, False),
        ("ASK", False, False),
    ],
)
def test_shapes_differ_in_outline_or_filling(word, middle, corner):
    square = QRectF(10, 10, 100, 100)
    picture = picture_of(
        lambda painter: draw_shape(painter, word, square, ink="#ffffff")
    )

    assert lit(picture, 60, 60) is middle
    assert lit(picture, 17, 17) is corner


def test_no_two_shapes_look_alike():
    square = QRectF(10, 10, 100, 100)
    pictures = [
        bytes(
            picture_of(
                lambda p, w=word: draw_shape(p, w, square, ink="#ffffff")
            ).constBits()
        )
        for word in WORDS
    ]

    assert len(set(pictures)) == len(WORDS)


def test_the_ring_fills_as_time_passes():
    def light(share):
        square = QRectF(10, 10, 100, 100)
        picture = picture_of(
            lambda painter: draw_shape(
                painter, "WAIT", square, ink="#ffffff", share=share
            )
        )
        return sum(bytes(picture.constBits())[0::4])

    passed = [light(share / 4) for share in range(5)]
    assert passed == sorted(passed)
    assert passed[0] < passed[4]


def test_a_bound_is_hatched_with_an_open_end(samples, qtbot, themes):
    bars = LedgerBars(themes())
    qtbot.addWidget(bars)
    bars.resize(520, 200)
    bars.show_view((replace(samples.BARS[1], low=0.3, high=0.6),))
    bars.resize(520, bars.height_for(520))
    bars.show()

    picture = bars.grab().toImage()
    pad, theme = themes().px(4.0), themes()
    unit = (520 - 2 * pad) / 1.04
    top = bars.height() - theme.px(4.0) - theme.px(2.8)

    def column(share):
        x = round(pad + unit * share)
        return [
            picture.pixelColor(x, y).lightness() > 140
            for y in range(top + 2, top + theme.px(2.8) - 2)
        ]

    assert all(column(0.15))
    hatched = [lit for share in (0.40, 0.41, 0.42, 0.43, 0.44) for lit in column(share)]
    assert any(hatched)
    assert not all(hatched)
    assert not any(column(0.8))
    # The end of the hatching has no line: nobody knows where it ends.
    assert not all(column(0.6))


def test_a_bar_beyond_what_is_owed_keeps_the_tick_in_sight(samples, qtbot, themes):
    bars = LedgerBars(themes())
    qtbot.addWidget(bars)
    bars.resize(520, 120)
    bars.show_view(
        (replace(samples.BARS[0], low=2.07, high=2.07, owed="2900 of 1400"),)
    )
    bars.show()

    assert not bars.grab().isNull()
    assert "2900 of 1400" in bars.accessibleName()


def test_gates_that_stop_come_first_where_there_is_little_room(samples, qtbot, themes):
    gates = GateList(themes())
    qtbot.addWidget(gates)
    gates.show_view(samples.GATES)
    gates.resize(420, 290)

    words = [run.text for run in gates.runs()]

    assert words.index("Glycerine count") < words.index("Dry before coat")
    assert any(word.startswith("and ") and word.endswith(" more") for word in words)


def test_a_gate_that_stops_is_the_last_to_go(samples, qtbot, themes):
    gates = GateList(themes())
    qtbot.addWidget(gates)
    gates.show_view(samples.GATES)
    gates.resize(420, 90)

    words = [run.text for run in gates.runs()]

    assert words == ["GATES", "STOP", "Glycerine count"]


@pytest.mark.parametrize("jaw", ["upper", "lower"])
def test_maps_carry_the_jaw_and_the_patients_sides(samples, qtbot, themes, jaw):
    title = f"{jaw.upper()}, 60 SPOTS"
    inset = CoatInset(themes())
    qtbot.addWidget(inset)
    inset.resize(314, 276)
    inset.show_view(replace(samples.WALK.spots, title=title, jaw=jaw))
    first, middle = (inset._dot(inset.view, spot).y() for spot in (0, 10))

    # Front teeth are at the top of an upper arch and at the foot of a lower one.
    assert (first > middle) == (jaw == "upper")
    words = {run.text: run for run in inset.runs()}

    assert {title, "patient R", "L", "26 done"} <= set(words)
    assert words["patient R"].x < words["L"].x


def test_the_segment_map_numbers_its_spots_and_marks_the_one_with_light(
    samples, qtbot, themes
):
    segment = SegmentMap(themes())
    qtbot.addWidget(segment)
    segment.resize(520, 276)
    segment.show_view(samples.WALK.spots)
    numbers = {run.text: run for run in segment.runs() if run.text.isdigit()}

    # As everything counts: from 1 over the coat.
    assert set(numbers) == {str(number) for number in range(25, 33)}
    assert numbers["27"].ground == themes().palette.attention
    assert numbers["27"].face.cap > numbers["28"].face.cap
    assert segment.accessibleName() == "This patch: spot 27 now, 2 of 8 done"


def test_how_long_it_is_wet_does_not_repaint_the_maps(samples, qtbot, themes):
    segment = SegmentMap(themes())
    qtbot.addWidget(segment)
    segment.show_view(samples.WALK.spots)
    before = segment.view

    segment.show_view(replace(samples.WALK.spots, wet_text="segment wet 0:59 of 2:00"))

    assert segment.view is before
