"""Labels: read back by a scanner's decoder and by our own reading of scans."""

from functools import partial

import pytest
import segno

from benchassist import assets
from benchassist.records.card import CardError, Printed
from benchassist.records.labels import labels, symbol, write_labels
from benchassist.rehearsal import Player, parse_script
from benchassist.rehearsal.memory import MemoryJournal
from benchassist.scan import read

SCRIPT = """
start 2026-03-02 08:50:00 +01:00
library practice.toml
operator OP-1
take-in EX-21 "EX-RC-C r1" EX-LT-C1 coat_lot=EX-LT-C2 lamp=EX-LM-A box=EX-BX-1 \
vessel=EX-GV-01 peg=21 due=11:00 variant.stain_passes=0
take-in EX-22 "EX-RC-C r1" EX-LT-C1 coat_lot=EX-LT-C2 lamp=EX-LM-A box=EX-BX-1 \
vessel=EX-GV-01 due=34:00 variant.stain_passes=0
""".replace("\\\n", "")


@pytest.fixture
def played():
    return at_the_end(SCRIPT)


def at_the_end(script):
    player = Player(
        parse_script(
            script, name="labels", beside=partial(assets.read_text, "demo_cases")
        ),
        MemoryJournal,
    )
    for _ in player.moments():
        pass
    return player.session


def printed(session):
    return Printed(session.now(), session.bench.seq)


def test_each_part_has_a_tray_and_a_bag_label(played):
    page = labels(played.bench, printed(played))
    assert page.count("<img") == 4
    assert "tray 21" in page
    assert "EXAMPLE" in page  # whatever leaves an example store is marked
    assert "EX-LT-C1" in page
    assert "instructions" in page


def test_only_those_that_are_named(played):
    page = labels(played.bench, printed(played), ["EX-22"])
    assert "EX-21" not in page
    with pytest.raises(CardError, match="EX-99"):
        labels(played.bench, printed(played), ["EX-99"])


def test_a_bench_without_parts_has_no_label_to_print():
    played = at_the_end(SCRIPT.partition("take-in")[0] + "+10s end\n")

    with pytest.raises(CardError, match="No part is in flight"):
        labels(played.bench, printed(played))


def test_the_symbol_holds_the_code_and_nothing_else(played):
    uri, width_mm = symbol("EX-21")
    assert uri == segno.make_qr("*PART:EX-21", error="q").png_data_uri(scale=8)
    assert width_mm > 15
    assert read("PART:EX-21").part == "EX-21"


def test_a_folder_that_refuses_is_said(played, tmp_path):
    assert write_labels(played.bench, tmp_path, printed(played)).exists()
    (tmp_path / "file").write_text("")
    with pytest.raises(CardError, match="choose another folder"):
        write_labels(played.bench, tmp_path / "file", printed(played))
