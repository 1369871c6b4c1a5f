"""Hands that work at a bench by what it asks for, and write down each line they do.

They look at the bench before every line, as a person looks at the screen, and they are
as good as people are: in no order that anybody planned, by foot or by hand, and now and
then refused.
"""

import random
import shlex
from abc import ABC, abstractmethod
from collections import Counter
from datetime import datetime

from benchassist import assets
from benchassist.domain.deciders.box import planned_count
from benchassist.domain.gates import GATES
from benchassist.domain.queue import need
from benchassist.domain.stages import STAGES
from benchassist.domain.standing import Standings
from benchassist.domain.state import InRun, Ready, Soaking
from benchassist.journal.writing import Journal
from benchassist.rehearsal.player import Player
from benchassist.rehearsal.script import Script, _line

START = datetime.fromisoformat("2026-03-02T08:00:00+01:00")
MINUTE_MS, HOUR_MS = 60_000, 3_600_000
OPEN_MS = 8 * HOUR_MS
STUCK = 12  # refusals in a row that no remedy helped: the hands give a part up
RECIPES = {  # what is taken in: print, coat, stain lots; vessel
    "EX-RC-C r1": ("EX-LT-C1", "EX-LT-C2", "EX-LT-M1", "EX-GV-01"),
    "EX-RC-B r1": ("EX-LT-C1", "EX-LT-C2", "EX-LT-M1", "EX-GV-03"),
    "EX-RC-V r2": ("EX-LT-C1", "EX-LT-C2", "EX-LT-M1", "EX-GV-01"),
    "EX-RC-S r1": ("EX-LT-S1", "EX-LT-S1", "", "EX-GV-02"),
    "EX-RC-D r1": ("EX-LT-D1", "EX-LT-D1", "", "EX-GV-03"),
    "EX-RC-T r1": ("EX-LT-C1", "", "", ""),
}
HANDS_S = {"hand": (20, 90), "card": (5, 30), "sign": (5, 15)}
WAITS = ("interruption", "box-occupied", "vessel-hot")  # refusals that time helps
VERBS = {
    "ready": "start-stage",
    "timer-due": "take-out",
    "dry-due": "finish-stage",
    "brush": "wet-brush",
    "brushing": "start-walk",
}
OF_THE_RECORD = ("journal", "journal-busy", "journal-dropped")


class SoakError(AssertionError):
    """What must hold does not; the message says what and on which day."""


class Hands(ABC):
    """One bench and whoever works at it.

    Attributes
    ----------
    text
        The lines done so far: a rehearsal that can be run again.
    refused, gave_up
        How often hands were refused, by code; parts given up, by gate.
    """

    def __init__(self, folder, seed, parts_a_day):
        self.chance = random.Random(seed)
        self.folder = folder
        self.parts_a_day = parts_a_day
        self.text = [f"start {START:%Y-%m-%d %H:%M:%S} +01:00"]
        self.refused, self.gave_up = Counter(), Counter()
        self.made = 0
        self._rest = {}  # part to the ms until which it is left alone
        self._stuck = Counter()
        script = Script("soak", START, self.lines(), self._beside)
        self.player = Player(script, lambda: Journal.open(folder), listener=self.heard)

    @staticmethod
    def _beside(name):
        return assets.read_text("demo_cases", *name.split("/"))

    @abstractmethod
    def lines(self):
        """Yield the lines, each after the one before was done."""

    @abstractmethod
    def heard(self, outcome):
        """Take in what the program acknowledged."""

    @abstractmethod
    def delivered(self, run):
        """Return what the box has really given in a run."""

    @abstractmethod
    def mains_gone(self, run):
        """Return whether the box stopped because there was no current."""

    @property
    def bench(self):
        return self.player.session.bench

    @property
    def now(self):
        return self.player.session.now()

    @property
    def ms(self):
        """Return the bench's milliseconds since its first midnight."""
        return self.player._passed_ms + OPEN_MS

    def fail(self, what):
        """Say that something does not hold."""
        message = f"line {len(self.text)}: {what}"
        raise SoakError(message)

    # --- lines ---------------------------------------------------------------------

    def line(self, *words):
        """Return one line, which is also kept as text."""
        found = [str(word) for word in words if str(word)]
        self.text.append(shlex.join(found))
        return _line(len(self.text), found)

    def do(self, *words, after_s=0):
        """Yield a line and, should it be refused, that this was expected."""
        if after_s:
            words = (f"+{round(after_s * 1000)}ms", *words)
        yield self.line(*words)
        if self.player._unexpected is None:
            return ""
        refusal = self.player.outcome.refusal
        self.refused[refusal.code] += 1
        if refusal.code in OF_THE_RECORD:
            self.fail(f"{words}: {refusal.message}")
        yield self.line("expect", "refused", refusal.code)
        return refusal.code

    def clock(self, ms):
        """Return the bench's ms as the time of day that a script writes."""
        hours, rest = divmod(ms, HOUR_MS)
        return f"{hours:02}:{rest // MINUTE_MS:02}:{rest // 1000 % 60:02}"

    # --- intake ----------------------------------------------------------------------

    def take_in(self):
        """Take one part in, now and then under a code that was used before."""
        self.made += 1
        code = f"EX-{self.made:03}"
        if self.chance.random() < 0.05:
            code = f"EX-{self.chance.randrange(1, self.made + 1):03}"
        recipe = self.chance.choice(tuple(RECIPES))
        lot, coat, stain, vessel = RECIPES[recipe]
        stain = stain if stain not in self.bench.closed_lots else ""
        due = self.clock(self.ms + self.chance.randrange(2, 9) * HOUR_MS)
        words = ["take-in", code, recipe, lot, "box=EX-BX-1", f"due={due}"]
        if coat:
            words += [f"coat_lot={coat}", "lamp=EX-LM-A", f"vessel={vessel}"]
            words += [f"peg={self.made % 20}"]
            if self.chance.random() < 0.3:
                words += ["variant.coats=1", "reason=as agreed"]
        words.append(f"stain_lot={stain}" if stain else "variant.stain_passes=0")
        yield from self.do(*words, after_s=self.chance.randrange(10, 40))
        alike = [
            each.code
            for each in self.bench.in_flight
            if each.recipe == recipe and isinstance(each.phase, Ready) and not each.at
        ]
        if 1 < len(alike) < 5 and self.chance.random() < 0.4:
            yield from self.do("form-basket", ",".join(alike), after_s=5)

    # --- work -----------------------------------------------------------------------

    def work(self):
        """Do the next thing that the bench asks for, or let time pass."""
        bench, at = self.bench, Standings(self.bench, self.now)
        asked = {
            "locked": ("operator", "OP-1"),
            "away": ("come-back",),
            "handed": ("read-hand-over",),
        }.get(at.of_bench)
        if asked:
            yield from self.do(*asked, after_s=3)
            return
        if bench.unconfirmed:
            yield from self.do("operator", bench.operator or "OP-1", after_s=3)
        for each in at.ranked:
            standing = at.of(each.part)
            if self._rest.get(each.part, 0) > self.ms:
                continue
            if standing.situation == "walking":
                yield from self._walked(standing.part)
                return
            if standing.situation not in ("running", "drying"):
                yield from self._at(standing.part, standing)
                return
        yield from self._time_passes()

    def _time_passes(self):
        bench, now = self.bench, self.now
        dues = (
            need(bench, part, now).due_ms
            for part in bench.in_flight
            if isinstance(part.phase, Soaking | InRun)
        )
        ahead = min((due for due in dues if due > 0), default=10 * MINUTE_MS)
        yield from self.do("wait", f"{max(1000, min(ahead, 10 * MINUTE_MS))}ms")

    def _walked(self, part):
        """Let a walk go on, or break it off, or be called away in it."""
        roll = self.chance.random()
        if roll < 0.05:
            yield from self.do("press", after_s=2)
        elif roll < 0.08:
            yield from self.do("press", "long", after_s=2)
        elif roll < 0.5:
            yield from self.do("wait", f"{self.chance.randrange(2000, 40_000)}ms")
        else:
            yield from self.do("wait", part.code)

    def _at(self, part, standing):
        """Do what a part asks for; leave it alone for a while where it is refused."""
        code, situation = part.code, standing.situation
        after = self.chance.uniform(*HANDS_S.get(situation, (2, 6)))
        refused = yield from self._done(part, standing, after)
        if refused == "lamp-session":
            refused = yield from self.do("open-lamp-session", part.lamp, after_s=3)
        if refused == "claimed":
            for kind, thing in (("part", code), ("lamp", part.lamp)):
                if thing:
                    yield from self.do("take-over", kind, thing, "gone home")
            refused = ""
        self._stuck[code] += bool(refused) and refused not in WAITS
        if refused:
            minutes = self.chance.randrange(1, 12)
            self._rest[code] = self.ms + minutes * MINUTE_MS
        else:
            self._stuck[code] = 0

    def _done(self, part, standing, after):
        """Do what a situation asks for; return why it was refused, if it was."""
        way = {
            "card": self._card,
            "run-due": self._run_end,
            "sign": self._sign,
            "scrap": self._scrap,
            "wet-hold": self._looked,
        }.get(standing.situation)
        if way:
            return (yield from way(part, after))
        verb = {
            "paused": "go-on",
            "hand": "finish-stage",
            "on-hold": "resume-part",
        }.get(standing.situation)
        if verb:
            return (yield from self.do(verb, part.code, after_s=after))
        if standing.situation == "shut":
            return (yield from self._open(part, *standing.shut))
        return (yield from self._by_foot(part, standing.situation, after))

    def _looked(self, part, after):
        told = self.chance.choice(
            ("wet and clean",) * 4 + ("set or dusty", "wiped off")
        )
        return (yield from self.do("tell-coat-state", part.code, told, after_s=after))

    def _scrap(self, part, after):
        verb = "keep-part" if self.chance.random() < 0.7 else "scrap-part"
        return (yield from self.do(verb, part.code, "as agreed", after_s=after))

    def _by_foot(self, part, situation, after):
        """Do by foot what the foot can, or by the command that a hand would give."""
        if self.chance.random() < 0.5:
            if self.bench.focus != part.code:
                yield from self.do("choose-part", part.code, after_s=1)
            return (yield from self.do("press", after_s=after))
        if situation == "loaded":
            return (yield from self.do("start-run", part.box, after_s=after))
        if situation not in VERBS:
            self.fail(f"{part.code} stands at {situation}, which no hand knows")
        return (yield from self.do(VERBS[situation], part.code, after_s=after))

    def _card(self, part, after):
        code, mode = part.code, STAGES[part.stage.kind].mode
        held = {
            "coat": ("open-lamp-session", part.lamp),
            "flip": ("confirm-flip", code),
            "hold": ("hold-part", code, "between halves"),
        }.get(mode)
        if held:
            return (yield from self.do(*held, after_s=after))
        alike = [
            each.code
            for each in self.bench.in_flight
            if isinstance(each.phase, Ready)
            and each.code != code
            and (each.stage.key, each.recipe, each.box, each.vessel)
            == (part.stage.key, part.recipe, part.box, part.vessel)
        ]
        together = (code, *alike[: self.chance.randrange(3)])
        refused = yield from self._loaded(part, together, after)
        if refused and len(together) > 1:
            refused = yield from self._loaded(part, (code,), after)
        return refused

    def _loaded(self, part, codes, after):
        count = planned_count(self.bench, tuple(self.bench.parts[c] for c in codes))
        under = STAGES[part.stage.kind].mode == "submerge"
        verb = "confirm-submerged" if under else "confirm-load"
        words = (verb, ",".join(codes), part.box, part.vessel if under else "", count)
        return (yield from self.do(*words, after_s=after))

    def _run_end(self, part, after):
        name = part.phase.run
        run = self.bench.runs[name]
        yield from self.do("wait", f"{round(after * 1000)}ms")
        delivered, cut = self.delivered(name), self.mains_gone(name)
        roll = self.chance.random()
        if run.interrupted is not None and roll < 0.4:
            how = "died with the PC" if cut else "unknown"
            return (yield from self.do("tell-run-end", name, how))
        if delivered >= run.planned and not cut and roll < 0.9:
            return (yield from self.do("tell-run-end", name, "completed"))
        return (yield from self.do("tell-run-end", name, "stopped", delivered))

    def _sign(self, part, after):
        code = part.code
        for layer in part.work.values():
            if layer.spots.count("done") < len(layer.spots):
                told = f"{layer.layer}: a spot was not lit"
                yield from self.do("open-deviation", code, told, after_s=5)
        for found in self.bench.open_deviations(code):
            decision = self.chance.choice(("use as is",) * 9 + ("rework",))
            yield from self.do("close-deviation", found.id, decision, "seen", after_s=5)
        for check in self.bench.checks_of(part):
            if not self.bench.parts[code].checks.get(check):
                yield from self.do("record-check", code, check, after_s=after)
        who = self.bench.operator
        return (yield from self.do("release-part", code, who, after_s=after))

    def _open(self, part, gate, verdict):
        """Do what opens a gate that is shut, as a hand would read its remedy."""
        code, stuck = part.code, self._stuck[part.code]
        if stuck > STUCK:
            self.gave_up[gate.code] += 1
            return (yield from self.do("scrap-part", code, f"{gate.code}: no way on"))
        if stuck in (1, 2):
            role, thing = (("lamp", "EX-LM-A"), ("box", "EX-BX-1"))[stuck - 1]
            yield from self.do("choose-equipment", code, role, thing, after_s=3)
        for words in self._remedies(part, gate.code):
            yield from self.do(*words, after_s=20)
        if GATES[gate.code].acceptable and verdict.scope:
            words = ("accept-gate", gate.code, code, "agreed")
            return (yield from self.do(*words, after_s=10))
        return gate.code if stuck else ""

    def _remedies(self, part, gate):
        """Return the lines that a gate's own remedy asks for."""
        match gate:
            case "lamp-reading-age" | "light-check":
                return [("read-lamp", part.lamp, 97)]
            case "glycerine-count" | "own-glycerine":
                return [("fill-glycerine", part.vessel, f"EX-GL-{self.ms}")]
            case "bottle-stirred":
                lots = sorted({part.coat_lot, part.stain_lot} - {""})
                return [("handle-bottle", lot, "stirred") for lot in lots]
            case "previous-stage":
                found = self.bench.open_deviations(part.code)
                return [("close-deviation", d.id, "use as is", "seen") for d in found]
        return []
