"""What a day came to as its closing shows it: sums, who stays, the anchor."""

from __future__ import annotations

from benchassist.clock import HOUR_MS, Instant
from benchassist.domain.closing import Account
from benchassist.domain.kept import OVERNIGHT, UNMEASURED
from benchassist.domain.limits import limit_on
from benchassist.domain.routines import due
from benchassist.domain.standing import Standing
from benchassist.domain.state import Bench, Closed, Part
from benchassist.domain.words import clock, listed
from benchassist.ui.actions import OpenStory
from benchassist.ui.present.lists import ListRow
from benchassist.ui.present.rows import kind_words
from benchassist.ui.present.shown import weekday
from benchassist.ui.view import Tone
from benchassist.ui.words import say

HASH_SHOWN = 16  # of a hash, as on paper
FAR_MS = 10 * 24 * HOUR_MS  # nobody names a day so far ahead
NIGHT_MS = 16 * HOUR_MS  # from 17:00 to 9:00; common practice, no source


def counts(found: Account) -> tuple[tuple[str, str], ...]:
    """Return brought and taken in, against where they stand."""
    return (
        (str(found.brought), say("in this morning")),
        (str(found.taken), say("+ taken in")),
        ("=" if found.adds_up else "≠", ""),
        (str(found.released), "released"),
        (str(found.scrapped), "scrapped"),
        (str(found.held), say("on hold")),
        (str(found.carried), say("carried on")),
    )


def adds(bench: Bench, found: Account, now: Instant) -> list[ListRow]:
    """Return what is reckoned up: parts, glycerine, lamp-on, deviations, checks."""
    came = found.brought + found.taken
    there = found.released + found.scrapped + found.held + found.carried
    rows = [
        _sum(
            say("Parts"),
            say("{came} and {there}", came=came, there=there),
            good=found.adds_up,
        )
    ]
    most = int(limit_on(bench, "glycerine_immersions", now))
    for vessel, fill in bench.fills.items():
        told = say("{immersions} of {most}", immersions=fill.immersions, most=most)
        rows.append(
            _sum(
                say("Glycerine {vessel}", vessel=vessel),
                told,
                good=fill.immersions <= most,
            )
        )
    for box, kept in bench.boxes_kept.items():
        if kept.counter != UNMEASURED:
            read_on = kept.read.day() if kept.read else ""
            read = not kept.given and read_on == found.day
            shows = f"{kept.counter + kept.given:.0f}"
            told = say("counter read today") if read else ""
            told = told or say("counter should show {shows}: read it", shows=shows)
            rows.append(_sum(say("Box {box}", box=box), told, good=read))
    lit = sum(ms for (day, _, _), ms in bench.lamp_on_ms.items() if day == found.day)
    by_lamp = sum(
        ms for (day, _, _), ms in bench.lamp_on_by_lamp_ms.items() if day == found.day
    )
    rows.append(
        _sum(
            say("Lamp-on"),
            say("{clock}, by lamp {clock_2}", clock=clock(lit), clock_2=clock(by_lamp)),
            good=lit == by_lamp,
        )
    )
    away = [lot for lot, day in bench.closed_lots.items() if day == found.day]
    if away:
        rows.append(_sum(say("Bottles put away"), listed(tuple(away)), good=True))
    bad = due(bench, now, "close")
    told = say("{len} not good", len=len(bad)) if bad else say("all good")
    rows.append(_sum(say("Closing checks"), told, good=not bad))
    told = (
        say("{len} open: {listed}", len=len(found.open), listed=listed(found.open))
        if found.open
        else say("none open")
    )
    rows.append(_sum(say("Deviations"), told, good=not found.open))
    return rows


def _sum(what: str, told: str, *, good: bool) -> ListRow:
    return ListRow(
        what, "", told, "quiet" if good else "attention", "good" if good else "amiss"
    )


def night(bench: Bench, now: Instant) -> list[ListRow]:
    """Return each part in work: where it stays, and until when it may."""
    rows = []
    for part in bench.in_flight:
        looked = bench.routines.get(OVERNIGHT, {}).get(part.code)
        where = looked.note if looked is not None and looked.note else part.stage.title
        told = say(
            "{kind_words}, tray {tray}, {where}",
            kind_words=kind_words(bench, part),
            tray=part.tray,
            where=where.lower(),
        )
        last, harm_ms = until(bench, part, now), _harm_ms(bench, part, now)
        # Who comes in the morning finds it harmed: that is said in straw.
        tone: Tone = "attention" if harm_ms < NIGHT_MS else "plain"
        rows.append(ListRow(part.code, told, last, tone, act=OpenStory(part.code)))
    return rows


def _harm_ms(bench: Bench, part: Part, now: Instant) -> int:
    return Standing(bench, part, now).need.harm_ms


def until(bench: Bench, part: Part, now: Instant) -> str:
    """Return until when a part may stay as it is, as a time of day."""
    if isinstance(part.phase, Closed):
        return ""
    harm = _harm_ms(bench, part, now)
    if harm > FAR_MS:
        return say("no hurry")
    at = now.plus(max(0, harm))
    if harm <= 0:
        return say("now")
    return (
        say("till {local:%H:%M}", local=at.local())
        if at.day() == now.day()
        else say(
            "till {weekday} {local:%H:%M}",
            weekday=weekday(at.local()),
            local=at.local(),
        )
    )


def otherwise(found: Account) -> list[str]:
    """Return what went otherwise than the instructions say."""
    return [
        say("Not as the instructions say: {each}.", each=each)
        for each in found.otherwise
    ]


def anchor(bench: Bench, day: str) -> tuple[str, ...]:
    """Return the anchor: the last entry's number and hash as it was signed."""
    last = bench.signed
    if last is None or last.day != day:
        return (
            say("What is signed names the last entry and its hash: write them down."),
        )
    told = say(
        "Signed after entry {head}, hash {last}.",
        head=last.head,
        last=last.hash[:HASH_SHOWN] or "-",
    )
    return (told, say("A later correction is an addition to this day, never a change."))
