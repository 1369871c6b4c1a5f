"""Eyes and skin: lamp-on time today against every limit, and the glasses."""

from __future__ import annotations

import math

from benchassist.clock import MS, Instant
from benchassist.domain.commands import ShowGlasses
from benchassist.domain.shelf import offered
from benchassist.domain.state import Bench
from benchassist.domain.words import clock
from benchassist.sums.subject import (
    UnknownError,
    subject,
    typed_number,
)
from benchassist.ui.heading import Words
from benchassist.ui.host import Host
from benchassist.ui.light.base import LightPage
from benchassist.ui.light.fields import Fields
from benchassist.ui.light.grid import Cell, Grid, GridView
from benchassist.ui.present.physics import eyes
from benchassist.ui.space import Space
from benchassist.ui.view import Field, Option, Tone
from benchassist.ui.words import say

GLASSES = (
    Field("title", say("Glasses"), "text", ""),
    Field("low_nm", say("Shown from, nm"), "number", ""),
    Field("high_nm", say("to, nm"), "number", ""),
    Field("percent", say("lets through at most, %"), "number", ""),
)


class EyesPage(LightPage):
    """Every limit with and without glasses; the one that binds is named."""

    name = "eyes"
    follows = True

    def __init__(self, host: Host) -> None:
        super().__init__(host)
        theme = host.look
        self._typing = False
        self._grid = Grid(theme, self)
        self._fields = Fields(theme, self, columns=2)
        self._fields.show_view(GLASSES)

    def refill(self, bench: Bench, now: Instant) -> None:
        """Hold the operator's day against the limits of the lamp at hand."""
        if self._lamp not in bench.lamps:
            self._lamp = next(iter(offered(bench, "lamp")), "")
            try:
                at_hand = subject(bench, now).lamp
            except UnknownError:
                at_hand = ""
            self._lamp = at_hand or self._lamp
        self._typing = False
        self._offer()
        lamp = self._lamp
        self.asker.ask(
            lambda _stop: (
                eyes.held(bench, lamp, bench.operator),
                eyes.budget(bench, now, lamp),
                eyes.assumed(bench, lamp),
            ),
            self._answered,
        )

    def _offer(self) -> None:
        options = [Option(say("Glasses: what they let through"), "1", self._type)]
        if self._typing:
            options = [
                Option(
                    say("Enter them"), "1", self._enter, hold=True, tone="attention"
                ),
                Option(say("Back to the limits"), "0", self._type),
            ]
        more = () if self._typing else self.lamp_option(self._lamp, "2")
        self.show_options((*options, *more))

    def _type(self) -> None:
        self._typing = not self._typing
        self._offer()
        if self._typing:
            self._fields.begin()

    def key(self, key: str) -> bool:
        """Go to the fields, leave them, or leaf through the sentences."""
        if self._typing and self._fields.key(key):
            return True
        return self._words.key(key) or self._grid.key(key)

    def arrange(self, space: Space) -> None:
        """Place the table at the left, words and fields at the right."""
        px = self._theme.px
        left, right = space.columns((0.6, 0.4), px(6.0))
        self._grid.setGeometry(left.rest())
        self._fields.setVisible(self._typing)
        self._words.setVisible(not self._typing)
        body = self._fields if self._typing else self._words
        body.setGeometry(right.rest())

    def _enter(self) -> None:
        values = self._fields.values()
        try:
            low, high, percent = (
                typed_number(label, values[name])
                for name, label in (
                    ("low_nm", say("Shown from")),
                    ("high_nm", "to"),
                    ("percent", say("Lets through")),
                )
            )
        except UnknownError as error:
            self.said.emit(str(error))
            return
        self._fields.leave()
        self.asked.emit(
            ShowGlasses(self.bench.operator, values["title"], low, high, percent / 100)
        )

    def _answered(
        self, answer: tuple[tuple[eyes.Held, ...], eyes.Budget, tuple[str, ...]]
    ) -> None:
        rows, budget, notes = answer
        self._grid.show_view(grid(rows, budget))
        self._words.show_view(words(budget, notes, known=bool(rows)))
        self.fit()


def grid(rows: tuple[eyes.Held, ...], budget: eyes.Budget) -> GridView:
    """Return every limit as a row, those that are reached first."""
    ordered = sorted(rows, key=lambda row: row.bare_s)
    return GridView(
        (say("where"), say("limit"), say("bare"), say("glasses")),
        tuple(
            (
                Cell(row.place),
                Cell(row.limit, "quiet"),
                Cell(_seconds(row.bare_s), strong=math.isfinite(row.bare_s)),
                Cell(_glasses(row)),
            )
            for row in ordered
        ),
        empty=say(
            "{lamp} has no spectrum on file: no limit is known.", lamp=budget.lamp
        )
        if budget.lamp
        else say("No lamp is on file: no limit is known."),
    )


def words(
    budget: eyes.Budget, notes: tuple[str, ...], *, known: bool
) -> tuple[Words, ...]:
    """Return the operator's day in sentences."""
    lit = {"eyewear": eyes.EYEWEAR, "clock": clock(budget.lit_s * MS)}
    if budget.lamp:
        day = say(
            "{eyewear} Lamp {clock} today, on with {lamp}:", lamp=budget.lamp, **lit
        )
    else:
        day = say("{eyewear} Lamp {clock} today.", **lit)
    told = [Words(day)]
    limits = (
        (say("Unfiltered {limit}"), budget.bare_s, budget.bare_limit),
        (say("With your glasses {limit}"), budget.filtered_s, budget.filtered_limit),
    )
    for told_of, most_s, which in limits:
        if known and most_s is not None:
            tone: Tone = "stop" if budget.lit_s >= most_s else "plain"
            sentence = told_of.format(limit=_limit(most_s, which))
            told.append(Words(sentence, tone=tone))
    told.append(Words(budget.lens, tone="plain" if budget.shown else "attention"))
    told += [Words(text, tone="quiet", small=True) for text in (*notes, eyes.CAUTION)]
    return tuple(told)


def _limit(seconds: float, which: str) -> str:
    if math.isinf(seconds):
        return say("no limit is reached in a day.")
    return say("limit {clock}: {which}.", clock=clock(seconds * MS), which=which)


def _seconds(seconds: float) -> str:
    return clock(seconds * MS) if math.isfinite(seconds) else "none"


def _glasses(row: eyes.Held) -> str:
    return "" if row.filtered_s is None else _seconds(row.filtered_s)
