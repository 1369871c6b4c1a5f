"""Pairing: the table says what the gates say, and where the light goes."""

from dataclasses import replace

import pytest

from benchassist.domain import commands as cm
from benchassist.domain.box_light import judge_box
from benchassist.domain.gates.box_light import second_half
from benchassist.domain.light import judge_lamp
from benchassist.sums.subject import UnknownError, subject
from benchassist.ui.present.physics import pairing
from tests.domain.builders import Desk


def about(desk):
    return subject(desk.bench, desk.now)


def row(desk, lot, *, lamp="", box="", vessel=""):
    found = pairing.pairs(desk.bench, about(desk), lot)
    return next(p for p in found if (p.lamp, p.box, p.vessel) == (lamp, box, vessel))


def told(desk, pair):
    full = pairing.detail(desk.bench, about(desk), pair)
    return " ".join((*full.lines, *full.help))


def test_every_lamp_has_the_verdict_that_its_gate_would_give(desk):
    for lot in pairing.layers(desk.bench, about(desk)):
        for pair in pairing.pairs(desk.bench, about(desk), lot):
            if pair.lamp:
                answer = judge_lamp(desk.bench, pair.lamp, lot, 15)
                assert pair.verdict == answer.level.upper()
                assert answer.level == "fail" or f"{answer.seconds} s" in pair.needs


def test_every_box_has_the_verdict_that_its_gate_would_give(desk):
    part = about(desk).part
    for lot in pairing.layers(desk.bench, about(desk)):
        for pair in pairing.pairs(desk.bench, about(desk), lot):
            if pair.box:
                other = replace(part, box=pair.box, vessel=pair.vessel)
                answer = judge_box(desk.bench, other, lot, second_half(other))
                assert pair.verdict == answer.level.upper()


def test_every_lamp_and_every_box_in_every_vessel_is_there_lamps_first(desk):
    found = pairing.pairs(desk.bench, about(desk), "EX-LT-C1")

    assert {p.lamp for p in found if p.lamp} == set(desk.bench.lamps)
    assert {(p.box, p.vessel) for p in found if p.box} == {
        (box, vessel) for box in desk.bench.boxes for vessel in desk.bench.vessels
    }
    assert [bool(p.lamp) for p in found] == sorted(
        (bool(p.lamp) for p in found), reverse=True
    )


def test_the_layer_at_hand_comes_first_and_each_material_once(desk):
    lots = pairing.layers(desk.bench, about(desk))

    assert lots[0] == "EX-LT-C1"
    materials = [desk.bench.lots[lot].material for lot in lots]
    assert materials.count("EX-RS-C") == 1
    assert "EX-LT-M1" in lots


def test_a_fail_says_no_number_that_could_tempt(desk):
    pair = row(desk, "EX-LT-C1", lamp="EX-LM-B")

    assert (pair.verdict, pair.needs) == ("FAIL", "will not set it")
    assert "EX-LM-A passes: 10 s a spot." in told(desk, pair)


def test_an_absorption_from_memory_says_so(desk):
    assert "How CQ absorbs is our guess" in told(
        desk, row(desk, "EX-LT-B1", lamp="EX-LM-A")
    )
    desk = Desk()  # here the initiators' curves count as measured
    desk.take()
    assert "our guess" not in told(desk, row(desk, "L-COAT", lamp="LM-A"))


def test_what_is_missing_says_how_it_is_come_by(desk):
    assert "File the spectrum of EX-LM-D: keys Q, 2." in told(
        desk, row(desk, "EX-LT-C1", lamp="EX-LM-D")
    )
    assert "Measure what the wall of EX-GV-04 lets through" in told(
        desk, row(desk, "EX-LT-C1", box="EX-BX-1", vessel="EX-GV-04")
    )
    assert "known from its papers" in told(desk, row(desk, "EX-LT-B1", lamp="EX-LM-B"))


def test_a_layer_known_by_class_asks_for_a_coupon(desk):
    desk.must(cm.RecordCoupon("EX-LM-A", "EX-RS-D", passed=False))

    assert "A coupon of this lamp on this layer settles it" in told(
        desk, row(desk, "EX-LT-D1", lamp="EX-LM-A")
    )


def test_the_share_of_light_that_a_coat_keeps_follows_from_its_absorbance():
    """Identity: 500 L/mol/cm x 0.02 mol/L x 25 um = 0.025; 1 - 10**-0.025 = 5.6 %."""
    desk = Desk()
    desk.take()
    line = told(desk, row(desk, "L-COAT", lamp="LM-A"))

    assert "absorbs 5.6%; 94.4% pass on" in line
    assert "420 mW/cm² in all, 420 effective at 405 nm." in line


def test_a_lamp_that_has_faded_gives_less(desk):
    desk.must(cm.ReadLamp("EX-LM-A", 80))
    pair = row(desk, "EX-LT-C1", lamp="EX-LM-A")

    # 0.42 J/cm² at 80 % of 42 mW/cm² take 12.5 s.
    assert pair.needs == "13 s a spot"
    assert "33.7 effective" in told(desk, pair)


def test_both_curves_and_what_they_share_are_drawn(desk):
    full = pairing.detail(
        desk.bench, about(desk), row(desk, "EX-LT-C1", lamp="EX-LM-A")
    )

    both, absorbs, shines = full.plot.lines
    assert all(
        low <= min(a, s) + 1e-9
        for low, a, s in zip(both.y, absorbs.y, shines.y, strict=True)
    )
    assert max(shines.y) == pytest.approx(1.0, abs=0.02)
    assert absorbs.stroke != shines.stroke


def test_without_a_recipe_or_lot_it_is_said_what_to_do():
    with pytest.raises(UnknownError, match="benchassist import"):
        about(Desk(filed=None))
