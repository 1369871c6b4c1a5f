"""What holds for every test: no unexpected log, nothing left running.

Qt is optional here. Without it the tests below ``ui`` are not collected, and all
others must pass.
"""

import importlib.util
import logging
import os
import shutil
import threading
import weakref
from pathlib import Path

import pytest
from hypothesis import settings

import benchassist.ui.present.rehearsed  # noqa: F401 - a topic

QT_IS_INSTALLED = importlib.util.find_spec("PySide6") is not None
IN_CHECKOUT = Path(__file__).parents[1].joinpath("benchassist").is_dir()
GRACE_S = 5.0  # [s] for a worker that is about to return; a choice, no source

# A busy machine, or a tracer, makes an example slow and no rule false.
if settings.get_current_profile_name() == "default":
    # Where it is asked which lines are run, the same ones must be run each time.
    same = "BENCHASSIST_SAME_EXAMPLES" in os.environ
    settings.register_profile("bench", deadline=None, derandomize=same)
    settings.load_profile("bench")

# Set before Qt is loaded; a run on a real or virtual screen sets its own.
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

collect_ignore = []
if not QT_IS_INSTALLED:
    collect_ignore.append("ui")
    collect_ignore.extend(
        f"benchmarks/test_{name}.py"
        for name in ("jitter", "many_parts", "press", "repaint", "startup")
    )
if not all(shutil.which(name) for name in ("Xvfb", "openbox", "xdotool")):
    collect_ignore.append("ui/test_live.py")  # a real screen needs a virtual one
# Reference libraries that are not installed at the lowest versions promised.
for library, test in (
    ("guv_calcs", "photobiology"),
    ("polykin", "kinetics"),
    ("colour", "optics"),
):
    if importlib.util.find_spec(library) is None:
        collect_ignore.append(f"reference/test_{test}_library.py")
if not IN_CHECKOUT:
    collect_ignore += [
        "test_packaging.py", "test_pairs.py", "benchmarks/test_mutation.py",
    ]  # fmt: skip


def pytest_addoption(parser):
    """Accept the settings of pytest-qt where it is not installed."""
    if importlib.util.find_spec("pytestqt") is None:
        for name in ("qt_api", "qt_log_level_fail"):
            parser.addini(name, "a setting of pytest-qt, unused without it")


@pytest.fixture(autouse=True, scope="session")
def _private_folders(tmp_path_factory):
    """Keep the program away from the data and settings of whoever runs the tests."""
    home = tmp_path_factory.mktemp("home")
    with pytest.MonkeyPatch.context() as patch:
        for kind in ("CACHE", "CONFIG", "DATA", "STATE"):
            patch.setenv(f"XDG_{kind}_HOME", str(home / kind.lower()))
        yield


@pytest.fixture(autouse=True)
def _no_unexpected_log(caplog):
    """Fail on a warning or worse; a test that expects one ends in caplog.clear()."""
    yield
    unexpected = [
        f"{record.name}: {record.getMessage()}"
        for phase in ("setup", "call")
        for record in caplog.get_records(phase)
        if record.levelno >= logging.WARNING
    ]
    assert not unexpected, f"unexpected log records: {unexpected}"


@pytest.fixture(autouse=True)
def _no_thread_left_behind():
    before = set(threading.enumerate())
    yield
    for thread in set(threading.enumerate()) - before:
        # Threads that Qt made have no end that Python could wait for.
        if not isinstance(thread, threading._DummyThread):
            thread.join(GRACE_S)
            assert not thread.is_alive(), f"{thread.name} still runs"


if QT_IS_INSTALLED:
    import shiboken6
    from PySide6.QtCore import QThread, QTimer  # noqa: TID251 - watched, not used

    @pytest.fixture(autouse=True)
    def _no_timer_or_qthread_left_behind(monkeypatch):
        started = weakref.WeakSet()

        def watched(start):
            def start_and_note(self, *args, **kwargs):
                started.add(self)
                return start(self, *args, **kwargs)

            return start_and_note

        for kind in (QTimer, QThread):
            monkeypatch.setattr(kind, "start", watched(kind.start))
        yield
        valid = [thing for thing in started if shiboken6.isValid(thing)]
        active = [
            thing
            for thing in valid
            if (isinstance(thing, QTimer) and thing.isActive())
            or (isinstance(thing, QThread) and not thing.wait(int(GRACE_S * 1000)))
        ]
        for timer in active:
            if isinstance(timer, QTimer):
                timer.stop()
        assert not active, f"still active: {active}"
