"""The tack window for this lamp, coat and recipe, with what was tried here."""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain.commands import RecordCoupon, SetLimit
from benchassist.domain.events import CouponFault
from benchassist.domain.limits import limit
from benchassist.domain.state import Bench
from benchassist.sums.coat import OWN, RATES, Coating, coating
from benchassist.sums.subject import Subject, subject
from benchassist.ui.heading import Words
from benchassist.ui.host import Host
from benchassist.ui.light.asking import Stop
from benchassist.ui.light.base import LightPage
from benchassist.ui.light.plot import PlotPane
from benchassist.ui.present.fill import Gap
from benchassist.ui.present.physics import tack
from benchassist.ui.space import Space
from benchassist.ui.view import Option
from benchassist.ui.words import say

FITTED = say("fitted here, from the tack page")
WORKING = say("Working it out …")


class TackPage(LightPage):
    """Least and most seconds with their bands, what is planned, and coupons."""

    name = "tack"

    def __init__(self, host: Host) -> None:
        super().__init__(host)
        theme = host.look
        self._found: dict[object, tack.Window] = {}
        self._coating: Coating | None = None
        self._plot = PlotPane(theme, self)

    def refill(self, bench: Bench, now: Instant) -> None:
        """Ask for the window of the part at hand."""
        about = subject(bench, now, self._lamp)
        self.show_options(self._coupon_options(bench, about))
        self._words.show_view((Words(WORKING, tone="quiet"),))
        known = self._found

        def work(_stop: Stop) -> object:
            found = coating(bench, about)
            return found, known.get(found.key) or tack.central(found)

        self._about = about
        self.asker.ask(work, self._central)

    def _coupon_options(self, bench: Bench, about: Subject) -> tuple[Option, ...]:
        lot = bench.lots.get(about.lot)
        options = []
        if lot is not None and about.lamp in bench.lamps:
            asked = say("Seconds a spot that the coupon had")
            kinds: tuple[tuple[str, str, bool, CouponFault], ...] = (
                ("1", say("Coupon passed"), True, ""),
                ("2", say("… had not set"), False, "not set"),
                ("3", say("… tacky at the end"), False, "tacky at the end"),
            )
            for key, text, passed, how in kinds:
                command = RecordCoupon(about.lamp, lot.material, passed, how=how)
                gap = Gap(command, "tack_s", number=True)
                options.append(Option(text, key, gap, needs_number=asked))
        return (*options, *self.lamp_option(about.lamp, "7"), *_rate_options(bench))

    def arrange(self, space: Space) -> None:
        """Place the plot at the left, the words at the right."""
        left, right = space.columns((0.58, 0.42), self._theme.px(6.0))
        self._plot.setGeometry(left.rest())
        self._words.setGeometry(right.rest())

    def _central(self, answer: tuple[Coating, tack.Window]) -> None:
        found, window = answer
        self._coating = found
        self._show(window)
        if found.key not in self._found:
            self.asker.ask(lambda stop: tack.drawn(found, window, stop), self._drawn)

    def _drawn(self, window: tack.Window) -> None:
        if self._coating is not None:
            self._found[self._coating.key] = window
        self._show(window)

    def _show(self, window: tack.Window) -> None:
        if self._coating is None or self._about is None:
            return
        view = tack.tack_view(self.bench, self._coating, window)
        self._plot.show_view(view.plot)
        head = f"{self._about.title}, {self._about.lamp}"
        self._words.show_view(
            (
                Words(head, tone="quiet", small=True),
                Words(view.verdict, tone="good" if view.fits else "stop"),
                *(Words(line) for line in view.lines[:2]),
                *(Words(line, tone="quiet", small=True) for line in view.lines[2:]),
            )
        )
        self.fit()


def _rate_options(bench: Bench) -> tuple[Option, ...]:
    """Return how the practice chooses the model's rates, and types its own."""
    chosen = round(limit(bench, "coat_rates"))
    after = (chosen + 1) % len(RATES)
    choose = SetLimit("coat_rates", after, "chosen on the tack page")
    text = say(
        "Rates: {rates}. Take {rates2}", rates=RATES[chosen], rates2=RATES[after]
    )
    options = [Option(text, "4", choose, hold=True)]
    if chosen == OWN:
        for key, code, what in (
            ("5", "kp_percent", "propagation"),
            ("6", "kt_percent", "termination"),
        ):
            gap = Gap(SetLimit(code, 100.0, FITTED), "value", number=True)
            asked = say("Own {what}, per cent of the measured set's", what=what)
            told = say("Own {what}: {limit:g} %", what=what, limit=limit(bench, code))
            options.append(Option(told, key, gap, hold=True, needs_number=asked))
    return tuple(options)
