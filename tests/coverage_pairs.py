"""Which tests answer for every line of which source: by pair, and no average.

``python -m tests.coverage_pairs FOLDERS`` runs the tests of the folders, traced, and
fails if a pair's tests leave a line of its source out. ``--propose`` prints, for
every source of the core, the fewest tests that reach all of it.
"""

from __future__ import annotations

import argparse
import os
import re
import sys
import tempfile
from pathlib import Path

import coverage
import pytest

ROOT = Path(__file__).parents[1]
CORE = ("benchassist/domain", "benchassist/physics", "benchassist/journal")

# A test file, or a folder where the rules of a source are stated in several.
PAIRS: dict[str, tuple[str, ...]] = {}


class Traced:
    """What the tests of some folders ran, line by line.

    Attributes
    ----------
    sources
        Every file of the core.
    """

    def __init__(self, data: Path) -> None:
        self._data = data
        self.sources = sorted(
            file.relative_to(ROOT).as_posix()
            for place in CORE
            for file in (ROOT / place).rglob("*.py")
        )
        self._cov = coverage.Coverage(data_file=str(data), config_file=str(CONFIG))
        self._cov.load()
        found = self._cov.get_data()
        self.tests = {
            context.split("::")[0] for context in found.measured_contexts() if context
        }

    def missing(self, source: str, tests: str) -> list[int]:
        """Return the lines of a source that some tests did not run.

        Lines that run when a module is loaded belong to all.
        """
        data = self._cov.get_data()
        data.set_query_contexts(["^$", f"^{re.escape(tests)}(::|/|$)"])
        _, _, _, missing, _ = self._cov.analysis2(str(ROOT / source))
        return missing


CONFIG = ROOT / "pyproject.toml"


def run(folders: list[str], data: Path) -> None:
    """Run the tests of some folders, traced."""
    os.environ["COVERAGE_FILE"] = str(data)  # for this process and its workers
    traced = [f"--cov={place}" for place in CORE]
    options = ["-q", "--cov-context=test", "--cov-report=", f"--cov-config={CONFIG}"]
    code = pytest.main([*folders, *traced, *options])
    if code != pytest.ExitCode.OK:
        sys.exit(int(code))


def amiss(traced: Traced) -> list[str]:
    """Return what does not hold of the pairs, a line each."""
    found = []
    for tests, sources in PAIRS.items():
        if not (ROOT / tests).exists():
            found.append(f"{tests} is no more")
        for source in sources:
            if source not in traced.sources:
                found.append(f"{source} is no more")
            elif missing := traced.missing(source, tests):
                lines = ", ".join(map(str, missing))
                found.append(f"{tests} does not run {source}, lines {lines}")
    return found


def proposed(traced: Traced) -> None:
    """Print each source with its own test file or else a folder that reaches all."""
    folders = sorted({str(Path(test).parent) for test in traced.tests})
    for source in traced.sources:
        if not traced.missing(source, "no test at all"):
            continue  # nothing in it waits for a test
        own = f"test_{Path(source).stem}.py"
        near = sorted(test for test in traced.tests if Path(test).name == own)
        left = {tests: traced.missing(source, tests) for tests in (*near, *folders)}
        best = min(left, key=lambda tests: len(left[tests]))
        lines = ", ".join(map(str, left[best]))
        print(f"{best} {source}" + (f" but {lines}" if lines else ""), flush=True)


def main() -> None:
    """Read the command line, run, and say what does not hold."""
    parser = argparse.ArgumentParser(prog="coverage_pairs", description=__doc__)
    parser.add_argument("tests", nargs="*", help="folders of tests to run")
    parser.add_argument("--data", type=Path, help="what a run before has kept")
    parser.add_argument("--propose", action="store_true")
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        data = given.data or Path(folder) / "coverage"
        if not given.data:
            run(given.tests, data)
        traced = Traced(data)
        if given.propose:
            proposed(traced)
            return
        found = amiss(traced)
    pairs = sum(map(len, PAIRS.values()))
    print(*found, f"{pairs} pairs, {len(found)} amiss", sep="\n")
    sys.exit(bool(found))


if __name__ == "__main__":
    main()
