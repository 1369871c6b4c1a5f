"""Whatever is asked in whatever order, what must hold holds.

Commands are drawn at random from all there are, with sensible and with senseless
contents; in between a competent pair of hands brings the parts on, time passes, the
program stalls, restarts, and the wall clock steps.
"""

from __future__ import annotations

import copy
import dataclasses
import functools
import types
import typing

from hypothesis import Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, rule

from benchassist.clock import Instant, SimulatedClock
from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain import library as lib
from benchassist.domain.box_light import judge_box
from benchassist.domain.decide import decide
from benchassist.domain.evolve import fold
from benchassist.domain.gates import GATES, ask_for, first_shut
from benchassist.domain.gates.lot_expiry import last_day
from benchassist.domain.layer import lot_for
from benchassist.domain.light import judge_lamp
from benchassist.domain.outcome import Refusal, Said
from benchassist.domain.pedal import TABLE, meaning, situation
from benchassist.domain.queue import ranked, two_at_once
from benchassist.domain.route import SUBMERGED
from benchassist.domain.shape import BoxPlace, BoxPlan, PartShape, VesselSize
from benchassist.domain.standing import front
from benchassist.domain.state import (
    BODY,
    Bench,
    InRun,
    Ready,
    Walking,
)
from benchassist.journal.codec import CODEC
from benchassist.value import replace
from tests.domain.builders import CROWN, CURVES, DENTURE, LIBRARY, MORNING, SPLINT, Desk

# What a foot can never bring about, in whatever state.
BY_HAND = {
    kind
    for name, kind in ev.KINDS.items()
    if name
    not in {
        "StageStarted",
        "StageEnded",
        "RunStarted",
        "BrushWetted",
        "WalkStarted",
        "SpotTacked",
        "SpotBroken",
        "WalkPaused",
        "CalledAway",
        "DueQuieted",
        "DeviationOpened",  # by rule: over-washed, taken out late
    }
}
NAMED = {
    "part": ("EX-1", "EX-2", "EX-3", "EX-9"),
    "parts": ("EX-1", "EX-2", "EX-3", "EX-9"),
    "recipe": (CROWN, DENTURE, SPLINT, "EX-RC-9 r1"),
    "print_lot": ("L-PRINT", "L-9", ""),
    "coat_lot": ("L-COAT", "L-CLASS", "L-OLD", ""),
    "stain_lot": ("L-STAIN", "L-BLUE", "L-MIX", ""),
    "lot": ("L-COAT", "L-CLASS", "L-OLD", "L-BLUE", "L-9"),
    "lamp": ("LM-A", "LM-B", "LM-C", "LM-UNREAD", "LM-UNKNOWN", ""),
    "box": ("BX-1", "BX-WARM", "BX-BLUE", "BX-UNKNOWN", ""),
    "vessel": ("GV-1", "GV-2", "GV-DARK", "GV-UNMEASURED", ""),
    "code": ("LM-A", "LM-B", "BX-1", "BX-BLUE", "GV-2", "EX-1", "hold_limit_s"),
    "gate": tuple(GATES),
    "run": tuple(f"R-{n}" for n in range(1, 6)),
    "who": ("OP-1", "OP-2", " "),
    "to": ("OP-1", "OP-2"),
    "deviation": ("D-1", "D-2", "D-3"),
    "check": ("tack-free after rinsing", "inspection", "smell"),
    "reason": ("because", ""),
    "text": ("it fell", ""),
    "material": ("EX-CC", "EX-9"),
    "variant": (None, lib.Variant(1, 1), lib.Variant(0, 4), lib.Variant(finish="none")),
    "due": (None,),
    "thing": (
        lib.Meter("EX-MT-1", "a meter", "lamp light"),
        replace(LIBRARY.lamps[0], title="another"),
        replace(LIBRARY.boxes[0], warm_s=90),
        replace(LIBRARY.vessels[0], title="another"),
        replace(LIBRARY.materials[0], revision="2"),
        replace(LIBRARY.recipes[0], rinse_s=90),
    ),
}
NOT_DRAWN = {
    cm.PressPedal,
    cm.CreateStore,
    cm.FileLibrary,
    cm.Reopen,
    cm.Tick,
    cm.SetLimit,
}


PLAIN = {
    bool: st.booleans(),
    int: st.sampled_from((0, 1, 2, 300, 600, 700, 1000, 2200)),
    float: st.sampled_from((0.0, 65.0, 100.0)),
    str: st.sampled_from(("", "yes", "no", "wet", "half", "0.3")),
    lib.Curve: st.sampled_from(CURVES),
    lib.SpotFace: st.builds(
        lib.SpotFace, st.sampled_from(("top", "front", "")), st.sampled_from((0, 2, 5))
    ),
    PartShape: st.builds(
        PartShape,
        digest=st.sampled_from(("ab" * 32, "none")),
        unit=st.just("mm"),
        area_mm2=st.sampled_from((0.0, 600.0)),
        volume_mm3=st.sampled_from((0.0, 900.0, 1e6)),
        watertight=st.booleans(),
        width_mm=st.just(10.0),
        depth_mm=st.just(10.0),
        height_mm=st.sampled_from((10.0, 70.0, 900.0)),
    ),
    VesselSize: st.builds(
        VesselSize,
        wide_mm=st.sampled_from((0.0, 90.0)),
        deep_mm=st.just(90.0),
        floor_mm=st.sampled_from((3.0, 99.0)),
        inside_cm2=st.sampled_from((60.0, 600.0)),
    ),
    BoxPlan: st.sampled_from(
        (
            BoxPlan(0.0, 150.0),
            BoxPlan(200.0, 150.0, (BoxPlace("P1", 50, 50, 60, 60),)),
            BoxPlan(200.0, 150.0, (BoxPlace("P1", 50, 50, 60, 60),) * 2),
        )
    ),
    Instant: st.sampled_from(
        tuple(SimulatedClock(MORNING).now().plus(ms) for ms in (-60_000, 0, 900_000))
    ),
}


def contents(name, hint):
    """Return a strategy for one field of a command; a new kind of field raises."""
    origin, args = typing.get_origin(hint), typing.get_args(hint)
    if origin is typing.Literal:
        return st.sampled_from(args)
    if origin is tuple and args[-1] is not Ellipsis:
        return st.tuples(*(contents("", each) for each in args))
    if origin is tuple:
        return st.lists(contents(name, args[0]), max_size=3).map(tuple)
    if name in NAMED:
        return st.sampled_from(NAMED[name])
    return st.none() if origin is types.UnionType else PLAIN[hint]


def commands():
    """Return a strategy for every command there is, by its fields."""
    drawn = []
    for kind in cm.Command.__subclasses__():
        if kind not in NOT_DRAWN:
            hints = typing.get_type_hints(kind)
            fields = {
                f.name: contents(f.name, hints[f.name])
                for f in dataclasses.fields(kind)
            }
            drawn.append(st.builds(kind, **fields))
    return st.one_of(drawn)


# --- where a day may stand -----------------------------------------------------

STANDS = (
    (CROWN, "wash-1", None),
    (CROWN, "half-1", Ready),
    (CROWN, "half-1", InRun),
    (CROWN, "coat-1", Ready),
    (CROWN, "coat-2", Walking),
    (SPLINT, "coat-1", Walking),
    (CROWN, "submerge", Ready),
    (DENTURE, "flip-2", Ready),
    (CROWN, "half-2", InRun),
    (CROWN, "checks", Ready),
)


@functools.cache
def standing(recipe, stage, phase):
    """Return a desk with two parts, one at a stage and one behind or beside it."""
    desk = Desk()
    desk.take("EX-2", recipe=recipe)
    if stage in ("half-1", "submerge"):
        desk.work("EX-2", stage, Ready)
    desk.take("EX-1", recipe=recipe)
    desk.work("EX-1", stage, phase)
    return desk


class WatchedDesk(Desk):
    """A desk that checks what must hold of every single answer."""

    def __init__(self, begun):
        self.clock = copy.copy(begun.clock)
        self.bench = begun.bench
        self.entries = list(begun.entries)

    def do(self, command, channel="hand"):
        before, written = self.bench, len(self.entries)
        decision = super().do(command, channel)
        if isinstance(decision, Refusal):
            assert decision.code
            assert decision.message
            refused_holds(before, self.bench, command)
        elif isinstance(decision, Said):
            assert decision.message
            assert self.bench == before
        else:
            bench = before
            for entry in self.entries[written:]:
                holds(bench, entry.event, self.now, command)
                bench = fold(bench, [entry])
                CODEC.encode(entry.event)
            assert bench == self.bench
        return decision


def refused_holds(before, after, command):
    """Check that a refusal left all alone but the count of presses."""
    pressed = isinstance(command, cm.PressPedal)
    assert after.refused_presses == before.refused_presses + pressed
    for kept in (
        "parts",
        "focus",
        "loads",
        "fills",
        "accepted",
        "deviations",
        "limits",
        "lamp_session",
        "baskets",
    ):
        assert getattr(before, kept) == getattr(after, kept)
    # That it was asked whether a box was begun earlier is remembered, and nothing else.
    unasked = [
        {name: replace(run, ahead=False) for name, run in each.runs.items()}
        for each in (before, after)
    ]
    assert unasked[0] == unasked[1]


def fitting(bench, code):
    """Return commands that fit the state a part is in, some that should not pass."""
    part = bench.parts[code]
    pair = tuple(
        each.code for each in bench.in_flight if each.stage.key == part.stage.key
    )
    plans = {stage.plan for stage in part.route if stage.plan}
    return (
        cm.ChoosePart(code),
        cm.StartStage(code),
        cm.TakeOut(code),
        cm.FinishStage(code),
        cm.OpenLampSession(part.lamp),
        cm.WetBrush(code),
        cm.StartWalk(code),
        cm.BreakSpot(code),
        cm.HoldHere(code),
        cm.GoOn(code),
        cm.BackOne(code),
        *(
            cm.ConfirmLoad(codes, part.box, n)
            for codes in ((code,), pair)
            for n in plans
        ),
        *(
            cm.ConfirmSubmerged(codes, part.box, part.vessel, n)
            for codes in ((code,), pair)
            for n in plans
        ),
        cm.StartRun(part.box),
        *(
            cm.TellRunEnd(run, outcome, delivered)
            for run in bench.runs
            for outcome, delivered in (
                ("completed", 0),
                ("stopped", 500),
                ("stopped", 5000),
                ("unknown", 0),
                ("died with the PC", 0),
            )
        ),
        *(cm.TellCoatState(code, told) for told in ("wet and clean", "wiped off")),
        *(cm.AcceptGate(gate, code, "because") for gate in GATES),
        *(cm.ChooseEquipment(code, "lamp", lamp) for lamp in bench.lamps),
        *(cm.ChooseEquipment(code, "box", box) for box in bench.boxes),
        *(cm.ChooseEquipment(code, "vessel", vessel) for vessel in bench.vessels),
        *(cm.ReadLamp(part.lamp, reading) for reading in (65.0, 100.0)),
        *(cm.CloseDeviation(each, "use as is", "fine") for each in bench.deviations),
        *(cm.RecordCheck(code, check) for check in bench.checks_of(part)),
        cm.OpenDeviation((code,), "it fell"),
        cm.ReleasePart(code),
        cm.VoidStart("no"),
        cm.VoidStart("not sure"),
    )


class AnyBench(RuleBasedStateMachine):
    """A bench on which anything may be asked."""

    @initialize(stand=st.sampled_from(STANDS))
    def parts(self, stand):
        self.desk = WatchedDesk(standing(*stand))

    @rule(command=commands())
    def anything(self, command):
        self.desk.do(command)

    @rule(data=st.data(), code=st.sampled_from(("EX-1", "EX-1", "EX-2")))
    def something_that_fits(self, data, code):
        for _ in range(6):
            if code in self.desk.bench.parts:
                choice = fitting(self.desk.bench, code)
                self.desk.do(data.draw(st.sampled_from(choice)))

    @rule(code=st.sampled_from(("EX-1", "EX-2")), steps=st.integers(1, 8))
    def the_next_thing(self, code, steps):
        for _ in range(steps):
            decided = len(self.desk.entries)
            try:
                self.desk.step(code)
            except AssertionError:
                # Something was asked before that stands in the way, and was refused.
                refused = self.desk.entries[decided:]
                assert any(isinstance(e.event, ev.CommandRefused) for e in refused)
                return

    @rule(
        lamp=st.sampled_from(("LM-A", "LM-B", "LM-UNKNOWN", "LM-C")),
        then=st.lists(
            st.sampled_from((cm.WetBrush, cm.StartWalk, cm.BreakSpot, cm.GoOn)),
            max_size=4,
        ),
    )
    def a_coat_with_whatever_lamp(self, lamp, then):
        self.desk.do(cm.ChooseEquipment("EX-1", "lamp", lamp))
        self.desk.do(cm.OpenLampSession(lamp))
        for command in then:
            self.desk.do(command("EX-1"))

    @rule()
    def a_signature(self):
        for check in ("tack-free after rinsing", "inspection"):
            self.desk.do(cm.RecordCheck("EX-1", check))
        self.desk.sign()

    @rule(seconds=st.sampled_from((0.1, 3, 14, 61, 130, 300)))
    def time_passes(self, seconds):
        self.desk.wait(seconds)

    @rule(gap_s=st.sampled_from((0, 3, 60, 1000)))
    def nobody_watches(self, gap_s):
        self.desk.away(gap_s)
        self.desk.tick(gap_s * 1000)

    @rule(long=st.booleans(), code=st.sampled_from(("", "EX-1", "EX-2")))
    def press(self, long, code):
        desk = self.desk
        if code:
            desk.do(cm.ChoosePart(code))
        foot_holds(desk.bench, desk.now, long=long)
        assert meaning(desk.bench, desk.now).line
        decision = desk.press(long=long)
        if isinstance(decision, tuple):
            assert not BY_HAND & {type(event) for event in decision}

    @rule(
        known=st.booleans(),
        reboot=st.booleans(),
        step_s=st.sampled_from((0, -3600, 3600)),
    )
    def the_program_restarts(self, known, reboot, step_s):
        beat = self.desk.clock.now() if known else None
        self.desk.away(20)
        self.desk.clock.step_wall(step_s * 1000)
        if reboot:
            self.desk.clock.reboot()
        self.desk.do(cm.Reopen("2", beat))

    @rule()
    def somebody_looks(self):
        desk = self.desk
        assert situation(desk.bench, desk.now) in TABLE
        assert front(desk.bench, desk.now) in {"", *desk.bench.parts}
        assert len(ranked(desk.bench, desk.now)) == len(desk.bench.in_flight)
        assert two_at_once(desk.bench, desk.now) in {True, False}
        for part in desk.bench.in_flight:
            for gate in GATES.values():
                ask = ask_for(desk.bench, part)
                found = gate.check(desk.bench, ask, desk.now)
                assert found.sentence or found.level == "pass"

    def teardown(self):
        if not hasattr(self, "desk"):
            return
        assert fold(Bench(), self.desk.entries) == self.desk.bench
        for part in self.desk.bench.in_flight:
            assert not (isinstance(part.phase, Ready) and part.stage.kind == "dry")
            if isinstance(part.phase, InRun):
                assert part.code in self.desk.bench.runs[part.phase.run].parts


def foot_holds(bench, now, *, long):
    """Check what a press may never do, before it is made."""
    part = bench.focused
    decision = decide(bench, cm.PressPedal(long), now)
    if part is None or not bench.operator:
        assert not isinstance(decision, tuple)
        return
    shut = isinstance(part.phase, Ready) and first_shut(
        bench, ask_for(bench, part), now
    )
    if shut:
        assert not isinstance(decision, tuple)
    for event in decision if isinstance(decision, tuple) else ():
        about = getattr(event, "parts", ()) or (getattr(event, "part", part.code),)
        assert (
            isinstance(event, ev.CalledAway)
            or (isinstance(event, ev.WalkPaused) and event.why == "called away")
            or part.code in about
            or set(about) <= set(bench.basket_of(part))
        )


# --- what must hold, worked out without the gates ------------------------------


def holds(bench, event, now, command):
    """Check what must be true of the bench at the moment an event is decided."""
    match event:
        case ev.BrushWetted():
            lamp_does(bench, event.part, now)
            part = bench.parts[event.part]
            assert last_day(bench, event.lot) >= now.day()
            assert dry_for(part, now, bench.recipe_of(part).dry_before_coat_s)
        case ev.WalkStarted():
            lamp_does(bench, event.part, now)
        case ev.SpotTacked():
            gap_ms = command.gap_ms if isinstance(command, cm.Tick) else 0
            watched = now.plus(-gap_ms if gap_ms > bench.limits["stall_ms"] else 0)
            assert watched.since(event.ended) >= 0
        case ev.SubmergeConfirmed():
            assert event.immersions <= bench.limits["glycerine_immersions"]
        case ev.RunStarted():
            assert event.box not in {run.box for run in bench.runs.values()}
            for code in event.parts:
                box_does(bench, code, event, now)
        case ev.DoseCredited():
            assert isinstance(command, cm.TellRunEnd)
            assert 0 <= event.low <= event.high
            credited = {each.run for each in bench.parts[event.part].exposures}
            assert event.run not in credited
        case ev.PartReleased():
            part = bench.parts[event.part]
            owed_in_full(part)
            assert not bench.open_deviations(event.part)
            assert all(part.checks.get(check) for check in bench.checks_of(part))


def dry_for(part, now, least_s):
    """Return whether a part has been dry for so long, or never was wet."""
    return part.dry_since is None or now.since(part.dry_since) >= least_s * 1000


def owed_in_full(part):
    """Check that every side had its plan, and the newest coat its second half."""
    plans = [stage for stage in part.route if stage.kind == "box"]
    for stage in plans:
        layer = part.newest_coat if stage.half == SUBMERGED else BODY
        low = sum(
            each.low
            for each in part.exposures
            if (each.side, each.half) == (stage.side, stage.half)
            and layer in each.layers
        )
        assert low >= stage.plan


def lamp_does(bench, code, now):
    """Check that a light check that fails was passed by nothing."""
    part = bench.parts[code]
    layer = part.stage.layer
    planned_s = bench.recipe_of(part).planned_tack_s
    answer = judge_lamp(bench, part.lamp, lot_for(part, layer), planned_s)
    assert answer.level != "fail"
    if answer.level == "marginal":
        scope = f"{code}, {part.lamp}, {layer}"
        assert ("light-check", scope) in bench.accepted
    assert bench.lamp_session is not None
    assert bench.lamp_session.lamp == part.lamp


def box_does(bench, code, run, now):
    """Check that nothing went into a box that a gate should have kept out."""
    part = bench.parts[code]
    assert (part.stage.kind, part.stage.half, part.stage.side) == (
        "box",
        run.half,
        run.side,
    )
    warm_ms = bench.boxes[run.box].warm_s * 1000
    assert part.hot_since is None or now.since(part.hot_since) >= warm_ms
    if run.half == SUBMERGED:
        lot = lot_for(part, part.newest_coat)
        assert judge_box(bench, part, lot, part.stage.plan).level != "fail"
        assert part.immersed_in or part.variant.cover == "nitrogen"
    else:
        assert dry_for(part, now, bench.recipe_of(part).dry_before_box_s)


TestAnyBench = AnyBench.TestCase
TestAnyBench.settings = settings(
    max_examples=100,
    stateful_step_count=30,
    deadline=None,
    # A day is not shrunk: that takes minutes. Add Phase.shrink to hunt a failure.
    phases=[Phase.explicit, Phase.reuse, Phase.generate],
)
