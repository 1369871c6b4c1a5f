"""A prompt pair of hands that does what the bench answers, and nothing else."""

from __future__ import annotations

from functools import partial

from benchassist import assets
from benchassist.domain import commands as cm
from benchassist.domain.advice import answer, tasks_of
from benchassist.domain.calls import GATED
from benchassist.domain.deciders.box import planned_count
from benchassist.domain.deciders.coat import session_missing
from benchassist.domain.gates import ask_for, first_shut
from benchassist.domain.limits import limit
from benchassist.domain.queue import need
from benchassist.domain.state import Closed, InRun, Walking
from benchassist.library_file import parse_library
from tests.domain.builders import Desk

MINUTE_MS = 60_000
TICK_MS = 1000  # below the gap that counts as a stall
GLANCE_MS = 5000  # how often working hands look up; an assumption of these tests
CARD_MS = 10_000  # a card held, a basket lifted out; an assumption of these tests
LOTS = {"EX-RC-S r1": ("EX-LT-S1",) * 2, "EX-RC-D r1": ("EX-LT-D1",) * 2}
VESSELS = ("EX-GV-01", "EX-GV-02", "EX-GV-03")
BY_HAND = ("glycerine-count", "own-glycerine", "box-free-for-coat")


def practice():
    """Return the invented practice that comes with the program."""
    shipped = partial(assets.read_text, "demo_cases")
    text = shipped("practice.toml")
    return parse_library(text, name="practice.toml", beside=shipped)


class Operator(Desk):
    """One pair of hands for a whole day, obedient and prompt."""

    def __init__(self):
        super().__init__(filed=practice())
        self.opened = self.now
        self.left_ms = {}  # hand work that was begun and put down
        self.harmed = {}

    def take_in(self, code, recipe, minutes, **more):
        """Take a part in that is due so many minutes from now (0: no due time)."""
        printed, coated = LOTS.get(recipe, ("EX-LT-C1", "EX-LT-C2"))
        whole = {
            "coat_lot": coated,
            "stain_lot": "EX-LT-V1",
            "lamp": "EX-LM-A",
            "box": "EX-BX-1",
            "vessel": "EX-GV-01",
            "due": self.now.plus(minutes * MINUTE_MS) if minutes else None,
        }
        self.must(cm.TakeIn(code, recipe, printed, **(whole | more)))

    def until(self, minutes, coming=()):
        """Work until so many minutes after opening, or until all is released.

        ``coming`` holds what happens meanwhile: the minute, and what to do then.
        """
        coming = sorted(coming, key=lambda each: each[0])
        while (passed_ms := self.now.since(self.opened)) < minutes * MINUTE_MS:
            while coming and coming[0][0] * MINUTE_MS <= passed_ms:
                coming.pop(0)[1](self)
            parts = self.bench.parts.values()
            if not coming and all(isinstance(part.phase, Closed) for part in parts):
                return
            self.work_one()

    # --- time ------------------------------------------------------------------

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
        """Note every part that being late harms now; an idle box harms none."""
        for part in self.bench.in_flight:
            late_ms = -need(self.bench, part, self.now).harm_ms
            if late_ms > 0 and not isinstance(part.phase, InRun):
                key = part.code, part.stage.key
                self.harmed[key] = max(late_ms, self.harmed.get(key, 0))

    # --- one answer, one act -----------------------------------------------------

    def next_task(self):
        """Return what to do now; None where the answer is to wait."""
        return answer(self.bench, self.now).first

    def work_one(self):
        task = self.next_task()
        if task is None or task.due_ms > 0:
            self.pass_ms(min(task.due_ms, 30_000) if task else GLANCE_MS)
        elif task.shut:
            self.open(task)
        else:
            ACTS[task.act](self, task)

    def quick(self, *commands):
        self.pass_ms(CARD_MS)
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
        whole_s = limit(self.bench, f"hands_{part.stage.kind}_s")
        left = self.left_ms.get(key, int(whole_s * 1000))
        while left > 0 and self.stays_with(task):
            self.pass_ms(min(GLANCE_MS, left))
            left -= GLANCE_MS
        self.left_ms[key] = left
        if left <= 0:
            self.must(cm.FinishStage(task.part))

    def stays_with(self, task):
        first = self.next_task()
        return first is not None and first.part == task.part

    def coat(self, task):
        part = self.part(task.part)
        if session_missing(self.bench, part):
            self.quick(cm.OpenLampSession(part.lamp))
            return
        self.must(cm.ChoosePart(task.part), cm.WetBrush(task.part))
        self.pass_ms(self.bench.recipe_of(part).brush_s * 1000)
        self.must(cm.StartWalk(task.part))
        while isinstance(self.part(task.part).phase, Walking):
            self.pass_ms(TICK_MS)

    def load_box(self, task):
        count = planned_count(self.bench, tuple(map(self.part, task.parts)))
        self.quick(cm.ConfirmLoad(task.parts, self.part(task.part).box, count))

    def start_box(self, task):
        self.must(cm.StartRun(self.part(task.part).box))

    def put_under(self, task):
        part = self.part(task.part)
        count = planned_count(self.bench, tuple(map(self.part, task.parts)))
        self.quick(cm.ConfirmSubmerged(task.parts, part.box, part.vessel, count))

    def turn(self, task):
        self.quick(cm.ConfirmFlip(task.part))

    def check(self, task):
        """Do one named check, or sign when all are done."""
        part = self.part(task.part)
        checks = self.bench.checks_of(part)
        left = [name for name in checks if not part.checks.get(name)]
        if left:
            self.pass_ms(int(limit(self.bench, "hands_checks_s") * 1000) // len(checks))
            self.must(cm.RecordCheck(part.code, left[0]))
        else:
            who = self.bench.operator
            if self.bench.unconfirmed:
                self.quick(cm.ClaimStation(who))
            self.quick(cm.ReleasePart(part.code, who))

    def open(self, task):
        """Open the gate that waits for a hand: a free vessel, filled anew if need be."""
        assert task.shut in BY_HAND, task
        self.pass_ms(2 * CARD_MS)
        taken = {part.immersed_in for part in self.bench.in_flight}
        vessel = next(each for each in VESSELS if each not in taken)
        for code in task.parts:
            if self.part(code).vessel != vessel:
                self.must(cm.ChooseEquipment(code, "vessel", vessel))
        part = self.part(task.part)
        ask = ask_for(self.bench, part, () if part.stage.layer else task.parts)
        found = first_shut(self.bench, ask, self.now)
        if found and found[0].code in BY_HAND:
            self.must(cm.FillGlycerine(vessel, "EX-GL-2"))


ACTS = {
    "take out": Operator.take_out,
    "go on": Operator.go_on,
    "tell the run's end": Operator.tell,
    "start": Operator.start,
    "work by hand": Operator.by_hand,
    "wet the brush": Operator.coat,
    "load the box": Operator.load_box,
    "start the box": Operator.start_box,
    "submerge": Operator.put_under,
    "turn over": Operator.turn,
    "check": Operator.check,
}


class ByAppointment(Operator):
    """The same hands, by appointment only, finishing what they have begun."""

    def next_task(self):
        for task in sorted(tasks_of(self.bench, self.now), key=self.appointment):
            if task.due_ms <= 0 and not self.is_shut(task):
                return task
        return None

    def appointment(self, task):
        due = self.part(task.part).due
        return due.since(self.opened) if due else 24 * 60 * MINUTE_MS

    def is_shut(self, task):
        if task.act not in GATED:
            return False
        part = self.part(task.part)
        ask = ask_for(self.bench, part, () if part.stage.layer else task.parts)
        return first_shut(self.bench, ask, self.now) is not None

    def stays_with(self, task):
        return True
