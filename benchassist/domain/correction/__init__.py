"""Put right what a hand told wrong, and everything that follows from it.

A correction is worked out from the entries of the parts it concerns: what was told,
what hands said of it since, and where the program took each field from. Nothing is
deleted and nothing signed is changed. Pure; who calls brings the entries.
"""

from benchassist.domain.correction.decide import Decided, correct, corrected
from benchassist.domain.correction.effects import Effect, effects
from benchassist.domain.correction.gathered import (
    Gathered,
    gather,
    line_beside,
)
from benchassist.domain.correction.told import TOLD, Told, tellings

__all__ = [
    "TOLD",
    "Decided",
    "Effect",
    "Gathered",
    "Told",
    "correct",
    "corrected",
    "effects",
    "gather",
    "line_beside",
    "tellings",
]
