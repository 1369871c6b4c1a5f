"""Every source of the core has tests that answer for each of its lines."""

from tests.coverage_pairs import PAIRS, ROOT, unpaired


def test_no_source_of_the_core_is_without_a_pair():
    """Where one is missing, ``--propose`` of the module says which tests reach all."""
    assert unpaired() == []


def test_every_pair_names_what_is_there():
    named = [place for places in PAIRS for place in places.split()]
    named += [f"benchassist/{name}" for names in PAIRS.values() for name in names]

    assert [each for each in named if not (ROOT / each).exists()] == []
