"""Which tests run which lines, and how long each takes; traced once for a package."""

from __future__ import annotations

import hashlib
import json
import os
import re
import subprocess
import sys
import tempfile
from collections import defaultdict
from collections.abc import Iterable
from functools import partial
from pathlib import Path

from coverage import CoverageData

from tests.benchmarks.mutation.child import OPTIONS, SUITE
from tests.benchmarks.mutation.mutants import ROOT, Mutant

WHERE = Path(tempfile.gettempdir()) / "benchassist-mutation"
TRACED = ("domain", "physics")
FEW = 20  # tests
QUICK_S = 0.005  # [s] below it pytest tells no time
YOUNG_S = 0.02  # [s] a test that was not there when the rest was traced
_STEPS_S = (0.01, 0.04, 0.16, 0.64)  # tests of one step run file by file
_TOOK = re.compile(r"^(\d+\.\d+)s (?:call|setup|teardown) +(.+)$")


class Covering:
    """The tests of every line, fastest first.

    Attributes
    ----------
    took_s
        Time that each test took unchanged.
    """

    def __init__(self, kept: Path, names: Iterable[str]) -> None:
        took_s: dict[str, float] = defaultdict(float)
        for line in kept.with_suffix(".txt").read_text(encoding="utf-8").splitlines():
            if found := _TOOK.match(line):
                took_s[found[2]] += float(found[1])
        self._lines = _lines(kept)
        known = set().union(*(t for of in self._lines.values() for t in of.values()))
        self.took_s = {
            name: took_s.get(name, QUICK_S if name in known else YOUNG_S)
            for name in names
        }
        # One written since is tried by every mutant.
        self._young = self.took_s.keys() - took_s.keys() - known

    def of(self, mutant: Mutant) -> list[str]:
        """Return the tests that run a mutant's lines, fastest first.

        What runs when its module is loaded is tried by all that use the module; so is
        what few reach, for what was worked out once is not run for the next test.
        """
        lines = self._lines.get(mutant.path, {})
        found: set[str] = set()
        if not mutant.at_import:
            for line in range(mutant.first, mutant.last + 1):
                found |= lines.get(line, set())
        if len(found) < FEW:
            found = found.union(*lines.values())
        found.discard("")  # lines that run as the module is loaded
        if not found:  # a module of constants alone
            found = set(self.took_s)
        found = (found | self._young) & self.took_s.keys()
        return sorted(found, key=partial(self._order, mutant.path))

    def _order(self, source: str, test: str) -> tuple[bool, int, str, float]:
        """Return the place of a test: of the source's own file first, then by time."""
        took_s, file = self.took_s[test], file_of(test)
        near = {Path(source).stem, Path(source).parent.name}
        other = Path(file).stem.removeprefix("test_") not in near
        return other, sum(took_s > step for step in _STEPS_S), file, took_s


def _lines(kept: Path) -> dict[str, dict[int, set[str]]]:
    """Return the tests of each line of each source; read once, which takes a minute."""
    read = kept.with_suffix(".json")
    if not read.exists():
        data = CoverageData(str(kept))
        data.read()
        number: dict[str, int] = {}
        lines = {
            Path(file).relative_to(ROOT).as_posix(): {
                line: [
                    number.setdefault(test, len(number))
                    for test in {each.rpartition("|")[0] for each in contexts}
                ]
                for line, contexts in data.contexts_by_lineno(file).items()
            }
            for file in data.measured_files()
        }
        read.write_text(json.dumps([list(number), lines]), encoding="utf-8")
    tests, lines = json.loads(read.read_text(encoding="utf-8"))
    return {
        path: {int(line): {tests[n] for n in found} for line, found in of.items()}
        for path, of in lines.items()
    }


def file_of(test: str) -> str:
    """Return the file that a test is in."""
    return test.split("::", maxsplit=1)[0]


def digest(*places: str) -> str:
    """Return a digest of files and of all that folders hold, but the benchmarks."""
    made = hashlib.sha256()
    for place in places:
        for file in [ROOT / place, *sorted((ROOT / place).rglob("*"))]:
            if file.is_file() and not {"__pycache__", "benchmarks"} & {*file.parts}:
                made.update(str(file.relative_to(ROOT)).encode() + file.read_bytes())
    return made.hexdigest()[:16]


def covering(package: str, names: Iterable[str]) -> Covering:
    """Return the lines' tests for a package's digest; traced where nobody has.

    Raises
    ------
    RuntimeError
        If a test fails without any change.
    """
    kept = WHERE / f"{package}.cov"
    if not kept.exists():
        _trace(kept)
    return Covering(kept, names)


def _trace(kept: Path) -> None:
    new = kept.with_suffix(".new")
    traced = [f"--cov=benchassist/{each}" for each in TRACED]
    run = [sys.executable, "-m", "pytest", *SUITE, *OPTIONS, *traced]
    run += ["--cov-context=test", "--cov-report=", "-vv", "--durations=0"]
    ended = subprocess.run(
        run,
        cwd=ROOT,
        env={**os.environ, "COVERAGE_FILE": str(new)},
        stdout=subprocess.PIPE,
        check=False,
    )
    kept.with_suffix(".txt").write_bytes(ended.stdout)
    if ended.returncode:
        msg = f"the tests must pass unchanged: see {kept.with_suffix('.txt')}"
        raise RuntimeError(msg)
    new.rename(kept)
