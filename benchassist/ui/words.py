"""Every word that the window shows goes through ``say``, so that it can be translated.

``say("{part}: dry, go on", part=code)`` looks the English up and fills its named
fields. A constant of a module is said once, at import: a language is chosen before
the first module of ``ui`` is imported (``ui.tongue``), and stays for the run. What
is written into the record, a code, a key and a unit are never said. What the rules
say, which speak English alone, is ``told`` where it is shown, in a field of what is
said, too (``ui.foreign``).
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

V = TypeVar("V")
_look_up: Callable[[str], str] | None = None  # none: the words are English already
_read: Callable[[Any], Any] | None = None


class Said(str):
    """A text in the language of the run, which no reader takes for English."""

    __slots__ = ()


def say(text: str, /, **fields: object) -> str:
    """Return ``text`` in the language of this run, its ``{named}`` fields filled."""
    if _look_up is None:
        return text.format(**fields) if fields else text
    text = _look_up(text)
    filled = {name: shown(value) for name, value in fields.items()}
    return Said(text.format(**filled) if filled else text)


def shown(view: V) -> V:
    """Return a text or a view with what the rules say in the language of this run."""
    return view if _read is None else _read(view)


def look_up_by(
    look_up: Callable[[str], str] | None, read: Callable[[Any], Any] | None = None
) -> None:
    """Ask ``look_up`` for each English text from now on; None leaves it as it is.

    ``read`` returns a text or a view with what the rules say in the same language.
    """
    global _look_up, _read
    _look_up, _read = look_up, read
