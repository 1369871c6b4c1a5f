"""A recall: who waits to be judged, what is put away, and what is refused."""

import pytest

from benchassist.domain import commands as cm
from benchassist.domain.events import DeviationOpened, LotClosed, RecallOpened
from benchassist.domain.outcome import Refusal
from benchassist.domain.recall import Answer, Found, Sought, drilled, recall, to_judge
from tests.domain.builders import Desk

LOT = next(iter(Desk().bench.lots))


def found(part, state="released", sure="seen", how=("coat 1",)):
    closed = "" if state == "in work" else "2026-03-02"
    return Found(part, state, closed, how, sure)


def answer(*known, unknown=(), kind="lot", code=LOT, lots=(LOT,)):
    return Answer(Sought(kind, code), known, tuple(unknown), lots)


def asked(reason="a letter", kind="lot", code=LOT):
    return cm.OpenRecall(kind, code, reason)


def of(decision, kind):
    return [event for event in decision if isinstance(event, kind)]


def written(desk, decision):
    for event in decision:
        desk.happened(event)
    return desk


def test_each_part_waits_by_a_deviation_of_its_own_those_not_known_too():
    mine = answer(found("EX-1"), found("EX-2", "in work"), unknown=[found("EX-3")])
    decision = recall(Desk().bench, asked(), mine)
    (head,) = of(decision, RecallOpened)
    opened = of(decision, DeviationOpened)

    assert [each.parts for each in opened] == [("EX-1",), ("EX-2",), ("EX-3",)]
    assert len({each.deviation for each in opened}) == 3
    assert head.deviations == tuple(each.deviation for each in opened)
    assert (head.recall, head.unknown) == ("RC-1", 1)
    assert all(each.rule == "recall" for each in opened)
    assert f"RC-1, lot {LOT}, coat 1: a letter" in opened[0].text


@pytest.mark.parametrize(
    "left", [found("EX-1", "scrapped"), found("EX-1", sure="chosen, not used")]
)
def test_what_is_scrapped_or_was_only_chosen_waits_for_nothing(left):
    assert to_judge(Desk().bench, answer(left)) == ()
    assert of(recall(Desk().bench, asked(), answer(left)), DeviationOpened) == []


def test_the_bottle_and_its_mixes_are_put_away_once():
    desk = Desk()
    first = recall(desk.bench, asked(), answer(found("EX-1")))
    assert [each.lot for each in of(first, LotClosed)] == [LOT]
    written(desk, first)
    again = recall(desk.bench, asked(), answer(found("EX-1"), found("EX-2")))
    # Who waits already is not asked twice, and the bottle is away.
    assert of(again, LotClosed) == []
    assert [each.parts for each in of(again, DeviationOpened)] == [("EX-2",)]
    assert of(again, RecallOpened)[0].recall == "RC-2"


def test_nothing_is_recalled_without_a_reason_or_without_anything_to_do():
    desk = Desk()
    assert recall(desk.bench, asked(" "), answer(found("EX-1"))).code == "no-reason"
    nothing = answer(kind="lamp", code="EX-LM", lots=())
    refusal = recall(desk.bench, asked(kind="lamp", code="EX-LM"), nothing)
    assert isinstance(refusal, Refusal)
    assert refusal.code == "nothing-to-recall"


def test_once_judged_a_part_can_be_recalled_again_for_it():
    desk = written(Desk(), recall(Desk().bench, asked(), answer(found("EX-1"))))
    assert to_judge(desk.bench, answer(found("EX-1"))) == ()
    desk.must(cm.CloseDeviation("D-1", "use as is", "looked at"))
    assert [e.part for e in to_judge(desk.bench, answer(found("EX-1")))] == ["EX-1"]


def test_what_another_lot_was_recalled_for_is_no_answer_to_this_one():
    desk = written(Desk(), recall(Desk().bench, asked(), answer(found("EX-1"))))
    other = answer(found("EX-1"), kind="lamp", code="EX-LM", lots=())
    assert [each.part for each in to_judge(desk.bench, other)] == ["EX-1"]


def test_an_exercise_says_what_was_found_what_is_not_known_and_how_soon():
    mine = answer(found("EX-1"), found("EX-2"), unknown=[found("EX-3")])

    assert drilled(mine, 140) == f"{LOT}: 2 found, 1 not known, looked up in 140 ms"
