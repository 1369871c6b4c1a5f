"""Export and print: the folder is shown, chosen by typing or by a picker."""

from __future__ import annotations

from PySide6.QtWidgets import QFileDialog, QVBoxLayout

from benchassist.clock import Instant
from benchassist.domain.state import Bench
from benchassist.ui.actions import ExportDay, ImportLibrary, SetUp
from benchassist.ui.hands import OptionGroup
from benchassist.ui.host import Host
from benchassist.ui.page import Page, PageLabel
from benchassist.ui.picker import look_for
from benchassist.ui.present.fill import Gap
from benchassist.ui.theme import READ
from benchassist.ui.title import Title, TitleRow
from benchassist.ui.view import Option
from benchassist.ui.words import say
from benchassist.value import value

TOLD = say(
    "The day: a page for paper (page.html), a line a part to read (lines.csv), every "
    "entry for programs (csv, jsonl); each row says how far the record vouches for "
    "it.\nCards: a page a part, to go on with on paper. Labels: the code and a symbol "
    "to scan, never a name. Print from a browser, or as PDF.\nThe library: materials, "
    "recipes, lots and equipment in one file. Reading one takes all of it, or nothing "
    "and says why."
)
LIBRARIES = say("Libraries (*.toml *.json)")


@value
class PickFolder:
    """Choose the folder by looking for it."""


@value
class PickLibrary:
    """Choose a library file by looking for it."""


class ExportPage(Page):
    """What can be written, a digit each, and where it goes."""

    def __init__(self, host: Host) -> None:
        super().__init__(host.look, OptionGroup(host.look, host.hands))
        self._host = host
        self._title = TitleRow(host.look)
        self._told = PageLabel(READ, role="quiet")
        self._told.setWordWrap(True)
        self._told.setText(TOLD)
        self.setAccessibleName(say("Export and print"))
        self._box = box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.addWidget(self._title)
        box.addWidget(self._options)
        box.addWidget(self._told)
        box.addStretch(1)

    def fill(self, bench: Bench, now: Instant) -> None:
        """Show the folder, and what can be written into it."""
        del bench
        day, out = now.day(), self._host.settings.folder
        self._title.show_view(Title(say("Export, print"), say("into {out}", out=out)))
        typed = Gap(SetUp("out_folder", ""), "value")
        self._options.show_view(
            (
                Option(say("This day"), "1", ExportDay(day, out)),
                Option(say("Cards for paper"), "2", ExportDay(day, out, "cards")),
                Option(say("Tray and bag labels"), "3", ExportDay(day, out, "labels")),
                Option(say("The library"), "4", ExportDay(day, out, "library")),
                Option(say("Look for a folder"), "5", PickFolder()),
                Option(
                    say("Type another folder"),
                    "6",
                    typed,
                    needs_text=say("The folder to write into"),
                ),
                Option(say("Read a library: look for it"), "7", PickLibrary()),
                Option(
                    say("Read a library: type its name"),
                    "8",
                    Gap(ImportLibrary(), "path"),
                    needs_text=say("The library file to read, .toml or .json"),
                ),
                Option(say("Its pages as PDF"), "9", ExportDay(day, out, "pdf")),
            )
        )
        self.fit()

    def fit(self) -> None:
        """Give the words what the buttons leave."""
        super().fit()
        high = self.height() - self._title.height() - self._options.height()
        room = high - 2 * self._box.spacing()
        self._told.fit_in(self._theme, self.width(), room)

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
