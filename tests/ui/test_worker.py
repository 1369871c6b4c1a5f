"""Jobs: done elsewhere, told here, and nothing is destroyed in the wrong thread."""

import gc
import threading

import pytest
import shiboken6
from PySide6.QtCore import QObject

from benchassist.ui.worker import Job


class Hears(QObject):
    def __init__(self):
        super().__init__()
        self.done, self.failed, self.threads = [], [], set()

    def hear(self, answer):
        self.done.append(answer)
        self.threads.add(threading.get_ident())

    def hear_failed(self, sentence):
        self.failed.append(sentence)


@pytest.fixture
def hears(qapp):
    return Hears()


def test_a_job_is_done_in_another_thread_and_told_in_this_one(qtbot, hears):
    Job(threading.get_ident, hears.hear, hears.hear_failed).start()
    qtbot.waitUntil(lambda: bool(hears.done))

    assert hears.done != [threading.get_ident()]
    assert hears.threads == {threading.get_ident()}


def test_what_goes_wrong_is_told_as_a_sentence(qtbot, hears):
    def work():
        raise ValueError("no such folder")

    Job(work, hears.hear, hears.hear_failed).start()
    qtbot.waitUntil(lambda: bool(hears.failed))

    assert hears.failed == ["no such folder"]
    assert hears.done == []


def test_cycles_are_collected_again_only_when_every_job_is_over(qtbot, hears):
    gate = threading.Event()
    Job(lambda: gate.wait(10), hears.hear, hears.hear_failed).start()
    Job(lambda: "quick", hears.hear, hears.hear_failed).start()
    qtbot.waitUntil(lambda: hears.done == ["quick"])
    assert not gc.isenabled()

    gate.set()
    qtbot.waitUntil(lambda: len(hears.done) == 2)

    assert gc.isenabled()


def test_a_widget_in_a_cycle_is_not_destroyed_by_a_worker(qtbot, hears):
    destroyed = []

    def leave_a_cycle():
        thing = QObject()
        thing.me = thing
        thing.destroyed.connect(lambda: destroyed.append(threading.get_ident()))

    def churn():
        return sum(len([[n] for n in range(100)]) for _ in range(5000))

    gc.collect()
    leave_a_cycle()
    Job(churn, hears.hear, hears.hear_failed).start()
    qtbot.waitUntil(lambda: bool(hears.done), timeout=10_000)
    gc.collect()

    assert set(destroyed) <= {threading.get_ident()}


@pytest.mark.parametrize("work", [lambda: 1, lambda: 1 / 0])
def test_a_job_that_outlives_the_window_says_nothing(qapp, work):
    job = Job(work, lambda _told: None, lambda _told: None)
    shiboken6.delete(job._tell)
    job.run()
