"""The window: places the bench and its pages, turns presses into commands.

Every slot is one call into the session or one change of page; nothing is decided.
"""

from __future__ import annotations

from functools import partial

from PySide6.QtGui import QCloseEvent, QResizeEvent
from PySide6.QtWidgets import QMainWindow

from benchassist.clock import Clock, Instant
from benchassist.domain import commands as cm
from benchassist.domain.events import CouponFinished, FocusMoved
from benchassist.domain.outcome import Refusal
from benchassist.domain.pedal import meaning
from benchassist.domain.pedal_guard import Press, Refused
from benchassist.domain.standing import Standings
from benchassist.session import Outcome, Session
from benchassist.ui.actions import LearnPedal
from benchassist.ui.bench import Bench
from benchassist.ui.desk import Desk
from benchassist.ui.foresight import Foresight
from benchassist.ui.pages import Pages, theme_of
from benchassist.ui.pedal import Pedal
from benchassist.ui.present.calm import calmed
from benchassist.ui.present.fill import Gap, NotANumberError
from benchassist.ui.present.look import look, unrecorded
from benchassist.ui.present.people import came_of
from benchassist.ui.settings import Settings
from benchassist.ui.ticker import Ticker
from benchassist.ui.words import say

MESSAGE_MS = 8000  # [ms] read twice


class Window(QMainWindow):
    """One bench in one window."""

    def __init__(
        self, session: Session, real: Clock, settings: Settings, desk: Desk
    ) -> None:
        super().__init__()
        self._session = session
        self._real = real
        self._desk = desk
        self._message: tuple[str, Instant] | None = None
        self.heard: tuple[str, ...] = ()  # for the eye, what the ear should hear
        self._foresight, self._always = Foresight(), ""
        self.ticker = Ticker(real, self)
        self.pedal = Pedal(real, self.ticker, self)
        self.pedal.use_key(settings.pedal_key)
        theme = theme_of(settings, desk, self.size())
        self.bench = Bench(theme, real, self.ticker, self)
        self.pages = Pages(session, desk, settings, self.bench, theme)
        self.setCentralWidget(self.bench)
        self.setWindowTitle(say("Bench Assist, {folder}", folder=desk.folder))
        self._connect()
        session.subscribe(self._told)
        self.show_now()

    def _connect(self) -> None:
        self.ticker.ticked.connect(self._tick)
        self.pedal.pressed.connect(self._pressed)
        self.pedal.refused.connect(self._foot_refused)
        self.pedal.key_down.connect(self.bench.key_down)
        self.pedal.key_up.connect(self.bench.key_up)
        self.pedal.scanned.connect(self.pages.scanned)
        self.pedal.typing_changed.connect(self.bench.set_typing)
        self.pedal.front_changed.connect(self.bench.set_front)
        self.pedal.learned.connect(self.pages.learned)
        self.pedal.held.connect(self.bench.foot_held)
        self.pedal.let_go.connect(self.bench.foot_let_go)
        self.bench.chosen.connect(self._chosen)
        self.bench.chosen_with.connect(self._chosen_with)
        self.bench.part_picked.connect(self._picked)
        self.bench.called_away.connect(self._called_away)
        self.bench.what_now.connect(partial(self.pages.open, "what-now"))
        self.pages.turned.connect(self._turned)
        self.pages.said.connect(self.say)
        self.pages.chosen.connect(self._chosen)
        self.pages.restyled.connect(self._restyle)

    def show_now(self) -> None:
        """Show the bench as it is now."""
        now, state, text = self._session.now(), self._session.bench, self._always
        if self._message and self._real.now().since(self._message[1]) < MESSAGE_MS:
            text = self._message[0]
        at, mark = Standings(state, now, self.pages.check), self._desk.mark
        far, heard = self._foresight, self.heard
        view = look(
            state, now, text, far.advice, heard, mark=mark, at=at, slack=far.slack
        )
        view = unrecorded(view) if self._session.unwritten else view
        still = self.pages.settings.reduced_motion
        self.bench.show_view(calmed(view) if still else view)
        means = meaning(state, now, at)
        self.pedal.set_state(
            long_press=means.long_answer is not None,
            two_due=at.two_due,
            about=means.about,
        )

    def say(self, sentence: str, *, always: bool = False) -> None:
        """Show one sentence for a while; or ``always``, whenever no other is shown."""
        self._message = (sentence, self._real.now()) if sentence else None
        self._always = self._always or sentence * always
        self.show_now()

    def use(self, session: Session) -> None:
        """Show another session: a rehearsed bench was restarted."""
        self._session = session
        self.pages.use(session)

    def _tick(self, _now: object) -> None:
        self._desk.advance(self._session)
        wide = self.bench.shows_day
        self._foresight.look(self._session.bench, self._session.now(), day=wide)
        self.bench.show_day(self._foresight.day)
        self.show_now()
        self.pages.pass_time()

    def _told(self, outcome: Outcome) -> None:
        happened = {type(entry.event) for entry in outcome.entries}
        if FocusMoved in happened:
            self.pedal.note_change()
        told = filter(None, (came_of(entry.event) for entry in outcome.entries))
        self.say(outcome.sentence or next(told, ""))
        if CouponFinished in happened:
            self.pages.open("how-well")  # what the test has shown

    # --- foot and hand --------------------------------------------------------

    def _pressed(self, press: Press) -> None:
        self.bench.pressed()
        check = self.pages.check
        meant = cm.PressPedal(press.kind == "long", check)
        if self._session.handle(meant, "pedal").entries and check is not None:
            self.pages.refresh()  # the next check

    def _foot_refused(self, refused: Refused) -> None:
        if refused.said and not refused.kept:
            self.say(refused.sentence)
        elif refused.said:
            code = refused.reason.replace(" ", "-")
            self._session.not_counted(Refusal(code, refused.sentence))

    def _chosen(self, command: object) -> None:
        if self.pages.take(command):
            return
        if isinstance(command, LearnPedal):
            self.pages.leave()
            self.pedal.learn()
            self.say(say("Press the pedal now; Esc keeps the old key."))
        elif isinstance(command, cm.Command):
            page = self.pages.name
            self._session.handle(command, "hand")
            if self.pages.name == page:  # what came of it may have opened another
                self.pages.refresh()

    def _chosen_with(self, gap: Gap, typed: str) -> None:
        try:
            self._chosen(gap.filled(typed))
        except NotANumberError as error:
            self.say(str(error))

    def _picked(self, code: str) -> None:
        known = code in self._session.bench.parts  # else an open coupon test
        self._session.handle(cm.ChoosePart(code) if known else cm.BringCoupon(), "hand")

    def _called_away(self) -> None:
        self._session.handle(cm.CallAway(), "hand")

    def _turned(self) -> None:
        self.pedal.note_change()
        self.show_now()

    def _restyle(self) -> None:
        theme = theme_of(self.pages.settings, self._desk, self.size())
        self.bench.set_theme(theme)
        self.pages.set_theme(theme)

    def raise_up(self) -> None:
        """Come forward when somebody started the program a second time."""
        if self.isMinimized():
            self.showNormal()
        self.raise_()
        self.activateWindow()

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        """Let the type grow with the window, within reason."""
        super().resizeEvent(event)
        self._restyle()

    def closeEvent(self, event: QCloseEvent) -> None:  # noqa: N802
        """Stop looking; whoever opened the session closes it."""
        self.ticker.stop()
        super().closeEvent(event)
