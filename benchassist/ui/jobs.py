"""The program's own jobs for a worker: exports, and what waits for the first paint."""

from __future__ import annotations

import gc
from collections.abc import Callable
from functools import partial
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

from benchassist import folds
from benchassist.clock import RealClock
from benchassist.domain.words import sentences
from benchassist.ui.actions import ExportDay
from benchassist.ui.words import say

if TYPE_CHECKING:
    from benchassist.ui.window import Window

SLICE = 1000  # [links] of the chain walked at a time
DAMAGED = say("The record is damaged: {} Keys S, 9, 3: what can be done.")


class Exporter:
    """Makes the writing of a day's logs, or of paper cards, a job for a worker."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def job(self, action: ExportDay) -> Callable[[], str]:
        """Return the work: write the files, then say where they are."""
        folder, out, about = self._folder, Path(action.out), action.about
        jobs: dict[str, Callable[[], str]] = {
            "backup": partial(_backup, folder, out),
            "cards": partial(written_cards, folder, out),
            "labels": partial(_labels, folder, out),
            "library": partial(_library, folder, action.day, out),
            "logs": partial(_logs, folder, action.day, out),
            "pdf": partial(_pdfs, out),
            "recall": partial(_recall, folder, about, out),
            "story": partial(_story, folder, str(about), out),
        }
        return jobs[action.what]


def _logs(folder: Path, day: str, out: Path) -> str:
    from benchassist.records.export import export_day  # noqa: PLC0415
    from benchassist.stores import reading  # noqa: PLC0415

    with reading(folder) as journal:
        paths = export_day(journal, day, out)
    return say("Written: {many} files in {out}", many=len(paths), out=out)


def _story(folder: Path, part: str, out: Path) -> str:
    from benchassist.records.story_page import write_story  # noqa: PLC0415
    from benchassist.stores import reading  # noqa: PLC0415

    with reading(folder) as journal:
        return say("Written: {list}", list=write_story(journal, part, out))


def _recall(folder: Path, sought: object, out: Path) -> str:
    from benchassist.domain.recall import Sought  # noqa: PLC0415
    from benchassist.records.recall_list import write_recall  # noqa: PLC0415
    from benchassist.stores import reading  # noqa: PLC0415

    assert isinstance(sought, Sought)  # noqa: S101 - the page says what it is about
    with reading(folder) as journal:
        csv, page = write_recall(journal, sought, out)
    return say("Written: {list}", list=f"{csv}, {page.name}")


def _pdfs(out: Path) -> str:
    from benchassist.ui.pdf import write_pdfs  # noqa: PLC0415 - few print so

    try:
        many = len(write_pdfs(out))
    except OSError as error:
        return _refused(out, error)
    if not many:
        return say("No page in {out} is newer than its PDF: write one first.", out=out)
    return say("Written: {many} PDF files in {out}", many=many, out=out)


def _backup(folder: Path, out: Path) -> str:
    from benchassist.recovery import backup  # noqa: PLC0415

    return backup(folder, out)


def _library(folder: Path, day: str, out: Path) -> str:
    from benchassist.library_file import LibraryError, write_library  # noqa: PLC0415
    from benchassist.stores import last_state, reading  # noqa: PLC0415

    with reading(folder) as journal:
        bench = last_state(journal).bench
    try:
        return say(
            "The library is in {write_library}.",
            write_library=write_library(bench, out, day),
        )
    except LibraryError as error:
        return error.lines[0]
    except OSError as error:
        return _refused(out, error)


def _refused(out: Path, error: OSError) -> str:
    why = error.strerror or say("it cannot be written")
    return say(
        "{out}: {why}. Choose another folder or free some space.", out=out, why=why
    )


def _labels(folder: Path, out: Path) -> str:
    from benchassist.records.card import Printed  # noqa: PLC0415
    from benchassist.records.labels import write_labels  # noqa: PLC0415
    from benchassist.stores import last_state, latest, reading  # noqa: PLC0415

    with reading(folder) as journal:
        known = last_state(journal)
        printed = Printed(latest(journal, RealClock().now()), known.seq)
    return say(
        "Labels are in {write_labels}.",
        write_labels=write_labels(known.bench, out, printed),
    )


def written_cards(folder: Path, out: Path) -> str:
    """Write a card of each part in flight; return where they are and what is amiss."""
    from benchassist.stores import paper  # noqa: PLC0415

    paths, amiss = paper(folder, out, RealClock().now())
    word = say("card is") if len(paths) == 1 else say("cards are")
    return sentences(
        say("{many} {word} in {out}", many=len(paths), word=word, out=out), amiss
    )


class Later:
    """What can wait until after the first paint: heavy imports, the whole chain."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def work(self) -> str:
        """Import what later screens need, walk the record; return what is amiss."""
        _import_what_pages_need()
        folds.keys()  # so that keeping the state need not wait for it
        return walked(self._folder)


def walked(folder: Path) -> str:
    """Walk a store's chain and index; return the first thing amiss, or nothing."""
    from benchassist.journal.reading import ReadOnlyJournal  # noqa: PLC0415

    with ReadOnlyJournal.open(folder) as journal:
        last = journal.head.seq
        for first in range(1, last + 1, SLICE):
            report = journal.walk(first, min(SLICE, last - first + 1))
            if report.faults:
                return DAMAGED.format(report.faults[0].sentence)
        return next(filter(None, journal.index_faults(last)), "")


def _import_what_pages_need() -> None:
    """Import plots and sums, so that the first page with them is not late."""
    from pkgutil import iter_modules  # noqa: PLC0415

    import pyqtgraph  # noqa: F401, PLC0415
    import scipy.linalg  # noqa: F401, PLC0415

    from benchassist.ui.present import physics  # noqa: PLC0415

    for module in iter_modules(physics.__path__):
        import_module(f"{physics.__name__}.{module.name}")


def settle() -> None:
    """Take what is there by now out of the collector's rounds.

    A round over all that Python and Qt have loaded stops a look for 50 ms and more;
    one over what was made since, for a few.
    """
    gc.freeze()


class Checked:
    """Tells the window what the walk of the record found; it stays said."""

    def __init__(self, window: Window) -> None:
        self._window = window

    def done(self, amiss: object) -> None:
        """Say it, if anything is amiss; what was loaded meanwhile stays for good."""
        settle()
        if amiss:
            self._window.say(str(amiss), always=True)
