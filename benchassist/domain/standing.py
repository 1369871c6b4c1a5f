"""Where a part stands: one answer, which foot, list, band, sound and advice read.

Each piece is worked out once and only when asked, because the gates cost more than
the rest of a look. A look makes one ``Standings`` and hands it on; a press makes its
own. What the bench asks (locked, away, handed over) comes before any part.
"""

from __future__ import annotations

from functools import cached_property

from benchassist.clock import MS, Instant
from benchassist.domain.calls import (
    BenchSituation,
    Call,
    Situation,
    Word,
    call_for,
    may_call,
    wet_ms,
)
from benchassist.domain.coat import session_open
from benchassist.domain.coupon import step
from benchassist.domain.gates import ask_for, is_open, judge
from benchassist.domain.gates.verdict import Ask, Gate, Verdict
from benchassist.domain.limits import limit
from benchassist.domain.plan import steps_ahead
from benchassist.domain.queue import NEVER_MS, Need, by_harm, need, two_at_once
from benchassist.domain.routines import by_hand
from benchassist.domain.stages import STAGES
from benchassist.domain.stagger import Ends, ends_of
from benchassist.domain.state import (
    Bench,
    Brushing,
    Closed,
    CouponRun,
    InRun,
    OnHold,
    Part,
    Paused,
    Ready,
    Soaking,
    Walking,
    pin_of,
)
from benchassist.domain.wet import must_look

# While a route is walked the part in front keeps the foot where something is wet, lit
# or due, and where a press belongs to a box; everywhere else the check has it.
LEFT_TO_A_CHECK: frozenset[Situation] = frozenset(
    {
        *("none", "closed", "ready", "shut", "card", "running", "drying", "hand"),
        *("brush", "on-hold", "scrap", "sign"),
    }
)


class Standing:
    """Where one part stands at one moment, whatever the bench asks first."""

    def __init__(self, bench: Bench, part: Part, now: Instant) -> None:
        """Note what is asked about; nothing is worked out yet."""
        self.bench = bench
        self.part = part
        self.now = now

    @cached_property
    def need(self) -> Need:
        """When the part needs hands, and when being late harms it."""
        return need(self.bench, self.part, self.now)

    @cached_property
    def ask(self) -> Ask:
        """The question to the gates: with its load if it is loaded, else its basket."""
        load = self.bench.loads.get(self.part.box)
        loaded = self.mode == "box" and load and self.part.code in load.parts
        return ask_for(self.bench, self.part, load.parts if load and loaded else ())

    @property
    def mode(self) -> str:
        """How the stage at hand runs."""
        return STAGES[self.part.stage.kind].mode

    @cached_property
    def _judged(self) -> dict[str, tuple[Gate, Verdict]]:
        return {}

    def _judge(self, code: str) -> tuple[Gate, Verdict]:
        if code not in self._judged:
            self._judged[code] = judge(self.bench, code, self.ask, self.now)
        return self._judged[code]

    @cached_property
    def verdicts(self) -> tuple[tuple[Gate, Verdict], ...]:
        """Every gate of the stage at hand with its verdict, in order."""
        return tuple(map(self._judge, STAGES[self.part.stage.kind].gates))

    @cached_property
    def shut(self) -> tuple[Gate, Verdict] | None:
        """The first gate that keeps the stage from beginning; the rest stay unasked."""
        found = map(self._judge, STAGES[self.part.stage.kind].gates)
        return next(
            (each for each in found if not is_open(self.bench, *each, self.now)), None
        )

    @cached_property
    def situation(self) -> Situation:
        """Where the part stands, a gate in its way included."""
        gated = self.call.gated and self.shut is not None
        return "shut" if gated else self.asked

    @cached_property
    def call(self) -> Call:
        """What hands are called for, if no gate were in the way."""
        phase, mode = self.part.phase, self.mode
        if isinstance(phase, InRun):
            stopped = self.bench.runs[phase.run].interrupted is not None
            mode = "stopped" if stopped else "box"
        return call_for(self.asked, mode)

    def may_call(self, row: Call, wet_ms: int | None) -> bool:
        """Say whether hands may be called now, while a coat may stay wet so long."""
        hands_ms = int(limit(self.bench, "hands_ready_s") * MS)
        return may_call(row, self.need.harm_ms, hands_ms, wet_ms)

    @property
    def tacked(self) -> bool:
        """Whether a tacked coat lies in the open and gathers dust."""
        lying = isinstance(self.part.phase, Ready) and self.mode != "flip"
        return lying and self.need.harm_ms < NEVER_MS

    @property
    def after(self) -> str:
        """The part to be seen to first, where only that keeps the brush dry."""
        return self.shut[1].after if self.situation == "shut" and self.shut else ""

    @property
    def word(self) -> Word:
        """The state in one word; whatever opens of itself is waited for."""
        if self.after:
            return "WAIT"
        return call_for(self.situation, self.mode).word

    @property
    def waits(self) -> bool:
        """Whether nothing is asked of anybody for this part now."""
        return self.call.waits

    @cached_property
    def asked(self) -> Situation:
        """Where the part would stand if no gate were in its way: no gate is asked."""
        part, phase = self.part, self.part.phase
        match phase:
            case Closed():
                return "closed"
            case Soaking():
                return self._soaking()
            case InRun():
                run = self.bench.runs[phase.run]
                over = run.interrupted is not None or self.need.due_ms <= 0
                return "run-due" if over else "running"
            case Brushing():
                return "brushing"
            case Walking():
                return "walking"
            case Paused():
                look = must_look(self.bench, part, phase, self.now)
                return "wet-hold" if look else "paused"
            case OnHold():
                return "on-hold"
            case _:
                return "scrap" if part.scrap_asked else self._ready()

    def _soaking(self) -> Situation:
        due = self.need.due_ms <= 0
        if self.mode == "dry":
            return "dry-due" if due else "drying"
        # A submerging ends by itself, when its bubbles have had their time.
        return "timer-due" if due and self.mode == "soak" else "running"

    def _ready(self) -> Situation:
        match self.mode:
            case "hand":
                return "hand"
            case "checks":
                return "sign"
            case "soak":
                return "ready"
            case "coat":
                return "brush" if session_open(self.bench, self.part) else "card"
            case "box":
                load = self.bench.loads.get(self.part.box)
                return "loaded" if load and self.part.code in load.parts else "card"
            case _:
                return "card"


class Standings:
    """The whole bench at one moment: every part's standing, made when first asked."""

    def __init__(
        self, bench: Bench, now: Instant, check: tuple[str, str] | None = None
    ) -> None:
        """Note the moment; nothing is worked out yet.

        ``check`` is the one on the screen where a route is walked, as a press has it.
        """
        self.bench = bench
        self.now = now
        self.check = check
        self._made: dict[str, Standing] = {}

    def of(self, code: str) -> Standing:
        """Return where a part stands."""
        if code not in self._made:
            part = self.bench.parts[code]
            self._made[code] = Standing(self.bench, part, self.now)
        return self._made[code]

    @cached_property
    def front(self) -> Standing | None:
        """Where the part in front stands, if one is chosen."""
        return self.of(self.bench.focus) if self.bench.focused else None

    @cached_property
    def ranked(self) -> tuple[Need, ...]:
        """Every part's need, the one nearest to harm first."""
        needs = (self.of(part.code).need for part in self.bench.in_flight)
        return by_harm(needs)

    @cached_property
    def ends(self) -> Ends:
        """When whatever runs alone ends, the next one first."""
        return ends_of(self.bench, self.now)

    @cached_property
    def wet_ms(self) -> int | None:
        """How long hands are bound to what is wet at the most, or None."""
        return wet_ms(self.bench, self.now)

    @cached_property
    def _ahead(self) -> dict[object, int]:
        return {}

    def ahead_ms(self, part: Part) -> int:
        """Return how long all that is ahead of a part takes, by the recipe's seconds.

        Parts that wait at the same place of the same route share the sum: with many
        in flight it is most of a look.
        """
        alike = isinstance(part.phase, Ready) and not part.work and not part.hands_ms
        key: object = part.code
        if alike and part.code != self.bench.focus:
            ahead = tuple((each.key, each.plan, each.min_s) for each in part.route)
            key = part.recipe, part.variant, part.at, part.box, part.exposures, ahead
        if key not in self._ahead:
            steps = steps_ahead(self.bench, part, self.now, judged=False)
            self._ahead[key] = sum(step.takes_ms for step in steps)
        return self._ahead[key]

    @cached_property
    def two_due(self) -> bool:
        """Whether a foot could mean either of two things that fell due."""
        return two_at_once(self.bench, self.now)

    @property
    def of_bench(self) -> BenchSituation | None:
        """What the bench asks before any part, if it asks anything."""
        if not self.bench.operator:
            return "locked"
        if self.bench.away is not None:
            return "away"
        if self.bench.handed is not None:
            return "handed"
        if self.bench.coupon is not None and self.bench.coupon.front:
            return _coupon(self.bench.coupon)
        return "none" if self.bench.focused is None else None

    @property
    def situation(self) -> Situation:
        """Where the bench stands: what it asks itself, else the part in front."""
        return self.of_bench or (self.front.situation if self.front else "none")

    @property
    def foot(self) -> Situation:
        """What a foot finds: two things that fell due leave it without a say."""
        free = self.of_bench in (None, "none")
        if free and self.two_due:
            return "two-due"
        if self.check is not None and self.situation in LEFT_TO_A_CHECK:
            return "told" if by_hand(self.check) else "check"
        return self.situation

    @property
    def about(self) -> str:
        """The part that band and words are about; none before a hand-over is read."""
        if self.situation == "away" and self.bench.away is not None:
            return self.bench.away.place.part
        gone = self.bench.focused is None  # closed on an earlier day
        return "" if self.situation == "handed" or gone else self.bench.focus

    def word(self, code: str, *, gates: bool = True) -> Word:
        """Return the word of a part, the bench's own where that comes first.

        Without ``gates`` none is asked, and a part before a shut one seems ready.
        """
        if self.of_bench and code in (self.about, self.bench.focus):
            if self.of_bench == "none" and self.bench.in_flight:
                return "WAIT"  # what needs hands says so in its own row
            return call_for(self.of_bench, "").word
        found = self.of(code)
        return found.word if gates else found.call.word


def _coupon(run: CouponRun) -> BenchSituation:
    """Return what a coupon test in front asks: a foot for the lamp, else a hand."""
    match step(run).kind:
        case "light":
            return "coupon-light"
        case "lit":
            return "coupon-lit"
        case _:
            return "coupon"


def front(bench: Bench, now: Instant) -> str:
    """Return the part the tool should bring forward, or an empty string.

    Only when the part in front merely waits (or none is chosen), and a timer of
    another has run out or lying there harms it by now. Nothing moves while the operator
    is away: the frozen place is what they come back to. A coupon test that a hand began
    keeps the foot, too.
    """
    if bench.away is not None or (bench.coupon is not None and bench.coupon.front):
        return ""
    focused = bench.focused
    if focused is not None and bench.pinned == pin_of(focused):
        return ""  # what a hand chose stays until a hand or its own end changes it
    at = Standings(bench, now)
    if at.front and not (at.front.waits or at.front.asked == "closed"):
        return ""
    due = (
        part
        for each in at.ranked
        if (part := bench.parts[each.part]).code != bench.focus
        and each.due_ms <= 0
        and (each.harm_ms < 0 or isinstance(part.phase, Soaking | InRun))
    )
    first = next(due, None)
    if first is None or bench.focus in bench.basket_of(first):
        return ""
    return first.code
