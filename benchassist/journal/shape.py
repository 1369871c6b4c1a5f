"""Whether an event holds exactly what its types say, so that it can be read back.

A type checker sees most of this, but not a list in a tuple's place or a number of
another library; one such event on the disk would keep the journal from opening.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields, is_dataclass
from functools import cache
from types import UnionType
from typing import (
    Annotated,
    Any,
    Literal,
    TypeAlias,
    Union,
    get_args,
    get_origin,
    get_type_hints,
)

Check: TypeAlias = Callable[[Any], bool]


def check_shape(record: Any) -> None:  # noqa: ANN401 - any dataclass
    """Check every field of a dataclass against its annotation.

    Raises
    ------
    TypeError
        If a field holds something else; the message names it.
    """
    cls: Any = type(record)
    for name, fits in _fields(cls):
        value = getattr(record, name)
        if not fits(value):
            message = f"{value!r} does not belong in its field {name}."
            raise TypeError(message)


@cache
def _fields(cls: Any) -> tuple[tuple[str, Check], ...]:  # noqa: ANN401 - a dataclass
    hints = get_type_hints(cls, include_extras=True)
    return tuple((field.name, _check(hints[field.name])) for field in fields(cls))


@cache
def _check(hint: Any) -> Check:  # noqa: ANN401 - any type a field can have
    """Return what says whether a value is of the type ``hint``."""
    origin, args = get_origin(hint), get_args(hint)
    if origin is Annotated:
        return _check(args[0])
    if origin is Literal:
        return lambda value: type(value) is str and value in args
    if origin in (Union, UnionType):
        either = tuple(map(_check, args))
        return lambda value: any(fits(value) for fits in either)
    if origin is tuple:
        return _row(args)
    if is_dataclass(hint):
        return _record(hint)
    allowed = (float, int) if hint is float else (hint,)
    return lambda value: type(value) in allowed


def _row(args: tuple[Any, ...]) -> Check:
    if args[-1] is Ellipsis:
        each = _check(args[0])
        return lambda value: type(value) is tuple and all(map(each, value))
    checks = tuple(map(_check, args))
    return lambda value: (
        type(value) is tuple
        and len(value) == len(checks)
        and all(fits(item) for fits, item in zip(checks, value, strict=True))
    )


def _record(cls: Any) -> Check:  # noqa: ANN401 - a dataclass
    inner = _fields(cls)
    return lambda value: (
        type(value) is cls and all(fits(getattr(value, name)) for name, fits in inner)
    )
