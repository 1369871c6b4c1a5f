"""The names that a script may count: hands, feet, refused presses, refusals.

Refusals are told by their codes, which stand where they are decided; they are read
there, so that no list beside them can grow old. Nothing here runs a bench.
"""

from __future__ import annotations

import ast
from functools import cache
from importlib.resources import files
from typing import get_args

from benchassist.domain.gates import GATES
from benchassist.domain.pedal_guard import Reason

HANDS = ("presses", "holds", "taps")


def countable() -> frozenset[str]:
    """Return every name that ``expect count`` knows."""
    return frozenset((*HANDS, *_reasons(), *GATES, *refusals()))


@cache
def refusals() -> frozenset[str]:
    """Return the codes of every refusal the deciders can give, gates aside."""
    found: set[str] = set()
    domain = files("benchassist.domain")
    for folder in (domain, domain / "deciders", domain / "correction"):
        for file in folder.iterdir():
            if file.name.endswith(".py"):
                found |= _codes(file.read_text(encoding="utf-8"))
    return frozenset(found)


def _codes(text: str) -> set[str]:
    return {
        node.args[0].value
        for node in ast.walk(ast.parse(text))
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Name)
        and node.func.id == "Refusal"
        and node.args
        and isinstance(node.args[0], ast.Constant)
        and isinstance(node.args[0].value, str)
    }


def _reasons() -> tuple[str, ...]:
    out: list[str] = []
    for each in get_args(Reason):
        out.extend(get_args(each) or (each,))
    return tuple(out)
