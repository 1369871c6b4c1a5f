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
        f"{PHYSICS}/coat_resin.py",
        "0.4",
        "(0.6000000000000001)",
    ): "an estimate of a step's own cost, which no result depends on",
    (
        f"{PHYSICS}/coat_march.py",
        "CELL_STEP_US * walk.state.activity.size",
        "(CELL_STEP_US / walk.state.activity.size)",
    ): "an estimate of a step's own cost, which no result depends on",
}


def is_equal(mutant: Mutant) -> bool:
    """Return whether nobody could tell a mutant from what it was."""
    old, new = (" ".join(text.split()) for text in (mutant.old, mutant.new))
    return (mutant.path, old, new) in EQUAL
