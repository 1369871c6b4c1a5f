"""Fix a record: part, entry, what it really was, why; what will change; then hold."""

from __future__ import annotations

from collections.abc import Sequence

from benchassist.clock import Instant
from benchassist.domain.correction.effects import Effect
from benchassist.domain.outcome import Refusal
from benchassist.domain.state import Bench
from benchassist.ui.actions import OpenPage
from benchassist.ui.change_list import ChangeList, ChangeRow, Changes
from benchassist.ui.hands import AnyButton, OptionGroup
from benchassist.ui.hold import OptionButton
from benchassist.ui.host import Host
from benchassist.ui.page import Page, PageLabel
from benchassist.ui.present import fix
from benchassist.ui.present.fill import Gap
from benchassist.ui.present.fix import Choice, Fix, FixView
from benchassist.ui.theme import NEAR, READ, STRONG
from benchassist.ui.tiles import TileGrid
from benchassist.ui.title import Title, TitleRow
from benchassist.ui.view import Option, TileView, Tone
from benchassist.ui.was_and_is import WasAndIs, WasAndIsCard
from benchassist.ui.words import say

KEYS = "123456789"
COLUMNS = 2
LEFT = 0.4  # of the width, for what was written and why
GAP_MM = 3.0
HOLD_MM = 15.0  # [mm] of what is held
SAID_MM = 14.0  # [mm] under it, where two lines said by the program cover no key
WORDS: dict[str, tuple[str, Tone]] = {
    # sort of effect: the word at its right, its tone
    "part": ("", "attention"),
    "gate": (say("ASSESS"), "stop"),
    "review": (say("REVIEW"), "stop"),
    "count": ("", "plain"),
    "record": ("", "plain"),
}
UNWRITTEN = say("nothing is changed yet")
DONE = say("It is on the record: the old value, the new one, why, who and when.")


class FixPage(Page):
    """Step by step; every step is a question, and Esc goes one back."""

    def __init__(self, host: Host) -> None:
        super().__init__(host.look, OptionGroup(host.look, host.hands))
        self._host = host
        self._step = Fix()
        self._told: Fix | None = None  # held, and not yet seen on the record
        self._title = TitleRow(host.look, self)
        self._grid = TileGrid(host.look, host.hands, self)
        self._grid.most_mm = 19.0
        self._card = WasAndIsCard(host.look, self)
        self._why = PageLabel(NEAR, STRONG, role="quiet")
        self._why.setParent(self)
        self._why.setText(say("WHY"))
        self._options.setParent(self)
        self._changes = Changes(host.look, self)
        self._empty = PageLabel(READ)
        self._empty.setParent(self)
        self._empty.setWordWrap(True)
        self._below = PageLabel(NEAR, role="quiet")
        self._below.setParent(self)
        self._hold = OptionButton(host.look, self)
        self._hold.down.connect(host.hands.press)
        self._hold.up.connect(host.hands.release)
        self._view: FixView | None = None
        self.setAccessibleName(say("Fix a record"))

    # --- what is shown -------------------------------------------------------------

    def fill(self, bench: Bench, now: Instant) -> None:
        """Show the step as the record now is; what was held begins anew."""
        if self._told is not None:
            told, self._told = self._told, None
            found = self._host.session.preview(told.command)
            if isinstance(found, Refusal) and found.code == "nothing-changes":
                self._step = Fix(told.part, shelf=told.shelf)
                self.said.emit(DONE)
        self._show(bench, now)

    def _show(self, bench: Bench, now: Instant) -> None:
        step, record = self._step, self._host.session.journal
        if step.seq:
            line = fix.line_of(step, record)
            if step.text is None:
                view = fix.what_really(bench, step, line, now)
            else:
                found = self._host.session.preview(step.command)
                view = fix.last_step(bench, step, line, found, now)
        elif step.shelf:
            view = fix.of_the_shelf(bench, step, record, now)
        elif step.part:
            view = fix.which_entry(step, fix.lines_of(record, step.part), now)
        else:
            view = fix.which_part(bench, step)
        self._show_view(view)

    def _show_view(self, view: FixView) -> None:
        self._view = view
        self._title.show_view(Title(view.title, view.line, UNWRITTEN))
        self.setAccessibleName(view.title)
        last = view.preview
        tiles = tuple(
            TileView(_option(choice, key), choice.line)
            for key, choice in zip(KEYS, view.choices, strict=False)
        )
        self._grid.show_view(tiles, COLUMNS)
        self._grid.setVisible(bool(tiles))
        self._empty.setText(view.empty)
        self._empty.setVisible(bool(view.empty))
        for part in (self._card, self._why, self._changes, self._hold, self._below):
            part.setVisible(last is not None)
        self._options.setVisible(last is not None)
        if last is not None:
            self._card.show_view(WasAndIs(last.was, last.now))
            rows = tuple(map(_row, last.effects))
            self._changes.show_view(
                ChangeList(
                    say("WHAT WILL CHANGE"), rows, say("Nothing else: the entry alone.")
                )
            )
            reasons = [choice.then.why for choice in last.whys if not choice.ask]
            whys = tuple(
                _option(choice, key, chosen=_is_why(choice, last.why, reasons))
                for key, choice in zip(KEYS, last.whys, strict=False)
            )
            self._options.show_view(whys)
            ready = last.command is not None
            tone: Tone = "attention" if ready else "plain"
            held = Option(last.hold, "Enter", last.command, hold=ready, tone=tone)
            self._hold.show_view(held)
            self._below.setText(last.below)
        self.fit()

    # --- hands ---------------------------------------------------------------------

    def buttons(self) -> Sequence[AnyButton]:
        """Return the tiles of a step, or the reasons and what is held."""
        if self._view is None or self._view.preview is None:
            return self._grid.buttons()
        return (*self._options.buttons(), self._hold)

    def choose(self, option: Option) -> bool:
        """Go a step further; only what is held leaves the page."""
        if isinstance(option.command, Fix):
            self.take(option.command)
            return True
        if option.command is None:
            return True  # Enter before a reason was given
        self._told = self._step
        return False

    def take(self, action: object) -> bool:
        """Take a step that was chosen, or typed."""
        if not isinstance(action, Fix):
            return False
        self._step = action
        self._again()
        return True

    def back(self) -> str:
        """Return the words beside Esc."""
        return super().back() if self._step.back() is None else say("One step back")

    def escape(self) -> bool:
        """Go one step back; from the first, the page is left."""
        before = self._step.back()
        if before is None:
            return False
        self._step = before
        self._again()
        return True

    def _again(self) -> None:
        self.asked.emit(OpenPage("fix"))  # shows the step, and wires its keys

    # --- places --------------------------------------------------------------------

    def fit(self) -> None:
        """Place everything for the width there is."""
        theme, wide = self._theme, self.width()
        gap, top = theme.px(GAP_MM), self._title.grow(wide) + theme.px(1.0)
        high = self.height() - top
        self._title.setGeometry(0, 0, wide, self._title.height())
        self._grid.setGeometry(0, top, wide, high)
        self._empty.setGeometry(gap, top, wide - 2 * gap, theme.px(30.0))
        if self._view is None or self._view.preview is None:
            return
        left = round(wide * LEFT)
        line = theme.face(NEAR).pitch
        hold = self.height() - theme.px(SAID_MM) - theme.px(HOLD_MM)
        below = hold + theme.px(HOLD_MM) + theme.px(0.6)
        options = hold - self._options.height_for(wide)
        self._options.setGeometry(0, options, wide, hold - options)
        why = options - round(line * 1.4)
        self._why.setGeometry(gap, why, wide - gap, round(line * 1.3))
        body = max(0, why - gap - top)
        self._card.setGeometry(0, top, left, min(self._card.height_for(), body))
        self._changes.setGeometry(left + gap, top, wide - left - gap, body)
        self._hold.setGeometry(0, hold, wide, theme.px(HOLD_MM))
        self._below.setGeometry(gap, below, wide - gap, round(line * 1.3))


def _option(choice: Choice, key: str, *, chosen: bool = False) -> Option:
    """Return a choice as what a hand presses; what is typed fills its gap."""
    tone: Tone = "attention" if chosen else "plain"
    text = f"✓ {choice.text}" if chosen else choice.text
    if not choice.ask:
        return Option(text, key, choice.then, tone=tone)
    gap = Gap(choice.then, fix.gap_of(choice.then))
    return Option(text, key, gap, tone=tone, needs_text=choice.ask)


def _is_why(choice: Choice, why: str, reasons: list[str]) -> bool:
    """Return whether this is the reason that was given: one of these, or typed."""
    if choice.ask:
        return bool(why) and why not in reasons
    return choice.then.why == why


def _row(effect: Effect) -> ChangeRow:
    word, tone = WORDS[effect.sort]
    return ChangeRow(effect.about, effect.what, effect.was, effect.now, word, tone)
