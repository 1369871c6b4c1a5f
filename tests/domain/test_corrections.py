"""What was told wrong and put right is as if it had been told right at once.

The property is its own evidence: two benches live through the same random day, one is
told wrong and put right, the other is told right. The sums in the examples are counts
that can be added by hand.
"""

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.correction import TOLD
from benchassist.domain.evolve.anew import folded
from benchassist.domain.outcome import Refusal
from benchassist.domain.state import Closed, InRun, Ready
from benchassist.value import replace
from tests.domain.builders import CROWN, DENTURE, SPLINT
from tests.domain.kept import KeptDesk

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
    if field == "lot.expires":
        return "2031-01-01", event.lot.expires or "none"
    numbers = {"low": "321", "count": "1900", "reading": "90"}
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
