"""Called away: the place is frozen before the break, and looked at after it."""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.coat import face_of, lit_ms, wet_spots
from benchassist.domain.deciders.coat import broken, walked
from benchassist.domain.deciders.common import back, find, not_at
from benchassist.domain.deciders.table import decides
from benchassist.domain.outcome import Decision, Refusal, Said
from benchassist.domain.place import Cover, Place, where
from benchassist.domain.state import (
    WET,
    Bench,
    Brushing,
    Part,
    Paused,
    Soaking,
    Walking,
)
from benchassist.value import replace


@decides(cm.CallAway)
def call_away(bench: Bench, command: cm.CallAway, now: Instant) -> Decision:
    """Freeze the place and then break off what runs in the hand."""
    if bench.away is not None:
        return Said(f"Away already. {where(bench.away.place)}")
    return _freeze(bench, now)


@decides(cm.HoldHere)
def hold_here(bench: Bench, command: cm.HoldHere, now: Instant) -> Decision:
    """Hold the walk here: a foot's way of being called away."""
    part = find(bench, command.part)
    if not isinstance(part.phase, WET):
        return not_at(part, "be held here")
    return _freeze(bench, now)


@decides(cm.ComeBack)
def come_back(bench: Bench, command: cm.ComeBack, now: Instant) -> Decision:
    """Be back, by hand; a wet coat is looked at next."""
    if bench.away is None:
        return Refusal("not-away", "Nobody was called away.")
    return back(bench, now)


def in_hand(bench: Bench) -> tuple[Part, ...]:
    """Return the parts that lie wet under the present operator's hands."""
    claims = bench.claims
    return tuple(
        part
        for part in bench.in_flight
        if isinstance(part.phase, WET)
        and (
            (claim := claims.get(("part", part.code))) is None
            or claim.who == bench.operator
        )
    )


def still(
    bench: Bench, part: Part, why: str, now: Instant
) -> tuple[tuple[ev.Event, ...], Part]:
    """Return the events that bring a wet part to a stand, and the part before them.

    Spots whose light had ended by now are whole; the one that is lit is not.
    """
    done, after = walked(bench, part, now, now)
    phase = after.phase
    if isinstance(phase, Walking):
        return (*done, *broken(after, phase, why, lit_ms(phase, now))), after
    if isinstance(phase, Brushing | Paused):
        spot = phase.first if isinstance(phase, Brushing) else phase.spot
        paused = ev.WalkPaused(part.code, spot, why)  # type: ignore[arg-type]
        return (*done, paused), after
    return done, after


def _freeze(bench: Bench, now: Instant) -> tuple[ev.Event, ...]:
    stood = {
        part.code: still(bench, part, "called away", now) for part in in_hand(bench)
    }
    parts = {code: after for code, (_, after) in stood.items()}
    place = _place(bench, parts, now)
    held = tuple(event for events, _ in stood.values() for event in events)
    return (ev.CalledAway(place), *held)


def _place(bench: Bench, wet: dict[str, Part], now: Instant) -> Place:
    """Return the place in front: what lies wet before what is merely chosen."""
    part = wet.get(bench.focus) or next(iter(wet.values()), None) or bench.focused
    alcohol = tuple(
        each.code
        for each in bench.in_flight
        if isinstance(each.phase, Soaking) and each.stage.max_s
    )
    if part is None:
        return Place(in_alcohol=alcohol)
    place = Place(
        part=part.code,
        title=part.stage.title,
        stage=part.stage.key,
        layer=part.stage.layer,
        lamp=part.lamp if part.stage.layer else "",
        wet=tuple(code for code, each in wet.items() if isinstance(each.phase, WET)),
        in_alcohol=alcohol,
        cover=_cover(part),
    )
    return _at_spot(bench, part, place, now)


def _at_spot(bench: Bench, part: Part, place: Place, now: Instant) -> Place:
    phase = part.phase
    if not isinstance(phase, WET):
        return place
    spot = phase.first if isinstance(phase, Brushing) else phase.spot
    face, number, of = face_of(bench, part, spot)
    lit = phase if isinstance(phase, Walking) else None
    return replace(
        place,
        segment=phase.segment,
        face=face,
        spot=number,
        of=of,
        number=spot + 1,
        lamp=lit.lamp if lit else place.lamp,
        lit_ms=lit_ms(lit, now) if lit else 0,
        wet_ms=now.most_since(phase.wet_since),
        wet_spots=tuple(n + 1 for n in wet_spots(part)),
        cover="hood",
    )


def _cover(part: Part) -> Cover:
    return "cover" if part.work and not part.immersed_in else ""
