"""Every page of the window, found in the tables that open them, and what is amiss on it.

``python -m tests.ui.every_page SCREEN THEME`` prints it as JSON; ``--longer`` says every
word as a second language would, some 40 % longer and marked, which has to be set before
the first module of ``benchassist.ui`` is imported.
"""

import argparse
import json
import re
import tempfile
from pathlib import Path

MARK = "ö"  # what a said word ends in; no English word of ours does
LONGER = 0.4
# Width and height in pixels, mm a pixel.
SCREENS = {
    "1024": ((1024, 768), 0.253),
    "1366": ((1366, 768), 0.253),
    "1920": ((1920, 1080), 0.277),
    "2560": ((2560, 1440), 0.233),
}
MOMENT = "queue"  # thirteen parts in work


def longer(text):
    """Return ``text`` with each of its words longer and marked; fields stay."""
    pieces = re.split(r"(\{[^}]*\})", text)
    return "".join(
        piece if piece.startswith("{") else re.sub(r"[^\W\d_]{2,}", _longer, piece)
        for piece in pieces
    )


def _longer(found):
    word = found[0]
    mark = MARK.upper() if word.isupper() else MARK
    return word + mark * max(1, round(LONGER * len(word)))


def names():
    """Return every page's name: places, own files, tables, forms, pages of sums."""
    from benchassist.ui.light import LIGHT_PAGES
    from benchassist.ui.places import OWN, PLACES
    from benchassist.ui.present.pages import FORMS
    from benchassist.ui.present.tables import TABLES

    more = ("setup", "record", "ruler", "advice")
    places = (place.page for place in PLACES)
    return tuple(
        dict.fromkeys((*places, *sorted(OWN), *TABLES, *FORMS, *LIGHT_PAGES, *more))
    )


def pages(stage):
    """Open one page after the other; yield its name once it has been painted."""
    for name in names():
        stage.window.pages.open(name)
        for _ in range(2):
            stage.app.processEvents()
            stage.look()
        yield name
        stage.window.pages.leave()


def amiss(bench):
    """Return what is too small, cut, covered, overlapping or faint, by kind."""
    from tests.ui import measures

    found = {
        "too small": measures.too_small(bench) + measures.low_capitals(bench),
        "cut": measures.cut(bench) + measures.shortened(bench),
        "controls cut": measures.cut_controls(bench),
        "covered": measures.covered(bench),
        "overlapping": measures.overlapping(bench),
        "faint": measures.faint(bench) + measures.faint_in_picture(bench),
    }
    return {kind: [str(each) for each in told] for kind, told in found.items() if told}


def seen(screen, theme, longer_words=False, only=()):
    """Return what is amiss on every page, by page, and what was not said."""
    if longer_words:
        from benchassist.ui.words import look_up_by

        look_up_by(longer)
    from benchassist.app import application
    from benchassist.ui.theme import load_fonts
    from tests.ui import measures
    from tests.ui.screens import MOMENTS, Stage

    application()
    load_fonts()
    found = {}
    with tempfile.TemporaryDirectory() as folder:
        stage = Stage(MOMENTS[MOMENT], Path(folder))
        stage.show_on(*SCREENS[screen], theme)
        for name in pages(stage):
            if only and name not in only:
                continue
            told = amiss(stage.bench)
            if longer_words:
                words = measures.unsaid(stage.bench, MARK)
                told |= {"not said": words} if words else {}
            if told:
                found[name] = told
        stage.close()
    return found


if __name__ == "__main__":
    asked = argparse.ArgumentParser()
    asked.add_argument("screen", choices=SCREENS)
    asked.add_argument("theme", choices=("dark", "light"))
    asked.add_argument("--longer", action="store_true")
    asked.add_argument("only", nargs="*")
    given = asked.parse_args()
    print(json.dumps(seen(given.screen, given.theme, given.longer, given.only)))
