"""What a handler is, and its mark; ``evolve`` gathers them into its table."""

from collections.abc import Callable
from typing import TypeVar

from benchassist.domain import events as ev
from benchassist.domain.state import Bench

E = TypeVar("E", bound=ev.Event)
Handler = Callable[[Bench, ev.Entry, E], Bench]


def on(*kinds: type[E]) -> Callable[[Handler[E]], Handler[E]]:
    """Mark the handler of a kind of event, or of several that change nothing."""

    def mark(handler: Handler[E]) -> Handler[E]:
        handler.stands_for = kinds  # type: ignore[attr-defined]  # read by ``gathered``
        return handler

    return mark
