"""The tones as a player reads them: lengths, levels, and where their energy lies."""

import io
import wave

import numpy as np
import pytest

from benchassist.ui.present.heard import APART_MS, EVERY_MS
from benchassist.ui.sound.tones import EDGE_S, TONES, wav

HEARD = [name for name in TONES if name != "silence"]
# ISO 7731:2003 asks that a warning carries its energy from 500 to 2500 Hz (from
# memory: no text of it was at hand).
BAND_HZ = (500, 2500)


def read(name):
    """Return rate and samples, -1 to 1, as the standard library reads the file."""
    with wave.open(io.BytesIO(wav(TONES[name]))) as file:
        assert (file.getnchannels(), file.getsampwidth()) == (1, 2)
        frames = file.readframes(file.getnframes())
        return file.getframerate(), np.frombuffer(frames, "<i2") / 32768


def spectrum(name):
    rate, samples = read(name)
    power = np.abs(np.fft.rfft(samples)) ** 2
    return np.fft.rfftfreq(len(samples), 1 / rate), power


@pytest.mark.parametrize("name", HEARD)
def test_most_of_the_energy_lies_where_a_warning_is_heard(name):
    hz, power = spectrum(name)
    inside = (hz >= BAND_HZ[0]) & (hz <= BAND_HZ[1])

    assert power[inside].sum() > 0.8 * power.sum()


@pytest.mark.parametrize("name", HEARD)
def test_a_tone_neither_clips_nor_clicks(name):
    rate, samples = read(name)
    edge = samples[: int(rate * EDGE_S / 8)]

    assert 0.05 < np.abs(samples).max() < 0.6
    assert np.abs(edge).max() < 0.2 * np.abs(samples).max()
    assert abs(samples[-1]) < 0.05


def test_no_sound_runs_into_the_next():
    for name in EVERY_MS:
        rate, samples = read(name)

        assert len(samples) / rate <= APART_MS / 1000
    rate, samples = read("stop")
    assert len(samples) / rate == pytest.approx(EVERY_MS["stop"] / 1000, abs=0.001)


def test_the_three_sounds_differ_in_more_than_loudness():
    pitches = {}
    for name in EVERY_MS:
        hz, power = spectrum(name)
        strongest = hz[np.argsort(power)[-1]]
        pitches[name] = (round(float(strongest)), len(TONES[name]))

    assert len(set(pitches.values())) == len(EVERY_MS)


def test_a_late_sound_has_two_tones():
    assert len({note.hz for note in TONES["late"] if note.hz}) == 2


def test_silence_is_silent():
    assert not read("silence")[1].any()
