"""Every page of the window, found in the tables that open them, and what is amiss on it.

Nobody adds a page here: a place, a table, a form or a page of sums is in its table.
"""

import json
import sys
import tempfile
from pathlib import Path

from benchassist.app import application
from benchassist.ui.light import LIGHT_PAGES
from benchassist.ui.places import OWN, PLACES
from benchassist.ui.present.owned import NEW, PAGE, SHELVES
from benchassist.ui.present.pages import FORMS
from benchassist.ui.present.tables import TABLES
from benchassist.ui.theme import load_fonts
from benchassist.ui.words import say
from tests.ui import measures
from tests.ui.longer import MARK
from tests.ui.screens import MOMENTS, Stage

# Width and height in pixels, mm a pixel.
SCREENS = {
    "1024": ((1024, 768), 0.253),
    "1366": ((1366, 768), 0.253),
    "1920": ((1920, 1080), 0.277),
    "2560": ((2560, 1440), 0.233),
}
MOMENT = "queue"  # thirteen parts in work
# Pages that are made on the spot: the machine's, and what was told last.
MORE = ("setup", "record", "ruler", "advice")
OWNED = (
    *(
        f"{what} {shelf.kind}"
        for shelf in SHELVES
        for what in (PAGE, "check", "retire")
    ),
    *(f"kept-new {kind}" for kind in NEW),
    *(f"{PAGE} lamp EX-LM-A", f"{PAGE} box EX-BX-1", "retire bath"),
)
NAMES = tuple(
    dict.fromkeys(
        (
            *(p.page for p in PLACES),
            *sorted(OWN),
            *TABLES,
            *FORMS,
            *LIGHT_PAGES,
            *OWNED,
            *MORE,
        )
    )
)
FOLDER = "benchassist-pages"  # what the folder in sight is called


def pages(stage):
    """Open one page after the other; yield its name once it has been painted."""
    for name in NAMES:
        stage.window.pages.open(name)
        for _ in range(2):
            stage.app.processEvents()
            stage.look()
        yield name
        stage.window.pages.leave()


def amiss(bench, *, near_only=False):
    """Return what is small, cut, covered, overlapping or faint, by kind.

    ``near_only`` leaves what is read across the room, which is measured by itself.
    """
    far = [run.text for _, run, _ in measures.texts(bench) if run.reading != "near"]
    found = {
        "too small": measures.too_small(bench) + measures.low_capitals(bench),
        "cut": measures.cut(bench) + measures.shortened(bench),
        "controls cut": measures.cut_controls(bench),
        "covered": measures.covered(bench),
        "hidden": measures.hidden(bench),
        "left out": measures.left_out(bench),
        "overlapping": measures.overlapping(bench),
        "faint": measures.faint(bench) + measures.faint_in_picture(bench),
    }
    if near_only:
        found["cut"] = [each for each in found["cut"] if each[1] not in far]
        del found["covered"], found["too small"], found["left out"]
    return {kind: [str(each) for each in told] for kind, told in found.items() if told}


def seen(screen, theme, *, said=False):
    """Return what is amiss, by page; with ``said`` also the words that were not."""
    application()
    load_fonts()
    found = {}
    with tempfile.TemporaryDirectory(prefix=FOLDER) as folder:
        stage = Stage(MOMENTS[MOMENT], Path(folder))
        stage.show_on(*SCREENS[screen], theme)
        for name in pages(stage):
            told = amiss(stage.bench, near_only=said)
            if said and (words := measures.unsaid(stage.bench, MARK)):
                told["not said"] = words
            if told:
                found[name] = told
        stage.close()
    return found


def moments(*screens):
    """Return what is cut, covered, hidden or too small by screen and moment.

    The statements of a card are not asked for on the smallest screen in longer words:
    what is read across the room takes what they would need there.
    """
    application()
    load_fonts()
    found = {}
    for name, moment in MOMENTS.items():
        if "expect screen" in moment.text():
            continue  # which is told in English
        with tempfile.TemporaryDirectory(prefix=FOLDER) as folder:
            stage = Stage(moment, Path(folder))
            for screen in screens:
                stage.show_on(*SCREENS[screen], "dark")
                bench = stage.bench
                told = [
                    *measures.cut(bench),
                    *measures.shortened(bench),
                    *measures.cut_controls(bench),
                    *measures.overlapping(bench),
                    *measures.covered(bench),
                    *measures.hidden(bench),
                    *measures.too_small(bench),
                ]
                if screen != "1024" or say("Menu") == "Menu":
                    told += measures.left_out(bench)
                if told:
                    found[f"{screen}, {name}"] = [str(each) for each in told]
            stage.close()
    return found


def report(screen, theme):
    """Write what is amiss in a second language as JSON."""
    sys.stdout.write(json.dumps(seen(screen, theme, said=True)))


def report_moments(*screens):
    """Write what is amiss at every moment in a second language as JSON."""
    sys.stdout.write(json.dumps(moments(*screens)))
