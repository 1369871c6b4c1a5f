"""Why a scan is not taken: one plain sentence with what was read."""

from __future__ import annotations

from benchassist.scan.label import Label

SHOWN = 60  # characters of a scan that a sentence repeats


class ScanError(ValueError):
    """A scan that is not taken; its text is the sentence for the screen."""


class AmbiguousScanError(ScanError):
    """A scan that can be read in more ways than one; ``readings`` are they."""

    def __init__(self, sentence: str, readings: tuple[Label, ...]) -> None:
        super().__init__(sentence)
        self.readings = readings


def shown(text: str) -> str:
    """Return what was read as a sentence may repeat it: short, and all visible."""
    plain = "".join(c if c.isprintable() else "·" for c in text)
    return plain if len(plain) <= SHOWN else f"{plain[:SHOWN]}…"
