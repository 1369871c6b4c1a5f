"""A crown by hand alone: keys and foot, from the letter N to the signature.

Every key is a key event of the window; time is that of the rehearsed bench. What is
pressed is what the screen says: a digit, Enter, a hold, the foot.
"""

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtTest import QTest

from benchassist.domain import events as ev
from benchassist.domain.state import Brushing, Closed, InRun, Ready, Soaking, Walking
from benchassist.ui.beside import Beside
from benchassist.ui.present.sheet import SheetLine, SheetRow
from benchassist.ui.sheet import RowButton
from benchassist.ui.view import Option
from tests.ui.screens import Moment, Stage

OPEN = Moment("change_over", "# A gap is refused")  # the practice, an operator, nothing
HOLD_LOOKS = 24  # of 100 ms: longer than the 2 s of a hold


class ByHand(Stage):
    """A window that is only ever touched by its keys and its foot."""

    def keys(self, *names):
        for name in names:
            self.press(name)

    def typed(self, text, *, held=False):
        """Type into the field that was opened, and confirm."""
        field = self.window.focusWidget()
        assert field is not None, "no field asks for words"
        QTest.keyClicks(field, text)
        (self.hold if held else self.press)("Return")

    def hold(self, name):
        """Keep a key down for longer than a hold takes."""
        code = getattr(Qt.Key, f"Key_{name}")
        text = name if len(name) == 1 else ""
        self._edge(QEvent.Type.KeyPress, code, text)
        for _ in range(HOLD_LOOKS):
            self.look()
        self._edge(QEvent.Type.KeyRelease, code, text)
        self.look()

    def foot(self, *, long=False):
        for _ in range(20):
            self.look()  # the screen has stood still long enough
        self._edge(QEvent.Type.KeyPress, Qt.Key.Key_Space, " ")
        for _ in range(17 if long else 1):
            self.look()
        self._edge(QEvent.Type.KeyRelease, Qt.Key.Key_Space, " ")
        for _ in range(4):
            self.look()

    def later(self, seconds):
        for _ in range(-(-round(seconds * 1000) // 1000)):
            self.clock.advance(1000)
            self.player.session.tick()
        self.look()

    @property
    def bench_now(self):
        return self.player.session.bench

    @property
    def sheet(self):
        page = self.window.findChild(RowButton).parentWidget()
        return page._sheet

    def kinds(self):
        entries = self.player.session.journal.entries()
        return [type(entry.event).__name__ for entry in entries]


@pytest.fixture
def by_hand(tmp_path):
    stage = ByHand(OPEN, tmp_path)
    yield stage
    stage.close()


def take_crown(stage, code="EX-41", kind="Crown", count=1):
    stage.keys("N", "1")
    while kind not in stage.sheet.rows[0].value:
        stage.keys("Right")
    stage.keys("2", *("Right",) * (count - 1), "3")
    stage.typed(code)
    stage.keys("Return")  # how
    while stage.sheet.rows[0].value != "none":
        stage.keys("1", "Right")  # no stain on this one
    vessel = next(row for row in stage.sheet.rows if row.name == "vessel")
    if "too many" in vessel.note:
        stage.keys(vessel.option.key, "Right")  # another filling has room for all
    stage.keys("Return", "Return")  # where, and in
    stage.keys("Escape")


def test_a_crown_is_taken_in_and_coated_to_its_release_by_hand_alone(by_hand):
    stage = by_hand
    take_crown(stage)
    part = stage.bench_now.parts["EX-41"]
    assert part.coat_lot
    assert part.lamp == "EX-LM-A"

    for _ in range(120):
        part = stage.bench_now.parts["EX-41"]
        if isinstance(part.phase, Closed):
            break
        step(stage, part)
    assert part.phase.how == "released"
    assert set(part.work) == {"coat-1", "coat-2"}
    assert "PartReleased" in stage.kinds()


@pytest.mark.slow
@pytest.mark.parametrize(("kind", "count"), [("Veneer", 4), ("Splint", 1)])
def test_a_basket_of_veneers_and_a_splint_go_the_same_way(by_hand, kind, count):
    stage = by_hand
    take_crown(stage, kind=kind, count=count)
    assert len(stage.bench_now.parts) == count
    assert {part.tray for part in stage.bench_now.parts.values()} == {1}

    for _ in range(400):
        left = stage.bench_now.in_flight
        if not left:
            break
        for _ in range(count):
            if stage.bench_now.focused in left:
                break
            stage.keys("F1")
        step(stage, stage.bench_now.focused)
    assert [part.phase.how for part in stage.bench_now.parts.values()] == (
        ["released"] * count
    )


def step(stage, part):
    """Do what the screen asks next, as a hand and a foot would."""
    match part.phase:
        case Walking(light_ms=light, move_ms=move):
            stage.later((light + move) / 1000)
        case Brushing():
            stage.later(15)
            stage.foot()
        case Soaking():
            stage.later(max(1, part.stage.min_s))
            stage.foot()
        case InRun(run=name):
            run = stage.bench_now.runs[name]
            stage.later(run.planned / run.rate_hz + 20)
            stage.hold("1")
        case Ready():
            begin(stage, part)


def begin(stage, part):
    kind, bench = part.stage.kind, stage.bench_now
    if (
        (kind == "box" and part.box not in bench.loads)
        or kind == "submerge"
        or (kind in ("coat", "stain") and bench.lamp_session is None)
    ):
        stage.hold("Return")
    elif kind == "checks":
        for n in range(1, len(bench.checks_of(part)) + 1):
            stage.press(str(n))
        if stage.bench_now.unconfirmed:
            stage.press("O")
            stage.typed("OP-1")  # still here: time has passed since the last key
        stage.press("Return")
        stage.typed("OP-1", held=True)  # the own code signs
    elif kind in ("wash", "rinse", "coat", "stain", "box"):
        stage.foot()
    else:
        stage.foot(long=True)


def test_the_draft_is_empty_after_success_and_kept_before_it(by_hand):
    stage = by_hand
    stage.keys("N", "Return")
    stage.typed("EX-41")
    stage.keys("Escape", "N")
    assert stage.sheet.rows[2].value == "EX-41"  # kept
    stage.keys("Escape")

    take_crown(stage, "EX-42")
    stage.keys("N")
    assert stage.sheet.rows[2].value == "–"


def test_a_name_typed_by_hand_is_refused_and_asked_again_in_its_row(by_hand):
    stage = by_hand
    stage.keys("N", "Return")
    stage.typed("Erika Muster")

    assert "one word" in stage.sheet.error
    assert stage.sheet.framed == "code"
    assert stage.bench_now.parts == {}
    stage.keys("3")
    stage.typed("EX-41")
    assert stage.sheet.error == ""


def test_a_coat_more_is_changed_by_keys_with_its_way_shown_before(by_hand):
    stage = by_hand
    take_crown(stage)
    stage.keys("C", "Right")
    assert any(line.text == "Coat 3" for line in stage.sheet.lines)
    assert "PartChanged" not in stage.kinds()
    stage.keys("Return")
    stage.typed("thin at spot 14")
    stage.hold("Return")

    part = stage.bench_now.parts["EX-41"]
    assert part.variant.coats == 3
    changed = [
        entry.event
        for entry in stage.player.session.journal.entries()
        if isinstance(entry.event, ev.PartChanged)
    ]
    assert changed[0].reason == "thin at spot 14"


def test_a_row_answers_to_the_mouse_as_to_its_key(by_hand):
    stage = by_hand
    take_crown(stage)
    stage.keys("C")
    row = next(
        each
        for each in stage.window.findChildren(RowButton)
        if each.isVisible() and each.view.name == "coats"
    )
    QTest.mouseClick(row, Qt.MouseButton.LeftButton)
    assert stage.sheet.rows[0].value == "3"


def fill(stage, *texts):
    """Type into one field of a form after the other, and hand it in."""
    for n, text in enumerate(texts):
        if n:
            QTest.keyClick(stage.window.focusWidget(), Qt.Key.Key_Tab)
        field = stage.window.focusWidget()
        if text is not None:  # else what was offered stays
            field.clear()
            QTest.keyClicks(field, text)
    stage.press("Return")


def test_the_glycerine_limit_is_raised_by_hand_with_its_record(by_hand):
    stage = by_hand
    stage.keys("E", "0", "1")
    fill(stage, "7", "EX-VAL-3", "2", "EX-VR-17", "2026-12-31", "haze")
    stage.hold("Return")

    assert stage.bench_now.validated["glycerine_immersions"].value == 7


def test_a_bottle_is_put_away_and_codes_get_a_shape_by_hand(by_hand):
    stage = by_hand
    stage.keys("E", "0", "2")
    lot = stage.window.focusWidget().currentData()
    fill(stage, None, "empty")
    stage.hold("Return")
    assert lot in stage.bench_now.closed_lots

    stage.keys("Escape", "E", "0", "3")
    fill(stage, None, "K-##", "as we write them")
    stage.hold("Return")
    assert stage.bench_now.code_shapes == {"part": "K-##"}


@pytest.mark.parametrize("screen", ["small", "large"])
def test_a_tag_holds_its_code_and_what_its_slip_says(themes, qtbot, screen):
    beside = Beside(themes(screen))
    qtbot.addWidget(beside)
    beside.resize(600, 500)
    beside.show_view(
        (
            SheetLine("EX-41", "tooth 14, A2, upper", "tag"),
            SheetLine("EX-42", "tooth 15", "tag"),
            SheetLine("Tray 3", "2 in: EX-41, EX-42"),
        )
    )

    *slips, tray, _inside = beside.runs()
    tags = beside._tags
    held = [[tag.contains(run.rect) for tag in tags] for run in slips]

    assert len(slips) == 4
    assert all(sum(each) == 1 for each in held)
    assert not any(tag.intersects(tray.rect) for tag in tags)


def test_a_note_with_no_room_is_left_out_whole_and_kept_for_the_foot(themes, qtbot):
    note = "a note that is far too long for what is left of a narrow row"
    row = RowButton(themes("small"), None)
    qtbot.addWidget(row)
    row.name_px = 100.0
    row.show_view(SheetRow("a", Option("Name", "1", None), "value", note=note))
    row.resize(320, 40)
    narrow = " ".join(run.text for run in row.runs())
    kept = row.left_out
    row.resize(1300, 40)
    row.renew()  # as a widget that is not seen hears of no new size

    assert "note" not in narrow
    assert kept == note
    assert note in " ".join(run.text for run in row.runs())
    assert row.left_out == ""
