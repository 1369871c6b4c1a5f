"""Slips in units: every number of every question ten and a thousand times off."""

import json
from copy import deepcopy
from io import StringIO

import pytest

from benchassist import calculators
from benchassist.calculators.plausible import USUAL, doubts, numbers
from benchassist.calculators.run import main
from tests.calculators.conftest import QUESTIONS

FACTORS = (10.0, 1000.0, 0.1, 0.001)
# Quick ones only where a coat is computed: the ranges are what is asked for.
SHORT = {
    "coat": {"grid": {"low_nm": 360.0, "high_nm": 410.0, "step_nm": 5.0}},
    "tack-window": {"grid": {"low_nm": 360.0, "high_nm": 410.0, "step_nm": 5.0}},
}
MORE = {
    "coat radicals": {
        "resin": {
            "initiators": [
                {
                    "absorber": {"gaussians": [[500.0, 379.0, 14.5]]},
                    "mol_l": 0.03,
                    "quantum_yield": 0.6,
                    "efficiency": 0.6,
                    "second": {"absorber": {"id": "tpo"}, "quantum_yield": 0.3},
                }
            ],
            "static_per_cm": 5.0,
            "kp_l_mol_s": 1800.0,
            "kt_l_mol_s": 2e5,
            "ko2_l_mol_s": 5e8,
            "double_bonds_mol_l": 6.0,
            "oxygen_diffusivity_m2_s": 1e-10,
            "oxygen_saturation_mol_l": 1e-3,
            "diffusion_limits": {"kelvin": 298.15},
        },
        "coats_um": [25.0],
        "segments": [
            {
                "light": {"lines": [[30.0, 385.0, 12.0]]},
                "s": 10.0,
                "top": "purge",
                "oxygen_percent": 0.5,
                "flash_hz": 8.0,
            }
        ],
        "resolution": "preview",
    },
    "eyes direct": {
        "light": {"lines": [[1000.0, 385.0, 15.0]]},
        "tip_mm": 10.0,
        "distance_mm": 300.0,
        "source_mm": 45.0,
        "filter_band": {"low_nm": 390.0, "high_nm": 525.0, "transmittance": 0.001},
    },
}
ALL = {**QUESTIONS, **MORE}


def question_of(key):
    name = key.split()[0]
    return {**ALL[key], **SHORT.get(name, {})}


def model_of(key, question):
    name = key.split()[0]
    return calculators.load(name).input_model.model_validate(question)


def places(question, at=()):
    """Yield the path of every number of a question."""
    if isinstance(question, dict | list):
        pairs = question.items() if isinstance(question, dict) else enumerate(question)
        for key, value in pairs:
            yield from places(value, (*at, key))
    elif isinstance(question, int | float) and not isinstance(question, bool):
        yield at


def off(question, place, factor):
    """Return a question with one number wrong by a factor, an integer kept one."""
    wrong = deepcopy(question)
    inside = wrong
    for key in place[:-1]:
        inside = inside[key]
    value = inside[place[-1]] * factor
    whole = isinstance(inside[place[-1]], int)
    inside[place[-1]] = max(1, round(value)) if whole else value
    return wrong, inside[place[-1]]


def asked(key, question):
    out, err = StringIO(), StringIO()
    code = main([key.split()[0]], StringIO(json.dumps(question)), out, err)
    return code, out.getvalue(), err.getvalue()


@pytest.mark.parametrize("key", sorted(ALL))
def test_a_number_that_is_off_is_refused_or_marked_or_within_its_range(key):
    question = question_of(key)
    found = list(places(question))
    assert found

    for place in found:
        for factor in FACTORS:
            wrong, value = off(question, place, factor)
            try:
                model = model_of(key, wrong)
            except ValueError:
                continue  # refused
            marked = {doubt.field: doubt.given for doubt in doubts(model)}
            for where, name, given in numbers(model, "", ""):
                low, high, _ = USUAL[name]
                if given and not low <= given <= high:
                    # A list says it once.
                    first = where.rsplit(".", 1)[0]
                    assert where in marked or any(
                        each.startswith(first.rsplit(".", 1)[0]) for each in marked
                    ), (place, value)


@pytest.mark.parametrize("key", sorted(ALL))
def test_a_thousand_times_off_is_hardly_ever_within_the_range(key):
    """What is typical times a thousand is told, save for counts and lists of spectra."""
    question = question_of(key)
    silent = []
    for place in places(question):
        for factor in (1000.0, 0.001):
            wrong, value = off(question, place, factor)
            if value == 0.0 or isinstance(value, int):
                continue
            try:
                if not doubts(model_of(key, wrong)):
                    silent.append((place, value))
            except ValueError:
                continue
    loose = {"mw_cm2_nm", "l_mol_cm", "transmittance", "kt_l_mol_s", "hours", "at_h"}
    loose |= {"from_h", "weight", "new_weight", "oxygen_diffusivity_m2_s", "kp_l_mol_s"}
    loose |= {"exposure_mj_cm2", "measured"}
    loose |= {"trapped_air_cm3", "s", "oxygen_percent", "ko2_l_mol_s", "minutes"}
    loose |= {
        "time_s",
        "light_on_s",
        "viscosity_pa_s",
        "reading_age_days",
        "reading_age_limit_days",
    }
    names = {
        next(k for k in reversed(place) if isinstance(k, str)) for place, _ in silent
    }
    assert {n for n in names if not n.endswith("minutes")} <= loose | {"patches"}


@pytest.mark.parametrize("name", calculators.NAMES)
def test_every_number_has_a_range_and_defaults_lie_in_it(name, questions):
    keys = [key for key in ALL if key.split()[0] == name]
    assert keys
    for key in keys:
        model = model_of(key, question_of(key))
        for where, field, value in numbers(model, "", ""):
            low, high, slip = USUAL[field]
            assert low < high, field
            assert slip.endswith((".", "?"))
            assert value == 0.0 or low <= value <= high, where


def test_a_slip_is_answered_and_said():
    code, out, _ = asked(
        "purge", {"chamber_l": 900.0, "flow_l_min": 5.0, "target_percent": 1.0}
    )
    (doubt,) = json.loads(out)["implausible"]

    assert code == 0
    assert doubt["field"] == "chamber_l"
    assert doubt["message"] == (
        "900 is unlikely: 0.3 to 60 is usual here. Is it in litres? 1000 cm3 is 1."
    )


@pytest.mark.parametrize(
    ("name", "question", "field", "words"),
    [
        (
            "absorbed",
            {
                "light": {"lines": [[1000.0, 405.0, 14.0]]},
                "absorber": {"id": "tpo"},
                "mol_l": 10.0,
            },
            "mol_l",
            "did you type weight per cent",
        ),
        (
            "depth",
            {"exposure_mj_cm2": 30.0, "ec_mj_cm2": 8.0, "dp_um": 0.175},
            "dp_um",
            "did you type millimetres",
        ),
        (
            "vessel",
            {
                "heights": {
                    "vessel_mm": 60.0,
                    "floor_mm": 3.0,
                    "part_mm": 20.0,
                    "chamber_mm": 80.0,
                    "vessel_area_cm2": 20.0,
                    "part_cm3": 900.0,
                }
            },
            "heights.part_cm3",
            "do not fit a vessel of 114 cm3",
        ),
        (
            "vessel",
            {
                "heights": {
                    "vessel_mm": 60.0,
                    "floor_mm": 3.0,
                    "part_mm": 2.0,
                    "chamber_mm": 80.0,
                    "vessel_area_cm2": 20.0,
                    "part_cm3": 12.0,
                }
            },
            "heights.part_mm",
            "did you type centimetres",
        ),
    ],
)
def test_what_cannot_be_is_refused_with_the_likely_slip(name, question, field, words):
    code, _, err = asked(name, question)
    error = json.loads(err)["error"]

    assert code == 2
    assert error["field"] == field
    assert words in error["message"]


@pytest.mark.parametrize(
    ("name", "question", "words"),
    [
        (
            "efficacy",
            {"light": {"lines": [[1000.0, 2000.0, 25.0], [1.0, 400.0, 20.0]]}},
            "nanometres",
        ),
        (
            "depth",
            {"exposure_mj_cm2": 30_000.0, "ec_mj_cm2": 8.0, "dp_um": 175.0},
            "straight to about 10 times Ec",
        ),
        (
            "drying",
            {"film_um": 500.0, "area_cm2": 300.0, "chamber_l": 1.0},
            "Air holds 4.3 %",
        ),
        (
            "wash-bath",
            {"resin_in_g": 900.0, "resin_in_ml": 800.0},
            "more resin than solvent",
        ),
    ],
)
def test_what_lies_past_an_end_is_answered_and_said(name, question, words):
    code, out, _ = asked(name, {**QUESTIONS[name], **question})
    answer = json.loads(out)

    assert code == 0
    said = [answer.get("reason") or "", *(d["message"] for d in answer["implausible"])]
    assert any(words in each for each in said)
