"""Every word that the window shows goes through ``say``, so that it can be translated.

``say("{part}: dry, go on", part=code)`` looks the English up and fills its named
fields. A constant of a module is said once, at import: a language is chosen before
the first module of ``ui`` is imported (``ui.tongue``), and stays for the run. What
is written into the record, a code, a key and a unit are never said.
"""

from __future__ import annotations

from collections.abc import Callable

_look_up: Callable[[str], str] | None = None  # none: the words are English already


def say(text: str, /, **fields: object) -> str:
    """Return ``text`` in the language of this run, its ``{named}`` fields filled."""
    if _look_up is not None:
        text = _look_up(text)
    return text.format(**fields) if fields else text


def look_up_by(look_up: Callable[[str], str] | None) -> None:
    """Ask ``look_up`` for each English text from now on; None leaves it as it is."""
    global _look_up  # noqa: PLW0603 - one language a run
    _look_up = look_up
