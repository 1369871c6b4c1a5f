import json

import pytest

from benchassist.journal.slots import SLOT_BYTES, SlotFile, read_slots


@pytest.fixture
def path(tmp_path):
    return tmp_path / "slots"


def write(path, *records):
    file = SlotFile(path)
    for record in records:
        file.write(record)
    file.close()


def test_an_absent_file_has_no_record(path):
    assert read_slots(path) is None


def test_a_new_file_has_no_record(path):
    write(path)

    assert read_slots(path) is None
    assert path.stat().st_size == 2 * SLOT_BYTES


@pytest.mark.parametrize("count", [1, 2, 3, 10])
def test_the_last_record_is_read(path, count):
    write(path, *({"seq": n} for n in range(count)))

    assert read_slots(path) == {"seq": count - 1}


def test_writing_goes_on_where_another_process_left_off(path):
    write(path, {"seq": 1}, {"seq": 2})
    write(path, {"seq": 3})

    assert read_slots(path) == {"seq": 3}


@pytest.mark.parametrize("kept", [0, 1, 16, 20])
@pytest.mark.parametrize("count", [2, 3])
def test_a_write_that_a_power_cut_tore_leaves_the_record_before(path, count, kept):
    write(path, *({"seq": n} for n in range(count - 1)))
    before = path.read_bytes()
    write(path, {"seq": count - 1})
    after = path.read_bytes()
    start = next(
        n for n in (0, SLOT_BYTES) if before[n:][:SLOT_BYTES] != after[n:][:SLOT_BYTES]
    )
    torn = before[:start] + after[start:][:kept] + before[start + kept :]

    path.write_bytes(torn)

    assert read_slots(path) == {"seq": count - 2}


def test_a_changed_record_is_not_believed(path):
    write(path, {"seq": 4})
    path.write_bytes(path.read_bytes().replace(b'"seq": 4', b'"seq": 5'))

    assert read_slots(path) is None


def test_a_record_that_does_not_fit_is_refused_before_anything_is_written(path):
    write(path, {"seq": 1})
    file = SlotFile(path)
    with pytest.raises(ValueError, match="do not fit"):
        file.write({"long": "x" * SLOT_BYTES})
    file.close()

    assert read_slots(path) == {"seq": 1}


def test_the_two_slots_lie_in_sectors_of_their_own(path):
    write(path, {"n": 1}, {"n": 2})
    lines = path.read_bytes()

    assert [json.loads(lines[n:][17:SLOT_BYTES])[1]["n"] for n in (0, SLOT_BYTES)] == [
        2,
        1,
    ]
