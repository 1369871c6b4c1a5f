"""Tables gathered from the modules that one imports, each named once."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from types import FunctionType, ModuleType
from typing import Any


def gathered(names: Mapping[str, object]) -> dict[Any, Any]:
    """Return each kind with the function whose ``stands_for`` names it.

    ``names`` are those of a module; the functions are in the modules it imports.

    Raises
    ------
    ValueError
        If two functions stand for the same kind.
    """
    table: dict[Any, Any] = {}
    for module in _modules(names):
        for name, found in vars(module).items():
            if not isinstance(found, FunctionType):
                continue
            for kind in getattr(found, "stands_for", ()):
                if table.setdefault(kind, found) is not found:
                    message = f"{module.__name__}.{name}: {kind.__name__} has one."
                    raise ValueError(message)
    return table


def named(names: Mapping[str, object], what: str) -> Iterator[Any]:
    """Yield what the modules that a module imports have under the name ``what``."""
    for module in _modules(names):
        if hasattr(module, what):
            yield getattr(module, what)


def _modules(names: Mapping[str, object]) -> list[ModuleType]:
    return [found for found in names.values() if isinstance(found, ModuleType)]
