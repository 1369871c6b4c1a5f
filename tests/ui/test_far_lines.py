"""What is said across the room fits its line, and NEXT is one of the rows."""

import random
from functools import partial

import pytest

from benchassist.clock import SimulatedClock
from benchassist.domain import commands as cm
from benchassist.domain.state import pin_of
from benchassist.rehearsal import Player, load_script, shipped_scripts
from benchassist.rehearsal.memory import MemoryJournal
from benchassist.ui.lines import FarLine, FarText
from benchassist.ui.present.look import look

SEED = 20260514
CHOICES = 200  # of trays, at random, while parts fall due


def _same(book):
    return book


@pytest.fixture(params=shipped_scripts(), scope="module")
def views(request):
    """Return a look after every event of a script."""
    player = Player(load_script(request.param), partial(_same, MemoryJournal()))
    last, found = -1, []
    for _ in player.moments():
        bench = player.session.bench
        if bench.seq != last:
            last = bench.seq
            found.append(look(bench, player.session.now()))
    player.close()
    return found


@pytest.mark.parametrize("screen", ["narrow", "small"])
def test_next_and_pedal_fit_one_line(views, screen, themes, qtbot):
    line = FarLine(themes(screen))
    qtbot.addWidget(line)
    wide = {"narrow": 1024, "small": 1366}[screen]
    one = line.height_for(wide)
    long = set()
    for view in views:
        for text, short in (
            (view.next_line, view.next_short),
            (view.pedal_line, view.pedal_short),
        ):
            line.show_view(FarText("PEDAL", text, short=short if wide < 1366 else ""))
            if line.height_for(wide) > one:
                long.add((text, short))

    assert not long


def test_next_says_the_words_and_the_number_of_the_row_that_is_marked(views):
    for view in views:
        marked = [row for row in view.rows if row.next]
        if not marked:
            assert view.next_line == "nothing else waits"
            continue
        (row,) = marked
        assert not row.focused
        assert view.next_line.startswith(f"{row.code}: {row.far or row.line}")
        assert row.right in view.next_line
        assert view.slim.next_code == row.code


def test_a_tray_keeps_its_key_from_intake_to_closing():
    """Only a basket that a hand forms, joins or parts moves one to another tray."""
    for name in shipped_scripts():
        player = Player(load_script(name), partial(_same, MemoryJournal()))
        lay = {}
        for _ in player.moments():
            bench = player.session.bench
            for part in bench.in_flight:
                mates = bench.baskets.get(part.basket, ())
                tray, before = lay.get(part.code, (part.tray, mates))
                assert part.tray == tray or mates != before, (name, part.code)
                lay[part.code] = part.tray, mates
        player.close()


def test_what_a_hand_chose_stays_in_front_while_others_fall_due():
    script = load_script("day")
    clock = SimulatedClock(script.start)
    player = Player(script, partial(_same, MemoryJournal()), clock=clock)
    chance = random.Random(SEED)
    session = player.session
    for _ in player.moments():
        if len(session.bench.in_flight) >= 9:
            break
    for _ in range(CHOICES):
        part = chance.choice(session.bench.in_flight)
        session.handle(cm.ChoosePart(part.code), "hand")
        chosen = pin_of(session.bench.parts[part.code])
        for _ in range(3):
            clock.advance(chance.randrange(1_000, 40_000))
            session.tick()
            if pin_of(session.bench.parts[part.code]) == chosen:
                assert session.bench.focus == part.code
    player.close()
