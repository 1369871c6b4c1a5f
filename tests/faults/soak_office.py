"""What a bench does beside its parts: coupon tests, recalls, the day's signature.

Each is checked against the record by the shortest way that is not the program's own.
"""

from abc import ABC

from benchassist.domain import events as ev
from benchassist.domain.closing import account, closing_left
from benchassist.domain.coupon import TABS, step
from benchassist.domain.part import Closed
from tests.faults.soak_trouble import Trouble

COUPON, RECALL, JUDGED = 0.01, 0.002, 0.02  # how often, of the things that hands do
LAST_ACTS = 200  # at the end of a day, until nothing is left wet, soaking or in the box
# What may be called back; of lots those that the others' work does not hang on.
CALLED_BACK = (
    ("lamp", "EX-LM-A"),
    ("lamp", "EX-LM-C"),
    ("box", "EX-BX-1"),
    ("vessel", "EX-GV-03"),
    ("operator", "OP-2"),
    ("lot", "EX-LT-S1"),
    ("lot", "EX-LT-M1"),
)
TOUCHED = {  # which entries say for certain that a part had it
    "lot": lambda event, code: isinstance(event, ev.BrushWetted) and event.lot == code,
    "lamp": lambda event, code: isinstance(event, ev.SpotTacked) and event.lamp == code,
    "vessel": lambda event, code: (
        isinstance(event, ev.SubmergeConfirmed) and event.vessel == code
    ),
}


class Office(Trouble, ABC):
    """Hands that test, call back and sign, between parts and at the end of a day."""

    def moment(self):
        roll = self.chance.random()
        if self.bench.coupon is not None and roll < 0.3:
            yield from self._coupon_goes_on(self.bench.coupon)
        elif self.bench.coupon is None and roll < COUPON:
            lamp, box = self.chance.choice(("EX-LM-A", "EX-LM-C")), "EX-BX-1"
            lot, vessel = self.chance.choice(("EX-LT-C2", "EX-LT-S1")), "EX-GV-03"
            self.happened["coupon"] += 1
            words = ("begin-coupon", lamp, lot, box, vessel, "12", "2200")
            yield from self.do(*words, after_s=30)
        elif roll > 1 - RECALL:
            yield from self._call_back()
        elif roll > 1 - RECALL - JUDGED:
            yield from self._judge()
        else:
            yield from super().moment()

    def heard(self, outcome):
        super().heard(outcome)
        for entry in outcome.entries:
            self.happened["coupon finished"] += isinstance(
                entry.event, ev.CouponFinished
            )

    # --- coupons --------------------------------------------------------------------

    def _coupon_goes_on(self, run):
        """Do what a coupon test asks for next, now and then wrongly."""
        found, odd = step(run), self.chance.random()
        lamp, vessel = run.coupon.lamp, run.coupon.vessel
        verb = {
            "blank": ("judge-tab", "yes"),
            "light": ("light-tab",),
            "lit": ("wait", f"{found.seconds}s") if odd < 0.9 else ("stop-tab",),
            "judge": ("judge-tab", self.chance.choice(("yes",) * 7 + ("no", "spoilt"))),
            "choose": ("go-on-with-b",) if odd < 0.5 else ("stop-after-a",),
            "box": ("box-coupon", "2200"),
            "boxed": ("tell-coupon-box", "2200"),
        }.get(found.kind, ("bring-coupon",))
        if odd > 0.98:
            verb = ("leave-coupon", "no time")
        refused = yield from self.do(*verb, after_s=self.chance.randrange(2, 40))
        remedy = {
            "lamp-session": ("open-lamp-session", lamp),
            "claimed": ("take-over", "lamp", lamp, "gone home"),
            "glycerine-count": ("fill-glycerine", vessel, f"EX-GL-{self.ms}"),
        }.get(refused)
        if remedy:
            yield from self.do(*remedy, after_s=3)

    def _coupons_hold(self):
        """Check each test on file against its own tabs, counted anew."""
        for tests in self.bench.tested.values():
            for coupon in (each.coupon for each in tests if each.coupon.tabs):
                went = [
                    tab.outcome
                    for tab in coupon.tabs
                    if tab.of in ("A", "lot") and tab.seconds == coupon.held_s
                ]
                if coupon.held_s and (went.count("yes") < TABS or "no" in went):
                    self.fail(f"{coupon.id} holds at {coupon.held_s} s by {went}")

    # --- recalls --------------------------------------------------------------------

    def _call_back(self):
        kind, code = self.chance.choice(CALLED_BACK)
        self.happened["recall"] += 1
        refused = yield from self.do("open-recall", kind, code, "a letter", after_s=60)
        if not refused and kind in TOUCHED:
            self._all_called_back(kind, code)

    def _all_called_back(self, kind, code):
        """Check that whoever had it for certain waits for a judgement now."""
        entries = tuple(self.player.session.journal.entries())
        events = [each.event for each in entries]
        mended = {
            part for e in events if isinstance(e, ev.Corrected) for part in e.parts
        }
        gone = {e.part for e in events if isinstance(e, ev.PartScrapped)} | mended
        had = set()
        for event in events:
            if TOUCHED[kind](event, code):
                had |= {*getattr(event, "parts", (getattr(event, "part", ""),))}
        waits = {
            part
            for each in self.bench.deviations.values()
            if each.rule == "recall" and not each.decision
            for part in each.parts
        }
        if lost := had - gone - waits:
            self.fail(f"{kind} {code} was called back without {sorted(lost)}")

    def _judge(self):
        """Assess what waits of parts that are closed; the others are at signing."""
        open_ = [
            each
            for part in self.bench.parts.values()
            if isinstance(part.phase, Closed)
            for each in self.bench.open_deviations(part.code)
        ]
        if open_:
            one = self.chance.choice(open_)
            decision = self.chance.choice(("use as is", "ask prescriber"))
            yield from self.do("close-deviation", one.id, decision, "seen", after_s=30)
        else:
            yield from self.work()

    # --- the day --------------------------------------------------------------------

    def close_day(self):
        """Bring to rest what cannot stay, say where the rest stays, check and sign."""
        acts = 0
        while account(self.bench, self.now).hurry and acts < LAST_ACTS:
            acts += 1
            yield from self.work()
        for code in account(self.bench, self.now).untold:
            words = ("do-routine", "overnight", "yes", code, "dark, in its tray")
            yield from self.do(*words, after_s=5)
        for each in closing_left(self.bench, self.now):
            good = "yes" if self.chance.random() < 0.95 else "no"
            words = ("do-routine", each.routine.code, good, each.thing, "seen")
            yield from self.do(*words[: 5 if each.thing else 3], after_s=2)
        who = self.bench.operator or "OP-1"
        yield from self.do("operator", who, after_s=3)
        refused = yield from self.do("sign-day", who, after_s=20)
        self.happened[f"not signed: {refused}" if refused else "signed"] += 1

    def _signatures_hold(self, journal):
        """Check each day's signature against the entries that it closes."""
        for entry in journal.of_kinds(("DaySigned",), 0, journal.head.seq):
            day = entry.event
            if journal.hash_of(day.head).hex() != day.hash:
                self.fail(f"the signature of {day.day} is of another entry {day.head}")
            if day.brought + day.taken != len(day.stood):
                self.fail(f"{day.day}: {day.brought} + {day.taken} are not {day.stood}")
            taken = {
                each.event.part
                for each in journal.of_kinds(("PartTaken",), 0, day.head)
                if each.at.day() >= day.day
            }
            # A clock set over midnight and back leaves a day with less than happened.
            days = [e.at.day() for e in journal.entries() if e.seq <= day.head]
            if len(taken) != day.taken and days == sorted(days):
                self.fail(f"{day.day}: {day.taken} were taken in, not {sorted(taken)}")
