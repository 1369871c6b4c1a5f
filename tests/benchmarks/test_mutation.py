"""Faults put into the rules: how many a test notices, in a small sample.

The whole run is ``python -m tests.benchmarks.mutation``: 400 of them. Needs the
development tools; it is not there in an installed copy.
"""

import subprocess
import sys

import pytest

from tests.benchmarks.mutation.mutants import ROOT
from tests.benchmarks.mutation.named import named


@pytest.mark.parametrize("mutant", named(), ids=str)
def test_a_named_fault_still_has_its_place_in_the_source(mutant):
    compile(mutant.source(), mutant.path, "exec")


@pytest.mark.benchmark
def test_nine_of_ten_faults_are_noticed_and_every_named_one():
    run = [sys.executable, "-m", "tests.benchmarks.mutation", "--sample", "20"]
    ended = subprocess.run(run, cwd=ROOT, check=False)

    assert ended.returncode == 0
