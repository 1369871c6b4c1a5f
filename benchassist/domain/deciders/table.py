"""What a decider is, and its mark; ``decide`` gathers them into its table."""

from collections.abc import Callable
from typing import TypeVar

from benchassist.clock import Instant
from benchassist.domain.commands import Command
from benchassist.domain.outcome import Decision
from benchassist.domain.state import Bench

C = TypeVar("C", bound=Command)
D = TypeVar("D", bound=Decision)
Decider = Callable[[Bench, C, Instant], Decision]


def decides(
    kind: type[C],
) -> Callable[[Callable[[Bench, C, Instant], D]], Callable[[Bench, C, Instant], D]]:
    """Mark the decider of a kind of command."""

    def mark(
        decider: Callable[[Bench, C, Instant], D],
    ) -> Callable[[Bench, C, Instant], D]:
        decider.stands_for = (kind,)  # type: ignore[attr-defined]  # read by ``gathered``
        return decider

    return mark
