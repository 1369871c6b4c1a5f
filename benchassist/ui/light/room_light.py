"""Room light: open dishes and how long they last, by the practice's smear test."""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain.commands import ChangeDish
from benchassist.domain.state import Bench
from benchassist.sums.subject import UnknownError
from benchassist.ui.heading import Words
from benchassist.ui.host import Host
from benchassist.ui.light.base import LightPage
from benchassist.ui.light.fields import Fields
from benchassist.ui.light.grid import Cell, Grid, GridView
from benchassist.ui.present.physics import working_time
from benchassist.ui.space import Space
from benchassist.ui.view import Option
from benchassist.ui.words import say

LIGHT, KLX = "bench", "0.75"
EMPTY = say("No dish is open. Key 1 opens one: its budget runs from then.")
NO_LOT = say("No lot is on file to be poured: key L files one.")


class RoomPage(LightPage):
    """Dishes with what is left to them; forms for a smear test and a new dish."""

    name = "room-light"

    def __init__(self, host: Host) -> None:
        super().__init__(host)
        theme = host.look
        self._row = 0
        self._smearing = False
        self._told: tuple[str, tuple[str, ...]] = ("", ())
        self._rows: tuple[working_time.DishRow, ...] = ()
        self._grid = Grid(theme, self)
        self._dish = Fields(theme, self, columns=1)
        self._smear = Fields(theme, self, columns=1)
        self._grid.picked.connect(self._picked)

    def refill(self, bench: Bench, now: Instant) -> None:
        """Show dishes and tests as they are now."""
        self._dish.show_view(working_time.dish_fields(bench, LIGHT, KLX))
        self._smear.show_view(working_time.smear_fields(bench, LIGHT, KLX))
        self.pass_time(bench, now)

    def pass_time(self, bench: Bench, now: Instant) -> None:
        """Show what is left at ``now``."""
        self.bench, self.now = bench, now
        view = working_time.room_view(bench, now)
        self._rows = view.dishes
        self._row = min(self._row, max(0, len(view.dishes) - 1))
        self._grid.show_view(
            GridView(
                ("dish", "stands", "left"),
                tuple(
                    (
                        Cell(row.lot, strong=True),
                        Cell(row.state, "quiet"),
                        Cell(row.left, row.tone, strong=row.tone != "plain"),
                    )
                    for row in view.dishes
                ),
                chosen=self._row if view.dishes else -1,
                empty=EMPTY if bench.lots else NO_LOT,
            )
        )
        if self._told != (view.note, view.smears):
            self._told = (view.note, view.smears)
            self._say("")
        self._offer()

    def key(self, key: str) -> bool:
        """Walk the dishes, or leave the fields."""
        fields = self._smear if self._smearing else self._dish
        return fields.key(key) or self._words.key(key) or self._grid.key(key)

    def arrange(self, space: Space) -> None:
        """Place the dishes at the left with the tests below; one form at the right."""
        px = self._theme.px
        left, right = space.columns((0.66, 0.34), px(6.0))
        high = min(self._words.height_for(left.width), round(left.height * 0.5))
        self._words.setGeometry(left.take_foot(high, px(2.4)))
        self._grid.setGeometry(left.rest())
        shown, other = self._dish, self._smear
        if self._smearing:
            shown, other = other, shown
        other.setVisible(False)
        shown.setVisible(True)
        shown.setGeometry(
            right.take_top(min(shown.height_for(right.width), right.height))
        )

    def _picked(self, row: int) -> None:
        self._row = row
        self.pass_time(self.bench, self.now)

    def _offer(self) -> None:
        if not self.bench.lots:
            self.show_options(())
            return
        form = say("Enter the smear test") if self._smearing else say("Open this dish")
        options = [
            Option(form, "1", self._hand_in),
            Option(
                say("Dish") if self._smearing else say("Smear test"), "2", self._switch
            ),
        ]
        if self._rows:
            row = self._rows[self._row]
            lot = row.lot
            if not row.covered:
                options.append(Option(say("Cover"), "3", ChangeDish(lot, "covered")))
            away = ChangeDish(lot, "thrown away")
            options.append(Option(say("Throw away"), "4", away, hold=True, tone="stop"))
        self.show_options(tuple(options))

    def _switch(self) -> None:
        self._smearing = not self._smearing
        self._offer()
        self.fit()

    def _hand_in(self) -> None:
        fields = self._smear if self._smearing else self._dish
        fields.leave()
        make = (
            working_time.smear_command if self._smearing else working_time.dish_command
        )
        try:
            command = make(fields.values())
        except UnknownError as error:
            self._say(str(error))
            return
        self.asked.emit(command)

    def _say(self, amiss: str) -> None:
        note, smears = self._told
        lines = [Words(amiss, tone="stop")] if amiss else []
        lines += [Words(text, small=True) for text in smears]
        if note:
            lines.append(Words(note, tone="quiet", small=True))
        self._words.show_view(tuple(lines))
        self.fit()
