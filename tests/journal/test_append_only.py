import sqlite3
from contextlib import closing

import pytest

from benchassist.domain.events import PartScrapped
from benchassist.journal import schema
from benchassist.journal.files import DATABASE

FORBIDDEN = {
    "change a payload": "UPDATE events SET payload = '{}' WHERE seq = 2",
    "change a number": "UPDATE events SET seq = 99 WHERE seq = 3",
    "delete an entry": "DELETE FROM events WHERE seq = 3",
    "delete all": "DELETE FROM events",
    "replace an entry": "INSERT OR REPLACE INTO events SELECT * FROM events WHERE seq = 2",
    "replace by the other word": "REPLACE INTO events SELECT * FROM events WHERE seq = 2",
    "insert an existing number": "INSERT INTO events SELECT * FROM events WHERE seq = 2",
    "insert unless it exists": "INSERT OR IGNORE INTO events SELECT * FROM events WHERE seq = 2",
    "insert or else update": (
        "INSERT INTO events SELECT * FROM events WHERE seq = 2"
        " ON CONFLICT (seq) DO UPDATE SET payload = '{}'"
    ),
    "skip a number": (
        "INSERT INTO events SELECT 9, batch, id, wall_ms, offset_min, mono_ms, boot,"
        " operator, channel, kind, version, payload, text_digest, hash"
        " FROM events WHERE seq = 2"
    ),
    "leave the number to SQLite": (
        "INSERT INTO events SELECT NULL, batch, id, wall_ms, offset_min, mono_ms, boot,"
        " operator, channel, kind, version, payload, text_digest, hash"
        " FROM events WHERE seq = 2"
    ),
    "change a text": "UPDATE texts SET body = '{}' WHERE seq = 2",
    "blank a text unlogged": "UPDATE texts SET body = NULL, salt = NULL WHERE seq = 2",
    "blank a text by another entry": (
        "UPDATE texts SET body = NULL, salt = NULL, blanked_by = 3 WHERE seq = 2"
    ),
    "move a text": "UPDATE texts SET seq = 3 WHERE seq = 2",
    "delete a text": "DELETE FROM texts WHERE seq = 2",
    "replace a text": "INSERT OR REPLACE INTO texts VALUES (2, '{}', x'00', NULL)",
    "add a blank text": "INSERT INTO texts VALUES (3, NULL, NULL, 3)",
}


@pytest.mark.parametrize("statement", FORBIDDEN.values(), ids=FORBIDDEN)
def test_the_record_only_grows(journal, folder, draft, spot, statement):
    journal.append([draft(PartScrapped("EX-K-01", "cracked"))])
    journal.append([spot(1)])
    before = list(journal.entries())
    journal.close()

    with closing(sqlite3.connect(folder / DATABASE)) as db:
        with pytest.raises(sqlite3.IntegrityError):
            db.execute(statement)
        db.commit()

    with type(journal).open(folder) as again:
        assert list(again.entries()) == before
        assert again.walk(1, 10).faults == ()


def test_every_trigger_is_tried_above(journal, folder):
    """Without any one trigger, some statement above goes through."""
    journal.close()
    with closing(sqlite3.connect(folder / DATABASE)) as db:
        triggers = {
            name
            for (name,) in db.execute(
                "SELECT name FROM sqlite_master WHERE type = 'trigger'"
            )
        }

    assert len(triggers) == 6
    for trigger in triggers:
        with closing(sqlite3.connect(":memory:", isolation_level=None)) as db:
            schema.create(db)
            for seq in (1, 2, 3):
                db.execute(
                    "INSERT INTO events VALUES"
                    " (?1, ?1, 'id', 1, 1, 1, 'b', 'o', 'c', 'k', 1, '', NULL, x'')",
                    (seq,),
                )
            db.execute("INSERT INTO texts VALUES (2, '{\"a\":1}', x'01', NULL)")
            db.execute(f"DROP TRIGGER {trigger}")
            assert any(goes_through(db, statement) for statement in FORBIDDEN.values())


def goes_through(db, statement):
    try:
        db.execute("BEGIN")
        return db.execute(statement).rowcount > 0
    except sqlite3.IntegrityError:
        return False
    finally:
        db.execute("ROLLBACK")
