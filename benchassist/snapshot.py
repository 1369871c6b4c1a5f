"""The state as text and back: how a journal opens without folding ten years.

A snapshot is derived from the events and may be thrown away; only a program that
folds them as its writer did reads it. It is plain JSON through the dataclasses' own
types, because a validator's models for the whole state cost more at start-up than the
window.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from dataclasses import fields, is_dataclass
from functools import cache
from types import NoneType, UnionType
from typing import Any, Union, get_args, get_origin

from benchassist import folds
from benchassist.domain.state import Bench
from benchassist.journal.kept import KeptState

Plain = Any
Reader = Callable[[Plain], Any]


def dump(bench: Bench) -> str:
    """Return the state as JSON text."""
    return json.dumps(bench, default=_plain, ensure_ascii=False)


def load(text: str) -> Bench:
    """Return the state that ``dump`` wrote; raises ValueError when it is another."""
    try:
        bench = _reader(Bench)(json.loads(text))
    except (
        KeyError,
        TypeError,
        AttributeError,
        StopIteration,
        RecursionError,
    ) as error:
        msg = "This snapshot is not one of this program's."
        raise ValueError(msg) from error
    if not isinstance(bench, Bench):
        msg = "This snapshot holds no bench."
        raise ValueError(msg)  # noqa: TRY004 - the caller folds the events instead
    return bench


def kept(bench: Bench, salt: str) -> str:
    """Return the state as it is kept: which sources made it, then the state.

    ``salt`` is any text nobody can guess, so that the digest of the whole says
    nothing of what people typed.
    """
    made = {"sources": folds.keys(), "salt": salt}
    return f"{json.dumps(made)}\n{dump(bench)}"


def believed(state: KeptState) -> Bench | None:
    """Return the bench of a kept state, ``None`` where other sources made it."""
    first, _, text = state.text.partition("\n")
    try:
        made = json.loads(first or "{}")
        if not folds.same(made["sources"]):
            return None
        bench = load(text)
    except (AttributeError, LookupError, TypeError, ValueError):
        return None
    return bench if bench.seq == state.seq else None


def _plain(value: Any) -> dict[str, Any]:  # noqa: ANN401 - whatever json meets
    found = {field.name: getattr(value, field.name) for field in fields(value)}
    kind: Any = type(value)
    for name in _rowed(kind):
        found[name] = [[list(key), item] for key, item in found[name].items()]
    return found


@cache
def _rowed(kind: Any) -> tuple[str, ...]:  # noqa: ANN401 - a class, as a key
    """Return the tables of a record whose keys are rows: JSON knows none such."""
    hints = _hints(kind)
    return tuple(name for name, hint in hints.items() if _has_rows(hint))


def _hints(kind: type) -> dict[str, Any]:
    """Return the types of a class's fields, as ``typing.get_type_hints`` does.

    That compiles each annotation, which is a third of reading a state: most stand
    many times in a module.
    """
    return {
        name: _meant(text, base.__module__)
        for base in reversed(kind.__mro__)
        for name, text in vars(base).get("__annotations__", {}).items()
    }


@cache
def _meant(annotation: str, module: str) -> Any:  # noqa: ANN401 - any type
    return eval(annotation, vars(sys.modules[module]))  # noqa: S307 - our own text


def _has_rows(hint: Any) -> bool:  # noqa: ANN401
    return get_origin(hint) is dict and get_origin(get_args(hint)[0]) is tuple


@cache
def _reader(kind: Any) -> Reader:  # noqa: ANN401 - any type a field can have
    """Return what makes a value of ``kind`` from plain JSON."""
    origin, args = get_origin(kind), get_args(kind)
    if is_dataclass(kind):
        return _record(kind)
    if origin is tuple:
        return _row(args)
    if origin is dict:
        each = _reader(args[1])
        return _rows(each) if _has_rows(kind) else _table(each)
    if origin in (Union, UnionType):
        return _choice(args)
    return _as_it_is


def _as_it_is(value: Plain) -> Any:  # noqa: ANN401
    return value


def _record(kind: Any) -> Reader:  # noqa: ANN401
    hints = _hints(kind)
    readers = {field.name: _reader(hints[field.name]) for field in fields(kind)}

    def read(value: Plain) -> Any:  # noqa: ANN401
        return kind(**{name: read(value[name]) for name, read in readers.items()})

    return read


def _row(args: tuple[Any, ...]) -> Reader:
    if len(args) == 2 and args[1] is Ellipsis:  # noqa: PLR2004 - tuple[X, ...]
        each = _reader(args[0])
        if each is _as_it_is:
            return tuple
        return lambda value: tuple(map(each, value))
    readers = tuple(map(_reader, args))
    return lambda value: tuple(
        read(item) for read, item in zip(readers, value, strict=True)
    )


def _table(each: Reader) -> Reader:
    if each is _as_it_is:
        return dict
    return lambda value: {key: each(item) for key, item in value.items()}


def _rows(each: Reader) -> Reader:
    return lambda value: {tuple(key): each(item) for key, item in value}


def _choice(args: tuple[Any, ...]) -> Reader:
    """Return the reader of a union: nothing, one record, or records by their kind."""
    records: list[Any] = [arg for arg in args if is_dataclass(arg)]
    if not records:
        plain = next((_reader(arg) for arg in args if arg is not NoneType), _as_it_is)
        return lambda value: None if value is None else plain(value)
    if len(records) == 1:
        only = _reader(records[0])
        return lambda value: None if value is None else only(value)
    by_kind = {record.kind: _reader(record) for record in records}
    return lambda value: None if value is None else by_kind[value["kind"]](value)
