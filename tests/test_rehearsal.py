"""Scripts are read, run and refused in words that name script and line."""

import dataclasses
from pathlib import Path

import pytest

from benchassist.domain import commands as cm
from benchassist.domain.library import Variant
from benchassist.domain.state import Bench
from benchassist.journal.errors import JournalLockedError
from benchassist.journal.writing import Journal
from benchassist.rehearsal import (
    Player,
    ScriptError,
    load_script,
    parse_script,
    rehearse,
    run_script,
    shipped_scripts,
)
from benchassist.rehearsal.memory import MemoryJournal
from benchassist.rehearsal.script import clock_ms, span_ms
from benchassist.rehearsal.verbs import COMMANDS, OWN, command_of, verb_of

START = "start 2026-03-02 09:00:00 +01:00\n"
PRACTICE = START + "library ../practice.toml\noperator OP-1\n"
CROWN = 'take-in EX-1 "EX-RC-C r1" EX-LT-C1 coat_lot=EX-LT-C1 lamp=EX-LM-A box=EX-BX-1 vessel=EX-GV-01 variant.stain_passes=0\n'
SPLINT = 'take-in EX-2 "EX-RC-S r1" EX-LT-S1 coat_lot=EX-LT-S1 lamp=EX-LM-A box=EX-BX-1 vessel=EX-GV-02\n'
WASHED = "+2s press\n+2m press\n+2s press\n+2m press\nwait EX-1\n+2s press\n"


def beside(name):
    return load_script("day").beside(name)


def player(text, **more):
    book = MemoryJournal()
    script = parse_script(text, name="own.txt", beside=beside)
    return Player(script, lambda: book, **more)


def played(text, **more):
    playing = player(text, **more)
    passed_ms = sum(playing.moments())
    return playing, passed_ms


def told(text):
    with pytest.raises(ScriptError) as caught:
        played(text)
    return str(caught.value)


# --- the text --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "ms"),
    [
        ("9:05", 32_700_000),
        ("09:17:10", 33_430_000),
        ("09:17:10.5", 33_430_500),
        ("33:00", 118_800_000),
    ],
)
def test_times_of_day(text, ms):
    assert clock_ms(text) == ms


@pytest.mark.parametrize(
    ("text", "ms"),
    [
        ("90s", 90_000),
        ("5m", 300_000),
        ("1h30m", 5_400_000),
        ("250ms", 250),
        ("2m3.5s", 123_500),
    ],
)
def test_spans(text, ms):
    assert span_ms(text) == ms


@pytest.mark.parametrize("text", ["", "5", "5 m", "m5", "-5s", "1s1h"])
def test_what_is_no_span_is_said(text):
    with pytest.raises(ValueError, match="expected a span"):
        span_ms(text)


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("", "own.txt: expected a start line; the script is empty."),
        ("press", "own.txt, line 1: expected first: start YYYY-MM-DD HH:MM:SS +HH:MM."),
        (
            "# no zone\nstart 2026-03-02 09:00:00 noon",
            "own.txt, line 2: expected first: start YYYY-MM-DD HH:MM:SS +HH:MM.",
        ),
        (
            START + "+5 press",
            "own.txt, line 2: expected a span such as 90s, 5m, 1h30m or 250ms, given “5”.",
        ),
        (START + "09:05", "own.txt, line 2: expected a command after the time."),
        (START + 'press "long', "own.txt, line 2: No closing quotation."),
    ],
)
def test_a_line_that_cannot_be_read_is_named(text, what):
    with pytest.raises(ScriptError) as caught:
        parse_script(text, name="own.txt", beside=beside)

    assert str(caught.value) == what


def test_comments_and_blank_lines_are_for_people():
    script = parse_script(
        f"# above\n\n{START}press # a foot\n", name="x", beside=beside
    )

    assert [(line.number, line.verb) for line in script.lines] == [(4, "press")]


def test_a_script_is_found_by_its_shipped_name_or_as_a_file(tmp_path):
    path = tmp_path / "mine.txt"
    path.write_text(START + "end\n", encoding="utf-8")

    assert load_script(path).name == "mine.txt"
    assert load_script(str(path)).lines == load_script(path).lines
    assert load_script("day").lines == load_script("day.txt").lines
    with pytest.raises(ScriptError, match=r"shipped scripts: .*count_crown, "):
        load_script(tmp_path / "none.txt")
    path.write_bytes(b"\xff\xff")
    with pytest.raises(ScriptError, match="not UTF-8 text"):
        load_script(path)


# --- verbs -----------------------------------------------------------------------------


def test_every_command_has_a_verb_or_is_the_program_s_own():
    kinds = set(cm.Command.__subclasses__())

    assert set(COMMANDS.values()) | set(OWN) == kinds
    assert not set(COMMANDS.values()) & set(OWN)
    assert COMMANDS["confirm-load"] is cm.ConfirmLoad
    assert verb_of(cm.TellRunEnd) == "tell-run-end"


def test_every_held_command_is_a_command():
    assert set(cm.Command.__subclasses__()) >= cm.HELD
    assert cm.PressPedal not in cm.HELD


def command(line):
    verb, *words = line.split()
    return command_of(verb, words, Bench(), lambda _text: None)


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        (
            "confirm-load parts=EX-1,EX-2 box=EX-BX-1 count=2200",
            cm.ConfirmLoad(("EX-1", "EX-2"), "EX-BX-1", 2200),
        ),
        ("confirm-load EX-1 EX-BX-1 2200", cm.ConfirmLoad(("EX-1",), "EX-BX-1", 2200)),
        ("record-check EX-1 label no", cm.RecordCheck("EX-1", "label", passed=False)),
        ("tell-run-end R-1 stopped 900", cm.TellRunEnd("R-1", "stopped", 900)),
        (
            "take-in EX-1 r1 L variant.coats=1 variant.finish=coat",
            cm.TakeIn("EX-1", "r1", "L", variant=Variant(coats=1)),
        ),
    ],
)
def test_words_become_a_command(line, expected):
    assert command(line) == expected


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("dance", "there is no verb “dance”"),
        ("reopen", "use crash, reboot or power-loss"),
        ("press-pedal", "use press"),
        ("confirm-load EX-1 EX-BX-1 many", "confirm-load, count: Input should be"),
        ("confirm-load EX-1", "confirm-load, box: "),
        ("choose-part EX-1 EX-2", "too many words; the fields are part"),
        ("choose-part colour=red", "there is no field “colour”; the fields are part"),
        ("take-in EX-1 r1 L variant.coast=1", "there is no field “coast” below"),
        ("take-in EX-1 r1 L peg.size=1", "there is no field “size” below"),
        ("tell-run-end R-1 exploded", "outcome: Input should be 'completed'"),
    ],
)
def test_words_that_make_no_command_are_told(line, words):
    with pytest.raises(ValueError, match=words):
        command(line)


def test_a_variant_keeps_what_the_recipe_has_unless_it_is_named():
    text = (
        PRACTICE + 'take-in EX-1 "EX-RC-B r1" EX-LT-C1 variant.coats=1 reason=later\n'
    )
    playing, _ = played(text)

    # The bridge's recipe has two stain passes and two coats.
    assert playing.session.bench.parts["EX-1"].variant == Variant(2, 1)


def test_a_due_time_is_a_time_of_day_in_the_script():
    text = PRACTICE + "09:30:00 " + CROWN.replace("variant", "due=34:15 variant")
    playing, _ = played(text)
    due = playing.session.bench.parts["EX-1"].due

    assert due.local().isoformat() == "2026-03-03T10:15:00+01:00"


# --- running ---------------------------------------------------------------------------


def test_bench_time_passes_as_the_script_says():
    playing, passed_ms = played(
        START + "09:00:30 end\n+1m end\nwait 5s\n10:00:00 end\n"
    )

    assert passed_ms == 3_600_000
    assert playing.session.now().local().isoformat() == "2026-03-02T10:00:00+01:00"


def test_nothing_happens_before_the_time_was_announced():
    playing = player(START + "+10s operator OP-1\n")
    moments = playing.moments()
    announced = 0
    while announced < 10_000:
        announced += next(moments)
        assert playing.session.bench.operator == ""
    assert list(moments) == []
    assert playing.session.bench.operator == "OP-1"


def test_time_does_not_run_back():
    assert told(START + "10:00:00 end\n09:59:59 end\n") == (
        "own.txt, line 3: the bench clock is past this line already, at 10:00:00.000"
    )


def test_a_refusal_that_was_not_expected_ends_the_script_at_its_line():
    text = PRACTICE + CROWN + "+2s confirm-load EX-1 EX-BX-1 2200\n"
    what = "own.txt, line 5: refused (not-at-stage): EX-1 is at Wash 1"

    assert told(text).startswith(what)
    assert told(text + "+5s end\n").startswith(what)
    assert told(text + "expect part EX-1 stage=wash-1\n").startswith(what)
    played(text + "expect refused not-at-stage\n+5s end\n")


@pytest.mark.parametrize(
    ("line", "what"),
    [
        ("expect part EX-1 stage=dry-box", "expected stage=dry-box; it is wash-1"),
        ("expect part EX-9 stage=dry-box", "there is no part “EX-9” on this bench"),
        ("expect part EX-1 mood=good", "part knows stage, phase, facing"),
        ("expect refused dry-before-box", "expected to be refused (dry-before-box)"),
        ("expect said hello", "expected to hear “hello”"),
        ("expect pedal walking", "expected the pedal to stand at walking; it is ready"),
        ("expect front EX-9", "expected EX-9 in front; it is EX-1"),
        ("expect ledger EX-1 low=5", "expected low=5; it is 0"),
        ("expect ledger EX-1 low=five", "expected low=five; it is 0"),
        ("expect next EX-1 runs=1100,1100", "expected runs=1100,1100; it is 2200"),
        ("expect stage EX-1 stain-1 plan=0", "EX-1 has no stage stain-1"),
        ("expect layer EX-1 coat-1 spots=5", "expected spots=5; it is 0"),
        ("expect run R-7 planned=5", "no run R-7 waits for its end"),
        ("expect vessel EX-GV-01 immersions=5", "expected immersions=5; it is 2"),
        ("expect vessel EX-GV-09 immersions=5", "expected immersions=5; it is 0"),
        ("expect deviations EX-1 open=1", "expected open=1; it is 0"),
        ("expect lamp-on seconds=10", "expected seconds=10; it is 0"),
        ("expect count presses=5", "expected presses=5; it is 0"),
        ("expect count light-check=5", "expected light-check=5; it is 0"),
        ("expect count later-first=5", "expected later-first=5; it is 0"),
        ("expect count light-chek=0", "did you mean light-check"),
        ("expect count anything=0", "nothing called “anything” is counted"),
        ("expect screen headline=STOP", "expected headline=STOP; it is "),
        ("expect route EX-1 stages=wash-1", "expected stages=wash-1; it is wash-1,"),
        ("expect miracles", "expected one of: advised, ahead, answer"),
        ("press twice", "expected: press, press long, or press bounced"),
        ("press bounced 9 4", "the edges of a press are rising ms from 0"),
        ("wait EX-9", "expected a span such as"),
        ("library none.toml", "the library none.toml cannot be read"),
    ],
)
def test_what_is_not_as_expected_is_told_with_what_is(line, what):
    told_line = told(PRACTICE + CROWN + line + "\n")

    assert told_line.startswith("own.txt, line 5: ")
    assert what in told_line


def test_what_was_refused_is_not_done():
    text = PRACTICE + CROWN + "release-part EX-1 OP-1\nexpect refused not-at-stage\n"

    assert "expected it to be done" in told(text + "expect done\n")


def test_a_library_with_a_fault_ends_the_script_with_its_lines():
    script = parse_script(
        START + "library own.toml\n",
        name="own.txt",
        beside=lambda _name: "lamps = 3",
    )
    playing = Player(script, MemoryJournal)

    with pytest.raises(ScriptError, match=r"line 2: own\.toml: lamps: expected"):
        list(playing.moments())


def test_a_wait_that_never_ends_is_a_slip_of_the_script():
    text = PRACTICE + CROWN + '+2s hold-part EX-1 "for ever"\nwait EX-1\n'

    assert "EX-1 is on hold, which ends by hand alone" in told(text)


def test_holds_presses_and_taps_are_counted_apart():
    text = PRACTICE + CROWN + "+2s press\n+1s choose-part EX-1\n"
    text += "open-lamp-session EX-LM-A\n"
    playing, _ = played(text)

    assert (playing.foot.presses, playing.holds, playing.taps) == (1, 1, 3)


# --- the foot --------------------------------------------------------------------------


def test_a_press_right_after_a_choice_is_inert():
    playing, _ = played(
        PRACTICE + CROWN + "+1100ms press\nexpect refused screen-changed\n"
    )

    assert playing.foot.presses == 0
    assert playing.session.bench.parts["EX-1"].phase.kind == "ready"


def test_two_things_due_at_once_are_not_decided_by_the_foot():
    text = PRACTICE + CROWN + SPLINT + "+2s start-stage EX-1\n"
    text += "+500ms start-stage EX-2\nchoose-part EX-1\n"
    text += "+120050ms press\nexpect refused two-due\n"
    playing, _ = played(text + "+1s press\nexpect part EX-1 stage=wash-2\n")

    assert playing.session.bench.parts["EX-2"].phase.kind == "soaking"


def test_a_foot_at_a_shut_box_hears_why_and_starts_nobody_else_s_run():
    # Two crowns stand before one box; the card was held for the other one.
    other = CROWN.replace("EX-1", "EX-3")
    text = PRACTICE + CROWN + other + "form-basket EX-1,EX-3\n" + WASHED
    text += "+2s confirm-load EX-1 EX-BX-1 2200\n"
    text += "+1s take-in EX-4" + CROWN.removeprefix("take-in EX-1")
    text += WASHED.replace("EX-1", "EX-4")
    playing, _ = played(text + "+2s press\nexpect refused box-occupied part=EX-4\n")

    assert playing.session.bench.runs == {}
    assert playing.session.bench.parts["EX-1"].phase.kind == "ready"


# --- power, sleep and the clock --------------------------------------------------------


def test_a_crash_says_no_goodbye_and_a_reboot_does(tmp_path):
    text = PRACTICE + CROWN + "+2s press\n"
    for verb, boots in (("crash 10s", 1), ("reboot 10s", 2), ("power-loss 10s", 2)):
        folder = tmp_path / verb.split()[0]
        script = parse_script(text + verb + "\nend\n", name="x", beside=beside)
        run_script(script, folder=folder)
        journal = Journal.open(folder)
        entries = list(journal.entries())
        journal.close()

        assert len({entry.at.boot for entry in entries}) == boots
        kinds = [type(entry.event).__name__ for entry in entries]
        assert kinds.count("StateKept") == (1 if verb.startswith("reboot") else 0) + 1
        assert kinds[-2:] == ["ProgramOpened", "StateKept"]


def test_the_last_heartbeat_is_at_most_five_seconds_old():
    text = PRACTICE + CROWN + "+2s press\n+33s crash 10s\n"
    playing, _ = played(text)
    opened = [
        entry.event
        for entry in playing.session.journal.entries()
        if type(entry.event).__name__ == "ProgramOpened"
    ]
    heart = opened[0].last_heartbeat

    assert heart.local().isoformat() == "2026-03-02T09:00:35+01:00"


def test_a_step_of_the_wall_clock_is_a_label_and_moves_no_line():
    text = PRACTICE + CROWN + "+2s press\n+10s wall-step -2h\n09:02:02 press\n"
    playing, passed_ms = played(text + "expect part EX-1 stage=wash-2\n")

    # The bench waits for the foot to come up again, 120 ms later, and 60 ms more until
    # that was no bounce: a long press would have meant something else.
    assert passed_ms == 122_180
    assert playing.session.now().local().hour == 7


def test_a_script_runs_at_the_speed_that_is_asked_for(tmp_path):
    script = parse_script(START + "+10s end\n", name="x", beside=beside)
    record = run_script(script, folder=tmp_path, speed=1e6).record

    assert record["script"] == "x"


def test_a_script_that_fails_lets_its_journal_go(tmp_path):
    script = parse_script(START + "dance\n", name="x", beside=beside)
    with pytest.raises(ScriptError):
        run_script(script, folder=tmp_path)
    journal = Journal.open(tmp_path)

    with pytest.raises(JournalLockedError):
        Journal.open(tmp_path)
    journal.close()


def test_a_listener_is_told_what_is_on_disk_already(tmp_path):
    seen = []

    def listen(outcome):
        with_entries = [entry.seq for entry in outcome.entries]
        seen.extend(with_entries)

    script = parse_script(
        PRACTICE + "crash\n+1s operator OP-2\n", name="x", beside=beside
    )
    run_script(script, folder=tmp_path, listener=listen)
    journal = Journal.open(tmp_path)
    held = [entry.seq for entry in journal.entries()]
    journal.close()

    assert seen == sorted(seen)
    assert set(seen) <= set(held)
    assert held[-2] in seen  # the last one only says that the state was kept


def test_rehearse_leaves_nothing_behind(tmp_path, monkeypatch):
    path = tmp_path / "mine.txt"
    path.write_text(START + "operator OP-1\n", encoding="utf-8")
    folder = tmp_path / "temporary"
    folder.mkdir()
    monkeypatch.setattr("tempfile.tempdir", str(folder))
    record = rehearse(path)

    assert record["script"] == "mine.txt"
    assert record["events"] > 1
    assert list(folder.iterdir()) == []


def test_the_record_holds_plain_values_only():
    playing, _ = played(PRACTICE + CROWN + "+2s press\n")

    def plain(value):
        if isinstance(value, dict):
            return all(
                isinstance(key, str) and plain(each) for key, each in value.items()
            )
        if isinstance(value, list | tuple):
            return all(plain(each) for each in value)
        return value is None or isinstance(value, str | int | float | bool)

    assert plain(playing.record())


def test_a_memory_journal_writes_what_it_was_given(tmp_path):
    book = MemoryJournal()
    script = parse_script(PRACTICE + CROWN, name="x", beside=beside)
    playing = Player(script, lambda: book)
    list(playing.moments())
    held = list(book.entries())
    journal = book.write(tmp_path)
    written = list(journal.entries())
    journal.close()

    # One transaction takes the whole day: on disk it is one act, told apart by time.
    assert [dataclasses.replace(each, id="", act=0) for each in written] == [
        dataclasses.replace(each, id="", act=0) for each in held
    ]
    assert len({each.id for each in written}) == len(written)


def test_the_shipped_scripts_are_named_after_their_files():
    assert "day" in shipped_scripts()
    assert all(not Path(name).suffix for name in shipped_scripts())
