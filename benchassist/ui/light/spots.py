"""Spots: the faces to scale, segments, holes, and the dose at the worst point."""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain.state import Bench
from benchassist.sums.spot_map import Geometry, usual
from benchassist.sums.subject import Subject, UnknownError, subject
from benchassist.ui.heading import Words
from benchassist.ui.host import Host
from benchassist.ui.light.base import LightPage, place
from benchassist.ui.light.fields import Fields
from benchassist.ui.light.spotsheet import SpotSheet
from benchassist.ui.present.physics import spots
from benchassist.ui.space import Space
from benchassist.ui.words import say

NARROW_MM = 300.0  # [mm] of a page; below it the fields need more of the width
WIDE, NARROW = (0.56, 0.44), (0.48, 0.52)  # of the width: the map, the fields
TYPE_KEYS = say("Tab: type sizes. Enter: back to the keys.")


class SpotsPage(LightPage):
    """A map of the spots, for the shape that is typed."""

    name = "spots"
    follows = True

    def __init__(self, host: Host) -> None:
        super().__init__(host)
        theme = host.look
        self._geometry: Geometry | None = None
        self._whose = ""
        self._sheet = SpotSheet(theme, self)
        self._fields = Fields(theme, self, columns=3)
        self._fields.changed.connect(self._typed)

    def refill(self, bench: Bench, now: Instant) -> None:
        """Lay the spots of the part at hand out."""
        self._about = subject(bench, now)
        if self._geometry is None or self._whose != self._about.title:
            self._whose = self._about.title
            self._geometry = usual(bench, self._about)
            self._fields.show_view(spots.fields(self._geometry))
        self._ask()

    def key(self, key: str) -> bool:
        """Go to the fields, leave them, or leaf through the sentences."""
        return self._fields.key(key) or self._words.key(key)

    def arrange(self, space: Space) -> None:
        """Place the map at the left, fields and words at the right."""
        px = self._theme.px
        left, right = space.columns(
            WIDE if space.width >= px(NARROW_MM) else NARROW, px(6.0)
        )
        self._sheet.setGeometry(left.rest())
        place(self._fields, right, self._fields.height_for(right.width), px(2.4))
        self._words.setGeometry(right.rest())

    def _typed(self, values: dict[str, str]) -> None:
        if self._geometry is None:
            return
        try:
            found = spots.typed(values, self._geometry)
        except UnknownError as error:
            self.told_amiss(str(error))
            return
        reshaped = found.shape != self._geometry.shape
        self._geometry = found
        if reshaped:
            self._fields.show_view(spots.fields(found))
            self.fit()
        self._ask()

    def _ask(self) -> None:
        bench, about, geometry = self.bench, self._about, self._geometry
        if about is not None and geometry is not None:
            self.asker.ask(
                lambda _stop: (about, spots.spots_view(bench, about, geometry)),
                self._answered,
            )

    def _answered(self, answer: tuple[Subject, spots.SpotsView]) -> None:
        about, view = answer
        self._sheet.setVisible(True)
        self._sheet.show_view(view)
        head = f"{about.title}, {about.lamp}"
        self._words.show_view(
            (
                Words(head, tone="quiet", small=True),
                *(Words(text, tone="stop") for text in view.warnings),
                *(Words(text) for text in view.lines),
                Words(TYPE_KEYS, tone="quiet", small=True),
            )
        )
        self.fit()
