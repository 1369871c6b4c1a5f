"""What a hand chooses by F-key, row or frame is what is acted on, whatever falls due."""

import random

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtTest import QTest

from benchassist.domain.state import pin_of
from tests.ui.screens import MOMENTS, Stage

SEED, CHOICES = 20261129, 200
SETTLE_LOOKS = 14  # after which a press counts
F_KEYS = {f"F{n}": getattr(Qt.Key, f"Key_F{n}") for n in range(1, 13)}


@pytest.fixture
def stage(tmp_path, _fonts):
    made = Stage(MOMENTS["queue"], tmp_path)
    made.show_on((1366, 768), 0.253, "dark")
    yield made
    made.close()


def by_key(stage, chance):
    """Press the F-key of a tray; return the parts that lie in it."""
    rows = [row for row in stage.bench._view.rows if row.key in F_KEYS]
    row = chance.choice(rows)
    lying = [
        code
        for each in rows
        if each.key == row.key
        for code in (each.code, *each.others)
    ]
    for kind in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease):
        stage._edge(kind, F_KEYS[row.key], "")
        stage.look()
    return lying


def by_row(stage, chance):
    """Tap a row of the list; return its parts."""
    rows = stage.bench._parts.rows
    if not rows.isVisible():
        return by_key(stage, chance)
    layout, row = chance.choice(list(zip(rows.layouts(), rows.seen(), strict=True)))
    point = layout.box.center().toPoint()
    QTest.mouseClick(rows, Qt.MouseButton.LeftButton, pos=point)
    return [row.code, *row.others]


def by_frame(stage, chance):
    """Tab to a part and press Enter; return it."""
    ring = stage.bench._ring
    parts = [stop.name for stop in ring.stops if stop.name.startswith("part ")]
    if not parts:
        return by_key(stage, chance)
    name = chance.choice(parts)
    while ring.framed.name != name:
        stage.press("Tab")
    stage.press("Return")
    return [name.removeprefix("part ")]


def acted_on(entries):
    """Return the parts that events name."""
    found = set()
    for entry in entries:
        part = getattr(entry.event, "part", "")
        found |= {part} if part else set(getattr(entry.event, "parts", ()))
    return found


@pytest.mark.slow  # once, in the checkout
def test_two_hundred_random_choices_act_on_the_part_chosen(stage):
    chance = random.Random(SEED)
    session = stage.player.session
    fell_due = kept = acts = 0
    for _ in range(CHOICES):
        ways = (by_key, by_row, by_frame)
        lying = chance.choice(ways)(stage, chance)
        chosen = session.bench.focus
        assert chosen in lying
        before = pin_of(session.bench.parts[chosen])
        now = sum(row.now for row in stage.bench._view.rows)
        stage.clock.advance(chance.randrange(1_000, 60_000))
        session.tick()
        stage.look()
        fell_due += sum(row.now for row in stage.bench._view.rows) > now
        if pin_of(session.bench.parts[chosen]) != before:
            continue
        kept += 1
        assert session.bench.focus == stage.bench._view.band.code == chosen

        for _ in range(SETTLE_LOOKS):
            stage.look()
        seq = session.bench.seq
        basket = set(session.bench.basket_of(session.bench.parts[chosen]))
        stage.press("Space")
        done = acted_on(entry for entry in session.journal.entries() if entry.seq > seq)
        acts += bool(done)
        assert done <= basket

    assert fell_due >= 3
    assert kept > CHOICES / 2
    assert acts > CHOICES / 10
