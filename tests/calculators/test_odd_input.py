"""No question, however odd, ends in a traceback, a NaN or a quiet guess."""

import json
from copy import deepcopy
from io import StringIO
from itertools import chain

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from benchassist.calculators.run import main

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
    "wash-bath": ("plateau_g_l", "parts_left"),
}


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
    code, out, err = ask(name, text)
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
