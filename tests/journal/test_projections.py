import dataclasses
import sqlite3
import typing
from contextlib import closing

import pytest

from benchassist.clock import Instant
from benchassist.domain.events import (
    KINDS,
    BasketFormed,
    BrushWetted,
    CalledAway,
    DeviationOpened,
    DoseCredited,
    EquipmentChosen,
    GlycerineFilled,
    LotChosen,
    LotReceived,
    Numbers,
    OperatorClaimed,
    PartHeld,
    PartReleased,
    PartScrapped,
    PartTaken,
    RunStarted,
    StageEnded,
    StageStarted,
    ThingTakenOver,
)
from benchassist.domain.library import Lot
from benchassist.domain.place import Place
from benchassist.journal.files import DATABASE
from benchassist.journal.projections import SUBJECTS, touches
from benchassist.journal.reading import PartRow, ReadOnlyJournal
from benchassist.journal.writing import Journal

# Fields that name nothing a recall could start from. A new field goes here or into
# SUBJECTS, so that no subject is forgotten.
NO_SUBJECTS = {
    "act", "answers", "before", "begun", "boot", "changes", "check", "coat", "code", "command", "cover", "curve", "day",
    "decision", "digest", "document", "revision", "shape", "until",
    "evidence", "faces", "fault", "gate", "how", "jaw", "kind", "layer", "layers", "level", "light",
    "mishap", "note", "of", "outcome", "peg", "plan", "printed", "program_version", "question", "really_ran", "reason", "routine",
    "record", "role", "route", "rule", "scope", "seen", "side", "size", "source", "stage", "station",
    "shade", "steps", "store_id", "tab", "text", "thing", "title", "to", "tooth", "told", "unit", "variant", "verdict",
    "what", "why", "zone",
    # how a damaged store is gone on from, and what a new one knows of things from it
    "accepted", "against", "baths", "bottles", "closed", "closed_lots", "code_shapes",
    "boxes_kept", "filed", "fills", "glasses", "keeping", "lamp_on", "levels", "meters", "readings", "retired", "routines",
    "serviced", "smears", "tabs", "tested", "trials", "validated", "working_curves",
    "beside", "wish",  # what a hand said of the day
    "deviations", "first_day", "last_day", "open", "otherwise", "recall", "stood", "unseen",
    "aside", "box_plans", "photos", "vessel_sizes", "findings", "first", "folder", "hash", "store",
}  # fmt: skip
PLAIN = {int, float, bool, Instant, type(None), Numbers}


def named(entries):
    return [entry.seq for entry in entries]


def subjects_of(journal, draft, event):
    (entry,) = journal.append([draft(event)])
    return {
        (touch.subject_kind, touch.subject, touch.role) for touch in touches(entry)
    } - {("operator", "EX-OP1", "operator")}


def is_plain(hint):
    """Return whether a hint is made of numbers, moments and truths alone."""
    parts = [part for part in typing.get_args(hint) if part is not ...]
    return hint in PLAIN or (bool(parts) and all(map(is_plain, parts)))


def test_every_field_is_a_subject_or_known_to_be_none():
    for kind in KINDS.values():
        for name, hint in typing.get_type_hints(kind).items():
            known = is_plain(hint) or name in SUBJECTS or name in NO_SUBJECTS
            assert known or name == "version", f"{kind.__name__}.{name}: see above"


@pytest.mark.parametrize(
    "kind", [k for k in KINDS if k not in ("StoreCreated", "TextBlanked")]
)
def test_every_kind_is_found_under_all_that_it_touches(journal, draft, sample, kind):
    (entry,) = journal.append([draft(sample(KINDS[kind]))])
    found = touches(entry)

    assert ("operator", "EX-OP1", entry.seq, "operator") in found
    for touch in found:
        seqs = named(
            journal.entries_of(touch.subject_kind, touch.subject, role=touch.role)
        )
        assert seqs[-1] == entry.seq
    assert journal.walk_index(1, 10).faults == ()


@pytest.mark.parametrize(
    ("event", "expected"),
    [
        (
            RunStarted(
                "run-1", "EX-BX", "EX-GV", ("EX-K-1", "EX-K-2"), "A", 1, 9, 1.0, "s"
            ),
            {
                ("run", "run-1", "run"),
                ("box", "EX-BX", "box"),
                ("vessel", "EX-GV", "vessel"),
                ("part", "EX-K-1", "part"),
                ("part", "EX-K-2", "part"),
            },
        ),
        (
            RunStarted("run-1", "EX-BX", "", ("EX-K-1",), "", 1, 9, 1.0, "s"),
            {
                ("run", "run-1", "run"),
                ("box", "EX-BX", "box"),
                ("part", "EX-K-1", "part"),
            },
        ),
        (
            LotReceived(
                Lot("EX-MIX", "EX-M", "2026-03-02", (("EX-L1", 0.7), ("EX-L2", 0.3)))
            ),
            {
                ("lot", "EX-MIX", "defined"),
                ("lot", "EX-L1", "parent"),
                ("lot", "EX-L2", "parent"),
            },
        ),
        (
            LotChosen("EX-K-1", "coat", "EX-L1"),
            {
                ("part", "EX-K-1", "part"),
                ("lot", "EX-L1", "lot"),
                ("lot", "EX-L1", "coat"),
            },
        ),
        (
            EquipmentChosen("EX-K-1", "vessel", "EX-GV"),
            {("part", "EX-K-1", "part"), ("vessel", "EX-GV", "chosen")},
        ),
        (
            GlycerineFilled("EX-GV", "EX-L1"),
            {
                ("vessel", "EX-GV", "vessel"),
                ("vessel", "EX-GV", "filled"),
                ("lot", "EX-L1", "lot"),
                ("lot", "EX-L1", "filled"),
            },
        ),
        (
            ThingTakenOver("lamp", "EX-LM-A", "EX-OP2", "EX-OP3", "gone home"),
            {
                ("lamp", "EX-LM-A", "claimed"),
                ("operator", "EX-OP2", "holder"),
                ("operator", "EX-OP3", "who"),
            },
        ),
        (
            CalledAway(Place(part="EX-K-1", wet=("EX-K-1",), in_alcohol=("EX-K-2",))),
            {
                ("part", "EX-K-1", "part"),
                ("part", "EX-K-1", "wet"),
                ("part", "EX-K-2", "in alcohol"),
            },
        ),
        (OperatorClaimed("EX-OP2"), {("operator", "EX-OP2", "who")}),
        (
            BasketFormed("basket-1", ("EX-K-1",)),
            {("basket", "basket-1", "basket"), ("part", "EX-K-1", "part")},
        ),
        (
            DeviationOpened("EX-D-1", "late", ("EX-K-1",), "text"),
            {("deviation", "EX-D-1", "deviation"), ("part", "EX-K-1", "part")},
        ),
        (
            DoseCredited("EX-K-1", "run-1", "", 1, ("body",), 1, 2, "s", "observed"),
            {("part", "EX-K-1", "part"), ("run", "run-1", "run")},
        ),
    ],
    ids=lambda case: type(case).__name__,
)
def test_what_an_event_touches(journal, draft, event, expected):
    assert subjects_of(journal, draft, event) == expected


def test_a_part_touches_its_lots_in_their_roles(journal, draft, sample):
    taken = dataclasses.replace(
        sample(PartTaken), print_lot="EX-L1", coat_lot="EX-L1", stain_lot="EX-L3"
    )
    found = subjects_of(journal, draft, taken)

    assert {touch for touch in found if touch[0] == "lot"} == {
        ("lot", "EX-L1", "print"),
        ("lot", "EX-L1", "coat"),
        ("lot", "EX-L3", "stain"),
    }


def test_entries_of_a_subject_up_to_an_entry(journal, spot):
    journal.append([spot(1), spot(2, part="EX-K-02"), spot(3), spot(4)])

    assert named(journal.entries_of("part", "EX-K-01")) == [2, 4, 5]
    assert named(journal.entries_of("part", "EX-K-01", upto=4)) == [2, 4]
    assert named(journal.entries_of("part", "EX-K-01", role="other")) == []
    assert named(journal.entries_of("lamp", "EX-LM-A")) == [2, 3, 4, 5]
    assert named(journal.entries_of("part", "EX-K-99")) == []


def test_where_each_part_stands(journal, draft, sample):
    def take(part):
        return draft(dataclasses.replace(sample(PartTaken), part=part))

    journal.append([take("EX-K-1"), take("EX-K-2"), take("EX-K-3"), take("EX-K-4")])
    journal.append([draft(PartReleased("EX-K-1", "EX-R r1"), at_s=16 * 3600)])
    journal.append([draft(PartScrapped("EX-K-2", "cracked"))])
    journal.append([draft(PartHeld("EX-K-3", "till Monday"))])
    journal.append([draft(StageEnded("EX-K-4", "wash-1", 1, 1))])

    rows = {row.part: row for row in journal.part_rows()}
    assert rows == {
        "EX-K-1": PartRow("EX-K-1", "released", 2, 6, "2026-03-03"),
        "EX-K-2": PartRow("EX-K-2", "scrapped", 3, 7, "2026-03-02"),
        "EX-K-3": PartRow("EX-K-3", "on hold", 4, 8, None),
        "EX-K-4": PartRow("EX-K-4", "in work", 5, 9, None),
    }
    assert journal.part_rows("on hold") == (rows["EX-K-3"],)
    assert journal.part_row("EX-K-2") == rows["EX-K-2"]
    assert journal.part_row("EX-K-9") is None
    assert journal.seqs_of("part", "EX-K-1") == (2, 6)
    assert journal.seqs_of("part", "EX-K-9") == ()

    journal.append([draft(DeviationOpened("EX-D-1", "late", ("EX-K-1",), "x"))])
    journal.append([draft(StageStarted("wash-1", "wash", ("EX-K-3",)))])
    journal.append([take("EX-K-2")])  # back for another go
    rows = {row.part: (row.state, row.closed_day) for row in journal.part_rows()}
    assert rows["EX-K-1"] == ("released", "2026-03-03")
    assert rows["EX-K-2"] == ("in work", None)
    assert rows["EX-K-3"] == ("in work", None)


def test_the_parts_of_a_local_day(journal, draft):
    # 09:00 local; 14 h 59 min 59 s later it is still that day, a second later not.
    late = 15 * 3600 - 1
    wetted = BrushWetted(
        **{f.name: 0 for f in dataclasses.fields(BrushWetted)}
        | {"part": "EX-K-1", "layer": "coat-1", "lot": "EX-L1"}
    )
    held = PartHeld("EX-K-2", "")
    journal.append([draft(wetted, at_s=late)])
    journal.append([draft(held, at_s=late + 1), draft(wetted, at_s=late + 2)])

    assert journal.parts_on("2026-03-02") == ("EX-K-1",)
    assert journal.parts_on("2026-03-03") == ("EX-K-1", "EX-K-2")
    assert journal.parts_on("2026-03-03", upto=3) == ("EX-K-2",)
    assert journal.parts_on("2026-03-04") == ()


def tables(folder):
    with closing(sqlite3.connect(folder / DATABASE)) as db:
        return [
            db.execute(f"SELECT * FROM {name} ORDER BY 1, 2, 3").fetchall()  # noqa: S608
            for name in ("touches", "parts", "part_days")
        ]


def test_they_can_be_made_again_from_the_entries_alone(filled):
    before = tables(filled)
    with closing(sqlite3.connect(filled / DATABASE, isolation_level=None)) as db:
        db.execute("DELETE FROM touches WHERE seq % 3 = 0")
        db.execute("UPDATE parts SET state = 'lost'")
        db.execute("DELETE FROM part_days")

    with Journal.open(filled) as journal:
        missing = [fault.seq for fault in journal.walk_index(1, 50).faults]
        assert missing == list(range(3, 42, 3))
        assert journal.walk(1, 50).faults == ()
        journal.rebuild_projections()
        assert journal.walk_index(1, 50).faults == ()
    assert tables(filled) == before


def test_a_journal_of_another_version_makes_them_again_when_opened(filled):
    before = tables(filled)
    with closing(sqlite3.connect(filled / DATABASE, isolation_level=None)) as db:
        db.execute("DELETE FROM touches")
        db.execute("UPDATE projections SET version = 0")

    Journal.open(filled).close()

    assert tables(filled) == before


def test_an_entry_that_makes_no_sense_is_a_fault_of_the_index(filled):
    with closing(sqlite3.connect(filled / DATABASE, isolation_level=None)) as db:
        db.execute("DROP TRIGGER events_stay_as_they_are")
        db.execute("UPDATE events SET payload = '[]' WHERE seq = 7")

    with ReadOnlyJournal.open(filled) as reader:
        (fault,) = reader.walk_index(1, 50).faults
    assert fault.sentence == "Entry 7 cannot be understood."


def test_an_event_field_of_an_unknown_shape_is_our_mistake(journal, draft):
    (entry,) = journal.append([draft(OperatorClaimed("EX-OP1"))])
    odd = dataclasses.replace(entry, event=OperatorClaimed(who=object()))

    with pytest.raises(TypeError, match="names no subject"):
        touches(odd)


def test_a_lost_index_is_a_fault_of_every_entry(filled):
    with closing(sqlite3.connect(filled / DATABASE, isolation_level=None)) as db:
        db.execute("DROP TABLE touches")

    with ReadOnlyJournal.open(filled) as reader:
        found = [fault.seq for fault in reader.walk_index(1, 50).faults]
        assert found == list(range(1, 42))
