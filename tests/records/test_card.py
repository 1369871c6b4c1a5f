"""The paper card: what a person needs when the tool itself has failed.

The numbers are sums that can be done by hand from the invented practice
(``demo_cases/practice.toml``): there is no outside source for them.
"""

from functools import partial
from html.parser import HTMLParser

import pytest

from benchassist import assets
from benchassist.domain import events as ev
from benchassist.domain.state import Store
from benchassist.journal.errors import DamagedJournalError
from benchassist.journal.files import DATABASE
from benchassist.journal.reading import ReadOnlyJournal
from benchassist.records.card import CardError, Printed, card, write_cards
from benchassist.records.card_ahead import ahead
from benchassist.records.card_now import stands
from benchassist.rehearsal import Player, load_script, parse_script, shipped_scripts
from benchassist.rehearsal.memory import MemoryJournal
from benchassist.value import replace
from tests.domain.builders import DENTURE, desk_at
from tests.domain.kept import KeptDesk
from tests.domain.told import report

NEVER = ("safe", "fully cured", "biocompatible", "certified")
EMPTY = {"meta", "br"}


START = """
start 2026-03-02 08:50:00 +01:00
library practice.toml
operator OP-1
"""
TAKEN = """
08:54:00 take-in EX-21 "EX-RC-C r1" EX-LT-C1 coat_lot=EX-LT-C2 stain_lot=EX-LT-M1 \
lamp={lamp} box=EX-BX-1 vessel=EX-GV-01 peg=21 due=11:00 variant.stain_passes={stains}
08:54:00 take-in EX-22 "EX-RC-C r1" EX-LT-C1 coat_lot=EX-LT-C2 lamp=EX-LM-A \
box=EX-BX-1 vessel=EX-GV-01 due=34:00 variant.stain_passes=0
08:54:10 form-basket EX-21,EX-22
"""
CROWNS = TAKEN.replace("\\\n", "").format(lamp="EX-LM-A", stains=1)
IN_ALCOHOL = "08:55:00 start-stage EX-21\n"
DRYING = """
08:58:00 take-out EX-21
08:59:00 start-stage EX-21
09:02:00 take-out EX-21
"""
IN_THE_BOX = """
09:17:00 finish-stage EX-21
09:17:10 confirm-load EX-21,EX-22 EX-BX-1 2200
09:17:13 start-run EX-BX-1
"""
CURED = "09:22:00 tell-run-end R-1 completed\n"
MOUNTED = """
09:24:00 finish-stage EX-21
09:25:00 finish-stage EX-21
09:26:00 finish-stage EX-21
09:27:00 finish-stage EX-21
09:32:00 finish-stage EX-21
09:32:30 finish-stage EX-21
"""
WALKING = """
09:32:40 open-lamp-session EX-LM-A
09:33:00 wet-brush EX-21
09:33:15 start-walk EX-21
"""
COATED = """
09:35:00 wet-brush EX-21
09:35:15 start-walk EX-21
09:37:00 wet-brush EX-21
09:37:15 start-walk EX-21
09:39:00 end
"""


def at(*steps):
    """Return a player after these steps of two crowns."""
    beside = partial(assets.read_text, "demo_cases")
    return played(parse_script(START + "".join(steps), name="crowns", beside=beside))


def rehearsed(script):
    """Return a player at the end of a shipped script."""
    return played(load_script(script))


def played(script):
    book = MemoryJournal()
    player = Player(script, lambda: book)
    for _ in player.moments():
        pass
    return player


def printed_from(player, code):
    """Return the card of a part as HTML."""
    bench = player.session.bench
    log = player.session.journal.history(code)
    return card(bench, bench.parts[code], log, Printed(player.session.now(), bench.seq))


class Text(HTMLParser):
    """The words of a page, block by block, and whether its tags are balanced."""

    def __init__(self):
        super().__init__()
        self.open, self.tags, self.blocks = [], [], [""]

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        if tag not in EMPTY:
            self.open.append(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag
        if tag in ("tr", "p", "h1", "h2", "style", "title"):
            self.blocks.append("")

    def handle_data(self, data):
        if "style" not in self.open:
            self.blocks[-1] += f" {data}"


def read(page):
    """Return the lines of a page as a person reads them."""
    parser = Text()
    parser.feed(page)
    parser.close()
    assert parser.open == []
    return [" ".join(block.split()) for block in parser.blocks if block.strip()]


def line_with(lines, *words):
    found = [line for line in lines if all(word in line for word in words)]
    assert found, f"no line with {words} in {lines}"
    return found[0]


# --- where it is now ---------------------------------------------------------------


def test_in_a_bath_it_says_from_when_and_by_when_it_is_taken_out():
    # At least 2:00 and at most 5:00 from 08:55:00.
    lines = read(printed_from(at(CROWNS, IN_ALCOHOL, "08:56:00 end"), "EX-21"))

    assert line_with(lines, "Wash 1", "08:55:00")
    assert line_with(lines, "08:57:00", "09:00:00")
    assert line_with(lines, "Together with EX-22")


def test_the_solvent_of_all_baths_may_end_a_bath_sooner_than_its_own_maximum():
    # 6:30 of at most 10:00 leave 3:30, less than the 5:00 of this bath.
    second = "09:01:30 take-out EX-21\n09:01:40 start-stage EX-21\n"
    lines = read(printed_from(at(CROWNS, IN_ALCOHOL, second), "EX-21"))

    assert line_with(lines, "09:03:40", "09:05:10")


def test_while_drying_it_says_from_when_it_is_dry():
    # Out of the second bath at 09:02:00, at least 15:00.
    lines = read(printed_from(at(CROWNS, IN_ALCOHOL, DRYING), "EX-21"))

    assert line_with(lines, "Dry from 09:17:00 on")


def test_in_the_box_it_says_when_the_run_ends_and_that_nothing_counts_unseen():
    # 2200 flashes at 8 a second are 4:35, from 09:17:13; 5:00 later it is late.
    player = at(CROWNS, IN_ALCOHOL, DRYING, IN_THE_BOX)
    lines = read(printed_from(player, "EX-21"))

    found = line_with(lines, "EX-BX-1", "2200 flashes", "09:17:13", "09:21:48")
    assert "09:26:48" in found
    assert line_with(lines, "counts", "seen")
    assert line_with(lines, "First half", "0–0 of 2200")
    assert line_with(lines, "Together with EX-22")


def test_a_run_that_nobody_watched_says_between_what_and_what_it_was():
    player = at(CROWNS, IN_ALCOHOL, DRYING, IN_THE_BOX, "09:18:13 crash 20s\n")
    run = player.session.bench.runs["R-1"]
    lines = read(printed_from(player, "EX-21"))

    # 60 s at 8 flashes a second, seen to within a heartbeat of 5 s before and after.
    low, high = run.interrupted
    assert 440 <= low <= 480 <= high <= 520
    assert line_with(lines, "away", f"{low} to {high}")


def test_in_a_walk_it_says_the_spot_and_when_it_has_been_wet_too_long():
    # Wet from 09:33:00 for 120 s at most. Light from 09:33:15: 10 s, then 3 s to move.
    lit = "09:33:30 end"
    player = at(CROWNS, IN_ALCOHOL, DRYING, IN_THE_BOX, CURED, MOUNTED, WALKING, lit)
    lines = read(printed_from(player, "EX-21"))

    assert line_with(lines, "Stain, pass 1", "09:33:00", "09:35:00")
    assert line_with(lines, "mesial", "starts whole", "4 of this segment")
    assert line_with(lines, "5 spots × 10 s", "EX-LM-A", "1 of 5", "EX-LT-M1")


def test_a_tacked_coat_in_the_open_is_under_cover_by_its_limit():
    # The last spot ended at 09:37:15 + 5 × 10 s + 4 × 3 s = 09:38:17; 20:00 more.
    steps = (CROWNS, IN_ALCOHOL, DRYING, IN_THE_BOX, CURED, MOUNTED, WALKING, COATED)
    lines = read(printed_from(at(*steps), "EX-21"))

    assert line_with(lines, "Tacked", "under cover by 09:58:17")
    assert line_with(lines, "Coat 2", "5 spots, 0:50 of light, EX-LM-A")


def test_a_part_on_hold_goes_on_by_its_limit():
    # Held at 11:21:10 of the shipped day, for 8 h at most.
    lines = read(printed_from(rehearsed("day"), "EX-10"))

    assert line_with(lines, "On hold", "11:21:10")
    assert line_with(lines, "19:21:10")


def test_a_loaded_box_that_was_not_started_says_so():
    loaded = IN_THE_BOX.replace("09:17:13 start-run EX-BX-1", "")
    player = at(CROWNS, IN_ALCOHOL, DRYING, loaded)

    found = line_with(read(printed_from(player, "EX-21")), "Loaded", "not started")
    assert "EX-BX-1 with 2200 flashes" in found


def test_a_part_that_is_closed_stands_where_and_when_it_was_closed():
    player = rehearsed("o1_plain_crown")
    bench, now = player.session.bench, player.session.now()
    (part,) = bench.parts.values()

    assert stands(bench, part, now)[0].startswith("Released at ")


def test_a_day_that_is_not_today_is_named():
    lines = read(printed_from(at(CROWNS), "EX-22"))

    assert line_with(lines, "Due Tue 3 Mar 10:00")
    assert line_with(read(printed_from(at(CROWNS), "EX-21")), "Due 11:00")


# --- what is still to do -----------------------------------------------------------


def test_a_part_not_begun_has_every_stage_with_its_numbers():
    lines = read(printed_from(at(CROWNS), "EX-21"))

    assert line_with(lines, "print EX-LT-C1, printed 2026-03-02")
    assert line_with(lines, "Wash 1", "at least 2:00", "at most 5:00")
    assert line_with(lines, "in solvent so far 0:00 of 10:00")
    assert line_with(lines, "Dry", "15:00")
    assert line_with(lines, "First half", "2200 flashes", "EX-BX-1", "4:35")
    # 4.2 J/cm² / 420 mW/cm² = 10 s a spot; 8 spots of 13 s fit 2:00 after 15 s.
    assert line_with(lines, "Coat 2", "5 spots × 10 s", "EX-LM-A", "3 s to move")
    assert line_with(lines, "Coat 2", "at most 8 spots at once", "wet at most 2:00")
    assert line_with(lines, "Submerge", "EX-GV-01", "2 of 5")
    assert line_with(lines, "Second half", "2200 flashes", "coat-2: 0–0 of 2200")
    assert line_with(lines, "Rinse", "0:45")
    for check in (
        "tack-free after rinsing",
        "inspection",
        "occlusion",
        "shade",
        "label",
    ):
        assert line_with(lines, f"Check: {check}")
    for title in ("Take the supports off", "Refine", "Clean", "Mount", "Release"):
        assert line_with(lines, title)


def test_a_hold_between_the_halves_is_covered_and_dark_and_no_longer_than_its_limit():
    held = CROWNS.replace("stain_passes=1", "stain_passes=1 variant.hold_between=true")
    lines = read(printed_from(at(held), "EX-21"))

    assert line_with(lines, "Hold", "covered, dark", "at most 8:00:00")


def test_a_box_that_is_not_chosen_is_left_to_be_filled_in():
    open_box = 'take-in EX-31 "EX-RC-T r1" EX-LT-C1 reason="boxes are away"\n'
    lines = read(printed_from(at(open_box), "EX-31"))

    assert line_with(lines, "Whole cure", "set 4400 flashes on ____")


def test_bubbles_have_their_time_and_then_the_box_its_run():
    player = Player(load_script("o10_floater_bubbles"), MemoryJournal)
    for _ in player.moments():
        part = player.session.bench.parts.get("EX-30")
        if part and (part.stage.key, part.phase.kind) == ("submerge", "soaking"):
            break
    lines = read(printed_from(player, "EX-30"))

    assert line_with(lines, "The bubbles have had their time at", "then the box")


def test_every_line_to_do_has_a_box_a_time_and_initials():
    player = at(CROWNS)
    bench = player.session.bench
    parser = Text()
    parser.feed(printed_from(player, "EX-21"))
    kinds = [attrs.get("class") for _, attrs in parser.tags]
    part = bench.parts["EX-21"]

    # Each stage but the checks, each check, the release, and a few blank lines.
    assert kinds.count("box") >= len(part.route) + len(bench.checks_of(part))
    assert kinds.count("fill") == 2 * kinds.count("box")


def test_what_is_done_is_no_longer_to_do():
    player = at(CROWNS, IN_ALCOHOL, DRYING, IN_THE_BOX, CURED)
    lines = read(printed_from(player, "EX-21"))
    first, last = lines.index("To do, in this order"), lines.index("Done to EX-21")
    to_do, done = lines[first:last], lines[last:]

    assert "Wash 1" not in " ".join(to_do)
    assert line_with(to_do, "Take the supports off")
    # In at 08:55:00, out at 08:58:00.
    assert line_with(done, "Wash 1", "08:55:00", "08:58:00", "3:00", "OP-1")
    assert line_with(done, "First half", "2200–2200", "observed", "OP-1")


def test_both_sides_have_their_counts_in_both_halves():
    # 1200 a side, two sides, in two halves of 600 each.
    denture = (
        'take-in EX-27 "EX-RC-D r1" EX-LT-D1 coat_lot=EX-LT-D1 lamp=EX-LM-A'
        " box=EX-BX-1 vessel=EX-GV-03\n"
    )
    lines = read(printed_from(at(denture), "EX-27"))

    for half in ("First half", "Second half"):
        for side in ("A", "B"):
            found = line_with(lines, f"{half}, side {side}", "set 600 flashes")
            assert "0–0 of 600" in found
    assert line_with(lines, "Flip to side B")


def test_a_coat_that_comes_again_has_its_second_half_to_set():
    """Without its count on paper the new coat would go without half of its cure."""
    desk = desk_at("checks")
    report(desk, "touched", "yes")
    to_do = [(each.what, each.numbers) for each in ahead(desk.bench, desk.part())]
    (numbers,) = [numbers for what, numbers in to_do if what == "Second half"]

    assert numbers[0] == "coat-2-again-1: 0–0 of 2200 flashes so far"
    assert numbers[1].startswith("set 2200 flashes on BX-1")


def test_a_side_that_had_its_half_has_nothing_more_to_set():
    """Its dose was told for the wrong side: the one ahead has what it is owed."""
    desk = KeptDesk()
    desk.take("EX-1", recipe=DENTURE)
    desk.work("EX-1", "flip-1")
    desk.put_right(desk.last(ev.DoseCredited), "side", "B")
    told = {each.what: each.numbers for each in ahead(desk.bench, desk.part())}

    assert told["First half, side B"] == ("body: 600–600 of 600 flashes so far",)
    assert told["First half, side A"][1].startswith("set 600 flashes")


def test_a_count_in_several_runs_has_a_line_for_each():
    # 4400 flashes of a box that does at most 3000: 3000, then 1400.
    try_in = 'take-in EX-31 "EX-RC-T r1" EX-LT-C1 box=EX-BX-1\n'
    first_run = """
09:17:00 finish-stage EX-21
09:17:10 confirm-load EX-21 EX-BX-1 3000
09:17:13 start-run EX-BX-1
09:24:00 tell-run-end R-1 completed
"""
    first = f"{try_in}{IN_ALCOHOL}{DRYING}{first_run}"
    before = read(printed_from(at(try_in), "EX-31"))
    after = read(printed_from(at(first.replace("EX-21", "EX-31")), "EX-31"))

    assert line_with(before, "Whole cure", "0–0 of 4400", "set 3000 flashes")
    assert line_with(before, "Whole cure, then", "set 1400 flashes")
    assert line_with(after, "Whole cure", "3000–3000 of 4400", "set 1400 flashes")
    assert line_with(after, "Whole cure", "3000–3000 flashes, observed")


def test_a_lamp_that_will_not_do_says_stop_instead_of_seconds():
    taken = TAKEN.replace("\\\n", "").format(lamp="EX-LM-B", stains=0)
    lines = read(printed_from(at(taken), "EX-21"))

    found = line_with(lines, "Coat 1", "EX-LM-B")
    assert "do not wet the brush" in found
    assert "spots ×" not in found


def test_a_lamp_that_is_slow_says_so_with_its_seconds():
    # 4.2 J/cm² / 252 mW/cm² = 17 s, planned 15 s.
    taken = TAKEN.replace("\\\n", "").format(lamp="EX-LM-C", stains=0)
    found = line_with(read(printed_from(at(taken), "EX-21")), "Coat 1")

    assert "5 spots × 17 s with EX-LM-C" in found
    assert "marginal" in found


def test_glycerine_that_no_part_may_go_into_says_stop_instead():
    """Paper asks for no less than the bench: its gate's own words stand there."""
    player = at(CROWNS)
    bench = player.session.bench
    used = line_with(read(printed_from(player, "EX-21")), "Submerge", "EX-GL-1")

    assert "2 of 5 immersions so far, each part is one more" in used
    assert "STOP" not in used

    fill = bench.fills["EX-GV-01"]
    for fills, words in (
        ({"EX-GV-01": replace(fill, immersions=5)}, "5 + 1 = 6 immersions, 5 allowed"),
        ({"EX-GV-01": replace(fill, spoilt="resin in it")}, "spoilt (resin in it)"),
        ({"EX-GV-01": replace(fill, percent=80.0)}, "80 % glycerine, the rest water"),
        ({}, "EX-GV-01 is not filled. Fill it"),
    ):
        worn = replace(bench, fills=fills)
        page = card(
            worn, worn.parts["EX-21"], (), Printed(player.session.now(), worn.seq)
        )
        assert words in line_with(read(page), "Submerge", "STOP")


def test_open_deviations_are_told_and_assessed_ones_with_their_decision():
    player = rehearsed("day")

    assert line_with(read(printed_from(player, "EX-07")), "OPEN", "shade")
    assert line_with(read(printed_from(player, "EX-10")), "use as is", "Wash 1")


def test_the_steps_of_a_mishap_are_on_it():
    player = at(CROWNS, IN_ALCOHOL, DRYING, IN_THE_BOX, CURED)
    bench = player.session.bench
    told = ev.MishapReported(
        "EX-21", "dropped", "none", (), "Dropped on the floor", ("Rinse it.", "Look."),
        (), scrap=False,
    )  # fmt: skip
    bench = replace(bench, advised={"EX-21": told})
    page = card(
        bench, bench.parts["EX-21"], (), Printed(player.session.now(), bench.seq)
    )

    assert line_with(read(page), "Advised: Dropped on the floor")
    assert line_with(read(page), "Rinse it.")


def test_what_was_put_right_is_marked_with_the_entry_that_did():
    player = rehearsed("told_wrong_box")
    lines = read(printed_from(player, "EX-25"))

    assert line_with(lines, "1000–1000 flashes", "put right, entry")
    # A "done" that was taken back stays readable, and says that it did not happen.
    assert line_with(lines, "(did not happen)", "put right, entry")
    assert not [line for line in lines if "2200–2200" in line and "EX-25" in line]


def test_what_was_entered_late_has_both_its_times():
    player = rehearsed("late_from_paper")
    lines = read(printed_from(player, "EX-21"))

    assert line_with(lines, "08:55:00 to 08:58:00", "Wash 1", "entered late, 11:56:00")


# --- the page itself ---------------------------------------------------------------


@pytest.fixture(scope="module")
def every_card():
    """Return the cards of all parts at the end of every shipped script."""
    pages = {}
    for script in shipped_scripts():
        player = rehearsed(script)
        for part in player.session.bench.in_flight:
            pages[f"{script} {part.code}"] = printed_from(player, part.code)
    steps = (CROWNS, IN_ALCOHOL, DRYING, IN_THE_BOX, CURED, MOUNTED, WALKING)
    for n in range(1, len(steps) + 1):
        player = at(*steps[:n])
        for code in ("EX-21", "EX-22"):
            pages[f"{n} {code}"] = printed_from(player, code)
    return pages


def test_no_card_says_of_a_part_what_nobody_can_know(every_card):
    assert len(every_card) > 15
    for name, page in every_card.items():
        words = " ".join(read(page)).lower()
        assert not [word for word in NEVER if word in words], name
        assert "fit on the model only; not for a mouth until released" in words
        assert "instructions for use" in words
        assert "local rules" in words
        assert "example" in words


def test_a_card_needs_nothing_but_itself(every_card):
    for page in every_card.values():
        read(page)  # its tags are balanced
        parser = Text()
        parser.feed(page)
        tags = {tag for tag, _ in parser.tags}
        attributes = {name for _, attrs in parser.tags for name in attrs}
        assert not tags & {"script", "link", "img", "iframe", "object"}
        assert not attributes & {"src", "href", "onload", "onclick", "style"}
        assert "url(" not in page
        assert "@page" in page
        assert "A5" in page


def test_a_card_says_what_it_is_and_what_it_was_printed_from():
    player = at(CROWNS, "09:12:30 end")
    page = printed_from(player, "EX-21")
    lines = read(page)
    seq = player.session.bench.seq

    assert "<h1>EX-21</h1>" in page
    assert line_with(lines, "EX-21: what, with which numbers")  # on every sheet
    assert "<thead>" in page
    assert line_with(lines, "crown", "peg or place: 21")
    assert line_with(lines, "EX-RC-C r1", "EX-IFU-3", "validated here", "EX-VR-07")
    assert line_with(lines, "EX-LT-C1", "EX-LT-C2", "EX-LT-M1")
    assert line_with(lines, "2 Mar 2026 09:12:30", "UTC+0100", f"entry {seq}")


@pytest.mark.parametrize(
    ("kind", "mark"),
    [
        ("real", ""),
        ("demo", "EXAMPLE"),
        ("rehearsal", "EXAMPLE"),
        ("training", "TRAINING"),
    ],
)
def test_the_mark_of_the_store_is_on_every_card(kind, mark):
    player = at(CROWNS)
    bench = player.session.bench
    bench = replace_store(bench, kind)
    page = card(
        bench, bench.parts["EX-21"], (), Printed(player.session.now(), bench.seq)
    )
    words = " ".join(read(page))

    for each in ("EXAMPLE", "TRAINING"):
        assert (each in words) == (each == mark)


def replace_store(bench, kind):
    return replace(bench, store=Store(kind, "s", "x", "UTC"))


def test_what_people_typed_is_text_and_never_markup():
    player = at(CROWNS)
    bench = player.session.bench
    part = replace(
        bench.parts["EX-21"], code="<K&1>", basket="", peg='"><script>x</script>'
    )
    bench = replace(bench, parts={part.code: part})
    page = card(bench, part, (), Printed(player.session.now(), 7, "<b>worn</b>"))

    assert "<h1>&lt;K&amp;1&gt;</h1>" in page
    assert "<script" not in page
    assert "&lt;b&gt;worn&lt;/b&gt;" in page
    assert line_with(read(page), "<K&1>")


def test_a_card_of_half_a_record_says_so():
    player = at(CROWNS)
    bench = player.session.bench
    told = "Entry 9 is missing. What came after entry 8 is not known."
    page = card(
        bench, bench.parts["EX-21"], None, Printed(player.session.now(), 8, told)
    )
    lines = read(page)

    assert line_with(lines, told)
    assert line_with(lines, "What was done", "cannot be read")


# --- files -------------------------------------------------------------------------


@pytest.fixture(scope="module")
def morning(tmp_path_factory):
    """Return the folder of the shipped day, with six parts in flight at its end."""
    folder = tmp_path_factory.mktemp("morning")
    player = rehearsed("day")
    player.session.journal.write(folder).close()
    return folder, player.session


def written(morning, out, parts=()):
    folder, session = morning
    with ReadOnlyJournal.open(folder) as journal:
        printed = Printed(session.now(), session.bench.seq)
        return write_cards(journal, session.bench, out, printed, parts)


def test_every_part_in_flight_has_a_file_of_its_own(morning, tmp_path):
    paths = written(morning, tmp_path / "out")
    seq = morning[1].bench.seq

    codes = [part.code for part in morning[1].bench.in_flight]
    assert [path.name for path in paths] == [
        f"EXAMPLE-card-{code}-seq-{seq}.html" for code in codes
    ]
    assert sorted(paths) == sorted((tmp_path / "out").iterdir())
    for path, code in zip(paths, codes, strict=True):
        assert line_with(read(path.read_text("utf-8")), code)
    assert line_with(read(paths[0].read_text("utf-8")), "Wash 1", "OP-1")


def test_only_the_parts_that_are_asked_for_are_written(morning, tmp_path):
    paths = written(morning, tmp_path, ("EX-12", "EX-10"))

    assert [path.name.split("-seq")[0] for path in paths] == [
        "EXAMPLE-card-EX-12",
        "EXAMPLE-card-EX-10",
    ]


@pytest.mark.parametrize("parts", [("EX-99",), ("EX-10", "ex-10"), ("EX-11",)])
def test_a_part_that_is_not_in_flight_is_said_and_nothing_is_written(
    morning, tmp_path, parts
):
    with pytest.raises(CardError, match="EX-12") as told:
        written(morning, tmp_path / "out", parts)

    assert parts[-1] in str(told.value)
    assert not (tmp_path / "out").exists()


def test_a_bench_without_parts_has_nothing_to_print(tmp_path):
    player = at("08:54:00 end\n")
    player.session.journal.write(tmp_path / "bench").close()

    with pytest.raises(CardError, match="No part is in flight"):
        written((tmp_path / "bench", player.session), tmp_path / "out")


def test_a_folder_that_refuses_is_said_and_leaves_no_half_file(morning, tmp_path):
    (tmp_path / "file").write_text("in the way")
    name = f"EXAMPLE-card-EX-10-seq-{morning[1].bench.seq}.html"
    (tmp_path / "out" / name).mkdir(parents=True)

    for out in (tmp_path / "file", tmp_path / "out"):
        with pytest.raises(CardError, match="choose another folder") as told:
            written(morning, out, ("EX-10",))
        assert str(out) in str(told.value)

    assert [path.name for path in (tmp_path / "out").iterdir()] == [name]


def test_a_code_with_any_letters_stays_in_the_folder(morning, tmp_path):
    folder, session = morning
    bench = session.bench
    codes = ("../up", "a/b", "a\\b", "c:d", "ü 1", "..")
    part = bench.parts["EX-10"]
    parts = {code: replace(part, code=code, basket="") for code in codes}
    session = replace_bench(session, replace(bench, parts=parts))

    paths = written((folder, session), tmp_path / "out")

    assert len({path.name for path in paths}) == len(codes)
    assert sorted(paths) == sorted((tmp_path / "out").iterdir())
    assert not [path.name for path in paths if set(path.name) & set('\\/:*?"<>| ')]


def replace_bench(session, bench):
    class Shown:
        now = session.now

    Shown.bench = bench
    return Shown


def test_writing_cards_writes_nothing_to_the_journal(morning, tmp_path):
    before = (morning[0] / DATABASE).read_bytes()

    written(morning, tmp_path)

    assert (morning[0] / DATABASE).read_bytes() == before


def test_an_index_that_cannot_be_read_costs_only_what_was_done(morning, tmp_path):
    folder, session = morning

    class Indexless(ReadOnlyJournal):
        def entries_of(self, *_asked, **_named):
            raise self.error

    with Indexless.open(folder) as journal:
        Indexless.error = DamagedJournalError(folder, ("torn",))
        printed = Printed(session.now(), session.bench.seq)
        (path,) = write_cards(journal, session.bench, tmp_path, printed, ("EX-10",))

    assert line_with(read(path.read_text("utf-8")), "What was done", "cannot be read")
