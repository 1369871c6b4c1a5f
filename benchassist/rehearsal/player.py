"""Runs a script through the real engine on a simulated clock.

The bench's time passes in ticks, each at a moment when something ends or the
heartbeat is due, at most a second apart while a lamp is lit. Whoever runs the player
is told beforehand how much time passes next and may let as much real time go by.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import timedelta
from typing import Any

from benchassist.clock import MS, Instant, SimulatedClock
from benchassist.domain import commands as cm
from benchassist.domain.events import StoreKind
from benchassist.domain.limits import limit
from benchassist.domain.queue import need
from benchassist.domain.standing import Standing
from benchassist.domain.state import InRun, OnHold, Soaking, Walking
from benchassist.journal.writing import Writer
from benchassist.library_file import LibraryError, parse_library
from benchassist.rehearsal import (  # noqa: F401 - more topics
    expect_light,
    expect_record,
    expect_time,
    expect_under_pressure,
)
from benchassist.rehearsal.expect import check
from benchassist.rehearsal.foot import LONG, SHORT, Foot
from benchassist.rehearsal.putting_right import correction_of
from benchassist.rehearsal.record import record_of
from benchassist.rehearsal.script import Line, Script, clock_ms, down_of, span_ms
from benchassist.rehearsal.verbs import command_of
from benchassist.session import Listener, Outcome, Session

WALK_TICK_MS = 1000  # [ms] well below the gap that counts as a stall
BOOT_MS = 30_000  # [ms] a machine that comes up and opens the program by itself
STATION = "EX-BENCH"
HOUR_MS = 3600 * MS

OpenJournal = Callable[[], Writer]


class Player:
    """One run of one script.

    Attributes
    ----------
    session
        The session now; another one after a restart.
    outcome
        What the last command or press led to.
    holds, taps
        Hand actions so far: held ones, and all others.
    foot
        The pedal, with its presses.
    """

    def __init__(
        self,
        script: Script,
        open_journal: OpenJournal,
        *,
        clock: SimulatedClock | None = None,
        kind: StoreKind = "rehearsal",
        zone: str = "",
        listener: Listener | None = None,
    ) -> None:
        self.script = script
        self.holds = 0
        self.taps = 0
        self.outcome = Outcome()
        self._open_journal = open_journal
        self._clock = clock or SimulatedClock(script.start)
        self._kind: StoreKind = kind
        offset_h = self._clock.now().offset_min / 60
        self._zone = zone or f"UTC{offset_h:+g}"
        self._listener = listener
        self._passed_ms = 0
        self._unexpected: tuple[int, str] | None = None
        self.session = self._opened()
        self.foot = Foot(self.session)

    def _opened(self) -> Session:
        session = Session.open(
            self._open_journal(),
            self._clock,
            kind=self._kind,
            station=STATION,
            zone=self._zone,
        )
        session.subscribe(self._saw)
        if self._listener is not None:
            session.subscribe(self._listener)
        return session

    def _saw(self, outcome: Outcome) -> None:
        self.foot.saw(outcome)

    def close(self) -> None:
        """Let the journal go."""
        self.session.close()

    def record(self) -> dict[str, Any]:
        """Return what the journal says, and the hands and feet it took."""
        counts = {
            "presses": self.foot.presses,
            "holds": self.holds,
            "taps": self.taps,
            "presses_not_counted": dict(self.foot.refused),
        }
        found = record_of(self.session.journal)
        return {"script": self.script.name, "hands_and_feet": counts, **found}

    def instant(self, text: str) -> Instant:
        """Return the instant of a time of day in the script."""
        ahead = clock_ms(text) - self.script.midnight_ms - self._passed_ms
        return self._clock.now().plus(ahead)

    def moments(self) -> Iterator[int]:
        """Run the script; yield the milliseconds of bench time that pass next.

        Raises
        ------
        ScriptError
            If a line cannot be done, or the bench is not as the script expects.
        """
        for line in self.script.lines:
            try:
                if line.verb != "expect" or line.words[:1] != ("refused",):
                    self._no_refusal_left()
                yield from self._until(line)
                yield from self._do(line)
            except (ValueError, LibraryError) as error:
                raise self.script.error(line.number, str(error)) from error
        self._no_refusal_left()

    def _no_refusal_left(self) -> None:
        if self._unexpected is not None:
            number, told = self._unexpected
            raise self.script.error(number, told)

    def _until(self, line: Line) -> Iterator[int]:
        ahead = line.after_ms or 0
        if line.at_ms is not None:
            ahead = line.at_ms - self.script.midnight_ms - self._passed_ms
        if ahead < 0:
            now = self._clock.now().local().time().isoformat("milliseconds")
            message = f"the bench clock is past this line already, at {now}"
            raise ValueError(message)
        yield from self._pass(ahead)

    def _do(self, line: Line) -> Iterator[int]:
        words = line.words
        match line.verb, len(words):
            case "expect", _:
                if words[:1] == ("refused",):
                    self._unexpected = None
                check(self, words)
            case "press", _:
                yield from self._press(line)
            case "library", 1:
                self._library(line)
            case "operator", 1:
                self._hand(line, cm.ClaimStation(words[0]))
            case "wait" | "suspend" | "wall-step", 1:
                yield from self._time(line.verb, words[0])
            case "crash" | "reboot" | "power-loss", _:
                yield from self._restart(line.verb, *words)
            case "put-right", _:
                journal = self.session.journal
                self._hand(line, correction_of(words, journal))
            case "end", 0:
                pass
            case _:
                bench = self.session.bench
                self._hand(line, command_of(line.verb, words, bench, self.instant))

    def _time(self, verb: str, word: str) -> Iterator[int]:
        if verb == "suspend":
            yield from self._away(span_ms(word))
            self.session.tick()
        elif verb == "wall-step":
            sign = -1 if word.startswith("-") else 1
            self._clock.step_wall(sign * span_ms(word.lstrip("+-")))
            self.session.tick()
        elif word in self.session.bench.parts:
            yield from self._until_free(word)
        else:
            yield from self._pass(span_ms(word))

    def _hand(self, line: Line, command: cm.Command) -> None:
        held = type(command) in cm.HELD
        self.holds += held
        self.taps += not held
        self._led_to(line, self.session.handle(command, "script"))

    def _led_to(self, line: Line, outcome: Outcome) -> None:
        self.outcome = outcome
        if outcome.refusal is not None:
            refusal = outcome.refusal
            told = f"refused ({refusal.code}): {refusal.message}"
            self._unexpected = (line.number, told)

    def _library(self, line: Line) -> None:
        name = line.words[0]
        try:
            text = self.script.beside(name)
        except (OSError, UnicodeDecodeError) as error:
            message = f"the library {name} cannot be read"
            raise ValueError(message) from error
        folder = name.rpartition("/")[0]
        command = parse_library(
            text,
            name=name,
            beside=lambda file: self.script.beside(f"{folder}/{file}".lstrip("/")),
        )
        self._led_to(line, self.session.handle(command, "script"))

    def _press(self, line: Line) -> Iterator[int]:
        match line.words:
            case ():
                edges: tuple[int, ...] = SHORT
            case ("long",):
                edges = LONG
            case ("bounced", *stamps) if stamps:
                edges = tuple(int(stamp) for stamp in stamps)
                if list(edges) != sorted(set(edges)) or edges[0] < 0:
                    raise ValueError("the edges of a press are rising ms from 0")
            case _:
                raise ValueError("expected: press, press long, or press bounced 0 9 …")
        yield from self.foot.press(edges, self._pass)
        self._led_to(line, self.foot.outcome or Outcome())

    def _until_free(self, code: str) -> Iterator[int]:
        """Let time pass until a part's walk is over or its timer has run out."""
        while self._busy(code):
            yield from self._pass(self._step_ms(HOUR_MS))

    def _busy(self, code: str) -> bool:
        bench = self.session.bench
        part = bench.parts[code]
        if isinstance(part.phase, OnHold):
            message = f"{code} is on hold, which ends by hand alone"
            raise ValueError(message)  # noqa: TRY004 - of the script, not of a type
        if isinstance(part.phase, Walking):
            return True
        return Standing(bench, part, self.session.now()).waits

    def _pass(self, ms: int) -> Iterator[int]:
        """Let bench time pass, ticking whenever something ends."""
        end = self._passed_ms + ms
        while self._passed_ms < end:
            step = self._step_ms(end - self._passed_ms)
            yield step
            self._clock.advance(step)
            self._passed_ms += step
            self.session.tick()

    def _step_ms(self, most: int) -> int:
        """Return the ms to the next tick: an end, a heartbeat, a look at the walk."""
        bench, now = self.session.bench, self.session.now()
        beat_ms = int(limit(bench, "heartbeat_s") * MS)
        steps = [most, beat_ms - now.mono_ms % beat_ms]
        for part in bench.in_flight:
            phase = part.phase
            if isinstance(phase, Walking):
                steps.append(WALK_TICK_MS - now.mono_ms % WALK_TICK_MS)
                steps.append(-now.since(phase.lit.plus(phase.light_ms)))
            elif isinstance(phase, Soaking | InRun):
                steps.append(need(bench, part, now).due_ms)
        test = bench.coupon
        if test is not None and test.lit is not None:
            steps.append(WALK_TICK_MS - now.mono_ms % WALK_TICK_MS)
            steps.append(-now.since(test.lit.plus(test.light_ms)))
        return min(step for step in steps if step > 0)

    def _away(self, ms: int) -> Iterator[int]:
        """Let time pass that nobody sees: asleep, or the program is down."""
        yield ms
        self._clock.advance(ms)
        self._passed_ms += ms

    def _restart(self, how: str, *words: str) -> Iterator[int]:
        down = down_of(words)
        if how == "crash" and (down.up_ms is not None or down.step_ms):
            raise ValueError("a crash starts no machine anew: use reboot or power-loss")
        if how == "reboot":
            self.session.close()
        else:
            self.session.journal.close()  # no goodbye
        yield from self._away(down.ms)
        if how != "crash":
            self._clock.reboot(
                min(down.ms, BOOT_MS) if down.up_ms is None else down.up_ms
            )
            self._clock.step_wall(down.step_ms)
            if down.at is not None:
                ahead = down.at - self._clock.now().local().replace(tzinfo=None)
                self._clock.step_wall(round(ahead / timedelta(milliseconds=1)))
        self.session = self._opened()
        self.foot.restarted(self.session)
        self.session.tick()
