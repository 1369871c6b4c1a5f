"""Words of a script line to a command of the bench.

Every command has a verb, its name in lower case with hyphens; its fields are given
in order or by name, ``variant.coats=1`` reaches into a field. pydantic checks what
was given. Nothing here runs anything.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import asdict, fields, is_dataclass
from functools import cache
from typing import Any, get_args, get_origin, get_type_hints

from pydantic import TypeAdapter, ValidationError

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain.state import Bench

Moment = Callable[[str], "Instant"]  # the instant of a time of day in the script

# What the program gives itself, or has a verb of its own.
OWN = {
    cm.PressPedal: "press",
    cm.FileLibrary: "library FILE",
    cm.CreateStore: "start",
    cm.Reopen: "crash, reboot or power-loss",
    cm.Tick: "wait",
    cm.NoteWallStep: "wall-step",
    cm.NoteGap: "suspend",
    cm.Correct: "put-right",
}


def verb_of(command: type[cm.Command]) -> str:
    """Return a command's verb: ``ConfirmLoad`` is ``confirm-load``."""
    return re.sub(r"(?<!^)(?=[A-Z])", "-", command.__name__).lower()


COMMANDS: dict[str, type[cm.Command]] = {
    verb_of(command): command
    for command in cm.Command.__subclasses__()
    if command not in OWN
}


def command_of(
    verb: str, words: Sequence[str], bench: Bench, moment: Moment
) -> cm.Command:
    """Return the command that a line asks for.

    Raises
    ------
    ValueError
        If there is no such verb, or a field is missing, unknown or wrong.
    """
    kind = COMMANDS.get(verb)
    if kind is None:
        raise ValueError(_unknown(verb))
    hints = get_type_hints(kind)
    values = {
        name: _typed(hints[name], given, moment)
        for name, given in _values(kind, words).items()
    }
    if isinstance(values.get("variant"), dict):
        values["variant"] = _usual(bench, values) | values["variant"]
    try:
        return _adapter(verb).validate_python(values)
    except ValidationError as error:
        first = error.errors(include_url=False)[0]
        place = ".".join(str(step) for step in first["loc"])
        message = f"{verb}, {place}: {first['msg']}"
        raise ValueError(message) from error


def _usual(bench: Bench, values: dict[str, Any]) -> dict[str, Any]:
    """Return the variant that a line departs from: its recipe's, or its part's."""
    recipe = bench.recipes.get(str(values.get("recipe")))
    if recipe is not None:
        return asdict(recipe.usual_variant)
    part = bench.parts.get(str(values.get("part")))
    return asdict(part.variant) if part else {}


def _typed(hint: Any, given: Any, moment: Moment) -> Any:  # noqa: ANN401 - any field
    """Return what a field is given as, with lists and times of day made out."""
    if isinstance(given, dict):
        below = next(map(get_type_hints, filter(is_dataclass, get_args(hint))), {})
        for name in given.keys() - below.keys():
            message = f"there is no field “{name}” below; there are {', '.join(below)}"
            raise ValueError(message)
        return {name: _typed(below[name], each, moment) for name, each in given.items()}
    if get_origin(hint) is tuple:
        return tuple(given.split(",")) if given else ()
    return moment(given) if "Instant" in str(hint) else given


def _unknown(verb: str) -> str:
    for command, instead in OWN.items():
        if verb == verb_of(command):
            return f"{verb} is not for scripts: use {instead}"
    return f"there is no verb “{verb}”"


def _values(kind: type[cm.Command], words: Sequence[str]) -> dict[str, Any]:
    names = [field.name for field in fields(kind)]
    values: dict[str, Any] = {}
    for n, word in enumerate(words):
        named, sign, value = word.partition("=")
        if not sign:
            if n >= len(names):
                message = f"too many words; the fields are {', '.join(names)}"
                raise ValueError(message)
            named, value = names[n], word
        name, dot, below = named.partition(".")
        if name not in names:
            message = f"there is no field “{name}”; the fields are {', '.join(names)}"
            raise ValueError(message)
        if dot:
            nested = values.setdefault(name, {})
            nested[below] = value
        else:
            values[name] = value
    return values


@cache
def _adapter(verb: str) -> TypeAdapter[cm.Command]:
    return TypeAdapter(COMMANDS[verb])
