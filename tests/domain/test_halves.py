from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchassist.domain.halves import MOST_UNITS, Halves, remainder, split


def test_odd_steps_put_the_smaller_half_first():
    assert split(4500, step=500, max_run=2500) == Halves((2000,), (2500,), 0)


def test_programs_are_summed_with_the_fewest_presses():
    halves = split(5000, step=100, programs=(1000, 2000, 3000))

    assert halves == Halves((2000,), (3000,), 0)
    assert halves.presses == 2


def test_excess_over_the_total_is_said():
    assert split(4300, step=500) == Halves((2000,), (2500,), 200)


def test_an_even_total_is_halved_exactly():
    assert split(4400, step=100, max_run=3000) == Halves((2200,), (2200,), 0)


def test_one_flash_more_goes_to_the_submerged_half():
    assert split(4401, step=1) == Halves((2200,), (2201,), 0)


def test_a_half_longer_than_one_run_is_given_in_several():
    assert split(7000, step=100, max_run=2500) == Halves((2500, 1000), (2500, 1000), 0)


def test_less_excess_beats_more_equal_halves():
    # 3000 + 0 has no excess; 3000 + 3000 would be equal but doubles the dose.
    assert split(3000, step=1, programs=(3000,)) == Halves((), (3000,), 0)


def test_equal_halves_beat_fewer_presses():
    # 1000 + 3000 takes two presses, but 2000 + 2000 is more equal with four.
    assert split(4000, step=1, programs=(1000, 3000)) == Halves(
        (1000, 1000), (1000, 1000), 0
    )


def test_programs_beyond_the_longest_run_are_not_used():
    assert split(6000, step=1, max_run=2000, programs=(1500, 3000)) == Halves(
        (1500, 1500), (1500, 1500), 0
    )


def test_remainder_is_rounded_up_to_the_step():
    # 2200 planned, at least 1360 confirmed after a power cut: 840 owed.
    assert remainder(2200, 1360, step=100, max_run=3000) == (900,)


def test_remainder_of_a_wrong_program():
    assert remainder(2200, 1000, step=100, max_run=3000) == (1200,)


@pytest.mark.parametrize("confirmed", [2200, 3000])
def test_nothing_is_owed_once_the_half_is_covered(confirmed):
    assert remainder(2200, confirmed, step=100, max_run=3000) == ()


def test_remainder_by_programs_has_the_least_excess():
    assert remainder(2200, 100, step=1, programs=(700, 1000)) == (700, 700, 700)


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        ({"total": 0}, "total"),
        ({"total": 10, "step": 0}, "step"),
        ({"total": 10, "max_run": 0}, "longest run"),
        ({"total": 10, "step": 5, "max_run": 4}, "does not fit"),
        ({"total": 10, "max_run": 4, "programs": (5,)}, "No program fits"),
        ({"total": 10, "programs": (0, 5)}, "program"),
        ({"total": MOST_UNITS, "programs": (2, 3)}, "too fine"),
    ],
)
def test_what_a_box_cannot_do_is_said(arguments, sentence):
    with pytest.raises(ValueError, match=sentence):
        split(**arguments)


def test_a_confirmed_count_is_never_negative():
    with pytest.raises(ValueError, match="negative"):
        remainder(100, -1)


def enumerated(total, sums):
    """Rank every pair of reachable halves, the slow and obvious way."""
    return min(
        (a + b - total, b - a, sums[a] + sums[b], a)
        for a, b in product(sums, repeat=2)
        if a <= b and a + b >= total
    )


@given(
    total=st.integers(1, 60),
    programs=st.lists(st.integers(1, 25), min_size=1, max_size=4),
    max_run=st.none() | st.integers(1, 25),
)
def test_programs_agree_with_enumeration(total, programs, max_run):
    usable = [p for p in programs if max_run is None or p <= max_run]
    if not usable:
        with pytest.raises(ValueError, match="No program fits"):
            split(total, max_run=max_run, programs=tuple(programs))
        return
    sums = {0: 0}
    for count in range(1, total + 26):
        before = [sums[count - p] for p in usable if count - p in sums]
        if before:
            sums[count] = min(before) + 1

    halves = split(total, max_run=max_run, programs=tuple(programs))

    first, second = sum(halves.first), sum(halves.second)
    ranked = (halves.excess, second - first, halves.presses, first)
    assert ranked == enumerated(total, sums)
    assert set(halves.first + halves.second) <= set(usable)


@given(
    total=st.integers(1, 400),
    step=st.integers(1, 30),
    extra=st.none() | st.integers(0, 100),
)
def test_steps_agree_with_enumeration(total, step, extra):
    max_run = None if extra is None else step + extra
    longest = 10**6 if max_run is None else max_run // step * step
    sums = {count: -(-count // longest) for count in range(0, total + step, step)}

    halves = split(total, step=step, max_run=max_run)

    first, second = sum(halves.first), sum(halves.second)
    ranked = (halves.excess, second - first, halves.presses, first)
    assert ranked == enumerated(total, sums)
    assert all(run % step == 0 for run in halves.first + halves.second)
    assert all(0 < run <= longest for run in halves.first + halves.second)


@given(
    plan=st.integers(0, 5000),
    confirmed=st.integers(0, 6000),
    step=st.integers(1, 500),
)
def test_remainder_covers_what_is_owed_by_less_than_a_step(plan, confirmed, step):
    given_again = sum(remainder(plan, confirmed, step=step))

    assert 0 <= given_again - max(0, plan - confirmed) < step
