"""Tell a foot's press from a bounce, a held pedal's repeats and a slip.

Fed with the edges of one switch, it answers with the presses that count and with a
reason for each one that does not. It knows what a press may mean only by the flags
it is given, and takes real time: guards of the foot never run on a fast clock.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from typing import Literal, TypeAlias

from benchassist.value import replace, value

QUIET_MS = 60  # [ms] since any edge; longer than the bounce of a worn switch
APART_MS = 700  # [ms] since the last press that counted; common practice, no source
LONG_MS = 1500  # [ms] a press held so long is a long one; common practice, no source
SETTLE_MS = 1200  # [ms] after the screen changed; common practice, no source

Blocked: TypeAlias = Literal["typing", "popup open", "not in front"]
Reason: TypeAlias = (
    Blocked | Literal["bounce", "held", "too soon", "screen changed", "two due"]
)

SENTENCES: Mapping[Reason, str] = {
    "bounce": "The pedal's switch bounced: one press counts.",
    "held": "The pedal is still down.",
    "too soon": "Not counted: too soon after the last press.",
    "screen changed": "Not counted: the screen had just changed. Press again.",
    "two due": "Not counted: two things are due at once. Choose one by hand.",
    "typing": "The pedal rests while you type.",
    "popup open": "Not counted: a list is open. Close it by hand.",
    "not in front": "Not counted: this window is not in front.",
}


@value
class Edge:
    """The switch went down or up.

    ``stamp_ms`` is the event's own time stamp, 0 where it has none, and
    ``arrival_ms`` the monotonic reading when the program saw it. ``made_ms`` is the
    earliest moment, on the clock of ``arrival_ms``, at which it can have been made;
    it lies before the arrival when the program was busy. ``repeat`` says that the
    keyboard flagged the edge as its own repetition.
    """

    down: bool
    stamp_ms: int
    arrival_ms: int
    made_ms: int | None = None
    repeat: bool = False

    def since(self, earlier: Edge) -> int:
        """Return the ms from ``earlier`` to this edge.

        By the stamps, because they stand still while the program is busy; by the
        arrivals where a stamp is missing or runs back.
        """
        if earlier.stamp_ms > 0 and self.stamp_ms >= earlier.stamp_ms:
            return self.stamp_ms - earlier.stamp_ms
        return self.arrival_ms - earlier.arrival_ms


@value
class Situation:
    """What the present state says of a press.

    ``long_press`` says whether a long press has a meaning here, ``changed_ms`` when
    the program last changed screen or focus of its own accord, ``two_due`` that two
    things fell due within 1 s of each other, ``blocked`` why the foot has no say.
    """

    long_press: bool = False
    changed_ms: int | None = None
    two_due: bool = False
    blocked: Blocked | None = None


@value
class Press:
    """A press that counts."""

    kind: Literal["short", "long"]


@value
class Refused:
    """A press that does not count, and why."""

    reason: Reason

    @property
    def said(self) -> bool:
        """Whether a person pressed and must be told, not only the switch."""
        return self.reason not in ("bounce", "held")

    @property
    def kept(self) -> bool:
        """Whether it goes on record: a foot that meant the bench, not a typing hand."""
        return self.reason in ("too soon", "screen changed", "two due")

    @property
    def sentence(self) -> str:
        """One plain sentence for the screen."""
        return SENTENCES[self.reason]


Answer: TypeAlias = Press | Refused


@value
class PedalGuard:
    """The state of the guard; each edge or look makes the next one.

    ``waiting`` is a press that counts but is not yet known to be short or long, and
    ``lifted`` the release that may end it. ``about`` names what a press would act on.
    ``counts`` holds how often each reason refused.
    """

    last: Edge | None = None
    accepted: Edge | None = None
    waiting: Edge | None = None
    lifted: Edge | None = None
    about: str = ""
    counts: Mapping[Reason, int] = field(default_factory=dict)

    def turn(self, about: str) -> tuple[PedalGuard, tuple[Answer, ...]]:
        """Return the guard before another thing to act on.

        A foot that is down meant the one before: its press counts for neither.
        """
        turned = replace(self, about=about)
        if about == self.about or self.waiting is None:
            return turned, ()
        return _overtaken(turned)

    def edge(
        self, edge: Edge, situation: Situation
    ) -> tuple[PedalGuard, tuple[Answer, ...]]:
        """Return the guard after ``edge``, and what there is to act on."""
        guard, settled = _settle_before(self, edge)
        guard, answers = _take(guard, edge, situation)
        return replace(guard, last=edge), settled + answers

    def look(self, arrival_ms: int) -> tuple[PedalGuard, tuple[Answer, ...]]:
        """Return the guard at ``arrival_ms``, and what has become certain by then.

        Call it only when no edge can be lying unread in a queue: a look right after
        the program was busy would take a pedal for held whose release has not been
        read yet.
        """
        if self.waiting is None:
            return self, ()
        if self.lifted is not None:
            if arrival_ms - self.lifted.arrival_ms < QUIET_MS:
                return self, ()
            return _end(self, self.lifted.since(self.waiting))
        held_ms = arrival_ms - self.waiting.arrival_ms
        return _end(self, held_ms) if held_ms >= LONG_MS else (self, ())

    def forget_pressed(self) -> PedalGuard:
        """Return the guard without the press in hand: its release goes elsewhere."""
        return replace(self, waiting=None, lifted=None)


def _settle_before(
    guard: PedalGuard, edge: Edge
) -> tuple[PedalGuard, tuple[Answer, ...]]:
    """End the press in hand if its release was real by the time of ``edge``."""
    if guard.waiting is None or guard.lifted is None:
        return guard, ()
    if edge.since(guard.lifted) < QUIET_MS:
        return guard, ()
    return _end(guard, guard.lifted.since(guard.waiting))


def _end(guard: PedalGuard, held_ms: int) -> tuple[PedalGuard, tuple[Answer, ...]]:
    kind: Literal["short", "long"] = "long" if held_ms >= LONG_MS else "short"
    return guard.forget_pressed(), (Press(kind),)


def _take(
    guard: PedalGuard, edge: Edge, situation: Situation
) -> tuple[PedalGuard, tuple[Answer, ...]]:
    if not edge.down:
        return _lift(guard, edge, situation)
    reason = _refusal(guard, edge, situation)
    if reason is not None:
        # The pedal is down again, so the release before was not one.
        return replace(guard, lifted=None, counts=_counted(guard, reason)), (
            Refused(reason),
        )
    if situation.long_press:
        return replace(guard, accepted=edge, waiting=edge, lifted=None), ()
    return replace(guard, accepted=edge), (Press("short"),)


def _lift(
    guard: PedalGuard, edge: Edge, situation: Situation
) -> tuple[PedalGuard, tuple[Answer, ...]]:
    """Note a release, unless the screen is no more the one that was pressed at."""
    if guard.waiting is None:
        return guard, ()
    changed_ms = situation.changed_ms
    if changed_ms is not None and changed_ms > guard.waiting.arrival_ms:
        return _overtaken(guard)
    return replace(guard, lifted=edge), ()


def _overtaken(guard: PedalGuard) -> tuple[PedalGuard, tuple[Answer, ...]]:
    counts = _counted(guard, "screen changed")
    done = replace(guard.forget_pressed(), counts=counts)
    return done, (Refused("screen changed"),)


def _counted(guard: PedalGuard, reason: Reason) -> Mapping[Reason, int]:
    return {**guard.counts, reason: guard.counts.get(reason, 0) + 1}


def _refusal(guard: PedalGuard, edge: Edge, situation: Situation) -> Reason | None:
    quiet_ms = QUIET_MS if guard.last is None else edge.since(guard.last)
    apart_ms = APART_MS if guard.accepted is None else edge.since(guard.accepted)
    made_ms = edge.arrival_ms if edge.made_ms is None else edge.made_ms
    changed_ms = situation.changed_ms
    rules: tuple[tuple[Reason | None, bool], ...] = (
        ("bounce", quiet_ms < QUIET_MS),
        ("held", edge.repeat or guard.waiting is not None),
        (situation.blocked, situation.blocked is not None),
        ("screen changed", changed_ms is not None and made_ms - changed_ms < SETTLE_MS),
        ("two due", situation.two_due),
        ("too soon", apart_ms < APART_MS),
    )
    return next((reason for reason, applies in rules if applies), None)
