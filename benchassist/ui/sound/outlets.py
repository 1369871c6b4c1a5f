"""What this machine plays and speaks with; asked once, in a worker. No Qt here.

Whatever is found was tried: a player counts only if it played a tenth of a second of
silence without complaint, which it does not where there is no audio device.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path

from benchassist.value import value

TRIAL_S = 3.0  # [s] a player that needs longer for a tenth of a second is no player
HERE = "{}"  # where a command takes the file or the words

Words = tuple[str, ...]

PLAYERS: dict[str, tuple[Words, ...]] = {
    "linux": (
        ("paplay", "--latency-msec=50", HERE),
        ("pw-play", HERE),
        ("aplay", "-q", HERE),
    ),
    "darwin": (("afplay", HERE),),
}
_SAPI = (
    "Add-Type -AssemblyName System.Speech; "
    f"(New-Object System.Speech.Synthesis.SpeechSynthesizer).Speak('{HERE}')"
)
VOICES: dict[str, tuple[Words, ...]] = {
    "linux": (
        ("espeak-ng", "-s", "150", HERE),
        ("espeak", "-s", "150", HERE),
        ("spd-say", "--wait", HERE),
    ),
    "darwin": (("say", HERE),),
    "win32": (("powershell", "-NoProfile", "-NonInteractive", "-Command", _SAPI),),
}


@value
class Outlets:
    """What was found; a command is empty, a flag False, where there is nothing.

    ``qt_sound`` and ``qt_voice`` say that the large optional package is installed,
    ``winsound`` that Windows has an audio device.
    """

    player: Words = ()
    voice: Words = ()
    qt_sound: bool = False
    qt_voice: bool = False
    winsound: bool = False


def returns(words: Sequence[str]) -> int:
    """Run a command without a window and return its exit code; -1 if it hangs."""
    try:
        done = subprocess.run(  # noqa: S603 - words of this module, a file of ours
            words,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            timeout=TRIAL_S,
            check=False,
        )
    except (OSError, subprocess.TimeoutExpired):
        return -1
    return done.returncode


def imports(module: str) -> bool:
    """Return whether a module can be imported, system libraries included."""
    try:
        import_module(module)
    except ImportError:
        return False
    return True


def wave_outputs() -> int:
    """Return how many audio outputs Windows knows."""
    if sys.platform == "win32":
        import ctypes  # noqa: PLC0415 - there only

        return int(ctypes.windll.winmm.waveOutGetNumDevs())
    return 0


@dataclass(frozen=True)
class Machine:
    """What is asked of the machine; a test brings its own."""

    platform: str = sys.platform
    which: Callable[[str], str | None] = shutil.which
    returns: Callable[[Sequence[str]], int] = returns
    imports: Callable[[str], bool] = imports
    wave_outputs: Callable[[], int] = wave_outputs


def write_tones(folder: Path) -> None:
    """Write every tone to a file that players can read."""
    # The sums need numpy, which the window does not wait for.
    from benchassist.ui.sound.tones import TONES, wav  # noqa: PLC0415

    for name, notes in TONES.items():
        (folder / f"{name}.wav").write_bytes(wav(notes))


def filled(words: Words, text: str) -> Words:
    """Return a command with its file or its words in place."""
    return tuple(word.replace(HERE, text) for word in words)


def find(folder: Path, machine: Machine) -> Outlets:
    """Return what this machine has, trying players on the tones in ``folder``."""
    write_tones(folder)
    silence = str(folder / "silence.wav")
    # What is no Windows and no macOS has the tools of a free desktop, or none.
    kind = machine.platform if machine.platform in VOICES else "linux"
    return Outlets(
        player=_first(
            words
            for words in PLAYERS.get(kind, ())
            if machine.which(words[0]) and machine.returns(filled(words, silence)) == 0
        ),
        voice=_first(words for words in VOICES[kind] if machine.which(words[0])),
        qt_sound=machine.imports("PySide6.QtMultimedia"),
        qt_voice=machine.imports("PySide6.QtTextToSpeech"),
        winsound=kind == "win32" and machine.wave_outputs() > 0,
    )


def _first(found: Iterator[Words]) -> Words:
    return next(found, ())
