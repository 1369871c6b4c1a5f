"""Which parts something touched: on disk and in memory the same, and as it is true."""

from functools import partial

import pytest

from benchassist import assets
from benchassist.domain.recall import Sought
from benchassist.journal.finding import NEVER_WRITTEN, find, kinds_of
from benchassist.journal.reading import ReadOnlyJournal
from benchassist.rehearsal import Player, load_script, parse_script
from benchassist.rehearsal.memory import MemoryJournal


def played(script, book):
    player = Player(script, lambda: book)
    for _ in player.moments():
        pass
    return player


@pytest.fixture(scope="module")
def recalled(tmp_path_factory):
    """Return the rehearsed recall, in memory and on disk."""
    folder = tmp_path_factory.mktemp("recalled")
    book = MemoryJournal()
    played(load_script("recall_mix"), book)
    book.write(folder).close()
    with ReadOnlyJournal.open(folder) as journal:
        yield book, journal


def by_part(answer):
    return {each.part: each for each in (*answer.known, *answer.unknown)}


def test_a_lot_is_found_laid_in_a_mix_and_only_planned(recalled):
    for book in recalled:
        answer = find(book, Sought("lot", "EX-LT-C2"))
        found = by_part(answer)

        assert answer.lots == ("EX-LT-C2", "EX-LT-M1")
        assert found["EX-61"].how == ("coat 1", "coat 2")
        assert found["EX-61"].state == "released"
        assert found["EX-61"].closed_day == "2026-03-02"
        assert found["EX-61"].prescriber == "EX-P2"
        assert found["EX-62"].how == ("stain 1",)
        assert found["EX-62"].state == "scrapped"
        assert found["EX-63"].sure == "chosen, not used"
        assert answer.unknown == ()


def test_memory_and_disk_answer_alike(recalled):
    memory, disk = recalled
    for sought in (
        Sought("lot", "EX-LT-C2"),
        Sought("lot", "EX-LT-C1"),
        Sought("lamp", "EX-LM-A"),
        Sought("box", "EX-BX-1"),
        Sought("vessel", "EX-GV-01"),
        Sought("operator", "OP-1"),
        Sought("day", "", "2026-03-02", "2026-03-02"),
    ):
        assert find(memory, sought) == find(disk, sought)
        assert find(disk, sought).known, sought


def test_how_lamp_box_and_vessel_were_used(recalled):
    book, _ = recalled
    lamp = by_part(find(book, Sought("lamp", "EX-LM-A")))
    box = by_part(find(book, Sought("box", "EX-BX-1")))
    vessel = by_part(find(book, Sought("vessel", "EX-GV-01")))

    assert lamp["EX-61"].how == ("tacked",)
    assert lamp["EX-63"].sure == "chosen, not used"
    assert box["EX-62"].how == ("box run",)
    assert "submerged" in vessel["EX-61"].how
    assert vessel["EX-62"].sure == "chosen, not used"


def test_days_bound_the_answer(recalled):
    book, _ = recalled
    assert find(book, Sought("lamp", "EX-LM-A", "2026-03-03")).known == ()
    assert find(book, Sought("lamp", "EX-LM-A", "", "2026-03-01")).known == ()
    assert find(book, Sought("day", "", "2026-03-03", "2026-03-04")).known == ()


def test_as_what_a_code_stands_in_the_record(recalled):
    for book in recalled:
        assert kinds_of(book, "EX-LT-M1") == ("lot",)
        assert kinds_of(book, "OP-1") == ("operator",)
        assert kinds_of(book, "EX-61") == ("part",)
        assert kinds_of(book, "EX-NOBODY") == ()


BATHS = """
start 2026-03-02 08:50:00 +01:00
library practice.toml
operator OP-1
fill-bath "Wash 1" 1.0 EX-LT-IPA1
fill-glycerine EX-GV-01 EX-LT-GL9
take-in EX-71 "EX-RC-C r1" EX-LT-C2 coat_lot=EX-LT-C2 lamp=EX-LM-A box=EX-BX-1 \
vessel=EX-GV-01 variant.stain_passes=0
+10s press
+120s press
+10s fill-bath "Wash 1" 1.0 EX-LT-IPA2
+60s take-in EX-72 "EX-RC-C r1" EX-LT-C1 coat_lot=EX-LT-C2 lamp=EX-LM-A \
box=EX-BX-1 vessel=EX-GV-01 variant.stain_passes=0
+10s choose-part EX-72
+10s press
+120s press
""".replace("\\\n", "")


@pytest.fixture(scope="module")
def washed():
    beside = partial(assets.read_text, "demo_cases")
    book = MemoryJournal()
    return played(parse_script(BATHS, name="baths", beside=beside), book), book


def test_a_bath_and_its_solvent_lead_to_what_was_washed_in_it(washed):
    _, book = washed
    first = find(book, Sought("lot", "EX-LT-IPA1"))
    second = find(book, Sought("lot", "EX-LT-IPA2"))
    both = find(book, Sought("bath", "Wash 1"))

    assert [each.part for each in first.known] == ["EX-71"]
    assert [each.part for each in second.known] == ["EX-72"]
    assert first.through == ("EX-LT-IPA1 in Wash 1",)
    assert {each.part for each in both.known} == {"EX-71", "EX-72"}


ROTATED = BATHS.replace(
    'fill-bath "Wash 1" 1.0 EX-LT-IPA1\n',
    'fill-bath "Wash 1" 1.0 EX-LT-IPA1\nfill-bath "Wash 2" 1.0 EX-LT-IPA2\n',
).replace(
    'fill-bath "Wash 1" 1.0 EX-LT-IPA2', 'rotate-baths "Wash 1" "Wash 2" 1.0 EX-LT-IPA3'
)


def test_solvent_is_followed_into_the_bath_whose_place_it_takes():
    """The first bath is poured away, the clean one becomes the first, as benches do."""
    beside = partial(assets.read_text, "demo_cases")
    book = MemoryJournal()
    played(parse_script(ROTATED, name="rotated", beside=beside), book)
    first, clean, fresh = (
        find(book, Sought("lot", f"EX-LT-IPA{n}")) for n in (1, 2, 3)
    )

    assert [each.part for each in first.known] == ["EX-71"]
    assert [each.part for each in clean.known] == ["EX-72"]
    assert clean.through == ("EX-LT-IPA2 in Wash 2", "EX-LT-IPA2 in Wash 1")
    assert (fresh.known, fresh.through) == ((), ("EX-LT-IPA3 in Wash 2",))


MOUTH = """
+10s library scripts/o8_patient_in_chair.toml
+10s take-in EX-73 "EX-RC-SC r1" "" coat_lot=EX-LT-S1 lamp=EX-LM-A box=EX-BX-1 \
vessel=EX-GV-01 before=1400 variant.back_from_mouth=yes variant.faces=biting
""".replace("\\\n", "")


def test_a_part_whose_print_lot_nobody_wrote_is_not_known_and_said_first():
    beside = partial(assets.read_text, "demo_cases")
    book = MemoryJournal()
    played(parse_script(BATHS + MOUTH, name="mouth", beside=beside), book)
    answer = find(book, Sought("lot", "EX-LT-C1"))

    assert [each.part for each in answer.known] == ["EX-72"]
    (unknown,) = answer.unknown
    assert (unknown.part, unknown.how) == ("EX-73", (NEVER_WRITTEN,))
    assert unknown.sure == "not known"
    assert find(book, Sought("lamp", "EX-LM-A")).unknown == ()


def test_what_was_put_right_is_found_as_it_is_true():
    beside = partial(assets.read_text, "demo_cases")
    text = BATHS + (
        '+10s put-right PartTaken EX-72 print_lot EX-LT-C2 "the other bottle"\n'
    )
    book = MemoryJournal()
    played(parse_script(text, name="baths", beside=beside), book)
    was = by_part(find(book, Sought("lot", "EX-LT-C1")))
    now = by_part(find(book, Sought("lot", "EX-LT-C2")))

    assert "EX-72" not in {p for p, each in was.items() if each.sure != "not known"}
    assert now["EX-72"].how == ("print",)
    assert now["EX-72"].sure == "put right"


def test_a_glycerine_lot_leads_to_what_lay_in_its_filling_and_no_other(recalled):
    for book in recalled:
        answer = find(book, Sought("lot", "EX-GL-1"))
        found = by_part(answer)

        assert found["EX-61"].how == ("EX-GL-1 in EX-GV-01",)
        assert "EX-62" not in found  # it was never submerged
        assert "EX-GL-1 in EX-GV-01" in answer.through
    assert find(recalled[0], Sought("lot", "EX-GL-9")).known == ()


def test_what_was_put_right_is_only_planned_where_nothing_was_done_with_it():
    book = MemoryJournal()
    played(load_script("told_wrong_coat"), book)
    # It was told to lie in this vessel, and lay in the other one.
    (told,) = find(book, Sought("vessel", "EX-GV-01")).known
    (true,) = find(book, Sought("vessel", "EX-GV-02")).known

    assert (told.part, told.sure) == ("EX-24", "chosen, not used")
    assert (true.part, true.sure) == ("EX-24", "put right")
    assert "submerged" in true.how
