"""The program's own tones, computed at every start.

Computed, not shipped: three seconds of sine waves take a few milliseconds in a
worker, players want a file on disk in any case, and so nothing has to be licensed,
packed or kept equal to its recipe.

Warning sounds carry their energy from 500 to 2500 Hz, where workshop noise is weaker
and age takes less from the ear (ISO 7731:2003, from memory). They are no alarms of
medical equipment. Pitches and lengths are our own choice.
"""

from __future__ import annotations

import io
import wave
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

RATE_HZ = 22_050
PEAK = 32_767
PARTIALS = (1.0, 0.5, 0.35, 0.2)  # of the note and its first three overtones
EDGE_S = 0.008  # [s] rising and falling, so that nothing clicks


class Note(NamedTuple):
    """A note, or a rest where ``hz`` is 0; ``level`` is 0 to 1 of full scale."""

    hz: float
    seconds: float
    level: float


REST = Note(0.0, 0.1, 0.0)
TONES: dict[str, tuple[Note, ...]] = {
    # Soft, one falling pair; two tones, high and low, twice; one that does not end.
    "due": (Note(660.0, 0.22, 0.22), Note(523.0, 0.38, 0.18)),
    "late": (Note(988.0, 0.18, 0.4), Note(659.0, 0.22, 0.4), REST) * 2,
    "stop": (Note(740.0, 0.25, 0.5), Note(784.0, 0.25, 0.5)) * 2,
    # The beat of a walk, and the way to the next spot.
    "tick": (Note(660.0, 0.03, 0.2),),
    "last-tick": (Note(1175.0, 0.03, 0.25),),
    "next": (Note(880.0, 0.05, 0.25), Note(1175.0, 0.09, 0.25)),
    # Tells whether a player finds a device.
    "silence": (Note(0.0, 0.1, 0.0),),
}


def wav(notes: tuple[Note, ...]) -> bytes:
    """Return notes in a row as a WAV file: mono, 16 bit, 22.05 kHz."""
    samples = np.concatenate([_samples(note) for note in notes])
    made = io.BytesIO()
    with wave.open(made, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(RATE_HZ)
        file.writeframes(np.rint(PEAK * samples).astype("<i2").tobytes())
    return made.getvalue()


def _samples(note: Note) -> NDArray[np.float64]:
    """Return a note's samples, -1 to 1; it dies away like something struck."""
    count = round(note.seconds * RATE_HZ)
    at = np.arange(count)
    sound = np.zeros(count)
    for number, share in enumerate(PARTIALS, start=1):
        sound += share * np.sin(2 * np.pi * number * note.hz / RATE_HZ * at)
    edge = np.minimum(at + 1, count - at) / (EDGE_S * RATE_HZ)
    shape = np.minimum(1.0, edge) * (1.0 - 0.5 * at / count)
    made: NDArray[np.float64] = note.level / sum(PARTIALS) * shape * sound
    return made
