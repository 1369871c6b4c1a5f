"""The coat and the tack window asked as from a shell."""

import json
from copy import deepcopy
from dataclasses import asdict

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from benchassist.calculators.resin import DiffusionLimits
from benchassist.physics import coat_rates

HANDHELD = {"lines": [[200.0, 400.0, 18.0], [800.0, 455.0, 25.0]]}
BOX = {"lines": [[30.0, 385.0, 12.0]]}
# An illustration of an acylphosphine oxide.
INITIATOR = {"absorber": {"gaussians": [[500.0, 379.0, 14.5], [110.0, 396.0, 8.0]]}}
SECOND_HALF = [
    {"light": "dark", "s": 20.0, "top": "film"},
    {"light": BOX, "s": 300.0, "top": "film"},
]
TWO_COATS = {
    "resin": {"initiators": [INITIATOR]},
    "segments": [
        {"new_coat_um": 25.0},
        {"light": HANDHELD, "s": 10.0, "top": "air"},
        {"light": "dark", "s": 30.0},
        {"new_coat_um": 25.0},
        {"light": "dark", "s": 5.0},
        {"light": HANDHELD, "s": 10.0},
        {"light": "dark", "s": 30.0},
        *SECOND_HALF,
    ],
}
SHORT = {
    "resin": {
        "initiators": [{**INITIATOR, "product": {"gaussians": [[50.0, 350.0, 20.0]]}}],
        "static_per_cm": 1.0,
        "static_curve": {"nm": [300.0, 600.0], "per_cm": [2.0, 0.0]},
        "kp_l_mol_s": 1800.0,
        "kt_l_mol_s": 2e5,
        "ko2_l_mol_s": 5e8,
        "double_bonds_mol_l": 6.0,
        "oxygen_diffusivity_m2_s": 1e-10,
        "oxygen_saturation_mol_l": 1.05e-3,
        "cured_diffusivity_ratio": 0.5,
        "diffusion_limits": {"kelvin": 298.15},
    },
    "coats_um": [10.0],
    "segments": [
        {"light": BOX, "s": 2.0, "top": "purge"},
        {"new_coat_um": 5.0},
        {
            "light": {"id": "violet-blue"},
            "s": 2.0,
            "top": "film",
            "film": {
                "thickness_um": 100.0,
                "oxygen_diffusivity_m2_s": 1e-11,
                "oxygen_saturation_mol_l": 7e-5,
                "top": "sealed",
            },
            "fresh_film": True,
        },
    ],
    "threshold": 0.2,
    "radicals": "full",
    "resolution": "preview",
    "draws": 2,
    "seed": 1,
    "grid": {"low_nm": 300.0, "high_nm": 600.0, "step_nm": 0.5},
}
WINDOW = {
    "light": HANDHELD,
    "resin": {"initiators": [INITIATOR]},
    "coats_um": [25.0],
    "later": SECOND_HALF,
    "draws": 0,
}


def test_two_coats_cure_after_each_segment(ask):
    answer = ask("coat", TWO_COATS)

    after = answer["after"]
    assert [one["segment"] for one in after] == [1, 2, 4, 5, 6, 7, 8]
    assert after[-1]["end_s"] == pytest.approx(405.0)
    assert after[0]["tacky_um"] == pytest.approx(4.7, abs=0.2)
    assert after[2]["tacky_um"] == pytest.approx(25.0 + after[1]["tacky_um"], abs=0.1)
    assert answer["mean_conversion"] == after[-1]["mean_conversion"]
    assert answer["inhibition_s"] == after[0]["inhibition_s"]
    assert answer["band"] is None
    assert answer["reason"] is None
    profile = answer["profile"]
    by_hand = sum(
        width * x
        for width, x in zip(profile["width_um"], profile["conversion"], strict=True)
    )
    assert by_hand / 50.0 == pytest.approx(answer["mean_conversion"], rel=1e-9)
    assert sum(profile["width_um"]) == pytest.approx(50.0)


def test_the_default_resin_is_enough(ask):
    segments = [{"new_coat_um": 25.0}, {"light": HANDHELD, "s": 10.0}]
    answer = ask("coat", {"segments": segments})

    assert 4.0 < answer["tacky_um"] < 8.0
    assert answer["tacky_bottom_um"] == 0.0


def test_coats_at_the_start_are_coats_laid_first(ask):
    first = ask("coat", {**TWO_COATS, "segments": TWO_COATS["segments"][:3]})
    laid = ask(
        "coat",
        {**TWO_COATS, "coats_um": [25.0], "segments": TWO_COATS["segments"][1:3]},
    )

    assert laid["profile"] == first["profile"]


def test_draws_bring_a_band_that_says_what_was_varied(ask):
    answer = ask("coat", {**TWO_COATS, "draws": 40, "seed": 3})
    again = ask("coat", {**TWO_COATS, "draws": 40, "seed": 3})

    band = answer["band"]
    assert again["band"] == band
    mean = band["mean_conversion"]
    assert mean["low"] < mean["median"] < mean["high"]
    assert mean["low"] < answer["mean_conversion"] < mean["high"]
    assert band["tacky_um"]["high"] > 1.0
    assert {one["name"] for one in band["varied"]} >= {"kp", "oxygen_diffusivity"}
    assert all(one["source"] for one in band["varied"])
    profile = band["profile"]
    for low, middle, high in zip(
        profile["low"], profile["median"], profile["high"], strict=True
    ):
        assert low <= middle <= high


def test_a_coat_that_is_never_freed_says_so(ask):
    segments = [{"new_coat_um": 20.0}, {"light": "dark", "s": 10.0}]
    answer = ask("coat", {"segments": segments})

    assert answer["inhibition_s"] is None
    assert "No depth" in answer["reason"]
    assert answer["tacky_um"] == pytest.approx(20.0)
    assert answer["mean_conversion"] == 0.0


def test_quasi_steady_radicals_can_be_asked_for(ask):
    full = ask("coat", TWO_COATS)
    steady = ask("coat", {**TWO_COATS, "radicals": "quasi-steady"})

    assert steady["mean_conversion"] != full["mean_conversion"]
    assert steady["mean_conversion"] == pytest.approx(full["mean_conversion"], abs=0.02)


def test_a_tabulated_curve_and_a_library_one_are_read(ask):
    table = {"nm": [370.0, 385.0, 400.0], "l_mol_cm": [500.0, 500.0, 250.0]}
    for absorber in (table, {"id": "bapo"}):
        resin = {"initiators": [{"absorber": absorber}]}
        segments = [{"new_coat_um": 25.0}, {"light": BOX, "s": 60.0}]
        answer = ask("coat", {"resin": resin, "segments": segments, "draws": 5})

        assert 0.1 < answer["mean_conversion"] < 1.0


@pytest.mark.parametrize(
    ("segments", "field", "words"),
    [
        ([{"light": BOX, "s": 1.0}], "coats_um", "no coat"),
        ([{"new_coat_um": 20.0}], "segments", "at least one timed segment"),
        ([{"new_coat_um": 0.1}], "segments.0.new_coat_um", "greater than or equal"),
        (
            [{"new_coat_um": 20.0}, {"light": "dim", "s": 1.0}],
            "segments.1.light",
            "dark",
        ),
        ([{"new_coat_um": 20.0}, {"light": BOX, "s": -1.0}], "segments.1.s", "greater"),
        (
            [{"new_coat_um": 20.0}, {"light": BOX, "s": 1.0, "top": "oil"}],
            "segments.1.top",
            "air",
        ),
        (
            [*[{"new_coat_um": 500.0}] * 3, {"light": BOX, "s": 1.0}],
            "segments",
            "thicker than 1000 um",
        ),
    ],
)
def test_bad_segments_are_one_sentence(refused, segments, field, words):
    place, message = refused("coat", {"segments": segments})

    assert place == field
    assert words in message


def test_the_window_opens_between_too_little_and_too_much(ask):
    answer = ask("tack-window", {**WINDOW, "coats_um": [25.0, 25.0], "draws": 8})

    assert answer["open"]
    assert 0.1 < answer["least_s"] < 3.0
    assert 6.0 < answer["most_s"] < 20.0
    assert answer["least_band"]["low"] < answer["least_s"]
    assert answer["least_band"]["high"] > answer["least_s"]
    assert answer["most_band"]["low"] < answer["most_band"]["high"]
    assert "coat" in answer["least_limit"]
    assert "initiator is left in the skin" in answer["most_limit"]
    assert answer["skin_um"] == 0.0


def test_the_ends_of_the_window_are_what_the_coat_says(ask):
    """Two routes: the coat itself just inside and just outside either end."""
    window = ask("tack-window", WINDOW)

    def after(seconds, later):
        lit = {"light": HANDHELD, "s": seconds}
        pause = [{"light": "dark", "s": 30.0}]
        segments = [{"new_coat_um": 25.0}, lit, *(pause + SECOND_HALF if later else [])]
        return ask("coat", {"resin": WINDOW["resin"], "segments": segments})

    assert after(0.97 * window["least_s"], later=False)["tacky_bottom_um"] > 0.0
    assert after(1.03 * window["least_s"], later=False)["tacky_bottom_um"] == 0.0
    assert after(0.9 * window["most_s"], later=True)["tacky_um"] <= 1.0
    assert after(1.1 * window["most_s"], later=True)["tacky_um"] > 1.0


def test_a_lamp_of_the_wrong_colour_never_sets_a_coat(ask):
    """A blue lamp on an acylphosphine oxide: no end, and a sentence why."""
    blue = {"lines": [[1000.0, 470.0, 20.0]]}
    answer = ask("tack-window", {**WINDOW, "light": blue})

    assert answer["least_s"] is None
    assert not answer["open"]
    assert "too few radicals" in answer["least_limit"]
    assert answer["most_s"] is None
    assert "600 s" in answer["reason"]


def test_later_segments_that_do_not_cure_leave_no_window(ask):
    later = [{"light": "dark", "s": 60.0, "top": "film"}]
    answer = ask("tack-window", {**WINDOW, "later": later})

    assert answer["most_s"] == 0.0
    assert not answer["open"]
    assert "do not cure it" in answer["most_limit"]


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"coats_um": []}, "coats_um"),
        ({"later": []}, "later"),
        ({"light": {"lines": [[0.0, 400.0, 10.0]]}}, "light"),
        ({"later": [{"new_coat_um": 20.0}]}, "later.0.light"),
        ({"draws": 501}, "draws"),
    ],
)
def test_bad_windows_are_one_sentence(refused, changes, field):
    place, message = refused("tack-window", {**WINDOW, **changes})

    assert place == field
    assert message.endswith(".")


def leaves(value, place=()):
    if place:
        yield place
    items = value.items() if isinstance(value, dict) else ()
    items = enumerate(value) if isinstance(value, list) else items
    for key, inner in items:
        yield from leaves(inner, (*place, key))


ODD = st.one_of(
    st.sampled_from([0.0, -1.0, 1e-9, 1e-3, 1.0, 2, 30.0, 400.0, 1e5, 1e12, "dark"]),
    st.sampled_from([None, True, "", [], {}, {"id": "bapo"}, {"id": "none"}]),
    st.floats(0, 1000),
)


@settings(
    deadline=None,
    max_examples=80,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(data=st.data())
def test_no_odd_coat_ends_in_a_traceback(shell, data):
    question = deepcopy(SHORT)
    places = sorted(leaves(question), key=str)
    for place in data.draw(st.lists(st.sampled_from(places), min_size=1, max_size=3)):
        target = question
        try:
            for step in place[:-1]:
                target = target[step]
            target[place[-1]] = data.draw(ODD)
        except (KeyError, IndexError, TypeError):
            continue  # an earlier change took this place away

    code, out, err = shell("coat", text=json.dumps(question))

    if code == 0:
        answer = json.loads(out, parse_constant=pytest.fail)
        assert 0.0 <= answer["mean_conversion"] <= 1.0
        assert answer["tacky_um"] >= 0.0
        assert err == ""
    else:
        assert (code, out) == (2, "")
        assert json.loads(err)["error"]["message"].endswith(".")


def test_the_limits_that_are_not_given_are_those_of_the_physics():
    """They are written twice, once with the range that a question may have."""
    assert DiffusionLimits().model_dump() == asdict(coat_rates.DiffusionLimits())
