"""Frozen value classes keep the promises of the standard frozen dataclass."""

import copy
import dataclasses
import inspect

import pytest

from benchassist.value import replace, value


@value
class Spot:
    """A spot; the fields of every kind."""

    number: int
    face: str
    seconds: float = 10.0
    kept: dict = dataclasses.field(default_factory=dict)


@value
class Edge(Spot):
    """A spot with one field more."""

    corner: str = "left"


def test_fields_come_by_place_by_name_and_by_default():
    assert Spot(1, "upper") == Spot(number=1, face="upper", seconds=10.0, kept={})
    assert Edge(1, face="upper").corner == "left"


def test_each_instance_gets_its_own_fresh_default():
    assert Spot(1, "upper").kept is not Spot(1, "upper").kept


@pytest.mark.parametrize(
    ("given", "named", "told"),
    [
        ((1,), {}, "face"),
        ((), {}, "number"),
        ((1, "upper", 1.0, {}, 5), {}, "positional"),
        ((1, "upper"), {"colour": "red"}, "colour"),
        ((1, "upper"), {"number": 2}, "number"),
    ],
)
def test_wrong_fields_are_named(given, named, told):
    with pytest.raises(TypeError, match=told):
        Spot(*given, **named)


def test_nothing_is_changed_or_taken_away():
    spot = Spot(1, "upper")
    with pytest.raises(dataclasses.FrozenInstanceError):
        spot.number = 2
    with pytest.raises(dataclasses.FrozenInstanceError):
        spot.colour = "red"
    with pytest.raises(dataclasses.FrozenInstanceError):
        del spot.number
    assert spot == Spot(1, "upper")


def test_values_are_compared_by_class_and_content():
    assert Spot(1, "upper") != Spot(1, "lower")
    assert Spot(1, "upper") != Edge(1, "upper")
    assert len({(1, "upper"), (1, "upper")}) == 1


def test_equal_values_hash_alike_where_their_fields_can():
    @value
    class Code:
        """A code."""

        text: str

    assert len({Code("EX-1"), Code("EX-1"), Code("EX-2")}) == 2


def test_the_standard_tools_work_on_them():
    spot = Spot(1, "upper")

    assert dataclasses.replace(spot, face="lower") == Spot(1, "lower")
    assert [each.name for each in dataclasses.fields(spot)][:2] == ["number", "face"]
    assert copy.deepcopy(spot) == spot
    assert repr(spot).endswith("Spot(number=1, face='upper', seconds=10.0, kept={})")
    match spot:
        case Spot(number, face):
            assert (number, face) == (1, "upper")


def test_some_fields_are_replaced_and_no_other_is_invented():
    spot = Edge(1, "upper", corner="right")

    assert replace(spot, face="lower") == Edge(1, "lower", corner="right")
    assert spot.face == "upper"
    with pytest.raises(TypeError, match="colour"):
        replace(spot, colour="red")


def test_its_fields_are_its_signature_before_the_first_instance():
    @value
    class Coat:
        """A coat."""

        number: int
        um: float = 25.0

    assert list(inspect.signature(Coat).parameters) == ["number", "um"]
    assert inspect.signature(Coat).parameters["um"].default == 25.0
