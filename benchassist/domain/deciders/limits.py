"""Limits, how far a validation record may take one, and how codes are written."""

from __future__ import annotations

import math
from datetime import date

from benchassist.clock import Instant
from benchassist.domain import codes
from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.deciders.common import needs_reason
from benchassist.domain.deciders.table import decides
from benchassist.domain.limits import LIMITS, Limit, bounds_of
from benchassist.domain.outcome import Decision, Refusal, granted
from benchassist.domain.state import Bench
from benchassist.domain.words import is_day


@decides(cm.SetLimit)
def set_limit(bench: Bench, command: cm.SetLimit, now: Instant) -> Decision:
    """Set a limit, where the practice may, with its reason."""
    found = LIMITS.get(command.code)
    if found is not None and _by_record(found, command):
        return _validated(found, command, now)
    granted(limit_amiss(command.code, command.value))
    found = LIMITS[command.code]
    needs_reason(command.reason, f"Say why “{found.title}” is changed.")
    return (
        ev.LimitSet(
            command.code, command.value, found.unit, "the practice", command.reason
        ),
    )


def _by_record(found: Limit, command: cm.SetLimit) -> bool:
    """Return whether a validation record is given, for a limit that takes one."""
    return bool(found.by_record and command.value > found.default and command.document)


def _validated(found: Limit, command: cm.SetLimit, now: Instant) -> Decision:
    if command.value > found.by_record or command.value != int(command.value):
        return Refusal(
            "limit-loosened",
            f"“{found.title}”: a record may take it to {found.by_record:g} at most, "
            "in whole numbers.",
        )
    missing = [
        told
        for told, given in (
            ("its revision", command.revision),
            ("the record's number", command.record),
            ("the reason", command.reason),
        )
        if not given.strip()
    ]
    if missing:
        return Refusal(
            "no-record",
            f"“{found.title}” is raised by a record: {missing[0]} is missing.",
        )
    granted(day_amiss(command.until, now))
    return (
        ev.LimitValidated(
            code=found.code,
            value=command.value,
            unit=found.unit,
            document=command.document.strip(),
            revision=command.revision.strip(),
            record=command.record.strip(),
            until=command.until,
            reason=command.reason.strip(),
        ),
    )


def day_amiss(until: str, now: Instant, most_days: float = math.inf) -> Refusal | None:
    """Return why a last day cannot be taken: no day, past, or too far ahead."""
    if not is_day(until):
        told = f"“{until[:12]}” is no day."
        return Refusal("until", told, remedy="Write the last day: 2027-03-31.")
    last, today = date.fromisoformat(until), now.local().date()
    if last < today:
        return Refusal("until", f"{until} is past.", remedy="Give a day still to come.")
    if (last - today).days > most_days:
        return Refusal(
            "until",
            f"{until} is more than {most_days:g} days ahead.",
            (("most_days", most_days),),
            "Take a nearer day and look again then.",
        )
    return None


def limit_amiss(code: str, wanted: float) -> Refusal | None:
    """Return why a limit cannot be set so; some may only be made stricter."""
    found = LIMITS.get(code)
    if found is None:
        return Refusal("no-such-limit", f"There is no limit called “{code}”.")
    loosens = (found.tighten == "down" and wanted > found.default) or (
        found.tighten == "up" and wanted < found.default
    )
    if not loosens:
        return _bounds_amiss(found, wanted)
    remedy = (
        "Only a validation record may raise it: document, revision, number, last day."
        if found.by_record
        else ""
    )
    wish = f"{wanted:g} {found.unit}".rstrip()
    return Refusal(
        "limit-loosened",
        f"“{found.title}” may not be set to {wish}: "
        f"the default is {found.default:g}, and it may only be made stricter.",
        remedy=remedy,
    )


def _bounds_amiss(found: Limit, wanted: float) -> Refusal | None:
    least, most, why = bounds_of(found.code)
    if least <= wanted <= most:
        return None
    return Refusal(
        "limit-bounds",
        f"“{found.title}” may be {least:g} to {most:g} {found.unit}".rstrip()
        + f", not {wanted:g}: {why}.",
        (("least", least), ("most", most)),
    )


@decides(cm.SetCodeShape)
def set_code_shape(bench: Bench, command: cm.SetCodeShape, now: Instant) -> Decision:
    """Set how the practice writes its codes from now on."""
    wrong = codes.shape_amiss(command.shape)
    if wrong:
        return Refusal("code-shape", wrong)
    needs_reason(command.reason, "Say why codes are written so.")
    return (ev.CodeShapeSet(command.kind, command.shape, command.reason.strip()),)
