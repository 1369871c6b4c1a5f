"""A kept state is believed by whoever folds as its writer did: the sources say so."""

import subprocess
import sys
from pathlib import Path

from benchassist import folds

REPLAY = """
import sys
import benchassist.domain.evolve, benchassist.journal.codec, benchassist.snapshot
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


def test_a_key_is_of_every_source_and_where_it_lies(monkeypatch, tmp_path):
    home = tmp_path / "benchassist"
    home.mkdir()
    for name in ("a.py", "b.py"):
        (home / name).write_bytes(SOURCE)
    monkeypatch.setattr(folds, "_HOME", tmp_path)
    keys = set()
    for files in (["a.py"], ["b.py"], ["a.py", "b.py"]):
        monkeypatch.setattr(
            folds, "sources", lambda files=files: tuple(home / name for name in files)
        )
        keys.add(folds.bytes_key.__wrapped__())
    (home / "b.py").write_bytes(SOURCE + b"# more\n")
    keys.add(folds.bytes_key.__wrapped__())

    assert len(keys) == 4
    monkeypatch.setattr(folds, "sources", tuple)
    assert folds.bytes_key.__wrapped__() == ""
