"""Make the journals of a release for ``tests/journals``: run once a release.

``python tests/journals/make.py NAME`` writes two folders beside this file, as the
program of today writes them, and neither is ever made again:

* ``NAME-kinds``: a journal with an event of every kind, every field filled;
* ``NAME-bench``: the store of the demonstration day, parts in flight, snapshot and
  heartbeat included, and in ``standing.json`` where its parts stand.

``expected.jsonl`` is what that program read from the first. ``format-1`` was made so
before there was a release.
"""

import json
import shutil
import sys
import tempfile
import types
import typing
from dataclasses import fields, is_dataclass
from pathlib import Path

from benchassist.clock import Instant
from benchassist.domain import events as ev
from benchassist.journal.codec import CODEC, Codec, canonical
from benchassist.journal.drafts import Draft
from benchassist.journal.files import DATABASE, HEARTBEAT, WITNESS
from benchassist.journal.reading import ReadOnlyJournal
from benchassist.journal.writing import Journal
from benchassist.rehearsal import build_demo
from benchassist.session import Session
from benchassist.value import value

HERE = Path(__file__).parent
START = Instant(1_772_438_400_000, 60, 5_000, "boot-1")  # 2026-03-02 09:00 local
END = START.plus(5 * 3_600_000)  # when the day of the store ends
EDGES = {bool: True, int: 7, float: 0.125, type(None): None}


def filled(kind, name=""):
    """Return a value of a type with everything in it: the last word, two of each."""
    origin, args = typing.get_origin(kind), typing.get_args(kind)
    if origin is typing.Annotated:
        return f"typed by hand: {name} ✓"
    if origin is typing.Literal:
        return args[-1]
    if origin is tuple:
        return tuple(
            filled(arg, name) for arg in (args[:1] * 2 if ... in args else args)
        )
    if origin in (typing.Union, types.UnionType):
        return filled(args[0], name)
    if is_dataclass(kind):
        hints = typing.get_type_hints(kind, include_extras=True)
        return kind(**{f.name: filled(hints[f.name], f.name) for f in fields(kind)})
    return f"EX-{name}" if kind is str else EDGES[kind]


def every_kind(folder):
    """Write a journal with every kind of event in it, and old versions of some."""
    kinds = [kind for kind in ev.KINDS.values() if kind is not ev.StoreCreated]
    kinds.remove(ev.TextBlanked)
    events = [ev.StoreCreated("demo", "EX-store", "EX-bench", "Europe/Berlin")]
    events += [filled(kind) for kind in kinds]
    with tempfile.TemporaryDirectory() as made:
        with Journal.open(Path(made)) as journal:
            for n, event in enumerate(events):
                draft = Draft(START.plus(n * 1000), "EX-OP1", "hand", event)
                journal.append([draft])
            blanked = next(
                entry.seq
                for entry in journal.entries()
                if CODEC.free_text(type(entry.event))
            )
            act = ev.TextBlanked((blanked,), "asked for by whom it named")
            journal.blank_text(Draft(START, "EX-OP1", "hand", act))
            last = journal.head.seq
        with Journal.open(Path(made), codec=_first_coupon()) as journal:
            for event in map(filled, journal._codec.kinds.values()):
                journal.append(
                    [Draft(START.plus(last * 1000), "EX-OP1", "tool", event)]
                )
        with Journal.open(Path(made)) as journal:
            journal.backup(folder)
    expect(folder)


def _first_coupon():
    """Return what wrote coupons before a release ever did."""

    @value
    class CouponRecorded(ev.Event):
        lamp: str
        material: str
        passed: bool

    return Codec({"CouponRecorded": CouponRecorded})


def bench(folder):
    """Write the store of a bench at work."""
    with tempfile.TemporaryDirectory() as made:
        build_demo(Path(made), END, zone="Europe/Berlin")
        folder.mkdir()
        for name in (DATABASE, WITNESS, HEARTBEAT):
            shutil.copy2(Path(made) / name, folder / name)
        with Journal.open(Path(made)) as journal:
            state = standing(Session(journal, None).bench)
    text = json.dumps(state, indent=1, sort_keys=True)
    folder.joinpath("standing.json").write_text(f"{text}\n", encoding="utf-8")


def standing(bench):
    """Return where the parts of a bench stand, in words that outlive the state."""
    return {
        code: {
            "stage": part.stage.key,
            "phase": part.phase.kind,
            "recipe": part.recipe,
            "peg": part.peg,
        }
        for code, part in bench.parts.items()
    }


def line_of(entry):
    """Return an entry but for its act: that is a column which has no version."""
    told = {name: each for name, each in vars(entry).items() if name != "act"}
    return {"kind": type(entry.event).__name__, "entry": told}


def expect(folder):
    """Write what today's program reads from a folder."""
    with ReadOnlyJournal.open(folder) as journal:
        lines = [f"{canonical(line_of(entry))}\n" for entry in journal.entries()]
    folder.joinpath("expected.jsonl").write_text("".join(lines), encoding="utf-8")


if __name__ == "__main__":
    every_kind(HERE / f"{sys.argv[1]}-kinds")
    bench(HERE / f"{sys.argv[1]}-bench")
