"""What a decider is, and its mark; ``decide`` gathers them into its table."""

from collections.abc import Callable
from typing import TypeVar

from benchassist.clock import Instant
from benchassist.domain.commands import Command
from benchassist.domain.outcome import Decision
from benchassist.domain.state import Bench

C = TypeVar("C", bound=Command)
Decider = Callable[[Bench, C, Instant], Decision]


def decides(kind: type[C]) -> Callable[[Decider[C]], Decider[C]]:
    """Mark the decider of a kind of command."""

    def mark(decider: Decider[C]) -> Decider[C]:
        decider.stands_for = (kind,)  # type: ignore[attr-defined]  # read by ``gathered``
        return decider

    return mark
