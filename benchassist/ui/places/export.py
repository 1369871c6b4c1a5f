"""Export and print: the folder is shown, chosen by typing or by a picker."""

from __future__ import annotations

from PySide6.QtWidgets import QFileDialog

from benchassist.clock import Instant
from benchassist.domain.state import Bench
from benchassist.ui.actions import ExportDay, ImportLibrary, SetUp
from benchassist.ui.host import Host
from benchassist.ui.picker import look_for
from benchassist.ui.present.fill import Gap
from benchassist.ui.tilepage import TilePage
from benchassist.ui.title import Title
from benchassist.ui.view import Option, TileView
from benchassist.ui.words import say
from benchassist.value import value

LIBRARIES = say("Libraries (*.toml *.json)")


@value
class PickFolder:
    """Choose the folder by looking for it."""


@value
class PickLibrary:
    """Choose a library file by looking for it."""


class ExportPage(TilePage):
    """What can be written, a digit each, and where it goes."""

    title = Title(say("Export, print"), say("a page, a card, a label, a file"))

    def __init__(self, host: Host) -> None:
        super().__init__(host)
        self._host = host

    def fill(self, bench: Bench, now: Instant) -> None:
        """Show the folder, and what can be written into it."""
        del bench
        day, out = now.day(), self._host.settings.folder
        self._title.show_view(Title(self.title.text, say("into {out}", out=out)))
        typed = Gap(SetUp("out_folder", ""), "value")
        options = (
            Option(
                say("This day"),
                "1",
                ExportDay(day, out),
                line=say("a page for paper, a line a part, every entry"),
            ),
            Option(
                say("Cards for paper"),
                "2",
                ExportDay(day, out, "cards"),
                line=say("a page a part, to go on with on paper"),
            ),
            Option(
                say("Tray and bag labels"),
                "3",
                ExportDay(day, out, "labels"),
                line=say("the code and a symbol to scan, never a name"),
            ),
            Option(
                say("The library"),
                "4",
                ExportDay(day, out, "library"),
                line=say("materials, recipes, lots, equipment in one file"),
            ),
            Option(
                say("Look for a folder"), "5", PickFolder(), line=say("to write into")
            ),
            Option(
                say("Type another folder"),
                "6",
                typed,
                needs_text=say("The folder to write into"),
                line=say("to write into"),
            ),
            Option(
                say("Look for a library"),
                "7",
                PickLibrary(),
                line=say("all of it is filed, or nothing and why"),
            ),
            Option(
                say("Type a library's name"),
                "8",
                Gap(ImportLibrary(), "path"),
                needs_text=say("The library file to read, .toml or .json"),
                line=say("all of it is filed, or nothing and why"),
            ),
            Option(
                say("Its pages as PDF"),
                "9",
                ExportDay(day, out, "pdf"),
                line=say("one beside every page in the folder"),
            ),
        )
        self._grid.show_view(tuple(TileView(each, each.line) for each in options), 3)

    def choose(self, option: Option) -> bool:
        """Look for a folder, or for a library file."""
        if isinstance(option.command, PickFolder):
            picker = look_for(self, say("Write into"), self._host.settings.folder)
            picker.setFileMode(QFileDialog.FileMode.Directory)
            picker.fileSelected.connect(self._picked)
        elif isinstance(option.command, PickLibrary):
            picker = look_for(
                self, say("Read a library"), self._host.settings.folder, LIBRARIES
            )
            picker.fileSelected.connect(self._read)
        else:
            return False
        return True

    def _picked(self, folder: str) -> None:
        self.asked.emit(SetUp("out_folder", folder))

    def _read(self, path: str) -> None:
        self.asked.emit(ImportLibrary(path))
