"""The table of handlers, filled by the modules beside this one."""

from collections.abc import Callable
from typing import TypeVar

from benchassist.domain import events as ev
from benchassist.domain.state import Bench

E = TypeVar("E", bound=ev.Event)
Handler = Callable[[Bench, ev.Entry, E], Bench]
HANDLERS: dict[type[ev.Event], Handler[ev.Event]] = {}


def on(kind: type[E]) -> Callable[[Handler[E]], Handler[E]]:
    """Enter a handler in the table under its kind of event."""

    def enter(handler: Handler[E]) -> Handler[E]:
        HANDLERS[kind] = handler  # type: ignore[assignment]  # looked up by its own type
        return handler

    return enter
