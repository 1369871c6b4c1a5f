"""Tests run in a child of one pytest session, with one fault put into the program.

The session has collected every test and run none. For each mutant it forks, and the
child puts the changed code into the functions that are there already, so that a
fault is found in a fraction of a second. What is worked out when a module is loaded
cannot be changed so: there the child loads the package anew, the fault among it. No
file is touched either way.
"""

from __future__ import annotations

import contextlib
import gc
import json
import os
import resource
import sys
import tempfile
import types
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from importlib.abc import MetaPathFinder
from importlib.machinery import SourceFileLoader
from importlib.util import spec_from_file_location
from pathlib import Path
from time import process_time

import pytest
from hypothesis import HealthCheck, settings

from tests.benchmarks.mutation.mutants import ROOT, Mutant

# Where the rules are stated; that a whole day told in a story would notice besides is
# no rule.
SUITE = ("tests/domain", "tests/physics", "tests/reference", "tests/test_carrying.py")
OPTIONS = (
    "-q",
    "-x",
    "-s",
    "-n0",
    "-m",
    "not (benchmark or slow or faults or window)",
    "-p",
    "no:cacheprovider",
    "-W",
    "ignore::pytest.PytestAssertRewriteWarning",
)
MEMORY = 6 << 30  # [bytes] a fault may ask for any amount
START_S = 6.0  # [s] for a child's own start


@dataclass(frozen=True)
class Outcome:
    """How a run ended: ``passed``, ``failed`` or ``timeout``, and where."""

    end: str
    test: str = ""


class NoSwapError(Exception):
    """A changed function cannot take the place of the one that is there."""


def with_session(work: Callable[[pytest.Session], None]) -> None:
    """Collect the suite, and do ``work`` in place of running it."""
    settings.register_profile(
        "mutation",
        database=None,
        deadline=None,
        derandomize=True,
        suppress_health_check=list(HealthCheck),
    )
    settings.load_profile("mutation")

    class _Work:
        def pytest_runtestloop(self, session: pytest.Session) -> bool:
            work(session)
            return True

    with tempfile.TemporaryDirectory(prefix="mutation-") as folder:
        base = f"--basetemp={folder}/base"
        code = pytest.main([*SUITE, *OPTIONS, base], plugins=[_Work()])
    if code != pytest.ExitCode.OK:
        msg = f"pytest ended with {code!r}"
        raise RuntimeError(msg)


class Suite:
    """The collected tests, run in children."""

    def __init__(self, session: pytest.Session) -> None:
        self._items = {item.nodeid: item for item in session.items}
        self._functions: dict[str, list[types.FunctionType]] = defaultdict(list)
        for each in gc.get_objects():
            if isinstance(each, types.FunctionType):
                self._functions[each.__code__.co_filename].append(each)
        gc.freeze()  # what is shared stays shared after a fork

    def run(self, tests: Sequence[str], mutant: Mutant, *, cpu_s: float) -> Outcome:
        """Run tests in their order until one fails; ``cpu_s`` is their time in all."""

        def work() -> Outcome:
            try:
                swap(mutant, self._functions[str(ROOT / mutant.path)])
            except NoSwapError:
                return _anew(tests, mutant)
            failed = self.run_here(tests)
            return Outcome("failed", failed) if failed else Outcome("passed")

        found = in_child(work, cpu_s + START_S)
        return found or Outcome("timeout", "too long, or ended hard")

    def run_here(self, tests: Sequence[str]) -> str:
        """Run tests in this process; return the first that fails, or nothing."""
        items = [self._items[test] for test in tests]
        seen = _Failures()
        items[0].config.pluginmanager.register(seen)
        for item, after in zip(items, [*items[1:], None], strict=True):
            item.config.hook.pytest_runtest_protocol(item=item, nextitem=after)
            if seen.first:
                break
        return seen.first

    @property
    def names(self) -> list[str]:
        """Return every test."""
        return list(self._items)


def in_child(work: Callable[[], Outcome], cpu_s: float) -> Outcome | None:
    """Return what ``work`` returns in a child; None if it did not come to an end."""
    with tempfile.TemporaryDirectory(prefix="mutant-") as folder:
        told = Path(folder) / "told"
        child = os.fork()
        if child == 0:
            with contextlib.suppress(BaseException):
                _alone(cpu_s)
                found = work()
                told.write_text(json.dumps([found.end, found.test]), encoding="utf-8")
            os._exit(0)
        os.waitpid(child, 0)
        if not told.exists():
            return None
        return Outcome(*json.loads(told.read_text(encoding="utf-8")))


def _alone(cpu_s: float) -> None:
    """Give the child its own output and limits."""
    most = int(process_time() + cpu_s) + 1
    resource.setrlimit(resource.RLIMIT_CPU, (most, most + 5))
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    silent = os.open(os.devnull, os.O_RDWR)
    for stream in range(3):
        os.dup2(silent, stream)


class _Failures:
    """A plugin that keeps the first failure."""

    def __init__(self) -> None:
        self.first = ""

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.failed and not self.first:
            self.first = report.nodeid


# --- in place ---------------------------------------------------------------------


def swap(mutant: Mutant, functions: Iterable[types.FunctionType]) -> None:
    """Put the changed code into the functions that have the code as it was.

    Raises
    ------
    NoSwapError
        If the change is not inside functions, or they would not be the same ones.
    """
    if mutant.at_import:
        raise NoSwapError
    file = str(ROOT / mutant.path)
    was, new = (
        # As the module was: what this one imports from __future__ is not for it.
        list(_codes(compile(source, file, "exec", dont_inherit=True)))
        for source in ((ROOT / mutant.path).read_bytes(), mutant.source())
    )
    if [code.co_qualname for code in was] != [code.co_qualname for code in new]:
        raise NoSwapError
    changed = {
        (old.co_qualname, old.co_firstlineno, old.co_code, old.co_consts): code
        for old, code in zip(was, new, strict=True)
        if not _same(old, code)
    }
    # The code of a body that runs once, when its module or class is made, is the
    # same but for the functions inside it.
    found = 0
    for each in functions:
        old = each.__code__
        key = (old.co_qualname, old.co_firstlineno, old.co_code, old.co_consts)
        if key in changed:
            try:
                each.__code__ = changed[key]
            except ValueError as error:
                raise NoSwapError from error
            found += 1
    if not found:
        raise NoSwapError


def _same(one: types.CodeType, other: types.CodeType) -> bool:
    return one.replace(co_filename="", co_linetable=b"", co_exceptiontable=b"") == (
        other.replace(co_filename="", co_linetable=b"", co_exceptiontable=b"")
    )


def _codes(code: types.CodeType) -> Iterator[types.CodeType]:
    yield code
    for each in code.co_consts:
        if isinstance(each, types.CodeType):
            yield from _codes(each)


# --- loaded anew ------------------------------------------------------------------


def _anew(tests: Sequence[str], mutant: Mutant) -> Outcome:
    """Run tests with the package loaded again, the change in it."""
    for name in list(sys.modules):
        if name.split(".")[0] in ("benchassist", "tests", "conftest"):
            del sys.modules[name]
    sys.meta_path.insert(0, _Changed(mutant))
    chosen = _Chosen(tests)
    files = list(dict.fromkeys(test.split("::")[0] for test in tests))
    with tempfile.TemporaryDirectory(prefix="anew-") as folder:
        base = f"--basetemp={folder}/base"
        code = pytest.main([*files, *OPTIONS, base], plugins=[chosen])
    if code == pytest.ExitCode.OK:
        return Outcome("passed")
    return Outcome("failed", chosen.first or f"at import, {code!r}")


class _Chosen(_Failures):
    """A plugin: the tests asked for, in that order, and the first that fails."""

    def __init__(self, tests: Sequence[str]) -> None:
        super().__init__()
        self._order = {test: n for n, test in enumerate(tests)}

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        kept = [item for item in items if item.nodeid in self._order]
        items[:] = sorted(kept, key=lambda item: self._order[item.nodeid])


class _Changed(MetaPathFinder):
    """Finds the one module that is changed, and loads it as it is not on disk."""

    def __init__(self, mutant: Mutant) -> None:
        self._mutant = mutant
        module = mutant.path.removesuffix(".py").removesuffix("/__init__")
        self._name = module.replace("/", ".")

    def find_spec(self, name, path=None, target=None):
        """Return where the changed module comes from, None for all others."""
        if name != self._name:
            return None
        file = str(ROOT / self._mutant.path)
        return spec_from_file_location(name, file, loader=_Loader(name, self._mutant))


class _Loader(SourceFileLoader):
    def __init__(self, name: str, mutant: Mutant) -> None:
        super().__init__(name, str(ROOT / mutant.path))
        self._mutant = mutant

    def get_code(self, fullname: str):
        """Compile the changed source; nothing is kept on disk."""
        return compile(self._mutant.source(), self.path, "exec", dont_inherit=True)
