"""A page of rows: turned or typed, what they lead to beside them, the act at the foot.

The page decides nothing: it paints a ``Sheet`` and tells what a hand did. Up and down
move the frame, left and right turn the framed row; a digit or a tap frames a row, and
turns it when it is framed already.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter

from benchassist.ui.beside import Beside
from benchassist.ui.hands import AnyButton, OptionGroup
from benchassist.ui.hold import Pressable
from benchassist.ui.host import Host
from benchassist.ui.page import Page
from benchassist.ui.paint import (
    Painted,
    Run,
    around,
    draw_key,
    largest,
    lines_in,
    panel,
    stands,
    tone_ink,
    wrap,
)
from benchassist.ui.present.sheet import FillIn, GoTo, Sheet, SheetRow, Turn
from benchassist.ui.theme import HEAVY, NEAR, READ, STRONG, Face, Theme
from benchassist.ui.title import Title, TitleRow
from benchassist.ui.view import Option
from benchassist.ui.words import say

ROW_MM = 11.2  # [mm] high where there is room; never under a gloved finger's 9 mm
MOST_ROW_MM = 12.4
GAP_MM = 1.4
NAME_SHARE = 0.30  # of a row's width, for its name at the most
SHARE = 0.55  # of the page's width for the rows
NARROW_MM, NARROW_SHARE = 300.0, 0.62  # below this width, the rows' share of it
STEP_MM = 10.4
CHIP_MM = 38.0  # [mm] from one step to the next
STEPS_MM = 52.0  # [mm] from the left to the first of them, at the least
MOVES = {"Up": -1, "Down": 1, "Tab": 1, "Backtab": -1}
TURNS = {"Left": -1, "Right": 1}


class RowButton(Pressable[SheetRow]):
    """One row: key, name, was > is, and where the value is from."""

    def __init__(self, theme: Theme, page: SheetPage) -> None:
        super().__init__(theme, page)
        self.framed = False
        self.name_px = 0.0  # [px] for the name, the same in all rows
        self.left_out = ""  # the note, where the row has no room for it

    @property
    def option(self) -> Option | None:
        """What a key or a tap on this row does."""
        return self.view.option if self.view else None

    def spoken(self, view: SheetRow) -> str:
        """Return name, value and note."""
        was = say(", was {was}", was=view.was) if view.was else ""
        return f"{view.name}: {view.value}{was}. {view.note}"

    def lay(self, view: SheetRow) -> Iterator[Run]:
        """Lay out key, name, values and note."""
        theme, palette = self.theme, self.theme.palette
        ground = palette.raised if self.framed else palette.card
        strong, plain = theme.face(READ + 0.4, STRONG), theme.face(READ)
        middle = self.height() / 2
        key = theme.face(NEAR + 0.2, STRONG)
        x = float(theme.px(4.2))
        if view.option.key:
            yield Run(
                view.option.key, x, middle + key.cap / 2, key, palette.attention, ground
            )
        left = theme.px(11.0)
        face = largest(view.option.text, (plain, theme.face(NEAR)), self.name_px)
        name = Run(view.option.text, left, middle, face, palette.ink, ground)
        yield from around(name, self.name_px, self.height())
        x = left + self.name_px + theme.px(2.0)
        if view.was:
            yield Run(view.was, x, middle + plain.cap / 2, plain, palette.quiet, ground)
            x += plain.width(view.was) + theme.px(2.4)
            arrow = theme.face(READ, HEAVY)
            yield Run(">", x, middle + arrow.cap / 2, arrow, palette.attention, ground)
            x += arrow.width(">") + theme.px(2.4)
        ink = palette.attention if view.was or view.tone == "stop" else palette.ink
        end = self.width() - theme.px(3.0)
        face = largest(view.value, (strong, plain, theme.face(NEAR)), end - x)
        value = Run(view.value, x, middle, face, ink, ground)
        yield from around(value, end - x, self.height())
        note, room = self._note(view), end - x - face.width(view.value) - theme.px(4.0)
        small = (theme.face(NEAR + 0.2), theme.face(NEAR))
        fits = (f for f in small if stands(note, f, room, lines_in(f, self.height())))
        found = next(fits, None)
        self.left_out = note if found is None else ""
        if found is not None:
            told = Run(note, end, middle, found, tone_ink(theme, view.tone), ground)
            yield from around(told, room, self.height(), right=True)

    def _note(self, view: SheetRow) -> str:
        how = (
            (say("left, right") if view.turns else say("Enter: type it"))
            if self.framed
            else ""
        )
        return view.note or how

    def draw(self, painter: QPainter, view: SheetRow) -> None:
        """Draw the ground and the outline of the key."""
        palette = self.theme.palette
        straw = self.framed or view.tone == "attention"
        panel(
            painter,
            QRectF(self.rect()),
            self.theme.px(2.0),
            ground=palette.raised if self.framed else palette.card,
            edge=palette.attention if straw else "",
            width=3.0 if self.framed else 1.5,
        )
        if view.option.key:
            draw_key(painter, self.runs()[0], self.theme)


class Steps(Painted[Sheet]):
    """The steps of a longer sheet, each a chip with a ring or a tick; what waits."""

    def spoken(self, view: Sheet) -> str:
        """Return the steps and where one is."""
        return ", ".join(f"{step.text} {step.state}" for step in view.steps)

    def lay(self, view: Sheet) -> Iterator[Run]:
        """Lay out the words of the steps."""
        theme, palette = self.theme, self.theme.palette
        x = 0.0
        for n, step in enumerate(view.steps, start=1):
            now = step.state == "now"
            face = theme.face(READ, STRONG)
            ink = palette.ink if step.state != "later" else palette.quiet
            mark = "✓" if step.state == "done" else str(n)
            tone = palette.good if step.state == "done" else palette.attention
            line = (self.height() + face.cap) / 2
            ground = palette.raised if now else palette.card
            yield Run(mark, x + theme.px(4.0), line, face, tone, ground)
            yield Run(step.text, x + theme.px(11.0), line, face, ink, ground)
            x += theme.px(CHIP_MM)
        face, end = theme.face(READ), self.width() - theme.px(1.0)
        if face.width(view.right) > end - x:
            face = theme.face(NEAR)
        inks = palette.quiet, palette.ground
        middle = self.height() / 2 - theme.px(0.4)
        told = Run(view.right, end, middle, face, *inks)
        yield from around(told, end - x, right=True)

    def draw(self, painter: QPainter, view: Sheet) -> None:
        """Draw the chips."""
        theme, palette = self.theme, self.theme.palette
        for n, step in enumerate(view.steps):
            now = step.state == "now"
            wide = theme.px(CHIP_MM - 2.0)
            box = QRectF(theme.px(CHIP_MM) * n, 0, wide, self.height())
            panel(
                painter,
                box,
                self.height() / 2,
                ground=palette.raised if now else palette.card,
                edge=palette.attention if now else "",
            )


class Foot(Painted[tuple[str, str]]):
    """The quiet line over the act; what is amiss stands there instead."""

    def spoken(self, view: tuple[str, str]) -> str:
        """Return what is amiss, or the line."""
        return view[1] or view[0]

    def lay(self, view: tuple[str, str]) -> Iterator[Run]:
        """Lay out the line."""
        palette = self.theme.palette
        face, lines = self._plan(view, self.width())
        ink = palette.stop if view[1] else palette.quiet
        y = face.rise
        for text in lines:
            yield Run(text, self.theme.px(1.0), y, face, ink, palette.ground)
            y += face.pitch

    def height_for(self, width: int) -> int:
        """Return the height that the words need at ``width`` pixels."""
        face, lines = self._plan(self.view or ("", ""), width)
        return round(face.rise + face.pitch * (len(lines) - 1) + face.depth) + 1

    def _plan(self, view: tuple[str, str], width: int) -> tuple[Face, list[str]]:
        line, error = view
        near = self.theme.face(NEAR + 0.2)
        face = self.theme.face(READ, STRONG) if error else near
        room = width - 2 * self.theme.px(1.0)
        return face, wrap(error or line, face, max(room, 1)) or [""]


class SheetPage(Page):
    """A page that shows a sheet; what a hand did goes to ``did``, filled by a subclass.

    A subclass gives ``sheet`` and takes ``did``; everything else is painted here.
    """

    did: Callable[[object], None]  # what a hand did in a row, a subclass's own

    def __init__(self, host: Host) -> None:
        super().__init__(host.look, OptionGroup(host.look, host.hands))
        self._host = host
        self._options.setParent(self)
        self._title = TitleRow(host.look, self)
        self._steps = Steps(host.look, self)
        self._beside = Beside(host.look, self)
        self._foot = Foot(host.look, self)
        self._rows: list[RowButton] = []
        self._sheet: Sheet | None = None

    def show_sheet(self, sheet: Sheet) -> None:
        """Show another state of the sheet; only what changed is painted."""
        self._sheet = sheet
        title = Title(sheet.title, sheet.quiet, sheet.right)
        self._title.show_view(Title(sheet.title) if sheet.steps else title)
        self._steps.show_view(sheet)
        self._steps.setVisible(bool(sheet.steps))
        self._beside.show_view(sheet.lines)
        self._foot.show_view((sheet.line, sheet.error))
        while len(self._rows) < len(sheet.rows):
            row = RowButton(self._theme, self)
            row.down.connect(self._host.hands.press)
            row.up.connect(self._host.hands.release)
            self._rows.append(row)
        for n, button in enumerate(self._rows):
            button.setVisible(n < len(sheet.rows))
            if n < len(sheet.rows):
                framed = sheet.rows[n].name == sheet.framed
                if framed != button.framed:
                    button.framed = framed
                    button.renew()
                button.show_view(sheet.rows[n])
        self._options.show_view(sheet.options)
        self.fit()

    def buttons(self) -> Sequence[AnyButton]:
        """Return the rows and the acts."""
        count = len(self._sheet.rows) if self._sheet else 0
        return [*self._rows[:count], *self._options.buttons()]

    @property
    def frames(self) -> bool:
        """Say that the page frames what Enter does."""
        return True

    def choose(self, option: Option) -> bool:
        """Take what belongs to the sheet itself."""
        if isinstance(option.command, Turn | FillIn | GoTo):
            self.did(option.command)
            return True
        return False

    def fill_in(self, action: object) -> bool:
        """Take what was typed into a row; say whether it was that."""
        if not isinstance(action, FillIn):
            return False
        self.did(action)
        return True

    def key(self, key: str) -> bool:
        """Move the frame, or turn the framed row."""
        if self._sheet is None:
            return False
        names = [row.name for row in self._sheet.rows]
        at = names.index(self._sheet.framed) if self._sheet.framed in names else 0
        if key in MOVES and names:
            self.did(Turn(names[(at + MOVES[key]) % len(names)], 0))
            return True
        if key in TURNS and names and self._sheet.rows[at].turns:
            self.did(Turn(names[at], TURNS[key]))
            return True
        return key in TURNS

    def fit(self) -> None:
        """Place everything for the width there is."""
        theme, gap = self._theme, self._theme.px(GAP_MM)
        wide, title = self.width(), self._title.grow(self.width())
        self._title.setGeometry(0, 0, wide, title)
        top = title + gap
        if self._sheet and self._sheet.steps:
            words = round(self._title.runs()[0].rect.right()) + theme.px(3.0)
            left = max(theme.px(STEPS_MM), words)
            self._steps.setGeometry(left, 0, wide - left, theme.px(STEP_MM))
            self._steps.raise_()
        acts = self._options.height_for(wide)
        foot = self._foot.height_for(wide)
        bottom = self.height() - acts - foot - gap
        self._foot.setGeometry(0, bottom + gap, wide, foot)
        self._options.setGeometry(0, self.height() - acts, wide, acts)
        share = SHARE if wide >= theme.px(NARROW_MM) else NARROW_SHARE
        self._place_rows(top, bottom, round(wide * share))

    def _place_rows(self, top: int, bottom: int, wide: int) -> None:
        theme, gap = self._theme, self._theme.px(GAP_MM)
        count = len(self._sheet.rows) if self._sheet else 0
        room = bottom - top
        high = (room - gap * (count - 1)) // max(count, 1)
        high = min(theme.px(MOST_ROW_MM), high)
        y, rows = top, self._rows[:count]
        names = (theme.face(READ).width(row.option.text) for row in rows if row.option)
        name = min(wide * NAME_SHARE, max(names, default=0.0))
        for row in rows:
            if row.name_px != name:
                row.name_px = name
                row.renew()
            row.setGeometry(0, y, wide, high)
            y += high + gap
        left_out = (row.left_out for row in rows if row.framed and row.runs())
        if self._sheet:
            line = next(filter(None, left_out), self._sheet.line)
            self._foot.show_view((line, self._sheet.error))
        left = wide + theme.px(3.0)
        self._beside.setGeometry(left, top, self.width() - left, room)
