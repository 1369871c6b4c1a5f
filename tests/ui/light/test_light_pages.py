"""The pages on a screen: whole, readable, walked by keys, in the window by one key."""

import re
from functools import partial

import pytest
from PySide6.QtCore import QEvent, QObject
from PySide6.QtGui import QFontMetricsF
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QComboBox, QLabel, QLineEdit, QWidget

from benchassist.domain import commands as cm
from benchassist.ui.actions import OpenPage
from benchassist.ui.bench import Bench
from benchassist.ui.heading import Words
from benchassist.ui.light import LIGHT_PAGES
from benchassist.ui.light.drawing import even_ticks, log_ticks
from benchassist.ui.light.fields import Fields
from benchassist.ui.light.grid import Cell, Grid, GridView
from benchassist.ui.light.notes import Notes
from benchassist.ui.light.sliders import Slider, Sliders, SlidersView
from benchassist.ui.light.tack import _rate_options
from benchassist.ui.places import make
from benchassist.ui.present.look import look
from benchassist.ui.view import Field
from tests.domain.builders import Desk
from tests.sums.demo import library

NEAR_MM = 3.3
TAKEN = {"H", "W", "Space", "Esc"}
SCREENS = {"small": (1366, 768), "large": (1920, 1080)}


pytestmark = pytest.mark.usefixtures("_few_draws")


@pytest.fixture(params=["small", "large"])
def screen(request):
    return request.param


WRONG = re.compile(r"\b(None|nan|inf|Error|Traceback)\b")


class Shown:
    """A bench on a screen, whose pages it hosts, and what they hand on."""

    def __init__(self, qtbot, bench, theme, desk):
        self.bench, self.look, self.desk = bench, theme, desk
        self.hands, self.pages = bench.hands, {}
        self.commands, self.said = [], []
        self._qtbot = qtbot
        bench.chosen.connect(self.commands.append)

    def open(self, name):
        if name not in self.pages:
            page = self.pages[name] = make(name, self)
            page.asked.connect(self.commands.append)
            page.said.connect(self.said.append)
        page = self.pages[name]
        page.fill(self.desk.bench, self.desk.now)
        self.bench.open_page(page)
        self.settle(page)
        return page

    def settle(self, page):
        """Look ten times a second until nothing is being worked on."""

        def idle():
            # What the window does ten times a second.
            self.bench.show_view(look(self.desk.bench, self.desk.now))
            page.pass_time(self.desk.bench, self.desk.now)
            return page.idle

        self._qtbot.waitUntil(idle, timeout=120_000)

    def press(self, page, key):
        self.bench.key_down(key)
        self.bench.key_up(key)
        self.settle(page)


@pytest.fixture
def show(qtbot, themes, clock, ticker, desk):
    kept = []  # collected while it is painted, a window would crash

    def make(screen="small", palette="dark", desk=desk):
        bench = Bench(themes(screen, palette), clock, ticker)
        qtbot.addWidget(bench)
        bench.resize(*SCREENS[screen])
        bench.show()
        bench.show_view(look(desk.bench, desk.now))
        kept.append(Shown(qtbot, bench, themes(screen, palette), desk))
        return kept[-1]

    return make


@pytest.fixture
def page(show):
    """Return a function that opens a page on the small screen."""
    shown = show()
    return lambda name: (shown, shown.open(name))


def runs_of(page):
    for widget in page.findChildren(QWidget):
        if widget.isVisible() and callable(getattr(widget, "runs", None)):
            yield from ((widget, run) for run in widget.runs())


# --- what is seen --------------------------------------------------------------


@pytest.mark.parametrize("name", LIGHT_PAGES)
def test_every_page_is_whole_and_readable_on_both_screens(show, screen, name):
    shown = show(screen)
    page = shown.open(name)
    mm_per_px = {"small": 0.253, "large": 0.277}[screen]

    seen = list(runs_of(page))
    assert seen
    for widget, run in seen:
        ink = run.face.metrics.tightBoundingRect(run.text)
        ink.translate(run.x, run.baseline)
        room = widget.rect().toRectF().adjusted(-1.5, -1.5, 1.5, 1.5)
        assert room.contains(ink), (type(widget).__name__, run.text)
        assert not run.text.endswith("\N{HORIZONTAL ELLIPSIS}"), run.text
        assert QFontMetricsF(run.face.font).capHeight() * mm_per_px >= NEAR_MM, run.text
    for part in page.findChildren(QWidget):
        if part.isVisible() and isinstance(part, QLabel | QLineEdit):
            assert part.font().pixelSize() > 0
            assert page.rect().contains(
                part.geometry().translated(
                    part.parentWidget().mapTo(
                        page, part.parentWidget().rect().topLeft()
                    )
                )
            ), part.accessibleName()


@pytest.mark.parametrize("name", LIGHT_PAGES)
def test_state_band_next_and_pedal_stay_in_sight(show, screen, name):
    shown = show(screen)
    page = shown.open(name)

    for part in (
        shown.bench._parts.slim,
        shown.bench._parts.rail,
    ):
        assert part.isVisible()
        assert not part.geometry().intersects(page.geometry())


@pytest.mark.parametrize("name", LIGHT_PAGES)
@pytest.mark.parametrize("filed", [False, True], ids=["nothing on file", "no part"])
def test_every_page_says_in_words_what_is_missing(show, name, filed):
    """A new practice's first look: nothing imported, or nothing taken in."""
    empty = Desk(filed=library(), kind="demo") if filed else Desk(filed=None)
    shown = show(desk=empty)

    page = shown.open(name)

    told = [run.text for _, run in runs_of(page) if len(run.text) > 12]
    assert told
    assert not [text for text in told if WRONG.search(text)]
    # Names that are not there leave no gap in a sentence.
    assert not [text for text in told if re.search(r" [:,.]|\bNo \w+ has no\b", text)]
    assert page.idle


def test_a_dish_is_not_offered_where_no_lot_is_on_file(show):
    shown = show(desk=Desk(filed=None))
    page = shown.open("room-light")

    assert not [b for b in page.buttons() if b.option and b.option.key in ("1", "2")]
    assert any("No lot is on file" in run.text for _, run in runs_of(page))


def test_no_key_of_a_page_takes_the_foots_or_a_hand_key_of_the_bench(page):
    for name in LIGHT_PAGES:
        _, one = page(name)
        keys = [b.option.key for b in one.buttons() if b.option]
        assert not TAKEN & set(keys), name
        assert len(set(keys)) == len(keys), name


def test_a_page_of_sums_goes_back_to_all_of_them_and_how_well_to_the_bench(page):
    shown, one = page("tack")
    shown.press(one, "Esc")
    assert shown.commands == [OpenPage("light")]

    shown, one = page("how-well")
    shown.press(one, "Esc")
    assert shown.commands == [OpenPage("light")]
    assert not one.isVisible()


# --- what hands do -------------------------------------------------------------


def test_arrows_walk_the_lights_and_the_layers(page):
    shown, one = page("pairing")
    assert one._grid.view.chosen == 0
    shown.press(one, "Down")
    assert one._grid.view.chosen == 1
    assert "EX-LM-C shines" in one._plot.view.spoken

    shown.press(one, "Right")
    assert one._grid.view.chosen == 0
    assert one._lot != "EX-LT-C1"
    shown.press(one, "Left")
    assert one._lot == "EX-LT-C1"


def test_the_page_follows_what_happens_at_the_bench(page):
    shown, one = page("pairing")
    shown.desk.must(cm.ReadLamp("EX-LM-A", 80))
    shown.settle(one)

    assert one._grid.view.rows[0][2].text == "13 s a spot"


def test_a_slider_is_answered_by_a_preview_and_then_surely(page):
    shown, one = page("forecast")
    assert one._plot.view.bands
    seen = []
    one._plot.show_view = lambda plot, real=one._plot.show_view: (
        seen.append(plot),
        real(plot),
    )

    shown.press(one, "Right")

    kinds = [(len(plot.lines), len(plot.bands)) for plot in seen]
    assert kinds == [(2, 0), (4, 0), (4, 1)]
    assert one._sliders.view.sliders[0].at == 26
    shown.press(one, "0")
    assert one._sliders.view.sliders[0].at == 25


def test_only_the_newest_of_many_moves_is_answered(page):
    shown, one = page("forecast")
    answered = []
    one._show = lambda found: answered.append(found.setting.coat_um)

    for _ in range(6):
        one.key("Right")
    shown.settle(one)

    assert set(answered) == {31}


def test_a_coupon_is_entered_with_its_seconds(page):
    shown, one = page("tack")
    assert one._plot.view.ranges
    kept = [b.option for b in one.buttons() if b.option and b.option.key == "3"]

    filled = kept[0].command.filled("8")

    assert filled == cm.RecordCoupon(
        "EX-LM-A", "EX-RS-C", passed=False, tack_s=8, how="tacky at the end"
    )
    shown.press(one, "7")
    assert one._about.lamp == "EX-LM-B"


def test_a_coupon_that_was_entered_narrows_at_once_what_was_computed(page):
    shown, one = page("tack")
    before = one._found[one._coating.key]
    shown.desk.must(cm.RecordCoupon("EX-LM-A", "EX-RS-C", passed=True, tack_s=10))
    shown.open("tack")

    assert one._found[one._coating.key] is before
    assert any(dots.label == "coupon passed" for dots in one._plot.view.dots)
    told = [words.text for words in one._words.view]
    assert "1 coupon narrows it: 4 of 4 draws agree." in told


def test_the_rates_are_chosen_and_typed_on_the_page(page):
    shown, one = page("tack")
    shown_keys = {b.option.key for b in one.buttons() if b.option}

    def option(key):
        found = [each for each in _rate_options(shown.desk.bench) if each.key == key]
        return found[0] if found else None

    assert "4" in shown_keys
    assert option("4").text == "Rates: both. Take measured"
    assert option("4").hold
    assert option("5") is None
    for _ in range(3):
        shown.desk.must(option("4").command)
    assert option("4").text == "Rates: own. Take both"

    shown.desk.must(option("5").command.filled("50"))
    assert shown.desk.bench.limits["kp_percent"] == 50


def test_a_lamp_without_a_spectrum_has_one_sentence_and_no_plot(page):
    shown, one = page("tack")
    for _ in range(4):
        shown.press(one, "7")

    assert one._about.lamp == "EX-LM-D"
    assert one._plot.view is None
    assert one._words.view[0].text == "EX-LM-D has no spectrum on file."


def test_points_are_typed_fitted_and_offered_to_be_kept(page):
    shown, one = page("working-curve")
    one._fields._inputs["points"].setText("10 120; 20 190; 40 255")
    shown.settle(one)
    kept = [b.option for b in one.buttons() if b.option and b.option.key == "1"]

    command = kept[0].command.filled("EX-WC-9")

    assert (command.lamp, command.material) == ("EX-LM-A", "EX-RS-C")
    assert command.record == "EX-WC-9"
    assert kept[0].hold
    shown.desk.must(command)
    one._fields._inputs["points"].setText("10 x")
    assert "is no pair" in one._words.view[0].text
    assert not [b for b in one.buttons() if b.option and b.option.key == "1"]


def test_a_shape_is_typed_and_its_fields_follow(page):
    shown, one = page("spots")
    box = one._fields._inputs["shape"]
    box.setCurrentIndex(box.findData("arch"))
    shown.settle(one)

    assert "height_mm" not in one._fields.values()
    assert one._sheet.view.arch
    one._fields._inputs["length_mm"].setText("118")
    one._fields._inputs["beam_mm"].setText("none")
    assert "is not a number" in one._words.view[0].text


def test_a_spectrum_is_chosen_looked_at_and_filed(page):
    shown, one = page("spectrum")
    rows = [cells[0].text for cells in one._grid.view.rows]
    one._picked(rows.index("ex_lm_d.csv"))
    shown.press(one, "Enter")
    assert one._plot.isVisible()
    assert not [b for b in one.buttons() if b.option and b.option.key == "1"]

    owner = one._fields._inputs["owner"]
    owner.setCurrentIndex(owner.findData("lamp EX-LM-D"))
    one._fields._inputs["reason"].setText("measured")
    shown.settle(one)
    one._file()

    command = shown.commands[-1]
    assert (command.role, command.code) == ("lamp", "EX-LM-D")
    shown.desk.must(command)
    shown.open("spectrum")
    assert one._found is None
    assert one._grid.isVisible()


def test_a_file_that_is_no_spectrum_is_told_and_the_list_stays(page, tmp_path):
    shown, one = page("spectrum")
    (tmp_path / "bad.csv").write_text("400,1\n390,2\n395,3\n", encoding="utf-8")
    one._list(str(tmp_path))
    shown.settle(one)
    rows = [cells[0].text for cells in one._grid.view.rows]
    one._picked(rows.index("bad.csv"))
    shown.press(one, "Enter")

    assert "wavelengths must only rise" in one._head.view[0].text
    assert one._found is None
    one._picked(0)
    shown.press(one, "Enter")
    assert one._folder == str(tmp_path.parent)


def test_glasses_are_typed_and_entered_by_holding(page):
    shown, one = page("eyes")
    shown.press(one, "1")
    for name, text in (("low_nm", "390"), ("high_nm", "525"), ("percent", "0.1")):
        one._fields._inputs[name].setText(text)
    held = [b.option for b in one.buttons() if b.option and b.option.key == "1"]
    assert held[0].hold
    one.choose(held[0])

    assert shown.commands == [cm.ShowGlasses("OP-1", "", 390.0, 525.0, 0.001)]
    one._fields._inputs["percent"].setText("little")
    one.choose(held[0])
    assert shown.said == ["Lets through: “little” is not a number."]


def test_an_advisor_answers_what_is_typed(page):
    shown, one = page("advisors")
    words = [cells[0].text for cells in one._grid.view.rows]
    one._picked(words.index("Float and hold-down"))
    shown.settle(one)
    one._fields._inputs["trapped_air_cm3"].setText("0.2")
    shown.settle(one)

    assert one._words.view[0].text.startswith("FLOATS.")


def test_a_dish_is_opened_counts_down_and_is_covered(page):
    shown, one = page("room-light")
    shown.desk.must(cm.RecordSmear("EX-RS-C", "bench", 8.0, 162.0))
    shown.press(one, "1")
    shown.desk.must(shown.commands.pop())
    shown.settle(one)
    first = one._grid.view.rows[0][2].text
    shown.desk.away(60)
    shown.settle(one)

    assert one._grid.view.rows[0][2].text != first
    shown.press(one, "3")
    assert shown.commands == [cm.ChangeDish("EX-LT-C1", "covered")]
    shown.press(one, "2")
    one._hand_in()
    assert "Dragged after: “” is not a number." in one._words.view[0].text


class Widths(QObject):
    """Every width that a widget is given."""

    def __init__(self, widget):
        super().__init__(widget)
        self.seen = []
        widget.installEventFilter(self)

    def eventFilter(self, _widget, event):  # noqa: N802
        if event.type() == QEvent.Type.Resize:
            self.seen.append(event.size().width())
        return False


def test_a_choice_never_narrows_after_its_page_is_shown(qtbot, themes):
    # 20 ms after new items Qt can draw a choice anew by its words alone.
    page = QWidget()
    qtbot.addWidget(page)
    page.resize(600, 200)
    page.show()
    fields = Fields(themes("large", "dark"), page, columns=1)
    fields.resize(page.size())
    fields.show_view((Field("lot", "Lot", "choice", "", (("EX-LT-C1", "EX-LT-C1"),)),))
    fields.show()
    qtbot.waitUntil(lambda: fields.findChild(QComboBox).width() > 500)
    told = Widths(fields.findChild(QComboBox))
    QTest.qWait(100)
    assert told.seen == []


def test_a_page_that_is_left_forgets_what_it_asked(page):
    shown, one = page("forecast")
    one.key("Right")
    shown.bench.close_page()

    assert one.asker._waiting is None
    shown._qtbot.waitUntil(lambda: one.asker.idle, timeout=120_000)


def test_the_pages_change_theme_while_they_are_open(show, themes):
    shown = show()
    one = shown.open("pairing")

    for each in shown.pages.values():
        each.set_theme(themes("small", "light"))

    ground = themes("small", "light").palette.ground
    assert one._grid.theme.palette.ground == ground
    assert one._plot._widget.backgroundBrush().color().name() == ground


# --- parts ---------------------------------------------------------------------


def test_a_grid_keeps_the_chosen_row_in_sight(qtbot, themes):
    grid = Grid(themes())
    qtbot.addWidget(grid)
    grid.resize(300, 120)
    rows = tuple((Cell(f"row {n}"),) for n in range(30))
    grid.show_view(GridView(("what",), rows, chosen=20))

    assert "row 20" in [run.text for run in grid.runs()]
    assert "row 0" not in [run.text for run in grid.runs()]
    picked = []
    grid.picked.connect(picked.append)
    for key in ("Down", "Up", "Home", "End"):
        assert grid.key(key)
    assert picked == [21, 19, 0, 29]
    assert not grid.key("Left")


def test_notes_grow_small_and_then_leaf_but_are_never_cut(qtbot, themes):
    notes = Notes(themes())
    qtbot.addWidget(notes)
    lines = tuple(Words(f"sentence number {n}, which is not short") for n in range(12))
    notes.resize(360, notes.theme.px(200))
    notes.show_view(lines)
    assert not notes.key("PgDown")

    notes.resize(360, notes.theme.px(24))
    seen = set()
    for _ in range(12):
        seen |= {run.text for run in notes.runs()}
        assert all(run.rect.bottom() <= notes.height() + 2 for run in notes.runs())
        notes.key("PgDown")

    told = " ".join(seen)
    assert all(f"number {n}," in told for n in range(12))
    assert "PgDn: more" in seen


def test_a_slider_moves_by_steps_and_stays_between_its_ends(qtbot, themes):
    sliders = Sliders(themes())
    qtbot.addWidget(sliders)
    sliders.resize(400, 100)
    made = partial(Slider, low=0, high=10, step=1, unit="s", usual=5)
    sliders.show_view(SlidersView((made("a", "A", 9), made("b", "B", 5))))
    moved = []
    sliders.moved.connect(moved.append)

    for key in ("Right", "Right", "Down", "PgDown", "Left"):
        assert sliders.key(key)

    assert [s.at for s in sliders.view.sliders] == [10, 0]
    assert len(moved) == 3
    assert not sliders.key("A")


@pytest.mark.parametrize(
    ("low", "high", "texts"),
    [
        (0, 1.05, ["0", "0.2", "0.4", "0.6", "0.8", "1"]),
        (340, 540, ["350", "400", "450", "500"]),
        (0, 8.3, ["0", "2", "4", "6", "8"]),
    ],
)
def test_ticks_are_round_and_not_at_the_very_end(low, high, texts):
    assert [text for _, text in even_ticks(low, high)] == texts


def test_logarithmic_ticks_are_one_two_and_five():
    assert [text for _, text in log_ticks(0.3, 60)] == [
        "0.5",
        "1",
        "2",
        "5",
        "10",
        "20",
        "50",
    ]


def test_a_narrow_range_of_logarithms_has_even_ticks():
    ticks = log_ticks(3500, 4800)

    assert [text for _, text in ticks] == ["4000", "4500"]
    assert ticks[0][0] == pytest.approx(3.60206)
