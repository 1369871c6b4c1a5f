"""The command line: one sentence for what is wrong, exit 2, never a traceback."""

import json
import os
import shutil
import sqlite3
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from benchassist import assets
from benchassist.cli import main
from benchassist.clock import AcceleratedClock, RealClock
from benchassist.domain import commands as cm
from benchassist.domain.events import KINDS, Event
from benchassist.journal.codec import Codec
from benchassist.journal.drafts import Draft
from benchassist.journal.files import DATABASE
from benchassist.journal.reading import ReadOnlyJournal
from benchassist.journal.writing import Journal
from benchassist.records.export import EXPORTS
from benchassist.session import Session
from benchassist.value import value


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


def test_a_rehearsal_keeps_its_store_where_it_is_told_and_its_day_is_exported(
    tmp_path, capsys
):
    store = tmp_path / "store"
    told = ["rehearse", "o1_plain_crown", "--headless", f"--data={store}"]
    assert main(told) == 0
    day = ["export", "--day=2026-03-02", f"--out={tmp_path}", f"--data={store}"]
    assert main(day) == 0
    with ReadOnlyJournal.open(store) as journal:
        assert journal.store.kind == "rehearsal"
    assert any("EX-" in file.read_text("utf-8") for file in tmp_path.glob("*.csv"))

    capsys.readouterr()
    assert main(told) == 2  # it never goes on with a journal
    assert "empty folder" in capsys.readouterr().err
    assert main(["rehearse", "o1_plain_crown", "--headless", "--demo"]) == 2


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


def test_a_real_store_takes_no_example_library(tmp_path, capsys):
    practice = tmp_path / "practice.toml"
    practice.write_text(assets.read_text("demo_cases", "practice.toml"), "utf-8")
    store = tmp_path / "store"

    code = main(["import", str(practice), "--data", str(store)])
    session = Session.open(
        Journal.open(store), RealClock(), kind="real", station="x", zone="UTC"
    )
    session.close()

    assert code == 2
    assert "invented example" in capsys.readouterr().err
    assert session.bench.store.kind == "real"
    assert session.bench.materials == {}


def test_an_export_of_a_store_that_is_not_there_says_so(tmp_path, capsys):
    code = main(
        ["export", "--day", "2026-03-02", "--out", str(tmp_path), "--data", "/nowhere"]
    )

    assert code == 2
    assert capsys.readouterr().err.startswith("benchassist: ")


# --- training ----------------------------------------------------------------------


@pytest.fixture
def home(tmp_path, monkeypatch):
    """Return where the program keeps its stores; nothing is there yet."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "home"))
    return tmp_path / "home" / "benchassist"


@pytest.fixture
def practice(tmp_path):
    path = tmp_path / "practice.toml"
    path.write_text(assets.read_text("demo_cases", "practice.toml"), "utf-8")
    return path


def test_the_training_store_lies_beside_the_bench_and_is_made_when_first_asked(
    home, practice, capsys
):
    code = main(["import", str(practice), "--training"])

    assert code == 0
    assert [path.name for path in home.iterdir()] == ["training"]
    with ReadOnlyJournal.open(home / "training") as journal:
        assert journal.store.kind == "training"
        parts = [each.part for each in journal.part_rows()]
    assert "EX-T1" in parts


def test_a_training_bench_that_ran_ahead_is_not_turned_back_by_an_import(
    home, practice, capsys
):
    main(["import", str(practice), "--training"])
    folder = home / "training"
    journal = Journal.open(folder)
    fast = AcceleratedClock(RealClock(), 1.0, RealClock().now().plus(9 * 3_600_000))
    session = Session(journal, fast)
    session.handle(cm.ClaimStation("OP-9"))
    session.close()

    main(["import", str(practice), "--training"])

    with ReadOnlyJournal.open(folder) as reader:
        times = [(each.at.wall_ms, each.at.mono_ms) for each in reader.entries()]
    assert times == sorted(times)
    assert times[-1][0] >= fast.now().wall_ms - 60_000


def test_a_training_store_is_no_bench_and_a_bench_no_training_store(
    home, practice, capsys
):
    main(["import", str(practice), "--training"])
    capsys.readouterr()

    code = main(["import", str(practice), "--data", str(home / "training")])

    told = capsys.readouterr().err
    assert code == 2
    assert told.count("\n") == 1
    assert "training store" in told

    shutil.rmtree(home / "training")
    main(["import", str(practice)])
    (home / "bench").rename(home / "training")
    capsys.readouterr()
    code = main(["import", str(practice), "--training"])

    told = capsys.readouterr().err
    assert code == 2
    assert told.count("\n") == 1
    assert "real store" in told


def test_a_training_store_is_exported_under_its_name(home, practice, tmp_path, capsys):
    main(["import", str(practice), "--training"])
    capsys.readouterr()
    day = RealClock().now().day()

    code = main(["export", "--training", "--day", day, "--out", str(tmp_path / "out")])

    assert code == 0
    assert len(capsys.readouterr().out.splitlines()) == len(EXPORTS)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--speed", "5"], "--training"),
        (["--demo", "--speed", "5"], "--training"),
        (["--training", "--speed", "0"], "1 to 60"),
        (["--training", "--speed", "nan"], "1 to 60"),
        (["--training", "--speed", "61"], "1 to 60"),
    ],
)
def test_a_speed_that_cannot_be_is_said(home, capsys, words, told):
    code = main(words)

    said = capsys.readouterr().err
    assert code == 2
    assert told in said
    assert said.count("\n") == 1
    assert not home.exists()


# --- cards for paper ---------------------------------------------------------------


@pytest.fixture
def training(home, practice, capsys):
    main(["import", str(practice), "--training"])
    capsys.readouterr()
    return home / "training"


def test_a_card_of_every_part_is_written_and_named(training, tmp_path, capsys):
    code = main(["cards", "--training", "--out", str(tmp_path / "out")])

    paths = capsys.readouterr().out.splitlines()
    assert code == 0
    assert len(paths) == 4
    assert all("TRAINING" in Path(path).read_text("utf-8") for path in paths)


def test_cards_are_written_while_a_window_holds_the_store(training, tmp_path, capsys):
    session = Session(Journal.open(training), RealClock())
    session.handle(cm.ClaimStation("OP-9"))

    code = main(["cards", "EX-T1", "--data", str(training), "--out", str(tmp_path)])

    session.close()
    (path,) = capsys.readouterr().out.splitlines()
    assert code == 0
    assert "Take the supports off" in Path(path).read_text("utf-8")


def test_cards_of_a_damaged_store_go_as_far_as_it_does_and_say_so(
    training, tmp_path, capsys
):
    session = Session(Journal.open(training), RealClock())
    session.handle(cm.ClaimStation("OP-9"))
    session.handle(cm.ChoosePart("EX-T2"))
    last = session.bench.seq
    session.journal.close()
    with sqlite3.connect(training / DATABASE) as db:
        db.execute("DROP TRIGGER events_stay_as_they_are")
        db.execute("UPDATE events SET payload = 'x' WHERE seq = ?", (last,))
    db.close()

    code = main(["cards", "--data", str(training), "--out", str(tmp_path / "out")])

    told = capsys.readouterr()
    assert code == 2
    assert len(told.out.splitlines()) == 4
    assert f"Entry {last}" in told.err
    assert told.err.count("\n") == 1
    page = Path(told.out.splitlines()[0]).read_text("utf-8")
    assert f"What came after entry {last - 1} is not known." in page


@pytest.mark.parametrize(
    ("part", "out", "told"),
    [
        ("EX-99", "out", "EX-99"),
        ("EX-T1", "practice.toml", "choose another folder"),
    ],
)
def test_cards_that_cannot_be_written_are_one_sentence(
    training, capsys, part, out, told
):
    beside = training.parents[2] / out

    code = main(["cards", part, "--data", str(training), "--out", str(beside)])

    said = capsys.readouterr().err
    assert code == 2
    assert told in said
    assert said.count("\n") == 1


@pytest.mark.parametrize("text", [None, "", "no journal"])
def test_a_store_that_is_none_is_one_sentence(tmp_path, capsys, text):
    folder = tmp_path / "store"
    folder.mkdir()
    if text is not None:
        (folder / DATABASE).write_text(text)

    code = main(["cards", "--data", str(folder), "--out", str(tmp_path / "out")])

    said = capsys.readouterr().err
    assert code == 2
    assert said.count("\n") == 1
    assert not (tmp_path / "out").exists()


def test_a_screen_that_does_not_answer_is_said_before_qt_aborts(
    no_screen, monkeypatch, tmp_path, capsys
):
    monkeypatch.setenv("DISPLAY", ":987654")

    assert main(["--data", str(tmp_path)]) == 2
    assert "does not answer" in one_sentence(capsys)


@pytest.mark.parametrize("speed", ["0", "-1", "nan", "inf", "1e9"])
def test_a_speed_that_is_none_is_refused(speed, capsys):
    assert main(["rehearse", "o1_plain_crown", "--headless", f"--speed={speed}"]) == 2
    assert "--speed is" in one_sentence(capsys)


@pytest.mark.parametrize(
    ("name", "text"),
    [("deep.json", "[" * 100_000), ("deep.toml", "a=" + "[" * 100_000)],
)
def test_tables_a_hundred_thousand_deep(name, text, tmp_path, capsys):
    (tmp_path / name).write_text(text)

    assert main(["import", str(tmp_path / name), "--data", str(tmp_path / "s")]) == 2
    assert "too deep" in one_sentence(capsys)


@pytest.mark.parametrize("name", ["pipe.toml", "/dev/zero", "no\0name.toml"])
def test_a_library_or_a_script_that_never_ends(name, tmp_path, capsys):
    os.mkfifo(tmp_path / "pipe.toml")

    assert main(["import", str(tmp_path / name), "--data", str(tmp_path / "s")]) == 2
    assert "cannot be read" in one_sentence(capsys)
    assert main(["rehearse", str(tmp_path / name), "--headless"]) == 2
    assert "cannot be read" in one_sentence(capsys)


def test_what_is_made_is_its_owners_alone(tmp_path):
    # In a process of its own: the mask of this one stays as it is.
    run = subprocess.run(
        [
            *(sys.executable, "-m", "benchassist", "cards"),
            *("--out", str(tmp_path / "out"), "--training", "--data", str(tmp_path)),
        ],
        check=False,
        capture_output=True,
        env={"HOME": str(tmp_path), "PATH": os.environ["PATH"]},
    )
    assert run.returncode == 2  # nothing is there yet
    script = (
        "from benchassist.cli import main; from pathlib import Path;"
        "import sys; main(['import', sys.argv[1], '--data', sys.argv[2]])"
    )
    practice = assets.folder("demo_cases") / "practice.toml"
    subprocess.run(
        [sys.executable, "-c", script, practice, tmp_path / "bench"],
        check=True,
        capture_output=True,
    )
    made = [tmp_path / "bench", *(tmp_path / "bench").iterdir()]
    assert len(made) > 3
    assert {stat.S_IMODE(each.stat().st_mode) & 0o077 for each in made} == {0}


def one_sentence(capsys):
    told = capsys.readouterr().err
    assert told.count("\n") == 1
    assert "Traceback" not in told
    return told


def test_a_store_of_a_later_program_is_one_sentence_and_its_cards_are_printed(
    training, practice, tmp_path, capsys
):
    @value
    class Foreseen(Event):
        part: str

    with Journal.open(training, codec=Codec(KINDS | {"Foreseen": Foreseen})) as journal:
        last = list(journal.entries())[-1]
        journal.append([Draft(last.at, "", "tool", Foreseen("EX-T1"))])
    before = (training / DATABASE).read_bytes()

    assert main(["import", str(practice), "--training"]) == 2
    told = capsys.readouterr().err
    assert told.count("\n") == 1
    assert "does not know its form" in told
    assert main(["cards", "--data", str(training), "--out", str(tmp_path / "out")]) == 2
    assert "is whole" in capsys.readouterr().err
    assert len(list((tmp_path / "out").iterdir())) == 4
    assert (training / DATABASE).read_bytes() == before
