"""Days on end at the bench, by seed: hands, mishaps, corrections, faults, all random.

The engine is the real one, its journal lies on disk, only the clock is simulated. The
hands write a script line by line and look at the bench before each; what they wrote
(``Soak.text``) is a rehearsal that anybody can run again. After every day the record is
asked what must hold, whatever happened.

``python -m tests.faults.soak [DAYS [SEED [SCRIPT]]]`` prints one row a day.
"""

# ruff: noqa: S311, T201, SLF001 - random hands, a printed table, the player's inside

import gc
import random
import shlex
import shutil
import sys
import tempfile
import time
from collections import Counter
from dataclasses import asdict, dataclass
from datetime import datetime
from pathlib import Path

from benchassist import assets, snapshot
from benchassist.domain import events as ev
from benchassist.domain.correction import TOLD
from benchassist.domain.deciders.box import planned_count
from benchassist.domain.deciders.coat import session_missing
from benchassist.domain.evolve.anew import folded, replay
from benchassist.domain.gates import GATES
from benchassist.domain.mishaps import offered
from benchassist.domain.queue import need, ranked
from benchassist.domain.routines import due as routines_due
from benchassist.domain.stages import STAGES
from benchassist.domain.standing import Standings
from benchassist.domain.state import (
    Bench,
    Closed,
    InRun,
    OnHold,
    Ready,
    Soaking,
    Walking,
)
from benchassist.journal import Journal, JournalError, ReadOnlyJournal
from benchassist.recovery import backup
from benchassist.records.export import export_day
from benchassist.rehearsal.player import Player
from benchassist.rehearsal.script import Line, Script, _line
from benchassist.stores import paper
from benchassist.ui.present.look import look
from benchassist.value import replace

START = datetime.fromisoformat("2026-03-02T08:00:00+01:00")
MINUTE_MS, HOUR_MS, DAY_MS = 60_000, 3_600_000, 86_400_000
OPEN_MS, SHUT_MS = 8 * HOUR_MS, 17 * HOUR_MS
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


class SoakError(AssertionError):
    """What must hold does not; the message says what and on which day."""


@dataclass
class Day:
    """What one day came to, for the table."""

    day: int
    entries: int = 0
    taken: int = 0
    released: int = 0
    scrapped: int = 0
    in_flight: int = 0
    refused: int = 0
    corrections: int = 0
    mishaps: int = 0
    faults: int = 0
    rss_kb: int = 0
    state_kb: int = 0
    seconds: float = 0.0


class Soak:
    """One bench and whoever works at it, for so many days."""

    def __init__(self, folder, seed, days, parts_a_day=8):
        self.chance = random.Random(seed)
        self.folder = folder
        self.days = days
        self.parts_a_day = parts_a_day
        self.text = [f"start {START:%Y-%m-%d %H:%M:%S} +01:00"]
        self.rows = []
        self.gave_up = Counter()
        self.refused = Counter()
        self.told = {}  # what was acknowledged: number to id
        self.unseen = []  # [ms] of the bench, when nobody watched
        self.boots = {}  # boot to its monotonic reading less the bench's ms
        self.truth = {}  # run to (began ms, planned, rate, mains gone at or None)
        self._row = Day(0)
        self._made = 0
        self._rest = {}  # part to the ms until which it is left alone
        self._stuck = Counter()
        self._quiet_until = 0
        script = Script("soak", START, self._lines(), self._beside)
        self.player = Player(script, lambda: Journal.open(folder), listener=self._heard)

    @staticmethod
    def _beside(name):
        return assets.read_text("demo_cases", *name.split("/"))

    def run(self):
        """Let all the days pass; raise SoakError where something does not hold."""
        try:
            for _ in self.player.moments():
                pass
        finally:
            self.player.close()
        return self.rows

    # --- what the hands and the checks see ------------------------------------------

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

    def _heard(self, outcome):
        for entry in outcome.entries:
            self.told[entry.seq] = entry.id
            match entry.event:
                case ev.RunStarted() as run:
                    self.truth[run.run] = [self.ms, run.planned, run.rate_hz, None]
                case ev.RunEndObserved() as end:
                    self._bounds_hold(end)
                case ev.SpotTacked() as spot if spot.evidence == "paced":
                    self._was_seen(spot)

    def _bounds_hold(self, end):
        """Check that the box's own truth lies in what it was credited as."""
        true = self._delivered(end.run)
        slack = 2  # counts: the clock is read in whole milliseconds
        if end.outcome in ("unknown", "died with the PC") and not (
            end.low - slack <= true <= end.high + slack
        ):
            self._fail(f"{end.run} gave {true}, credited {end.low} to {end.high}")

    def _delivered(self, run):
        began, planned, rate, gone = self.truth[run]
        until = self.ms if gone is None else gone
        return min(planned, int((until - began) * rate / 1000))

    def _was_seen(self, spot):
        boot = spot.ended.boot
        shift = self.boots.get(boot)
        if shift is None:
            return
        end = spot.ended.mono_ms - shift
        begin = end - spot.light_ms
        for gone, back in self.unseen:
            if begin < back and gone < end:
                self._fail(f"{spot.part} spot {spot.spot} was credited unseen")

    def _fail(self, what):
        raise SoakError(f"day {self._row.day}, line {len(self.text)}: {what}")

    # --- lines ---------------------------------------------------------------------

    def _line(self, *words, at=None):
        """Return one line, which is also kept as text."""
        found = [str(word) for word in words if str(word)]
        if at is not None:
            hours, rest = divmod(at, HOUR_MS)
            minutes, rest = divmod(rest, MINUTE_MS)
            seconds, ms = divmod(rest, 1000)
            found.insert(0, f"{hours:02}:{minutes:02}:{seconds:02}.{ms:03}")
        self.text.append(shlex.join(found))
        return _line(len(self.text), found)

    def do(self, *words, after_s=0, at=None):
        """Yield a line and, should it be refused, that this was expected."""
        if after_s:
            words = (f"+{round(after_s * 1000)}ms", *words)
        yield self._line(*words, at=at)
        if self.player._unexpected is None:
            return ""
        refusal = self.player.outcome.refusal
        self.refused[refusal.code] += 1
        self._row.refused += 1
        if refusal.code in ("journal", "journal-busy", "journal-dropped"):
            self._fail(f"{words}: {refusal.message}")
        yield self._line("expect", "refused", refusal.code)
        return refusal.code

    def _lines(self):
        yield self._line("library", "practice.toml")
        yield self._line("operator", "OP-1")
        self._boot()
        for day in range(self.days):
            self._row = Day(day + 1)
            started = time.monotonic()
            yield from self._morning(day)
            while self.ms < day * DAY_MS + SHUT_MS:
                yield from self._moment()
                self._glance()
            self._day_holds(day)
            self._row.seconds = time.monotonic() - started
            self.rows.append(self._row)
            if day + 1 < self.days:
                yield from self._night(day)

    def _boot(self):
        at = self.now
        self.boots[at.boot] = at.mono_ms - self.ms

    # --- the day --------------------------------------------------------------------

    def _morning(self, day):
        if day:
            yield from self._back()
        for lamp in ("EX-LM-A", "EX-LM-C"):
            reading = self.chance.choice((72, 90, 96, 98, 101))
            yield from self.do("read-lamp", lamp, reading, after_s=10)
        for each in list(routines_due(self.bench, self.now))[
            : self.chance.randrange(6)
        ]:
            good = "yes" if self.chance.random() < 0.9 else "no"
            thing = f"thing={each.thing}" if each.thing else ""
            yield from self.do(
                "do-routine", each.routine.code, good, thing, "note=seen", after_s=5
            )
        for vessel in ("EX-GV-01", "EX-GV-02", "EX-GV-03"):
            yield from self.do("fill-glycerine", vessel, f"EX-GL-{day}", after_s=5)
        for _ in range(
            self.chance.randrange(self.parts_a_day // 2, self.parts_a_day + 1)
        ):
            yield from self._take_in()

    def _take_in(self):
        self._made += 1
        code = f"EX-{self._made:03}"
        recipe = self.chance.choice(tuple(RECIPES))
        lot, coat, stain, vessel = RECIPES[recipe]
        words = ["take-in", code, recipe, lot, "box=EX-BX-1"]
        if coat:
            words += [f"coat_lot={coat}", "lamp=EX-LM-A", f"vessel={vessel}"]
            words += [f"peg={self._made % 20}"]
        if stain:
            words.append(f"stain_lot={stain}")
        due = self.ms + self.chance.randrange(2, 9) * HOUR_MS
        words.append(f"due={due // HOUR_MS:02}:{due // MINUTE_MS % 60:02}")
        if coat and self.chance.random() < 0.3:
            words += ["variant.coats=1", "reason=as agreed"]
        if self.chance.random() < 0.05:
            words[1] = self.chance.choice((*self.told_codes(), code))  # used before
        refused = yield from self.do(*words, after_s=self.chance.randrange(10, 40))
        if not refused and words[1] == code:
            self._row.taken += 1
        alike = [
            each.code
            for each in self.bench.in_flight
            if each.recipe == recipe and isinstance(each.phase, Ready) and not each.at
        ]
        if 1 < len(alike) < 5 and self.chance.random() < 0.4:
            yield from self.do("form-basket", ",".join(alike), after_s=5)

    def told_codes(self):
        """Return some codes that were used before."""
        return tuple(f"EX-{n:03}" for n in range(1, self._made, 3))

    def _moment(self):
        """Let one thing happen: a disturbance, hands at a part, or time."""
        roll = self.chance.random()
        if roll < 0.012 and self.ms > self._quiet_until:
            self._quiet_until = self.ms + 5 * MINUTE_MS
            yield from self._fault()
        elif roll < 0.06:
            yield from self._something_else()
        else:
            yield from self._work()

    def _fault(self):
        self._row.faults += 1
        gone = self.ms
        match self.chance.randrange(7):
            case 0:
                yield from self.do("crash", f"{self.chance.randrange(1, 60)}s")
            case 1:
                yield from self.do("reboot", f"{self.chance.randrange(1, 20)}m")
            case 2 | 3:
                for each in self.truth.values():
                    each[3] = gone if each[3] is None else each[3]
                clock = self.chance.choice(
                    ("", "clock=-10m", "clock=+47m", "clock=-3h")
                )
                up = self.chance.choice(("", "", "up=5s"))
                yield from self.do(
                    "power-loss", f"{self.chance.randrange(1, 40)}m", up, clock
                )
            case 4:
                yield from self.do("suspend", f"{self.chance.randrange(5, 1800)}s")
                self.unseen.append((gone, self.ms))
                return
            case 5:
                step = self.chance.choice(("+3600s", "-3600s", "+90s", "-90s"))
                yield from self.do("wall-step", step)
                return
            case _:
                yield from self.do("suspend", "60s")  # a stall
                self.unseen.append((gone, self.ms))
                return
        self.unseen.append((gone, self.ms))
        self._acknowledged_is_there()
        yield from self._back()

    def _back(self):
        """Answer what a program that came up asks, and take the station."""
        self._boot()
        if self.bench.dark is not None and self.chance.random() < 0.5:
            how = self.chance.choice(("clocks", "not sure", "minutes"))
            minutes = "5-40" if how == "minutes" else ""
            yield from self.do("tell-dark", how, minutes, after_s=5)
        yield from self.do("operator", self.chance.choice(("OP-1", "OP-2")), after_s=5)

    def _something_else(self):
        flight = self.bench.in_flight
        part = self.chance.choice(flight) if flight else None
        code = part.code if part else "EX-000"
        match self.chance.randrange(16):
            case 0 | 1 if part:
                yield from self._mishap(part)
            case 2 | 3 if part:
                yield from self._correct(part)
            case 4:
                yield from self.do("call-away")
                yield from self.do("come-back", after_s=self.chance.randrange(20, 400))
            case 5:
                yield from self.do("hand-over", self.chance.choice(("OP-1", "OP-2")))
            case 6 if part and isinstance(part.phase, Ready):
                yield from self.do("hold-part", code, "lunch")
            case 7 if part:
                coats = self.chance.randrange(1, 4)
                yield from self.do(
                    "change-part", code, "asked", f"variant.coats={coats}"
                )
            case 8 if part:
                yield from self.do("step-back", code, "once more")
            case 9 if part:
                lamp = self.chance.choice(("EX-LM-A", "EX-LM-B", "EX-LM-C", "EX-LM-D"))
                yield from self.do("choose-equipment", code, "lamp", lamp)
            case 10 if part:
                ended = self._clock(self.ms - self.chance.randrange(0, 5) * MINUTE_MS)
                words = [
                    f"ended={ended}",
                    f"count={self.chance.choice((-1, 700, 2200))}",
                ]
                words += ["spot_s=12", "source=paper"]
                yield from self.do("enter-late", code, *words)
            case 11:
                yield from self.do(
                    "void-start", self.chance.choice(("yes", "no", "not sure"))
                )
            case 12:
                kind, thing = self.chance.choice((("part", code), ("lamp", "EX-LM-A")))
                verb = self.chance.choice(("claim-thing", "put-down"))
                yield from self.do(verb, kind, thing)
            case 13 if self.chance.random() < 0.3 and part:
                yield from self.do("scrap-part", code, "cracked")
            case 14:
                yield from self.do(
                    "handle-bottle",
                    "EX-LT-C2",
                    self.chance.choice(("opened", "stirred")),
                )
            case 15:
                yield from self._take_in()
            case _:
                yield from self.do(
                    "order-part", code, self.chance.choice(("first", "back"))
                )

    def _clock(self, ms):
        """Return the bench's ms as the time of day that a script writes."""
        hours, rest = divmod(ms, HOUR_MS)
        return f"{hours:02}:{rest // MINUTE_MS:02}:{rest // 1000 % 60:02}"

    def _mishap(self, part):
        found = self.chance.choice(offered(self.bench, part))
        answers = []
        while len(asked := found.questions(self.bench, part, tuple(answers))) > len(
            answers
        ):
            options = asked[len(answers)].options or ("0.3", "500", "1000")
            answers.append(self.chance.choice(options))
        self._row.mishaps += 1
        yield from self.do("report-mishap", part.code, found.code, ",".join(answers))

    def _correct(self, part):
        """Put something right that was told of a part, by the words of a script."""
        journal = self.player.session.journal
        own = list(journal.entries_of("part", part.code))
        told = [
            (e, key) for e in own for key in TOLD if key[0] == type(e.event).__name__
        ]
        if not told:
            return
        entry, (kind, field) = self.chance.choice(told)
        same = [e for e in own if type(e.event).__name__ == kind]
        value = {
            "low": self.chance.choice(("1000", "600-1400", "2200")),
            "count": "1400",
            "elapsed_ms": self.chance.choice(("2:10", "5:00", "40")),
            "passed": self.chance.choice(("yes", "no")),
            "lot": "EX-LT-C2",
            "print_lot": "EX-LT-C1",
            "coat_lot": "EX-LT-C2",
            "stain_lot": "EX-LT-M1",
            "vessel": "EX-GV-03",
            "box": "EX-BX-2",
            "code": "EX-LM-C",
            "side": "B",
        }.get(field, self.chance.choice(("no", "yes")))
        self._row.corrections += 1
        yield from self.do(
            "put-right", kind, part.code, "happened" if field == ev.GONE else field,
            value, "told wrong", f"nth={same.index(entry) + 1}", f"part={part.code}",
        )  # fmt: skip

    # --- work -----------------------------------------------------------------------

    def _work(self):
        bench = self.bench
        at = Standings(bench, self.now)
        match at.of_bench:
            case "locked":
                yield from self.do("operator", "OP-1", after_s=3)
                return
            case "away":
                yield from self.do("come-back", after_s=3)
                return
            case "handed":
                yield from self.do("read-hand-over", after_s=3)
                return
        if bench.unconfirmed:
            yield from self.do("operator", bench.operator or "OP-1", after_s=3)
        for each in at.ranked:
            part = bench.parts[each.part]
            if self._rest.get(part.code, 0) > self.ms:
                continue
            standing = at.of(part.code)
            if standing.situation in ("running", "drying", "walking"):
                if standing.situation == "walking":
                    yield from self._walked(part)
                    return
                continue
            yield from self._at(part, standing)
            return
        yield from self._time_passes()

    def _time_passes(self):
        bench, now = self.bench, self.now
        dues = [
            need(bench, part, now).due_ms
            for part in bench.in_flight
            if isinstance(part.phase, Soaking | InRun)
        ]
        ahead = min((d for d in dues if d > 0), default=10 * MINUTE_MS)
        ms = max(1000, min(ahead, 10 * MINUTE_MS))
        yield from self.do("wait", f"{ms}ms")

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
        """Do what a part asks for, by foot where the foot can."""
        code = part.code
        refused = ""
        low, high = HANDS_S.get(standing.situation, (2, 6))
        after = self.chance.uniform(low, high)
        match standing.situation:
            case "ready" | "timer-due" | "dry-due" | "loaded" | "brush" | "brushing":
                refused = yield from self._by_foot(part, standing, after)
            case "paused":
                refused = yield from self.do("go-on", code, after_s=after)
            case "wet-hold":
                told = self.chance.choice(
                    ("wet and clean",) * 4 + ("set or dusty", "wiped off")
                )
                refused = yield from self.do(
                    "tell-coat-state", code, told, after_s=after
                )
            case "hand":
                refused = yield from self.do("finish-stage", code, after_s=after)
            case "card":
                refused = yield from self._card(part, after)
            case "run-due":
                refused = yield from self._run_end(part, after)
            case "on-hold":
                refused = yield from self.do("resume-part", code, after_s=after)
            case "scrap":
                verb = "keep-part" if self.chance.random() < 0.7 else "scrap-part"
                refused = yield from self.do(verb, code, "as agreed", after_s=after)
            case "sign":
                refused = yield from self._sign(part, after)
            case "shut":
                refused = yield from self._opened(part, standing)
            case other:
                self._fail(f"{code} stands at {other}, which no hand knows")
        if refused == "lamp-session":
            refused = yield from self.do("open-lamp-session", part.lamp, after_s=3)
        if refused == "claimed":
            for kind, thing in (("part", code), ("lamp", part.lamp)):
                if thing:
                    yield from self.do("take-over", kind, thing, "gone home")
            refused = ""
        self._went(part, refused)

    def _went(self, part, refused):
        """Leave a part alone for a while where it was refused, give up in the end."""
        code = part.code
        if not refused:
            self._stuck[code] = 0
            return
        if refused not in ("interruption", "box-occupied", "vessel-hot"):
            self._stuck[code] += 1
        minutes = self.chance.randrange(1, 12)
        self._rest[code] = self.ms + minutes * MINUTE_MS

    def _by_foot(self, part, standing, after):
        situation, code = standing.situation, part.code
        if self.chance.random() < 0.5:
            if self.bench.focus != code:
                yield from self.do("choose-part", code, after_s=1)
            return (yield from self.do("press", after_s=after))
        verb = {
            "ready": "start-stage",
            "timer-due": "take-out",
            "dry-due": "finish-stage",
            "brush": "wet-brush",
            "brushing": "start-walk",
        }.get(situation)
        if verb is None:
            return (yield from self.do("start-run", part.box, after_s=after))
        return (yield from self.do(verb, code, after_s=after))

    def _card(self, part, after):
        code, mode = part.code, STAGES[part.stage.kind].mode
        match mode:
            case "coat":
                assert session_missing(self.bench, part)
                return (
                    yield from self.do("open-lamp-session", part.lamp, after_s=after)
                )
            case "flip":
                return (yield from self.do("confirm-flip", code, after_s=after))
            case "hold":
                return (
                    yield from self.do(
                        "hold-part", code, "between halves", after_s=after
                    )
                )
        same = [
            each.code
            for each in self.bench.in_flight
            if each.stage.key == part.stage.key
            and isinstance(each.phase, Ready)
            and (each.recipe, each.box, each.vessel)
            == (part.recipe, part.box, part.vessel)
            and each.code != code
        ]
        together = [code, *same[: self.chance.randrange(3)]]
        count = planned_count(self.bench, tuple(self.bench.parts[c] for c in together))
        verb = "confirm-submerged" if mode == "submerge" else "confirm-load"
        words = [verb, ",".join(together), part.box]
        if mode == "submerge":
            words.append(part.vessel)
        refused = yield from self.do(*words, count, after_s=after)
        if refused and len(together) > 1:
            count = planned_count(self.bench, (self.bench.parts[code],))
            words[1] = code
            refused = yield from self.do(*words, count, after_s=after)
        return refused

    def _run_end(self, part, after):
        name = part.phase.run
        run = self.bench.runs[name]
        yield from self.do("wait", f"{round(after * 1000)}ms")
        if name not in self.bench.runs:
            return ""
        delivered, roll = self._delivered(name), self.chance.random()
        cut = self.truth[name][3] is not None
        if run.interrupted is not None and roll < 0.4:
            how = "died with the PC" if cut else "unknown"
            return (yield from self.do("tell-run-end", name, how))
        if delivered >= run.planned and not cut and roll < 0.9:
            return (yield from self.do("tell-run-end", name, "completed"))
        return (yield from self.do("tell-run-end", name, "stopped", delivered))

    def _sign(self, part, after):
        bench, code = self.bench, part.code
        for layer in part.work.values():
            if layer.spots.count("done") < len(layer.spots):
                told = f"{layer.layer}: a spot was not lit"
                yield from self.do("open-deviation", code, told, after_s=5)
        bench = self.bench
        for found in bench.open_deviations(code):
            decision = self.chance.choice(("use as is",) * 9 + ("rework",))
            yield from self.do("close-deviation", found.id, decision, "seen", after_s=5)
        for check in bench.checks_of(part):
            if not self.bench.parts[code].checks.get(check):
                yield from self.do("record-check", code, check, after_s=after)
        return (yield from self.do("release-part", code, bench.operator, after_s=after))

    def _opened(self, part, standing):
        """Do what opens a gate that is shut, as a hand would read its remedy."""
        gate, verdict = standing.shut
        code, stuck = part.code, self._stuck[part.code]
        if stuck > STUCK:
            self.gave_up[gate.code] += 1
            yield from self.do("scrap-part", code, f"{gate.code}: no way on")
            return ""
        match gate.code:
            case "light-check" if stuck == 1:
                yield from self.do("read-lamp", part.lamp, 100, after_s=20)
                return ""
            case "lamp-reading-age":
                yield from self.do("read-lamp", part.lamp, 95, after_s=20)
                return ""
            case "glycerine-count" | "own-glycerine":
                refused = yield from self.do(
                    "fill-glycerine", part.vessel, f"EX-GL-{self.ms}", after_s=60
                )
                return refused or (gate.code if stuck else "")
            case "bottle-stirred":
                for lot in {part.coat_lot, part.stain_lot} - {""}:
                    yield from self.do("handle-bottle", lot, "stirred", after_s=10)
                return gate.code if stuck else ""
            case "previous-stage":
                for found in self.bench.open_deviations(code):
                    yield from self.do("close-deviation", found.id, "use as is", "seen")
        if stuck == 1:
            yield from self.do("choose-equipment", code, "lamp", "EX-LM-A", after_s=3)
        if stuck == 2:
            yield from self.do("choose-equipment", code, "box", "EX-BX-1", after_s=3)
        if GATES[gate.code].acceptable and verdict.scope:
            return (
                yield from self.do("accept-gate", gate.code, code, "agreed", after_s=10)
            )
        return gate.code

    # --- the night ------------------------------------------------------------------

    def _night(self, day):
        gone = self.ms
        opens = (day + 1) * DAY_MS + OPEN_MS - 5 * MINUTE_MS
        if (day + 1) % 5 == 0:
            opens += 0  # the weekend is not worked: bench days follow one another
        how = self.chance.choice(("reboot", "reboot", "power-loss", "suspend"))
        if how == "power-loss":
            for each in self.truth.values():
                each[3] = gone if each[3] is None else each[3]
        yield from self.do(how, f"{opens - gone}ms")
        self.unseen.append((gone, self.ms))
        if how != "suspend":
            self._acknowledged_is_there()

    # --- what must hold ---------------------------------------------------------------

    def _glance(self):
        """Check what one look must find whatever happened."""
        if self.chance.random() > 0.05:
            return
        bench, now = self.bench, self.now
        if {each.part for each in ranked(bench, now)} != {
            p.code for p in bench.in_flight
        }:
            self._fail("the queue is not the parts in flight")
        if not look(bench, now).pedal_line:
            self._fail("a look without a word for the foot")
        for part in bench.in_flight:
            phase = part.phase
            if isinstance(phase, Ready) and part.stage.kind == "dry":
                self._fail(f"{part.code} is to dry and no clock runs")
            if (
                isinstance(phase, InRun)
                and part.code not in bench.runs[phase.run].parts
            ):
                self._fail(f"{part.code} is in a run without it")
            if part.code not in bench.baskets.get(part.basket, (part.code,)):
                self._fail(f"{part.code} is in a basket without it")
            if isinstance(phase, Walking) and phase.spot >= bench.spots_of(part):
                self._fail(f"{part.code} walks past its last spot")
        for run in bench.runs.values():
            for code in run.parts:
                part = bench.parts[code]
                if not isinstance(part.phase, InRun) or part.phase.run != run.run:
                    self._fail(f"{run.run} holds {code}, which is {part.phase.kind}")

    def _acknowledged_is_there(self):
        journal = self.player.session.journal
        found = {entry.seq: entry.id for entry in journal.entries()}
        lost = [seq for seq, name in self.told.items() if found.get(seq) != name]
        if lost:
            self._fail(f"entries {lost[:5]} were acknowledged and are gone")

    def _day_holds(self, day):
        """Ask the record, as another program would, what must hold of it."""
        bench = self.bench
        with ReadOnlyJournal.open(self.folder) as journal:
            head = journal.head.seq
            if (
                faults := journal.walk(1, head).faults
                or journal.walk_index(1, head).faults
            ):
                self._fail(faults[0].sentence)
            if amiss := [each for each in journal.index_faults(head) if each]:
                self._fail(amiss[0])
            anew = replay(Bench(), journal.entries(), journal)
            self._same(anew, bench)
            self._reconciled(journal, anew)
            with tempfile.TemporaryDirectory() as out:
                days = {self.now.day()}
                for each in days:
                    export_day(journal, each, Path(out) / "export")
                if bench.in_flight:
                    _, amiss = paper(self.folder, Path(out) / "cards", self.now)
                    if amiss:
                        self._fail(amiss)
                backup(self.folder, Path(out) / "backup")
        kept = snapshot.kept(bench, "soak")
        gc.collect()
        self._row.entries = head
        self._row.in_flight = len(bench.in_flight)
        self._row.rss_kb = _rss_kb()
        self._row.state_kb = len(kept) // 1024
        del day

    def _same(self, anew, bench):
        if anew == bench:
            return
        one, two = asdict(anew), asdict(bench)
        names = [name for name in one if one[name] != two[name]]
        for name in names:
            if isinstance(one[name], dict):
                for key in {*one[name], *two[name]}:
                    was, has = two[name].get(key), one[name].get(key)
                    if was != has:
                        self._fail(f"refolded, {name}[{key}] is {has}, was {was}")
        self._fail(f"refolded, {names} differ")

    def _reconciled(self, journal, bench):
        """Check that no part is lost, and that ledgers are the sum of what is true."""
        taken, closed = set(), {}
        for entry in journal.entries():
            match entry.event:
                case ev.PartTaken(part=code):
                    taken.add(code)
                case ev.PartReleased(part=code):
                    closed[code] = "released"
                case ev.PartScrapped(part=code):
                    closed[code] = "scrapped"
        flight = {part.code for part in bench.in_flight}
        if taken != flight | closed.keys() or flight & closed.keys():
            self._fail("parts taken in are not those released, scrapped and in flight")
        how = Counter(closed.values())
        self._row.released, self._row.scrapped = how["released"], how["scrapped"]
        rows = {row.part: row for row in journal.part_rows()}
        if rows.keys() != taken:
            self._fail("the table of parts has others than were taken in")
        for code in flight:
            self._part_holds(journal, bench, code)

    def _part_holds(self, journal, bench, code):
        lines = journal.history(code)
        part = bench.parts[code]
        credited = sum(
            line.entry.event.low
            for line in lines
            if not line.gone
            and isinstance(line.entry.event, ev.DoseCredited)
            and line.entry.event.part == code
        )
        if credited != sum(each.low for each in part.exposures):
            self._fail(f"{code}: {credited} credited, ledger {part.exposures}")
        alone = folded(bench, code, lines).parts[code]
        alike = replace(
            alone, tray=part.tray, basket=part.basket, hands_ms=part.hands_ms
        )
        if alike != part:
            one, two = asdict(alike), asdict(part)
            names = {k: (one[k], two[k]) for k in one if one[k] != two[k]}
            self._fail(f"{code} alone differs: {names}")


def _rss_kb():
    pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1])
    return pages * 4


def soak(days, seed, parts_a_day=8):
    """Run so many days by a seed; return the soak, with rows and text."""
    shm = Path("/dev/shm")  # noqa: S108 - the disk's own waits are measured elsewhere
    made = tempfile.mkdtemp(dir=shm if shm.is_dir() else None)
    found = Soak(Path(made) / "store", seed, days, parts_a_day)
    try:
        found.run()
    except BaseException:
        Path("soak-failed.txt").write_text("\n".join(found.text) + "\n", "utf-8")
        raise
    finally:
        shutil.rmtree(made, ignore_errors=True)
    return found


def main(days=3, seed=1):
    found = soak(int(days), int(seed))
    names = list(asdict(found.rows[0]))
    print(" | ".join(names))
    for row in found.rows:
        print(
            " | ".join(
                f"{value:.1f}" if isinstance(value, float) else str(value)
                for value in asdict(row).values()
            )
        )
    print("refused", dict(found.refused))
    print("given up", dict(found.gave_up))


if __name__ == "__main__":
    main(*sys.argv[1:])
