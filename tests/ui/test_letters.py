"""A letter leads to the same place from everywhere; digits answer."""

import pytest
from PySide6.QtWidgets import QApplication

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


def test_the_ways_on_from_a_damaged_record_are_digits_in_their_order():
    for options in recovery.OPTIONS.values():
        # P is a part's story here, too: the letter leads to the same place.
        keys = [each.key for each in options if each.key not in ("Enter", "P")]
        assert keys == [str(n) for n in range(1, len(keys) + 1)]
