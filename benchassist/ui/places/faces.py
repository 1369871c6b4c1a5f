"""The faces to coat, marked on the part as its print file shows it from six sides."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import Any

from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout

from benchassist.clock import Instant
from benchassist.domain.state import Bench
from benchassist.mesh.reading import Unit
from benchassist.mesh.skin import Seen, Skin, area_mm2, read_skin, seen, spots, stroke
from benchassist.ui.filing import READ
from benchassist.ui.hands import OptionGroup
from benchassist.ui.host import Host
from benchassist.ui.page import Page, PageLabel
from benchassist.ui.picker import PRINTS, look_for
from benchassist.ui.present import faces
from benchassist.ui.skin_view import BRUSH_MM, SkinView
from benchassist.ui.theme import READ as READ_MM
from benchassist.ui.theme import Theme
from benchassist.ui.title import Title, TitleRow
from benchassist.ui.view import Option
from benchassist.ui.words import say
from benchassist.ui.worker import Job


class FacesPage(Page):
    """The part at the left, what is marked at the right, the sides a digit each."""

    def __init__(self, host: Host) -> None:
        super().__init__(host.look, OptionGroup(host.look, host.hands))
        self._host = host
        self._part = ""
        self._skin: Skin | None = None
        self._seen: Seen | None = None
        self._marked: Any = None
        self._side, self._rubs, self._reading = faces.SIDES[0], False, False
        self._title = TitleRow(host.look)
        self._view = SkinView(host.look)
        self._view.stroked.connect(self._stroked)
        self._told = PageLabel(READ_MM, role="ink")
        self._told.setWordWrap(True)
        self.setAccessibleName(say("Faces to coat"))
        box, middle = QVBoxLayout(self), QHBoxLayout()
        box.setContentsMargins(0, 0, 0, 0)
        middle.addWidget(self._view, 1)
        middle.addWidget(self._told, 1)
        box.addWidget(self._title)
        box.addLayout(middle, 1)
        box.addWidget(self._options)

    def fill(self, bench: Bench, now: Instant) -> None:
        """Show the part in front; its print file is looked for where it was read."""
        del now
        part = bench.focused
        code = part.code if part else ""
        if code != self._part or (part and part.work):
            self._part, self._skin = code, None
        if part is None or part.shape is None or part.work:
            self._empty(part is not None and bool(part.work))
            return
        known = READ.get(part.shape.digest)
        if self._skin is None and known is not None and not self._reading:
            self._open(known)
        self._show(bench)

    def _empty(self, coated: bool) -> None:  # noqa: FBT001 - a state
        self._view.show_seen(None)
        self._options.show_view(())
        self._title.show_view(Title(say("Faces to coat"), ""))
        self._told.setText(
            say("It has a coat on it: its spots are counted already.")
            if coated
            else say("Read its print file first: keys C, 9, 4.")
        )

    def _show(self, bench: Bench) -> None:
        part = bench.parts.get(self._part)
        if part is None:
            return  # gone from the front while its file was read
        spots_now = bench.spots_of(part)
        self._title.show_view(
            Title(
                say("{code}: faces to coat", code=part.code),
                say("marked here, walked by the foot"),
                say("on record: {spots} spots", spots=spots_now)
                if part.faces
                else say("nothing is changed yet"),
            )
        )
        if self._skin is None or self._seen is None:
            self._view.show_seen(None)
            self._told.setText(
                say("Reading the print file …")
                if self._reading
                else say("The file itself is not kept: read it again.")
            )
            self._options.show_view(() if self._reading else faces.first(part))
            self.fit()
            return
        self._view.show_seen(self._seen, self._marked)
        found = spots(self._skin, self._marked, faces.pitch_mm(bench))
        area = area_mm2(self._skin, self._marked)
        self._told.setText("\n".join(faces.told(bench, part, found, area)))
        self._options.show_view(
            faces.options(part, self._side, found, area, rubs=self._rubs)
        )
        self.fit()

    def choose(self, option: Option) -> bool:
        """Do what belongs to the page itself."""
        return self.take(option.command)

    def take(self, action: object) -> bool:
        """Open a file, look from a side, mark; say whether it was one of these."""
        match action:
            case faces.OpenSkin(path=path) if path:
                self._open(Path(path).expanduser())
            case faces.OpenSkin():
                picker = look_for(self, say("A print file"), str(Path.home()), PRINTS)
                picker.fileSelected.connect(self._picked)
            case faces.Look(side=side):
                self._side = side
                self._look()
            case faces.Mark(what=what):
                self._mark(what)
            case _:
                return False
        return True

    def _picked(self, path: str) -> None:
        self._open(Path(path))

    def _open(self, path: Path) -> None:
        part = self._host.session.bench.parts[self._part]
        unit: Unit = part.shape.unit if part.shape else "mm"  # type: ignore[assignment]
        self._reading = True
        self._show(self._host.session.bench)
        Job(partial(read_skin, path, unit), self._read, self._not_read).start()

    def _not_read(self, sentence: str) -> None:
        self._reading = False
        self.said.emit(sentence)
        self._show(self._host.session.bench)

    def _read(self, skin: object) -> None:
        self._reading = False
        part = self._host.session.bench.parts.get(self._part)
        if not isinstance(skin, Skin) or part is None or part.shape is None:
            return
        if skin.digest != part.shape.digest:
            self.said.emit(say("This is another file than the one on record."))
            self._show(self._host.session.bench)
            return
        import numpy as np  # noqa: PLC0415 - only who marks faces waits for it

        self._skin, self._marked = skin, np.zeros(len(skin.points), dtype=bool)
        self._look()

    def _look(self) -> None:
        if self._skin is not None:
            self._seen = seen(self._skin, self._side)
        self._show(self._host.session.bench)

    def _mark(self, what: str) -> None:
        if what == "turn":
            self._rubs = not self._rubs
        elif self._seen is not None and what == "all":
            self._marked |= self._seen.visible
        elif self._seen is not None:
            self._marked &= ~self._seen.visible
        self._show(self._host.session.bench)

    def _stroked(self, x_mm: float, y_mm: float) -> None:
        if self._seen is None:
            return
        touched = stroke(self._seen, x_mm, y_mm, BRUSH_MM)
        self._marked = self._marked & ~touched if self._rubs else self._marked | touched
        self._show(self._host.session.bench)

    def set_theme(self, theme: Theme) -> None:
        """Show the page in another theme."""
        super().set_theme(theme)
        self._view.theme = theme
        self._view.show_seen(self._seen, self._marked)
