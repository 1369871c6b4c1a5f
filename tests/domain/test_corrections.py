"""What was told wrong and put right is as if it had been told right at once.

The property is its own evidence: two benches live through the same random day, one is
told wrong and put right, the other is told right. The sums in the examples are counts
that can be added by hand.
"""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain import library as lib
from benchassist.domain.correction.decide import corrected
from benchassist.domain.correction.effects import effects
from benchassist.domain.correction.gathered import gather
from benchassist.domain.correction.told import TOLD, tellings
from benchassist.domain.deciders.box import planned_count
from benchassist.domain.evolve.anew import folded
from benchassist.domain.library import Variant
from benchassist.domain.outcome import Refusal
from benchassist.domain.state import Closed, InRun, Ready, Soaking, Walking
from benchassist.domain.truth import field_of
from benchassist.ui.present.look import look
from benchassist.value import replace
from tests.domain.builders import CROWN, DENTURE, SPLINT, code_of
from tests.domain.kept import KeptDesk, deviations
from tests.domain.told import report

CODES = ("EX-1", "EX-2")


def steps(desk, code, most):
    """Let a competent pair of hands bring a part on, as far as it goes."""
    for _ in range(most):
        if isinstance(desk.part(code).phase, Closed):
            return
        for found in desk.bench.open_deviations(code):
            desk.must(cm.CloseDeviation(found.id, "use as is", "seen"))
        try:
            desk.step(code)
        except AssertionError:
            return  # the other part stands in the way


def bare_part(part):
    """Return a part without the time it was in front, which no entry of it says."""
    return replace(part, hands_ms=0)


def without_times(part):
    """Return a part without since when it stands where it does: put right later."""
    return replace(bare_part(part), entered=part.taken, phase=part.phase.kind)


def alone(desk, code):
    return folded(desk.bench, code, desk.book.history(code)).parts[code]


def as_on_the_bench(part, on_bench):
    """Return a part with what belongs to the bench: its tray, its basket."""
    return replace(bare_part(part), tray=on_bench.tray, basket=on_bench.basket)


# --- a part is its own entries -----------------------------------------------------


@given(
    recipe=st.sampled_from((CROWN, DENTURE, SPLINT)),
    basket=st.booleans(),
    moves=st.lists(
        st.tuples(st.sampled_from(CODES), st.integers(1, 9)), min_size=1, max_size=8
    ),
)
@settings(max_examples=25, deadline=None)
def test_a_part_folded_alone_is_what_it_is_among_others(recipe, basket, moves):
    desk = KeptDesk()
    for code in CODES:
        desk.take(code, recipe=recipe)
    if basket:
        desk.must(cm.FormBasket(CODES))
    for code, most in moves:
        steps(desk, code, most)

    for code in CODES:
        on_bench = desk.part(code)
        assert as_on_the_bench(alone(desk, code), on_bench) == bare_part(on_bench)


# --- told wrong, and told right at once --------------------------------------------


class Twins:
    """Two benches that live through one day; only what is told differs."""

    def __init__(self, recipe, **more):
        self.right, self.wrong = KeptDesk(), KeptDesk()
        self.both(lambda desk: [desk.take(c, recipe=recipe, **more) for c in CODES])

    def both(self, does):
        for desk in (self.right, self.wrong):
            does(desk)

    def work(self, code, most):
        self.both(lambda desk: steps(desk, code, most))

    def alike(self, as_stands=bare_part):
        """Check that ledgers, layers, places and runs are the same on both."""
        for code in CODES:
            told, put = (as_stands(d.part(code)) for d in (self.right, self.wrong))
            assert put == told, code
        assert self.wrong.bench.runs == self.right.bench.runs
        assert self.wrong.bench.loads == self.right.bench.loads
        immersions = [
            {code: fill.immersions for code, fill in desk.bench.fills.items()}
            for desk in (self.right, self.wrong)
        ]
        assert immersions[0] == immersions[1]
        again = self.wrong.again()
        assert again.parts == self.wrong.bench.parts
        assert again.runs == self.wrong.bench.runs
        assert again.deviations == self.wrong.bench.deviations


MORE = st.integers(0, 12)
SLOW = settings(
    max_examples=20, deadline=None, suppress_health_check=[HealthCheck.too_slow]
)


@given(
    recipe=st.sampled_from((CROWN, DENTURE)),
    right=st.integers(0, 2500),
    wrong=st.integers(0, 2500),
    before=MORE,
    after=MORE,
    run=st.integers(1, 2),
)
@SLOW
def test_a_count_told_wrong(recipe, right, wrong, before, after, run):  # noqa: PLR0917
    twins = Twins(recipe)
    twins.both(
        lambda d: (
            d.work("EX-1", f"half-{run}", InRun)
            if recipe == CROWN
            else d.work("EX-1", f"half-{run}-A", InRun)
        )
    )
    twins.work("EX-2", before)
    name = twins.right.part("EX-1").phase.run
    for desk, count in ((twins.right, right), (twins.wrong, wrong)):
        desk.must(cm.TellRunEnd(name, "stopped", count, "earlier"))
    entry = twins.wrong.last(ev.RunEndObserved)
    twins.work("EX-2", after)
    if right != wrong:
        twins.wrong.put_right(entry, "low", str(right))
    _same_but_for_deviations(twins)
    twins.alike(without_times)


def _same_but_for_deviations(twins):
    """Close what either telling opened: a dose told too high is a deviation told."""
    for desk in (twins.right, twins.wrong):
        for found in list(desk.bench.deviations.values()):
            if not found.decision:
                desk.must(cm.CloseDeviation(found.id, "use as is", "seen"))


@given(
    field=st.sampled_from(("coat_lot", "print_lot")),
    before=st.integers(0, 45),
    after=MORE,
)
@SLOW
def test_a_lot_told_wrong_at_intake(field, before, after):
    lots = {"coat_lot": ("L-COAT", "L-COAT-2"), "print_lot": ("L-PRINT", "L-PRINT-2")}
    right, wrong = lots[field]
    twins = Twins(CROWN)
    for desk, lot in ((twins.right, right), (twins.wrong, wrong)):
        desk.take("EX-3", **{field: lot})
    twins.work("EX-3", before)
    twins.work("EX-1", after)
    twins.wrong.put_right(twins.wrong.last(ev.PartTaken, "EX-3"), field, right)
    twins.alike()
    assert bare_part(twins.wrong.part("EX-3")) == bare_part(twins.right.part("EX-3"))


@given(before=st.integers(0, 4), after=st.integers(0, 8), both=st.booleans())
@SLOW
def test_a_vessel_told_wrong(before, after, both):
    twins = Twins(CROWN)
    codes = CODES if both else CODES[:1]
    for code in codes:
        twins.both(lambda desk, code=code: desk.work(code, "submerge", Ready))
    if not both:
        twins.work("EX-2", before)
    for desk, vessel in ((twins.right, "GV-1"), (twins.wrong, "GV-2")):
        desk.must(cm.FillGlycerine("GV-2", "G-3"))
        for code in codes:
            desk.must(cm.ChooseEquipment(code, "vessel", vessel))
        desk.submerge(*codes)
    wrong, entry = twins.wrong, twins.wrong.last(ev.SubmergeConfirmed)
    twins.work("EX-1", after)
    wrong.put_right(entry, "vessel", "GV-1")
    # The vessel that was planned stays as planned; where it lies is what was told.
    twins.alike()


@given(before=MORE, after=st.integers(0, 8))
@SLOW
def test_a_part_that_was_not_in_the_box(before, after):
    twins = Twins(CROWN)
    for code in CODES:
        twins.both(lambda desk, code=code: desk.work(code, "half-1", Ready))
    twins.right.must(cm.ConfirmLoad(("EX-1",), "BX-1", 2200))
    twins.wrong.must(cm.ConfirmLoad(CODES, "BX-1", 2200))
    wrong, entry = twins.wrong, twins.wrong.last(ev.LoadConfirmed)
    twins.work("EX-1", before)
    wrong.put_right(entry, ev.GONE, "no", part="EX-2")
    twins.alike()
    twins.work("EX-1", after)
    twins.alike()


@given(
    stage=st.sampled_from(("wash-1", "supports", "fit", "clean", "mount", "rinse")),
    other=MORE,
)
@SLOW
def test_a_done_pressed_by_mistake(stage, other):
    twins = Twins(CROWN)
    twins.both(lambda desk: desk.work("EX-1", stage))
    if stage in ("wash-1", "rinse"):
        twins.work("EX-1", 1)
        twins.both(lambda desk: desk.wait(desk.part().stage.min_s))
    done = cm.TakeOut if stage in ("wash-1", "rinse") else cm.FinishStage
    twins.wrong.must(done("EX-1"))
    entry = twins.wrong.last(ev.StageEnded, "EX-1")
    twins.work("EX-2", other)
    twins.wrong.put_right(entry, ev.GONE, "no")
    twins.alike()
    twins.both(lambda desk: desk.must(done("EX-1")))
    assert twins.wrong.stage() == twins.right.stage()


@given(before=st.integers(0, 6), after=st.integers(0, 6))
@SLOW
def test_a_turn_that_was_told_and_not_done_before_the_run(before, after):
    twins = Twins(DENTURE)
    twins.both(lambda desk: desk.work("EX-1", "flip-1", Ready))
    twins.work("EX-2", before)
    twins.wrong.must(cm.ConfirmFlip("EX-1"))
    entry = twins.wrong.last(ev.FlipConfirmed)
    twins.work("EX-2", after)
    twins.wrong.put_right(entry, ev.GONE, "no")
    twins.alike()


# --- every other kind that a hand tells --------------------------------------------


def to(stage, phase=Ready):
    return lambda desk: desk.work("EX-1", stage, phase)


def begun(desk):
    """Bring a part into its first run and let it run out, its end not yet told."""
    desk.work("EX-1", "half-1", InRun)
    desk.wait(400)


def commands_of(make):
    return lambda desk, said: desk.must(make(said))


def ends(desk, said):
    if said:
        desk.must(cm.TellRunEnd("R-1", "completed"))


def dose(desk, said):
    desk.must(cm.TellRunEnd("R-1", "stopped", said))


def bath(desk, said):
    """Take a part out after so long; then it is as late on both benches."""
    desk.wait(said)
    desk.must(cm.TakeOut("EX-1"))
    desk.wait(200 - said)


# (kind, field): how far the part is, how it is told, told right and wrong, what is typed
# to put it right where that is another word, and whether its times are those of the
# correction.
TELLINGS = {
    ("RunEndObserved", ev.GONE): (begun, ends, False, True, "no"),
    ("DoseCredited", "low"): (begun, dose, 900, 1800),
    ("StageEnded", "elapsed_ms"): (to("wash-1", Soaking), bath, 130, 180),
    ("PartTaken", "stain_lot"): (
        lambda desk: None,
        lambda desk, lot: desk.take("EX-3", stain_lot=lot),
        "L-BLUE",
        "L-STAIN",
    ),
    ("PartTaken", "printed"): (
        lambda desk: None,
        lambda desk, day: desk.take("EX-3", printed=day),
        "2026-05-11",
        "2026-05-14",
    ),
    ("LotChosen", "lot"): (
        to("coat-1"),
        commands_of(lambda lot: cm.ChooseLot("EX-1", "coat", lot)),
        "L-COAT",
        "L-COAT-2",
    ),
    ("EquipmentChosen", "code"): (
        to("fit"),
        commands_of(lambda lamp: cm.ChooseEquipment("EX-1", "lamp", lamp)),
        "LM-A",
        "LM-BOTH",
    ),
    ("LampSessionOpened", "lamp"): (
        to("coat-1"),
        commands_of(cm.OpenLampSession),
        "LM-A",
        "LM-BOTH",
    ),
    ("CheckRecorded", "passed"): (
        to("checks"),
        commands_of(lambda good: cm.RecordCheck("EX-1", "inspection", passed=good)),
        True,
        False,
        "yes",
    ),
    ("LampReadingTaken", "reading"): (
        to("fit"),
        commands_of(lambda value: cm.ReadLamp("LM-A", value)),
        97.0,
        79.0,
    ),
    ("LotReceived", "lot.expires"): (
        to("fit"),
        commands_of(lambda day: cm.FileLibrary(lots=(lib.Lot("L-NEW", "EX-CC", day),))),
        "2027-01-01",
        "2029-01-01",
    ),
    ("GlycerineFilled", "immersions"): (
        to("fit"),
        commands_of(lambda had: cm.FileLibrary(fills=(("GV-2", "G-2", had),))),
        4,
        0,
    ),
    ("GlycerineFilled", "lot"): (
        to("fit"),
        commands_of(lambda lot: cm.FillGlycerine("GV-2", lot)),
        "G-2",
        "G-3",
    ),
}
ALREADY = {
    # (kind, field): the test of its own, above
    ("FlipConfirmed", ev.GONE),
    ("LoadConfirmed", ev.GONE),
    ("SubmergeConfirmed", "vessel"),
    ("RunEndObserved", "low"),
    ("StageEnded", ev.GONE),
    ("PartTaken", "print_lot"),
    ("PartTaken", "coat_lot"),
}
# Nobody tells these at once: the program plans count and box, knows the side, sees the
# spot lit, and takes the lot of the part.
NEVER_TOLD = {
    ("LoadConfirmed", "count"),
    ("LoadConfirmed", "box"),
    ("DoseCredited", "side"),
    ("SpotTacked", ev.GONE),
    ("BrushWetted", "lot"),
}


def test_every_kind_that_may_be_put_right_is_told_right_at_once_somewhere():
    assert TELLINGS.keys() | ALREADY | NEVER_TOLD == TOLD.keys()


# Where the two readings lead to other work, only the other part goes on meanwhile.
LEADS_ELSEWHERE = {
    ("DoseCredited", "low"),
    ("StageEnded", "elapsed_ms"),
    ("CheckRecorded", "passed"),
}


@pytest.mark.parametrize("key", TELLINGS, ids=".".join)
@given(before=st.integers(0, 8), after=st.integers(0, 8), own=st.booleans())
@settings(SLOW, max_examples=6)
def test_whatever_was_told_wrong_is_as_if_told_right_at_once(key, before, after, own):
    kind, field = key
    come, tell, right, wrong, *typed = TELLINGS[key]
    twins = Twins(CROWN)
    twins.both(come)
    twins.work("EX-2", 0 if kind == "StageEnded" else before)
    for desk, said in ((twins.right, right), (twins.wrong, wrong)):
        tell(desk, said)
    entry = next(
        each.seq
        for each in reversed(twins.wrong.entries)
        if type(each.event).__name__ == kind
    )
    mine = "EX-3" if kind == "PartTaken" else "EX-1"
    if key == ("RunEndObserved", ev.GONE):
        after = 0  # the box is in use in one reading alone
    twins.work(mine if own and key not in LEADS_ELSEWHERE else "EX-2", after)
    twins.wrong.put_right(entry, field, (*typed, str(right))[0])
    _same_but_for_deviations(twins)
    twins.alike(without_waits)
    assert without_waits(twins.wrong.part(mine)) == without_waits(
        twins.right.part(mine)
    )
    wrong, right = twins.wrong.bench, twins.right.bench
    assert (wrong.lots, wrong.boxes) == (right.lots, right.boxes)
    assert _values_of(wrong.readings, "value") == _values_of(right.readings, "value")
    for what in ("lot", "immersions"):
        assert _values_of(wrong.fills, what) == _values_of(right.fills, what)


def without_waits(part):
    """Return a part without times, and without since when it dries: both as late."""
    return replace(without_times(part), dry_since=None)


def _values_of(shelf, name):
    return {code: getattr(each, name) for code, each in shelf.items()}


@given(st.data())
@SLOW
def test_whatever_is_put_right_can_be_put_back(data):
    """Put anything right, and right again as it was told: nothing is left of it."""
    desk = KeptDesk()
    recipe = data.draw(st.sampled_from((CROWN, DENTURE)))
    desk.take("EX-1", recipe=recipe)
    steps(desk, "EX-1", data.draw(st.integers(5, 90)))
    kinds = {(told.kind, told.field) for told in TOLD.values()}
    entry = data.draw(
        st.sampled_from(
            [
                each
                for each in desk.entries
                if any(kind == type(each.event).__name__ for kind, _ in kinds)
            ]
        )
    )
    field = data.draw(
        st.sampled_from(
            sorted(field for kind, field in kinds if kind == type(entry.event).__name__)
        )
    )
    new, old = _values(entry.event, field)
    before = desk.bench
    first = desk.do(cm.Correct(entry.seq, field, new, "wrong"))
    if isinstance(first, Refusal):
        assert first.code in ("later-first", "by-itself", "value", "nothing-changes")
        return
    assert desk.again().parts == desk.bench.parts
    back = desk.do(cm.Correct(entry.seq, field, old, "it was right"))
    if isinstance(back, Refusal):
        # A lamp with which nothing was lit: only the confirming of eyewear hung on it.
        assert isinstance(entry.event, ev.LampSessionOpened)
        assert not first[0].parts
    for code, part in before.parts.items():
        assert bare_part(desk.part(code)) == bare_part(part)
    assert desk.bench.runs == before.runs
    assert desk.bench.fills == before.fills
    assert desk.bench.readings == before.readings
    assert desk.bench.lots == before.lots
    assert desk.bench.lamp_on_ms == before.lamp_on_ms
    assert desk.bench.lamp_on_by_lamp_ms == before.lamp_on_by_lamp_ms
    assert desk.again().parts == desk.bench.parts


def _values(event, field):
    """Return another value and the told one of a field, as a hand types them."""
    if field == "passed":
        return ("no", "yes") if event.passed else ("yes", "no")
    if field == "elapsed_ms":
        return "77", str(event.elapsed_ms // 1000)
    days = {"lot.expires": "2031-01-01", "printed": "2026-05-02"}
    if field in days:
        return days[field], field_of(event, field) or "none"
    numbers = {"low": "321", "count": "1900", "reading": "90", "immersions": "4"}
    if field in numbers:
        return numbers[field], str(getattr(event, field))
    if field == ev.GONE:
        return "no", "yes"
    old = getattr(event, field)
    other = {
        "side": "B" if old == "A" else "A",
        "vessel": "GV-2",
        "box": "BX-2",
        "lamp": "LM-BOTH",
        "coat_lot": "L-COAT-2",
        "print_lot": "L-PRINT-2",
        "stain_lot": "L-BLUE",
        "lot": "L-COAT-2",
        "code": "LM-BOTH",
    }
    return other[field], old


# --- what follows, field by field --------------------------------------------------


def true_of(desk, kind, code="EX-1"):
    """Return the events of a kind as they are true of a part."""
    return [
        line.entry.event
        for line in desk.book.history(code)
        if isinstance(line.entry.event, kind) and not line.gone
    ]


def test_a_vessel_chosen_wrong_is_followed_into_the_glycerine_and_the_box():
    desk = KeptDesk()
    desk.take("EX-1", vessel="GV-1")
    desk.work("EX-1", "submerge", Ready)
    desk.must(cm.ChooseEquipment("EX-1", "vessel", "GV-2"))
    desk.must(cm.FillGlycerine("GV-2", "G-9"))
    desk.work("EX-1", "half-2", InRun)
    before = {code: desk.bench.fills[code].immersions for code in ("GV-1", "GV-2")}
    desk.put_right(desk.last(ev.EquipmentChosen), "code", "GV-1")

    assert true_of(desk, ev.SubmergeConfirmed)[0].vessel == "GV-1"
    assert true_of(desk, ev.LoadConfirmed)[-1].vessel != "GV-2"
    assert true_of(desk, ev.RunStarted)[-1].vessel == "GV-1"
    assert desk.part().immersed_in == desk.part().vessel == "GV-1"
    assert desk.bench.runs[desk.part().phase.run].vessel == "GV-1"
    after = {code: desk.bench.fills[code].immersions for code in ("GV-1", "GV-2")}
    assert after == {"GV-1": before["GV-1"] + 1, "GV-2": before["GV-2"] - 1}
    assert desk.again().fills == desk.bench.fills


def test_a_vessel_chosen_wrong_is_followed_into_it_when_a_part_goes_back_under():
    desk = KeptDesk()
    desk.take("EX-1", vessel="GV-1")
    desk.work("EX-1", "submerge", Ready)
    desk.must(cm.ChooseEquipment("EX-1", "vessel", "GV-2"))
    desk.must(cm.ChooseEquipment("EX-1", "box", "BX-2"))
    desk.must(cm.FillGlycerine("GV-2", "G-9"))
    desk.work("EX-1", "submerge", Soaking)
    report(desk, "dropped", "glycerine and back under", "no")
    before = {code: desk.bench.fills[code].immersions for code in ("GV-1", "GV-2")}
    vessel, box = (desk.last(ev.EquipmentChosen, nth=n) for n in (-2, -1))
    desk.put_right(vessel, "code", "GV-1")
    desk.put_right(box, "code", "BX-1")

    assert {each.vessel for each in true_of(desk, ev.ImmersionCounted)} == {"GV-1"}
    assert {each.box for each in true_of(desk, ev.SubmergeConfirmed)} == {"BX-1"}
    after = {code: desk.bench.fills[code].immersions for code in ("GV-1", "GV-2")}
    assert after == {"GV-1": before["GV-1"] + 2, "GV-2": before["GV-2"] - 2}


def test_a_box_chosen_wrong_is_followed_into_the_load_and_the_run():
    desk = KeptDesk()
    desk.take("EX-1")
    slow = replace(desk.bench.boxes["BX-2"], code="BX-SLOW", rate_hz=6.0)
    desk.must(cm.FileLibrary(boxes=(slow,)))
    desk.work("EX-1", "half-1", Ready)
    desk.must(cm.ChooseEquipment("EX-1", "box", "BX-WARM"))
    desk.work("EX-1", "half-1", InRun)
    desk.put_right(desk.last(ev.EquipmentChosen), "code", "BX-SLOW")
    assert true_of(desk, ev.RunStarted)[0].rate_hz == 6.0
    desk.put_right(desk.last(ev.EquipmentChosen), "code", "BX-2")
    assert true_of(desk, ev.RunStarted)[0].rate_hz == 8.0

    assert true_of(desk, ev.LoadConfirmed)[0].box == "BX-2"
    assert true_of(desk, ev.RunStarted)[0].box == "BX-2"
    assert desk.bench.runs[desk.part().phase.run].box == "BX-2"


def test_a_lamp_chosen_wrong_is_followed_into_every_spot():
    desk = KeptDesk()
    desk.take("EX-1", lamp="LM-A")
    desk.work("EX-1", "coat-1", Ready)
    desk.must(cm.ChooseEquipment("EX-1", "lamp", "LM-BOTH"))
    desk.work("EX-1", "coat-2", Ready)
    lit = desk.bench.lamp_on_by_lamp_ms
    desk.put_right(desk.last(ev.EquipmentChosen), "code", "LM-A")

    assert {each.lamp for each in true_of(desk, ev.WalkStarted)} == {"LM-A"}
    assert {each.lamp for each in true_of(desk, ev.SpotTacked)} == {"LM-A"}
    assert desk.part().work["coat-1"].lamps == ("LM-A",)
    (both,) = [ms for key, ms in lit.items() if "LM-BOTH" in key]
    (one,) = [ms for key, ms in desk.bench.lamp_on_by_lamp_ms.items() if "LM-A" in key]
    assert one == both
    assert sum(desk.bench.lamp_on_ms.values()) == both


def test_a_spot_broken_off_follows_its_lamp_too():
    desk = KeptDesk()
    desk.take("EX-1", lamp="LM-BOTH")
    desk.work("EX-1", "coat-1", Walking)
    desk.wait(4)
    desk.must(cm.BreakSpot("EX-1"))
    entry = desk.last(ev.LampSessionOpened)
    desk.put_right(entry, "lamp", "LM-A")

    assert [each.lamp for each in true_of(desk, ev.SpotBroken)] == ["LM-A"]
    assert desk.bench.lamp_session is None  # eyewear was confirmed for another lamp


def test_what_was_set_is_what_a_whole_run_gave_and_a_counter_wins_over_it():
    desk = KeptDesk()
    desk.take("EX-1")
    desk.work("EX-1", "supports")
    load = desk.last(ev.LoadConfirmed)
    desk.put_right(load, "count", "2000")
    assert desk.part().exposures[-1].low == 2000
    assert true_of(desk, ev.RunStarted)[0].planned == 2000

    desk.put_right(desk.last(ev.RunEndObserved), "low", "1500")
    assert desk.part().exposures[-1].low == 1500
    desk.put_right(load, "count", "2100")
    assert desk.part().exposures[-1].low == 1500  # the counter was read by hand
    assert true_of(desk, ev.RunStarted)[0].planned == 2100
    desk.put_right(desk.last(ev.RunEndObserved), "low", "1000-1150")
    found = desk.part().exposures[-1]
    assert (found.low, found.high, found.evidence) == (1000, 1150, "assumed")


def test_a_bound_that_is_not_sure_is_assumed_and_release_needs_the_low_one():
    desk = KeptDesk()
    desk.take("EX-1")
    desk.work("EX-1", "checks")
    desk.put_right(desk.last(ev.DoseCredited), "low", "1900-2200")
    found = desk.part().exposures[-1]

    assert (found.low, found.high, found.evidence) == (1900, 2200, "assumed")
    for check in desk.bench.checks_of(desk.part()):
        desk.must(cm.RecordCheck("EX-1", check))
    assert desk.do(cm.ReleasePart("EX-1")).code == "release-ready"


def received(desk, code):
    """Return the entry by which a lot came onto the shelf."""
    return next(
        entry.seq
        for entry in desk.entries
        if isinstance(entry.event, ev.LotReceived) and entry.event.lot.code == code
    )


def test_a_mix_is_as_old_as_the_lot_that_was_told_wrong():
    desk = KeptDesk()
    desk.take("EX-1", stain_lot="L-MIX", variant=Variant(stain_passes=1, coats=1))
    desk.work("EX-1", "coat-1", Ready)
    desk.put_right(received(desk, "L-STAIN"), "lot.expires", "2026-05-01")

    assert "L-MIX expired on 2026-05-01" in deviations(desk)[0]


def test_a_lot_past_its_day_told_of_the_shelf_reviews_what_was_released_with_it():
    desk = KeptDesk()
    desk.take("EX-1")
    desk.work("EX-1")
    desk.put_right(received(desk, "L-COAT"), "lot.expires", "2026-05-01")

    assert desk.bench.lots["L-COAT"].expires == "2026-05-01"
    assert [part.code for part in desk.bench.under_review] == ["EX-1"]
    assert "expired on 2026-05-01" in deviations(desk)[0]
    assert desk.again().lots == desk.bench.lots


def test_a_day_of_printing_told_wrong_is_put_right_and_judges_the_lot():
    desk = KeptDesk()
    desk.take("EX-1", print_lot="L-PRINT-OLD", printed="2026-05-13")
    desk.work("EX-1")
    entry = desk.last(ev.PartTaken)
    for typed in ("2099-01-01", "in May"):
        assert desk.do(cm.Correct(entry, "printed", typed, "misread")).code == "value"
    desk.put_right(entry, "printed", "2026-05-14")

    assert desk.part().printed == "2026-05-14"
    assert [part.code for part in desk.bench.under_review] == ["EX-1"]
    assert "L-PRINT-OLD had expired on 2026-05-13" in deviations(desk)[0]
    assert desk.again().parts == desk.bench.parts


def test_a_reading_told_wrong_is_judged_at_every_walk_it_was_used_for():
    desk = KeptDesk()
    desk.take("EX-1")
    desk.work("EX-1", "coat-2", Ready)
    read = desk.must(cm.ReadLamp("LM-A", 100.0))
    entry = desk.last(ev.LampReadingTaken)
    assert read
    desk.work("EX-1", "submerge", Ready)
    desk.put_right(entry, "reading", "50")

    assert desk.bench.readings["LM-A"].value == 50
    assert len(deviations(desk)) == 1
    assert "Light check" in deviations(desk)[0]


def test_what_nobody_told_cannot_be_put_right():
    desk = KeptDesk()
    desk.take("EX-1")
    desk.work("EX-1")
    for kind, field in (
        (ev.PartReleased, ev.GONE),
        (ev.WalkStarted, "lamp"),
        (ev.StageEnded, "stage"),
        (ev.RunStarted, "planned"),
    ):
        refused = desk.do(cm.Correct(desk.last(kind), field, "no", "why"))
        assert isinstance(refused, Refusal)
        assert refused.code == "not-told"
    missing = desk.do(cm.Correct(10**6, ev.GONE, "no", "why"))
    assert missing.code == "no-such-entry"


def test_a_preview_writes_nothing_and_asks_for_no_reason():
    desk = KeptDesk()
    desk.take("EX-1")
    desk.work("EX-1", "supports")
    entry, before = desk.last(ev.DoseCredited), len(desk.entries)
    found = desk.preview(entry, "low", "1000")

    assert [change.field for change in found.changes] == ["low", "high", "gone"]
    assert len(desk.entries) == before
    assert desk.do(cm.Correct(entry, "low", "1000", " ")).code == "no-reason"


def test_no_part_goes_back_behind_work_by_hand_and_what_is_short_is_owed():
    desk = KeptDesk()
    desk.take("EX-1")
    desk.work("EX-1", "coat-2", Walking)
    desk.put_right(desk.last(ev.SpotTacked, nth=1), ev.GONE, "no")

    assert desk.stage() == "coat-2"
    assert isinstance(desk.part().phase, Walking)
    assert desk.part().work["coat-1"].spots.count("done") == 4
    desk.work("EX-1", "checks")
    for check in desk.bench.checks_of(desk.part()):
        desk.must(cm.RecordCheck("EX-1", check))
    refused = desk.do(cm.ReleasePart("EX-1"))
    assert refused.code == "release-ready"
    assert "coat-1: 4 of 5 spots" in refused.message


def test_a_drying_told_done_that_was_not_runs_again_though_the_part_was_held():
    desk = KeptDesk()
    desk.take("EX-1")
    desk.work("EX-1", "half-1", Ready)
    desk.must(cm.HoldPart("EX-1", "lunch"), cm.ResumePart("EX-1"))
    desk.put_right(desk.last(ev.StageEnded), ev.GONE, "no")

    assert (desk.stage(), desk.part().phase.kind) == ("dry-box", "soaking")
    assert desk.again() == desk.bench
    desk.work("EX-1", "checks")


def other_side_told(stage):
    """Return a denture at a stage whose first run is told to have lit its side B."""
    desk = KeptDesk()
    desk.take("EX-1", recipe=DENTURE)
    desk.work("EX-1", "flip-1")
    desk.put_right(desk.last(ev.DoseCredited), "side", "B")
    desk.work("EX-1", stage)
    return desk


def test_a_half_that_was_given_before_it_was_due_is_left_at_once():
    desk = other_side_told("supports")

    # Side A is lit once more, and side B, which has its half, is passed by.
    assert [run.side for run in desk.part().exposures] == ["B", "A"]
    assert desk.again() == desk.bench


def test_a_part_before_a_box_that_owes_it_nothing_has_a_card_and_a_way_on():
    desk = other_side_told("supports")
    part = desk.part()
    at = next(n for n, stage in enumerate(part.route) if stage.key == "half-1-B")
    stood = replace(part, at=at, phase=Ready(desk.now), entered=desk.now)
    desk.bench = desk.bench.with_part(stood)  # as a record made before has it

    assert planned_count(desk.bench, (stood,)) == 0
    assert look(desk.bench, desk.now).card is not None
    desk.must(cm.ConfirmLoad(("EX-1",), "BX-1", 0))
    assert desk.stage() == "supports"


def test_glycerine_a_part_back_from_a_mouth_really_lay_in_serves_no_other():
    """What was in a mouth spoils its portion, wherever that is found out to have been."""
    desk = KeptDesk()
    mouth = lib.Variant(0, 2, back_from_mouth=True, faces=("Biting",))
    desk.take("EX-1", recipe=SPLINT, variant=mouth)
    desk.must(cm.FillGlycerine("GV-2", "G-9"))
    desk.work("EX-1", "half-2", Ready)
    assert not desk.bench.fills["GV-2"].spoilt
    desk.put_right(desk.last(ev.SubmergeConfirmed), "vessel", "GV-2")

    assert desk.bench.fills["GV-2"].spoilt == "own portion of EX-1"
    assert desk.again().fills == desk.bench.fills


def test_a_vessel_that_was_never_filled_is_not_where_a_part_lay():
    """Told by what it is: to take back what came after would help nobody."""
    desk = KeptDesk()
    desk.take("EX-1")
    desk.work("EX-1", "half-2", Ready)
    refusal = desk.preview(desk.last(ev.SubmergeConfirmed), "vessel", "GV-DRY")

    assert code_of(refusal) == "value"
    assert "“GV-DRY” was never filled; there are GV-1" in refusal.message


def test_a_filling_that_had_had_more_was_past_its_limit_with_the_part_in_it():
    """Five are allowed; it had had five already when it was entered as fresh."""
    desk = KeptDesk()
    desk.take("EX-1")
    desk.must(cm.FillGlycerine("GV-1", "G-9"))
    filled = desk.last(ev.GlycerineFilled)
    desk.work("EX-1", "half-2", Ready)
    desk.put_right(filled, "immersions", "4")
    assert deviations(desk) == []
    desk.put_right(filled, "immersions", "5")

    (told,) = deviations(desk)
    assert "GV-1: 6 immersions, 5 allowed" in told


def test_time_in_alcohol_put_right_is_judged_over_all_baths():
    """5:00 and 4:30 are each within their bath, and 9:30 is over the 9:00 of both."""
    desk = KeptDesk()
    desk.take("EX-1")
    desk.work("EX-1", "dry-box")
    first, second = (desk.last(ev.StageEnded, nth=n) for n in (-2, -1))
    desk.put_right(first, "elapsed_ms", "5:00")
    assert deviations(desk) == []
    desk.put_right(second, "elapsed_ms", "4:30")

    (told,) = deviations(desk)
    assert "9:30 in solvent, at most 9:00" in told


def test_what_was_refused_before_a_part_was_taken_in_is_no_part_of_it():
    desk = KeptDesk()
    desk.happened(ev.CommandRefused("TakeIn", "lot-expiry", "EX-1", ()))
    desk.take("EX-1")
    desk.work("EX-1", "supports")
    desk.put_right(desk.last(ev.DoseCredited), "low", "1000")

    assert desk.part().exposures[0].low == 1000
    assert desk.again() == desk.bench


def test_a_record_with_a_hole_is_refused_and_never_believed():
    """Nothing can be told of a world in which what followed has nothing to follow."""
    desk = KeptDesk()
    desk.take("EX-1")
    desk.work("EX-1", "coat-2")
    command = cm.Correct(desk.last(ev.DoseCredited), "low", "1000", "why")
    found = gather(desk.book, command)
    story = found.stories["EX-1"]
    holed = tuple(e for e in story if not isinstance(e.event, ev.BrushWetted))
    refusal = corrected(
        desk.bench, command, replace(found, stories={"EX-1": holed}), desk.now
    )

    assert code_of(refusal) == "later-first"
    assert "hangs on it" in refusal.message


def test_what_a_hand_may_put_right_is_what_a_hand_told():
    desk = KeptDesk()
    desk.take("EX-1")
    desk.work("EX-1")
    offered = {
        (each.kind, each.field)
        for entry in desk.entries
        for each in tellings(entry.event)
    }

    assert ("DoseCredited", "low") in offered
    assert ("CheckRecorded", "passed") in offered
    assert not {kind for kind, _ in offered} & {"WalkStarted", "PartReleased"}
    assert offered <= set(TOLD)


# --- what will change, before it is held ---------------------------------------------


def seen(desk, entry, field, text, *, today=None):
    """Return what the page shows of a correction: (about, what) to (was, now)."""
    found = desk.preview(entry, field, text)
    assert not isinstance(found, Refusal), found
    lines = effects(desk.bench, found, today or desk.now)
    return {(each.about, each.what): (each.was, each.now) for each in lines}


def test_a_smaller_dose_is_seen_with_the_run_that_it_leaves_to_do():
    desk = KeptDesk()
    desk.take("EX-1")
    desk.work("EX-1", "supports")
    found = seen(desk, desk.last(ev.DoseCredited), "low", "600-1000")

    assert found[("EX-1", "dose")] == ("2200", "600 to 1000")
    assert found[("EX-1", "stands at")] == ("Supports off", "First half")
    # By the least that is sure: 2200 - 600.
    assert found[("EX-1", "to set next")] == ("none", "1600")
    assert ("EX-1", "lamp") not in found  # what stays as it is needs no line


def test_a_dose_that_is_whole_after_all_is_seen_to_let_the_part_go_on():
    """The events that follow are shown with it: a full half leaves its stage."""
    desk = KeptDesk()
    desk.take("EX-1")
    desk.work("EX-1", "half-1", InRun)
    desk.wait(130)  # at 8 a second it had 1040 at most
    desk.must(cm.TellRunEnd(desk.part().phase.run, "stopped", 1000))
    found = seen(desk, desk.last(ev.DoseCredited), "low", "2200")

    assert found[("EX-1", "dose")] == ("1000", "2200")
    assert found[("EX-1", "stands at")] == ("First half", "Supports off")
    assert found[("EX-1", "to set next")] == ("1200", "none")


def test_the_next_run_of_a_box_that_is_not_on_file_is_all_that_is_owed():
    desk = KeptDesk()
    desk.take("EX-1")
    desk.work("EX-1", "supports")
    entry = desk.last(ev.DoseCredited)
    desk.bench = replace(desk.bench, boxes={})

    assert seen(desk, entry, "low", "601")[("EX-1", "to set next")][1] == "1599"


def test_a_lamp_told_wrong_is_seen_spot_by_spot_gate_by_gate_and_in_its_time():
    desk = KeptDesk()
    desk.take("EX-1")
    desk.work("EX-1", "coat-2", Ready)
    found = seen(desk, desk.last(ev.LampSessionOpened), "lamp", "LM-B")

    assert found[("EX-1", "coat 1, lamp")] == ("LM-A", "LM-B")
    passed, told = found[("EX-1", "Light check")]
    assert passed == "passed"
    assert "LM-B" in told
    # Five spots of 10 s, no longer of the one and now of the other.
    assert found[("LM-A", "light today")][1] == "-0:50"
    assert found[("LM-B", "light today")][1] == "+0:50"


def test_a_spot_that_was_never_lit_is_seen_as_one_fewer():
    desk = KeptDesk()
    desk.take("EX-1")
    desk.work("EX-1", "coat-2", Walking)
    found = seen(desk, desk.last(ev.SpotTacked, nth=1), ev.GONE, "no")

    assert found[("EX-1", "coat 1, spots lit")] == ("5 of 5", "4 of 5")


def test_a_vessel_told_wrong_is_seen_in_both_fillings():
    desk = KeptDesk()
    desk.take("EX-1")
    desk.must(cm.FillGlycerine("GV-2", "G-9"))
    desk.work("EX-1", "half-2", Ready)
    found = seen(desk, desk.last(ev.SubmergeConfirmed), "vessel", "GV-2")

    assert found[("EX-1", "lies in")] == ("GV-1", "GV-2")
    assert found[("GV-2", "immersions")] == ("0", "1")


def test_a_check_told_wrong_after_the_release_is_seen_as_a_review_and_an_addition():
    desk = KeptDesk()
    desk.take("EX-1")
    desk.work("EX-1")
    entry = desk.last(ev.CheckRecorded)
    check = desk.entries[entry - 1].event.check
    tomorrow = desk.now.plus(86_400_000)
    found = seen(desk, entry, "passed", "failed", today=tomorrow)

    assert found[("EX-1", check)] == ("passed", "failed")
    assert found[("EX-1", "handed over")] == ("released", "under review")
    # The day's report stays as it was signed; what changed stands beside it.
    assert found[(desk.now.day(), "report")] == ("stays as it was", "+ 1 row beside")


def test_of_a_part_that_no_history_has_nothing_is_shown():
    desk = KeptDesk()
    desk.take("EX-1")
    desk.work("EX-1", "supports")
    found = desk.preview(desk.last(ev.DoseCredited), "low", "1000")
    nobody = replace(found, was={"EX-9": ()}, now={"EX-9": ()}, events=(), changes=())

    assert effects(desk.bench, nobody, desk.now) == ()
