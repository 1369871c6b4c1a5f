"""A hundred thousand mutated inputs: scans, libraries, spectra, meshes, photos.

Run with ``-m benchmark -s``; it prints how many of each were refused in a sentence and
how many were taken whole. The seed is printed too: another one is another hundred
thousand.
"""

import os
from time import perf_counter

import pytest

from tests.mutated import READERS, trials

pytestmark = pytest.mark.benchmark

MANY = {
    "scan": 70_000,
    "library": 8_000,
    "spectrum": 10_000,
    "mesh": 6_000,
    "photo": 6_000,
}
SEED = int(os.environ.get("MUTATED_SEED", "7"))


@pytest.mark.parametrize("kind", READERS)
def test_a_mutated_input_is_refused_in_a_sentence_or_taken_whole(kind):
    began = perf_counter()
    refused, taken = trials(kind, MANY[kind], SEED)
    took = perf_counter() - began

    print(f"\n{kind}, seed {SEED}: {refused} refused, {taken} taken, {took:.0f} s")
    assert refused + taken == MANY[kind]


def test_it_is_a_hundred_thousand():
    assert sum(MANY.values()) >= 100_000
