"""All widgets of the bench, made once, and what each one is shown of a look."""

from __future__ import annotations

from typing import Any, NamedTuple

from PySide6.QtWidgets import QWidget

from benchassist.ui.band import StateBand
from benchassist.ui.card import CardView, UndoStrip
from benchassist.ui.countdown import CountdownView
from benchassist.ui.entry import Entry
from benchassist.ui.hands import AnyButton, Hands, OptionGroup
from benchassist.ui.heading import Paragraphs, Words
from benchassist.ui.ledger import GateList, LedgerBars
from benchassist.ui.lightcheck import LightView
from benchassist.ui.lines import FarLine, FarText, HintLine, Hints, Message, MessageLine
from benchassist.ui.panels import PanelGrid
from benchassist.ui.rows import RowList, RowsTitle, Seen
from benchassist.ui.spotmap import CoatInset, SegmentMap, WetBar
from benchassist.ui.status import Status, StatusBar
from benchassist.ui.theme import Theme
from benchassist.ui.view import BenchView, Option

NOT_IN_FRONT = FarText("PEDAL", "off: this window is not in front", "stop")
TYPING = FarText("PEDAL", "off: typing", "attention")


class Drawer(NamedTuple):
    """Something near that a key brings out, and its name."""

    name: str
    widget: QWidget


class Parts:
    """The widgets, children of one parent that arranges them."""

    def __init__(self, theme: Theme, hands: Hands, parent: QWidget) -> None:
        self.status = StatusBar(theme, parent)
        self.band = StateBand(theme, parent)
        self.light = LightView(theme, hands, parent)
        # Over the light check, which leaves it a place.
        self.headline = Paragraphs(theme, parent)
        self.countdown = CountdownView(theme, parent)
        self.panels = PanelGrid(theme, parent)
        self.all_panels = PanelGrid(theme, parent)  # in the drawer
        self.cautions = Paragraphs(theme, parent)
        self.options = OptionGroup(theme, hands, parent)
        self.rows_title = RowsTitle(theme, parent)
        self.rows = RowList(theme, parent)
        self.bars = LedgerBars(theme, parent)
        self.gates = GateList(theme, parent)
        self.segment = SegmentMap(theme, parent)
        self.coat = CoatInset(theme, parent)
        self.wet = WetBar(theme, parent)
        self.card = CardView(theme, hands, parent)
        self.undo = UndoStrip(theme, hands, parent)
        self.next = FarLine(theme, parent)
        self.pedal = FarLine(theme, parent)
        self.hints = HintLine(theme, parent)
        self.message = MessageLine(theme, parent)
        self.entry = Entry(theme, hands, parent)

    def everything(self) -> tuple[Any, ...]:
        """Return all widgets."""
        return tuple(vars(self).values())

    def show_view(self, view: BenchView, pedal_off: FarText | None) -> None:
        """Give each widget what it shows; each one repaints only if that changed."""
        self.status.show_view(
            Status(
                view.who_when,
                view.alarms,
                view.status,
                view.mark,
                view.right_status,
                view.past,
            )
        )
        self.band.show_view(view.band)
        self.headline.show_view(
            (Words(view.headline, "must"), Words(view.subline, tone="quiet"))
        )
        if view.countdown is not None:
            self.countdown.show_view(view.countdown)
        self.panels.show_view(view.panels)
        self.all_panels.show_view(view.panels)
        self.cautions.show_view(
            tuple(Words(t, tone="quiet", small=True) for t in view.cautions)
        )
        self.options.show_view(_options(view))
        self.rows.show_view(view.rows)
        self.bars.show_view(view.bars)
        self.gates.show_view(view.gates)
        if view.spots is not None:
            self.segment.show_view(view.spots)
            self.coat.show_view(view.spots)
            self.wet.show_view((view.spots.wet_text, view.spots.wet_fill))
        if view.light is not None:
            self.light.show_view(view.light)
        if view.card is not None:
            self.card.show_view(view.card)
        if view.undo is not None:
            self.undo.show_view(view.undo)
        self.next.show_view(FarText("NEXT", view.next_line))
        self.pedal.show_view(pedal_off or FarText("PEDAL", view.pedal_line))

    def show_message(self, view: BenchView, *, near: bool) -> None:
        """Show the sentence about the last press, near where hands are anyway."""
        near = near or view.card is not None
        self.message.show_view(Message(view.message, near=near))

    def show_hints(self, view: BenchView, hands: tuple[str, ...]) -> None:
        """Show what the hands may do here."""
        self.hints.show_view(Hints(hands, view.right_hint))

    def drawers(self, view: BenchView, *, folded: bool) -> tuple[Drawer, ...]:
        """Return what can stand where the list or the card is."""
        there = (
            (view.bars, Drawer("ledger", self.bars)),
            (view.gates, Drawer("gates", self.gates)),
            (folded, Drawer("panels", self.all_panels)),
        )
        return tuple(drawer for some, drawer in there if some)

    def finish(self, hint: str) -> None:
        """Let the parts that hold others place them, and count the rows seen."""
        for holder in (self.light, self.card, self.undo, self.entry):
            holder.arrange()
        self.rows_title.show_view(Seen(*self.rows.parts_seen(), hint))

    def buttons(self, view: BenchView) -> list[AnyButton]:
        """Return the buttons that answer to keys at this look."""
        buttons: list[AnyButton] = []
        if view.card is not None and not self.card.isHidden():
            buttons += self.card.buttons()
        if view.undo is not None:
            buttons += self.undo.buttons()
        if view.light is not None:
            buttons += self.light.buttons()
        return [*buttons, *self.options.buttons()]


def _options(view: BenchView) -> tuple[Option, ...]:
    """Return the options of the look itself; a light check shows no card of its own."""
    card = view.card.options if view.card and view.light else ()
    return (*view.options, *card)
