from dataclasses import dataclass
from typing import Annotated, Literal

import pytest

from benchassist.clock import Instant
from benchassist.journal.shape import check_shape

AT = Instant(1, 2, 3, "boot")


@dataclass(frozen=True)
class Inner:
    name: str


@dataclass(frozen=True)
class Record:
    text: str = ""
    typed: Annotated[str, "free text"] = ""
    count: int = 0
    share: float = 0.0
    yes: bool = False
    role: Literal["a", "b"] = "a"
    at: Instant | None = None
    names: tuple[str, ...] = ()
    pairs: tuple[tuple[str, float], ...] = ()
    inner: Inner | None = None


class Text(str):
    """A kind of text that JSON would turn into plain text."""

    __slots__ = ()


@pytest.mark.parametrize(
    "good",
    [
        {},
        {"text": "x", "typed": "y", "count": 10**30, "share": 1.5, "yes": True},
        {"share": 2},
        {"role": "b", "at": AT, "inner": Inner("n")},
        {"names": ("a", "b"), "pairs": (("a", 1.0), ("b", 2))},
    ],
)
def test_what_the_types_say_fits(good):
    check_shape(Record(**good))


@pytest.mark.parametrize(
    "bad",
    [
        {"text": None},
        {"text": Text("x")},
        {"typed": 1},
        {"count": 1.0},
        {"count": True},
        {"share": "1"},
        {"share": True},
        {"yes": 1},
        {"role": "c"},
        {"role": None},
        {"at": 5},
        {"at": Instant("1", 2, 3, "boot")},
        {"names": ["a"]},
        {"names": "ab"},
        {"names": ("a", 1)},
        {"pairs": (("a",),)},
        {"pairs": (("a", "b"),)},
        {"pairs": (["a", 1.0],)},
        {"inner": Inner(5)},
        {"inner": {"name": "n"}},
    ],
    ids=str,
)
def test_anything_else_is_refused_by_the_name_of_its_field(bad):
    (name,) = bad
    with pytest.raises(TypeError, match=f"field {name}"):
        check_shape(Record(**bad))
