"""The story of a part: its whole way in plain words, with what the chain vouches for.

The numbers are the scripts' own: what a hand can add up from its lines.
"""

import sqlite3
from contextlib import closing

import pytest

from benchassist.domain import commands as cm
from benchassist.domain.library import SpotFace
from benchassist.domain.shape import PartShape
from benchassist.journal.files import DATABASE
from benchassist.journal.reading import ReadOnlyJournal
from benchassist.records.export import AlteredError, ExportError
from benchassist.records.story import STATEMENT, WALKING, StoryError, story
from benchassist.records.story_page import as_page, write_story
from benchassist.rehearsal import Player, load_script
from benchassist.rehearsal.memory import MemoryJournal


def written(name, folder):
    book = MemoryJournal()
    for _ in Player(load_script(name), lambda: book).moments():
        pass
    book.write(folder).close()
    return book


@pytest.fixture(scope="module")
def recalled(tmp_path_factory):
    folder = tmp_path_factory.mktemp("recalled")
    written("recall_mix", folder)
    return folder


def told(folder, part):
    with ReadOnlyJournal.open(folder) as journal:
        return story(journal, part)


def in_memory(name, part):
    book = MemoryJournal()
    for _ in Player(load_script(name), lambda: book).moments():
        pass
    return story(book, part)


def words(found):
    return [f"{each.what}; {each.how_much}" for each in found.lines]


def test_a_released_part_is_told_from_intake_to_signature(recalled):
    found = told(recalled, "EX-61")
    lines = words(found)

    assert lines[0] == "taken in; "
    assert "coat 1 brushed, patch 1; EX-LT-C2" in lines
    assert "RELEASED; signed against EX-RC-C r1" in lines
    assert [(each.layer, each.words) for each in found.doses] == [
        ("body", "4400 of 4400"),
        ("coat 2", "2200 of 2200"),
    ]
    assert ("coat 1, coat 2", "EX-LT-C2; EX-LM-A, 5 of 5 spots") in found.with_what
    assert ("prescriber", "EX-P2") in found.with_what
    assert found.closed[0] == "released"
    assert found.closed[2] == "OP-1"
    assert found.proof.amiss == ""
    assert all(each.proven for each in found.lines)
    # It was recalled afterwards, and judged: that is part of its way.
    assert any(each.startswith("deviation D-1; RC-1") for each in lines)
    assert any(each.startswith("deviation D-1: ask prescriber") for each in lines)


def test_a_scrapped_part_and_one_in_flight_have_a_story_too(recalled):
    assert told(recalled, "EX-62").closed[0] == "scrapped"
    flying = told(recalled, "EX-63")
    assert flying.closed == ("", "", "")
    assert "another coat lot; EX-LT-C1" in words(flying)


def test_a_part_that_nobody_took_in_is_said(recalled):
    with pytest.raises(StoryError, match="knows no part called “EX-NOBODY”"):
        told(recalled, "EX-NOBODY")


def test_what_was_put_right_stands_as_told_and_as_true(tmp_path):
    written("told_wrong_released", tmp_path)
    found = told(tmp_path, "EX-24")

    (first, *_) = found.put_right
    assert "low: 2200 > 300" in first.what
    assert first.how_much == "the box's own log says 300"
    assert found.doses[0].low < found.doses[0].owed
    assert any("put right" in each for each in words(found))


@pytest.mark.parametrize(
    ("script", "part", "what", "marks"),
    [
        ("o9_touched_dropped", "EX-29", "warning taken: coats-max", "D-1"),
        ("o9_touched_dropped", "EX-29", "Touched, coat tacked", "Touched, coat tacked"),
        ("day", "EX-10", "on hold: second half in the afternoon", "D-1"),
        ("o6_wrong_program", "EX-26", "D-1: ask prescriber", "signed"),
    ],
)
def test_what_did_not_go_as_planned_stands_by_itself(script, part, what, marks):
    found = in_memory(script, part)

    assert what in [told for _, told in found.otherwise]
    assert marks in [name for _, name in found.marks]


def test_a_turn_that_did_not_happen_is_told_and_is_no_stretch_of_the_way():
    found = in_memory("told_wrong_turn", "EX-27")

    turns = [each for each in found.lines if each.what.startswith("turned over")]
    happened, undone, anew = turns
    assert undone.what == "turned over (did not happen)"
    assert "; put right, entry" in undone.how_much
    assert happened.what == anew.what == "turned over"
    assert {each.how_much for each in found.put_right} == {"turned only on paper"}
    gone = [
        each for each in found.put_right if "did not happen: False > True" in each.what
    ]
    assert len(gone) == 2
    assert len([each for each in found.spans if each.label == "Flip to side B"]) == 2
    assert "put right" in [name for _, name in found.marks]
    page = as_page(found)
    assert "Put right: what was told" in page
    assert "turned only on paper" in page


def test_what_was_put_right_of_another_part_in_the_run_is_not_told_here():
    mine, other = (in_memory("told_wrong_box", part) for part in ("EX-24", "EX-25"))

    for found, has_dose in ((mine, True), (other, False)):
        misread = [each.what for each in found.put_right if each.how_much == "misread"]
        assert "entry 134, low: 2200 > 2100" in misread  # of the run, which had both
        assert ("entry 135, low: 2200 > 2100" in misread) == has_dose


def test_a_part_that_really_lay_in_another_vessel_has_a_story():
    found = in_memory("told_wrong_coat", "EX-24")

    assert found.state == "ready"
    assert any("EX-GV-02" in each.what for each in found.put_right)


def test_where_all_went_as_planned_the_page_says_so():
    assert "Nothing is on record." in as_page(in_memory("o1_plain_crown", "EX-21"))


def test_what_was_entered_late_says_so(tmp_path):
    written("late_from_paper", tmp_path)
    with ReadOnlyJournal.open(tmp_path) as journal:
        parts = [row.part for row in journal.part_rows()]
        stories = [story(journal, part) for part in parts]

    assert any("entered late" in each for found in stories for each in words(found))


def test_memory_tells_the_same_way_and_vouches_for_nothing(recalled):
    found = in_memory("recall_mix", "EX-61")

    assert words(found) == words(told(recalled, "EX-61"))
    assert found.proof.amiss


def test_it_is_written_as_a_page_that_needs_nothing_but_itself(recalled, tmp_path):
    with ReadOnlyJournal.open(recalled) as journal:
        path = write_story(journal, "EX-61", tmp_path)
        anchor = journal.head.hash.hex()[:16]
    page = path.read_text()

    assert path.name.startswith("EXAMPLE-story-EX-61-seq-")
    assert STATEMENT.partition(";")[0] in page
    assert anchor in page
    assert "EX-LT-C2" in page
    assert "http" not in page


def test_a_story_without_a_part_or_a_folder_is_one_sentence(recalled, tmp_path):
    (tmp_path / "file").write_text("")
    with ReadOnlyJournal.open(recalled) as journal:
        with pytest.raises(ExportError, match="knows no part"):
            write_story(journal, "EX-0", tmp_path)
        with pytest.raises(ExportError, match="cannot be written"):
            write_story(journal, "EX-61", tmp_path / "file")


def test_a_record_that_was_edited_marks_the_entries_of_the_part(tmp_path):
    written("recall_mix", tmp_path)
    with closing(sqlite3.connect(tmp_path / DATABASE)) as db:
        (seq,) = db.execute(
            "SELECT seq FROM events WHERE kind = 'BrushWetted' LIMIT 1"
        ).fetchone()
        db.execute("DROP TRIGGER events_stay_as_they_are")
        db.execute(
            "UPDATE events SET payload = replace(payload, 'EX-LT-C2', 'EX-LT-C1')"
            " WHERE seq = ?",
            (seq,),
        )
        db.commit()
    found = told(tmp_path, "EX-61")

    assert found.proof.amiss
    assert not all(each.proven for each in found.lines)
    with (
        ReadOnlyJournal.open(tmp_path) as journal,
        pytest.raises(AlteredError),
    ):
        write_story(journal, "EX-61", tmp_path / "out")


def test_photo_print_file_faces_and_note_are_in_the_story():
    player = Player(load_script("o1_plain_crown"), MemoryJournal)
    for _ in player.moments():
        if "EX-21" in player.session.bench.parts:
            break
    shape = PartShape("cd" * 32, "mm", 512.0, 450.0, False, 10.0, 10.0, 9.0)  # noqa: FBT003
    for command in (
        cm.MeasurePart("EX-21", shape),
        cm.MarkFaces("EX-21", (SpotFace("top", 3), SpotFace("front", 2)), 90.0),
        cm.KeepPhoto("EX-21", "ef" * 32),
        cm.NotePart("EX-21", "contact tight"),
        cm.ChangePart("EX-21", "a wider shade", again="wash"),
        cm.MarkFaces("EX-21"),
    ):
        assert player.session.handle(command).refusal is None

    found = story(player.session.journal, "EX-21")

    told = {each.what: each.how_much for each in found.lines}
    assert told["print file read"] == "5.1 cm², at most 0.45 cm³, file cdcdcdcd"
    assert told["faces to coat marked"] == "spots: top 3, front 2"
    assert told["photo kept"] == "efefefef"
    assert told["note"] == "contact tight"
    assert told["faces as the recipe says"] == ""
    assert told["changed on its way"].endswith("; a wider shade")
    assert dict(found.with_what)["photos"] == "efefefef"


def test_before_the_chain_is_walked_it_claims_nothing(recalled):
    with ReadOnlyJournal.open(recalled) as journal:
        first = story(journal, "EX-61", walk=False)
        then = story(journal, "EX-61")

    assert first.proof.amiss == WALKING
    assert then.proof.amiss == ""
    assert words(first) == words(then)
