"""The faults of the record, each injected many times, and what came of it.

``python -m tests.faults.table [TIMES [FLIPS]]`` prints one row a fault: how often it was
injected, how it came out, and one of the sentences that were said. A fault is silent
only if nothing was changed by it. Ways out, in the order they are asked:

opening   the window does not open on it, or says it at once
walk      the walk of the whole record after the first paint says it
export    the export of the day says it and marks the rows
unchanged every entry, every text and the state are what they were
SILENT    something differs and nobody said so: the row fails
"""

# ruff: noqa: S608, T201 - statements of our own making; a table is printed

import json
import random
import re
import resource
import shutil
import sqlite3
import sys
import tempfile
from collections import Counter
from contextlib import closing, suppress
from dataclasses import dataclass, field
from datetime import UTC, datetime
from functools import cache
from pathlib import Path

from benchassist import session as session_words
from benchassist.clock import RealClock, SimulatedClock
from benchassist.domain import commands as cm
from benchassist.domain.events import PartTaken
from benchassist.domain.ledger import bounds
from benchassist.domain.state import BODY
from benchassist.journal import (
    Journal,
    JournalError,
    JournalLockedError,
    ReadOnlyJournal,
    opening,
)
from benchassist.journal.chain import link
from benchassist.journal.codec import canonical
from benchassist.journal.files import DATABASE, HEARTBEAT, LOCK, WITNESS
from benchassist.journal.slots import SlotFile, read_slots
from benchassist.records.export import AlteredError, ExportError, export_day
from benchassist.recovery import in_words
from benchassist.rehearsal import run_script
from benchassist.rehearsal.demo import build_training
from benchassist.session import Session

SCRIPT = "o4_phone_call"
SEED = 20260302
LINKS = 20  # checked at opening here, so that the walk has something left to find


@dataclass
class Row:
    """What came of one fault, injected so often."""

    name: str
    times: int = 0
    outcomes: Counter = field(default_factory=Counter)
    sentence: str = ""
    lost: int = 0  # acknowledged entries that are gone or changed without a word
    credited: int = 0  # flashes or seconds in a ledger that the original has not
    altered: int = 0  # changed rows that were exported as proven


@cache
def original():
    """Make the store that the faults are tried on; return its folder."""
    folder = Path(tempfile.mkdtemp(prefix="benchassist-faults-")) / "store"
    run_script(SCRIPT, folder=folder)
    session = Session(Journal.open(folder), RealClock())
    session.journal.beat(session.journal.last_at)
    session.close()
    return folder


def told(folder):
    """Return every entry as one line, by its number."""
    with ReadOnlyJournal.open(folder) as journal:
        return {
            entry.seq: canonical(entry)
            for entry in journal.readable(0, journal.head.seq)
        }


def ledger(bench):
    """Return what each part's body has had, by part and side."""
    return {
        (code, side): bounds(part, layer=BODY, side=side)
        for code, part in bench.parts.items()
        for side in bench.recipe_of(part).sides
    }


@cache
def truth():
    """Return what the untouched store says: entries, ledger, day."""
    folder = Path(tempfile.mkdtemp(prefix="benchassist-faults-")) / "copy"
    shutil.copytree(original(), folder)
    session = Session(Journal.open(folder), RealClock())
    bench = session.bench
    session.journal.close()
    with ReadOnlyJournal.open(folder) as journal:
        day = next(
            e for e in journal.entries() if isinstance(e.event, PartTaken)
        ).at.day()
    return told(folder), ledger(bench), day


# --- the faults -------------------------------------------------------------------


def sql(folder, *statements, guards=True):
    """Change the tables as one who takes the guards off and puts them back."""
    with closing(sqlite3.connect(folder / DATABASE, isolation_level=None)) as db:
        laid = db.execute(
            "SELECT name, sql FROM sqlite_master WHERE type = 'trigger'"
        ).fetchall()
        for name, _ in laid:
            db.execute(f"DROP TRIGGER {name}")
        for statement in statements:
            db.execute(statement)
        for _, text in laid if guards else ():
            db.execute(text)


def _some_seq(folder, chance, kind=""):
    with closing(sqlite3.connect(folder / DATABASE)) as db:
        rows = db.execute(
            "SELECT seq FROM events WHERE seq > 1 AND kind = coalesce(nullif(?, ''), kind)",
            (kind,),
        ).fetchall()
    return chance.choice(rows)[0]


def flip(folder, chance):
    path = folder / DATABASE
    data = bytearray(path.read_bytes())
    at = chance.randrange(len(data))
    data[at] ^= 1 << chance.randrange(8)
    path.write_bytes(data)


def cut(folder, chance):
    path = folder / DATABASE
    data = path.read_bytes()
    path.write_bytes(data[: chance.randrange(len(data))])


def zero_a_page(folder, chance):
    path = folder / DATABASE
    data = bytearray(path.read_bytes())
    at = 4096 * chance.randrange(len(data) // 4096)
    data[at : at + 4096] = bytes(4096)
    path.write_bytes(data)


def older_copy(folder, chance):
    """Put an older journal in place, with its own witness or without."""
    seq = chance.randrange(5, 60)
    sql(
        folder,
        f"DELETE FROM texts WHERE seq > {seq}",
        f"DELETE FROM events WHERE seq > {seq}",
    )
    if chance.random() < 0.5:
        with closing(sqlite3.connect(folder / DATABASE)) as db:
            first, last = (
                db.execute("SELECT hash FROM events WHERE seq = ?", (n,)).fetchone()[0]
                for n in (1, seq)
            )
        witness = SlotFile(folder / WITNESS)
        witness.write({"seq": seq, "hash": last.hex(), "store": first.hex()})
        witness.close()


def other_store(folder, chance):
    del chance
    for name in (DATABASE, WITNESS):
        (folder / name).unlink()
    with tempfile.TemporaryDirectory() as made:
        build_training(Path(made) / "other", RealClock(), zone="UTC")
        shutil.copy2(Path(made) / "other" / DATABASE, folder / DATABASE)


def gone(folder, chance):
    (folder / DATABASE).unlink()
    if chance.random() < 0.5:
        (folder / WITNESS).unlink()


def spoil_witness(folder, chance):
    path = folder / WITNESS
    match chance.randrange(3):
        case 0:
            path.unlink()
        case 1:
            path.write_bytes(chance.randbytes(1024))
        case _:
            record = read_slots(path)
            witness = SlotFile(path)
            witness.write(record | {"seq": record["seq"] + chance.randrange(1, 9)})
            witness.close()


def other_heartbeat(folder, chance):
    heart = SlotFile(folder / HEARTBEAT)
    record = read_slots(folder / HEARTBEAT)
    heart.write(record | {"store": chance.randbytes(32).hex(), "seq": 3})
    heart.close()


def spoil_kept_state(folder, chance):
    for path in folder.glob("state-*"):
        data = bytearray(path.read_bytes())
        if chance.random() < 0.5:
            data[chance.randrange(len(data))] ^= 1 << chance.randrange(8)
        else:
            data = data.replace(b'"ready"', b'"closed"', 1) + b" "
        path.write_bytes(data)


def edit_payload(folder, chance):
    seq = _some_seq(folder, chance, "DoseCredited")
    sql(
        folder,
        "UPDATE events SET payload = replace(replace(payload, '\"high\":',"
        f" '\"high\":1'), '\"low\":', '\"low\":1') WHERE seq = {seq}",
    )


def edit_and_fit(folder, chance):
    """Edit an entry and make its own hash fit; the one behind it cannot."""
    with ReadOnlyJournal.open(folder) as journal:
        seq = chance.randrange(2, journal.head.seq)
        before, row = journal._rows(seq - 2, seq)
    made = link(before.hash, row._replace(operator="EX-OP9"))
    sql(
        folder,
        f"UPDATE events SET operator = 'EX-OP9', hash = x'{made.hex()}' WHERE seq = {seq}",
    )


def edit_time(folder, chance):
    seq = _some_seq(folder, chance)
    sql(folder, f"UPDATE events SET wall_ms = wall_ms + 60000 WHERE seq = {seq}")


def delete_entry(folder, chance):
    seq = _some_seq(folder, chance)
    sql(folder, f"DELETE FROM events WHERE seq = {seq}")


def hide_in_index(folder, chance):
    what = chance.choice(
        ["touches WHERE seq = {}", "part_days", "parts WHERE first_seq <= {}"]
    )
    seq = _some_seq(folder, chance, "SpotTacked")
    sql(folder, f"DELETE FROM {what.format(seq)}")


def add_to_index(folder, chance):
    seq = _some_seq(folder, chance, "SpotTacked")
    sql(folder, f"INSERT INTO touches VALUES ('part', 'EX-99', {seq}, 'part')")


def foreign_trigger(folder, chance):
    del chance
    sql(
        folder,
        "CREATE TRIGGER more AFTER INSERT ON events BEGIN DELETE FROM parts; END",
    )


def guards_off(folder, chance):
    del chance
    sql(folder, guards=False)


def stale_lock(folder, chance):
    (folder / LOCK).write_bytes(chance.randbytes(8))


FAULTS = {
    "a bit of the journal flipped": flip,
    "the journal cut short": cut,
    "a page of the journal zeroed": zero_a_page,
    "an older copy put in place": older_copy,
    "another store's journal put in place": other_store,
    "the journal gone, with its witness or without": gone,
    "the witness gone, garbage or ahead": spoil_witness,
    "another store's heartbeat": other_heartbeat,
    "the kept state damaged or edited": spoil_kept_state,
    "a dose edited by hand, guards restored": edit_payload,
    "an entry edited and its hash made to fit": edit_and_fit,
    "an entry's time edited": edit_time,
    "an entry deleted": delete_entry,
    "rows of the index deleted": hide_in_index,
    "rows added to the index": add_to_index,
    "a foreign trigger": foreign_trigger,
    "the guards taken off": guards_off,
    "a stale lock": stale_lock,
}


# --- at a bench at work ---------------------------------------------------------------


def two_windows(folder, session):
    del session
    try:
        Journal.open(folder)
    except JournalLockedError as error:
        return str(error)
    return ""


def a_readers_transaction(folder, session):
    """Keep a transaction open for longer than a press may wait."""
    told = []
    session.subscribe(told.append)
    with closing(sqlite3.connect(folder / DATABASE, isolation_level=None)) as db:
        db.execute("BEGIN")
        db.execute("SELECT count(*) FROM events").fetchone()
        session.handle(cm.ClaimStation("EX-OP8"))
        for _ in range(4):
            session._clock.advance(700)
            session.tick()
        db.execute("COMMIT")
    codes = [each.refusal.code for each in told if each.refusal]
    return session_words.DROPPED.message if "journal-dropped" in codes else ""


def full_disk(folder, session):
    del folder
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (0, hard))
    try:
        return session.handle(cm.ClaimStation("EX-OP8")).refusal.message
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


def deleted_at_work(folder, session):
    (folder / DATABASE).unlink()
    return session.handle(cm.ClaimStation("EX-OP8")).refusal.message


AT_WORK = {
    "a second window": two_windows,
    "a reader that does not let go": a_readers_transaction,
    "the disk full": full_disk,
    "the journal deleted at work": deleted_at_work,
}


def tried_at_work(name, happens, times):
    """Let something happen to a bench at work; return its row."""
    row = Row(name, times)
    for _ in range(times):
        with tempfile.TemporaryDirectory() as made:
            folder = shutil.copytree(original(), Path(made) / "store")
            clock = SimulatedClock(datetime(2026, 6, 1, 9, 0, tzinfo=UTC))
            session = Session(Journal.open(folder), clock)
            bench = session.bench
            sentence = happens(folder, session)
            if not sentence or session.bench.operator != bench.operator:
                row.lost += 1
            session.journal.close()
            if (folder / DATABASE).exists():
                with Journal.open(folder) as journal:
                    row.lost += journal.head.seq != bench.seq
        row.outcomes["said at once" if sentence else "SILENT"] += 1
        row.sentence = row.sentence or sentence
    return row


# --- what comes of it ----------------------------------------------------------------


def outcome(folder):
    """Return how a fault came out, the first sentence, and what was exported."""
    said, bench = _opened(folder)
    rows, exported = _exported(folder)
    if said:
        return "opening", said, bench, rows
    try:
        sentence, well = in_words(folder)
    except JournalError as error:
        sentence, well = str(error), False
    if not well:
        return "walk", sentence, bench, rows
    if exported:
        return "export", exported, bench, rows
    return "unchanged", "", bench, rows


def _opened(folder):
    with tempfile.TemporaryDirectory() as made:
        copy = shutil.copytree(folder, Path(made) / "copy")
        try:
            journal = Journal.open(copy)
        except JournalError as error:
            return str(error), None
        with closing(journal):
            try:
                session = Session(journal, RealClock())
            except JournalError as error:
                return str(error), None
            found = (*journal.opening.damage, *journal.opening.notes, session.amiss)
            return next(filter(None, found), ""), session.bench


def _exported(folder):
    """Return the rows of the day as exported, and the sentence."""
    _, _, day = truth()
    with tempfile.TemporaryDirectory() as out:
        try:
            with ReadOnlyJournal.open(folder) as journal:
                paths, said = export_day(journal, day, Path(out)), ""
        except AlteredError as error:
            paths, said = error.paths, str(error)
        except (JournalError, ExportError) as error:
            return [], str(error)
        path = next(path for path in paths if path.suffix == ".jsonl")
        lines = path.read_text("utf-8").splitlines()
        return [json.loads(line) for line in lines], said


def tried(name, inject, times, seed=SEED):
    """Inject one fault so often; return its row."""
    entries, dose, _ = truth()
    usual, opening.LINKS = opening.LINKS, LINKS
    try:
        return _tried(Row(name, times), inject, seed, (entries, dose))
    finally:
        opening.LINKS = usual


def _tried(row, inject, seed, known):
    (entries, dose), times, name = known, row.times, row.name
    chance = random.Random(f"{seed} {name}")
    for _ in range(times):
        with tempfile.TemporaryDirectory() as made:
            folder = shutil.copytree(original(), Path(made) / "store")
            inject(folder, chance)
            how, sentence, bench, rows = outcome(folder)
            found = {}
            with suppress(JournalError):
                found = told(folder)
        changed = sum(found.get(seq) != line for seq, line in entries.items())
        if how == "unchanged":
            row.lost += changed
            if bench is not None and ledger(bench) != dose:
                row.credited += 1
            if changed or row.credited:
                how = "SILENT"
        row.altered += sum(
            each["proven"] == "yes" and not _same(each, entries) for each in rows
        )
        row.outcomes[how] += 1
        row.sentence = row.sentence or sentence
    return row


def _same(row, entries):
    """Return whether an exported row says what the original entry says."""
    line = entries.get(row["seq"])
    if line is None:
        return False
    entry = json.loads(line)
    return (entry["event"], entry["operator"], entry["at"]["mono_ms"]) == (
        row["event"],
        row["operator"],
        row["mono_ms"],
    )


def plain(sentence):
    """Return a sentence without the folder that only this run had."""
    return re.sub(r"/\S+/(copy|store)\b", "FOLDER", sentence)


def printed(rows):
    """Return the table as text."""
    lines = [
        "fault | times | came out | lost | credited | exported as proven | sentence"
    ]
    for row in rows:
        outs = ", ".join(
            f"{how} {count}" for how, count in sorted(row.outcomes.items())
        )
        lines.append(
            f"{row.name} | {row.times} | {outs} | {row.lost} | {row.credited} |"
            f" {row.altered} | {plain(row.sentence)[:110]}"
        )
    return "\n".join(lines)


def main(times=20, flips=0):
    rows = [
        tried(name, inject, flips if flips and inject is flip else times)
        for name, inject in FAULTS.items()
    ]
    rows += [tried_at_work(name, happens, 2) for name, happens in AT_WORK.items()]
    print(printed(rows))
    return int(any(row.lost or row.credited or row.altered for row in rows))


if __name__ == "__main__":
    sys.exit(main(*map(int, sys.argv[1:])))
