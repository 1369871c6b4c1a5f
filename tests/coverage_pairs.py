"""Which tests answer for every line of which source: by pair, and no average.

``python -m tests.coverage_pairs FOLDERS`` runs the tests of the folders, traced, and
fails if a pair's tests leave a line of its source out. ``--propose`` prints, for
every source of the core, the fewest tests that reach all of it.
"""

from __future__ import annotations

import argparse
import ast
import os
import re
import sys
import tempfile
from pathlib import Path

import coverage
import pytest

ROOT = Path(__file__).parents[1]
CORE = tuple(
    f"benchassist/{part}"
    for part in ("domain", "physics", "journal", "records", "sums")
)

# A test file, or a folder where the rules of a source are stated in several, or some
# of both with a blank between them; the sources lie in the package.
PAIRS: dict[str, tuple[str, ...]] = {
    # What it works out is kept: whoever comes first runs the line for all.
    "tests": ("journal/shape.py",),
    "tests/domain": (
        "domain/advice.py",
        "domain/baths.py",
        "domain/brush_window.py",
        "domain/calls.py",
        "domain/change.py",
        "domain/claims.py",
        "domain/coat.py",
        "domain/codes.py",
        "domain/commands/__init__.py",
        "domain/correction/counts.py",
        "domain/correction/effects.py",
        "domain/correction/gathered.py",
        "domain/correction/sources.py",
        "domain/correction/told.py",
        "domain/coupon.py",
        "domain/day_chance.py",
        "domain/day_play.py",
        "domain/day_rules.py",
        "domain/day_ways.py",
        "domain/decide.py",
        "domain/deciders/away.py",
        "domain/deciders/baskets.py",
        "domain/deciders/box.py",
        "domain/deciders/coat.py",
        "domain/deciders/common.py",
        "domain/deciders/correction.py",
        "domain/deciders/coupon.py",
        "domain/deciders/day.py",
        "domain/deciders/equipment.py",
        "domain/deciders/filing.py",
        "domain/deciders/intake.py",
        "domain/deciders/late.py",
        "domain/deciders/light.py",
        "domain/deciders/limits.py",
        "domain/deciders/lots.py",
        "domain/deciders/mishaps.py",
        "domain/deciders/papers.py",
        "domain/deciders/passing.py",
        "domain/deciders/people.py",
        "domain/deciders/recall.py",
        "domain/deciders/release.py",
        "domain/deciders/stages.py",
        "domain/deciders/table.py",
        "domain/deciders/upkeep.py",
        "domain/effect.py",
        "domain/evolve/__init__.py",
        "domain/evolve/common.py",
        "domain/evolve/correction.py",
        "domain/evolve/coupon.py",
        "domain/evolve/day.py",
        "domain/evolve/intake.py",
        "domain/evolve/light.py",
        "domain/evolve/mishaps.py",
        "domain/evolve/people.py",
        "domain/evolve/recall.py",
        "domain/evolve/shelf.py",
        "domain/evolve/shelf_anew.py",
        "domain/evolve/stages.py",
        "domain/evolve/store.py",
        "domain/evolve/table.py",
        "domain/evolve/times.py",
        "domain/evolve/upkeep.py",
        "domain/gates/__init__.py",
        "domain/gates/bath_load.py",
        "domain/gates/bottle_stirred.py",
        "domain/gates/box_free_for_coat.py",
        "domain/gates/box_light.py",
        "domain/gates/box_occupied.py",
        "domain/gates/box_whole.py",
        "domain/gates/coats_max.py",
        "domain/gates/count_excess.py",
        "domain/gates/dry_before_box.py",
        "domain/gates/dry_before_coat.py",
        "domain/gates/example_data.py",
        "domain/gates/glycerine_count.py",
        "domain/gates/interruption.py",
        "domain/gates/lamp_reading_age.py",
        "domain/gates/light_check.py",
        "domain/gates/lot_expiry.py",
        "domain/gates/meter_due.py",
        "domain/gates/nitrogen.py",
        "domain/gates/own_glycerine.py",
        "domain/gates/previous_stage.py",
        "domain/gates/recipe_status.py",
        "domain/gates/release_ready.py",
        "domain/gates/training_store.py",
        "domain/gates/verdict.py",
        "domain/gates/vessel_hot.py",
        "domain/gates/vessel_room.py",
        "domain/gathered.py",
        "domain/holders.py",
        "domain/knowledge.py",
        "domain/layer.py",
        "domain/library.py",
        "domain/light.py",
        "domain/limits.py",
        "domain/mishaps/__init__.py",
        "domain/mishaps/box_run.py",
        "domain/mishaps/box_stopped.py",
        "domain/mishaps/bubbles.py",
        "domain/mishaps/contaminated.py",
        "domain/mishaps/cracked.py",
        "domain/mishaps/dropped.py",
        "domain/mishaps/floated.py",
        "domain/mishaps/kind.py",
        "domain/mishaps/lamp_died.py",
        "domain/mishaps/late.py",
        "domain/mishaps/not_dry.py",
        "domain/mishaps/over_washed.py",
        "domain/mishaps/power_blip.py",
        "domain/mishaps/rework.py",
        "domain/mishaps/smeared.py",
        "domain/mishaps/touched.py",
        "domain/mishaps/wrong_program.py",
        "domain/names.py",
        "domain/nitrogen.py",
        "domain/order.py",
        "domain/outcome.py",
        "domain/own_times.py",
        "domain/part.py",
        "domain/pedal_acts.py",
        "domain/place.py",
        "domain/plan.py",
        "domain/preview.py",
        "domain/queue.py",
        "domain/route.py",
        "domain/routines.py",
        "domain/runs.py",
        "domain/shape.py",
        "domain/shelf.py",
        "domain/size.py",
        "domain/stagger.py",
        "domain/standing.py",
        "domain/state.py",
        "domain/tested.py",
        "domain/trays.py",
        "domain/truth.py",
        "domain/wet.py",
        "domain/words.py",
        "domain/working_time.py",
        "physics/buoyancy.py",
    ),
    "tests/domain/test_box.py": ("domain/evolve/box.py",),
    "tests/domain/test_burst.py": ("domain/burst.py",),
    "tests/domain/test_change.py": ("domain/deciders/change.py",),
    "tests/domain/test_closing.py": ("domain/closing.py",),
    "tests/domain/test_coat.py": ("domain/evolve/coat.py",),
    "tests/domain/test_dark.py": (
        "domain/dark.py",
        "domain/deciders/dark.py",
    ),
    "tests/domain/test_day_ahead.py": ("domain/day_ahead.py",),
    "tests/domain/test_facts.py": (
        "domain/deciders/facts.py",
        "domain/evolve/facts.py",
    ),
    "tests/domain/test_halves.py": ("domain/halves.py",),
    "tests/domain/test_late.py": ("domain/evolve/late.py",),
    "tests/domain/test_ledger.py": ("domain/ledger.py",),
    "tests/domain/test_owned.py": (
        "domain/deciders/owned.py",
        "domain/evolve/owned.py",
    ),
    "tests/domain/test_pedal.py": ("domain/pedal.py",),
    "tests/domain/test_pedal_guard.py": ("domain/pedal_guard.py",),
    "tests/domain/test_quiet.py": ("domain/quiet.py",),
    "tests/domain/test_recall.py": ("domain/recall.py",),
    "tests/domain/test_release.py": ("domain/evolve/release.py",),
    "tests/domain/test_segments.py": ("domain/segments.py",),
    "tests/domain/test_teeth.py": ("domain/teeth.py",),
    "tests/domain/test_training.py": ("domain/training.py",),
    "tests/journal": (
        "journal/chain.py",
        "journal/drafts.py",
        "journal/errors.py",
        "journal/files.py",
        "journal/kept.py",
        "journal/lock.py",
        "journal/projections.py",
        "journal/rows.py",
        "journal/schema.py",
        "journal/slots.py",
        "journal/walks.py",
        "journal/writing.py",
    ),
    "tests/journal/test_backup.py": ("journal/backup.py",),
    "tests/journal/test_codec.py": ("journal/codec.py",),
    "tests/journal/test_finding.py": ("journal/finding.py",),
    "tests/journal/test_history.py": ("journal/history.py",),
    "tests/journal/test_index_walk.py": ("journal/index_walk.py",),
    "tests/physics": (
        "physics/bubbles.py",
        "physics/coat.py",
        "physics/coat_column.py",
        "physics/coat_grid.py",
        "physics/coat_light.py",
        "physics/coat_march.py",
        "physics/coat_rates.py",
        "physics/coat_resin.py",
        "physics/coat_transport.py",
        "physics/coat_uncertainty.py",
        "physics/drift.py",
        "physics/glycerine.py",
        "physics/kinetics.py",
        "physics/purge.py",
        "physics/spectra.py",
        "physics/vessel.py",
        "physics/wash.py",
        "physics/working_curve.py",
    ),
    "tests/physics/test_coat_tack.py": ("physics/coat_tack.py",),
    "tests/physics/test_light_check.py": ("physics/light_check.py",),
    "tests/physics/test_regression.py": ("physics/regression.py",),
    "tests/physics/test_spots.py": ("physics/spots.py",),
    "tests/physics/test_tables.py": ("physics/tables.py",),
    "tests/records": (
        "records/amendment.py",
        "records/card_ahead.py",
        "records/card_now.py",
        "records/csv_log.py",
        "records/day_log.py",
        "records/day_page.py",
        "records/export.py",
        "records/json_log.py",
        "records/labels.py",
        "records/paper.py",
        "records/part_lines.py",
        "records/recall_list.py",
        "records/rows.py",
        "records/story.py",
        "records/story_page.py",
        "sums/shipped.py",
    ),
    "tests/records/test_card.py": ("records/card.py",),
    "tests/records/test_cells.py": ("records/cells.py",),
    "tests/records/test_proof.py": ("records/proof.py",),
    "tests/reference": (
        "physics/drying.py",
        "physics/eyes.py",
        "physics/tip.py",
    ),
    "tests/sums": (
        "sums/coat.py",
        "sums/spot_map.py",
        "sums/subject.py",
        "sums/trend.py",
    ),
    "tests/test_carrying.py": ("domain/evolve/carried.py",),
    "tests/domain tests/records": (
        "domain/box_light.py",
        "domain/correction/decide.py",
        "domain/correction/judged.py",
        "domain/correction/worlds.py",
        "domain/evolve/anew.py",
        "domain/sure.py",
    ),
    "tests/journal tests/records": ("journal/opening.py",),
    "tests/journal tests/records tests/test_carrying.py": ("journal/reading.py",),
}


class Traced:
    """What the tests of some folders ran, line by line.

    Attributes
    ----------
    sources
        Every file of the core.
    """

    def __init__(self, data: Path) -> None:
        self._data = data
        self.sources = sources()
        self._cov = coverage.Coverage(data_file=str(data), config_file=str(CONFIG))
        self._cov.load()
        found = self._cov.get_data()
        self.tests = {
            context.split("::")[0] for context in found.measured_contexts() if context
        }

    def missing(self, source: str, tests: str) -> list[int]:
        """Return the lines of a source that the tests of some places did not run.

        Lines that run when a module is loaded belong to all.
        """
        data = self._cov.get_data()
        places = (f"^{re.escape(place)}(::|/|$)" for place in tests.split())
        data.set_query_contexts(["^$", *places])
        _, _, _, missing, _ = self._cov.analysis2(str(ROOT / source))
        return missing


CONFIG = ROOT / "pyproject.toml"


def unpaired() -> list[str]:
    """Return the sources of the core that no pair names, and that do something."""
    named = {f"benchassist/{name}" for names in PAIRS.values() for name in names}
    return [each for each in sources() if each not in named and _does(ROOT / each)]


def sources() -> list[str]:
    """Return every file of the core, from the root on."""
    return sorted(
        file.relative_to(ROOT).as_posix()
        for place in CORE
        for file in (ROOT / place).rglob("*.py")
    )


def _does(file: Path) -> bool:
    """Return whether a source has a function with more than words in it."""
    tree = ast.parse(file.read_text("utf-8"))
    bodies = (n.body for n in ast.walk(tree) if isinstance(n, ast.FunctionDef))
    return any(not isinstance(each, ast.Expr) for body in bodies for each in body)


def run(folders: list[str], data: Path) -> None:
    """Run the tests of some folders, traced."""
    # For this process and its workers.
    os.environ["COVERAGE_FILE"] = str(data)
    os.environ["BENCHASSIST_SAME_EXAMPLES"] = "yes"
    traced = [f"--cov={place}" for place in CORE]
    options = ["-q", "--cov-context=test", "--cov-report=", f"--cov-config={CONFIG}"]
    code = pytest.main([*folders, *traced, *options])
    if code != pytest.ExitCode.OK:
        sys.exit(int(code))


def amiss(traced: Traced) -> list[str]:
    """Return what does not hold of the pairs, a line each."""
    found = [f"{source} has no pair" for source in unpaired()]
    for tests, names in PAIRS.items():
        found += [f"{e} is no more" for e in tests.split() if not (ROOT / e).exists()]
        for name in names:
            source = f"benchassist/{name}"
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
