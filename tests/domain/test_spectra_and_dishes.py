"""Spectra corrected with a reason, coupons, glasses, working curves, open dishes."""

import json
from math import log

import pytest

from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain import working_time
from benchassist.domain.coat import answer_for
from benchassist.domain.knowledge import light_known
from benchassist.domain.light import judge_lamp
from benchassist.domain.state import Ready, lamp_day_key
from benchassist.journal.codec import CODEC
from benchassist.value import replace
from tests.domain.builders import Desk, code_of, desk_at, even, line, names

VIOLET = line("new-violet", (420, 405))


def spectrum(role="lamp", code="LM-B", curve=VIOLET, reason="measured anew", **more):
    return cm.FileSpectrum(role, code, curve, reason, **more)


# --- spectra -------------------------------------------------------------------


def test_a_spectrum_is_filed_and_its_lamp_points_at_it_with_the_reason():
    desk = Desk()

    events = desk.must(spectrum())

    assert names(events) == ["CurveFiled", "LampDefined"]
    assert events[1].reason == "measured anew"
    lamp = desk.bench.lamps["LM-B"]
    assert (lamp.curve, lamp.knowledge) == ("new-violet", "measured")
    assert lamp.baseline_reading == 100.0


@pytest.mark.parametrize("reading", [0.0, 0.5])
def test_a_reading_may_come_with_a_spectrum_and_be_small(reading):
    desk = Desk()

    assert "CurveFiled" in names(desk.must(spectrum(reading=reading)))
    assert code_of(desk.do(spectrum(reading=-0.1))) == "reading"
    assert code_of(desk.do(spectrum(reading=float("inf")))) == "reading"


def test_a_lamp_whose_spectrum_is_replaced_is_judged_anew():
    desk = Desk()
    assert judge_lamp(desk.bench, "LM-B", "L-COAT", 10).level == "fail"

    desk.must(spectrum())

    answer = judge_lamp(desk.bench, "LM-B", "L-COAT", 10)
    # 4.2 J/cm² at 420 mW/cm² take 10 s.
    assert (answer.level, answer.seconds) == ("pass", 10)


def test_what_was_accepted_for_the_old_spectrum_is_not_accepted_for_the_new():
    desk = desk_at("coat-1", phase=Ready, lamp="LM-C")
    desk.must(
        cm.AcceptGate("light-check", "EX-1", "one slow lamp"),
        cm.OpenLampSession("LM-C"),
    )
    assert names(desk.do(cm.WetBrush("EX-1"))) == ["BrushWetted"]
    other = desk_at("coat-1", phase=Ready, lamp="LM-C")
    other.must(
        cm.AcceptGate("light-check", "EX-1", "one slow lamp"),
        cm.OpenLampSession("LM-C"),
        spectrum(code="LM-C", curve=line("weaker", (200, 405))),
    )

    assert code_of(other.do(cm.WetBrush("EX-1"))) == "light-check"


@pytest.mark.parametrize(
    "change",
    [
        cm.TypePapers("lamp", "LM-C", "another label", bands=((440.0, 470.0),)),
        cm.TypePapers("box", "BX-1", "another label", bands=((440.0, 470.0),)),
        cm.ReadThrough("GV-1", 0.9),
    ],
)
def test_what_was_accepted_is_asked_again_when_another_label_is_typed(change):
    accepted = (
        ("light-check", "EX-1, LM-C, coat-1"),
        ("box-light", "EX-1, BX-1, GV-1, L-COAT"),
    )
    desk = desk_at("coat-1", phase=Ready, lamp="LM-C")
    for gate, scope in accepted:
        desk.bench = desk.bench.put("accepted", (gate, scope), ())
    desk.must(change)

    left = {scope for _, scope in desk.bench.accepted}
    about = getattr(change, "code", None) or change.vessel
    assert left == {scope for _, scope in accepted if about not in scope}


def test_another_lamps_spectrum_leaves_what_was_accepted():
    desk = desk_at("coat-1", phase=Ready, lamp="LM-C")
    desk.must(cm.AcceptGate("light-check", "EX-1", "one slow lamp"))
    before = desk.bench.accepted

    desk.must(spectrum(code="LM-B"))

    assert desk.bench.accepted == before


def test_the_reading_taken_with_a_spectrum_becomes_the_lamps_baseline():
    desk = Desk()

    events = desk.must(spectrum(reading=80))

    assert names(events)[-1] == "LampReadingTaken"
    assert desk.bench.lamps["LM-B"].baseline_reading == 80
    assert desk.bench.readings["LM-B"].value == 80


@pytest.mark.parametrize("role", ["box", "vessel"])
def test_boxes_and_vessels_take_spectra_too(role):
    desk = Desk()
    quantity = "transmittance" if role == "vessel" else "irradiance_mw_cm2_nm"
    curve = even("new", 300.0, 600.0, 0.5, quantity)
    code = "GV-UNMEASURED" if role == "vessel" else "BX-UNKNOWN"

    desk.must(spectrum(role, code, curve))

    table = desk.bench.vessels if role == "vessel" else desk.bench.boxes
    assert table[code].curve == "new"


@pytest.mark.parametrize(
    ("command", "code"),
    [
        (spectrum(code="LM-9"), "no-equipment"),
        (spectrum("box", "LM-B"), "no-equipment"),
        (spectrum("glasses", ""), "no-equipment"),
        (spectrum("vessel", "GV-1"), "spectrum"),
        (spectrum(curve=even("t", 300.0, 600.0, 0.9, "transmittance")), "spectrum"),
        (spectrum(reason="  "), "no-reason"),
        (spectrum(reading=-1), "reading"),
        (spectrum(reading=float("inf")), "reading"),
    ],
)
def test_a_spectrum_that_does_not_fit_is_refused(command, code):
    desk = Desk()
    before = desk.bench.lamps

    assert code_of(desk.do(command)) == code
    assert desk.bench.lamps == before


@pytest.mark.parametrize(
    ("role", "code", "wanted"),
    [("vessel", "GV-1", "transmittance"), ("box", "BX-1", "irradiance")],
)
def test_a_curve_of_something_else_is_told_what_is_wanted(role, code, wanted):
    other = even("a", 300.0, 600.0, 0.9, "absorptivity_l_mol_cm")
    refusal = Desk().do(spectrum(role, code, other))

    assert refusal.message == f"A {role} needs a curve of {wanted}."


# --- coupons -------------------------------------------------------------------


def test_coupons_keep_their_seconds_in_the_order_they_were_tried():
    desk = Desk()
    desk.must(
        cm.RecordCoupon("LM-A", "EX-CC", passed=False, tack_s=2, how="not set"),
        cm.RecordCoupon("LM-A", "EX-CC", passed=True, tack_s=6),
    )

    trials = desk.bench.trials[("LM-A", "EX-CC")]
    assert [(each.tack_s, each.passed, each.how) for each in trials] == [
        (2.0, False, "not set"),
        (6.0, True, ""),
    ]


def test_no_coupon_turns_a_fail_of_the_light_check_into_anything_else():
    desk = desk_at("coat-1", phase=Ready, lamp="LM-B")
    assert answer_for(desk.bench, desk.part()).level == "fail"

    desk.must(cm.RecordCoupon("LM-B", "EX-CC", passed=True, tack_s=10))

    assert answer_for(desk.bench, desk.part()).level == "fail"


@pytest.mark.parametrize(
    ("command", "code"),
    [
        (cm.RecordCoupon("LM-A", "EX-CC", passed=True, tack_s=-1), "tack"),
        (cm.RecordCoupon("LM-A", "EX-CC", passed=True, tack_s=1e9), "tack"),
        (cm.RecordCoupon("LM-A", "EX-CC", passed=True, how="not set"), "coupon"),
        (cm.RecordCoupon("LM-9", "EX-CC", passed=True), "no-equipment"),
    ],
)
def test_a_coupon_that_cannot_be_is_refused(command, code):
    assert code_of(Desk().do(command)) == code


def test_a_coupon_written_before_seconds_were_asked_is_read_without_them():
    old = '{"lamp":"LM-A","material":"EX-CC","passed":true}'

    event = CODEC.decode("CouponRecorded", 1, old, None)

    assert event == ev.CouponRecorded("LM-A", "EX-CC", passed=True)


def test_a_lamp_filed_before_reasons_were_asked_is_read_without_one():
    desk = Desk()
    filed = desk.events(ev.LampDefined)[0]
    encoded = CODEC.encode(filed)

    assert encoded.text is None
    assert CODEC.decode("LampDefined", 3, encoded.payload, None) == filed


def test_what_was_filed_before_documents_were_asked_for_is_a_guess():
    old = json.loads(CODEC.encode(Desk().events(ev.LampDefined)[0]).payload)
    for name in ("bands", "document", "revision", "mw_cm2"):
        del old["lamp"][name]

    event = CODEC.decode("LampDefined", 1, json.dumps(old), None)

    assert (event.lamp.code, event.lamp.document, event.reason) == ("LM-A", "", "")
    assert light_known(Desk().bench, replace(event.lamp, knowledge="declared")).how == (
        "guess"
    )


# --- glasses -------------------------------------------------------------------


def test_glasses_are_an_operators_own_as_their_papers_state_them():
    desk = Desk()

    desk.must(cm.ShowGlasses("OP-1", "orange", 390, 525, 0.001))

    shown = desk.bench.glasses["OP-1"]
    assert (shown.low_nm, shown.high_nm, shown.transmittance) == (390.0, 525.0, 0.001)
    assert shown.curve == ""


def test_a_measured_curve_of_glasses_says_where_it_was_measured():
    desk = Desk()
    curve = even("lens", 300.0, 550.0, 0.02, "transmittance")

    events = desk.must(spectrum("glasses", "OP-1", curve))

    assert names(events) == ["CurveFiled", "GlassesShown"]
    shown = desk.bench.glasses["OP-1"]
    assert (shown.low_nm, shown.high_nm, shown.curve) == (300.0, 550.0, "lens")
    assert shown.transmittance == 0.02


@pytest.mark.parametrize(
    "command",
    [
        cm.ShowGlasses("", "x", 390, 525, 0.001),
        cm.ShowGlasses("OP-1", "x", 525, 390, 0.001),
        cm.ShowGlasses("OP-1", "x", 0.39, 0.525, 0.001),
        cm.ShowGlasses("OP-1", "x", 390, 525, 1.0),
        cm.ShowGlasses("OP-1", "x", 390, 525, -0.1),
        cm.ShowGlasses("OP-1", "x", float("nan"), 525, 0.1),
    ],
)
def test_glasses_that_cannot_be_are_refused(command):
    assert code_of(Desk().do(command)) in {"glasses", "no-operator"}


def test_lamp_on_time_is_kept_for_each_lamp_too():
    desk = desk_at("submerge")

    whole = desk.bench.lamp_on_ms[lamp_day_key("OP-1", "2026-05-14")]
    one = desk.bench.lamp_on_by_lamp_ms[lamp_day_key("OP-1", "2026-05-14", "LM-A")]
    assert whole == one == 100_000


# --- working curves ------------------------------------------------------------


def points(dp_um=100.0, ec_mj_cm2=500.0, *, at=(1000.0, 2000.0, 4000.0)):
    """Return thicknesses by Jacobs' equation, Cd = Dp ln(E / Ec)."""
    return tuple((x, dp_um * log(x / ec_mj_cm2)) for x in at)


def test_a_working_curve_is_fitted_and_kept_with_its_record():
    desk = Desk()

    events = desk.must(cm.FitWorkingCurve("LM-A", "EX-CC", points(), "record 7"))

    kept = desk.bench.working_curves[("LM-A", "EX-CC")]
    assert events == (kept,)
    assert kept.record == "record 7"
    numbers = dict(kept.numbers)
    assert numbers["dp_um"] == pytest.approx(100.0)
    assert numbers["ec_mj_cm2"] == pytest.approx(500.0)
    assert CODEC.decode("WorkingCurveFitted", 1, *_stored(kept)) == kept


def _stored(event):
    encoded = CODEC.encode(event)
    return encoded.payload, encoded.text


def test_what_did_not_cure_is_kept_and_not_fitted():
    desk = Desk()
    with_none = ((100.0, 0.0), *points())

    desk.must(cm.FitWorkingCurve("LM-A", "EX-CC", with_none, "record 7"))

    kept = desk.bench.working_curves[("LM-A", "EX-CC")]
    assert len(kept.points) == 4
    assert dict(kept.numbers)["dp_um"] == pytest.approx(100.0)


def test_an_end_of_an_interval_that_is_not_bounded_is_left_out():
    desk = Desk()
    scattered = ((1000.0, 10.0), (2000.0, 60.0), (4000.0, 50.0))

    desk.must(cm.FitWorkingCurve("LM-A", "EX-CC", scattered, "record 7"))

    numbers = dict(desk.bench.working_curves[("LM-A", "EX-CC")].numbers)
    assert "ec_mj_cm2_high" not in numbers
    assert "dp_um_low" in numbers


@pytest.mark.parametrize(
    ("command", "code"),
    [
        (cm.FitWorkingCurve("LM-9", "EX-CC", points(), "r"), "no-equipment"),
        (cm.FitWorkingCurve("LM-A", "EX-CC", points(), " "), "no-record"),
        (cm.FitWorkingCurve("LM-A", "EX-CC", ((0.0, 1.0),), "r"), "points"),
        (cm.FitWorkingCurve("LM-A", "EX-CC", ((1.0, float("nan")),), "r"), "points"),
        (cm.FitWorkingCurve("LM-A", "EX-CC", ((1.0, 1.0),), "r"), "fit"),
        (cm.FitWorkingCurve("LM-A", "EX-CC", ((1.0, 9.0), (9.0, 1.0)), "r"), "fit"),
        (cm.FitWorkingCurve("LM-A", "EX-CC", (), "r"), "fit"),
    ],
)
def test_a_working_curve_that_cannot_be_fitted_is_refused(command, code):
    assert code_of(Desk().do(command)) == code


# --- dishes --------------------------------------------------------------------

# Camphorquinone composites: 162 s at 8 klx and 54 s at 24 klx (Lane, Watts and Wilson
# 1998, Dent Mater 14:353-357, abstract): outside evidence for the product alone.
LANE = ((8.0, 162.0), (24.0, 54.0))


def with_smear(klx=8.0, seconds=162.0):
    desk = Desk()
    desk.must(cm.RecordSmear("EX-CC", "bench", klx, seconds))
    return desk


def left_s(desk, lot="L-COAT"):
    left = working_time.left_ms(desk.bench, desk.bench.dishes[lot], desk.now)
    return None if left is None else left / 1000


@pytest.mark.parametrize(("klx", "seconds"), LANE)
def test_both_published_working_times_are_one_budget(klx, seconds):
    desk = with_smear(klx, seconds)
    smear = working_time.smear_of(desk.bench, "L-COAT", "bench")

    assert working_time.budget_klx_s(smear) == 1296.0


@pytest.mark.parametrize(("klx", "minutes"), [(0.5, 43.2), (1.0, 21.6), (2.0, 10.8)])
def test_a_dish_lasts_as_its_budget_says_under_the_light_here(klx, minutes):
    desk = with_smear()
    desk.must(cm.ChangeDish("L-COAT", "open", "bench", klx))

    assert left_s(desk) == pytest.approx(minutes * 60)


def test_a_covered_dish_uses_nothing_up():
    desk = with_smear()
    desk.must(cm.ChangeDish("L-COAT", "open", "bench", 1.0))
    desk.away(296)
    desk.must(cm.ChangeDish("L-COAT", "covered"))
    desk.away(3600)

    assert left_s(desk) == pytest.approx(1000)
    desk.must(cm.ChangeDish("L-COAT", "open", "bench", 2.0))
    assert left_s(desk) == pytest.approx(500)


def test_a_dish_that_stood_too_long_is_past_its_budget():
    desk = with_smear()
    desk.must(cm.ChangeDish("L-COAT", "open", "bench", 1.0))
    desk.away(1300)

    assert left_s(desk) == pytest.approx(-4)


def test_without_a_smear_test_under_this_light_nobody_says_how_long():
    desk = with_smear()
    desk.must(cm.ChangeDish("L-COAT", "open", "window", 1.0))

    assert left_s(desk) is None


def test_a_drop_is_not_carried_from_one_kind_of_light_to_another():
    desk = with_smear()
    desk.must(cm.ChangeDish("L-COAT", "open", "bench", 1.0))
    desk.away(10)

    assert code_of(desk.do(cm.ChangeDish("L-COAT", "open", "window", 1.0))) == "dish"
    desk.must(cm.ChangeDish("L-COAT", "thrown away"))
    assert desk.bench.dishes == {}
    desk.must(cm.ChangeDish("L-COAT", "open", "window", 1.0))
    assert desk.bench.dishes["L-COAT"].spent_klx_s == 0.0


@pytest.mark.parametrize(
    ("command", "code"),
    [
        (cm.RecordSmear("EX-9", "bench", 1, 60), "no-material"),
        (cm.RecordSmear("EX-CC", " ", 1, 60), "no-light"),
        (cm.RecordSmear("EX-CC", "bench", 0, 60), "klx"),
        (cm.RecordSmear("EX-CC", "bench", 800, 60), "klx"),
        (cm.RecordSmear("EX-CC", "bench", 1, 0), "smear"),
        (cm.RecordSmear("EX-CC", "bench", 1, float("nan")), "smear"),
        (cm.ChangeDish("L-9", "open", "bench", 1), "no-lot"),
        (cm.ChangeDish("L-COAT", "open", "", 1), "no-light"),
        (cm.ChangeDish("L-COAT", "open", "bench", float("nan")), "klx"),
        (cm.ChangeDish("L-COAT", "covered"), "dish"),
    ],
)
def test_a_smear_test_or_dish_that_cannot_be_is_refused(command, code):
    assert code_of(Desk().do(command)) == code
