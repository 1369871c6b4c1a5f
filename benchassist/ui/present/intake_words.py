"""Days, hours and bottles in the few words that a row has room for."""

from __future__ import annotations

import re
from datetime import datetime, time, timedelta, timezone

from benchassist.clock import Instant
from benchassist.domain.deciders.lots import printed_amiss
from benchassist.domain.gates.lot_expiry import NEVER, expired_at_printing, last_day
from benchassist.domain.state import Bench
from benchassist.ui.present.shown import month, weekday
from benchassist.ui.words import say

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


def printed_from(typed: str, now: Instant) -> str:
    """Return the day that somebody typed for a printing, as ``YYYY-MM-DD``.

    A date, ``today``, ``yesterday``, or the weekday that was last.

    Raises
    ------
    ValueError
        With one sentence that says how to write it, or that it is still to come.
    """
    word, today = typed.strip().lower(), now.local().date()
    if word in ("", "today", "yesterday"):
        return (today - timedelta(days=int(word == "yesterday"))).isoformat()
    if word[:3] in DAYS:
        back = (today.weekday() - DAYS.index(word[:3])) % FAR_DAYS
        return (today - timedelta(days=back)).isoformat()
    if refusal := printed_amiss(word, now):
        raise ValueError(refusal.message)
    return word


def printed_words(printed: str, now: Instant) -> str:
    """Return a day of printing as "today", or with its weekday while that is clear."""
    if printed in ("", now.day()):
        return say("today")
    day = datetime.fromisoformat(printed).date()
    ago = (now.local().date() - day).days
    return f"{weekday(day)}, {printed}" if ago < FAR_DAYS else printed


def due_words(due: Instant | None, now: Instant) -> str:
    """Return a moment as its hour, with the day where that is not today."""
    if due is None:
        return ""
    at, today = due.local(), now.local()
    days = (at.date() - today.date()).days
    if days == 0:
        return f"{at:%H:%M}"
    if 0 < days < FAR_DAYS:
        return f"{weekday(at)} {at:%H:%M}"
    return f"{month(at)} {at:%H:%M}"


def good_to(
    bench: Bench, lot: str, now: Instant, printed: str = ""
) -> tuple[str, bool]:
    """Return how long a bottle may still be used, and whether that is to be looked at.

    In a few words. What was ``printed`` before today is judged by that day.
    """
    if not lot:
        return "", False
    if printed and printed < now.day():
        last = expired_at_printing(bench, lot, printed)
        then = say("in date at printing")
        return say("expired on {last}", last=last) if last else then, bool(last)
    if lot in bench.closed_lots:
        away = bench.closed_lots[lot]
        return say("put away on {closed_lots}", closed_lots=away), True
    return _lasts(last_day(bench, lot), now)


def _lasts(last: str, now: Instant) -> tuple[str, bool]:
    if last == NEVER:
        return say("no expiry on file"), False
    left = (datetime.fromisoformat(last).date() - now.local().date()).days
    if left < 0:
        return say("expired on {last}", last=last), True
    if left < FAR_DAYS:
        return say("ends in {left} days; asked at the brush", left=left), True
    return say("good to {last}", last=last), False
