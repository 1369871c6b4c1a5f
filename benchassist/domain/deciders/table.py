"""The table of deciders, filled by the modules beside this one."""

from collections.abc import Callable
from typing import TypeVar

from benchassist.clock import Instant
from benchassist.domain.commands import Command
from benchassist.domain.outcome import Decision
from benchassist.domain.state import Bench

C = TypeVar("C", bound=Command)
Decider = Callable[[Bench, C, Instant], Decision]
DECIDERS: dict[type[Command], Decider[Command]] = {}


def decides(kind: type[C]) -> Callable[[Decider[C]], Decider[C]]:
    """Enter a decider in the table under its kind of command."""

    def enter(decider: Decider[C]) -> Decider[C]:
        DECIDERS[kind] = decider  # type: ignore[assignment]  # looked up by its own type
        return decider

    return enter
