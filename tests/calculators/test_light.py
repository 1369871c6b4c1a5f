"""Efficacy, absorbed photons and pairing."""

import pytest

LINE_385 = {"lines": [[30.0, 385.0, 0.5]]}
LAYER = {
    "name": "coat",
    "initiators": [{"absorber": {"id": "bapo"}, "mol_l": 0.03}],
}
PAIRING = {
    "light": {"lines": [[420.0, 385.0, 0.5]]},
    "layers": [LAYER],
    "planned_s": 10.0,
    "required_effective_j_cm2": 4.2,
    "design_nm": 385.0,
}


def only(answer):
    (layer,) = answer["layers"]
    return layer


def test_efficacy_against_a_line_at_the_design_wavelength(ask):
    answer = ask(
        "efficacy",
        {
            "light": {"lines": [[100.0, 460.0, 0.5]]},
            "reference": {"lines": [[30.0, 385.0, 0.5]]},
            "absorber": {"nm": [300, 600], "l_mol_cm": [100.0, 100.0]},
            "reference_s": 10.0,
        },
    )

    # Flat absorber: photons per watt grow with the wavelength.
    assert answer["efficacy"] == pytest.approx(460 / 385)
    assert answer["equal_surface_dose_s"] == pytest.approx(10 * 30 / 100 * 385 / 460)
    assert answer["total_mw_cm2"] == pytest.approx(100)
    assert answer["reason"] is None


def test_a_lamp_that_is_not_absorbed_takes_for_ever(ask):
    answer = ask(
        "efficacy",
        light={"nm": [540, 560], "mw_cm2_nm": [1.0, 1.0]},
        reference=LINE_385,
    )

    assert answer["efficacy"] == 0.0
    assert answer["equal_surface_dose_s"] is None
    assert "no time is enough" in answer["reason"]


def test_a_reference_that_is_not_absorbed_is_said(ask):
    answer = ask(
        "efficacy",
        light=LINE_385,
        reference={"nm": [540, 560], "mw_cm2_nm": [1.0, 1.0]},
    )

    assert answer["efficacy"] is None
    assert answer["equal_surface_dose_s"] == 0.0
    assert "reference" in answer["reason"]


def test_initiation_is_twice_the_cleavages(ask):
    answer = ask("absorbed", quantum_yield=0.5, efficiency=0.4)

    assert answer["initiation_mol_l_s"] == pytest.approx(
        2 * 0.5 * 0.4 * answer["absorbed_mol_l_s"]
    )


def test_a_grid_may_be_given(ask):
    # A line at 620 nm lies outside the default grid.
    red = {"lines": [[100.0, 620.0, 2.0]]}
    answer = ask(
        "absorbed",
        light=red,
        absorber={"nm": [500, 700], "l_mol_cm": [10, 10]},
        grid={"low_nm": 500, "high_nm": 700, "step_nm": 0.1},
    )

    assert answer["total_mw_cm2"] == pytest.approx(100)


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"light": {"lines": [[100.0, 620.0, 2.0]]}}, "light"),
        ({"light": {"nm": [400, 401], "mw_cm2_nm": [1.0]}}, "light"),
        ({"light": {"nm": [401, 400], "mw_cm2_nm": [1.0, 1.0]}}, "light"),
        ({"light": {"nm": [0.385, 0.4], "mw_cm2_nm": [1.0, 1.0]}}, "light.nm.0"),
        ({"light": {"nm": [400.1, 400.2, 400.3], "mw_cm2_nm": [0, 9, 0]}}, "light"),
        ({"light": {"nm": [400, 401], "mw_cm2_nm": [1, -1]}}, "light.mw_cm2_nm.1"),
        ({"light": {"id": "sunshine"}}, "light.id"),
        ({"light": {}}, "light"),
        ({"light": 5}, "light"),
        ({"absorber": {"id": "xyz"}}, "absorber.id"),
        ({"absorber": {"nm": [400, 401], "l_mol_cm": [1.0]}}, "absorber"),
        ({"absorber": {}}, "absorber"),
        ({"grid": {"low_nm": 600, "high_nm": 500}}, "grid.high_nm"),
        ({"mol_l": 0}, "mol_l"),
    ],
)
def test_bad_light_or_absorber_is_located(refused, changes, field):
    assert refused("absorbed", **changes)[0] == field


def test_a_lamp_at_the_design_wavelength_needs_the_planned_time(ask):
    layer = only(ask("pairing", PAIRING))

    assert layer["verdict"] == "pass"
    assert layer["seconds_needed"] == pytest.approx(10.0)
    assert layer["effective_mw_cm2"] == pytest.approx(420.0)
    assert layer["seconds_low"] < 10.0 < layer["seconds_high"]
    assert layer["bottom_seconds_needed"] > 10.0


@pytest.mark.parametrize(
    ("planned_s", "verdict"), [(10.0, "pass"), (9.9, "marginal"), (3.3, "fail")]
)
def test_verdicts_follow_seconds_needed(ask, planned_s, verdict):
    answer = ask("pairing", PAIRING, planned_s=planned_s)

    assert answer["verdict"] == only(answer)["verdict"] == verdict
    assert bool(only(answer)["reasons"]) or verdict == "pass"


def test_a_practice_may_narrow_marginal_but_not_widen_it(ask, refused):
    assert only(ask("pairing", PAIRING, planned_s=5.5))["verdict"] == "marginal"
    narrowed = ask("pairing", PAIRING, planned_s=5.5, marginal_factor=1.5)

    assert only(narrowed)["verdict"] == "fail"
    assert refused("pairing", PAIRING, marginal_factor=4)[0] == "marginal_factor"


def test_a_blue_lamp_does_not_set_an_acylphosphine_oxide(ask):
    blue = {"lines": [[1000.0, 460.0, 25.0]]}
    layer = only(ask("pairing", PAIRING, light=blue))

    assert layer["verdict"] == "fail"
    assert 100 < layer["seconds_needed"] < 1000


def test_a_lamp_without_effect_has_no_seconds(ask):
    answer = ask("pairing", PAIRING, light={"nm": [550, 570], "mw_cm2_nm": [9, 9]})

    assert only(answer)["verdict"] == "fail"
    assert only(answer)["seconds_needed"] is None
    assert "no time is enough" in only(answer)["reasons"][0]
    assert answer["reason"]


def test_a_lamp_without_a_spectrum_fails(ask, refused):
    unknown = {k: v for k, v in PAIRING.items() if k != "light"}
    answer = ask("pairing", unknown, spectrum="unknown")

    assert only(answer)["verdict"] == "fail"
    assert only(answer)["seconds_needed"] is None
    assert refused("pairing", unknown)[0] == "light"


def test_an_old_reading_is_at_most_marginal(ask):
    fresh = ask("pairing", PAIRING, reading_age_days=7, reading_age_limit_days=7)
    old = ask("pairing", PAIRING, reading_age_days=8, reading_age_limit_days=7)

    assert only(fresh)["verdict"] == "pass"
    assert only(old)["verdict"] == "marginal"


def test_an_initiator_known_by_class_needs_a_coupon(ask):
    guessed = {**LAYER, "initiator_known": "design class"}
    half = {**guessed, "coupon": {"held_s": 8.0}}
    proven = {**guessed, "coupon": {"held_s": 8.0, "top_s": 20.0}}

    found = only(ask("pairing", PAIRING, layers=[guessed]))
    assert (found["verdict"], found["rung"]) == ("fail", 2)
    assert "seconds are unknown" in found["reasons"][0]
    found = only(ask("pairing", PAIRING, layers=[half]))
    assert (found["verdict"], found["rung"], found["seconds_high"]) == (
        "marginal",
        3,
        None,
    )
    found = only(ask("pairing", PAIRING, layers=[proven]))
    assert (found["verdict"], found["rung"]) == ("pass", 3)
    assert (found["seconds_needed"], found["seconds_high"]) == (10.0, 20.0)


def test_a_coupon_never_lifts_a_fail(ask):
    proven = {**LAYER, "coupon": {"held_s": 8.0, "top_s": 20.0}}

    answer = ask("pairing", PAIRING, layers=[proven], planned_s=1.0)
    assert (only(answer)["verdict"], only(answer)["rung"]) == ("fail", 0)


def test_a_declared_spectrum_widens_the_band(ask):
    violet = {"lines": [[420.0, 405.0, 10.0]]}
    measured = only(ask("pairing", PAIRING, light=violet))
    declared = only(ask("pairing", PAIRING, light=violet, spectrum="declared"))

    assert declared["seconds_needed"] == measured["seconds_needed"]
    assert declared["seconds_high"] > 1.2 * measured["seconds_high"]
    assert declared["seconds_low"] < 0.9 * measured["seconds_low"]


def test_a_pass_that_may_not_hold_says_so(ask):
    layer = only(ask("pairing", PAIRING, planned_s=10.1))

    assert layer["verdict"] == "pass"
    assert "not known well enough" in layer["reasons"][0]


def test_a_vessel_lengthens_the_time(ask):
    grey = {"nm": [300, 600], "transmittance": [0.8, 0.8]}
    layer = only(ask("pairing", PAIRING, vessel=grey))

    assert layer["effective_transmittance"] == pytest.approx(0.8)
    assert layer["seconds_needed"] == pytest.approx(12.5)


def test_the_worst_layer_gives_the_verdict(ask):
    stain = {
        "name": "stain",
        "initiators": [{"absorber": {"id": "cq"}, "mol_l": 0.02}],
        "design_nm": 469.0,
        "required_effective_j_cm2": 4.2,
    }
    answer = ask("pairing", PAIRING, layers=[LAYER, stain])

    assert [layer["verdict"] for layer in answer["layers"]] == ["pass", "fail"]
    assert answer["verdict"] == "fail"


def test_a_design_wavelength_outside_the_absorption_is_located(refused):
    blind = {**LAYER, "design_nm": 590.0}

    assert refused("pairing", PAIRING, layers=[blind])[0] == "layers.0.design_nm"
    lost = {**LAYER, "initiators": [{"absorber": {"id": "x"}, "mol_l": 0.03}]}
    assert (
        refused("pairing", PAIRING, layers=[LAYER, lost])[0]
        == "layers.1.initiators.0.absorber.id"
    )


def test_a_vessel_cannot_be_judged_by_useless_light(refused):
    grey = {"nm": [300, 600], "transmittance": [0.8, 0.8]}
    green = {"nm": [550, 570], "mw_cm2_nm": [9, 9]}

    assert refused("pairing", PAIRING, light=green, vessel=grey)[0] == "light"


def test_an_absorption_curve_of_your_own(ask):
    own = {"nm": [380.0, 385.0, 390.0], "l_mol_cm": [0.0, 500.0, 0.0]}
    layer = {"name": "coat", "initiators": [{"absorber": own, "mol_l": 0.03}]}
    answer = only(ask("pairing", PAIRING, layers=[layer]))

    # A curve of one's own has no range; only the tip of it meets the lamp.
    assert answer["seconds_low"] == answer["seconds_needed"] == answer["seconds_high"]
    assert answer["seconds_needed"] == pytest.approx(10.0)


def test_a_library_lamp_may_be_scaled(ask):
    base = ask("absorbed", light={"id": "led-460"})
    twice = ask("absorbed", light={"id": "led-460", "total_mw_cm2": 2000})

    assert twice["absorbed_mol_l_s"] == pytest.approx(2 * base["absorbed_mol_l_s"])


def test_a_vessel_curve_that_ends_too_soon_is_said_of_the_vessel(ask):
    """A curve to 380 nm says nothing of a 405 nm lamp: the lamp is not to blame."""
    question = {
        "light": {"lines": [[1000.0, 405.0, 14.0]]},
        "spectrum": "measured",
        "layers": [
            {
                "name": "coat",
                "initiators": [
                    {"absorber": {"id": "bapo"}, "mol_l": 0.03, "quantum_yield": 0.6}
                ],
                "thickness_um": 25.0,
                "initiator_known": "known",
            }
        ],
        "planned_s": 10.0,
        "required_effective_j_cm2": 0.4,
        "design_nm": 385.0,
        "vessel": {"nm": [300.0, 380.0], "transmittance": [0.9, 0.95]},
    }
    (layer,) = ask("pairing", question)["layers"]

    assert layer["verdict"] == "fail"
    (told,) = layer["reasons"]
    assert told.startswith(
        "The vessel's curve goes from 300 to 380 nm and says nothing"
    )
    assert told.endswith("100% of this lamp's effect: measure the vessel there.")


# --- labels: what the ladder allows where that is all there is ------------------------

VIOLET = [{"low_nm": 385.0, "high_nm": 405.0}]
HAND = {
    "document": "EX-IFU-9",
    "revision": "2",
    "hand_s": 20.0,
    "band": {"low_nm": 380.0, "high_nm": 410.0},
    "hand_mw_cm2": 800.0,
    "set_s": 15.0,
}


def labelled(lamp=VIOLET, layer=VIOLET, hand=None, mw_cm2=1000.0, coupon=None):
    """Return a question about two labels, and no more."""
    about = {"name": "coat", "label": {"bands": layer}}
    if hand:
        about["label"]["hand_tack"] = hand
    if coupon:
        about["coupon"] = coupon
    return {
        "label": {"bands": lamp, "label_mw_cm2": mw_cm2},
        "layers": [about],
        "planned_s": 10.0,
        "required_effective_j_cm2": 4.2,
    }


@pytest.mark.parametrize(
    ("low_nm", "rung", "told"),
    [
        # Stated bands at least 25 nm apart are a known mismatch; nearer, and not
        # meeting, they say nothing; where they meet the seconds are still unknown.
        (445.0, 0, "40 nm apart"),
        (430.0, 0, "25 nm apart"),
        (429.0, 1, "do not meet"),
        (405.0, 2, "seconds are unknown"),
    ],
)
def test_two_labels_give_no_seconds(ask, low_nm, rung, told):
    lamp = [{"low_nm": low_nm, "high_nm": low_nm + 30}]
    layer = only(ask("pairing", labelled(lamp)))

    assert (layer["verdict"], layer["rung"]) == ("fail", rung)
    assert layer["seconds_needed"] is None
    assert told in " ".join(layer["reasons"])


def test_an_instruction_and_a_tab_of_today_are_a_warning_with_seconds(ask):
    layer = only(ask("pairing", labelled(hand=HAND)))

    assert (layer["verdict"], layer["rung"]) == ("marginal", 2)
    assert layer["seconds_needed"] == 20
    assert (layer["seconds_low"], layer["seconds_high"]) == (5.0, 80.0)


@pytest.mark.parametrize(
    "changes",
    [
        {"hand": {**HAND, "set_s": None}},  # no tab was lit today
        {"hand": {**HAND, "set_s": 25.0}},  # it set, but not within their seconds
        {"hand": HAND, "mw_cm2": 700.0},  # a weaker lamp than they speak of
        {"hand": HAND, "mw_cm2": 0.0},
        {"hand": {**HAND, "band": {"low_nm": 400.0, "high_nm": 410.0}}},
    ],
)
def test_an_instruction_for_another_lamp_gives_no_seconds(ask, changes):
    layer = only(ask("pairing", labelled(**changes)))

    assert (layer["verdict"], layer["seconds_needed"]) == ("fail", None)


def test_a_coupon_lifts_two_labels_but_no_known_mismatch(ask):
    coupon = {"held_s": 8.0, "top_s": 20.0}
    tested = only(ask("pairing", labelled(coupon=coupon)))
    apart = labelled([{"low_nm": 445.0, "high_nm": 475.0}], coupon=coupon)

    assert (tested["verdict"], tested["rung"]) == ("pass", 3)
    assert tested["seconds_needed"] == 10
    assert only(ask("pairing", apart))["rung"] == 0


def test_a_measured_lamp_on_a_label_is_known_no_better_than_the_label(ask):
    question = labelled() | {"light": {"lines": [[500.0, 395.0, 12.0]]}}
    layer = only(ask("pairing", question))

    assert (layer["verdict"], layer["rung"]) == ("fail", 2)


def test_a_layer_of_which_nothing_is_known_is_asked_for(refused):
    nameless = labelled() | {"layers": [{"name": "coat"}]}

    assert refused("pairing", nameless)[0] == "layers.0.initiators"
