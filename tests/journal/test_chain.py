from hashlib import sha256

import pytest

from benchassist.journal.chain import (
    GENESIS,
    Row,
    blanks,
    faults,
    gap,
    link,
    text_digest,
)


def row(seq=1, previous=GENESIS, **changed):
    plain = Row(
        seq=seq,
        batch=seq,
        id="id",
        wall_ms=1,
        offset_min=60,
        mono_ms=2,
        boot="boot",
        operator="EX-OP1",
        channel="pedal",
        kind="PartChosen",
        version=1,
        payload='{"part":"EX-K-1"}',
        text_digest=None,
        hash=b"",
    )._replace(**changed)
    return plain._replace(hash=link(previous, plain))


def chain(count):
    rows, previous = [], GENESIS
    for seq in range(1, count + 1):
        rows.append(row(seq, previous))
        previous = rows[-1].hash
    return rows


def test_the_link_is_sha256_of_the_one_before_header_and_payload_digest():
    # Spelled out by hand, so that anyone can check a chain without this program.
    digest = sha256(b'{"part":"EX-K-1"}').hexdigest()
    header = (
        '[1, 1, "id", 1, 60, 2, "boot", "EX-OP1", "pedal", "PartChosen", 1, "'
        + digest
        + '", null]'
    )

    assert row().hash == sha256(bytes(32) + header.encode()).digest()


@pytest.mark.parametrize(
    "changed",
    [
        {"seq": 2},
        {"batch": 2},
        {"id": "other"},
        {"wall_ms": 3},
        {"offset_min": 0},
        {"mono_ms": 3},
        {"boot": "other"},
        {"operator": "EX-OP2"},
        {"channel": "hand"},
        {"kind": "FocusMoved"},
        {"version": 2},
        {"payload": '{"part":"EX-K-2"}'},
        {"text_digest": bytes(32)},
    ],
    ids=lambda changed: next(iter(changed)),
)
def test_every_part_of_an_entry_is_under_its_hash(changed):
    assert link(GENESIS, row()._replace(**changed)) != row().hash


def test_a_whole_chain_has_no_faults():
    assert faults(0, GENESIS, chain(5)) == []


def test_a_changed_entry_is_a_single_fault():
    rows = chain(5)
    rows[2] = rows[2]._replace(operator="EX-OP2")

    assert [fault.seq for fault in faults(0, GENESIS, rows)] == [3]


@pytest.mark.parametrize("odd", [b"\xff", None, 5, "\ud800"])
def test_a_cell_of_a_wrong_type_is_a_fault_and_no_crash(odd):
    rows = chain(3)
    rows[1] = rows[1]._replace(payload=odd)

    assert [fault.seq for fault in faults(0, GENESIS, rows)] == [2]


def test_a_hash_of_a_wrong_type_is_a_fault():
    rows = chain(3)
    rows[1] = rows[1]._replace(hash="text")

    # The link after it cannot be made either: it starts from that hash.
    assert [fault.seq for fault in faults(0, GENESIS, rows)] == [2, 3]


def test_a_missing_entry_is_named():
    rows = chain(6)
    del rows[1]
    del rows[2:4]

    assert faults(0, GENESIS, rows) == [gap(2, 2), gap(4, 5)]
    assert gap(2, 2).sentence == "Entry 2 is missing."
    assert gap(4, 5).sentence == "Entries 4 to 5 are missing."


def test_where_the_one_before_is_unreadable_the_first_link_is_not_judged():
    assert faults(1, None, chain(3)[1:]) == []


def typed(**changed):
    salt, body = b"salt", '{"reason":"x"}'
    whole = row(text_digest=text_digest(salt, body))
    return whole._replace(**{"salt": salt, "body": body, **changed})


@pytest.mark.parametrize(
    ("changed", "sentence"),
    [
        ({}, None),
        ({"body": '{"reason":"y"}'}, "The text of entry 1 is not what was written."),
        ({"body": 5}, "The text of entry 1 is not what was written."),
        ({"salt": b"other"}, "The text of entry 1 is not what was written."),
        ({"body": None, "salt": None}, "The text of entry 1 is missing."),
        (
            {"body": None, "salt": None, "blanked_by": 1},
            "The text of entry 1 is missing.",
        ),
        ({"body": None, "salt": None, "blanked_by": 9}, None),
    ],
)
def test_a_text_is_whole_or_blanked_by_a_later_entry(changed, sentence):
    found = faults(0, GENESIS, [typed(**changed)])

    assert [fault.sentence for fault in found] == ([sentence] if sentence else [])


def test_a_text_without_a_digest_is_a_fault():
    (fault,) = faults(0, GENESIS, [row()._replace(body="{}")])

    assert fault.sentence == "Entry 1 has a text too many."


@pytest.mark.parametrize(
    ("changed", "names"),
    [
        ({}, True),
        ({"seq": 5}, False),  # an act is later than what it takes away
        ({"seq": 4}, False),
        ({"kind": "PartChosen"}, False),
        ({"payload": '{"entries":[6]}'}, False),
        ({"payload": "x"}, False),
        ({"payload": "[]"}, False),
    ],
)
def test_an_act_that_blanks_is_later_of_its_kind_and_names_the_entry(changed, names):
    whole = {"seq": 7, "kind": "TextBlanked", "payload": '{"entries":[5]}'} | changed

    assert blanks(row(**whole), 5) is names
