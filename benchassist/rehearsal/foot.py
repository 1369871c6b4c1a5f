"""The simulated foot on the pedal: edges through the real guard, then the session.

It takes the same path as a foot at the bench, so a script can state how a worn
switch bounces and see what counts.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence

from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.outcome import Refusal
from benchassist.domain.pedal import meaning
from benchassist.domain.pedal_guard import (
    LONG_MS,
    QUIET_MS,
    Answer,
    Edge,
    PedalGuard,
    Press,
    Refused,
    Situation,
)
from benchassist.domain.queue import two_at_once
from benchassist.session import Outcome, Session

SHORT = (0, 120)  # [ms] down and up again; a quick press of a foot, from memory
LONG = (0, LONG_MS + 100)

Passing = Callable[[int], Iterator[int]]  # lets milliseconds of the bench pass


class Foot:
    """One pedal at one session.

    ``refused`` counts the presses that the guard did not let count, by reason, and
    ``outcome`` is what the last press led to, None where none counted.
    """

    def __init__(self, session: Session) -> None:
        self.session = session
        self.presses = 0
        self.refused: Counter[str] = Counter()
        self._guard = PedalGuard()
        self.outcome: Outcome | None = None
        self._changed_ms: int | None = None

    def restarted(self, session: Session) -> None:
        """Stand before a program that has just come up."""
        self.session = session
        self._guard = PedalGuard()
        self._changed_ms = session.now().mono_ms

    def saw(self, outcome: Outcome) -> None:
        """Note when the screen changed by itself or by a choice."""
        for entry in outcome.entries:
            if isinstance(entry.event, ev.FocusMoved | ev.PartChosen):
                self._changed_ms = entry.at.mono_ms

    def press(self, edges: Sequence[int], passing: Passing) -> Iterator[int]:
        """Press, and yield the milliseconds that pass.

        ``edges`` are the ms at which the switch goes down, up, down and so on. What
        the last press led to is told by ``outcome``.
        """
        self.outcome = None
        offset = 0
        looks = {edges[-1] + QUIET_MS, LONG_MS}
        for moment in sorted({*edges, *looks}):
            if moment > edges[-1] and not self._guard.waiting:
                break
            yield from passing(moment - offset)
            offset = moment
            for n, edge in enumerate(edges):
                if edge == moment:
                    self._edge(down=n % 2 == 0)
            if moment in looks:
                self._look()

    def _edge(self, *, down: bool) -> None:
        self._turn()
        now_ms = self.session.now().mono_ms
        edge = Edge(down=down, stamp_ms=now_ms, arrival_ms=now_ms)
        self._guard, answers = self._guard.edge(edge, self._situation())
        self._act(answers)

    def _turn(self) -> None:
        means = meaning(self.session.bench, self.session.now())
        self._guard, answers = self._guard.turn(means.about)
        self._act(answers)

    def _look(self) -> None:
        self._turn()
        self._guard, answers = self._guard.look(self.session.now().mono_ms)
        self._act(answers)

    def _situation(self) -> Situation:
        bench, now = self.session.bench, self.session.now()
        return Situation(
            long_press=meaning(bench, now).long_answer is not None,
            changed_ms=self._changed_ms,
            two_due=two_at_once(bench, now),
        )

    def _act(self, answers: Sequence[Answer]) -> None:
        for answer in answers:
            match answer:
                case Press(kind=kind):
                    self.presses += 1
                    command = cm.PressPedal(long=kind == "long")
                    self.outcome = self.session.handle(command)
                case Refused(reason=reason):
                    self.refused[reason] += 1
                    if answer.said:
                        code = reason.replace(" ", "-")
                        refusal = Refusal(code, answer.sentence)
                        self.outcome = self.session.not_counted(refusal)
