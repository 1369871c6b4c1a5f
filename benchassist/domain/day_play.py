"""The rest of the day, played many times: which promises hold.

A part's rest is a light copy of its route: hands, what runs alone, box, bath and
vessel. One played day starts whatever a rule chooses whenever hands are free; its
draws (how long work takes, who calls when) are given, so the same seed and state give
the same answer bit for bit. Nothing here knows the bench, a clock or a file; it
advises, and outranks no harm clock and no gate.

How long work takes is taken as lognormal through a median and an 80th percentile;
calls come as a Poisson process. Both are our own choice of model.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from heapq import heappop, heappush
from typing import Literal, NamedTuple

from benchassist.clock import MINUTE_MS, MS
from benchassist.domain.order import AS_DUE, BACK, order
from benchassist.value import replace, value

FAR = 10**12  # [ms] later than any day
TACKED_MS = 20 * MINUTE_MS  # [ms] a tacked coat in the open; common practice, no source
PUT_DOWN_MS = 20 * MS  # [ms] to take work up again that alcohol broke off; our guess

Mode = Literal["hands", "coat", "alone", "place"]


@value
class Leg:
    """One stage ahead of a part; times in milliseconds.

    ``hands`` is work by hand, its median ``hands_ms`` with the spread ``sigma`` of its
    logarithm. A ``coat`` is its ``pieces``, none of which is broken off. What is
    ``alone`` needs nobody. A ``place`` (box or bath) is taken with ``hands_ms``, runs
    ``alone_ms``, no longer than ``most_ms`` (0: no harm), and is left with
    ``ends_ms``; ``vessel`` is taken along. Of a basket those go in together whose
    ``load`` is the same. A ``tacked`` coat waits before it.
    """

    key: str
    mode: Mode
    hands_ms: int = 0
    sigma: float = 0.0
    pieces: tuple[int, ...] = ()
    alone_ms: int = 0
    most_ms: int = 0
    ends_ms: int = 0
    place: str = ""
    load: str = ""
    vessel: str = ""
    tacked: bool = False

    @property
    def by_hand_ms(self) -> int:
        """How long hands are at it."""
        return self.hands_ms + sum(self.pieces) + self.ends_ms

    @property
    def whole_ms(self) -> int:
        """How long it takes where nothing is waited for."""
        return self.by_hand_ms + self.alone_ms


@value
class Way:
    """What is left of a part's day.

    ``due_ms`` is from now, None where nobody waits. The first leg is ``begun`` where
    it runs alone already: its times are then what is left of them. Parts of one
    ``basket`` take a place together. ``since_ms`` is how long a tacked coat lies.
    """

    code: str
    legs: tuple[Leg, ...]
    due_ms: int | None = None
    basket: str = ""
    begun: bool = False
    since_ms: int = 0
    arrives_ms: int = 0


@value
class Draws:
    """What chance decides of one day.

    ``works`` holds how much longer than its median each work takes, ``calls`` for each
    pair of hands when it is called away and for how long, both in ms.
    """

    works: dict[tuple[str, str], float]
    calls: tuple[tuple[tuple[int, int], ...], ...] = ((),)


class Turn(NamedTuple):
    """What hands could do at a moment; times in ms from that moment."""

    code: str
    at_ms: int
    harm_ms: int
    promise_ms: int
    slack_ms: int
    quick: bool
    arrived: int


Choose = Callable[[Turn], tuple[float, ...]]


def by_promise(turn: Turn) -> tuple[float, ...]:
    """Sort as the bench does."""
    return order(turn.harm_ms, turn.promise_ms, turn.slack_ms, long=not turn.quick)


def said_by_hand(said: Mapping[str, int], from_ms: int = 0) -> Choose:
    """Return the bench's order with some parts first and some put back.

    ``said`` holds ``order.FIRST`` or ``order.BACK`` by part; what is put back is so
    from a moment of the day on.
    """

    def choose(turn: Turn) -> tuple[float, ...]:
        word = said.get(turn.code, AS_DUE)
        if word == BACK and turn.at_ms < from_ms:
            word = AS_DUE
        long = not turn.quick
        return order(turn.harm_ms, turn.promise_ms, turn.slack_ms, long=long, said=word)

    return choose


# --- one day -------------------------------------------------------------------------


Kind = Literal["take", "leave", "work", "piece"]


class _Job(NamedTuple):
    """What a pair of hands is at: until when, with whom, and what it is."""

    kind: Kind
    group: tuple[int, ...]
    ends_ms: int
    number: int


class Bar(NamedTuple):
    """A stretch of a played day, in ms from now: by hand, alone, or in a place."""

    code: str
    key: str
    kind: Literal["hands", "alone", "place"]
    start_ms: int
    end_ms: int
    place: str = ""


class Played:
    """One day, played as far as it has got."""

    def __init__(self, ways: tuple[Way, ...], choose: Choose, draws: Draws) -> None:
        """Lay the parts out as they stand; nothing has happened yet."""
        self.ways = ways
        self.choose = choose
        self.draws = draws
        self.t = 0
        self.ends: list[int | None] = [None] * len(ways)
        self.harmed_ms: dict[tuple[str, str], int] = {}
        self.bars: list[Bar] = []
        self._at = [0] * len(ways)
        self._state = ["away"] * len(ways)
        self._since = [-way.since_ms for way in ways]
        self._left: list[float] = [0.0] * len(ways)
        self._piece = [0] * len(ways)
        self._latest = [FAR] * len(ways)
        self._due = [FAR] * len(ways)  # when alcohol has had its shortest stay
        self._rest = [_suffixes(way.legs) for way in ways]
        self._held: dict[str, tuple[int, ...]] = {}
        self._idle = list(range(len(draws.calls) or 1))
        self._called = [0] * len(self._idle)
        self._jobs: dict[int, _Job] = {}
        self._began: dict[int, int] = {}
        self._number = 0
        self._events: list[tuple[int, int, str, int]] = []
        for n, way in enumerate(ways):
            if way.arrives_ms > 0:
                self._push(way.arrives_ms, "enter", n)
            elif way.begun and way.legs:
                self._lay_out(n, way)
            else:
                self._enter(n)

    def _lay_out(self, n: int, way: Way) -> None:
        leg = way.legs[0]
        self._state[n] = "alone"
        if leg.most_ms:
            self._latest[n], self._due[n] = leg.most_ms, leg.alone_ms
        for place in filter(None, (leg.place, leg.vessel)):
            self._held[place] = (*self._held.get(place, ()), n)
        self._push(leg.alone_ms, "over", n)

    def run(self, until_ms: int = FAR) -> Played:
        """Play on until a moment, or until every part is done."""
        if not self._events or self._events[0][0] > self.t:
            self._dispatch()
        while self._events and self._events[0][0] <= until_ms:
            self.t, _, what, n = heappop(self._events)
            if what == "job":
                self._done(n)
            elif what == "enter":
                self._enter(n)
            else:
                self._over(n)
            if not self._events or self._events[0][0] > self.t:
                self._dispatch()
        self.t = max(self.t, until_ms) if until_ms < FAR else self.t
        return self

    def rest(self) -> tuple[Way, ...]:
        """Return what is left of the parts not done, as seen at this moment."""
        return tuple(
            self._way(n, way)
            for n, way in enumerate(self.ways)
            if self.ends[n] is None and self._state[n] != "away"
        )

    def _way(self, n: int, way: Way) -> Way:
        legs, begun = way.legs[self._at[n] :], False
        leg, job = legs[0], next((j for j in self._jobs.values() if n in j.group), None)
        if self._state[n] in ("alone", "due") or (job and job.kind == "leave"):
            begun = True
            over = max(0, self._since[n] + leg.alone_ms - self.t)
            most = max(1, self._latest[n] - self.t) if self._latest[n] < FAR else 0
            leg = replace(leg, hands_ms=0, alone_ms=over, most_ms=most)
        elif leg.mode == "coat":
            leg = replace(leg, pieces=leg.pieces[self._piece[n] :])
        elif leg.mode == "hands":
            left = job.ends_ms - self.t if job else self._left[n]
            factor = self.draws.works.get((way.code, leg.key), 1.0)
            leg = replace(leg, hands_ms=max(0, round(left / factor)))
        due = None if way.due_ms is None else way.due_ms - self.t
        since = self.t - self._since[n] if leg.tacked and not begun else 0
        legs = (leg, *legs[1:])
        return replace(
            way, legs=legs, due_ms=due, begun=begun, since_ms=since, arrives_ms=0
        )

    # --- what happens ------------------------------------------------------------

    def _push(self, at: int, what: str, n: int) -> None:
        self._number += 1
        heappush(self._events, (at, self._number, what, n))

    def _enter(self, n: int) -> None:
        way = self.ways[n]
        if self._at[n] >= len(way.legs):
            self.ends[n], self._state[n] = self.t, "done"
            return
        leg = way.legs[self._at[n]]
        if self.t or self._at[n]:
            self._since[n] = self.t
        self._piece[n] = 0
        if leg.mode == "alone":
            self._state[n] = "alone"
            self.bars.append(
                Bar(way.code, leg.key, "alone", self.t, self.t + leg.alone_ms)
            )
            self._push(self.t + leg.alone_ms, "over", n)
            return
        self._state[n] = "ready"
        factor = self.draws.works.get((way.code, leg.key), 1.0)
        self._left[n] = leg.hands_ms * (factor if leg.mode == "hands" else 1.0)

    def _over(self, n: int) -> None:
        leg = self.ways[n].legs[self._at[n]]
        if leg.mode == "alone":
            self._onward(n)
            return
        self._state[n] = "due"
        if leg.most_ms and not self._idle:
            self._break_off()

    def _onward(self, n: int) -> None:
        self._at[n] += 1
        self._latest[n] = self._due[n] = FAR
        self._enter(n)

    def _break_off(self) -> None:
        """Let hands put work down for alcohol; a brush or a basket is never."""
        for hand, job in self._jobs.items():
            if job.kind == "work":
                (n,) = job.group
                self._left[n] = job.ends_ms - self.t + PUT_DOWN_MS
                self._state[n] = "ready"
                del self._jobs[hand]
                self._idle.append(hand)
                self._bar(n, "hands", self._began[hand])
                return

    def _bar(self, n: int, kind: Literal["hands", "place"], start: int) -> None:
        way = self.ways[n]
        leg = way.legs[self._at[n]]
        if self.t > start:
            self.bars.append(Bar(way.code, leg.key, kind, start, self.t, leg.place))

    def _done(self, number: int) -> None:
        hand = next((h for h, j in self._jobs.items() if j.number == number), None)
        if hand is None:
            return  # it was broken off
        job = self._jobs.pop(hand)
        self._idle.append(hand)
        for n in job.group:
            self._bar(n, "hands", self._began[hand])
            leg = self.ways[n].legs[self._at[n]]
            if job.kind == "take":
                self._state[n] = "alone"
                self._since[n] = self.t
                if leg.most_ms:
                    self._latest[n] = self.t + leg.most_ms
                    self._due[n] = self.t + leg.alone_ms
                self._push(self.t + leg.alone_ms, "over", n)
            elif job.kind == "leave":
                self._bar(n, "place", self._since[n])
                late = self.t - self._latest[n]
                if late > 0:
                    self.harmed_ms[self.ways[n].code, leg.key] = late
                for place in filter(None, (leg.place, leg.vessel)):
                    self._held.pop(place, None)
                self._onward(n)
            elif job.kind == "work":
                self._onward(n)
            else:
                self._piece[n] += 1
                self._state[n] = "ready"
                self._since[n] = self.t
                if self._piece[n] == len(leg.pieces):
                    self._onward(n)

    # --- what hands choose ---------------------------------------------------------

    def _dispatch(self) -> None:
        while self._idle:
            turns = [
                (self.choose(turn), n, kind, group, takes)
                for n, kind, group, takes, turn in self._turns()
            ]
            if not turns:
                return
            _, n, kind, group, takes = min(turns, key=lambda each: each[:2])
            self._begin(n, kind, group, takes)

    def _turns(self) -> Iterator[tuple[int, Kind, tuple[int, ...], float, Turn]]:
        # Nothing that is never broken off is begun where alcohol comes due within it.
        room = min(self._due, default=FAR) - self.t
        wanted: dict[str, Turn] = {}  # by place: the one that waits for it first
        over: list[int] = []
        for n, way in enumerate(self.ways):
            state = self._state[n]
            if state == "due":
                over.append(n)
                continue
            if state != "ready":
                continue
            leg = way.legs[self._at[n]]
            if leg.mode == "hands":
                turn = self._turn(n, leg, (n,), quick=False)
                yield n, "work", (n,), self._left[n], turn
            elif leg.mode == "coat":
                takes = leg.pieces[self._piece[n]]
                if takes <= room:
                    turn = self._turn(n, leg, (n,), quick=False)
                    yield n, "piece", (n,), takes, turn
            else:
                group = self._together(n, leg)
                turn = self._turn(n, leg, group, quick=True)
                taken = [p for p in (leg.place, leg.vessel) if p in self._held]
                for place in taken:
                    wanted[place] = min(wanted.get(place, turn), turn, key=by_promise)
                if not taken and leg.hands_ms <= room:
                    yield n, "take", group, leg.hands_ms, turn
        for n in over:
            yield self._leaving(n, wanted)

    def _leaving(
        self, n: int, wanted: dict[str, Turn]
    ) -> tuple[int, Kind, tuple[int, ...], float, Turn]:
        """Return the turn that frees a place: as urgent as who waits for it."""
        leg = self.ways[n].legs[self._at[n]]
        there = self._held.get(leg.place, (n,)) if leg.place else (n,)
        group = tuple(m for m in there if self._state[m] == "due")
        turn = self._turn(n, leg, group, quick=True)
        for place in (leg.place, leg.vessel):
            if place in wanted and by_promise(wanted[place]) < by_promise(turn):
                waits = wanted[place]
                turn = waits._replace(code=turn.code, arrived=n)
        return n, "leave", group, leg.ends_ms, turn

    def _turn(self, n: int, leg: Leg, group: tuple[int, ...], *, quick: bool) -> Turn:
        harm = self._latest[n] - self.t
        if leg.tacked and self._state[n] == "ready":
            harm = self._since[n] + TACKED_MS - self.t
        promise = slack = FAR
        for m in group:
            due = self.ways[m].due_ms
            if due is not None:
                promise = min(promise, due - self.t)
                slack = min(slack, due - self.t - self._rest[m][self._at[m]])
        return Turn(self.ways[n].code, self.t, harm, promise, slack, quick, n)

    def _together(self, n: int, leg: Leg) -> tuple[int, ...]:
        basket = self.ways[n].basket
        if not basket:
            return (n,)
        return tuple(
            m
            for m, way in enumerate(self.ways)
            if way.basket == basket
            and self._state[m] == "ready"
            and way.legs[self._at[m]].key == leg.key
            and way.legs[self._at[m]].load == leg.load
        )

    def _begin(self, n: int, kind: Kind, group: tuple[int, ...], takes: float) -> None:
        leg = self.ways[n].legs[self._at[n]]
        hand = min(self._idle)
        self._idle.remove(hand)
        if kind == "take":
            for place in filter(None, (leg.place, leg.vessel)):
                self._held[place] = group
        if leg.tacked and kind in ("take", "piece"):
            late = self.t - self._since[n] - TACKED_MS
            if late > 0:
                self.harmed_ms[self.ways[n].code, leg.key] = late
        for m in group:
            self._state[m] = "in hand"
        ends = self._busy(hand, round(takes))
        self._number += 1
        self._jobs[hand] = _Job(kind, group, ends, self._number)
        self._began[hand] = self.t
        heappush(self._events, (ends, self._number, "job", self._number))

    def _busy(self, hand: int, takes: int) -> int:
        """Return when hands are done, the calls counted that reach into it."""
        calls = self.draws.calls[hand] if self.draws.calls else ()
        k, ends = self._called[hand], self.t + takes
        while k < len(calls) and calls[k][0] < ends:
            at, length = calls[k]
            ends += max(0, at + length - self.t) if at < self.t else length
            k += 1
        self._called[hand] = k
        return ends


def _suffixes(legs: tuple[Leg, ...]) -> list[int]:
    """Return what is left from each leg on where nothing is waited for."""
    rest = [0]
    for leg in reversed(legs):
        rest.append(rest[-1] + leg.whole_ms)
    return rest[::-1]


def play(ways: tuple[Way, ...], choose: Choose, draws: Draws) -> tuple[int, ...]:
    """Return when each part is done in one played day, in ms from now."""
    ends = Played(ways, choose, draws).run().ends
    return tuple(FAR if end is None else end for end in ends)
