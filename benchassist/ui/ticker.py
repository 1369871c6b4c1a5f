"""The timers of the program: ten looks a second, at which nothing is counted."""

from __future__ import annotations

from PySide6.QtCore import QObject, Qt, QTimer, Signal

from benchassist.clock import Clock, Instant

LOOK_MS = 100  # [ms] Miller 1968: what takes 0.1 s feels instant
LATE_MS = 250  # [ms] between two looks; beyond it the program was busy


class Ticker(QObject):
    """Looks at the clock ten times a second and tells everybody the time.

    Signals: ``ticked(Instant)``. Give it the clock of real hands: an accelerated
    bench has a clock of its own, which the listener reads.
    """

    ticked = Signal(object)

    def __init__(self, clock: Clock, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._clock = clock
        self._last: Instant | None = None
        self._sure_ms = 0
        self._late = False
        self._timer = QTimer(self)
        self._timer.setTimerType(Qt.TimerType.PreciseTimer)
        self._timer.setInterval(LOOK_MS)
        self._timer.timeout.connect(self.look)

    @property
    def late(self) -> bool:
        """Whether the present look came after a stall, with events still unread."""
        return self._late

    def start(self) -> None:
        """Begin to look."""
        self._timer.start()

    def stop(self) -> None:
        """Look no more."""
        self._timer.stop()

    def look(self) -> None:
        """Tell the time now."""
        now = self._clock.now()
        self._late = self._gap_ms(now.mono_ms) > LATE_MS
        self._last = now
        if not self._late:
            self._sure_ms = now.mono_ms
        self.ticked.emit(now)

    def earliest_ms(self, arrival_ms: int) -> int:
        """Return the earliest moment at which what arrives now can have been made.

        While the program keeps up that is now; after a stall, its last look in time.
        """
        if self._last is None:
            return arrival_ms
        if self._late or self._gap_ms(arrival_ms) > LATE_MS:
            return self._sure_ms
        return arrival_ms

    def _gap_ms(self, now_ms: int) -> int:
        return 0 if self._last is None else now_ms - self._last.mono_ms


class Gap(QObject):
    """A wait of some milliseconds, over only when nothing lies unread any more.

    Signals: ``over()``.
    """

    over = Signal()

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._timer = QTimer(self)
        self._timer.setTimerType(Qt.TimerType.PreciseTimer)
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self._ended)

    def start(self, ms: int) -> None:
        """Begin to wait, anew where it was waiting."""
        self._timer.start(ms)

    def stop(self) -> None:
        """Wait no more; nothing is told."""
        self._timer.stop()

    def _ended(self) -> None:
        # A timer of nothing comes after all that has arrived meanwhile.
        if self._timer.interval():
            self._timer.start(0)
        else:
            self.over.emit()
