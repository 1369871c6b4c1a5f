"""Advisors: what the stage asks before it begins, its numbers filled in."""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain.state import Bench
from benchassist.ui.heading import Paragraphs, Words
from benchassist.ui.host import Host
from benchassist.ui.light.asking import Stop
from benchassist.ui.light.base import LightPage, place
from benchassist.ui.light.fields import Fields
from benchassist.ui.light.grid import Cell, Grid, GridView
from benchassist.ui.present.physics import advisors
from benchassist.ui.space import Space
from benchassist.ui.words import say

CAUTION = say("They advise; the IFU and the gates decide. Tab: type your own.")


class AdvisorsPage(LightPage):
    """All advisors at the left, those of the stage first; one open at the right."""

    name = "advisors"

    def __init__(self, host: Host) -> None:
        super().__init__(host)
        theme = host.look
        self._found: tuple[advisors.Advisor, ...] = ()
        self._whose = ""
        self._row = 0
        self._head = Paragraphs(theme, self)
        self._grid = Grid(theme, self)
        self._fields = Fields(theme, self, columns=3)
        self._grid.picked.connect(self._picked)
        self._fields.changed.connect(self._typed)

    def refill(self, bench: Bench, now: Instant) -> None:
        """Fill the advisors from the part in front."""
        del now
        part = bench.focused
        self._found = advisors.advisors(bench, part)
        whose = f"{part.code}: {part.stage.title}" if part else say("no part chosen")
        if whose != self._whose:
            self._whose, self._row = whose, 0
        self._head.show_view(
            (
                Words(whose),
                Words(CAUTION, tone="quiet", small=True),
            )
        )
        self._pick()

    def key(self, key: str) -> bool:
        """Walk the advisors, or leave the fields."""
        return self._fields.key(key) or self._words.key(key) or self._grid.key(key)

    def arrange(self, space: Space) -> None:
        """Place the list at the left, fields and answer at the right."""
        px = self._theme.px
        left, right = space.columns((0.46, 0.54), px(6.0))
        high = self._head.height_for(left.width)
        self._head.setGeometry(left.take_top(high, px(2.4)))
        self._grid.setGeometry(left.rest())
        place(self._fields, right, self._fields.height_for(right.width), px(2.4))
        self._words.setGeometry(right.rest())

    def _picked(self, row: int) -> None:
        self._row = row
        self._pick()

    def _pick(self) -> None:
        self._fields.show_view(self._found[self._row].fields)
        self._typed(self._fields.values())

    def _typed(self, values: dict[str, str]) -> None:
        found, row = self._found, self._row

        def work(_stop: Stop) -> object:
            return tuple(
                advisors.typed(each, values if n == row else {})
                for n, each in enumerate(found)
            )

        self.asker.ask(work, self._answered)

    def _answered(self, answers: tuple[advisors.Advice, ...]) -> None:
        self._grid.show_view(
            GridView(
                (say("advisor"), say("now")),
                tuple(
                    (
                        Cell(each.title, strong=n == self._row),
                        Cell(answer.word, answer.tone, strong=True),
                    )
                    for n, (each, answer) in enumerate(
                        zip(self._found, answers, strict=True)
                    )
                ),
                chosen=self._row,
            )
        )
        answer = answers[self._row]
        head = f"{answer.word}. {answer.line}" if answer.word else answer.line
        self._words.show_view(
            (
                Words(head, tone=answer.tone),
                *(Words(text, tone="quiet", small=True) for text in answer.more),
            )
        )
        self.fit()
