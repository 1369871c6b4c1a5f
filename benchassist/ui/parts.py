"""All widgets of the bench, made once, and what each one is shown of a look."""

from __future__ import annotations

from typing import Any, NamedTuple

from PySide6.QtWidgets import QWidget

from benchassist.ui.band import StateBand
from benchassist.ui.card import CardView, UndoStrip
from benchassist.ui.countdown import CountdownView
from benchassist.ui.daychart import DayChart
from benchassist.ui.entry import Entry
from benchassist.ui.foot import USUAL, Foot, Way
from benchassist.ui.hands import AnyButton, Hands, OptionGroup
from benchassist.ui.heading import Paragraphs, Words
from benchassist.ui.ledger import GateList, LedgerBars
from benchassist.ui.lightcheck import LightView
from benchassist.ui.lines import FarLine, FarText, MessageLine
from benchassist.ui.panels import DRAWER_KEY, PanelGrid
from benchassist.ui.pedal_line import PedalLine
from benchassist.ui.present.look import UNRECORDED
from benchassist.ui.rail import Rail
from benchassist.ui.rows import RowList
from benchassist.ui.slim import SlimLine, SlimView
from benchassist.ui.spotmap import CoatInset, SegmentMap, WetBar
from benchassist.ui.status import Status, StatusBar
from benchassist.ui.theme import Theme
from benchassist.ui.view import BenchView, Option, Tone
from benchassist.ui.way import WayStrip
from benchassist.ui.words import say

# What the foot does while it does nothing.
NOT_IN_FRONT = FarText(
    say("PEDAL"), say("off: window not in front"), "stop", short="off"
)
TYPING = FarText(
    say("PEDAL"), say("rests while you type"), "attention", short=say("rests")
)


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
        self.way = WayStrip(theme, parent)
        self.day = DayChart(theme, parent)
        self.cautions = Paragraphs(theme, parent)
        self.options = OptionGroup(theme, hands, parent)
        self.rows = RowList(theme, parent)
        self.bars = LedgerBars(theme, parent)
        self.gates = GateList(theme, parent)
        self.segment = SegmentMap(theme, parent)
        self.coat = CoatInset(theme, parent)
        self.wet = WetBar(theme, parent)
        self.card = CardView(theme, hands, parent)
        self.undo = UndoStrip(theme, hands, parent)
        self.next = FarLine(theme, parent)
        self.pedal = PedalLine(theme, parent)
        self.foot = Foot(theme, parent)
        self.rail = Rail(theme, parent)
        self.slim = SlimLine(theme, parent)
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
        if view.way is not None:
            self.way.show_view(view.way)
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
        tone: Tone = "attention" if view.next_calls else "plain"
        self.next.show_view(
            FarText(say("NEXT"), view.next_line, tone, view.next_aside, view.next_short)
        )
        foot: Tone = "quiet" if view.pedal_idle else "plain"
        lost = view.pedal_line == UNRECORDED
        if lost:
            foot = "stop"  # until it is true no more, and whatever the foot does
            pedal_off = None
        line = FarText(
            say("PEDAL"), view.pedal_line, foot, view.pedal_aside, view.pedal_short
        )
        self.pedal.show_foot(pedal_off or line, view.pedal_long)
        self.rail.show_view(view.tags)
        off = pedal_off.short if pedal_off else self.pedal.meanwhile
        slim = SlimView(
            view.band, view.slim, view.next_calls, off, self.pedal.share, lost=lost
        )
        self.slim.show_view(slim)
        self.message.show_view(view.message)

    def show_ways(self, back: str, why: str) -> None:
        """Show the places at the foot; a page's way ``back`` stands first.

        ``why`` names what the key of the drawers shows next, where it shows any.
        """
        first = (Way("Esc", back),) if back else ()
        last = (Way(DRAWER_KEY, why),) if why else ()
        self.foot.show_view((*first, *USUAL, *last))

    def drawers(self, view: BenchView, *, folded: bool) -> tuple[Drawer, ...]:
        """Return what can stand where the list or the card is."""
        there = (
            (view.bars, Drawer(say("Dose"), self.bars)),
            (view.gates, Drawer(say("Why"), self.gates)),
            (folded, Drawer(say("More"), self.all_panels)),
        )
        return tuple(drawer for some, drawer in there if some)

    def finish(self) -> None:
        """Let the parts that hold others place them."""
        for holder in (self.light, self.card, self.undo, self.entry):
            if not holder.isHidden():
                holder.arrange()

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
