"""The light check's sums as the bench asks them: lamp x layer, box x vessel x layer.

The expected seconds are hand-computed: exposure over effective irradiance, which
for these invented lines is the line's own power. The thresholds (1 and 3 times the
planned tack, 70 % of a lamp's baseline, a quarter for a declared spectrum) are
common practice or assumptions, no source.
"""

import math
from dataclasses import replace

import pytest

from benchassist.calculators import pairing
from benchassist.domain import commands as cm
from benchassist.domain import library as lib
from benchassist.domain.box_light import judge_box
from benchassist.domain.effect import DECLARED_SHIFT_NM, matched
from benchassist.domain.layer import layer_light
from benchassist.domain.light import judge_lamp, output_share, reading_age_h, whole_s
from benchassist.ui.present.look import look
from tests.domain.builders import Desk, line, material


def judged(code, lot="L-COAT", planned_s=10, desk=None):
    return judge_lamp((desk or Desk()).bench, code, lot, planned_s)


@pytest.mark.parametrize(
    ("code", "level", "reason", "seconds"),
    [
        ("LM-A", "pass", "sets", 10),  # 4.2 J/cm2 / 420 mW/cm2
        ("LM-C", "marginal", "slow", 17),  # 4.2 / 252 = 16.67
        ("LM-DECLARED", "marginal", "slow", 14),  # 4.2 / (0.75 * 420) = 13.33
        ("LM-DIM", "fail", "will-not-set", 0),  # 42 s, more than 3 * 10
        ("LM-B", "fail", "will-not-set", 0),  # blue only: no effect at all
        ("LM-UNKNOWN", "fail", "no-spectrum", 0),
        ("LM-NOWHERE", "fail", "no-spectrum", 0),
        ("", "fail", "no-lamp", 0),
    ],
)
def test_a_lamp_is_judged_by_the_seconds_it_needs(code, level, reason, seconds):
    answer = judged(code)

    assert (answer.level, answer.code, answer.seconds) == (level, reason, seconds)


def test_the_numbers_behind_a_verdict_are_told():
    answer = judged("LM-C")

    assert answer.effective_mw_cm2 == pytest.approx(252)
    assert answer.high_s == pytest.approx(4200 / 252)
    assert answer.share == pytest.approx(1)
    assert answer.reason == "17 s, planned 10 s"


def test_a_lamp_that_does_not_act_has_no_seconds_that_could_tempt():
    answer = judged("LM-B")

    assert (answer.seconds, answer.high_s, answer.share) == (0, math.inf, 0)


@pytest.mark.parametrize(
    ("planned_s", "level"),
    [(17, "pass"), (16, "marginal"), (6, "marginal"), (5, "fail")],
)
def test_pass_is_up_to_the_planned_tack_and_marginal_up_to_three_times(
    planned_s, level
):
    # LM-C needs 16.67 s: 17 and more pass, 5.56 to 16.67 are marginal.
    assert judged("LM-C", planned_s=planned_s).level == level


def test_a_stain_may_need_another_lamp_than_the_coat():
    assert judged("LM-A", "L-BLUE").level == "fail"
    assert judged("LM-B", "L-BLUE").level == "pass"
    assert (
        judged("LM-BOTH", "L-BLUE").seconds == judged("LM-BOTH", "L-COAT").seconds == 10
    )


def test_a_weaker_lamp_needs_longer():
    # At 80 % of its baseline 10 s become 12.5, told as 13.
    desk = Desk()
    desk.must(cm.ReadLamp("LM-A", 80))
    answer = judged("LM-A", desk=desk)

    assert output_share(desk.bench, "LM-A") == pytest.approx(0.8)
    assert (answer.level, answer.seconds) == ("marginal", 13)
    assert answer.high_s == pytest.approx(12.5)


@pytest.mark.parametrize(("reading", "code"), [(70, "slow"), (69, "lamp-worn")])
def test_a_lamp_below_seven_tenths_is_out_of_service(reading, code):
    desk = Desk()
    desk.must(cm.ReadLamp("LM-A", reading))
    answer = judged("LM-A", desk=desk, planned_s=10)

    assert answer.code == code
    assert (answer.level == "fail") == (code == "lamp-worn")


def test_a_lamp_without_a_baseline_is_taken_as_it_was_measured():
    desk = Desk()
    unread = lib.Lamp("LM-NEW", "", "measured", "at-405", 0.0, example=True)
    desk.must(cm.FileLibrary(lamps=(unread,)), cm.ReadLamp("LM-NEW", 80))

    assert output_share(desk.bench, "LM-NEW") == 1.0
    assert output_share(desk.bench, "LM-UNREAD") == 1.0


def test_the_age_of_a_reading_goes_by_the_clock():
    desk = Desk()
    desk.away(5400)

    assert reading_age_h(desk.bench, "LM-A", desk.now) == pytest.approx(1.5)
    assert reading_age_h(desk.bench, "LM-UNREAD", desk.now) == math.inf


@pytest.mark.parametrize(
    ("seconds", "told"), [(10.0, 10), (10.0004, 10), (10.002, 11), (math.inf, 0)]
)
def test_seconds_are_rounded_up_but_not_for_the_noise_of_the_sum(seconds, told):
    assert whole_s(seconds) == told


# --- layers --------------------------------------------------------------------


def test_a_mix_listens_to_its_parents_by_their_shares():
    layer = layer_light(Desk().bench, "L-MIX")

    assert [each.mol_l for each in layer.initiators] == [0.01, 0.01]
    assert (layer.material, layer.known) == ("EX-ST", True)


def test_a_mix_is_known_only_if_all_its_parents_are():
    desk = Desk()
    mixed = lib.Lot("L-HALF", "EX-CC", "", (("L-COAT", 0.5), ("L-CLASS", 0.5)))
    desk.must(cm.FileLibrary(lots=(mixed,)))

    assert not layer_light(desk.bench, "L-HALF").known


def test_a_mix_of_two_initiators_is_set_by_either_light_but_slower():
    desk = Desk()
    mixed = lib.Lot("L-TWO", "EX-CC", "", (("L-COAT", 0.5), ("L-BLUE", 0.5)))
    desk.must(cm.FileLibrary(lots=(mixed,)))
    both = judge_lamp(desk.bench, "LM-BOTH", "L-TWO", 10)

    # Stated at 405 nm, where only half of the violet initiator is left to compare
    # with: the violet line counts whole, the blue one by 50/500 and 460/405.
    assert both.effective_mw_cm2 == pytest.approx(420 + 420 * (50 * 460) / (500 * 405))


@pytest.mark.parametrize("lot", ["", "L-NOWHERE", "L-BARE", "L-CURVELESS"])
def test_a_layer_whose_absorption_is_not_on_file_is_never_judged_as_set(lot):
    desk = Desk()
    bare = lib.Material(
        "EX-BARE", "", "coat", (), "known", 405.0, 4.2, 6.0, example=True
    )
    lost = material("EX-CURVELESS", "coat", curve="nowhere")
    desk.must(
        cm.FileLibrary(
            materials=(bare, lost),
            lots=(
                lib.Lot("L-BARE", "EX-BARE", ""),
                lib.Lot("L-CURVELESS", "EX-CURVELESS", ""),
            ),
        )
    )
    answer = judged("LM-A", lot, desk=desk)

    assert layer_light(desk.bench, lot) is None
    assert (answer.level, answer.code) == ("fail", "no-layer")


def test_a_layer_that_absorbs_nothing_where_its_exposure_is_stated_is_not_set():
    desk = Desk()
    astray = lib.Material(
        code="EX-ASTRAY",
        title="",
        role="coat",
        initiators=(lib.Initiator("violet", "violet", 0.02, 0.6),),
        knowledge="known",
        design_nm=550.0,
        set_j_cm2=4.2,
        final_j_cm2=6.0,
        example=True,
        document="EX-DS-9",
        revision="1",
    )
    desk.must(
        cm.FileLibrary(
            materials=(astray,), lots=(lib.Lot("L-ASTRAY", "EX-ASTRAY", ""),)
        )
    )

    assert judged("LM-A", "L-ASTRAY", desk=desk).level == "fail"


# --- box x vessel --------------------------------------------------------------


def judged_box(code="BX-1", vessel="GV-1", lot="L-COAT", count=2200, **more):
    desk = Desk()
    desk.take(box=code, vessel=vessel, **more)
    return judge_box(desk.bench, desk.part(), lot, count)


def test_a_box_is_judged_through_the_wall_of_the_vessel():
    # 6 J/cm2 / (0.95 * 120 mW/cm2) = 52.6 s; 2200 flashes at 8 Hz give 275 s.
    answer = judged_box()

    assert (answer.level, answer.through) == ("pass", pytest.approx(0.95))
    assert answer.needed_s == pytest.approx(6000 / 114)
    assert answer.reason == "53 s of light finish ex-cc"


def test_a_box_gives_light_as_long_as_its_count_takes():
    answer = judged_box(count=300)  # 37.5 s

    assert answer.needed_s == pytest.approx(6000 / 114)
    assert answer.level == "marginal"
    assert judged_box(count=100).level == "fail"  # 12.5 s, less than a third


@pytest.mark.parametrize(
    ("code", "vessel", "lot", "level"),
    [
        ("BX-BLUE", "GV-1", "L-COAT", "fail"),  # no light the coat listens to
        ("BX-1", "GV-1", "L-BLUE", "fail"),  # a blue stain in a violet box
        ("BX-UNKNOWN", "GV-1", "L-COAT", "fail"),
        ("BX-1", "GV-DARK", "L-COAT", "fail"),  # the wall lets half through
        ("BX-1", "GV-1", "", "fail"),  # nobody knows what the layer absorbs
        ("BX-1", "GV-UNMEASURED", "L-COAT", "marginal"),
        ("BX-1", "", "L-COAT", "marginal"),
        ("BX-DECLARED", "GV-1", "L-COAT", "pass"),  # 6000 / 85.5 = 70.2 s of 275
        ("BX-DIM", "GV-1", "L-COAT", "marginal"),  # 6000 / 15.2 = 394.7 s
    ],
)
def test_box_and_vessel_are_judged_for_every_layer(code, vessel, lot, level):
    assert judged_box(code, vessel, lot).level == level


def test_a_dim_box_stays_marginal_even_through_a_wall_nobody_measured():
    answer = judged_box("BX-DIM", "GV-UNMEASURED")

    assert (answer.level, answer.reason) == ("marginal", "375 s of light finish ex-cc")


def test_a_box_that_has_no_light_for_the_layer_is_blamed_and_not_the_vessel():
    answer = judged_box("BX-BLUE")

    assert (answer.level, answer.reason, answer.needed_s) == (
        "fail",
        "BX-BLUE will not finish ex-cc",
        math.inf,
    )


def test_papers_whose_curve_is_not_on_file_compute_nothing():
    """What is known of a layer is not enough: its curve is what the sum is made of."""
    desk = Desk()
    desk.take()
    curves = {
        code: each for code, each in desk.bench.curves.items() if code != "violet"
    }
    answer = judge_box(replace(desk.bench, curves=curves), desk.part(), "L-COAT", 2200)

    assert (answer.level, answer.code, answer.rung) == ("fail", "no-layer", 1)
    assert answer.reason == "what L-COAT absorbs is not on file"
    assert answer.remedy


def test_without_a_box_nothing_is_finished():
    desk = Desk()
    desk.take(box="")

    assert judge_box(desk.bench, desk.part(), "L-COAT", 2200).level == "fail"


@pytest.mark.parametrize(
    "variant",
    [lib.Variant(cover="nitrogen"), lib.Variant(coats=0, finish="none")],
    ids=["nitrogen", "whole cure"],
)
def test_where_nothing_is_submerged_no_wall_takes_light(variant):
    answer = judged_box(vessel="GV-DARK", variant=variant)

    assert (answer.level, answer.through) == ("pass", 1.0)
    assert answer.needed_s == pytest.approx(50)


# --- one set of sums ---------------------------------------------------------------


def test_a_look_before_a_coat_computes_once_for_each_lamp_and_layer():
    desk = Desk()
    desk.take()
    desk.work(upto="coat-1")
    matched.cache_clear()
    for _ in range(3):
        look(desk.bench, desk.now)
    lights = {each.curve for each in desk.bench.lamps.values() if each.curve}

    # Lamps with one curve between them are one light; a declared one has lines that
    # may lie elsewhere. The box is asked with the coat, which is the body's resin.
    assert matched.cache_info().misses == len(lights) + 1 + 1
    assert matched.cache_info().hits > matched.cache_info().misses


@pytest.mark.parametrize("knowledge", ["measured", "declared"])
@pytest.mark.parametrize("code", ["LM-A", "LM-C", "LM-DIM", "LM-B"])
def test_gate_and_calculator_judge_by_one_function(code, knowledge):
    desk = Desk()
    bench = desk.bench
    light = bench.curves[bench.lamps[code].curve]
    bench = replace(
        bench, lamps={code: replace(bench.lamps[code], knowledge=knowledge)}
    )
    gate = judge_lamp(bench, code, "L-COAT", 10)
    (calculated,) = pairing.run(
        pairing.Input.model_validate(
            {
                "light": {"nm": light.nm, "mw_cm2_nm": light.values},
                "spectrum": knowledge,
                "layers": [
                    {
                        "name": "coat",
                        "initiators": [
                            {
                                "absorber": {"nm": [360, 430], "l_mol_cm": [500, 500]},
                                "mol_l": 0.02,
                            }
                        ],
                    }
                ],
                "planned_s": 10,
                "required_effective_j_cm2": 4.2,
                "design_nm": 405,
            }
        )
    ).layers

    assert calculated.verdict == gate.level
    assert (calculated.seconds_careful or math.inf) == pytest.approx(gate.high_s)
    if code == "LM-A":
        assert gate.high_s == pytest.approx(10 if knowledge == "measured" else 40 / 3)
        assert gate.low_s < gate.high_s <= gate.longest_s


def test_declared_lines_may_lie_to_either_side():
    desk = Desk()
    answer = judged("LM-DECLARED", desk=desk)
    # A line at 430 nm lies at the end of what the layer absorbs: shifted it is lost.
    edge = line("at-edge", (420, 428))
    bench = desk.bench
    bench = replace(
        bench,
        curves={**bench.curves, "at-edge": edge},
        lamps={"LM-E": lib.Lamp("LM-E", "", "declared", "at-edge", 100.0)},
    )

    assert math.isfinite(answer.longest_s)
    assert DECLARED_SHIFT_NM == 5
    assert math.isinf(judge_lamp(bench, "LM-E", "L-COAT", 10).longest_s)
