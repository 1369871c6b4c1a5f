"""The ruler: steps and typed lengths become millimetres per pixel, once asked for."""

import pytest
from PySide6.QtCore import QPoint
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QLabel, QWidget

from benchassist.clock import RealClock
from benchassist.rehearsal.memory import MemoryJournal
from benchassist.session import Session
from benchassist.ui import settings as kept
from benchassist.ui.actions import MeasureBar, SetUp
from benchassist.ui.desk import Desk
from benchassist.ui.hands import Hands
from benchassist.ui.present.setup import MeasureError, Station, mm_per_pixel, setup
from benchassist.ui.ruler import BAR_PX, TOP_PX, RulerPage
from benchassist.ui.settings import Settings
from benchassist.ui.table import TablePage
from benchassist.ui.window import Window


@pytest.fixture
def page(qtbot, themes, clock, ticker):
    window = QWidget()
    qtbot.addWidget(window)
    made = RulerPage(themes(), Hands(clock, ticker, window))
    made.setParent(window)
    made.resize(1300, 500)
    window.resize(1300, 500)
    window.show()
    made.show_size(0.25)
    yield made
    window.hide()


@pytest.fixture
def window(tmp_path, qtbot, _fonts):
    """Return a function that shows an empty bench with some settings."""

    def open_(settings):
        clock = RealClock()
        session = Session.open(
            MemoryJournal(), clock, kind="rehearsal", station="EX-BENCH", zone="UTC"
        )
        desk = Desk(tmp_path, tmp_path / "settings.json", lambda _action: str)
        made = Window(session, clock, settings, desk)
        made.resize(1366, 768)
        qtbot.addWidget(made)
        made.show()
        return made

    return open_


def ruler(window):
    return window.findChild(RulerPage)


def key(window, name):
    window.pedal.key_down.emit(name)
    window.pedal.key_up.emit(name)


def test_a_screen_never_measured_is_offered_the_ruler_once(window, tmp_path):
    made = window(Settings())
    made.pages.offer_ruler()
    offered = ruler(made)
    key(made, "Esc")
    closed = ruler(made)
    settings, _ = kept.load(tmp_path / "settings.json")
    again = window(settings)
    again.pages.offer_ruler()

    assert offered is not None
    assert closed is None
    assert settings.ruler_offered
    assert settings.mm_per_pixel == 0.0
    assert ruler(again) is None


def test_a_measured_screen_is_offered_nothing(window):
    made = window(Settings(mm_per_pixel=0.25))
    made.pages.offer_ruler()

    assert ruler(made) is None


def test_keys_alone_measure_the_screen_and_resize_everything(window, tmp_path):
    made = window(Settings(mm_per_pixel=0.25))
    digits = made.bench.theme.px(26.2)
    for name in ("S", "3", "Up", "Up", "Right"):
        key(made, name)
    told = ruler(made).length_mm
    key(made, "Enter")
    settings, _ = kept.load(tmp_path / "settings.json")

    assert ruler(made) is None
    assert settings.mm_per_pixel == pytest.approx(0.25 * told / (told - 10.5), abs=1e-5)
    assert made.bench.theme.px(26.2) < digits


def test_a_length_that_cannot_be_stays_on_the_page_with_a_sentence(window):
    made = window(Settings(mm_per_pixel=0.25))
    key(made, "S")
    key(made, "3")
    made.bench.chosen_with.emit(option(ruler(made), "1").command, "9")

    shown = {label.text() for label in ruler(made).findChildren(QLabel)}
    assert any(text.startswith("The bar cannot be 9 mm long") for text in shown)
    assert made.pages.settings.mm_per_pixel == 0.25


def test_the_page_says_what_to_do_and_all_of_it_is_in_sight(window, qapp):
    made = window(Settings(mm_per_pixel=0.253))
    key(made, "S")
    key(made, "3")
    qapp.processEvents()
    page = ruler(made)
    shown = [label for label in page.findChildren(QLabel) if label.isVisible()]
    seen = [*shown, page._bar, *page.buttons()]

    assert any("ruler on the bar" in label.text() for label in shown)
    for one in seen:
        place = one.geometry().translated(one.parentWidget().mapTo(page, QPoint()))
        assert page.rect().contains(place)


def test_the_set_up_page_is_in_sight_whole(window, qapp):
    made = window(Settings(mm_per_pixel=0.253))
    key(made, "S")
    qapp.processEvents()
    page = made.findChild(TablePage)

    assert len(page.buttons()) == 9
    for one in page.buttons():
        place = one.geometry().translated(one.parentWidget().mapTo(page, QPoint()))
        assert page.rect().contains(place)


def test_the_pedal_is_learned_from_the_set_up_page(window):
    made = window(Settings(mm_per_pixel=0.25))
    key(made, "S")
    key(made, "2")

    assert made.pedal._learning
    assert "Press the pedal now" in made.bench._view.message


def option(page, key):
    (found,) = (b.option for b in page.buttons() if b.option.key == key)
    return found


def test_steps_change_the_length_and_only_that(page):
    before, bar = page.length_mm, page._bar_px()
    for key in ("Right", "Right", "Left", "Up"):
        assert page.choose(option(page, key))

    assert page.length_mm == pytest.approx(before + 0.5 + 5.0)
    assert page._bar_px() == bar


def test_what_is_kept_is_the_bar_as_it_is_drawn(page):
    page.choose(option(page, "Up"))
    keep = option(page, "Enter").command

    assert isinstance(keep, MeasureBar)
    assert not page.choose(option(page, "Enter"))  # the window's business
    assert mm_per_pixel(keep.bar_px, keep.mm) == pytest.approx(
        page.length_mm / page._bar_px(), abs=1e-5
    )


def test_the_drawn_bar_is_as_long_as_it_says_in_pixels(page, qapp):
    qapp.processEvents()
    bar = page._bar
    image = bar.grab().toImage()
    scale = image.devicePixelRatio()
    row = round((TOP_PX - BAR_PX / 2) * scale)
    ink = QColor(bar.theme.palette.attention)
    lit = [x for x in range(image.width()) if image.pixelColor(x, row) == ink]

    assert len(lit) == round(page._bar_px() * scale)
    assert lit == list(range(lit[0], lit[0] + len(lit)))


def test_marks_stand_where_the_length_says(page):
    page.show_size(0.2)
    labels = {int(run.text): run.capitals.center().x() for run in page._bar.runs()}

    assert (labels[100] - labels[0]) == pytest.approx(100 / 0.2, abs=1.0)


def test_a_typed_length_is_a_pixel_size():
    assert mm_per_pixel(1000, "253") == pytest.approx(0.253)
    assert mm_per_pixel(1000, "253,5") == pytest.approx(0.2535)


@pytest.mark.parametrize("typed", ["", "long", "0", "5", "3000"])
def test_what_no_screen_can_be_is_refused_in_a_sentence(typed):
    with pytest.raises(MeasureError, match=r"^(The bar cannot|“).*\.$"):
        mm_per_pixel(1000, typed)


def test_settings_come_back_as_they_were_kept(tmp_path):
    path = tmp_path / "settings.json"
    told = Settings(
        mm_per_pixel=0.2481, ruler_offered=True, sound=False, reduced_motion=True
    )
    kept.save(path, told)

    assert kept.load(path) == (told, "")


def test_older_settings_without_sound_are_read(tmp_path):
    path = tmp_path / "settings.json"
    path.write_text('{"theme": "light", "pedal_key": 32, "mm_per_pixel": 0.25}')
    settings, amiss = kept.load(path)

    assert amiss == ""
    assert settings == Settings(theme="light", mm_per_pixel=0.25)


@pytest.mark.parametrize("theme", ["dark", "light"])
@pytest.mark.parametrize("learned", [0x20, 0x41])
@pytest.mark.parametrize("on", [True, False])
def test_the_set_up_page_says_what_is_and_offers_the_other(theme, learned, on):
    told = Settings(theme, learned, sound=on, voice=on, reduced_motion=on)
    view = setup(told, Station("/here", 0.2531, "aplay", "say"), "amiss")
    keys = [each.key for each in view.options]
    offered = {each.command for each in view.options}

    assert view.note == "amiss"
    assert len(set(keys)) == len(keys) == 9
    assert {"H", "W", "K", "Esc"}.isdisjoint(keys)
    assert any("0.253 mm" in each.text for each in view.options)
    assert not any(
        getattr(told, each.field) == each.value
        for each in offered
        if isinstance(each, SetUp)
    )


def test_a_machine_without_sound_says_so_on_the_set_up_page():
    bare = Station("/here", 0.25)

    assert "watch the screen" in setup(Settings(), bare).empty
    assert "plays no sound" not in setup(Settings(sound=False), bare).empty
    assert (
        sum("none here" in each.line for each in setup(Settings(), bare).options) == 2
    )
