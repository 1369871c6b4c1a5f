"""One look asks everything once: the light of each lamp and box, every gate of a part."""

from collections import Counter

from benchassist.domain import commands as cm
from benchassist.domain.calls import call_for
from benchassist.domain.effect import matched, passes
from benchassist.domain.standing import Standing, Standings
from benchassist.domain.state import Ready, Soaking
from benchassist.ui.present.look import look
from benchassist.value import replace
from tests.domain.builders import desk_at


def before_a_coat():
    desk = desk_at("coat-1", phase=Ready)
    desk.must(cm.OpenLampSession("LM-A"))
    return desk


def test_one_look_before_a_coat_matches_each_lamp_with_the_layer_once():
    desk = before_a_coat()
    curves = {lamp.curve for lamp in desk.bench.lamps.values() if lamp.curve}
    matched.cache_clear()
    passes.cache_clear()

    look(desk.bench, desk.now)

    # Every lamp's curve on the coat, the box on coat and body; nothing twice.
    assert 0 < matched.cache_info().misses <= len(curves) + 2
    assert passes.cache_info().misses <= 1
    before = matched.cache_info().misses
    look(desk.bench, desk.now)
    assert matched.cache_info().misses == before


def test_a_standing_asks_each_gate_once_and_none_before_it_is_asked(monkeypatch):
    desk = before_a_coat()
    asked = Counter()
    gates = dict(_counting(asked))
    monkeypatch.setattr("benchassist.domain.gates.GATES", gates)
    at = Standings(desk.bench, desk.now).of("EX-1")

    assert at.asked == "brush"
    assert not asked
    assert at.situation == "brush"
    assert at.shut is None
    assert len(at.verdicts) == len(asked)
    assert set(asked.values()) == {1}


def test_behind_the_first_shut_gate_none_is_asked_for_the_situation(monkeypatch):
    desk = desk_at("coat-1", phase=Ready, lamp="LM-B")
    asked = Counter()
    monkeypatch.setattr("benchassist.domain.gates.GATES", dict(_counting(asked)))

    assert Standing(desk.bench, desk.part(), desk.now).situation == "shut"
    assert list(asked) == ["previous-stage", "light-check"]


def _counting(asked):
    """Return the real gates, each of which counts how often it is asked."""
    from benchassist.domain.gates import GATES  # noqa: PLC0415 - as it is just now
    from benchassist.value import replace  # noqa: PLC0415

    for code, gate in GATES.items():

        def check(bench, ask, now, gate=gate, code=code):
            asked[code] += 1
            return gate.check(bench, ask, now)

        yield code, replace(gate, check=check)


def test_what_is_in_a_bath_asks_no_gate_at_all():
    desk = desk_at("wash-1", phase=Soaking)
    at = Standing(desk.bench, desk.part(), desk.now)

    assert (at.situation, at.word, at.waits) == ("running", "WAIT", True)
    assert "shut" not in vars(at)


def test_a_part_that_was_closed_on_an_earlier_day_is_not_named_in_the_band():
    desk = before_a_coat()
    assert Standings(desk.bench, desk.now).about == "EX-1"
    others = {code: part for code, part in desk.bench.parts.items() if code != "EX-1"}

    assert Standings(replace(desk.bench, parts=others), desk.now).about == ""


def test_what_is_wet_binds_hands_for_as_long_as_its_patch_lasts():
    desk = before_a_coat()
    assert Standings(desk.bench, desk.now).wet_ms is None
    desk.must(cm.WetBrush("EX-1"))
    wet = Standings(desk.bench, desk.now).wet_ms
    desk.wait(5)

    assert Standings(desk.bench, desk.now).wet_ms == wet - 5_000


def test_while_away_the_band_is_about_the_part_that_was_left():
    """Another chosen meanwhile is not what the card asks about on return."""
    desk = before_a_coat()
    desk.take("EX-2")
    desk.must(cm.ChoosePart("EX-1"), cm.WetBrush("EX-1"), cm.CallAway())
    at = Standings(desk.bench, desk.now)

    assert (at.situation, at.about) == ("away", "EX-1")
    assert at.word("EX-1") == call_for("away", "").word  # the bench's own comes first


def test_with_nothing_in_front_a_part_has_its_word_in_its_own_row():
    desk = before_a_coat()
    desk.bench = replace(desk.bench, focus="")
    at = Standings(desk.bench, desk.now)

    assert at.of_bench == "none"
    assert at.word("") == "WAIT"
    assert at.word("EX-1") == at.of("EX-1").word
    gone = Standings(replace(desk.bench, parts={}), desk.now)
    assert gone.word("") == call_for("none", "").word
