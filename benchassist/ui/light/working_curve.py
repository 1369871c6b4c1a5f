"""The working curve: enter what was measured, look at the fit, keep it."""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain.commands import FitWorkingCurve
from benchassist.domain.state import Bench
from benchassist.sums.subject import Subject, UnknownError, subject
from benchassist.ui.heading import Words
from benchassist.ui.host import Host
from benchassist.ui.light.base import LightPage, place
from benchassist.ui.light.fields import Fields
from benchassist.ui.light.plot import PlotPane
from benchassist.ui.present.fill import Gap
from benchassist.ui.present.physics import working_curve
from benchassist.ui.space import Space
from benchassist.ui.view import Field, Option
from benchassist.ui.words import say

UNITS = (("s", "seconds"), (say("mJ/cm²"), say("mJ/cm²")))
HOW = say(
    "Cure thick layers of the coat resin on glass, one for each "
    "exposure; wipe, and measure with the calliper. Type pairs: 10 "
    "120; 20 190; 40 260"
)
RECORD = say("Where the measurements are kept, such as a record number")


class CurvePage(LightPage):
    """Points typed, their fit drawn, and the fit kept with its record."""

    name = "working-curve"

    def __init__(self, host: Host) -> None:
        super().__init__(host)
        theme = host.look
        self._points: working_curve.Pairs = ()
        self._plot = PlotPane(theme, self)
        self._fields = Fields(theme, self, columns=2, stretch=(1, 2))
        self._fields.show_view(
            (
                Field("unit", say("Exposure in"), "choice", "s", UNITS),
                Field("points", say("Exposure and µm, pair; pair"), "text", ""),
            )
        )
        self._fields.changed.connect(self._typed)

    def refill(self, bench: Bench, now: Instant) -> None:
        """Show the curve in use for the lamp and coat at hand."""
        self._about = subject(bench, now)
        self._typed(self._fields.values())

    def key(self, key: str) -> bool:
        """Go to the fields, leave them, or leaf through the sentences."""
        return self._fields.key(key) or self._words.key(key)

    def arrange(self, space: Space) -> None:
        """Place the plot at the left, fields and words at the right."""
        px = self._theme.px
        left, right = space.columns((0.54, 0.46), px(6.0))
        self._plot.setGeometry(left.rest())
        place(self._fields, right, self._fields.height_for(right.width), px(2.4))
        self._words.setGeometry(right.rest())

    def _typed(self, values: dict[str, str]) -> None:
        bench, about = self.bench, self._about
        if about is None:
            return
        try:
            pairs = working_curve.parse_points(values["points"])
            self._points = working_curve.exposures(bench, about, pairs, values["unit"])
        except UnknownError as error:
            self._points = ()
            self.told_amiss(str(error))
            self._offer(keepable=False)
            return
        points = self._points
        self.asker.ask(
            lambda _stop: (about, working_curve.curve_view(bench, about, points)),
            self._answered,
        )

    def _answered(self, answer: tuple[Subject, working_curve.CurveView]) -> None:
        about, view = answer
        self._plot.show_view(view.plot)
        head = say("{lamp} on {lot}", lamp=about.lamp, lot=about.lot)
        self._words.show_view(
            (
                Words(head, tone="quiet", small=True),
                *(Words(text) for text in view.lines),
                Words(HOW, tone="quiet", small=True),
            )
        )
        self._offer(keepable=view.keepable)

    def _offer(self, *, keepable: bool) -> None:
        options: list[Option] = []
        if keepable and self._about is not None:
            lot = self.bench.lots[self._about.lot]
            command = FitWorkingCurve(
                self._about.lamp, lot.material, self._points, record=""
            )
            options.append(
                Option(
                    say("Keep this curve: used from now on"),
                    "1",
                    Gap(command, "record"),
                    hold=True,
                    tone="attention",
                    needs_text=RECORD,
                )
            )
        self.show_options(tuple(options))

    def told_amiss(self, sentence: str) -> None:
        """Show what is wrong with what was typed."""
        self._words.show_view(
            (
                Words(sentence, tone="stop"),
                Words(HOW, tone="quiet", small=True),
            )
        )
        self.fit()
