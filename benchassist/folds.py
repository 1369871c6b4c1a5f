"""Which sources make the state from the journal, and a digest of what they say.

A kept state is believed by a program whose folding is the same. That is asked of the
sources themselves: the handlers, the events, and whatever those import of ours. Where
not a byte differs the answer takes milliseconds; what an upgrade changed is compared
without comments and docstrings.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from functools import cache
from hashlib import sha256
from pathlib import Path
from types import CodeType
from typing import TypeAlias

ROOTS = (
    "benchassist.domain.evolve",
    "benchassist.domain.evolve.anew",
    "benchassist.journal.codec",
    "benchassist.journal.history",
    "benchassist.snapshot",
)
DIGEST_CHARS = 32  # 128 bits: no two sources meet by chance
# What replay needs of these is the roots themselves: the rest of a journal is its
# layout, which has a version of its own.
ONLY_THEMSELVES = ("benchassist.journal",)
_HOME = Path(__file__).parents[1]
_IMPORT = re.compile(
    rb"^[ \t]*from[ \t]+(benchassist[\w.]*)[ \t]+import[ \t]+(\([^)]*\)|[^\n]*)",
    re.MULTILINE,
)


@cache
def sources() -> tuple[Path, ...]:
    """Return the files that have a say in what a journal folds to, in order."""
    found: dict[Path, None] = {}
    waiting = [path for name in ROOTS if (path := _file(name))]
    while waiting:
        path = waiting.pop()
        if path not in found:
            found[path] = None
            waiting += _imported(path.read_bytes())
    return tuple(sorted(found))


Keys: TypeAlias = dict[str, tuple[str, str]]


@cache
def keys() -> Keys:
    """Return of each source by name a digest of its bytes and one of what it does.

    Comments and docstrings do not count in the latter, which takes a tenth of a
    second for all of them; empty where there are no sources to read.
    """
    return {name: (_bytes_of(name), _syntax_of(name)) for name in _names()}


def same(made: Mapping[str, Sequence[str]]) -> bool:
    """Return whether sources with these keys folded as those of today do.

    Only what is not the same byte for byte is compiled. Where all of them are, they
    import the same as well, and nobody looks for others.
    """
    roots = {_name_of(path) for name in ROOTS if (path := _file(name))}
    if not made or roots - made.keys():
        return False
    differ = [name for name, told in made.items() if told[0] != _bytes_of(name)]
    return not differ or (
        made.keys() == _names().keys()
        and all(made[name][1] == _syntax_of(name) for name in differ)
    )


@cache
def _names() -> dict[str, Path]:
    return {_name_of(path): path for path in sources()}


def _name_of(path: Path) -> str:
    return path.relative_to(_HOME).as_posix()


@cache
def _bytes_of(name: str) -> str:
    """Return the digest of a source, of nothing where there is none."""
    try:
        return _digest((_HOME / name).read_bytes())
    except OSError:
        return ""


@cache
def _syntax_of(name: str) -> str:
    return _digest(_meant(_names()[name].read_bytes()))


def _digest(text: bytes) -> str:
    return sha256(text).hexdigest()[:DIGEST_CHARS]


def _meant(source: bytes) -> bytes:
    """Return what a module does without what only people read, or where it stands.

    It is compiled without docstrings, which takes half the time that its syntax tree
    does to write down. Another Python compiles otherwise: then the bytes must agree.
    """
    try:
        code = compile(source, "", "exec", optimize=2, dont_inherit=True)
    except (SyntaxError, ValueError):  # a compiled file in a source's place
        return source
    return repr(_said(code)).encode()


def _said(const: object) -> object:
    """Return a constant as plain values whose text is always the same."""
    if isinstance(const, CodeType):
        return (
            const.co_code,
            const.co_exceptiontable,
            const.co_flags,
            (const.co_argcount, const.co_posonlyargcount, const.co_kwonlyargcount),
            (const.co_name, const.co_names, const.co_varnames),
            (const.co_freevars, const.co_cellvars),
            tuple(map(_said, const.co_consts)),
        )
    if isinstance(const, frozenset):
        return sorted(map(repr, const))
    return const


def _imported(source: bytes) -> list[Path]:
    found = []
    for module, names in _IMPORT.findall(source):
        package = module.decode()
        if package in ONLY_THEMSELVES:
            continue
        if package != "benchassist":  # which holds the version, new in every release
            found.append(_file(package))
        words = re.findall(r"[\w.]+", re.sub(r"#[^\n]*", "", names.decode()))
        found += [_file(f"{package}.{word}") for word in words if word.islower()]
    return [path for path in found if path]


def _file(name: str) -> Path | None:
    """Return the file of one of our modules, ``None`` for a name within one."""
    path = _HOME.joinpath(*name.split("."))
    for each in (path / "__init__.py", path.with_suffix(".py")):
        if each.is_file():
            return each
    return None
