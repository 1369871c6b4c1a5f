"""Whether an event holds exactly what its types say, so that it can be read back.

A type checker sees most of this, but not a list in a tuple's place or a number of
another library; one such event on the disk would keep the journal from opening.
"""

from __future__ import annotations

from dataclasses import fields, is_dataclass
from types import UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

_HINTS: dict[type, dict[str, Any]] = {}


def check_shape(record: Any) -> None:  # noqa: ANN401 - any dataclass
    """Check every field of a dataclass against its annotation.

    Raises
    ------
    TypeError
        If a field holds something else; the message names it.
    """
    for name, hint in _hints(type(record)).items():
        value = getattr(record, name)
        if not _fits(value, hint):
            message = f"{value!r} does not belong in its field {name}."
            raise TypeError(message)


def _fits(value: object, hint: Any) -> bool:  # noqa: ANN401, PLR0911 - one line a case
    if hint is float:
        return type(value) in (float, int)
    origin, args = get_origin(hint), get_args(hint)
    if origin is None:
        if not is_dataclass(hint):
            return type(value) is hint
        return type(value) is hint and all(
            _fits(getattr(value, name), inner) for name, inner in _hints(hint).items()
        )
    if origin is Annotated:
        return _fits(value, args[0])
    if origin is Literal:
        return type(value) is str and value in args
    if origin in (Union, UnionType):
        return any(_fits(value, arg) for arg in args)
    if not isinstance(value, tuple):
        return False
    if args[-1] is Ellipsis:
        return all(_fits(item, args[0]) for item in value)
    return len(value) == len(args) and all(map(_fits, value, args))


def _hints(cls: type) -> dict[str, Any]:
    if cls not in _HINTS:
        hints = get_type_hints(cls, include_extras=True)
        _HINTS[cls] = {field.name: hints[field.name] for field in fields(cls)}
    return _HINTS[cls]
