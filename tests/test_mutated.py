"""A bounded number of mutated inputs; the benchmark of that name reads 100,000."""

import pytest

from tests.mutated import READERS, trials

MANY = {"scan": 1500, "library": 150, "spectrum": 300, "mesh": 150, "photo": 150}


@pytest.mark.parametrize("kind", READERS)
def test_a_mutated_input_is_refused_in_a_sentence_or_taken_whole(kind):
    refused, taken = trials(kind, MANY[kind], seed=11)

    assert refused > 0
    assert refused + taken == MANY[kind]
