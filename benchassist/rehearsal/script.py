"""The text of a rehearsal: timed lines, read and checked, not yet run.

One command a line. A line may begin with a time of day, or with ``+15s`` for so long
after the line before it was done; without either it follows at once. Times are those
of a clock that is never stepped; hours past 23 are the next day. What stands behind
``#`` is for people. Nothing here knows a bench.
"""

from __future__ import annotations

import posixpath
import re
import shlex
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from benchassist import assets
from benchassist.files import read_text
from benchassist.plain import PlainError

SUFFIX = ".txt"

_CLOCK = re.compile(r"(\d{1,3}):(\d\d)(?::(\d\d)(?:\.(\d{1,3}))?)?")
_SPAN = re.compile(r"(?:(\d+)h)?(?:(\d+)m)?(?:(\d+(?:\.\d{1,3})?)s)?(?:(\d+)ms)?")


class ScriptError(PlainError):
    """A script that cannot be run, or did not go as it says it does."""

    def __init__(self, script: str, line: int, what: str) -> None:
        where = f"{script}, line {line}" if line else script
        super().__init__(f"{where}: {what}")


@dataclass(frozen=True)
class Line:
    """One command: when, a verb and its words.

    ``at_ms`` counts from the midnight before the script's start, ``after_ms`` from
    the end of the line before; both None means at once.
    """

    number: int
    at_ms: int | None
    after_ms: int | None
    verb: str
    words: tuple[str, ...]


@dataclass(frozen=True)
class Script:
    """A whole script; ``beside`` returns the text of a file named in it."""

    name: str
    start: datetime
    lines: tuple[Line, ...]
    beside: Callable[[str], str]

    @property
    def midnight_ms(self) -> int:
        """Return the start's time of day in milliseconds."""
        passed = self.start - self.start.replace(
            hour=0, minute=0, second=0, microsecond=0
        )
        return round(passed.total_seconds() * 1000)

    def error(self, line: int, what: str) -> ScriptError:
        """Return the error that a line leads to."""
        return ScriptError(self.name, line, what)


def shipped_scripts() -> tuple[str, ...]:
    """Return the names of the scripts that come with the program."""
    folder = assets.folder("demo_cases").joinpath("scripts")
    names = (each.name for each in folder.iterdir() if each.name.endswith(SUFFIX))
    return tuple(sorted(name.removesuffix(SUFFIX) for name in names))


def load_script(asked: str | Path) -> Script:
    """Return a script: a file, or one that is shipped under this name.

    Raises
    ------
    ScriptError
        If there is none, or a line cannot be read.
    """
    path = Path(asked)
    name = str(asked)
    if not path.is_file() and name.removesuffix(SUFFIX) in shipped_scripts():
        file = name.removesuffix(SUFFIX) + SUFFIX
        text = assets.read_text("demo_cases", "scripts", file)
        return parse_script(text, name=file, beside=_shipped)
    try:
        text = read_text(path)
    except (OSError, UnicodeDecodeError) as error:
        why = getattr(error, "strerror", None) or "not UTF-8 text"
        known = ", ".join(shipped_scripts())
        told = f"cannot be read ({why}); shipped scripts: {known}."
        raise ScriptError(name, 0, told) from error
    folder = path.parent
    return parse_script(
        text,
        name=path.name,
        beside=lambda file: read_text(folder / file),
    )


def _shipped(name: str) -> str:
    inside = posixpath.normpath(posixpath.join("scripts", name))
    return assets.read_text("demo_cases", *inside.split("/"))


def parse_script(text: str, *, name: str, beside: Callable[[str], str]) -> Script:
    """Return the script that stands in a text.

    Raises
    ------
    ScriptError
        If a line cannot be read, or the first is not its start.
    """
    start: datetime | None = None
    lines: list[Line] = []
    for number, raw in enumerate(text.splitlines(), start=1):
        try:
            words = shlex.split(raw, comments=True)
            if not words:
                continue
            if start is None:
                start = _start(words)
            else:
                lines.append(_line(number, words))
        except ValueError as error:
            raise ScriptError(name, number, f"{error}.") from error
    if start is None:
        raise ScriptError(name, 0, "expected a start line; the script is empty.")
    return Script(name, start, tuple(lines), beside)


def _start(words: list[str]) -> datetime:
    expected = "expected first: start YYYY-MM-DD HH:MM:SS +HH:MM"
    if words[0] != "start" or len(words) != 4:  # noqa: PLR2004 - the four words
        raise ValueError(expected)
    try:
        start = datetime.fromisoformat(f"{words[1]}T{words[2]}{words[3]}")
    except ValueError as error:
        raise ValueError(expected) from error
    if start.tzinfo is None:
        raise ValueError(expected)
    return start


def _line(number: int, words: list[str]) -> Line:
    at_ms = after_ms = None
    first = words[0]
    if _CLOCK.fullmatch(first):
        at_ms, words = clock_ms(first), words[1:]
    elif first.startswith("+"):
        after_ms, words = span_ms(first[1:]), words[1:]
    if not words:
        raise ValueError("expected a command after the time")
    return Line(number, at_ms, after_ms, words[0], tuple(words[1:]))


@dataclass(frozen=True)
class Down:
    """How long the program is down, and what the machine's clocks do meanwhile.

    ``up_ms`` is how long the machine was up when it opened again, None the usual;
    the wall clock was set by ``step_ms`` or to ``at``, a local time.
    """

    ms: int
    up_ms: int | None = None
    step_ms: int = 0
    at: datetime | None = None


def down_of(words: Sequence[str]) -> Down:
    """Return what ``9m up=40s clock=-10m`` says; ``clock=2020-01-01`` sets a day."""
    span = [word for word in words if "=" not in word]
    named = dict(word.split("=", 1) for word in words if "=" in word)
    if len(span) > 1 or named.keys() - {"up", "clock"}:
        message = "expected a span and up=… or clock=…, such as 9m up=40s clock=-10m"
        raise ValueError(message)
    up = span_ms(named["up"]) if "up" in named else None
    clock, down_ms = named.get("clock", "+0s"), span_ms(span[0]) if span else 0
    if clock[:1] in ("+", "-"):
        step = span_ms(clock[1:]) * (-1 if clock[0] == "-" else 1)
        return Down(down_ms, up, step)
    return Down(down_ms, up, at=datetime.fromisoformat(clock))


def clock_ms(text: str) -> int:
    """Return a time of day such as ``09:17:10`` as milliseconds from midnight."""
    found = _CLOCK.fullmatch(text)
    if found is None:
        message = f"expected a time such as 09:17:10, given “{text}”"
        raise ValueError(message)
    hours, minutes, seconds, rest = found.groups()
    whole_s = int(hours) * 3600 + int(minutes) * 60 + int(seconds or 0)
    return whole_s * 1000 + int((rest or "0").ljust(3, "0"))


def span_ms(text: str) -> int:
    """Return a span such as ``90s``, ``5m``, ``1h30m`` or ``250ms`` in milliseconds."""
    found = _SPAN.fullmatch(text)
    if not text or found is None:
        message = f"expected a span such as 90s, 5m, 1h30m or 250ms, given “{text}”"
        raise ValueError(message)
    hours, minutes, seconds, ms = found.groups()
    whole_s = int(hours or 0) * 3600 + int(minutes or 0) * 60 + float(seconds or 0)
    return round(whole_s * 1000) + int(ms or 0)
