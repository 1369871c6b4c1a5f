"""Faults that once went unnoticed: each is among the mutants, and must be killed.

A row is where, what stands there and what it becomes. A test asks that every text
still stands in its source once, so that no row is lost when the source is rewritten.
"""

from __future__ import annotations

import hashlib

from tests.benchmarks.mutation.mutants import DOMAIN, ROOT, Mutant

GATES = f"{DOMAIN}/gates"
CLEAN = f"{DOMAIN}/stages/clean.py"
NAMED: tuple[tuple[str, str, str], ...] = (
    # a hot part given into hands a second early
    (f"{GATES}/vessel_hot.py", "if left > 0:", "if left > MS:"),
    # a reading that is just old enough, an operator idle for just long enough
    (f"{GATES}/lamp_reading_age.py", "age_h <= oldest_h", "age_h < oldest_h"),
    (f"{DOMAIN}/deciders/people.py", "acted) < limit", "acted) <= limit"),
    # cleaning wets no more
    (CLEAN, "    wets=True,\n", ""),
    # a box that tacked parts wait for, and one that is still warm, is said to be free
    (
        f"{GATES}/box_free_for_coat.py",
        "_waits_tacked(each, part.box)\n",
        "False\n",
    ),
    (f"{GATES}/box_free_for_coat.py", " + box.warm_s", ""),
    # a box known from papers is judged at its strong end
    (f"{DOMAIN}/box_light.py", "needed = found.careful_s", "needed = found.low_s"),
    (
        f"{DOMAIN}/effect.py",
        "effective_mw_cm2 * (1 - band),\n            effect.highest",
        "effective_mw_cm2 * (1 + band),\n            effect.highest",
    ),
    # what was accepted of a vessel stays accepted behind another wall
    (
        f"{DOMAIN}/evolve/light.py",
        (
            "old = bench.vessels.get(found.code)\n"
            "    bench = judged_anew(bench, found.code) if old != found else bench\n"
        ),
        "old = bench.vessels.get(found.code)\n",
    ),
    # the brush's time of a second wet coat is forgotten, its own and the other's
    (f"{GATES}/interruption.py", "wet_ms + brush_ms + ", "wet_ms + "),
    (f"{GATES}/interruption.py", " + segment.brush_s * MS", ""),
    # what a vessel lets through is weighted by energy instead of photons
    (
        "benchassist/physics/light_check.py",
        "* grid_nm\n    bare = integrate(effect, grid_nm)\n    if bare <= 0.0",
        "\n    bare = integrate(effect, grid_nm)\n    if bare <= 0.0",
    ),
    # a crown's long sides as short as the others
    (
        "benchassist/physics/spots.py",
        "along, across = Face(length_mm, height_mm)",
        "along, across = Face(width_mm, height_mm)",
    ),
    (
        "benchassist/physics/spots.py",
        "Face(length_mm, width_mm), along, along, across",
        "Face(length_mm, width_mm), along, across, across",
    ),
    # the day ahead: a piece begun where alcohol comes due within it
    (f"{DOMAIN}/day_play.py", "if takes <= room:", "if True:"),
    (f"{DOMAIN}/day_play.py", "if takes <= room:", "if takes < room:"),
    # no band at all taken for a band inside another
    (f"{DOMAIN}/knowledge.py", "bool(bands) and ", ""),
    # two commands of one moment taken for one, two moments of one for two
    (f"{DOMAIN}/truth.py", "one.act == other.act and ", ""),
    (f"{DOMAIN}/truth.py", " and one.at == other.at", ""),
)


def named() -> list[Mutant]:
    """Return the named faults as mutants."""
    return [_mutant(*row) for row in NAMED]


def _mutant(path: str, old: str, new: str) -> Mutant:
    text = (ROOT / path).read_bytes()
    if text.count(old.encode()) != 1:
        msg = f"{path} has {text.count(old.encode())} times: {old}"
        raise ValueError(msg)
    start = text.index(old.encode())
    end = start + len(old.encode())
    first, last = (text[:place].count(b"\n") + 1 for place in (start, end))
    key = hashlib.sha256(f"{path} {old} {new}".encode()).hexdigest()[:12]
    table = path == CLEAN
    return Mutant(
        key, "named", path, first, old, new, start, end, first, last, at_import=table
    )
