"""Put faults into the rules one by one, and see that a test notices each.

``python -m tests.benchmarks.mutation`` tries 400 drawn from a seed and the named
ones; what was tried on the same tree is not tried again, so it can be stopped at any
time. ``--sample 20`` is a look of a few minutes. ``--list`` tells the score and the
survivors of what was tried, and tries nothing.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections import defaultdict
from collections.abc import Iterable
from itertools import accumulate
from pathlib import Path
from time import perf_counter

import pytest

from tests.benchmarks.mutation.child import Outcome, Suite, with_session
from tests.benchmarks.mutation.covering import WHERE, Covering, covering, digest
from tests.benchmarks.mutation.equal import is_equal
from tests.benchmarks.mutation.mutants import Mutant, sample
from tests.benchmarks.mutation.named import named

SEED = "bench"
SAMPLE = 400
GOAL = 0.9  # killed of all; every named one besides
MOST_S = 60.0  # of tests, fastest first: what they do not notice, survives
TIMES = 1.5  # what a run may take beside what its tests took unchanged


def tried(suite: Suite, mutant: Mutant, tests: Covering, before: str) -> Outcome:
    """Run a mutant's tests, fastest first; what killed it last time comes first.

    That one may only read a table, and then no line of the source tells of it.
    """
    found = tests.of(mutant)
    if not found:
        return Outcome("passed", "no test runs it")
    if before in tests.took_s:
        found = [before, *(test for test in found if test != before)]
    taken = list(accumulate(tests.took_s[test] for test in found))
    found = [test for test, took_s in zip(found, taken, strict=True) if took_s < MOST_S]
    took_s = taken[len(found) - 1]
    outcome = suite.run(found, mutant, cpu_s=TIMES * took_s)
    if outcome.end == "passed":
        return Outcome("passed", f"{len(found)} tests saw nothing")
    return outcome


class Kept:
    """What came of each mutant, one line each in a file that is only added to.

    What a test killed stays killed while the package is the same; what survived is
    tried again when any test has changed.
    """

    def __init__(self, file: Path) -> None:
        self._file = file
        self.package = digest("benchassist", "resources", "demo_cases")
        self._tests = digest("tests")
        self._known: dict[str, tuple[str, str, Outcome]] = {}
        self._killer: dict[str, str] = {}
        if file.exists():
            for line in file.read_text(encoding="utf-8").splitlines():
                key, package, tests, end, test = json.loads(line)
                self._known[key] = package, tests, Outcome(end, test)
                if end == "failed":
                    self._killer[key] = test

    def known(self, mutant: Mutant) -> Outcome | None:
        """Return what came of it on this tree, None if it was not tried there."""
        package, tests, outcome = self._known.get(mutant.key, ("", "", None))
        if package != self.package or not outcome:
            return None
        return outcome if outcome.end != "passed" or tests == self._tests else None

    def before(self, mutant: Mutant) -> str:
        """Return the test that killed it last, on any tree."""
        return self._killer.get(mutant.key, "")

    def keep(self, mutant: Mutant, outcome: Outcome) -> None:
        """Keep what came of it."""
        self._known[mutant.key] = self.package, self._tests, outcome
        line = [mutant.key, self.package, self._tests, outcome.end, outcome.test]
        with self._file.open("a", encoding="utf-8") as file:
            file.write(json.dumps(line) + "\n")


def score(mutants: Iterable[Mutant], kept: Kept) -> bool:
    """Print the score by package and the survivors; return whether it is good."""
    by_package: dict[str, list[bool]] = defaultdict(list)
    for mutant in mutants:
        outcome = kept.known(mutant)
        if outcome is None or is_equal(mutant):
            continue
        by_package[mutant.package].append(outcome.end != "passed")
        if outcome.end == "passed":
            print(f"{mutant.key} {mutant}  ({outcome.test})")
    every = [each for killed in by_package.values() for each in killed]
    for package, killed in (*by_package.items(), ("all", every)):
        share = sum(killed) / max(1, len(killed))
        print(f"{package:10} {sum(killed):4} of {len(killed):4} killed  {share:6.1%}")
    return sum(every) >= GOAL * len(every) and all(by_package["named"])


def measured(count: int, seed: str, *, only: str = "", look: bool = False) -> bool:
    """Try the named mutants and ``count`` drawn ones; return whether that is good."""
    mutants = [*named(), *sample(count, seed)]
    WHERE.mkdir(exist_ok=True)
    kept = Kept(WHERE / "tried.jsonl")

    def work(session: pytest.Session) -> None:
        suite = Suite(session)
        tests = covering(kept.package, suite.names)
        for n, mutant in enumerate(mutants, start=1):
            if only not in mutant.key or (kept.known(mutant) and not only):
                continue
            if is_equal(mutant):
                continue
            start = perf_counter()
            outcome = tried(suite, mutant, tests, kept.before(mutant))
            kept.keep(mutant, outcome)
            told = f"{n}/{len(mutants)} {outcome.end} {mutant.key} {mutant}"
            took = f"{perf_counter() - start:.1f} s"
            print(f"{told}  [{outcome.test}] {took}", flush=True)

    if not look:
        with_session(work)
    return score(mutants, kept)


def main() -> None:
    """Read the command line and run."""
    parser = argparse.ArgumentParser(prog="mutation", description=__doc__)
    parser.add_argument("--sample", type=int, default=SAMPLE)
    parser.add_argument("--seed", default=SEED)
    parser.add_argument("--only", default="", help="the key of one mutant")
    parser.add_argument("--list", action="store_true")
    given = parser.parse_args()
    good = measured(given.sample, given.seed, only=given.only, look=given.list)
    sys.exit(not good)


if __name__ == "__main__":
    main()
