"""A kept state is believed by whoever folds as its writer did: the sources say so."""

import subprocess
import sys
from pathlib import Path

import pytest

from benchassist import folds

REPLAY = """
import sys
import benchassist.domain.evolve.anew, benchassist.journal.codec, benchassist.snapshot
for name, module in sys.modules.items():
    if name.startswith("benchassist.") and getattr(module, "__file__", None):
        print(name, module.__file__)
"""


def test_every_module_that_replay_needs_is_among_the_sources():
    told = subprocess.run(
        [sys.executable, "-c", REPLAY], capture_output=True, text=True, check=True
    ).stdout
    needed = {
        Path(path).resolve()
        for name, path in (line.split(" ", 1) for line in told.splitlines())
        if not name.startswith(("benchassist.journal", "benchassist.folds"))
    }
    found = {path.resolve() for path in folds.sources()}

    assert len(needed) > 40
    assert needed <= found
    names = {path.name for path in found}
    assert {"codec.py", "snapshot.py", "value.py", "clock.py"} <= names
    assert not {path for path in found if "gates" in path.parts or "ui" in path.parts}
    # The version changes in every release and folds nothing.
    assert not {
        path for path in found if path.parts[-2:] == ("benchassist", "__init__.py")
    }


SOURCE = b'''"""What it is."""

from benchassist.domain import events as ev  # noqa


def double(x: int) -> int:
    """Return twice as much."""
    # a remark
    return 2 * x
'''


def test_words_for_people_do_not_count_and_whatever_works_does():
    meant = folds._meant(SOURCE)

    for old, new in (
        (b"What it is.", b"What it was."),
        (b"Return twice as much.", b"Double."),
        (b"    # a remark\n", b""),
        (b"  # noqa", b""),
        (b"2 * x", b"(2*x)"),
    ):
        assert old in SOURCE
        assert folds._meant(SOURCE.replace(old, new)) == meant
    for old, new in ((b"2 * x", b"3 * x"), (b"x: int", b"y: int"), (b"double", b"two")):
        assert folds._meant(SOURCE.replace(old, new)) != meant


def test_what_a_source_imports_is_found_in_every_spelling():
    text = (
        b"from benchassist.domain.evolve import (\n    box,  # a remark\n    coat,\n)\n"
        b"    from benchassist.clock import Instant\n"
        b"from benchassist.journal import projections\n"
        b"from pathlib import Path\n"
    )
    names = {path.name for path in folds._imported(text)}

    assert names == {"__init__.py", "box.py", "coat.py", "clock.py"}


@pytest.fixture
def two(monkeypatch, tmp_path):
    """Let the sources be two files of a folder; return what makes their keys anew."""
    home = tmp_path / "benchassist"
    home.mkdir()
    for name in ("a.py", "b.py"):
        (home / name).write_bytes(SOURCE)
    monkeypatch.setattr(folds, "_HOME", tmp_path)
    monkeypatch.setattr(folds, "ROOTS", ("benchassist.a", "benchassist.c"))
    monkeypatch.setattr(folds, "sources", lambda: tuple(sorted(home.glob("*.py"))))

    def fresh():
        for known in (folds.keys, folds._names, folds._bytes_of, folds._syntax_of):
            known.cache_clear()
        return home

    yield fresh
    fresh()


def test_the_same_sources_fold_the_same(two):
    two()
    made = folds.keys()
    home = two()

    assert made.keys() == {"benchassist/a.py", "benchassist/b.py"}
    assert folds.same(made)
    (home / "b.py").write_bytes(SOURCE + b"# a remark\n")
    two()
    assert folds.same(made)


@pytest.mark.parametrize("change", ["syntax", "one root more", "one less"])
def test_other_sources_do_not(two, change):
    two()
    made = folds.keys()
    home = two()
    match change:
        case "syntax":
            (home / "b.py").write_bytes(SOURCE.replace(b"2 * x", b"3 * x"))
        case "one root more":
            (home / "c.py").write_bytes(SOURCE)
        case _:
            (home / "b.py").unlink()
    two()

    assert not folds.same(made)


def test_without_sources_nothing_is_believed(two, monkeypatch):
    monkeypatch.setattr(folds, "sources", tuple)
    two()

    assert folds.keys() == {}
    assert not folds.same({})


def test_only_what_changed_is_read_for_its_syntax(two):
    two()
    made = folds.keys()
    home = two()
    (home / "b.py").write_bytes(SOURCE + b"# a remark\n")

    assert folds.same(made)
    assert folds._syntax_of.cache_info().currsize == 1
