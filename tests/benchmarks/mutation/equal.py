"""Faults that are none: whatever they change, nobody could tell. Each says why.

They are left out of the score. A row is where, what stands there and what it becomes.
"""

from __future__ import annotations

from tests.benchmarks.mutation.mutants import Mutant

PHYSICS = "benchassist/physics"
EQUAL: dict[tuple[str, str, str], str] = {
    (
        f"{PHYSICS}/coat.py",
        'resin.ko2_l_mol_s * factors["ko2"] * cells',
        "(resin.ko2_l_mol_s * factors['ko2'] / cells)",
    ): "cells are ones, and only bring the shape",
    (
        f"{PHYSICS}/coat.py",
        'rates.kp_l_mol_s * factors["kp"] * cells',
        "(rates.kp_l_mol_s * factors['kp'] / cells)",
    ): "cells are ones, and only bring the shape",
    (
        f"{PHYSICS}/coat_transport.py",
        "most - count",
        "(most + count)",
    ): "how often few rows may still be tried; they meet the same tolerance",
    (
        f"{PHYSICS}/drift.py",
        "each >= start_h",
        "(each > start_h)",
    ): "at the start the bound is above the floor, so no root of it lies there",
    (
        f"{PHYSICS}/coat_tack.py",
        "seconds < after[:, None]",
        "(seconds <= after[:, None])",
    ): "what is below zero is not what is not: no time is both",
    (
        f"{PHYSICS}/spots.py",
        "1e-9",
        "(1.5000000000000002e-09)",
    ): "a rounding; between the two lies a border of 2e-9 mm at most, round 8 mm tips",
    (
        f"{PHYSICS}/spots.py",
        "rows * fewest < below",
        "(rows * fewest <= below)",
    ): "looks once more for fewer where there are at least as many",
}


def is_equal(mutant: Mutant) -> bool:
    """Return whether nobody could tell a mutant from what it was."""
    old, new = (" ".join(text.split()) for text in (mutant.old, mutant.new))
    return (mutant.path, old, new) in EQUAL
