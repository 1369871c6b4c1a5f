"""What is amiss in a library file, one plain line for each thing.

A line names the file, the place in it, what was expected there and what is given.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from types import UnionType
from typing import TYPE_CHECKING, Any, NamedTuple, Union, get_args, get_origin

from pydantic import BaseModel

from benchassist.plain import PlainError

if TYPE_CHECKING:
    from pydantic import ValidationError
    from pydantic_core import ErrorDetails

SHOWN = 40  # [characters] of what was given; the place says where to look


class Fault(NamedTuple):
    """One thing amiss: where, what was expected there, what is given."""

    place: str
    expected: str
    given: str

    def __str__(self) -> str:
        """Return the line without the file's name."""
        start = f"{self.place}: " if self.place else ""
        return f"{start}expected {self.expected}; given {self.given}."


class LibraryError(PlainError, ValueError):
    """A library file that cannot be filed; nothing of it was.

    Attributes
    ----------
    lines
        One sentence for each thing amiss.
    """

    def __init__(self, name: str, faults: Iterable[Fault | str]) -> None:
        self.lines = tuple(f"{name}: {fault}" for fault in faults)
        super().__init__("\n".join(self.lines))


def place_of(loc: Sequence[int | str]) -> str:
    """Return a place as people write it: ``lamps[2].spectrum.nm[17]``."""
    text = ""
    for step in loc:
        text += f"[{step}]" if isinstance(step, int) else f".{step}"
    return text.removeprefix(".")


def shown(given: object) -> str:
    """Return what was given, short enough for one line."""
    if given is None or given == "":
        return "nothing"
    if isinstance(given, dict):
        return "a table"
    if isinstance(given, list | tuple):
        return f"a list of {len(given)}" if given else "an empty list"
    text = json.dumps(given, default=str, ensure_ascii=False)
    text = "".join(each if each.isprintable() else "·" for each in text)
    return text if len(text) <= SHOWN else f"{text[:SHOWN]}…"


def faults_of(error: ValidationError, model: type[BaseModel]) -> list[Fault]:
    """Return what pydantic found, in the words of this program."""
    return [_fault(each, model) for each in error.errors(include_url=False)]


def _fault(found: ErrorDetails, model: type[BaseModel]) -> Fault:
    loc = found["loc"]
    context = found.get("ctx", {})
    match found["type"]:
        case "field_fault":
            place = place_of((*loc, context["at"]))
            return Fault(place, context["expected"], shown(context["given"]))
        case "missing":
            return Fault(place_of(loc), "a value for this field", "nothing")
        case "extra_forbidden":
            fields = ", ".join(_fields_at(model, loc[:-1]))
            return Fault(place_of(loc[:-1]), f"one of {fields}", f"“{loc[-1]}”")
        case "value_error":
            expected = str(context.get("error", found["msg"]))
        case "string_pattern_mismatch":
            expected = _PATTERNS.get(context["pattern"], found["msg"])
        case _:
            expected = found["msg"]
    for start in ("Input should be ", "Input should have ", "Input should "):
        expected = expected.removeprefix(start)
    return Fault(place_of(loc), expected, shown(found["input"]))


_PATTERNS = {
    r"\S": "some text",
    r"^[^\s,=]+$": "a code without blanks, commas and equals signs",
    r"^[^/\\]+\.csv$": "the name of a .csv file that lies beside this one",
}


def _fields_at(model: type[BaseModel], loc: Sequence[int | str]) -> list[str]:
    """Return the names of the fields that may stand at a place."""
    for step in loc:
        if isinstance(step, str):
            found = _model_in(model.model_fields[step].annotation)
            if found is not None:
                model = found
    return list(model.model_fields)


def _model_in(annotation: Any) -> type[BaseModel] | None:  # noqa: ANN401 - any type
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    if get_origin(annotation) in (list, Union, UnionType):
        return next(filter(None, map(_model_in, get_args(annotation))), None)
    return None
