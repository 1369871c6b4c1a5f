"""No question, however odd, ends in a traceback, a NaN or a quiet guess."""

import json
from copy import deepcopy
from io import StringIO
from itertools import chain
from math import exp, log

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from benchassist.calculators import NAMES
from benchassist.calculators.run import main
from benchassist.physics import coat_resin

# Written as JSON text, because Python has no NaN, duplicate or bare word of its own.
WORDS = ["NaN", "Infinity", "-Infinity", "1e999", "-1e999", "null", "true", '"5"']
WORDS += ['""', "[]", "{}", "[[]]", '{"id": "bapo"}', "0", "-0.0", "-1", "1e-320"]
WORDS += ["1e-300", "1e300", "9" * 400, "0.1", "1", "2", "3", "10", "300", "385.25"]
WORDS += ["600", "1000", "5e4", "1e6", "1e9", '"\\u0000"', '"\\ud800"', "nope"]
NUMBERS = st.one_of(
    st.sampled_from([0.0, 1e-9, 1e-6, 1e-3, 0.05, 0.5, 1.0, 2.0, 10.0, 100.0]),
    st.sampled_from([200.0, 300.0, 385.0, 460.0, 600.0, 800.0, 1e3, 1e4, 1e5, 1e6]),
    st.floats(0, 1),
    st.floats(0, 1000),
    st.integers(0, 100),
)
# Numbers that are null only where they are infinite, which must be explained.
EXPLAINED = {
    "coat": ("inhibition_s",),
    "efficacy": ("efficacy", "equal_surface_dose_s"),
    "eyes": ("permissible_s",),
    "forecast-ready": ("slack_minutes",),
    "spots": ("covering_count",),
    "tack-window": ("least_s", "most_s"),
    "wash-bath": ("plateau_g_l", "parts_left"),
}


@pytest.fixture(autouse=True)
def _soon(monkeypatch):
    """Leave a fraction of a second to spend: however dear a coat is, there is an end."""
    monkeypatch.setattr(coat_resin, "MOST_EFFORT", 2e5)


def leaves(value, place=()):
    """Yield the place of everything in a question, whole branches included."""
    if place:
        yield place
    items = (
        value.items()
        if isinstance(value, dict)
        else enumerate(value)
        if isinstance(value, list)
        else ()
    )
    yield from chain.from_iterable(leaves(v, (*place, k)) for k, v in items)


def put(question, place, value):
    *way, last = place
    for step in way:
        question = question[step]
    question[last] = value


def ask(name, text):
    out, err = StringIO(), StringIO()
    code = main([name], StringIO(text), out, err)
    return code, out.getvalue(), err.getvalue()


def strict(text):
    def refuse(word):
        message = f"{word} is not JSON"
        raise AssertionError(message)

    return json.loads(text, parse_constant=refuse)


def check(name, text):
    check_told(name, *ask(name, text))


def check_told(name, code, out, err):
    if code == 0:
        assert err == ""
        answer = strict(out)
        for field in EXPLAINED.get(name, ()):
            assert answer[field] is not None or answer["reason"], field
        return
    assert code == 2
    assert out == ""
    error = strict(err)["error"]
    assert set(error) == {"field", "message", "given"}
    assert error["message"].endswith(".")
    assert "Traceback" not in err


def test_every_calculator_is_asked(questions):
    assert {key.split()[0] for key in questions} == set(NAMES)


@settings(
    deadline=None,
    max_examples=400,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(data=st.data())
def test_one_odd_word_anywhere(questions, data):
    key = data.draw(st.sampled_from(sorted(questions)))
    question = deepcopy(questions[key])
    place = data.draw(st.sampled_from(sorted(leaves(question), key=str)))
    put(question, place, "@@")
    word = data.draw(st.sampled_from(WORDS))

    check(key.split()[0], json.dumps(question).replace('"@@"', word))


@settings(
    deadline=None,
    max_examples=600,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(data=st.data())
def test_odd_numbers_in_several_places(questions, data):
    key = data.draw(st.sampled_from(sorted(questions)))
    question = deepcopy(questions[key])
    numbers = [
        place
        for place in leaves(question)
        if isinstance(value_at(question, place), float | int)
        and not isinstance(value_at(question, place), bool)
    ]
    chosen = data.draw(
        st.lists(st.sampled_from(numbers), min_size=1, max_size=6, unique=True)
    )
    for place in chosen:
        put(question, place, data.draw(NUMBERS))

    check(key.split()[0], json.dumps(question))


def value_at(question, place):
    for step in place:
        question = question[step]
    return question


@settings(
    deadline=None,
    max_examples=150,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(data=st.data())
def test_a_field_left_out_or_added(questions, data):
    key = data.draw(st.sampled_from(sorted(questions)))
    question = deepcopy(questions[key])
    name = data.draw(st.sampled_from(sorted(question)))
    if data.draw(st.booleans()):
        del question[name]
    else:
        question[name + "_mm"] = 1.0
        code, _, _ = ask(key.split()[0], json.dumps(question))
        assert code == 2

    check(key.split()[0], json.dumps(question))


@settings(
    deadline=None,
    max_examples=150,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(
    data=st.data(),
    text=st.one_of(
        st.text(max_size=60),
        st.recursive(
            st.none() | st.booleans() | st.floats() | st.text(max_size=8),
            lambda inner: (
                st.lists(inner, max_size=4)
                | st.dictionaries(st.text(max_size=8), inner, max_size=4)
            ),
            max_leaves=12,
        ).map(json.dumps),
    ),
)
def test_any_text_at_all(questions, data, text):
    check(data.draw(st.sampled_from(sorted(questions))).split()[0], text)


def test_a_deeply_nested_input_is_refused(questions):
    for key in questions:
        check(key.split()[0], "[" * 100_000)


# Ends of what the door lets in, far past any bench.
RESIN = {
    "kp_l_mol_s": (1e-6, 1e12),
    "kt_l_mol_s": (1e-6, 1e12),
    "ko2_l_mol_s": (1e-6, 1e12),
    "double_bonds_mol_l": (1e-9, 20.0),
    "oxygen_diffusivity_m2_s": (1e-16, 1e-7),
    "oxygen_saturation_mol_l": (1e-9, 1.0),
    "cured_diffusivity_ratio": (1e-6, 10.0),
    "static_per_cm": (1e-9, 1e5),
}
INITIATOR = {
    "mol_l": (1e-9, 20.0),
    "quantum_yield": (1e-6, 2.0),
    "efficiency": (1e-6, 1.0),
}
FILM = {
    "thickness_um": (1.0, 1e6),
    "oxygen_diffusivity_m2_s": (1e-16, 1e-7),
    "oxygen_saturation_mol_l": (1e-9, 1.0),
}


def between(low, high):
    """Return numbers from a range over many decades, its ends above all."""
    inside = st.floats(log(low), log(high)).map(exp)
    return st.sampled_from([low, high]) | inside.map(lambda x: min(max(x, low), high))


def some(ranges):
    """Return questions that give some of the fields a number from its range."""
    fields = {name: between(*ends) for name, ends in ranges.items()}
    return st.fixed_dictionaries({}, optional=fields)


def mapped(outer, **inner):
    """Return questions of which some fields hold others."""
    return st.tuples(outer, st.fixed_dictionaries(inner)).map(
        lambda x: {**x[0], **x[1]}
    )


LIGHTS = st.builds(
    lambda mw_cm2, nm, fwhm_nm: {"lines": [[mw_cm2, nm, fwhm_nm]]},
    between(1e-3, 1e6),
    st.sampled_from([370.0, 400.0, 470.0]),
    between(1.0, 100.0),
)
INITIATORS = mapped(
    some(INITIATOR), absorber=st.sampled_from([{"id": "bapo"}, {"id": "cq"}])
)
RESINS = mapped(
    some(RESIN),
    initiators=st.lists(INITIATORS, min_size=1, max_size=2),
    diffusion_limits=st.sampled_from([None, {}]),
)
TIMES = mapped(
    st.fixed_dictionaries({"s": between(1e-6, 1e5)}),
    light=LIGHTS | st.just("dark"),
    top=st.sampled_from(["air", "inert", "purge", "film"]),
    film=some(FILM),
)
SHARED = {
    "resin": RESINS,
    "coats_um": st.lists(between(1.0, 500.0), min_size=1, max_size=2),
    "threshold": st.sampled_from([1e-6, 0.2, 0.999999]),
    "radicals": st.sampled_from(["full", "quasi-steady"]),
    "draws": st.sampled_from([0, 0, 2]),
    "grid": st.just({"step_nm": 5.0}),
}
EXTREMES = {
    "coat": st.fixed_dictionaries(
        {**SHARED, "segments": st.lists(TIMES, min_size=1, max_size=3)}
    ),
    "tack-window": st.fixed_dictionaries(
        {**SHARED, "light": LIGHTS, "later": st.lists(TIMES, min_size=1, max_size=2)}
    ),
}


@pytest.mark.parametrize("name", sorted(EXTREMES))
@settings(
    deadline=None,
    max_examples=50,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(data=st.data())
def test_legal_extremes_of_a_coat_end_in_an_answer_or_a_sentence(name, data):
    code, out, err = ask(name, json.dumps(data.draw(EXTREMES[name])))

    check_told(name, code, out, err)
    if code == 2:
        error = json.loads(err)["error"]
        assert error["field"].split(".")[0] in {"resin", "light", "later", "segments"}
