"""Spectra: choose a file, look at its plot, then file it with a reason."""

from __future__ import annotations

from pathlib import Path

from benchassist.clock import Instant
from benchassist.domain.state import Bench
from benchassist.spectra_file import FileSpectrum, SpectrumFileError
from benchassist.sums.subject import Subject, UnknownError, subject
from benchassist.ui.heading import Paragraphs, Words
from benchassist.ui.host import Host
from benchassist.ui.light.asking import Stop
from benchassist.ui.light.base import LightPage
from benchassist.ui.light.fields import Fields
from benchassist.ui.light.grid import Cell, Grid, GridView
from benchassist.ui.light.plot import PlotPane
from benchassist.ui.present.physics import folder, spectrum
from benchassist.ui.space import Space
from benchassist.ui.view import Option
from benchassist.ui.words import say

KINDS = {"folder": say("folder"), "file": "", "example": say("example")}
NONE_HERE = say("No spectrum here. Arrow keys and Enter go to another folder.")


TYPE_KEYS = say("Tab: fill in. Enter: back to the keys.")


class SpectrumPage(LightPage):
    """A folder's files first; once one is open, its plot beside the fields."""

    name = "spectrum"

    def __init__(self, host: Host) -> None:
        super().__init__(host)
        theme = host.look
        self._folder = str(Path.home())
        self._listing: folder.Listing | None = None
        self._row = 0
        self._found: FileSpectrum | None = None
        self._view: spectrum.SpectrumView | None = None
        self._filed: object = None
        self._head = Paragraphs(theme, self)
        self._grid = Grid(theme, self)
        self._plot = PlotPane(theme, self)
        self._fields = Fields(theme, self, columns=6, stretch=(4, 3, 2, 4, 2, 4))
        self._grid.picked.connect(self._picked)
        self._fields.changed.connect(self._typed)

    def refill(self, bench: Bench, now: Instant) -> None:
        """Show the folder, or the open file against the bench as it is now."""
        del now
        if self._filed is not None:
            # What was handed on has been filed if the bench knows its curve now.
            if self._filed in bench.curves:
                self._found = None
            self._filed = None
        if self._found is None:
            self._list(self._folder)
        else:
            self._typed(self._fields.values())

    def key(self, key: str) -> bool:
        """Walk the files; Enter opens, or leaves the fields."""
        if self._found is None:
            return self._grid.key(key)
        return self._fields.key(key) or self._words.key(key)

    def arrange(self, space: Space) -> None:
        """Place the list, or plot and fields."""
        px = self._theme.px
        listing = self._found is None
        self._head.setVisible(listing)
        self._grid.setVisible(listing)
        for body in (self._plot, self._fields, self._words):
            body.setVisible(not listing)
        if listing:
            high = self._head.height_for(space.width)
            self._head.setGeometry(space.take_top(high, px(2.4)))
            self._grid.setGeometry(space.rest())
            return
        high = min(self._fields.height_for(space.width), space.height)
        self._fields.setGeometry(space.take_foot(high, px(1.6)))
        left, right = space.columns((0.5, 0.5), px(6.0))
        self._plot.setGeometry(left.rest())
        self._words.setGeometry(right.rest())

    # --- the folder ------------------------------------------------------------

    def _list(self, where: str) -> None:
        bench, self._found, self._view = self.bench, None, None
        self.asker.ask(lambda _stop: folder.listing(where, bench), self._listed)

    def _listed(self, found: folder.Listing) -> None:
        self._listing, self._folder = found, found.folder
        self._row = min(1, len(found.entries) - 1)
        self.show_options((Option(say("Open"), "Enter", self._open),))
        self._show_list()

    def _picked(self, row: int) -> None:
        self._row = row
        self._show_list()

    def _show_list(self) -> None:
        found = self._listing
        if found is None:
            return
        told = say("A CSV, JCAMP-DX or IES TM-27 file from your spectrometer.")
        lines = [Words(told), Words(found.folder, tone="quiet", small=True)]
        if found.amiss:
            lines.append(Words(found.amiss, tone="stop"))
        self._head.show_view(tuple(lines))
        self._grid.show_view(
            GridView(
                (say("file"), ""),
                tuple(
                    (
                        Cell(each.name, strong=each.kind != "folder"),
                        Cell(KINDS[each.kind], "quiet"),
                    )
                    for each in found.entries
                ),
                chosen=self._row,
                empty=NONE_HERE,
            )
        )
        self.fit()

    def _open(self) -> None:
        found = self._listing
        if found is None or not found.entries:
            return
        entry = found.entries[self._row]
        if entry.kind == "folder":
            self._list(entry.path)
            return

        def work(_stop: Stop) -> object:
            try:
                return folder.opened(entry)
            except SpectrumFileError as error:
                return str(error)

        self.asker.ask(work, self._opened)

    def _opened(self, found: FileSpectrum | str) -> None:
        if isinstance(found, str):
            self._head.show_view((Words(found, tone="stop"),))
            self.fit()
        else:
            self._found = found
            self._fields.show_view(spectrum.fields(self.bench, found))
            self._typed(self._fields.values())

    # --- the file --------------------------------------------------------------

    def _typed(self, values: dict[str, str]) -> None:
        bench, now, found = self.bench, self.now, self._found
        if found is None:
            return

        def work(_stop: Stop) -> object:
            about: Subject | None
            try:
                about = subject(bench, now)
            except UnknownError:
                about = None
            return spectrum.spectrum_view(bench, now, about, found, values)

        self.asker.ask(work, self._viewed)

    def _viewed(self, view: spectrum.SpectrumView) -> None:
        self._view = view
        self._plot.show_view(view.plot)
        lines = [Words(text) for text in reversed(view.lines)]
        if view.amiss:
            lines.insert(0, Words(view.amiss, tone="attention"))
        lines.append(Words(TYPE_KEYS, tone="quiet", small=True))
        self._words.show_view(tuple(lines))
        options = [Option(say("Another file"), "0", self._back)]
        if view.command is not None:
            options.append(
                Option(say("File it"), "1", self._file, hold=True, tone="attention")
            )
        self.show_options(tuple(options))

    def _back(self) -> None:
        self._list(self._folder)

    def _file(self) -> None:
        view = self._view
        if view is not None and view.command is not None:
            self._fields.leave()
            self._filed = view.command.curve.digest
            self.asked.emit(view.command)
