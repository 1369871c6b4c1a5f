"""The day closes: it adds up, nothing is left that must not wait, and who signs."""

import pytest

from benchassist.domain import commands as cm
from benchassist.domain.closing import account, closing_left, sign
from benchassist.domain.events import DaySigned
from benchassist.domain.outcome import Refusal
from benchassist.domain.state import Signed
from benchassist.rehearsal import Player, load_script
from benchassist.rehearsal.memory import MemoryJournal
from tests.domain.builders import code_of, desk_at

HASH = "ab" * 32


def here(where):
    """Return a bench with a part at a stage, and an operator who is there."""
    desk = desk_at(where)
    desk.must(cm.ClaimStation("OP-1"))
    return desk


def signed(desk, code="OP-1", head=0, head_hash=HASH):
    command = cm.SignDay(desk.bench.operator if code == "OP-1" else code)
    head = head or desk.bench.seq
    return sign(desk.bench, command, head, head_hash, desk.now)


def told(desk, *, good=True):
    """Answer every closing check, as a hand would."""
    for each in closing_left(desk.bench, desk.now):
        note = "covered" if good else "not so"
        desk.must(cm.DoRoutine(each.routine.code, good, each.thing, note))


@pytest.mark.parametrize("where", ["fit", "checks", "coat-1"])
def test_what_came_in_is_what_there_is(where):
    desk = here(where)
    found = account(desk.bench, desk.now)

    assert found.adds_up
    assert found.taken == 1
    assert found.carried == 1
    assert len(found.stood) == 1


def test_a_part_that_stays_has_to_be_told_where():
    desk = here("fit")
    refusal = signed(desk)

    assert refusal.code == "untold"
    (code,) = (part.code for part in desk.bench.in_flight)
    assert code in refusal.message
    desk.must(cm.DoRoutine("overnight", good=True, thing=code, note="covered, dark"))
    assert signed(desk).code == "checks-left"
    told(desk)
    (event,) = signed(desk)
    assert isinstance(event, DaySigned)
    assert dict(event.stood)[code].endswith(": covered, dark")
    assert event.unseen == ()


def test_a_check_that_was_not_good_stands_in_what_is_signed():
    desk = here("fit")
    told(desk, good=False)
    (event,) = signed(desk)

    assert event.unseen
    assert all(each.endswith(": not good") for each in event.unseen)


def test_the_signature_names_the_last_entry_and_its_hash():
    desk = here("fit")
    told(desk)
    (event,) = signed(desk, head=41)

    assert (event.head, event.hash) == (41, HASH)
    assert event.day == desk.now.day()
    desk.happened(event)
    assert desk.bench.signed == Signed(event.day, "OP-1", desk.now, 41, HASH)
    again = signed(desk, head=42)  # the signature itself is an entry
    assert (again.code, again.message) == (
        "signed",
        "OP-1 signed this day; nothing came since.",
    )
    assert isinstance(signed(desk, head=43), tuple)
    # A record in memory has no hash yet: none is made up.
    assert signed(desk, head_hash="00" * 32)[0].hash == ""


def test_nobody_signs_for_another_one():
    desk = here("fit")
    told(desk)
    refusal = signed(desk, "OP-9")

    assert isinstance(refusal, Refusal)
    assert refusal.code == "not-signed"


def test_what_must_not_wait_is_not_left():
    book = MemoryJournal()
    player = Player(load_script("day"), lambda: book)
    seen = set()
    for _ in player.moments():
        bench, now = player.session.bench, player.session.now()
        for code in account(bench, now).hurry:
            seen.add(bench.parts[code].phase.kind)
            answer = sign(bench, cm.SignDay(bench.operator), bench.seq, HASH, now)
            assert answer.code in {"hurry", "unconfirmed"}
        found = account(bench, now)
        assert found.adds_up
    assert {"soaking", "in run", "brushing", "walking"} <= seen


def test_without_the_record_nobody_signs_or_recalls():
    desk = here("fit")

    assert code_of(desk.do(cm.SignDay("OP-1"))) == "no-record"
    assert code_of(desk.do(cm.OpenRecall("lot", "EX-L", "a letter"))) == "no-record"
