"""Journals to try things on: every test gets a folder of its own."""

import shutil
import types
import typing
from dataclasses import fields, is_dataclass
from pathlib import Path

import pytest

from benchassist.clock import Instant
from benchassist.domain.events import KINDS, SpotTacked, StoreCreated
from benchassist.journal.drafts import Draft
from benchassist.journal.writing import Journal

START = Instant(
    wall_ms=1_772_438_400_000, offset_min=60, mono_ms=5_000, boot="boot-1"
)  # 2026-03-02 09:00 in a zone one hour east of UTC
STORE = StoreCreated("rehearsal", "store-1", "EX-bench", "Europe/Berlin")


def draft_of(event, at_s=0, operator="EX-OP1", channel="pedal"):
    return Draft(START.plus(at_s * 1000), operator, channel, event)


def spot_of(n, part="EX-K-01"):
    at = START.plus(n * 1000)
    return draft_of(SpotTacked(part, "coat-1", n, "EX-LM-A", 10_000, at), at_s=n)


@pytest.fixture
def draft():
    """Make a draft of an event, ``at_s`` seconds after 09:00."""
    return draft_of


@pytest.fixture
def spot():
    """Make a draft of the n-th tack spot of a part."""
    return spot_of


@pytest.fixture
def folder(tmp_path):
    return tmp_path / "bench"


@pytest.fixture
def journal(folder, draft):
    """An open journal whose store has been created."""
    with Journal.open(folder) as opened:
        opened.append([draft(STORE)])
        yield opened


@pytest.fixture(scope="session")
def _filled_once(tmp_path_factory):
    folder = tmp_path_factory.mktemp("filled") / "bench"
    with Journal.open(folder) as opened:
        opened.append([draft_of(STORE)])
        for n in range(1, 41):
            opened.append([spot_of(n)])
    return folder


@pytest.fixture
def filled(folder, _filled_once):
    """A closed journal of 41 entries: the store, then spots 1 to 40."""
    return Path(shutil.copytree(_filled_once, folder))


@pytest.fixture
def sample():
    """Make the plainest event of a kind, every field filled."""
    return sample_of


def sample_of(kind, name=""):
    origin, args = typing.get_origin(kind), typing.get_args(kind)
    if origin is typing.Annotated:
        return f"typed by hand: {name}"
    if origin is typing.Literal:
        return args[0]
    if origin is tuple:
        inner = args[:1] if args[-1] is ... else args
        return tuple(sample_of(arg, name) for arg in inner)
    if origin in (typing.Union, types.UnionType):
        return sample_of(args[0], name)
    if is_dataclass(kind):
        hints = typing.get_type_hints(kind, include_extras=True)
        return kind(**{f.name: sample_of(hints[f.name], f.name) for f in fields(kind)})
    return {str: f"EX-{name}", int: 7, float: 0.25, bool: True}[kind]


@pytest.fixture
def all_kinds():
    return KINDS
