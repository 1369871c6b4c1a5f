"""Parts put together into a basket, and taken out of it again."""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.deciders.common import find
from benchassist.domain.deciders.table import decides
from benchassist.domain.outcome import Decision, Refusal
from benchassist.domain.state import Bench, Ready
from benchassist.domain.trays import first_free, lies_in
from benchassist.domain.words import listed


@decides(cm.FormBasket)
def form_basket(bench: Bench, command: cm.FormBasket, now: Instant) -> Decision:
    """Put parts together that stand ready at the same stage."""
    codes = tuple(dict.fromkeys(command.parts))
    if len(codes) < 2:  # noqa: PLR2004 - a basket is more than one
        return Refusal("basket", "A basket needs two parts or more.")
    stages = set()
    for code in codes:
        part = find(bench, code)
        if not isinstance(part.phase, Ready):
            return Refusal("basket", f"{code} is busy; put it in when it is ready.")
        stages.add((part.stage.key, part.stage.min_s, part.stage.max_s))
    if len(stages) > 1:
        return Refusal("basket", "These parts are not at one and the same stage.")
    return (ev.BasketFormed(f"B-{bench.baskets_formed + 1}", codes),)


@decides(cm.LeaveBasket)
def leave_basket(bench: Bench, command: cm.LeaveBasket, now: Instant) -> Decision:
    """Take a part out of its basket, into a tray of its own."""
    part = find(bench, command.part)
    if part.basket not in bench.baskets:
        return Refusal("basket", f"{part.code} is in no basket.", part=part.code)
    if not isinstance(part.phase, Ready):
        return Refusal(
            "basket",
            f"{part.code} is at {part.stage.title} with the others.",
            remedy="Take the basket out first.",
            part=part.code,
        )
    others = tuple(each for each in lies_in(bench, command.tray) if each != part.code)
    if command.tray < 0 or (command.tray and others):
        return Refusal(
            "tray",
            f"Tray {command.tray} holds {listed(others) or 'nothing'}.",
            (("tray", command.tray),),
            f"Tray {first_free(bench)} is free.",
        )
    tray = command.tray or first_free(bench)
    return (ev.BasketLeft(part.basket, part.code, tray),)
