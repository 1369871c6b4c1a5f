"""The command line: one sentence for what is wrong, exit 2, never a traceback."""

import json

import pytest

from benchassist import assets
from benchassist.cli import main
from benchassist.clock import RealClock
from benchassist.domain import commands as cm
from benchassist.journal.writing import Journal
from benchassist.session import Session


@pytest.fixture
def no_screen(monkeypatch):
    monkeypatch.delenv("DISPLAY", raising=False)
    monkeypatch.delenv("WAYLAND_DISPLAY", raising=False)
    monkeypatch.delenv("QT_QPA_PLATFORM", raising=False)
    monkeypatch.setattr("sys.platform", "linux")


def test_without_a_screen_it_says_so_in_one_sentence(no_screen, tmp_path, capsys):
    code = main(["--data", str(tmp_path)])

    told = capsys.readouterr().err
    assert code == 2
    assert told.count("\n") == 1
    assert "no screen" in told


def test_the_pedal_table_names_every_state_and_what_the_foot_must_never(capsys):
    code = main(["pedal", "--table"])

    told = capsys.readouterr().out
    assert code == 0
    assert "Spot running (paced walk)" in told
    assert "mark complete early, jump coats" in told


def test_the_gate_table_says_that_no_hand_accepts_an_undried_part(capsys):
    code = main(["gates"])

    row = next(
        line
        for line in capsys.readouterr().out.splitlines()
        if line.startswith("dry-before-box")
    )
    assert code == 0
    assert "never" in row


def test_a_rehearsal_prints_its_record_as_json(capsys):
    code = main(["rehearse", "o1_plain_crown", "--headless"])

    record = json.loads(capsys.readouterr().out)
    assert code == 0
    assert record["script"] == "o1_plain_crown.txt"


def test_a_script_that_is_not_there_is_named_and_the_shipped_ones_listed(capsys):
    code = main(["rehearse", "nowhere.txt", "--headless"])

    told = capsys.readouterr().err
    assert code == 2
    assert "nowhere.txt" in told
    assert "o1_plain_crown" in told


def test_a_library_that_cannot_be_read_files_nothing(tmp_path, capsys):
    bad = tmp_path / "mine.toml"
    bad.write_text('[[lamps]]\ncode = "L1"\n', encoding="utf-8")

    code = main(["import", str(bad), "--data", str(tmp_path / "store")])

    told = capsys.readouterr().err
    assert code == 2
    assert "mine.toml" in told
    assert "Traceback" not in told


def test_a_real_store_takes_an_example_library_but_no_example_part(tmp_path, capsys):
    practice = tmp_path / "practice.toml"
    practice.write_text(assets.read_text("demo_cases", "practice.toml"), "utf-8")
    store = tmp_path / "store"

    code = main(["import", str(practice), "--data", str(store)])
    session = Session.open(
        Journal.open(store), RealClock(), kind="real", station="x", zone="UTC"
    )
    session.handle(cm.ClaimStation("OP-1"))
    refusal = session.handle(cm.TakeIn("K-1", "EX-RC-C r1", "EX-LT-C1")).refusal
    session.close()

    assert code == 0
    assert session.bench.store.kind == "real"
    assert refusal.code == "example-data"


def test_an_export_of_a_store_that_is_not_there_says_so(tmp_path, capsys):
    code = main(
        ["export", "--day", "2026-03-02", "--out", str(tmp_path), "--data", "/nowhere"]
    )

    assert code == 2
    assert capsys.readouterr().err.startswith("benchassist: ")
