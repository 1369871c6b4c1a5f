"""A part's photos, print file and note: picked, dropped or typed, read by a worker."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path

from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QVBoxLayout

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain.state import Bench
from benchassist.domain.words import sentences
from benchassist.mesh.reading import Unit
from benchassist.ui.filing import keep_photo, photos, read_print
from benchassist.ui.hands import OptionGroup
from benchassist.ui.host import Host
from benchassist.ui.page import Page, PageLabel
from benchassist.ui.photos import Photos
from benchassist.ui.picker import PICTURES, PRINTS, look_for
from benchassist.ui.present import facts
from benchassist.ui.present.slip import next_unit
from benchassist.ui.theme import READ, Theme
from benchassist.ui.title import Title, TitleRow
from benchassist.ui.view import Option
from benchassist.ui.words import say
from benchassist.ui.worker import Job

SOLIDS = (".stl", ".3mf", ".obj")


class FactsPage(Page):
    """Photos, print file and note of the part in front."""

    def __init__(self, host: Host) -> None:
        super().__init__(host.look, OptionGroup(host.look, host.hands))
        self._host = host
        self._part = ""
        self._unit: Unit = "mm"
        self._doubt = ""
        self._digests: tuple[str, ...] = ()
        self._title = TitleRow(host.look)
        self._told = PageLabel(READ, role="ink")
        self._told.setWordWrap(True)
        self._photos = Photos(host.look)
        self.setAccessibleName(say("Photos, print file, note"))
        self.setAcceptDrops(True)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        for each in (self._title, self._options, self._told):
            box.addWidget(each)
        box.addWidget(self._photos, 1)

    def fill(self, bench: Bench, now: Instant) -> None:
        """Show what is on record of the part in front."""
        del now
        part = bench.focused
        if part is None or part.code != self._part:
            self._doubt = ""
        self._part = part.code if part else ""
        if part is None:
            self._title.show_view(
                Title(say("Photos, print file, note"), say("choose a part"))
            )
            self._options.show_view(())
            self._told.setText(say("Choose a part first: its F-key."))
            self._show_photos(())
            return
        quiet = say("drop files here, look for them, or type their name")
        self._title.show_view(
            Title(say("{code}: photos, print file, note", code=part.code), quiet)
        )
        self._options.show_view(facts.options(bench, part, self._unit, self._doubt))
        self._told.setText("\n".join(facts.lines(bench, part)))
        self._show_photos(part.photos)
        self.fit()

    def _show_photos(self, digests: tuple[str, ...]) -> None:
        if digests == self._digests:
            return
        self._digests = digests
        if not digests:
            self._photos.show_photos(())
            return
        store = self._host.desk.folder
        Job(partial(photos, digests, store), self._found, self.said.emit).start()

    def _found(self, found: object) -> None:
        if not isinstance(found, tuple):
            return
        self._photos.show_photos(found)
        amiss = next((each for each in found if each.amiss), None)
        if amiss is not None:
            self.said.emit(
                say("Photo {file} {amiss}.", file=amiss.digest[:8], amiss=amiss.amiss)
            )

    def choose(self, option: Option) -> bool:
        """Do what belongs to the page itself."""
        return self.take(option.command)

    def take(self, action: object) -> bool:
        """Take a file or a note; say whether it was one."""
        match action:
            case facts.AddPhoto(path=path):
                self._file(path, say("A photo"), PICTURES, self.add_photo)
            case facts.ReadPrint(path=path):
                self._file(path, say("A print file"), PRINTS, self.read_print)
            case facts.TurnUnit():
                self._unit = next_unit(self._unit)
                self._again()
            case facts.SayNote(text=text, sure=sure):
                self._say_note(text, sure=sure)
            case _:
                return False
        return True

    def _file(
        self, path: str, title: str, kinds: str, then: Callable[[str], None]
    ) -> None:
        if path:
            then(path)
            return
        look_for(self, title, str(Path.home()), kinds).fileSelected.connect(then)

    def add_photo(self, path: str) -> None:
        """Keep a photo beside the journal, then put it on the part's record."""
        self.said.emit(say("Reading the photo …"))
        store = self._host.desk.folder
        work = partial(_photo, self._part, Path(path).expanduser(), store)
        Job(work, self._read, self.said.emit).start()

    def read_print(self, path: str) -> None:
        """Read a print file, then put its shape on the part's record."""
        self.said.emit(say("Reading the print file …"))
        work = partial(_print, self._part, Path(path).expanduser(), self._unit)
        Job(work, self._read, self.said.emit).start()

    def _read(self, command: object) -> None:
        if isinstance(command, cm.KeepPhoto):
            self._write(command, say("{part}: photo kept.", part=command.part))
        elif isinstance(command, cm.MeasurePart):
            self._write(command, " ".join(facts.shape_lines(command.shape)[:2]))

    def _say_note(self, text: str, *, sure: bool) -> None:
        session = self._host.session
        self._doubt = "" if sure else facts.doubtful(text, session.now()) and text
        if self._doubt:
            self.said.emit(facts.doubtful(text, session.now()))
            self._again()
            return
        self._write(
            cm.NotePart(self._part, text, sure), say("{part}: noted.", part=self._part)
        )

    def _write(self, command: cm.Command, told: str) -> None:
        refusal = self._host.session.handle(command, "hand").refusal
        if refusal is not None:
            told = sentences(refusal.message, refusal.remedy)
        self.said.emit(told)
        self._again()

    def _again(self) -> None:
        session = self._host.session
        self.fill(session.bench, session.now())

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:  # noqa: N802
        """Take files that are dragged here."""
        if event.mimeData().hasUrls() and self._part:
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:  # noqa: N802
        """Read every file that is dropped: a print file by its ending, else a photo."""
        for url in event.mimeData().urls():
            path = url.toLocalFile()
            solid = path.lower().endswith(SOLIDS)
            (self.read_print if solid else self.add_photo)(path)

    def set_theme(self, theme: Theme) -> None:
        """Show the page in another theme."""
        super().set_theme(theme)
        self._photos.theme = theme
        self._photos.update()


def _photo(part: str, path: Path, store: Path) -> cm.KeepPhoto:
    """Keep a photo, and return what puts it on a part's record."""
    return cm.KeepPhoto(part, keep_photo(path, store))


def _print(part: str, path: Path, unit: Unit) -> cm.MeasurePart:
    """Read a print file, and return what puts its shape on a part's record."""
    return cm.MeasurePart(part, read_print(path, unit))
