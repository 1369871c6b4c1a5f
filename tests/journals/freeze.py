"""Keep the shape of every event in ``frozen.json``: run after an event changed.

``python tests/journals/freeze.py`` adds a line for every new version of a kind, nested
values, types and defaults included. A line that a release has is never touched; one
that is newer than the last release may still be amended, and is.
``python tests/journals/freeze.py --release`` marks every line as released.

``test_frozen.py`` fails while a line and its event differ.
"""

import json
import sys
import types
import typing
from dataclasses import MISSING, fields, is_dataclass
from pathlib import Path

from benchassist.domain.events import KINDS

FROZEN = Path(__file__).with_name("frozen.json")
NAMES = {str: "text", int: "whole", float: "number", bool: "yes or no"}


def shape(kind):  # noqa: PLR0911 - one a form of type
    """Return what a type looks like on disk, as plain JSON."""
    origin, args = typing.get_origin(kind), typing.get_args(kind)
    if origin is typing.Annotated:
        return args[1]
    if origin is typing.Literal:
        return {"one of": list(args)}
    if origin is tuple and ... in args:
        return {"any number of": shape(args[0])}
    if origin is tuple:
        return {"a row of": [shape(arg) for arg in args]}
    if origin in (typing.Union, types.UnionType):
        return {"either": [None if arg is type(None) else shape(arg) for arg in args]}
    if is_dataclass(kind):
        hints = typing.get_type_hints(kind, include_extras=True)
        return {"fields": {f.name: _field(f, hints[f.name]) for f in fields(kind)}}
    return NAMES[kind]


def _field(each, hint):
    found = shape(hint)
    if each.default is MISSING and each.default_factory is MISSING:
        return found
    return {"is": found, "or else": repr(each.default)}


def today(kinds=KINDS):
    """Return kind and version of every event of today, and its shape."""
    return {(name, kind.version): shape(kind) for name, kind in kinds.items()}


def read(text):
    """Return the lines of the file: kind and version to (released, shape)."""
    return {
        (line["kind"], line["version"]): (line["released"], line["shape"])
        for line in json.loads(text)
    }


def written(lines):
    """Return lines as the file has them: one a kind and version."""
    rows = (
        json.dumps(
            {"kind": kind, "version": version, "released": released, "shape": found}
        )
        for (kind, version), (released, found) in sorted(lines.items())
    )
    return "[\n" + ",\n".join(rows) + "\n]\n"


def frozen(lines, now):
    """Return the lines with today's added; a released one stays as it is."""
    kept = {key: line for key, line in lines.items() if line[0]}
    return {key: (False, found) for key, found in now.items()} | kept


def main(*words):
    lines = read(FROZEN.read_text("utf-8")) if FROZEN.exists() else {}
    lines = frozen(lines, today())
    if "--release" in words:
        lines = {key: (True, found) for key, (_, found) in lines.items()}
    FROZEN.write_text(written(lines), "utf-8")


if __name__ == "__main__":
    main(*sys.argv[1:])
