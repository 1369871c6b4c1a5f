"""An invented practice and a bench in memory to try it on; no mocks, no files.

Every light here is a narrow line where the initiators absorb evenly, so that its
effective irradiance is the line's own power and every number can be checked in the
head: 4.2 J/cm² at 420 mW/cm² take 10 s.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

from benchassist.clock import Now, SimulatedClock
from benchassist.domain import commands as cm
from benchassist.domain import library as lib
from benchassist.domain.dark import boots_at
from benchassist.domain.decide import decide
from benchassist.domain.deciders.box import planned_count
from benchassist.domain.deciders.coat import session_missing
from benchassist.domain.events import CommandRefused, Entry
from benchassist.domain.evolve import evolve
from benchassist.domain.outcome import Refusal, Said
from benchassist.domain.runs import length_ms
from benchassist.domain.stages import STAGES
from benchassist.domain.state import (
    Bench,
    Brushing,
    Closed,
    InRun,
    OnHold,
    Paused,
    Ready,
    Soaking,
    Walking,
)

MORNING = datetime(2026, 5, 14, 8, 50, tzinfo=UTC)
CROWN = "EX-RC-CROWN r1"
DENTURE = "EX-RC-DENTURE r1"
SPLINT = "EX-RC-SPLINT r1"
TICK_MS = 500
AT_ONCE = {"soak": cm.StartStage, "hand": cm.FinishStage, "flip": cm.ConfirmFlip}


def line(digest, *powers):
    """Return a light of lines ``(mW/cm², nm)``, each one nanometre wide."""
    points = {}
    for power, nm in powers:
        points |= {nm - 1.0: 0.0, float(nm): float(power), nm + 1.0: 0.0}
    nm = tuple(sorted(points))
    heights = tuple(points[each] for each in nm)
    return lib.Curve(digest, "irradiance_mw_cm2_nm", nm, heights, "EX", "measured")


def even(digest, low_nm, high_nm, height, quantity="absorptivity_l_mol_cm"):
    """Return a curve of one height between two wavelengths."""
    return lib.Curve(
        digest, quantity, (low_nm, high_nm), (height,) * 2, "EX", "measured"
    )


CURVES = (
    even("violet", 360.0, 430.0, 500.0),
    even("blue", 440.0, 480.0, 50.0),
    line("at-405", (420, 405)),
    line("at-405-weak", (252, 405)),
    line("at-405-dim", (100, 405)),
    line("at-460", (1000, 460)),
    line("at-both", (420, 405), (420, 460)),
    line("box-405", (120, 405)),
    line("box-460", (120, 460)),
    line("box-dim", (16, 405)),
    even("wall-95", 300.0, 600.0, 0.95, "transmittance"),
    even("wall-50", 300.0, 600.0, 0.5, "transmittance"),
)


def material(code, role, *, curve="violet", knowledge="known", example=True):
    """Return a resin that needs 4.2 J/cm² to set and 6 J/cm² to finish."""
    return lib.Material(
        code=code,
        title=code.lower(),
        role=role,
        initiators=(lib.Initiator(curve, curve, 0.02, 0.6),),
        knowledge=knowledge,
        design_nm=460.0 if curve == "blue" else 405.0,
        set_j_cm2=4.2,
        final_j_cm2=6.0,
        example=example,
        document="EX-DS-1",
        revision="2",
    )


def coupon(**changes):
    """Return a coupon of sets A and B: 8 s held of a planned 10, so 10 to 20 s."""
    whole = {
        "id": "T-1",
        "lamp": "LM-A",
        "material": "EX-CLASS",
        "lot": "L-CLASS",
        "box": "BX-1",
        "vessel": "GV-1",
        "count": 2200,
        "planned_s": 10,
        "held_s": 8.0,
        "tried_s": 8.0,
        "top_s": 20.0,
        "finished": True,
        "reading": 100.0,
        "tip": "10 mm",
        "celsius": 23.0,
        "coat_um": 25.0,
    }
    return lib.Coupon(**(whole | changes))


MATERIALS = (
    material("EX-C", "print"),
    material("EX-CC", "coat"),
    material("EX-CLASS", "coat", knowledge="design class"),
    material("EX-ST", "stain"),
    material("EX-SB", "stain", curve="blue"),
)
LOTS = (
    lib.Lot("L-PRINT", "EX-C", "2030-01-01"),
    lib.Lot("L-COAT", "EX-CC", "2030-01-01"),
    lib.Lot("L-CLASS", "EX-CLASS", "2030-01-01"),
    lib.Lot("L-STAIN", "EX-ST", "2030-01-01"),
    lib.Lot("L-BLUE", "EX-SB", "2030-01-01"),
    lib.Lot("L-PRINT-2", "EX-C", "2030-01-01"),
    lib.Lot("L-COAT-2", "EX-CC", "2030-01-01"),
    lib.Lot("L-PRINT-OLD", "EX-C", "2026-05-13"),
    lib.Lot("L-OLD", "EX-CC", "2026-05-13"),
    lib.Lot("L-MIX", "EX-ST", "", (("L-STAIN", 0.5), ("L-COAT", 0.5))),
    lib.Lot("L-MIX-OLD", "EX-CC", "2030-01-01", (("L-COAT", 0.5), ("L-OLD", 0.5))),
)


def lamp(code, curve, knowledge="measured"):
    """Return a lamp whose baseline reading is 100."""
    lamp = lib.Lamp(code, code, knowledge, curve, 100.0, example=True)
    return replace(lamp, document="EX-DS-2", revision="1")


LAMPS = (
    lamp("LM-A", "at-405"),
    lamp("LM-B", "at-460"),
    lamp("LM-C", "at-405-weak"),
    lamp("LM-DIM", "at-405-dim"),
    lamp("LM-BOTH", "at-both"),
    lamp("LM-DECLARED", "at-405", "declared"),
    lamp("LM-UNKNOWN", "", "unknown"),
    lamp("LM-UNREAD", "at-405"),
)
STEPS_100 = lib.CountRule(100, 3000)
STEPS_500 = lib.CountRule(500, 2500)
PROGRAMS = lib.CountRule(programs=(1000, 2000, 3000))


def box(code, curve="box-405", rule=STEPS_100, **more):
    """Return a flash box at 8 Hz."""
    known = more.pop("knowledge", "measured")
    plain = lib.Box(code, code, "flash", 8.0, rule, known, curve, 100.0, example=True)
    return replace(plain, document="EX-DS-3", revision="1", **more)


BOXES = (
    box("BX-1"),
    box("BX-2"),
    box("BX-500", rule=STEPS_500),
    box("BX-PROGRAMS", rule=PROGRAMS),
    box("BX-BLUE", "box-460"),
    box("BX-DIM", "box-dim"),
    box("BX-UNKNOWN", "", knowledge="unknown"),
    box("BX-DECLARED", knowledge="declared"),
    box("BX-WARM", warm_s=60),
    box("BX-SLOW-START", start_allowance_s=20),
    box("BX-STEADY", unit="s", rate_hz=1.0),
)
VESSELS = (
    lib.Vessel("GV-1", "", "wall-95", 80.0, example=True),
    lib.Vessel("GV-2", "", "wall-95", 80.0, example=True),
    lib.Vessel("GV-DARK", "", "wall-50", 80.0, example=True),
    lib.Vessel("GV-UNMEASURED", "", "", 80.0, example=True),
    lib.Vessel("GV-DRY", "", "wall-95", 80.0, example=True),
)


def recipe(code="EX-RC-CROWN", **changes):
    """Return a crown's recipe, changed where the test needs it."""
    crown = lib.Recipe(
        code=code,
        revision=1,
        title="crown",
        material="EX-C",
        item_class="crown",
        ifu_revision="IFU 3",
        status="as IFU",
        record_no="",
        washes=(lib.BathStep("Wash 1", 120, 300), lib.BathStep("Wash 2", 60, 180)),
        solvent_max_s=540,
        dry_before_box_s=900,
        dry_before_coat_s=300,
        sides=("",),
        total=4400,
        unit="flash",
        rule=None,
        dose_max=0,
        coat_material="EX-CC",
        stain_materials=("EX-ST", "EX-SB"),
        coats=2,
        stain_passes=0,
        faces=(lib.SpotFace("Crown", 5),),
        planned_tack_s=10,
        brush_s=15,
        move_s=3,
        wet_limit_s=120,
        refine=True,
        abrade=False,
        degas_s=60,
        purge_s=90,
        rinse_s=60,
        dry_after_rinse_s=120,
        checks=("tack-free after rinsing", "inspection"),
        example=True,
    )
    return replace(crown, **changes)


RECIPES = (
    recipe(),
    recipe(
        "EX-RC-SPLINT",
        item_class="splint",
        total=1400,
        faces=(
            lib.SpotFace("Outer", 20),
            lib.SpotFace("Biting", 20),
            lib.SpotFace("Inner", 20),
        ),
        refine=False,
        abrade=True,
    ),
    recipe(
        "EX-RC-DENTURE",
        item_class="denture base",
        sides=("A", "B"),
        total=1200,
        coats=1,
    ),
)

LIBRARY = cm.FileLibrary(
    curves=CURVES,
    materials=MATERIALS,
    lots=LOTS,
    lamps=LAMPS,
    boxes=BOXES,
    vessels=VESSELS,
    recipes=RECIPES,
    readings=tuple((each.code, 100.0) for each in LAMPS if each.code != "LM-UNREAD"),
    fills=(
        ("GV-1", "G-1", 2),
        ("GV-2", "G-1", 4),
        ("GV-DARK", "G-1", 0),
        ("GV-UNMEASURED", "G-1", 0),
    ),
    limits=(("nitrogen_percent", 0.1, "own meter"),),
)


def names(decision):
    """Return the kinds of the events a decision led to; fail on a refusal."""
    assert isinstance(decision, tuple), decision
    return [type(event).__name__ for event in decision]


def code_of(decision):
    """Return the code of a refusal; fail on anything else."""
    assert isinstance(decision, Refusal), decision
    return decision.code


class Desk:
    """A bench, its clock, and what was written down about it, all in memory."""

    def __init__(self, *, kind="rehearsal", filed=LIBRARY, operator="OP-1"):
        self.clock = SimulatedClock(MORNING)
        self.bench = Bench()
        self.entries = []
        self.do(cm.CreateStore(kind, "EX-STORE", "EX-STATION", "UTC"), "tool")
        if filed is not None:
            self.must(filed)
        if operator:
            self.must(cm.ClaimStation(operator))

    @property
    def now(self):
        at, bench = self.clock.now(), self.bench
        boots = boots_at(bench.boots, bench.latest, at)
        return Now.at(at, boots) if boots else at  # bare, so that moments compare

    def do(self, command, channel="hand"):
        """Decide a command and take what follows into the state, as a session does."""
        pedal = isinstance(command, cm.PressPedal)
        channel = "pedal" if pedal else channel
        decision = decide(self.bench, command, self.now)
        if isinstance(decision, Refusal):
            refused = CommandRefused(
                type(command).__name__, decision.code, decision.part, decision.numbers
            )
            self.happened(refused, channel)
        elif not isinstance(decision, Said):
            for event in decision:
                self.happened(event, channel)
        return decision

    def happened(self, event, channel="hand"):
        """Take one event into the state."""
        seq = len(self.entries) + 1
        entry = Entry(
            seq, f"e-{seq}", self.clock.now(), self.bench.operator, channel, event
        )
        self.entries.append(entry)
        self.bench = evolve(self.bench, entry)

    def must(self, *commands):
        """Do commands that have to be accepted; return the last one's events."""
        decision = ()
        for command in commands:
            decision = self.do(command)
            assert isinstance(decision, tuple), (command, decision)
        return decision

    def sign(self, code="EX-1"):
        """Type the own code once more and sign a part with it."""
        who = self.bench.operator
        if self.bench.unconfirmed:
            self.must(cm.ClaimStation(who))
        return self.do(cm.ReleasePart(code, who))

    def press(self, *, long=False):
        return self.do(cm.PressPedal(long))

    def tick(self, gap_ms=0):
        return self.do(cm.Tick(gap_ms), "tool")

    def wait(self, seconds):
        """Let time pass with somebody watching; return what ended meanwhile.

        While nobody tacks, a minute between two ticks does: nothing is paced.
        """
        ended, left = [], round(seconds * 1000)
        while left > 0:
            walks = any(isinstance(p.phase, Walking) for p in self.bench.in_flight)
            coupon = self.bench.coupon
            walks = walks or (coupon is not None and coupon.lit is not None)
            step = min(TICK_MS if walks else 60_000, left)
            self.clock.advance(step)
            ended.extend(self.tick(step))
            left -= step
        return tuple(ended)

    def away(self, seconds):
        """Let time pass with the program asleep: no tick at all."""
        self.clock.advance(round(seconds * 1000))

    def part(self, code="EX-1"):
        return self.bench.parts[code]

    def stage(self, code="EX-1"):
        return self.part(code).stage.key

    def events(self, kind):
        """Return every event of a kind so far."""
        return [each.event for each in self.entries if isinstance(each.event, kind)]

    def take(self, code="EX-1", recipe=CROWN, variant=None, **more):
        """Take a part in that has all it needs, or what the test says."""
        whole = {
            "print_lot": "L-PRINT",
            "coat_lot": "L-COAT",
            "stain_lot": "L-STAIN",
            "lamp": "LM-A",
            "box": "BX-1",
            "vessel": "GV-1",
            "peg": "blue",
            "reason": "as the test wants it",
        }
        found = whole | more
        if variant is not None and variant.back_from_mouth:
            # It gets a portion of glycerine of its own.
            self.must(cm.FillGlycerine(found["vessel"], "G-OWN"))
        return self.must(cm.TakeIn(code, recipe, variant=variant, **found))

    # --- a competent pair of hands ------------------------------------------------

    def work(self, code="EX-1", upto="", phase=None, most=400):
        """Do by its own commands whatever a part needs, up to a stage or release."""
        for _ in range(most):
            part = self.part(code)
            if isinstance(part.phase, Closed):
                return part
            if part.stage.key == upto and (
                phase is None or isinstance(part.phase, phase)
            ):
                return part
            self.step(code)
        raise AssertionError(code, part.stage.key, part.phase)

    def step(self, code="EX-1"):
        """Do the one thing that a part needs next, waiting for it if need be."""
        part = self.part(code)
        match part.phase:
            case Ready() if part.scrap_asked:
                self.must(cm.KeepPart(code, "the prescriber agreed"))
            case Ready():
                self._begin(part)
            case Soaking():
                self._end_soak(part)
            case InRun(run=name):
                run = self.bench.runs[name]
                self.wait_ms(length_ms(run, self.bench.boxes[run.box]))
                self.must(cm.TellRunEnd(name, "completed"))
            case Brushing():
                self.wait(self.bench.recipe_of(part).brush_s)
                self.must(cm.StartWalk(code))
            case Walking(light_ms=light_ms, move_ms=move_ms):
                self.wait_ms(light_ms + move_ms)
            case Paused():
                self.must(cm.TellCoatState(code, "wet and clean"), cm.GoOn(code))
            case OnHold():
                self.must(cm.ResumePart(code))

    def wait_ms(self, ms):
        self.wait(ms / 1000)

    def _begin(self, part):
        code = part.code
        mode = STAGES[part.stage.kind].mode
        match mode:
            case "soak" | "hand" | "flip":
                self.must(AT_ONCE[mode](code))
            case "hold":
                self.must(cm.HoldPart(code, "later today"))
            case "coat":
                if session_missing(self.bench, part):
                    self.must(cm.OpenLampSession(part.lamp))
                self.must(cm.WetBrush(code))
            case "box":
                self.load(code)
                self.must(cm.StartRun(part.box))
            case "submerge":
                self.submerge(code)
            case "checks":
                self._sign(part)
            case _:
                raise AssertionError(code, "dries without a clock")

    def _sign(self, part):
        for check in self.bench.checks_of(part):
            self.must(cm.RecordCheck(part.code, check))
        self.sign(part.code)

    def _end_soak(self, part):
        self.wait(part.stage.min_s)
        if self.part(part.code).stage != part.stage:
            return  # a submerging ends by itself
        if STAGES[part.stage.kind].mode == "dry":
            self.must(cm.FinishStage(part.code))
        else:
            self.must(cm.TakeOut(part.code))

    def count(self, *codes):
        """Return what the card has to say for these parts."""
        return planned_count(self.bench, tuple(self.part(code) for code in codes))

    def load(self, *codes):
        """Hold the load card, unless it was held, once the box has cooled."""
        part = self.part(codes[0])
        load = self.bench.loads.get(part.box)
        if load is None or part.code not in load.parts:
            self._cool(part)
            self.must(cm.ConfirmLoad(codes, part.box, self.count(*codes)))

    def submerge(self, *codes):
        """Hold the submerge card, once the part has cooled."""
        part = self.part(codes[0])
        self._cool(part)
        count = self.count(*codes)
        self.must(cm.ConfirmSubmerged(codes, part.box, part.vessel, count))

    def _cool(self, part):
        if part.hot_since is not None:
            warm = self.bench.boxes[part.box].warm_s * 1000
            self.wait_ms(max(0, warm - self.now.since(part.hot_since)))


def desk_at(stage, *, phase=None, code="EX-1", **more):
    """Return a desk with one part that was worked up to a stage."""
    desk = Desk()
    desk.take(code, **more)
    desk.work(code, upto=stage, phase=phase)
    return desk
