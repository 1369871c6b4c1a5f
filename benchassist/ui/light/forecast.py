"""The coat forecast for the part at hand, with sliders for what may differ."""

from __future__ import annotations

from PySide6.QtGui import QHideEvent

from benchassist.clock import Instant
from benchassist.domain.state import Bench
from benchassist.sums.coat import Coating, coating
from benchassist.sums.subject import subject
from benchassist.ui.heading import Words
from benchassist.ui.host import Host
from benchassist.ui.light.asking import Asker
from benchassist.ui.light.base import LightPage
from benchassist.ui.light.grid import Cell, Grid, GridView
from benchassist.ui.light.plot import PlotPane
from benchassist.ui.light.sliders import Slider, Sliders, SlidersView
from benchassist.ui.present.physics import forecast
from benchassist.ui.space import Space
from benchassist.ui.words import say

RESTED = 3  # looks without a move, after which the accurate run begins
BACK = say("Key 0: as planned.")
SHOWN_ROWS = (say("when"), say("conversion"), say("soft skin, µm"))


class ForecastPage(LightPage):
    """Conversion against depth; a slider is followed by a preview, then the answer."""

    name = "forecast"

    def __init__(self, host: Host) -> None:
        super().__init__(host)
        theme = host.look
        self._coating: Coating | None = None
        self._plot = PlotPane(theme, self)
        self._grid = Grid(theme, self)
        self._sliders = Sliders(theme, self)
        self._sliders.moved.connect(self._moved)
        self._sure = Asker(self)
        self._sure.failed.connect(self.told_amiss)
        self._rested = RESTED
        self._setting: forecast.Setting | None = None

    def refill(self, bench: Bench, now: Instant) -> None:
        """Ask for what the part at hand will be."""
        self._about = subject(bench, now)
        self._coating = coating(bench, self._about)
        self._sliders.show_view(sliders(self._coating, self._sliders.view))
        self._moved(self._sliders.view)

    def key(self, key: str) -> bool:
        """Choose and move the sliders, or put them back with 0."""
        if key == "0":
            self._reset()
        return key == "0" or self._sliders.key(key) or self._words.key(key)

    def arrange(self, space: Space) -> None:
        """Place the plot at the left; sliders, rows and words at the right."""
        px = self._theme.px
        left, right = space.columns((0.5, 0.5), px(6.0))
        self._plot.setGeometry(left.rest())
        self._sliders.setGeometry(right.take_top(self._sliders.height_for(), px(0.6)))
        high = min(self._grid.height_for(), right.height)
        self._grid.setGeometry(right.take_top(high, px(1.6)))
        self._words.setGeometry(right.rest())

    def _reset(self) -> None:
        if self._coating is not None:
            view = sliders(self._coating, None)
            self._sliders.show_view(view)
            self._moved(view)

    def _moved(self, view: object) -> None:
        found, about = self._coating, self._about
        if found is None or about is None or not isinstance(view, SlidersView):
            return
        setting = setting_of(view)
        cover = about.part.variant.cover
        self._sure.drop()
        self._rested, self._setting = 0, setting
        self.asker.ask(
            lambda _stop: forecast.preview(found, setting, cover), self._show
        )

    def pass_time(self, bench: Bench, now: Instant) -> None:
        """Begin the accurate run once the sliders have rested for a few looks."""
        super().pass_time(bench, now)
        found, setting = self._coating, self._setting
        self._rested += 1
        if self._rested == RESTED and found is not None and setting is not None:
            self._sure.ask(
                lambda _stop: forecast.computed(found, setting), self._computed
            )

    @property
    def idle(self) -> bool:
        """Whether nothing is being worked on and nothing is waited for."""
        return self.asker.idle and self._sure.idle and self._rested >= RESTED

    def hideEvent(self, event: QHideEvent) -> None:  # noqa: N802
        """Forget what was asked: nobody looks."""
        self._sure.drop()
        super().hideEvent(event)

    def _computed(self, answer: forecast.Forecast) -> None:
        found, setting = self._coating, answer.setting
        self._show(answer)
        if found is not None:
            self._sure.ask(
                lambda stop: forecast.drawn(found, setting, stop), self._show
            )

    def _show(self, answer: forecast.Forecast) -> None:
        if self._about is None:
            return
        cover = self._about.part.variant.cover
        view = forecast.forecast_view(answer, cover)
        self._plot.show_view(view.plot)
        self._grid.show_view(
            GridView(
                SHOWN_ROWS,
                tuple(
                    (Cell(when), Cell(mean), Cell(soft))
                    for when, mean, soft in view.rows
                ),
            )
        )
        notes = self._coating.notes if self._coating else ()
        told = (
            f"{view.state.capitalize()}. {BACK}",
            f"{self._about.title}, {self._about.lamp}.",
            *notes,
        )
        self._words.show_view(
            tuple(Words(text, tone="quiet", small=True) for text in told)
        )
        self.fit()


def sliders(found: Coating, before: SlidersView | None) -> SlidersView:
    """Return the sliders for a coating; those moved before stay where they are."""
    planned = found.planned_s
    fresh = (
        Slider(
            "coat", say("One coat"), found.coat_um, 5, 100, 1, say("µm"), found.coat_um
        ),
        Slider("lamp", say("Lamp, of today's"), 100, 10, 150, 5, "%", 100),
        Slider(
            "tack",
            say("Tack a spot"),
            planned,
            1,
            max(30.0, 2 * planned),
            1,
            "s",
            planned,
        ),
    )
    if before is None:
        return SlidersView(fresh)
    kept = tuple(
        old if (old.usual, old.high) == (new.usual, new.high) else new
        for old, new in zip(before.sliders, fresh, strict=True)
    )
    return SlidersView(kept, before.chosen)


def setting_of(view: SlidersView) -> forecast.Setting:
    """Return what the sliders stand at."""
    coat, lamp, tack = (slider.at for slider in view.sliders)
    return forecast.Setting(coat, lamp / 100, tack)
