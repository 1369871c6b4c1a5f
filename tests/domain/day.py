"""A prompt operator who always does what the bench answers, and nothing else."""

from __future__ import annotations

from pathlib import Path

from benchassist.domain import commands as cm
from benchassist.domain.advice import answer
from benchassist.domain.deciders.box import planned_count
from benchassist.domain.deciders.coat import session_missing
from benchassist.domain.gates import ask_for, first_shut
from benchassist.domain.limits import limit
from benchassist.domain.queue import need
from benchassist.domain.state import InRun, Walking
from benchassist.library_file import parse_library
from tests.domain.builders import Desk

CASES = Path(__file__).parents[2] / "demo_cases"
TICK_MS = 1000  # below the gap that counts as a stall
GLANCE_MS = 5000  # how often working hands look up; an assumption of this test
CARD_S = 10  # a card held, a basket lifted out; an assumption of this test
VESSELS = ("EX-GV-01", "EX-GV-02", "EX-GV-03")


def practice():
    """Return the invented practice that comes with the program."""
    text = CASES.joinpath("practice.toml").read_text(encoding="utf-8")
    return parse_library(
        text,
        name="practice.toml",
        beside=lambda name: CASES.joinpath(name).read_text(encoding="utf-8"),
    )


class Operator(Desk):
    """One pair of hands for a whole day, obedient and prompt."""

    def __init__(self):
        super().__init__(filed=practice())
        self.left_ms = {}  # hand work that was begun and put down
        self.harmed = {}
        self.answers = 0

    # --- time ----------------------------------------------------------------

    def pass_ms(self, ms):
        """Let time pass, tick by tick while a lamp is lit, and watch for harm."""
        while ms > 0:
            lit = any(isinstance(p.phase, Walking) for p in self.bench.in_flight)
            step = min(ms, TICK_MS if lit else GLANCE_MS)
            self.clock.advance(step)
            self.tick(min(step, TICK_MS))
            self.watch()
            ms -= step

    def watch(self):
        """Note every part that being late harms now."""
        for part in self.bench.in_flight:
            late = -need(self.bench, part, self.now).harm_ms
            if late > 0 and not isinstance(part.phase, InRun):  # an idle box harms none
                key = part.code, part.stage.key
                self.harmed[key] = max(late, self.harmed.get(key, 0))

    # --- one answer, one act ---------------------------------------------------

    def work_one(self):
        """Do what the bench answers; let a moment pass where it answers nothing."""
        advice = answer(self.bench, self.now)
        self.answers += 1
        task = advice.first
        if task is None:
            return self.pass_ms(GLANCE_MS)
        if task.due_ms > 0:
            return self.pass_ms(min(task.due_ms, 6 * GLANCE_MS))
        return self.ACTS[task.act](self, task)

    def quick(self, *commands):
        self.pass_ms(CARD_S * 1000)
        self.must(*commands)

    def take_out(self, task):
        self.quick(cm.TakeOut(task.part))

    def go_on(self, task):
        self.must(cm.FinishStage(task.part))

    def tell(self, task):
        self.quick(cm.TellRunEnd(self.part(task.part).phase.run, "completed"))

    def start(self, task):
        self.quick(cm.StartStage(task.part))

    def by_hand(self, task):
        """Work until it is done, or until the answer names somebody else."""
        part = self.part(task.part)
        key = part.code, part.stage.key
        code = f"hands_{part.stage.kind}_s"
        left = self.left_ms.get(key, int(limit(self.bench, code) * 1000))
        while left > 0:
            self.pass_ms(min(GLANCE_MS, left))
            left -= min(GLANCE_MS, left)
            first = answer(self.bench, self.now).first
            if first is None or first.part != task.part:
                break
        self.left_ms[key] = left
        if left <= 0:
            self.must(cm.FinishStage(task.part))

    def coat(self, task):
        if task.shut:
            return self.open(task)
        part = self.part(task.part)
        if session_missing(self.bench, part):
            self.quick(cm.OpenLampSession(part.lamp))
            if answer(self.bench, self.now).first.part != task.part:
                return None
        self.must(cm.ChoosePart(task.part), cm.WetBrush(task.part))
        self.pass_ms(self.bench.recipe_of(part).brush_s * 1000)
        self.must(cm.StartWalk(task.part))
        while isinstance(self.part(task.part).phase, Walking):
            self.pass_ms(TICK_MS)
        return None

    def load(self, task):
        part = self.part(task.part)
        count = planned_count(self.bench, tuple(map(self.part, task.parts)))
        self.quick(cm.ConfirmLoad(task.parts, part.box, count))

    def start_box(self, task):
        self.must(cm.StartRun(self.part(task.part).box))

    def submerge(self, task):
        if task.shut:
            return self.open(task)
        self.pass_ms(CARD_S * 1000)
        part = self.part(task.part)
        count = planned_count(self.bench, tuple(map(self.part, task.parts)))
        self.must(cm.ConfirmSubmerged(task.parts, part.box, part.vessel, count))
        return None

    def turn(self, task):
        self.quick(cm.ConfirmFlip(task.part))

    def check(self, task):
        """Do the named checks, then sign."""
        part = self.part(task.part)
        self.pass_ms(GLANCE_MS)
        left = [c for c in self.bench.checks_of(part) if not part.checks.get(c)]
        each_ms = int(limit(self.bench, "hands_checks_s") * 1000)
        if left:
            self.pass_ms(each_ms // len(self.bench.checks_of(part)))
            self.must(cm.RecordCheck(part.code, left[0]))
        else:
            self.must(cm.ReleasePart(part.code))

    def open(self, task):
        """Open the gate that a hand has to open: fresh glycerine, or another vessel."""
        assert task.shut in ("glycerine-count", "own-glycerine"), task
        self.pass_ms(2 * CARD_S * 1000)
        busy = {p.immersed_in for p in self.bench.in_flight}
        for vessel in VESSELS:
            part = self.part(task.part)
            if vessel in busy:
                continue
            for code in task.parts:
                if self.part(code).vessel != vessel:
                    self.must(cm.ChooseEquipment(code, "vessel", vessel))
            found = first_shut(
                self.bench, ask_for(self.bench, part, task.parts), self.now
            )
            if found is None or found[0].code not in (
                "glycerine-count",
                "own-glycerine",
                "box-free-for-coat",
            ):
                return
            self.must(cm.FillGlycerine(vessel, "EX-GL-2"))
            return
        raise AssertionError(f"every vessel is taken: {busy}")

    def give_up(self, task):
        raise AssertionError(f"nobody should need {task.act}: {task}")

    ACTS = {
        "take out": take_out,
        "go on": go_on,
        "tell the run's end": tell,
        "start": start,
        "work by hand": by_hand,
        "wet the brush": coat,
        "load the box": load,
        "start the box": start_box,
        "submerge": submerge,
        "turn over": turn,
        "check": check,
        "tack": give_up,
        "look": give_up,
        "resume": give_up,
        "put on hold": give_up,
    }
