"""Faults that meet foot, ear and window. Rows that need Qt are left out without it."""

import os
import subprocess
import sys
from functools import partial
from importlib.util import find_spec

from benchassist.clock import RealClock
from benchassist.domain import events as ev
from benchassist.domain.pedal import meaning
from benchassist.domain.pedal_guard import SENTENCES
from benchassist.journal.writing import Journal
from benchassist.rehearsal import load_script
from benchassist.rehearsal.player import Player
from benchassist.rehearsal.script import Script
from tests.faults.row import SCRIPT, Found, cut_before, injected

STUCK_MS, FIRST_MS, EVERY_MS = 60_000, 660, 41  # [ms] repeats as an X server makes them
BY_FOOT = (
    ev.StageStarted,
    ev.StageEnded,
    ev.BrushWetted,
    ev.WalkStarted,
    ev.RunStarted,
)
PATIENCE_MS = 30_000  # [ms] on a busy machine


def stood_at(chance, folder):
    """Return a player that stands somewhere in the script."""
    script = load_script(SCRIPT)
    lines = cut_before(script, chance.randrange(4, len(script.lines) - 1))
    cut = Script(script.name, script.start, lines, script.beside)
    player = Player(cut, lambda: Journal.open(folder / "store"))
    for _ in player.moments():
        pass
    return player


def stuck(chance, folder):
    """Keep the pedal down for a minute, with the repeats of a key that is held."""
    player = stood_at(chance, folder)
    before = player.session.journal.head.seq
    edges = [0]
    for at in range(FIRST_MS, STUCK_MS, EVERY_MS):
        edges += [at, at + 1]
    presses = player.foot.presses
    for _ in player.foot.press([*edges, STUCK_MS], player._pass):
        pass
    by_foot = [
        entry
        for entry in player.session.journal.entries(after=before)
        if entry.channel == "pedal" and isinstance(entry.event, BY_FOOT)
    ]
    acts = len({entry.act for entry in by_foot})
    line = meaning(player.session.bench, player.session.now()).line
    counted = player.foot.presses - presses
    player.close()
    held = player.foot.refused["held"] or player.foot.refused["bounce"]
    return Found(
        "said on the screen",
        SENTENCES["held"] if held else line,
        credited=max(0, counted - 1) + max(0, acts - 1),
    )


def dead_display(chance, made):
    """Start the program where no screen answers."""
    del chance
    env = {k: v for k, v in os.environ.items() if k != "QT_QPA_PLATFORM"}
    env |= {"DISPLAY": ":987654", "XDG_CONFIG_HOME": str(made)}
    done = subprocess.run(
        [sys.executable, "-m", "benchassist", "--data", str(made / "store")],
        check=False, capture_output=True, text=True, env=env,
    )  # fmt: skip
    bad = "Traceback" in done.stderr or done.returncode != 2
    return Found("said at once", "" if bad else done.stderr.strip())


# --- with Qt ------------------------------------------------------------------------------


def shown(player):
    """Return a window on a player's session, and the application."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    from benchassist.app import application  # noqa: PLC0415 - Qt, where there is some
    from benchassist.ui.desk import Desk  # noqa: PLC0415
    from benchassist.ui.jobs import Exporter  # noqa: PLC0415
    from benchassist.ui.settings import Settings  # noqa: PLC0415
    from benchassist.ui.window import Window  # noqa: PLC0415

    app = application()
    folder = player.session.journal.folder
    desk = Desk(folder, folder / "none.json", Exporter(folder).job, str)
    window = Window(player.session, RealClock(), Settings(mm_per_pixel=0.277), desk)
    window.resize(1366, 768)
    window.show()
    app.processEvents()
    return app, window


def until(app, holds):
    """Let the window live until something holds; return whether it came to that."""
    real = RealClock()
    started = real.now()
    while not holds() and real.now().since(started) < PATIENCE_MS:
        app.processEvents()
    return holds()


def without_sound(chance, folder, words=()):
    """Look for sound where there is none, or where its player goes away."""
    from benchassist.ui.sound.outlets import Machine  # noqa: PLC0415
    from benchassist.ui.sound.players import MOST_FAILURES, CommandPlayer  # noqa: PLC0415
    from benchassist.ui.sound.sounding import OFF, Sounding  # noqa: PLC0415
    from benchassist.ui.sound.speaker import Speaker  # noqa: PLC0415

    path, os.environ["PATH"] = os.environ["PATH"], str(folder)  # nothing is found
    player = stood_at(chance, folder)
    app, window = shown(player)
    try:
        speaker = Speaker(Machine(), window)
        Sounding(window, player.session, speaker)
        if words:
            speaker._player, speaker._known = CommandPlayer(words, folder, window), True
            for _ in range(MOST_FAILURES):
                speaker.play("due")
        else:
            speaker.look(RealClock().now())
        window.ticker.start()
        until(app, lambda: speaker.on is False and OFF in window.heard)
        said = " ".join(window.heard)
        window.ticker.stop()
        speaker.close()
    finally:
        os.environ["PATH"] = path
        window.close()
        player.close()
    return Found("said on the screen", said)


def in_a_slot(chance, folder):
    """Let a slot raise, several times and in two places; the record has each once."""
    from PySide6.QtCore import QObject, Signal  # noqa: PLC0415

    from benchassist.ui.faults import Faults  # noqa: PLC0415

    class Bell(QObject):
        rung = Signal()

    player = stood_at(chance, folder)
    app, window = shown(player)
    faults = Faults(player.session, window)
    faults.install()
    told, stderr = [], sys.stderr
    player.session.subscribe(lambda outcome: told.extend(outcome.entries))

    def raises():
        raise ValueError(f"what somebody typed {len(told)}")  # noqa: EM102

    bell = Bell()
    bell.rung.connect(raises)
    with open(os.devnull, "w") as sys.stderr:  # noqa: PTH123 - what a developer reads
        for _ in range(5):
            bell.rung.emit()
        until(app, lambda: told)
        app.processEvents()
    sys.stderr = stderr
    faults.remove()
    said = window._message[0] if window._message else ""
    window.close()
    player.close()
    noted = [
        entry.event for entry in told if isinstance(entry.event, ev.ProgramFaulted)
    ]
    typed = any("typed" in repr(event) for event in noted)
    return Found("said on the screen", said, lost=abs(len(noted) - 1) + typed)


GONE = (sys.executable, "-c", "raise SystemExit(1)", "{}")
ONCE = {
    "the pedal stuck for a minute": stuck,
    "no screen that answers": dead_display,
}
WITH_QT = {
    "no audio device": without_sound,
    "the audio device gone": partial(without_sound, words=GONE),
    "an exception in a slot, five times": in_a_slot,
}
if find_spec("PySide6"):
    ONCE |= WITH_QT
ROWS = {name: partial(injected, name, once) for name, once in ONCE.items()}
