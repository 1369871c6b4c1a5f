"""Every shipped script goes as it says, and its record is the same every time.

The scripts carry their own expectations; the numbers of the power-loss, wrong-program
and odd-count scripts are sums that can be done by hand from flashes per second and
counts per run. There is no outside source for them: common practice at a bench.
"""

import json
from pathlib import Path

import pytest

from benchassist.journal.reading import ReadOnlyJournal
from benchassist.rehearsal import (
    Player,
    load_script,
    record_of,
    run_script,
    shipped_scripts,
)
from benchassist.rehearsal.memory import MemoryJournal

SCRIPTS = shipped_scripts()


def as_bytes(record):
    return json.dumps(record, sort_keys=True, allow_nan=False).encode()


def test_the_scenarios_are_shipped():
    assert {"day", "o1_plain_crown", "o2_odd_counts", "o3_wrong_lamp"} <= set(SCRIPTS)
    assert {"o6_wrong_program", "denture_two_sides"} <= set(SCRIPTS)
    assert sum(name.startswith("o5_power_loss") for name in SCRIPTS) == 3


@pytest.mark.parametrize("name", SCRIPTS)
def test_a_shipped_script_goes_as_it_says_and_its_record_is_byte_stable(
    name, quick_folder
):
    on_disk = run_script(name, folder=quick_folder).record
    book = MemoryJournal()
    again = Player(load_script(name), lambda: book)
    for _ in again.moments():
        pass

    assert as_bytes(again.record()) == as_bytes(on_disk)

    with ReadOnlyJournal.open(quick_folder) as journal:
        reread = record_of(journal)

    assert as_bytes(reread) == as_bytes({key: on_disk[key] for key in reread})
    assert on_disk["mark"] == "EXAMPLE"


@pytest.mark.parametrize("name", SCRIPTS)
def test_a_shipped_script_expects_something(name):
    script = load_script(name)

    assert any(line.verb == "expect" for line in script.lines)


def test_every_example_code_in_a_script_is_marked_as_one():
    for name in SCRIPTS:
        for line in load_script(name).lines:
            if line.verb == "take-in":
                assert line.words[0].startswith("EX-")


def test_a_plain_crown_takes_six_holds_and_twenty_presses(quick_folder):
    # About 6 holds and 20 presses are wanted: common practice, no source.
    record = run_script("count_crown", folder=quick_folder).record

    assert (record["hands_and_feet"]["holds"], record["hands_and_feet"]["presses"]) == (
        6,
        20,
    )


def test_a_splint_of_two_coats_takes_six_holds_and_under_fifty_presses(quick_folder):
    # Sixty spots a coat in eight segments, one press to wet and one to walk each.
    record = run_script("count_splint", folder=quick_folder).record

    assert record["hands_and_feet"]["holds"] == 6
    assert record["hands_and_feet"]["presses"] == 2 * 2 * 8 + 15


def test_the_record_of_a_crown_adds_up(quick_folder):
    record = run_script("o1_plain_crown", folder=quick_folder).record
    crown = record["parts"]["EX-21"]
    body, coat = crown["ledger"]

    assert crown["phase"] == "released"
    assert (body["layer"], body["low"], body["high"]) == ("body", 4400, 4400)
    assert (coat["layer"], coat["low"]) == ("coat-2", 2200)
    assert [run["planned"] for run in record["runs"].values()] == [2200, 2200]
    # Two coats of five spots at 4.2 J/cm² / 420 mW/cm² = 10 s.
    assert sum(record["lamp_on_s"].values()) == 2 * 5 * 10
    assert record["refusals"] == {
        "dry-before-box": 1,
        "dry-before-coat": 1,
        "release-ready": 2,
    }
    stages = [each["stage"] for each in crown["stages"]]
    assert stages.index("wash-1") < stages.index("half-1") < stages.index("coat-1")
    assert "stain-1" not in stages


def test_scripts_lie_beside_their_libraries():
    folder = Path(__file__).parents[2] / "demo_cases" / "scripts"
    if folder.is_dir():  # in a checkout; an installed copy has them in the wheel
        assert {path.stem for path in folder.glob("*.txt")} == set(SCRIPTS)
