"""The jobs around the jobs: what is looked at when a bench opens, closes, and so on.

One line a routine. All of them are common practice, no source; a practice's own
rules and local codes go before them.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from benchassist.clock import Instant
from benchassist.domain.shelf import offered
from benchassist.domain.state import Bench
from benchassist.value import value

When = Literal["open", "close", "week", "month", "year"]
Per = Literal["", "lamp", "box", "bath", "vessel", "part"]
DAYS: dict[When, int] = {"open": 1, "close": 1, "week": 7, "month": 31, "year": 366}


@value
class Routine:
    """One thing to look at; ``per`` names what there may be several of.

    ``told`` says why the foot cannot call it good: a hand types or chooses.
    """

    code: str
    when: When
    title: str
    per: Per = ""
    told: str = ""


@value
class Due:
    """A routine that is due: of which thing, and how many days late.

    ``late_days`` is 0 where it is due today, ``None`` where it was never done.
    ``good`` is how it was found the last time.
    """

    routine: Routine
    thing: str
    late_days: int | None
    good: bool


ROUTINES: dict[str, Routine] = {
    each.code: each
    for each in (
        Routine("eyewear", "open", "Eyewear here, clean, made for these lamps"),
        Routine("box-door", "open", "Door seal and window whole", "box"),
        Routine(
            "lamp-reading",
            "open",
            "Read with the same meter",
            "lamp",
            told="The reading is typed by hand.",
        ),
        Routine("lamp-tip", "open", "Tip clean, no cured speck; charged", "lamp"),
        Routine("bath-look", "open", "Lid on, clear, date and load looked at", "bath"),
        Routine("glycerine-look", "open", "Clear, no haze, count looked at", "vessel"),
        Routine("bottles", "open", "Coat and stain bottles: date, stirred"),
        Routine("room", "open", "Room between 18 and 28 °C"),
        Routine("sound", "open", "Sound heard"),
        Routine("pedal", "open", "Pedal tried"),
        Routine("backup-age", "open", "Backup not older than a day"),
        Routine(
            "overnight",
            "close",
            "Where does it stay over night?",
            "part",
            told="Where it stays is chosen by hand.",
        ),
        Routine("caps", "close", "Bottles capped and labelled; alcohol locked"),
        Routine("dishes", "close", "No wet resin left open: dishes, brushes, swabs"),
        Routine("bath-lid", "close", "Covered, lid on", "bath"),
        Routine(
            "glycerine-count", "close", "Count as its label says; covered", "vessel"
        ),
        Routine("waste", "close", "Resin and swab waste away, bin closed"),
        Routine("box-off", "close", "Off and cool", "box"),
        Routine("gas", "close", "Nitrogen valve closed"),
        Routine("lamp-charge", "close", "Tip wiped, laid down, on charge", "lamp"),
        Routine("wiped", "close", "Bench, pedal and keys wiped of resin"),
        Routine("leak", "week", "Light leak looked for in the dark", "box"),
        Routine("meter-zero", "week", "Meter's zero"),
        Routine("bath-decision", "week", "Keep or discard", "bath"),
        Routine("three-records", "week", "Three records read by somebody else"),
        Routine("restore", "month", "A backup restored for real"),
        Routine("recall-drill", "month", "Recall drill: one lot, by the clock"),
        Routine("ifu", "month", "Newer instructions or safety sheets looked for"),
        Routine("vessel-light", "month", "Scratched or yellow: own meter", "vessel"),
        Routine("meter-due", "year", "Meter's calibration"),
        Routine("retention", "year", "How long records are kept"),
        Routine("training", "year", "Training refreshed"),
    )
}


def by_hand(check: tuple[str, str]) -> str:
    """Return why the foot may not call a check good; nothing where it may."""
    code, _ = check
    return ROUTINES[code].told if code else "The day is signed by hand."


def things(bench: Bench, routine: Routine) -> tuple[str, ...]:
    """Return what there is to look at; one nameless thing where there is no choice."""
    return {
        "": ("",),
        "lamp": offered(bench, "lamp"),
        "box": offered(bench, "box"),
        "bath": offered(bench, "bath"),
        "vessel": offered(bench, "vessel"),
        "part": tuple(part.code for part in bench.in_flight),
    }[routine.per]


def due(bench: Bench, now: Instant, *whens: When) -> tuple[Due, ...]:
    """Return what is due now, the longest overdue first, of ``whens`` or of all."""
    found = (
        each
        for routine in ROUTINES.values()
        if not whens or routine.when in whens
        for each in _due(bench, routine, now)
    )
    return tuple(sorted(found, key=_latest_first))


def _due(bench: Bench, routine: Routine, now: Instant) -> Iterator[Due]:
    for thing in things(bench, routine):
        last = bench.routines.get(routine.code, {}).get(thing)
        if last is None:
            yield Due(routine, thing, None, good=True)
            continue
        # Days are counted by the calendar: what was done last evening is due today.
        days = _day_number(now) - _day_number(last.at)
        if days >= DAYS[routine.when] or not last.good:
            late = max(0, days - DAYS[routine.when])
            yield Due(routine, thing, late, good=last.good)


def _latest_first(each: Due) -> tuple[bool, bool, int]:
    return each.good, each.late_days is None, -(each.late_days or 0)


def _day_number(at: Instant) -> int:
    return at.local().date().toordinal()
