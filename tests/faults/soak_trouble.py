"""What happens to a bench besides work: faults of machine and hands, second thoughts."""

from collections import Counter

from benchassist.domain import events as ev
from benchassist.domain.correction.told import TOLD
from benchassist.domain.mishaps import offered
from benchassist.domain.routines import due as routines_due
from tests.faults.soak_hands import HOUR_MS, MINUTE_MS, Hands

DAY_MS = 24 * HOUR_MS
FAULT, ELSE = 0.012, 0.06  # how often, of the things that hands do
APART_MS = 5 * MINUTE_MS  # between two faults
PUT_RIGHT = {
    "low": ("1000", "600-1400", "2200"),
    "count": ("1400",),
    "elapsed_ms": ("2:10", "5:00", "40"),
    "lot": ("EX-LT-C2",),
    "print_lot": ("EX-LT-C1",),
    "coat_lot": ("EX-LT-C2",),
    "stain_lot": ("EX-LT-M1",),
    "vessel": ("EX-GV-03",),
    "box": ("EX-BX-2",),
    "code": ("EX-LM-C",),
    "side": ("B",),
}


class Trouble(Hands):
    """Hands to whom things happen, and the truth about box and lamp.

    Attributes
    ----------
    unseen
        [ms] of the bench, when nobody watched: from and to.
    boots
        Each boot's monotonic reading less the bench's ms.
    truth
        Each run: when it began, planned count, rate, and when the mains went.
    happened
        How often what happened.
    """

    def __init__(self, *args):
        self.unseen, self.boots, self.truth = [], {}, {}
        self.happened = Counter()
        self._next_fault = 0
        super().__init__(*args)

    def heard(self, outcome):
        for entry in outcome.entries:
            if isinstance(entry.event, ev.RunStarted):
                run = entry.event
                self.truth[run.run] = [self.ms, run.planned, run.rate_hz, None]
            if isinstance(entry.event, ev.Corrected):
                # Another box, or another count: so it was from the start.
                for run in self.bench.runs.values():
                    self.truth[run.run][1:3] = run.planned, run.rate_hz

    def delivered(self, run):
        began, planned, rate, gone = self.truth[run]
        until = self.ms if gone is None else gone
        return min(planned, int((until - began) * rate / 1000))

    def mains_gone(self, run):
        return self.truth[run][3] is not None

    def restarted(self):
        """Check, right after a restart, what was acknowledged before it."""

    # --- the day's ends -------------------------------------------------------------

    def opening(self, day):
        """Yield the first lines of a day: readings, routine checks, fresh glycerine."""
        if day:
            yield from self.back()
        for lamp in ("EX-LM-A", "EX-LM-C"):
            reading = self.chance.choice((72, 90, 96, 98, 101))
            yield from self.do("read-lamp", lamp, reading, after_s=10)
        due = list(routines_due(self.bench, self.now))
        for each in due[: self.chance.randrange(6)]:
            good = "yes" if self.chance.random() < 0.9 else "no"
            thing = f"thing={each.thing}" if each.thing else ""
            words = ("do-routine", each.routine.code, good, thing, "note=seen")
            yield from self.do(*words, after_s=5)
        for vessel in ("EX-GV-01", "EX-GV-02", "EX-GV-03"):
            yield from self.do("fill-glycerine", vessel, f"EX-GL-{day}", after_s=5)
        yield from self.do("fill-bath", "Wash 1", 2, after_s=5)
        least = self.parts_a_day // 2
        for _ in range(self.chance.randrange(least, self.parts_a_day + 1)):
            yield from self.take_in()

    def night(self, opens_ms):
        """Yield the line of a night: shut down, asleep, or cut off."""
        gone = self.ms
        how = self.chance.choice(("reboot", "reboot", "power-loss", "suspend"))
        if how == "power-loss":
            self._mains_go()
        yield from self.do(how, f"{opens_ms - gone}ms")
        self.unseen.append((gone, self.ms))
        if how != "suspend":
            self.restarted()

    def back(self):
        """Answer what a program that came up asks, and take the station."""
        at = self.now
        self.boots[at.boot] = at.mono_ms - self.ms
        if self.bench.dark is not None and self.chance.random() < 0.5:
            how = self.chance.choice(("clocks", "not sure", "minutes"))
            minutes = "5-40" if how == "minutes" else ""
            yield from self.do("tell-dark", how, minutes, after_s=5)
        yield from self.do("operator", self.chance.choice(("OP-1", "OP-2")), after_s=5)

    def moment(self):
        """Let one thing happen: a fault, something else, or work."""
        roll = self.chance.random()
        if roll < FAULT and self.ms > self._next_fault:
            self._next_fault = self.ms + APART_MS
            yield from self._fault()
        elif roll < ELSE:
            yield from self._something_else()
        else:
            yield from self.work()

    # --- faults -----------------------------------------------------------------------

    def _mains_go(self):
        for each in self.truth.values():
            each[3] = self.ms if each[3] is None else each[3]

    def _fault(self):
        gone = self.ms
        how, *words = self.chance.choice(
            (
                ("crash", f"{self.chance.randrange(1, 60)}s"),
                ("reboot", f"{self.chance.randrange(1, 20)}m"),
                ("power-loss", f"{self.chance.randrange(1, 40)}m", *self._clocks()),
                ("power-loss", f"{self.chance.randrange(1, 40)}m", *self._clocks()),
                ("suspend", f"{self.chance.randrange(5, 1800)}s"),
                ("suspend", "60s"),  # a stall
                ("wall-step", self.chance.choice(("+3600s", "-3600s", "+90s", "-90s"))),
            )
        )
        self.happened[how] += 1
        if how == "power-loss":
            self._mains_go()
        yield from self.do(how, *words)
        if how != "wall-step":
            self.unseen.append((gone, self.ms))
        if how in ("crash", "reboot", "power-loss"):
            self.restarted()
            yield from self.back()

    def _clocks(self):
        """Return what the machine's clocks do while it is off."""
        clock = self.chance.choice(("", "clock=-10m", "clock=+47m", "clock=-3h"))
        return self.chance.choice(("", "", "up=5s")), clock

    # --- hands ------------------------------------------------------------------------

    def _something_else(self):
        flight = self.bench.in_flight
        if not flight:
            yield from self.take_in()
            return
        part = self.chance.choice(flight)
        way = self.chance.choice(
            (self._mishap,) * 2
            + (self._correct,) * 3
            + (self._late,)
            + (self._odd,) * 10
        )
        self.happened[way.__name__.strip("_")] += 1
        yield from way(part)

    def _odd(self, part):
        """Do one of the small things that hands do between two stages."""
        code, pick = part.code, self.chance.choice
        lines = (
            ("call-away",),
            ("hand-over", pick(("OP-1", "OP-2"))),
            ("hold-part", code, "lunch"),
            ("change-part", code, "asked", f"variant.coats={pick((1, 2, 3))}"),
            ("change-part", code, "asked", f"again={pick(('wash', 'rinse'))}"),
            ("step-back", code, "once more"),
            ("choose-equipment", code, "lamp", pick(("EX-LM-A", "EX-LM-B", "EX-LM-C"))),
            ("choose-lot", code, "coat", pick(("EX-LT-C2", "EX-LT-S1"))),
            ("void-start", pick(("yes", "no", "not sure"))),
            ("claim-thing", *pick((("part", code), ("lamp", "EX-LM-A")))),
            ("put-down", *pick((("part", code), ("lamp", "EX-LM-A")))),
            ("leave-basket", code),
            ("handle-bottle", "EX-LT-C2", pick(("opened", "stirred"))),
            ("order-part", code, pick(("first", "back", "not today"))),
            ("accept-gate", "light-check", code, "agreed"),
            ("set-limit", "idle_s", pick((120, 300, 600)), "tried"),
            ("break-spot", code),
            ("release-part", code, "OP-1"),
            ("tell-run-end", "R-1", "completed"),
        )
        yield from self.do(*pick(lines))
        if self.chance.random() < 0.03:
            yield from self.do("scrap-part", code, "cracked")
        if self.chance.random() < 0.02:
            yield from self.take_in()

    def _late(self, part):
        ended = self.clock(self.ms - self.chance.randrange(0, 5) * MINUTE_MS)
        count = self.chance.choice((-1, 700, 2200))
        words = (f"ended={ended}", f"count={count}", "spot_s=12", "source=paper")
        yield from self.do("enter-late", part.code, *words)

    def _mishap(self, part):
        found = self.chance.choice(offered(self.bench, part))
        answers = ()
        while True:
            asked = found.questions(self.bench, part, answers)
            if len(asked) <= len(answers):
                break
            options = asked[len(answers)].options or ("0.3", "500", "1000")
            answers += (self.chance.choice(options),)
        yield from self.do("report-mishap", part.code, found.code, ",".join(answers))

    def _correct(self, part):
        """Put something right that was told of a part, by the words of a script."""
        own = list(self.player.session.journal.entries_of("part", part.code))
        told = [
            (entry, key)
            for entry in own
            for key in TOLD
            if key[0] == type(entry.event).__name__
        ]
        if not told:
            return
        entry, (kind, field) = self.chance.choice(told)
        same = [each for each in own if type(each.event).__name__ == kind]
        text = self.chance.choice(PUT_RIGHT.get(field, ("no", "no", "yes")))
        name = "happened" if field == ev.GONE else field
        nth, whom = f"nth={same.index(entry) + 1}", f"part={part.code}"
        words = ("put-right", kind, part.code, name, text, "told wrong", nth, whom)
        yield from self.do(*words)
