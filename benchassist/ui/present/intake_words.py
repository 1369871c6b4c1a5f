"""Days, hours and bottles in the few words that a row has room for."""

from __future__ import annotations

import re
from datetime import datetime, time, timedelta, timezone
from typing import TYPE_CHECKING

from benchassist.domain.gates.lot_expiry import NEVER, last_day
from benchassist.ui.words import say

if TYPE_CHECKING:
    from benchassist.clock import Instant
    from benchassist.domain.state import Bench

DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
FAR_DAYS = 7  # a weekday alone says which day, up to here
_HOUR = re.compile(r"(?:(?P<day>\S+)\s+)?(?P<hour>\d{1,2})[:.h](?P<minute>\d\d)")


def due_from(typed: str, now: Instant) -> Instant | None:
    """Return the moment that somebody typed, None for nothing typed.

    ``14:30`` is today, or tomorrow once that has passed; a day may stand before it:
    a weekday, a date such as 2026-05-15, ``today`` or ``tomorrow``.

    Raises
    ------
    ValueError
        With one sentence that says how to write it.
    """
    text = typed.strip()
    if not text:
        return None
    found = _HOUR.fullmatch(text)
    how = say("Write it like 14:30, Fri 14:30 or 2026-05-15 14:30.")
    if found is None:
        message = say("“{text}” is no time. {how}", text=text[:24], how=how)
        raise ValueError(message)
    try:
        at = time(int(found["hour"]), int(found["minute"]))
        day = _day(found["day"] or "", now, at)
    except ValueError as error:
        message = say("“{text}” is no time. {how}", text=text[:24], how=how)
        raise ValueError(message) from error
    zone = timezone(timedelta(minutes=now.offset_min))
    due = datetime.combine(day, at, tzinfo=zone)
    ahead = due - now.local()
    if ahead < timedelta(0):
        message = say("{text} is past. Give a time still to come.", text=text[:24])
        raise ValueError(message)
    return now.plus(round(ahead.total_seconds() * 1000))


def _day(told: str, now: Instant, at: time) -> datetime:
    today = now.local().replace(tzinfo=None)
    word = told.lower()
    if not word:
        return today + timedelta(days=int(at <= today.time()))
    if word == "today":
        return today
    if word == "tomorrow":
        return today + timedelta(days=1)
    if word[:3] in DAYS:
        ahead = (DAYS.index(word[:3]) - today.weekday()) % 7
        past = ahead == 0 and at <= today.time()
        return today + timedelta(days=7 if past else ahead)
    return datetime.fromisoformat(told)


def due_words(due: Instant | None, now: Instant) -> str:
    """Return a moment as its hour, with the day where that is not today."""
    if due is None:
        return ""
    at, today = due.local(), now.local()
    days = (at.date() - today.date()).days
    if days == 0:
        return f"{at:%H:%M}"
    if 0 < days < FAR_DAYS:
        return f"{at:%a %H:%M}"
    return f"{at.day} {at:%b %H:%M}"


def good_to(bench: Bench, lot: str, now: Instant) -> str:
    """Return how long a bottle may still be used, in a few words."""
    if not lot:
        return ""
    if lot in bench.closed_lots:
        return say("put away on {closed_lots}", closed_lots=bench.closed_lots[lot])
    last = last_day(bench, lot)
    if last == NEVER:
        return say("no expiry on file")
    left = (datetime.fromisoformat(last).date() - now.local().date()).days
    if left < 0:
        return say("expired on {last}", last=last)
    if left < FAR_DAYS:
        return say("ends in {left} days; asked at the brush", left=left)
    return say("good to {last}", last=last)
