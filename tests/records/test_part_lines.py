"""The file that people open: one line a part. The numbers are the script's own."""

import csv
import io
from functools import partial
from typing import get_args

import pytest

from benchassist import assets
from benchassist.domain.events.base import Evidence
from benchassist.journal.writing import Journal
from benchassist.records.cells import read_cell
from benchassist.records.day_log import day_log
from benchassist.records.part_lines import COLUMNS, SEEN, as_part_lines
from benchassist.rehearsal import Player, load_script, parse_script

HALF = """
start 2026-03-02 08:50:00 +01:00
library practice.toml
operator OP-1
take-in 0047 "EX-RC-C r1" EX-LT-C1 coat_lot=EX-LT-C2 lamp=EX-LM-A box=EX-BX-1 \
vessel=EX-GV-01 variant.stain_passes=0 printed=2026-02-27
""".replace("\\\n", "")


def lines_of(script, folder):
    player = Player(script, partial(Journal.open, folder))
    for _ in player.moments():
        pass
    journal, now = player.session.journal, player.session.now()
    log = day_log(journal, journal.store, now.day(), journal.head.seq)
    text = as_part_lines(log)
    player.close()
    header, *rows = csv.reader(io.StringIO(text, newline=""), strict=True)
    assert tuple(header) == COLUMNS
    return [dict(zip(COLUMNS, row, strict=True)) for row in rows]


def test_a_plain_crown_in_one_line(tmp_path):
    (line,) = lines_of(load_script("o1_plain_crown"), tmp_path)
    assert line["mark"] == "EXAMPLE"
    assert line["item"] == "crown"
    assert line["state"] == "released"
    assert line["dose_seen_of_owed"].startswith("body: 4400 of 4400 seen")
    assert "coat-2: 2200 of 2200 seen" in line["dose_seen_of_owed"]
    assert line["coats"] == "2"
    assert line["lamp"] == "EX-LM-A"
    assert line["lamp_known"] in ("papers or measured", "tested here")
    assert line["closed_by"] == "OP-1"
    assert line["closed_at"].startswith("20")
    assert line["proven"] == "yes"
    assert len(line["last_hash"]) == 64


def test_a_part_in_work_says_what_it_has_and_keeps_its_zeros(tmp_path):
    beside = partial(assets.read_text, "demo_cases")
    script = parse_script(HALF, name="half", beside=beside)
    (line,) = lines_of(script, tmp_path)
    assert line["part"] == "'0047"
    assert read_cell(line["part"]) == "0047"
    assert (line["print_lot"], line["printed"]) == ("EX-LT-C1", "2026-02-27")
    assert line["dose_seen_of_owed"] == "body: 0 of 4400"
    assert (line["closed_at"], line["closed_by"]) == ("", "")
    assert line["lamp_known"] == ""


@pytest.mark.parametrize("name", ["o6_wrong_program", "o9_touched_dropped"])
def test_deviations_stand_in_the_line(name, tmp_path):
    lines = lines_of(load_script(name), tmp_path)
    assert any(line["deviations"] for line in lines)


def test_only_what_somebody_saw_is_called_seen():
    """Seconds that a timer counted say nothing of the light that a hand held there."""
    assert set(SEEN) == set(get_args(Evidence))
    assert [how for how, told in SEEN.items() if told == "seen"] == ["observed"]
