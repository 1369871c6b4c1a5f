"""The tables of the journal's one SQLite file, and what guards them.

``events`` and ``texts`` are the record and only ever grow; the other tables are
derived from them and can be made again. It knows no event.
"""

from __future__ import annotations

import sqlite3

APPLICATION_ID = 0x42_41_4A_31  # "BAJ1", read by PRAGMA application_id
FORMAT = 1  # of the tables, in PRAGMA user_version
BLANKING_KIND = "TextBlanked"

_TABLES = (
    """CREATE TABLE events (
    seq INTEGER PRIMARY KEY,
    batch INTEGER NOT NULL,
    id TEXT NOT NULL,
    wall_ms INTEGER NOT NULL,
    offset_min INTEGER NOT NULL,
    mono_ms INTEGER NOT NULL,
    boot TEXT NOT NULL,
    operator TEXT NOT NULL,
    channel TEXT NOT NULL,
    kind TEXT NOT NULL,
    version INTEGER NOT NULL,
    payload TEXT NOT NULL,
    text_digest BLOB,
    hash BLOB NOT NULL
)""",
    """CREATE TABLE texts (
    seq INTEGER PRIMARY KEY REFERENCES events (seq),
    body TEXT,
    salt BLOB,
    blanked_by INTEGER REFERENCES events (seq)
)""",
    """CREATE TABLE touches (
    subject_kind TEXT NOT NULL,
    subject TEXT NOT NULL,
    seq INTEGER NOT NULL,
    role TEXT NOT NULL,
    PRIMARY KEY (subject_kind, subject, seq, role)
) WITHOUT ROWID""",
    """CREATE TABLE parts (
    part TEXT PRIMARY KEY,
    state TEXT NOT NULL,
    first_seq INTEGER NOT NULL,
    last_seq INTEGER NOT NULL,
    closed_day TEXT
) WITHOUT ROWID""",
    """CREATE TABLE part_days (
    day TEXT NOT NULL,
    part TEXT NOT NULL,
    first_seq INTEGER NOT NULL,
    PRIMARY KEY (day, part)
) WITHOUT ROWID""",
    # Nothing writes it any more; a kept state has a file of its own.
    """CREATE TABLE snapshots (
    seq INTEGER PRIMARY KEY,
    format INTEGER NOT NULL,
    hash BLOB NOT NULL,
    digest BLOB NOT NULL,
    text TEXT NOT NULL
)""",
    """CREATE TABLE projections (
    version INTEGER NOT NULL
)""",
)

# An existing or skipped number is refused before INSERT OR REPLACE can act on it.
_TRIGGERS = (
    """CREATE TRIGGER events_follow_one_another BEFORE INSERT ON events
    WHEN NEW.seq IS NOT 1 + coalesce((SELECT max(seq) FROM events), 0)
    BEGIN SELECT RAISE(ABORT, 'the journal only grows, one by one'); END""",
    """CREATE TRIGGER events_stay_as_they_are BEFORE UPDATE ON events
    BEGIN SELECT RAISE(ABORT, 'the journal is never changed'); END""",
    """CREATE TRIGGER events_stay BEFORE DELETE ON events
    BEGIN SELECT RAISE(ABORT, 'nothing is deleted from the journal'); END""",
    """CREATE TRIGGER texts_are_written_once BEFORE INSERT ON texts
    WHEN EXISTS (SELECT 1 FROM texts WHERE seq = NEW.seq)
    OR NEW.body IS NULL OR NEW.salt IS NULL OR NEW.blanked_by IS NOT NULL
    BEGIN SELECT RAISE(ABORT, 'a text is written once'); END""",
    """CREATE TRIGGER texts_are_only_blanked BEFORE UPDATE ON texts
    WHEN NEW.seq IS NOT OLD.seq OR NEW.body IS NOT NULL OR NEW.salt IS NOT NULL
    OR OLD.blanked_by IS NOT NULL OR NOT EXISTS (
        SELECT 1 FROM events WHERE seq = NEW.blanked_by AND kind = 'TextBlanked'
    )
    BEGIN SELECT RAISE(ABORT, 'a text is only blanked, by a logged act'); END""",
    """CREATE TRIGGER texts_stay BEFORE DELETE ON texts
    BEGIN SELECT RAISE(ABORT, 'nothing is deleted from the journal'); END""",
)


def create(db: sqlite3.Connection) -> None:
    """Lay out an empty journal in one transaction."""
    db.execute("BEGIN IMMEDIATE")
    for statement in (*_TABLES, *_TRIGGERS):
        db.execute(statement)
    db.execute(f"PRAGMA application_id = {APPLICATION_ID}")
    db.execute(f"PRAGMA user_version = {FORMAT}")
    db.execute("COMMIT")


def restore_guards(db: sqlite3.Connection) -> None:
    """Put back missing triggers and take away what is not ours: an owner's act."""
    db.execute("BEGIN IMMEDIATE")
    rows = db.execute(
        "SELECT type, name, sql FROM sqlite_master WHERE sql IS NOT NULL"
        " AND name NOT LIKE 'sqlite^_%' ESCAPE '^'"
    ).fetchall()
    foreign = [row for row in rows if row[2] not in (*_TABLES, *_TRIGGERS)]
    ours = {statement.split()[2] for statement in _TABLES}
    for kind, name, _ in foreign:
        if name not in ours:
            quoted = name.replace('"', '""')
            db.execute(f'DROP {kind} IF EXISTS "{quoted}"')
    there = {sql for _, _, sql in rows}
    for statement in _TRIGGERS:
        if statement not in there:
            db.execute(statement)
    db.execute("COMMIT")


def is_empty(db: sqlite3.Connection) -> bool:
    """Return whether the file holds no table at all."""
    return not db.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]


def format_of(db: sqlite3.Connection) -> int | None:
    """Return the format number of a journal, ``None`` for any other database."""
    if db.execute("PRAGMA application_id").fetchone()[0] != APPLICATION_ID:
        return None
    number: int = db.execute("PRAGMA user_version").fetchone()[0]
    return number


def is_intact(db: sqlite3.Connection) -> bool:
    """Return whether every table and trigger is as it was laid out, and no other."""
    found = db.execute(
        "SELECT sql FROM sqlite_master WHERE sql IS NOT NULL"
        " AND name NOT LIKE 'sqlite^_%' ESCAPE '^'"
    )
    return {sql for (sql,) in found} == {*_TABLES, *_TRIGGERS}
