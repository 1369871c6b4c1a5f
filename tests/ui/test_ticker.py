"""One timer, ten looks a second, and it knows when it came late."""

from PySide6.QtCore import Qt, QTimer  # noqa: TID251 - looked at, not used

from benchassist.clock import RealClock
from benchassist.ui.ticker import LATE_MS, LOOK_MS, Ticker


def test_it_is_a_precise_timer_of_ten_looks_a_second(ticker):
    timer = ticker.findChild(QTimer)

    assert timer.timerType() == Qt.TimerType.PreciseTimer
    assert timer.interval() == LOOK_MS


def test_a_look_tells_the_time_of_the_clock(ticker, clock):
    told = []
    ticker.ticked.connect(told.append)

    clock.advance(1234)
    ticker.look()

    assert told == [clock.now()]


def test_a_look_after_a_stall_says_that_it_is_late(ticker, clock):
    late = []
    for wait in (100, LATE_MS, LATE_MS + 1, 100):
        clock.advance(wait)
        ticker.look()
        late.append(ticker.late)

    assert late == [False, False, True, False]


def test_what_comes_out_of_a_stall_may_be_as_old_as_the_last_look(ticker, clock):
    ticker.look()
    start = clock.now().mono_ms
    clock.advance(90)
    quick = ticker.earliest_ms(clock.now().mono_ms)
    clock.advance(2000)
    slow = ticker.earliest_ms(clock.now().mono_ms)
    ticker.look()
    after = ticker.earliest_ms(clock.now().mono_ms)

    assert quick == start + 90
    assert slow == after == start


def test_it_ticks_while_it_is_started_and_not_afterwards(qtbot, qapp):
    ticker = Ticker(RealClock())
    with qtbot.waitSignals([ticker.ticked, ticker.ticked], timeout=2000):
        ticker.start()
    ticker.stop()

    assert not ticker.findChild(QTimer).isActive()
