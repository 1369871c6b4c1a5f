"""Frozen dataclasses that cost little to define.

The standard decorator writes and compiles five methods for every frozen class: with
a hundred and fifty classes that takes longer than opening the window. Here one
method is compiled, ``__init__``; the others are shared. Fields are written once.
"""

from __future__ import annotations

from dataclasses import FrozenInstanceError, dataclass, field, fields
from typing import Any, TypeVar, dataclass_transform

T = TypeVar("T")


@dataclass_transform(frozen_default=True, field_specifiers=(field,))
def value(cls: type[T]) -> type[T]:
    """Make ``cls`` a dataclass whose instances never change and compare by value."""
    made: Any = dataclass(repr=False, eq=False)(cls)
    made.__value_names__ = tuple(each.name for each in fields(made))
    for method in (__setattr__, __delattr__, __eq__, __hash__, __repr__):
        setattr(made, method.__name__, method)
    return made  # type: ignore[no-any-return]


def _row(self: Any) -> tuple[Any, ...]:  # noqa: ANN401 - any class made here
    return tuple(self.__dict__[name] for name in self.__value_names__)


def __setattr__(self: Any, name: str, given: Any) -> None:  # noqa: ANN401, N807
    if name in self.__dict__ or name not in self.__value_names__:
        msg = f"cannot assign to field {name!r}"
        raise FrozenInstanceError(msg)
    self.__dict__[name] = given


def __delattr__(self: Any, name: str) -> None:  # noqa: ANN401, N807
    del self
    msg = f"cannot delete field {name!r}"
    raise FrozenInstanceError(msg)


def __eq__(self: Any, other: object) -> bool:  # noqa: ANN401, N807
    if self.__class__ is not other.__class__:
        return NotImplemented
    return bool(self is other or self.__dict__ == other.__dict__)


def __hash__(self: Any) -> int:  # noqa: ANN401, N807
    return hash(_row(self))


def __repr__(self: Any) -> str:  # noqa: ANN401, N807
    told = ", ".join(f"{name}={self.__dict__[name]!r}" for name in self.__value_names__)
    return f"{self.__class__.__qualname__}({told})"
