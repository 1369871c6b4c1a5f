"""Decide, write down, evolve, tell: in that order, on a real journal."""

import contextlib
import resource
import sqlite3
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from benchassist import __version__, folds, snapshot
from benchassist.clock import SimulatedClock
from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.outcome import Refusal, Said
from benchassist.domain.state import Bench, InRun, Paused, Soaking, Walking
from benchassist.journal.codec import BLANKED
from benchassist.journal.files import DATABASE
from benchassist.journal.kept import digest
from benchassist.journal.writing import Journal
from benchassist.session import QUIET_MS, SNAPSHOT_EVERY, Outcome, Session
from benchassist.value import replace
from tests.domain.builders import CROWN, LIBRARY, MORNING, Desk, code_of, names


def opened(folder, clock, **more):
    """Return a session on the journal of a folder."""
    whole = {"kind": "rehearsal", "station": "EX", "zone": "UTC"} | more
    return Session.open(Journal.open(folder), clock, **whole)


class DeskOnDisk(Desk):
    """A desk whose bench is kept by a session on a real journal."""

    def __init__(self, folder, *, filed=LIBRARY):
        self.folder = folder
        self.clock = SimulatedClock(MORNING)
        self.session = opened(folder, self.clock)
        if filed is not None:
            self.must(filed, cm.ClaimStation("OP-1"))

    @property
    def bench(self):
        return self.session.bench

    @property
    def entries(self):
        return list(self.session.journal.entries())

    def do(self, command, channel="hand"):
        outcome = self.session.handle(command, channel)
        if outcome.refusal is not None:
            return outcome.refusal
        if outcome.said:
            return Said(outcome.said)
        return tuple(entry.event for entry in outcome.entries)

    def tick(self, gap_ms=0):
        return tuple(entry.event for entry in self.session.tick().entries)

    def killed(self):
        """Let the program die where it stands; the files are as they are."""
        self.session.journal.close()

    def again(self):
        """Start the program anew on the same folder."""
        self.session = opened(self.folder, self.clock)
        return self.session


@pytest.fixture
def desk(tmp_path):
    desk = DeskOnDisk(tmp_path / "bench")
    yield desk
    desk.session.close()


@pytest.fixture
def empty(tmp_path):
    desk = DeskOnDisk(tmp_path / "bench", filed=None)
    yield desk
    desk.session.close()


@contextlib.contextmanager
def a_disk_that_takes_nothing():
    """Let every write to a file fail, as on a full or failing disk."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (0, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


# --- opening -------------------------------------------------------------------


def test_a_new_journal_becomes_a_store_of_its_kind(empty):
    first = empty.entries[0]

    assert isinstance(first.event, ev.StoreCreated)
    assert (first.event.kind, first.event.station, first.channel) == (
        "rehearsal",
        "EX",
        "tool",
    )
    assert empty.bench.store.store_id == first.event.store_id


def test_opening_again_asks_what_happened_meanwhile(desk):
    desk.take()
    desk.work(upto="half-1", phase=InRun)
    desk.session.tick()
    desk.wait(50)
    desk.killed()
    desk.away(300)

    bench = desk.again().bench

    kinds = [type(entry.event).__name__ for entry in desk.entries[-2:]]
    assert kinds == ["ProgramOpened", "RunInterrupted"]
    assert bench.runs["R-1"].interrupted == (400, 440)
    assert desk.entries[-2].event.program_version == __version__


def test_the_state_is_the_same_after_a_restart_with_and_without_a_snapshot(desk):
    desk.take()
    desk.work(upto="coat-1", phase=Walking)
    desk.wait(11)
    live = desk.bench
    desk.killed()
    from_events = Session(Journal.open(desk.folder), desk.clock)
    assert from_events.bench == live

    from_events.save_snapshot()
    live = from_events.bench
    from_events.journal.close()
    from_snapshot = Session(Journal.open(desk.folder), desk.clock)
    assert from_snapshot.bench == live
    from_snapshot.journal.close()
    desk.again()


def test_a_walk_goes_through_kill_and_restart_to_release(desk):
    desk.take()
    desk.work(upto="coat-1", phase=Walking)
    desk.session.tick()
    desk.wait(14)
    desk.killed()
    desk.away(20)
    desk.again()

    assert isinstance(desk.part().phase, Paused)
    assert desk.part().phase.why == "program was away"
    desk.must(cm.TellCoatState("EX-1", "wet and clean"), cm.OpenLampSession("LM-A"))
    desk.must(cm.GoOn("EX-1"))
    assert desk.work().phase.how == "released"


def kept_file(desk):
    (path,) = desk.folder.glob("state-*")
    return path


def reopened(desk):
    """Return the state that a restart finds, and what it says of the kept one."""
    desk.killed()
    session = Session(Journal.open(desk.folder), desk.clock)
    found = session.bench, session.amiss
    session.journal.close()
    desk.again()
    return found


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("half-1", "checks"),  # a part further on than it is
        ("OP-1", "OP-9"),
        ('"seq": ', '"seq": 1'),
        ('"sources"', '"other"'),
    ],
)
def test_a_kept_state_that_was_changed_is_set_aside_and_the_entries_are_read(
    desk, old, new
):
    desk.take()
    desk.session.save_snapshot()
    live = desk.bench
    path = kept_file(desk)
    assert old in path.read_text()
    path.write_text(path.read_text().replace(old, new))

    found, amiss = reopened(desk)

    assert found == live
    assert amiss.startswith(f"The kept state after entry {live.seq - 1} is not what")
    assert (desk.folder / f"set-aside-state-{live.seq - 1}").exists()


def test_a_state_that_no_entry_vouches_for_is_never_believed(desk):
    desk.take()
    live = desk.bench
    text = snapshot.kept(replace(live, operator="OP-9"), "salt")
    desk.session.journal.keep_state(live.seq, text)

    found, amiss = reopened(desk)

    assert found == live
    assert "not what was kept" in amiss


def test_a_state_of_another_entry_is_not_believed(desk):
    desk.take()
    desk.session._written((ev.StateKept(digest("nonsense")),), "tool", desk.clock.now())
    desk.session.journal.keep_state(desk.bench.seq - 1, "nonsense")
    live = desk.bench

    assert reopened(desk) == (live, "")  # what was kept, but no state


@pytest.mark.parametrize("damage", [b"\xff\xfe", b"", b"{}\n{}"])
def test_a_damaged_kept_state_is_no_reason_not_to_open(desk, damage):
    desk.take()
    desk.session.save_snapshot()
    live = desk.bench
    kept_file(desk).write_bytes(damage)

    found, amiss = reopened(desk)

    assert found == live
    assert "set aside" in amiss


@pytest.mark.parametrize("same", [True, False])
def test_a_state_is_believed_by_who_folds_as_its_writer_did(desk, monkeypatch, same):
    desk.take()
    desk.session.save_snapshot()
    live = desk.bench
    monkeypatch.setattr(folds, "same", lambda made: same)
    state = desk.session.journal.kept_state()

    assert state.seq == live.seq - 1
    assert (snapshot.believed(state) is not None) == same
    assert reopened(desk) == (live, "")


def test_a_snapshot_is_kept_in_a_quiet_moment_after_so_many_events(desk):
    while desk.bench.seq < SNAPSHOT_EVERY:
        desk.do(cm.ReadLamp("LM-A", 100))
    desk.session.tick()
    busy = desk.session.journal.kept_state()
    nobody_at_work(desk)

    assert busy.seq == 0
    assert desk.session.journal.kept_state().seq == SNAPSHOT_EVERY
    seq = desk.bench.seq
    nobody_at_work(desk)
    assert desk.bench.seq == seq  # kept once


def test_closing_keeps_the_state_so_that_opening_folds_only_the_tail(desk):
    desk.take()
    live = desk.bench
    desk.session.close()

    journal = Journal.open(desk.folder)
    assert journal.kept_state().seq == live.seq
    journal.close()
    desk.again()


def test_before_there_is_a_store_nothing_is_written(tmp_path):
    session = Session(Journal.open(tmp_path), SimulatedClock(MORNING))
    outcome = session.handle(cm.ClaimStation(""))

    assert outcome.refusal.code == "no-operator"
    assert (session.journal.head.seq, session.bench) == (0, Bench())
    session.close()


def test_a_session_tells_the_time_of_its_clock(desk):
    desk.clock.advance(1500)

    assert desk.session.now().instant == desk.clock.now()


# --- in that order -------------------------------------------------------------


def test_what_is_told_is_already_on_disk_and_in_the_state(desk):
    heard = []

    def listener(outcome):
        reader = sqlite3.connect(f"file:{desk.folder / DATABASE}?mode=ro", uri=True)
        (last,) = reader.execute("SELECT max(seq) FROM events").fetchone()
        reader.close()
        heard.append((outcome.entries[-1].seq, last, desk.bench.seq))

    desk.session.subscribe(listener)
    desk.take()

    assert heard == [(desk.bench.seq,) * 3]


def test_everyone_who_listens_is_told(desk):
    first, second = [], []
    desk.session.subscribe(first.append)
    desk.session.subscribe(second.append)
    desk.take()

    assert first == second
    assert [type(each.event).__name__ for each in first[0].entries] == [
        "PartTaken",
        "PartChosen",
    ]


def test_a_thing_said_is_told_and_not_written(desk):
    heard = []
    desk.session.subscribe(heard.append)
    before = desk.bench

    outcome = desk.session.handle(cm.PressPedal())

    assert outcome.said == "Choose a part first, by hand."
    assert heard == [outcome]
    assert desk.bench is before


def test_a_look_that_finds_nothing_is_silent(desk):
    heard = []
    desk.session.subscribe(heard.append)
    desk.clock.advance(100)

    assert desk.session.tick() == Outcome()
    assert heard == []


def test_a_refusal_is_on_record_with_what_it_was_about(desk):
    desk.take()
    desk.must(cm.StartStage("EX-1"))
    outcome = desk.session.handle(cm.TakeOut("EX-1"))

    (entry,) = outcome.entries
    assert (entry.event.command, entry.event.code, entry.event.part) == (
        "TakeOut",
        "too-early",
        "EX-1",
    )
    assert entry.event.numbers == outcome.refusal.numbers == (("left_s", 120.0),)
    assert entry.event == desk.entries[-1].event


def test_a_press_is_written_as_the_foot_s_whoever_sends_it(desk):
    desk.take()
    outcome = desk.session.handle(cm.PressPedal(), "script")

    assert [entry.channel for entry in outcome.entries] == ["pedal"]
    assert outcome.entries[0].operator == "OP-1"


def test_a_refused_press_is_counted(desk):
    desk.take()
    desk.work(upto="dry-box")
    desk.press()

    assert desk.bench.refused_presses == 1
    assert desk.entries[-1].channel == "pedal"


# --- the clock -----------------------------------------------------------------


def wall_steps(desk):
    return [
        entry.event.step_ms
        for entry in desk.entries
        if isinstance(entry.event, ev.WallClockStepped)
    ]


def test_a_step_of_the_wall_clock_is_noted_and_no_timer_moves(desk):
    desk.take()
    desk.must(cm.StartStage("EX-1"))
    desk.session.tick()
    desk.clock.advance(1000)
    desk.clock.step_wall(-3_600_000)
    desk.session.tick()

    assert wall_steps(desk) == [-3_600_000]
    desk.wait(119)
    desk.must(cm.TakeOut("EX-1"))
    ended = [
        entry.event for entry in desk.entries if isinstance(entry.event, ev.StageEnded)
    ]
    assert ended[-1].elapsed_ms == 120_000


@pytest.mark.parametrize("step_ms", [2000, -2000, 0])
def test_a_clock_that_is_only_set_right_is_no_step(desk, step_ms):
    desk.session.tick()
    desk.clock.advance(1000)
    desk.clock.step_wall(step_ms)
    desk.session.tick()

    assert wall_steps(desk) == []


def test_a_sleeping_machine_is_no_step_of_the_wall_clock(desk):
    desk.session.tick()
    desk.clock.advance(8 * 3_600_000)
    desk.session.tick()

    assert wall_steps(desk) == []


def test_summer_time_is_no_step_of_the_wall_clock(tmp_path):
    spring = datetime(2026, 3, 29, 1, 59, tzinfo=ZoneInfo("Europe/Berlin"))
    clock = SimulatedClock(spring)
    session = opened(tmp_path, clock)
    session.tick()
    clock.advance(120_000)
    session.tick()

    assert clock.now().wall_ms == int(
        (spring + timedelta(minutes=2)).timestamp() * 1000
    )
    assert not any(
        isinstance(e.event, ev.WallClockStepped) for e in session.journal.entries()
    )
    session.close()


def test_a_stall_of_the_program_pauses_a_walk(desk):
    desk.take()
    desk.work(upto="coat-1", phase=Walking)
    desk.session.tick()
    desk.wait(4)
    desk.away(30)
    desk.session.tick()

    assert (desk.part().phase.why, desk.part().phase.spot) == ("stall", 0)
    assert desk.part().work["coat-1"].extra_ms == 4000


def test_the_heart_beats_every_five_seconds(desk):
    beats = set()
    for _ in range(100):
        desk.clock.advance(500)
        desk.session.tick()
        beats.add(desk.session.journal.last_beat().mono_ms)

    assert len(beats) == 10
    assert {
        later - earlier
        for earlier, later in zip(sorted(beats), sorted(beats)[1:], strict=False)
    } == {5000}


def test_beats_are_no_events(desk):
    before = desk.bench.seq
    for _ in range(10):
        desk.clock.advance(5000)
        desk.session.tick()

    assert desk.bench.seq == before


# --- free text -----------------------------------------------------------------


def test_a_blanked_text_is_gone_from_state_and_files_and_comes_back_by_no_restart(desk):
    desk.take()
    desk.must(cm.OpenDeviation(("EX-1",), "a name nobody should have typed"))
    seq = desk.bench.seq
    desk.session.save_snapshot()

    outcome = desk.session.blank_text((seq,), "a name")

    assert [type(entry.event).__name__ for entry in outcome.entries] == ["TextBlanked"]
    assert desk.bench.deviations["D-1"].text == BLANKED
    assert desk.bench.seq == seq + 2  # the state was kept, then the text removed
    assert not list(desk.folder.glob("state-*"))
    desk.session.close()
    assert desk.again().bench.deviations["D-1"].text == BLANKED
    files = [path.read_bytes() for path in desk.folder.iterdir() if path.is_file()]
    assert not any(b"nobody should have typed" in content for content in files)


def test_a_text_that_is_not_there_is_not_blanked(desk):
    before = desk.bench
    outcome = desk.session.blank_text((1,), "a name")

    assert outcome.refusal.code == "journal"
    assert desk.bench == before


# --- a disk that refuses -------------------------------------------------------


def test_what_the_disk_refuses_did_not_happen(desk):
    desk.take()
    before = desk.bench
    with a_disk_that_takes_nothing():
        outcome = desk.session.handle(cm.StartStage("EX-1"))

    assert outcome.refusal.code == "journal"
    assert outcome.entries == ()
    assert desk.bench == before
    assert names(desk.do(cm.StartStage("EX-1"))) == ["StageStarted"]


def test_that_nothing_is_recorded_stays_until_it_is_true_no_more(desk):
    desk.session.handle(cm.ReadLamp("LM-A", 100))
    assert not desk.session.unwritten
    with a_disk_that_takes_nothing():
        desk.session.handle(cm.ReadLamp("LM-A", 101))
        assert desk.session.unwritten
    assert desk.session.unwritten
    desk.session.handle(cm.ReadLamp("LM-A", 102))
    assert not desk.session.unwritten


def test_a_refusal_the_disk_refuses_to_note_is_told_as_the_disk_s(desk):
    with a_disk_that_takes_nothing():
        outcome = desk.session.handle(cm.StartStage("EX-9"))

    assert outcome.refusal.code == "journal"
    assert code_of(desk.do(cm.StartStage("EX-9"))) == "no-such-part"


def test_timers_go_on_while_the_disk_refuses_and_what_was_watched_is_kept(desk):
    heard = []
    desk.take()
    desk.work(upto="coat-1", phase=Walking)
    desk.session.tick()
    desk.session.subscribe(heard.append)
    with a_disk_that_takes_nothing():
        for _ in range(24):
            desk.clock.advance(500)
            desk.session.tick()
    assert {each.refusal.code for each in heard} == {"journal", "heartbeat"}

    desk.clock.advance(500)
    desk.session.tick()

    assert desk.part().work["coat-1"].spots[0] == "done"
    assert desk.part().phase.spot == 1


def nobody_at_work(desk):
    """Let a quiet moment pass, looked at all along."""
    for _ in range(4):
        desk.clock.advance(QUIET_MS // 4 + 1)
        desk.session.tick()


def test_a_state_the_disk_refuses_to_keep_takes_nothing_back_and_is_not_tried_on(desk):
    for seq in range(SNAPSHOT_EVERY, SNAPSHOT_EVERY + 9):
        (desk.folder / f"state-{seq}.part").mkdir()
    while desk.bench.seq < SNAPSHOT_EVERY + 2:
        outcome = desk.session.handle(cm.ReadLamp("LM-A", 100))
        assert outcome.refusal is None
    nobody_at_work(desk)
    nobody_at_work(desk)

    assert desk.entries[-1].seq == desk.bench.seq == SNAPSHOT_EVERY + 3
    assert not list(desk.folder.glob("state-*[0-9]"))


def test_a_last_snapshot_the_disk_refuses_does_not_keep_the_journal_open(desk):
    desk.take()
    with a_disk_that_takes_nothing():
        desk.session.close()

    desk.again()  # would be refused if the lock were still held
    assert set(desk.bench.parts) == {"EX-1"}


# --- what the record knows and the state has forgotten ------------------------------


def used_again(desk, code="EX-1", **more):
    """Take a code in on the day after; return what was said."""
    desk.clock.advance(24 * 3_600_000)
    desk.killed()
    desk.again()
    assert code not in desk.bench.parts
    command = cm.TakeIn(code, CROWN, "L-PRINT", "L-COAT", "L-STAIN", "LM-A", "BX-1")
    return desk.session.handle(replace(command, vessel="GV-1", **more)).refusal


def test_a_code_that_was_released_is_not_taken_in_again(desk):
    desk.take()
    assert desk.work().phase.how == "released"
    day = desk.clock.now().day()

    refusal = used_again(desk, code=" EX-1 ")

    assert refusal.code == "code-used"
    assert day in refusal.message
    assert desk.entries[-1].event.code == "code-used"


def test_a_code_that_was_scrapped_is_not_taken_in_again(desk):
    desk.take()
    desk.must(cm.ScrapPart("EX-1", "cracked"))

    assert used_again(desk).code == "code-used"


def test_a_part_that_comes_back_from_a_mouth_keeps_its_code(desk):
    desk.take()
    desk.work()
    back = replace(desk.bench.recipes[CROWN].usual_variant, back_from_mouth=True)

    assert used_again(desk, variant=back, before=1200) is None


def test_another_code_is_taken_in(desk):
    desk.take()
    desk.work()

    assert used_again(desk, code="EX-2") is None


# --- somebody reads the journal -----------------------------------------------------


@contextlib.contextmanager
def a_reader(desk):
    """Keep a transaction of a reader open, as a slow program would."""
    with contextlib.closing(
        sqlite3.connect(desk.folder / DATABASE, isolation_level=None)
    ) as db:
        db.execute("BEGIN")
        db.execute("SELECT count(*) FROM events").fetchone()
        yield
        db.execute("COMMIT")


def test_a_press_at_a_busy_journal_is_written_at_its_own_time(desk):
    desk.take()
    told = []
    desk.session.subscribe(told.append)
    with a_reader(desk):
        pressed = desk.clock.now()
        outcome = desk.session.handle(cm.PressPedal())
        assert outcome.refusal.code == "journal-busy"
        desk.clock.advance(700)
        desk.session.tick()
        assert desk.part().phase.kind == "ready"
    desk.clock.advance(100)
    desk.session.tick()

    assert isinstance(desk.part().phase, Soaking)
    assert desk.part().phase.since == pressed
    assert [type(each.event).__name__ for each in told[-1].entries] == ["StageStarted"]
    assert desk.entries[-1].channel == "pedal"


def test_a_press_that_found_no_free_moment_is_dropped_and_said(desk):
    desk.take()
    before = desk.bench.seq
    told = []
    desk.session.subscribe(told.append)
    with a_reader(desk):
        desk.session.handle(cm.PressPedal())
        for _ in range(3):
            desk.clock.advance(900)
            desk.session.tick()
    desk.session.tick()

    assert [each.refusal.code for each in told if each.refusal] == [
        "journal-busy",
        "journal-dropped",
    ]
    assert desk.part().phase.kind == "ready"
    assert desk.bench.seq == before


def test_while_one_waits_nothing_else_is_decided(desk):
    desk.take()
    with a_reader(desk):
        desk.session.handle(cm.PressPedal())
        second = desk.session.handle(cm.PressPedal())
    desk.session.tick()

    assert second.refusal.code == "journal-busy"
    assert isinstance(desk.part().phase, Soaking)


def test_a_press_that_did_not_count_takes_no_place_from_one_that_waits(desk):
    desk.take()
    told = []
    desk.session.subscribe(told.append)
    with a_reader(desk):
        desk.session.handle(cm.PressPedal())
        desk.session.not_counted(Refusal("bounce", "Pressed twice: once counts."))
    desk.session.tick()

    assert isinstance(desk.part().phase, Soaking)
    assert [each.refusal.code for each in told if each.refusal] == [
        "journal-busy",
        "bounce",
    ]


def test_what_waits_is_written_when_the_program_is_closed(desk):
    desk.take()
    with a_reader(desk):
        desk.session.handle(cm.PressPedal())
    desk.session.close()
    desk.again()

    assert isinstance(desk.part().phase, Soaking)


def test_a_wall_step_during_the_wait_is_still_noted(desk):
    desk.take()
    desk.session.tick()
    with a_reader(desk):
        desk.session.handle(cm.PressPedal())
        desk.clock.step_wall(3_600_000)
        desk.session.tick()
    desk.session.tick()

    assert wall_steps(desk) == [3_600_000]


def test_a_refusal_at_a_busy_journal_is_said_at_once_and_written_later(desk):
    desk.take()
    desk.must(cm.StartStage("EX-1"))
    with a_reader(desk):
        refusal = desk.session.handle(cm.TakeOut("EX-1")).refusal
    desk.session.tick()

    assert refusal.code == "too-early"
    assert desk.entries[-1].event.code == "too-early"


def test_a_long_record_tells_how_far_it_is_read(desk, monkeypatch):
    monkeypatch.setattr("benchassist.session.LONG", 50)
    monkeypatch.setattr("benchassist.session.TOLD_EVERY", 25)
    desk.take()
    last = desk.bench.seq
    desk.killed()
    told = []

    again = Session(
        Journal.open(desk.folder), desk.clock, lambda *far: told.append(far)
    )
    again.journal.close()
    desk.again()

    assert told == [(seq, last) for seq in range(25, last + 1, 25)]


def test_a_press_that_a_guard_let_not_count_is_on_record(desk):
    heard = []
    desk.session.subscribe(heard.append)
    refusal = Refusal("too-soon", "Not counted: too soon after the last press.")
    outcome = desk.session.not_counted(refusal)

    (entry,) = outcome.entries
    assert entry.channel == "pedal"
    assert (entry.event.command, entry.event.code) == ("PressPedal", "too-soon")
    assert desk.session.bench.refused_presses == 1
    assert [each.refusal.code for each in heard] == ["too-soon"]


@pytest.mark.parametrize(
    ("gap_s", "noted"), [(10, []), (10.001, [10_001]), (90, [90_000])]
)
def test_a_sleep_of_two_heartbeats_is_on_record(desk, gap_s, noted):
    desk.session.tick()
    desk.clock.advance(round(gap_s * 1000))
    desk.session.tick()

    entries = desk.session.journal.entries()
    found = [e.event.gap_ms for e in entries if isinstance(e.event, ev.NobodyWatched)]
    assert found == noted
