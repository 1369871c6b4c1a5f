"""Faults of the record as it lies on the disk while nobody works.

A fault is silent only if nothing was changed by it. Ways out, in the order they are
asked:

opening   the window does not open on it, or says it at once
walk      the walk of the whole record after the first paint says it
export    the export of the day says it and marks the rows
unchanged every entry, every text and the state are what they were
SILENT    something differs and nobody said so: the row fails
"""

# ruff: noqa: S608 - statements of our own making

import json
import random
import shutil
import sqlite3
import tempfile
from contextlib import closing, suppress
from functools import cache, partial
from pathlib import Path

from benchassist.clock import RealClock
from benchassist.domain.events import PartTaken
from benchassist.domain.ledger import bounds
from benchassist.domain.state import BODY
from benchassist.journal import opening
from benchassist.journal.chain import link
from benchassist.journal.codec import canonical
from benchassist.journal.errors import JournalError
from benchassist.journal.files import DATABASE, HEARTBEAT, LOCK, WITNESS
from benchassist.journal.reading import ReadOnlyJournal
from benchassist.journal.slots import SlotFile, read_slots
from benchassist.journal.writing import Journal
from benchassist.readable import in_words
from benchassist.records.export import AlteredError, ExportError, export_day
from benchassist.rehearsal.demo import build_training
from benchassist.session import Session
from tests.faults.row import SEED, Row, original

LINKS = 20  # checked at opening here, so that the walk has something left to find


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


ROWS = {name: partial(tried, name, inject) for name, inject in FAULTS.items()}
