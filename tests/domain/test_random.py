"""Whatever is asked in whatever order, what must hold holds.

Commands are drawn at random from all there are, with sensible and with senseless
contents; in between a competent pair of hands brings the parts on, time passes, the
program stalls, restarts, and the wall clock steps.
"""

from __future__ import annotations

import dataclasses
import types
import typing

from hypothesis import Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, rule

from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain import library as lib
from benchassist.domain.decide import decide
from benchassist.domain.evolve import fold
from benchassist.domain.gates import GATES, ask_for, first_shut
from benchassist.domain.ledger import owed
from benchassist.domain.light import judge_box, judge_lamp, lot_for
from benchassist.domain.outcome import Refusal, Said
from benchassist.domain.pedal import TABLE, meaning, situation
from benchassist.domain.queue import front, ranked, two_at_once
from benchassist.domain.route import SUBMERGED
from benchassist.domain.state import Bench, InRun, Ready, acceptance_key
from benchassist.journal.codec import CODEC
from tests.domain.builders import CROWN, CURVES, DENTURE, SPLINT, Desk

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
    "check": ("tack after rinsing", "inspection", "smell"),
    "reason": ("because", ""),
    "text": ("it fell", ""),
    "material": ("EX-CC", "EX-9"),
    "variant": (None, lib.Variant(1, 1), lib.Variant(0, 4), lib.Variant(finish="none")),
    "due": (None,),
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


class AnyBench(RuleBasedStateMachine):
    """A bench on which anything may be asked."""

    def __init__(self):
        super().__init__()
        self.desk = Desk()

    @initialize(
        recipe=st.sampled_from((CROWN, SPLINT, DENTURE)),
        lamp=st.sampled_from(("LM-A", "LM-A", "LM-C", "LM-B")),
    )
    def parts(self, recipe, lamp):
        self.desk.take("EX-1", recipe=recipe, lamp=lamp)
        self.desk.take("EX-2", recipe=recipe)

    def ask(self, command):
        """Ask for something and check what must hold of any answer."""
        desk = self.desk
        before = desk.bench
        written = len(desk.entries)
        decision = desk.do(command)
        if isinstance(decision, Refusal):
            assert decision.code
            assert decision.message[-1] in ".!?" or decision.code.startswith(
                ("dry", "vessel")
            )
            pressed = isinstance(command, cm.PressPedal)
            assert desk.bench == dataclasses.replace(
                before,
                seq=before.seq + 1,
                refused_presses=before.refused_presses + pressed,
            ) or same_but_for_who_acted(before, desk.bench)
        elif isinstance(decision, Said):
            assert decision.message
            assert desk.bench == before
        else:
            bench = before
            for entry in desk.entries[written:]:
                holds(bench, entry.event, desk.now)
                bench = fold(bench, [entry])
                CODEC.encode(entry.event)
            assert bench == desk.bench
        return decision

    @rule(command=commands())
    def anything(self, command):
        self.ask(command)

    @rule(code=st.sampled_from(("EX-1", "EX-2")), steps=st.integers(1, 8))
    def the_next_thing(self, code, steps):
        for _ in range(steps):
            try:
                self.desk.step(code)
            except AssertionError:
                return  # something was asked before that stands in the way

    @rule(seconds=st.sampled_from((0.1, 3, 14, 61, 130, 300)))
    def time_passes(self, seconds):
        self.desk.wait(seconds)

    @rule(gap_s=st.sampled_from((0, 3, 60, 1000)))
    def nobody_watches(self, gap_s):
        self.desk.away(gap_s)
        self.ask(cm.Tick(gap_s * 1000))

    @rule(long=st.booleans())
    def press(self, long):
        desk = self.desk
        before = desk.bench
        foot_holds(before, desk.now, long=long)
        line = meaning(before, desk.now).line
        decision = self.ask(cm.PressPedal(long))
        assert line
        if isinstance(decision, tuple):
            assert not BY_HAND & {type(event) for event in decision}

    @rule(
        known=st.booleans(),
        reboot=st.booleans(),
        step_s=st.sampled_from((0, -3600, 3600)),
    )
    def the_program_restarts(self, known, reboot, step_s):
        beat = self.desk.now if known else None
        self.desk.away(20)
        self.desk.clock.step_wall(step_s * 1000)
        if reboot:
            self.desk.clock.reboot()
        self.ask(cm.Reopen("2", beat))

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
                assert gate.check(desk.bench, ask, desk.now).sentence

    def teardown(self):
        assert fold(Bench(), self.desk.entries) == self.desk.bench
        for part in self.desk.bench.in_flight:
            assert not (isinstance(part.phase, Ready) and part.stage.kind == "dry")
            if isinstance(part.phase, InRun):
                assert part.code in self.desk.bench.runs[part.phase.run].parts


def same_but_for_who_acted(before, after):
    """Return whether a refusal left parts, runs and ledger alone."""
    return all(
        getattr(before, name) == getattr(after, name)
        for name in (
            "parts",
            "runs",
            "loads",
            "fills",
            "accepted",
            "deviations",
            "limits",
        )
    )


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
            or part.code in about
            or (set(about) <= set(bench.basket_of(part)))
        )


def holds(bench, event, now):
    """Check what must be true of the bench at the moment an event is decided."""
    match event:
        case ev.BrushWetted() | ev.WalkStarted():
            lamp_does(bench, event.part, now)
        case ev.RunStarted():
            for code in event.parts:
                box_does(bench, code, event, now)
        case ev.DoseCredited():
            assert 0 <= event.low <= event.high
            assert event.run in {e.run for e in bench.runs.values()} | {
                e.run for e in bench.last_end.values()
            }
        case ev.PartReleased():
            part = bench.parts[event.part]
            assert all(account.low >= account.owed for account in owed(bench, part))
            assert not bench.open_deviations(event.part)
            assert all(part.checks.get(check) for check in bench.recipe_of(part).checks)


def lamp_does(bench, code, now):
    """Check that a light check that fails was passed by nothing."""
    part = bench.parts[code]
    layer = part.stage.layer
    planned_s = bench.recipe_of(part).planned_tack_s
    answer = judge_lamp(bench, part.lamp, lot_for(part, layer), planned_s)
    assert answer.level != "fail"
    if answer.level == "marginal":
        scope = GATES["light-check"].check(bench, ask_for(bench, part), now).scope
        assert acceptance_key("light-check", scope) in bench.accepted
    assert bench.lamp_session is not None
    assert bench.lamp_session.lamp == part.lamp


def box_does(bench, code, run, now):
    """Check that nothing went into a box that a gate should have kept out."""
    part = bench.parts[code]
    assert (
        GATES["dry-before-box"].check(bench, ask_for(bench, part), now).level == "pass"
    )
    assert part.stage.half == run.half
    assert part.stage.side == run.side
    assert run.box not in {other.box for other in bench.runs.values()}
    if run.half == SUBMERGED:
        lot = lot_for(part, part.newest_coat)
        assert judge_box(bench, part, lot, part.stage.plan)[0] != "fail"
        assert part.immersed_in or part.variant.cover == "nitrogen"


TestAnyBench = AnyBench.TestCase
TestAnyBench.settings = settings(
    max_examples=40,
    stateful_step_count=40,
    deadline=None,
    # A day is not shrunk: that takes minutes. Add Phase.shrink to hunt a failure.
    phases=[Phase.explicit, Phase.reuse, Phase.generate],
)
