"""Which promises hold today, and what to put back that another may hold.

The rest of the day is played forty times in the bench's own order. A part put back is
left to the end; that is only ever proposed. The chances are shares of played days, so
they are known to about 0.08; the thresholds are our own choice.
"""

from __future__ import annotations

from collections.abc import Generator
from typing import Literal

from benchassist.clock import HOUR_MS, MINUTE_MS
from benchassist.domain.day_chance import drawn
from benchassist.domain.day_play import Bar, Draws, Played, Way, play, said_by_hand
from benchassist.domain.order import AS_DUE, BACK
from benchassist.value import replace, value

DAYS = 40  # played for an answer
HOLDS, OPEN = 0.8, 0.5  # chances from which a promise holds, or is open; our own choice
WORTH = 0.5  # [promises] the least gain for which putting a part back is said
MOST_TRIED = 8  # parts that are tried put back: those with the most hands ahead
STEP_MS = 15 * MINUTE_MS  # [ms] the latest time is told to the quarter of an hour
STEPS = 12
SIFTED, TIMED = 10, 20  # days played to sift the parts, and to find the latest time

Verdict = Literal["holds", "open", "will not"]


@value
class Rules:
    """What a day is played with besides the parts.

    ``said`` is what hands said of parts (``order.FIRST``, ``order.BACK``), ``refused``
    are parts whose putting back was refused, ``not_today`` those nobody counts on.
    """

    seed: str = ""
    hands: int = 1
    calls_per_h: float = 0.0
    call_ms: int = 0
    reserve_ms: int = 0
    said: tuple[tuple[str, int], ...] = ()
    refused: tuple[str, ...] = ()
    not_today: tuple[str, ...] = ()


@value
class Promise:
    """One part with an appointment: when it will be done, and its chance to make it.

    All times in ms from now; the end lies in half of all days before ``median_ms``, in
    four of five before ``eighty_ms``. Who is ``counted`` is promised for today.
    """

    code: str
    due_ms: int | None
    chance: float
    median_ms: int
    eighty_ms: int
    verdict: Verdict
    counted: bool = True


@value
class PutBack:
    """A part that, left to the end, lets ``saves`` make its time until ``until_ms``."""

    code: str
    saves: str
    gain: float
    until_ms: int


@value
class Outlook:
    """The answer: every part, the best to put back, and a day of medians as drawn."""

    promises: tuple[Promise, ...]
    back: PutBack | None
    bars: tuple[Bar, ...]

    @property
    def holding(self) -> int:
        """How many promises of today hold."""
        return sum(each.verdict == "holds" for each in self.promised)

    @property
    def promised(self) -> tuple[Promise, ...]:
        """Return the parts that somebody waits for, the first due first."""
        found = (each for each in self.promises if each.counted)
        return tuple(sorted(found, key=lambda each: (each.due_ms or 0, each.code)))


Ends = tuple[tuple[int, ...], ...]  # of every day, of every part


def look_ahead(ways: tuple[Way, ...], rules: Rules) -> Generator[None, None, Outlook]:
    """Play, giving way to others at every yield; what is returned is the answer."""
    days = _days(ways, rules)
    said = dict(rules.said)
    ends = yield from _played(ways, days, said)
    back = yield from _best_back(ways, days, rules, ends)
    middle = Played(ways, said_by_hand(said), _median_day(rules)).run()
    promises = tuple(_promise(ways, ends, n, rules) for n in range(len(ways)))
    return Outlook(promises, back, tuple(middle.bars))


def answer(ways: tuple[Way, ...], rules: Rules) -> Outlook:
    """Return the answer at once, for who has the time."""
    playing = look_ahead(ways, rules)
    while True:
        try:
            next(playing)
        except StopIteration as done:
            found: Outlook = done.value
            return found


def chances(ways: tuple[Way, ...], ends: Ends) -> tuple[float, ...]:
    """Return each part's share of days in which it made its time; 1 without one."""
    return tuple(
        1.0
        if way.due_ms is None
        else sum(day[n] <= way.due_ms for day in ends) / len(ends)
        for n, way in enumerate(ways)
    )


def _days(ways: tuple[Way, ...], rules: Rules) -> tuple[Draws, ...]:
    last = max((way.due_ms or 0 for way in ways), default=0)
    return tuple(
        drawn(
            ways,
            seed=rules.seed,
            day=day,
            hands=rules.hands,
            calls_per_h=rules.calls_per_h,
            call_ms=rules.call_ms,
            reserve_ms=rules.reserve_ms,
            over_ms=max(HOUR_MS, last),
        )
        for day in range(DAYS)
    )


def _median_day(rules: Rules) -> Draws:
    return drawn((), seed=rules.seed, day=0, hands=rules.hands)


def _played(
    ways: tuple[Way, ...],
    days: tuple[Draws, ...],
    said: dict[str, int],
    from_ms: int = 0,
) -> Generator[None, None, Ends]:
    choose = said_by_hand(said, from_ms)
    ends: list[tuple[int, ...]] = []
    for draws in days:
        ends.append(play(ways, choose, draws))
        yield
    return tuple(ends)


def _promise(ways: tuple[Way, ...], ends: Ends, n: int, rules: Rules) -> Promise:
    way, chance = ways[n], chances(ways, ends)[n]
    mine = sorted(day[n] for day in ends)
    return Promise(
        code=way.code,
        due_ms=way.due_ms,
        chance=chance,
        median_ms=mine[(len(mine) - 1) // 2],
        eighty_ms=mine[-(-len(mine) * 4 // 5) - 1],
        verdict=verdict_of(chance),
        counted=way.due_ms is not None and way.code not in rules.not_today,
    )


def _best_back(
    ways: tuple[Way, ...],
    days: tuple[Draws, ...],
    rules: Rules,
    base: Ends,
) -> Generator[None, None, PutBack | None]:
    """Try every likely part left to the end; of the best find until when it helps."""
    best: PutBack | None = None
    if all(chance >= HOLDS for chance in chances(ways, base)):
        return None
    for way in _tried(ways, rules):
        gain = yield from _gained(ways, way.code, days[:SIFTED], rules, base)
        if gain.gain >= WORTH and (best is None or gain.gain > best.gain):
            best = gain
    if best is None:
        return None
    best = yield from _gained(ways, best.code, days, rules, base)
    if best.gain < WORTH:
        return None
    helps, fails = (
        0,
        STEPS + 1,
    )  # quarters of an hour; between them the latest that helps
    while fails - helps > 1:
        step = (helps + fails) // 2
        some, late = days[:TIMED], step * STEP_MS
        found = yield from _gained(ways, best.code, some, rules, base, from_ms=late)
        helps, fails = (step, fails) if found.gain >= WORTH else (helps, step)
    return replace(best, until_ms=helps * STEP_MS)


def _gained(
    ways: tuple[Way, ...],
    code: str,
    days: tuple[Draws, ...],
    rules: Rules,
    base: Ends,
    *,
    from_ms: int = 0,
) -> Generator[None, None, PutBack]:
    """Play a part put back from a moment on; say what it gains on the same days."""
    ends = yield from _played(ways, days, {**dict(rules.said), code: BACK}, from_ms)
    before, after = chances(ways, base[: len(days)]), chances(ways, ends)
    gains = [
        0.0 if way.code in rules.not_today else new - old
        for way, old, new in zip(ways, before, after, strict=True)
    ]
    saved = max(range(len(ways)), key=lambda n: gains[n])
    return PutBack(code, ways[saved].code, sum(gains), 0)


def _tried(ways: tuple[Way, ...], rules: Rules) -> tuple[Way, ...]:
    said = dict(rules.said)
    free = (
        way
        for way in ways
        if said.get(way.code, AS_DUE) == AS_DUE
        and way.code not in rules.refused
        and way.due_ms is not None
        and _hands_ms(way)
    )
    return tuple(sorted(free, key=_hands_ms, reverse=True)[:MOST_TRIED])


def _hands_ms(way: Way) -> int:
    return sum(leg.by_hand_ms for leg in way.legs)


def verdict_of(chance: float) -> Verdict:
    """Return the word for a chance to make it."""
    if chance >= HOLDS:
        return "holds"
    return "open" if chance >= OPEN else "will not"
