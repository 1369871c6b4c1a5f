"""Frozen dataclasses that cost little to define.

The standard decorator writes and compiles five methods for every frozen class: with
two hundred classes that takes longer than opening the window. Here one
method is compiled, ``__init__``, when the first instance is made; the others are
shared. Fields are written once.
"""

from __future__ import annotations

from dataclasses import MISSING, FrozenInstanceError, dataclass, field, fields
from functools import partial
from typing import TYPE_CHECKING, Any, TypeVar, dataclass_transform

if TYPE_CHECKING:
    from collections.abc import Callable

T = TypeVar("T")


@dataclass_transform(frozen_default=True, field_specifiers=(field,))
def value(cls: type[T]) -> type[T]:
    """Make ``cls`` a dataclass whose instances never change and compare by value."""
    made: Any = dataclass(init=False, repr=False, eq=False)(cls)
    made.__init__ = _init(made)
    made.__signature__ = _Signature()
    made.__value_names__ = tuple(each.name for each in fields(made))
    for method in (__replace__, __setattr__, __delattr__, __eq__, __hash__, __repr__):
        setattr(made, method.__name__, method)
    return made  # type: ignore[no-any-return]


def replace(old: T, **changes: object) -> T:
    """Return ``old`` with other values in some fields, as ``dataclasses.replace`` does.

    State is made anew many times for every event; this copies one dictionary where
    the standard function asks for each field in turn.

    Raises
    ------
    TypeError
        If there is no such field.
    """
    return old.__replace__(**changes)  # type: ignore[attr-defined,no-any-return]


def shared(found: object, kind: type) -> dict[str, Any]:
    """Return what a value holds under names that another kind of value has, too."""
    names = kind.__value_names__  # type: ignore[attr-defined]
    return {name: each for name, each in vars(found).items() if name in names}


def __replace__(self: Any, /, **changes: object) -> Any:  # noqa: ANN401, N807
    made = object.__new__(self.__class__)
    made.__dict__.update(self.__dict__)
    made.__dict__.update(changes)
    if len(made.__dict__) != len(self.__dict__):
        unknown = ", ".join(changes.keys() - self.__dict__.keys())
        msg = f"{self.__class__.__qualname__} has no field {unknown}"
        raise TypeError(msg)
    return made


def _init(made: Any) -> Callable[..., None]:  # noqa: ANN401 - any class made here
    def __init__(self: Any, *given: Any, **named: Any) -> None:  # noqa: ANN401, N807
        made.__init__ = _compiled(made)  # at the first instance, which most never see
        made.__init__(self, *given, **named)

    return __init__


class _Signature:
    """What ``inspect.signature`` finds on a class of which no instance was made yet."""

    def __get__(self, made: object, cls: type) -> object:
        from inspect import signature  # noqa: PLC0415 - costs as much as a window

        return signature(partial(_compiled(cls), None))


def _compiled(made: Any) -> Callable[..., None]:  # noqa: ANN401 - any class made here
    """Return ``__init__`` with the fields as its parameters, for the language to check.

    It fills the instance's dictionary at once: faster than one assignment a field.
    """
    known: dict[str, Any] = {"fresh": object()}
    parameters, items = ["self"], []
    for each in fields(made):
        parameter = item = each.name
        if each.default is not MISSING:
            known[f"usual_{each.name}"] = each.default
            parameter += f"=usual_{each.name}"
        elif each.default_factory is not MISSING:
            known[f"make_{each.name}"] = each.default_factory
            parameter += "=fresh"
            item = f"make_{each.name}() if {each.name} is fresh else {each.name}"
        parameters.append(parameter)
        items.append(f"{each.name}={item}")
    body = f"self.__dict__.update({', '.join(items)})"
    source = f"def __init__({', '.join(parameters)}): {body}"
    exec(source, known)  # noqa: S102 - names of fields only, as the standard one does
    init: Callable[..., None] = known["__init__"]
    init.__qualname__ = f"{made.__qualname__}.__init__"  # for what a TypeError says
    return init


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
