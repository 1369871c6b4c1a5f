"""Who holds what, in words, and who tacked which spots."""

from __future__ import annotations

from collections.abc import Iterable

from benchassist.domain.claims import Claim
from benchassist.domain.events import Entry, SpotTacked, Thing
from benchassist.domain.state import WET, Bench, Part
from benchassist.domain.words import span
from benchassist.value import value


def holder(bench: Bench, kind: Thing, code: str) -> str:
    """Return who holds a thing, or an empty string."""
    claim = bench.claims.get((kind, code))
    return claim.who if claim else ""


def told(bench: Bench, claim: Claim) -> str:
    """Return who holds a thing and how far they are with it.

    Such as ``EX-LM-A with OP-2, EX-22 spot 14 of 60``.
    """
    line = f"{claim.code} with {claim.who}"
    for part in bench.in_flight:
        mine = claim.code in (part.code, part.lamp)
        theirs = holder(bench, "part", part.code) == claim.who
        if mine and theirs and (at := progress(part)):
            named = "" if claim.code == part.code else f"{part.code} "
            return f"{line}, {named}{at}"
    return line


def progress(part: Part) -> str:
    """Return how far the coat at hand is, such as ``spot 14 of 60``."""
    work = part.work.get(part.stage.layer)
    wet = isinstance(part.phase, WET)
    if work is None or not (wet or "done" in work.spots):
        return ""
    return f"spot {work.spots.count('done')} of {len(work.spots)}"


@value
class Tacked:
    """Spots of one layer that one operator tacked, by number from 1."""

    part: str
    layer: str
    operator: str
    spots: tuple[int, ...]

    @property
    def line(self) -> str:
        """Return the line of the day log."""
        return f"{self.part} {self.layer}, {span(self.spots)}: {self.operator}"


def who_tacked(entries: Iterable[Entry]) -> tuple[Tacked, ...]:
    """Return who tacked which spots, in the order they were begun."""
    found: dict[tuple[str, str, str], list[int]] = {}
    for entry in entries:
        event = entry.event
        if isinstance(event, SpotTacked):
            key = (event.part, event.layer, entry.operator)
            found.setdefault(key, []).append(event.spot + 1)
    return tuple(
        Tacked(part, layer, operator, tuple(sorted(set(spots))))
        for (part, layer, operator), spots in found.items()
    )
