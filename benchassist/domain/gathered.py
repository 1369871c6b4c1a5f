"""Tables of one function a kind, gathered from the modules that are named for one."""

from __future__ import annotations

from types import FunctionType, ModuleType
from typing import Any


def gathered(*modules: ModuleType) -> dict[Any, Any]:
    """Return each kind with the function that is marked for it, as ``stands_for``.

    Raises
    ------
    ValueError
        If two functions stand for the same kind.
    """
    table: dict[Any, Any] = {}
    for module in modules:
        for name, found in vars(module).items():
            kind = getattr(found, "stands_for", None)
            if not isinstance(found, FunctionType) or kind is None:
                continue
            if table.setdefault(kind, found) is not found:
                message = f"{module.__name__}.{name}: {kind.__name__} has one already."
                raise ValueError(message)
    return table
