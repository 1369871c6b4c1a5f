"""Brush and paced walk on the screen: spot, seconds, map, wet clock."""

from __future__ import annotations

import math

from benchassist.clock import MS, Instant
from benchassist.domain.coat import (
    answer_for,
    face_of,
    lit_ms,
    next_segment,
    session_open,
)
from benchassist.domain.layer import lot_for
from benchassist.domain.light import output_share
from benchassist.domain.state import Bench, Brushing, Part, Paused, Walking
from benchassist.domain.wet import must_look, wet_limit_ms
from benchassist.domain.words import clock, face_words
from benchassist.ui.present.cards import coat_card, session_card
from benchassist.ui.present.shown import Now, late_countdown, percent
from benchassist.ui.view import Countdown, GateRow, SpotMap
from benchassist.ui.words import say

JAWS = {"upper": say("UPPER"), "lower": say("LOWER")}


def brush(bench: Bench, part: Part, subline: str, gates: tuple[GateRow, ...]) -> Now:
    """Return the screen on which the brush may be wetted."""
    answer = answer_for(bench, part)
    segment = next_segment(bench, part, answer.seconds)
    title = part.stage.title
    if segment is None:
        return Now(say("{title}: no spot fits", title=title), subline)
    spots = segment.last - segment.first
    told = say(
        "{spots} spots of {seconds} s with {lamp}, {clock} of {clock2} wet",
        spots=spots,
        seconds=answer.seconds,
        lamp=part.lamp,
        clock=clock(segment.wet_s * MS),
        clock2=clock(wet_limit_ms(bench, part)),
    )
    work = part.work.get(part.stage.layer)
    states = work.spots if work else ("open",) * bench.spots_of(part)
    return Now(
        say(
            "{title} from {lot_for}",
            title=title,
            lot_for=lot_for(part, part.stage.layer),
        ),
        f"{subline}. {told}.",
        gates=gates,
        spots=_map(bench, part, states, segment.first, segment.last),
    )


def brushing(bench: Bench, part: Part, now: Instant, subline: str) -> Now:
    """Return the screen while a segment is brushed."""
    phase = part.phase
    if not isinstance(phase, Brushing):
        return Now(part.stage.title, subline)
    wet = now.most_since(phase.wet_since)
    planned = bench.recipe_of(part).brush_s * MS
    over = wet > planned
    lines = (say("very thin, off the margin"),)
    if over:
        big = late_countdown(wet - planned, lines)
    else:
        left = str(math.ceil((planned - wet) / MS))
        big = Countdown(
            left, say("s to brush"), lines, wet / planned if planned else 1.0
        )
    segment = say(
        "{title}, patch {segment}", title=part.stage.title, segment=phase.segment
    )
    return Now(
        say("Brush {spots}", spots=_spots(bench, part, phase.first, phase.last)),
        f"{subline}. {segment}.",
        big,
        spots=_wet_map(bench, part, phase, now),
    )


def walking(bench: Bench, part: Part, now: Instant, subline: str) -> Now:
    """Return the screen of a paced walk: light, move, light."""
    phase = part.phase
    if not isinstance(phase, Walking):
        return Now(part.stage.title, subline)
    face, number, of = spot_words(bench, part, phase.spot)
    share = say("lamp {percent}", percent=percent(output_share(bench, phase.lamp)))
    whole = phase.light_ms // MS
    if now.since(phase.lit) < 0:
        left = math.ceil(phase.lit.since(now) / MS)
        headline = say("Move to {face}, spot {number}", face=face, number=number)
        big = Countdown(
            str(left),
            say("s to move"),
            (say("then {whole} s of light", whole=whole),),
            0.0,
        )
    else:
        lit = lit_ms(phase, now)
        left = math.ceil((phase.light_ms - lit) / MS)
        headline = say(
            "{face}, spot {number} of {of}",
            face=face[:1].upper() + face[1:],
            number=number,
            of=of,
        )
        fill = lit / max(1, phase.light_ms)
        big = Countdown(
            str(left),
            say("s left"),
            (say("of {whole} s ({share})", whole=whole, share=share),),
            fill,
        )
    told = say(
        "{title}, patch {segment}. Tip 1 to 3 mm off.",
        title=part.stage.title,
        segment=phase.segment,
    )
    return Now(
        headline,
        f"{subline}. {told}",
        big,
        spots=_wet_map(bench, part, phase, now),
        next_aside=_segment_end(bench, part, phase, now),
    )


def paused(bench: Bench, part: Part, now: Instant, subline: str) -> Now:
    """Return the screen of a walk that stands still."""
    phase = part.phase
    if not isinstance(phase, Paused):
        return Now(part.stage.title, subline)
    face, number, of = spot_words(bench, part, phase.spot)
    look_first = must_look(bench, part, phase, now)
    wet = now.most_since(phase.wet_since)
    left = wet_limit_ms(bench, part) - wet
    fill = min(1.0, wet / max(1, wet_limit_ms(bench, part)))
    big = (
        Countdown(clock(left), say("to wet limit"), fill=fill)
        if left > 0
        else late_countdown(-left)
    )
    card = coat_card(part) if look_first else None
    if card is None and not session_open(bench, part):
        card = session_card(part)  # the program was away, or the lamp is another
    headline = (
        say("Look at spot {number}, {face}", number=number, face=face)
        if look_first
        else say("Paused at spot {number} of {of}", number=number, of=of)
    )
    return Now(
        headline,
        say("{subline}. Cover it. This spot starts whole.", subline=subline),
        big,
        card=card,
        spots=None if card else _wet_map(bench, part, phase, now),
    )


def spot_words(bench: Bench, part: Part, spot: int) -> tuple[str, int, int]:
    """Return a spot's side in words, its number on the coat and how many there are."""
    face = face_words(face_of(bench, part, spot)[0])
    return face, spot + 1, bench.spots_of(part)


def _spots(bench: Bench, part: Part, first: int, last: int) -> str:
    if first == 0 and last == bench.spots_of(part):
        return say("all {last} spots", last=last)
    return say("spots {first} to {last}", first=first + 1, last=last)


def _to_end(phase: Walking, part: Part, now: Instant) -> int:
    states = part.work[part.stage.layer].spots
    left = sum(1 for n in range(phase.spot, phase.last) if states[n] != "done")
    whole = left * phase.light_ms + max(0, left - 1) * phase.move_ms
    return whole - now.since(phase.lit)


def _segment_end(bench: Bench, part: Part, phase: Walking, now: Instant) -> str:
    """Return when the segment ends, and that it is wet for too long by then."""
    left = _to_end(phase, part, now)
    told = say("patch ends in {clock}", clock=clock(left))
    over = now.most_since(phase.wet_since) + left - wet_limit_ms(bench, part)
    if over <= 0 or phase.looked:
        return told
    return say(
        "{told}, {clock} past the wet limit: it stops and asks",
        told=told,
        clock=clock(over),
    )


def _wet_map(
    bench: Bench, part: Part, phase: Brushing | Walking | Paused, now: Instant
) -> SpotMap:
    states = list(part.work[part.stage.layer].spots)
    if not isinstance(phase, Brushing):
        states[phase.spot] = "now" if isinstance(phase, Walking) else "broken"
    wet = now.most_since(phase.wet_since)
    whole = wet_limit_ms(bench, part)
    return _map(
        bench,
        part,
        tuple(states),
        phase.first,
        phase.last,
        say("wet {clock} of {clock2}", clock=clock(wet), clock2=clock(whole)),
        min(1.0, wet / max(1, whole)),
    )


def _map(  # noqa: PLR0917 - a row of plain values for one picture
    bench: Bench,
    part: Part,
    states: tuple[str, ...],
    first: int,
    last: int,
    wet_text: str = "",
    wet_fill: float = 0.0,
) -> SpotMap:
    faces = tuple((face_words(each.title), each.spots) for each in bench.faces_of(part))
    title = JAWS.get(part.jaw, part.stage.title)
    return SpotMap(
        say("{title}, {many} spots", title=title, many=len(states)),
        states,
        first,
        last,
        faces,
        wet_text,
        wet_fill,
        part.jaw,
    )
