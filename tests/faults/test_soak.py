"""Two days at the bench, by seed, with everything that happens to one."""

import pytest

from benchassist.journal.writing import Journal
from benchassist.rehearsal import parse_script
from benchassist.rehearsal.player import Player
from tests.faults import soak
from tests.faults.soak_hands import SoakError

pytestmark = pytest.mark.faults
SEED = 7


@pytest.fixture(scope="module")
def two_days():
    return soak.soak(2, SEED, parts_a_day=4)


def test_two_days_of_random_hands_and_faults_leave_a_whole_record(two_days):
    first, last = two_days.rows

    assert last.entries > first.entries > 300
    assert last.released > 0
    assert last.taken == last.released + last.scrapped + last.in_flight
    for much in (last.refused, last.faults, last.mishaps, last.corrections):
        assert much > 0
    for what in ("coupon finished", "recall", "signed"):
        assert two_days.happened[what] > 0, what
    assert "Traceback" not in soak.printed(two_days)


def test_what_the_hands_did_is_a_rehearsal_that_goes_the_same_way(two_days, tmp_path):
    text = "\n".join(two_days.text)
    script = parse_script(text, name="soak.txt", beside=two_days._beside)
    player = Player(script, lambda: Journal.open(tmp_path / "again"))
    for _ in player.moments():
        pass
    entries = player.session.journal.head.seq
    player.close()

    assert abs(entries - two_days.rows[-1].entries) <= 1  # a state kept, or not yet


def test_the_soak_can_fail(tmp_path):
    """A bench that forgets a part, or credits what nobody saw, is told of."""
    found = soak.Soak(tmp_path / "store", SEED, 1, 4)
    found.unseen.append((0, 10**12))  # nobody ever watched

    with pytest.raises(SoakError, match="credited unseen"):
        found.run()
