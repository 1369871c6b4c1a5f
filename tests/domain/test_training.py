"""Training: what a level shows, what is asked first, and what never leaves."""

import pytest

from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.gates import GATES
from benchassist.domain.pedal import meaning
from benchassist.domain.state import InRun, Ready
from benchassist.domain.training import (
    PROMPTS,
    level_of,
    pace,
    prompts,
    score,
    to_predict,
)
from tests.domain.builders import Desk, code_of, desk_at

MOST_WORDS = 25


@pytest.mark.parametrize("gate", GATES.values(), ids=lambda gate: gate.code)
def test_every_gate_says_why_in_at_most_25_words(gate):
    words = gate.why.split()

    assert 5 <= len(words) <= MOST_WORDS
    assert gate.why[-1] in ".!"
    said = gate.why.lower()
    assert not any(
        word in said for word in ("safe", "fully cured", "biocompatible", "certified")
    )


def test_nobody_s_level_is_alone_and_the_others_show_more():
    desk = Desk()
    assert level_of(desk.bench) == "alone"
    shown = {
        level: sum((p.why_at_gates, p.predict_first, not p.may_act))
        for level, p in PROMPTS.items()
    }
    assert shown == {"watch": 2, "every prompt": 2, "gates only": 1, "alone": 0}


def test_a_level_is_an_operator_s_own_and_stays_with_them():
    desk = Desk()
    desk.must(cm.SetLevel("OP-3", "gates only"))
    assert level_of(desk.bench) == "alone"
    desk.must(cm.ClaimStation("OP-3"))

    assert prompts(desk.bench) == PROMPTS["gates only"]
    assert code_of(desk.do(cm.SetLevel(" ", "alone"))) == "no-operator"


def test_who_watches_does_nothing_and_lifts_nobody_s_level():
    desk = Desk()
    desk.take()
    desk.must(cm.SetLevel("OP-3", "watch"), cm.ClaimStation("OP-3"))

    for command in (cm.StartStage("EX-1"), cm.ReportMishap("EX-1", "touched")):
        assert code_of(desk.do(command)) == "watching"
    assert code_of(desk.press()) == "watching"
    assert code_of(desk.do(cm.SetLevel("OP-3", "alone"))) == "watching"
    desk.must(cm.CallAway(), cm.ComeBack())
    desk.must(cm.ClaimStation("OP-1"), cm.SetLevel("OP-3", "every prompt"))
    desk.must(cm.ClaimStation("OP-3"), cm.StartStage("EX-1"))


# --- predict first ---------------------------------------------------------------------


def learner(stage, **more):
    desk = desk_at(stage, phase=Ready, **more)
    desk.must(cm.SetLevel("OP-1", "every prompt"))
    return desk


@pytest.mark.parametrize(
    ("stage", "question", "answer"),
    [
        ("half-1", "half-count", 2200),
        ("coat-1", "spots", 5),
        ("submerge", "half-count", 2200),
        ("submerge", "vessel", 3),
    ],
)
def test_the_bench_works_the_expected_answer_out_itself(stage, question, answer):
    desk = learner(stage)
    assert question in [each.code for each in to_predict(desk.bench, desk.part())]
    (told,) = desk.must(cm.Predict("EX-1", question, answer))

    assert (told.expected, told.right) == (answer, True)
    assert question not in [each.code for each in to_predict(desk.bench, desk.part())]
    assert score(desk.bench, "OP-1") == (1, 1)


def test_the_pedal_says_which_key_answers_a_question_and_which_holds_a_card():
    desk = learner("half-1")
    assert meaning(desk.bench, desk.now).line == "nothing: say it first, key 1"
    assert "key 1" in desk.press().message
    desk.must(cm.Predict("EX-1", "half-count", 2200))

    assert meaning(desk.bench, desk.now).line == "nothing: keep Enter down 2 s"
    assert "keep Enter" in desk.press().message


def test_waits_run_fast_and_a_wet_coat_takes_the_time_of_hands():
    desk = desk_at("coat-1", phase=Ready)
    assert pace(desk.bench, 10.0) == 10.0
    desk.must(cm.OpenLampSession("LM-A"), cm.WetBrush("EX-1"))
    assert pace(desk.bench, 10.0) == 1.0
    desk.must(cm.StartWalk("EX-1"))
    assert pace(desk.bench, 10.0) == 1.0
    desk.must(cm.HoldHere("EX-1"))
    assert pace(desk.bench, 10.0) == 1.0


def test_a_sides_count_set_on_one_half_is_the_classic_slip_and_counts_as_wrong():
    # 1200 a side, two sides: each half of a side is 600.
    desk = learner("half-1-A", recipe="EX-RC-DENTURE r1")
    (told,) = desk.must(cm.Predict("EX-1", "half-count", 1200))

    assert (told.expected, told.right) == (600, False)
    assert score(desk.bench, "OP-1") == (0, 1)


def test_a_question_is_asked_where_it_belongs():
    desk = learner("fit")
    assert to_predict(desk.bench, desk.part()) == ()
    assert code_of(desk.do(cm.Predict("EX-1", "spots", 5))) == "no-such-question"
    assert code_of(desk.do(cm.Predict("EX-1", "weather", 5))) == "no-such-question"
    assert code_of(desk.do(cm.Predict("EX-9", "spots", 5))) == "no-such-part"


def test_who_works_alone_is_asked_nothing():
    desk = desk_at("coat-1", phase=Ready)

    assert to_predict(desk.bench, desk.part()) == ()


def test_a_run_that_is_under_way_is_no_riddle_any_more():
    desk = learner("half-1")
    desk.step()
    assert isinstance(desk.part().phase, InRun)

    assert (
        code_of(desk.do(cm.Predict("EX-1", "half-count", 2200))) == "no-such-question"
    )


# --- nothing leaves --------------------------------------------------------------------


def test_a_training_store_releases_nothing():
    desk = Desk(kind="training")
    desk.take()
    desk.work(upto="checks")
    desk.must(
        *(cm.RecordCheck("EX-1", name) for name in desk.bench.checks_of(desk.part()))
    )

    refusal = desk.sign()
    assert (code_of(refusal), refusal.acceptable) == ("training-store", False)
    assert (
        code_of(desk.do(cm.AcceptGate("training-store", "EX-1", "please")))
        == "training-store"
    )
    assert desk.events(ev.PartReleased) == []
    desk.must(cm.ScrapPart("EX-1", "the exercise is over"))
