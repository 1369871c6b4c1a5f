import json
from io import BytesIO, StringIO, TextIOWrapper
from types import ModuleType

import pytest

from benchassist import calculators
from benchassist.calculators.model import InputError, Model, about
from benchassist.calculators.purge import Input
from benchassist.calculators.run import _calculate, main


def test_the_list_has_one_line_for_every_calculator(shell):
    code, out, err = shell()

    lines = out.splitlines()
    assert (code, err) == (0, "")
    assert [line.split()[0] for line in lines] == list(calculators.NAMES)
    assert all(len(line.split()) > 4 for line in lines)


@pytest.mark.parametrize("name", calculators.NAMES)
def test_every_calculator_prints_its_schemas(shell, name):
    code, out, _ = shell(name, "--schema")
    schema = json.loads(out)

    assert code == 0
    assert schema["input"]["properties"]
    assert schema["output"]["properties"]


@pytest.mark.parametrize("name", calculators.NAMES)
def test_every_calculator_keeps_the_convention(name):
    calculator = calculators.load(name)

    assert issubclass(calculator.input_model, Model)
    assert issubclass(calculator.output_model, Model)
    assert calculator.line.endswith((".", "?"))


def test_an_answer_is_one_json_object_with_what_the_schema_promises(shell, questions):
    for key, question in questions.items():
        name = key.split()[0]
        code, out, err = shell(name, text=json.dumps(question))
        answer = json.loads(out)
        promised = calculators.load(name).output_model.model_json_schema()

        assert (code, err) == (0, "")
        assert out.count("\n") == 1
        assert set(answer) <= set(promised["properties"])
        assert set(promised.get("required", ())) <= set(answer)


@pytest.mark.parametrize(
    ("text", "field", "part"),
    [
        ("", "input", "JSON"),
        ("{", "input", "JSON"),
        ("[]", "input", "object"),
        ('{"exposure_mj_cm2": NaN}', "exposure_mj_cm2", "finite"),
        ('{"exposure_mj_cm2": -Infinity}', "exposure_mj_cm2", "finite"),
        ('{"exposure_mj_cm2": 1e999}', "exposure_mj_cm2", "finite"),
        ('{"exposure_mj_cm2": "30"}', "exposure_mj_cm2", "number"),
        ('{"exposure_mj_cm2": true}', "exposure_mj_cm2", "number"),
        ('{"exposure_mj_cm2": -1}', "exposure_mj_cm2", "greater"),
        ('{"exposure": 1}', "exposure", "permitted"),
        ('{"exposure_mj_cm2": 1, "dp_um": 1}', "ec_mj_cm2", "Give"),
        ('{"measured": [[1, 2], [3, "x"]]}', "measured.1.1", "number"),
    ],
)
def test_bad_input_is_refused_as_json_on_the_error_stream(shell, text, field, part):
    code, out, err = shell("depth", text=text)
    error = json.loads(err)["error"]

    assert (code, out) == (2, "")
    assert err.count("\n") == 1
    assert set(error) == {"field", "message", "given"}
    assert error["field"] == field
    assert part in error["message"]
    assert error["message"].endswith(".")


@pytest.mark.parametrize(
    "argv", [("nope",), ("depth", "--help"), ("depth", "--schema", "x"), ("--schema",)]
)
def test_a_wrong_command_is_refused(shell, argv):
    code, out, err = shell(*argv)

    assert (code, out) == (2, "")
    assert json.loads(err)["error"]["message"]


def test_bytes_that_are_not_text_are_refused():
    out, err = StringIO(), StringIO()
    stdin = TextIOWrapper(BytesIO(b"\xff\xfe{"), encoding="utf-8")
    code = main(("purge",), stdin, out, err)

    assert (code, out.getvalue()) == (2, "")
    assert json.loads(err.getvalue())["error"]["field"] == "input"


def test_an_answer_that_is_not_finite_is_an_error_and_never_a_null():
    class Infinite(Model):
        s: float

    module = ModuleType("module")
    module.Input = Input
    module.run = lambda _: Infinite(s=float("inf"))
    calculator = calculators.Calculator("purge", module)
    text = '{"chamber_l": 10, "flow_l_min": 5, "target_percent": 1}'

    with pytest.raises(InputError, match="The answer s is not a finite number"):
        _calculate(calculator, StringIO(text))


def test_an_error_about_a_field_keeps_the_field_it_names():
    with pytest.raises(InputError) as caught, about("outer"):
        raise InputError("No.", field="inner")
    assert caught.value.field == "inner"


def test_a_long_input_is_not_echoed_whole(shell):
    question = {"light": {"id": "x" * 5000}}
    _, _, err = shell("absorbed", text=json.dumps(question))

    assert len(err) < 1000


def test_the_shape_of_a_light_does_not_clutter_the_field(shell):
    question = {"light": {"lines": [[1, 385, 0]]}, "absorber": {"id": "tpo"}}
    _, _, err = shell("absorbed", text=json.dumps({**question, "mol_l": 0.03}))

    assert json.loads(err)["error"]["field"] == "light.lines.0.2"
