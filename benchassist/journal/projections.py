"""What an entry adds to the tables that answer questions.

Pure functions of entries; the tables are written in the transaction of the entry
itself and can be made again from the entries alone. ``touches`` says which
subjects an entry concerns and in which role, ``parts`` and ``part_days`` where
each part stands and on which local days it was worked on.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from dataclasses import fields
from typing import NamedTuple

from benchassist.domain import events as ev
from benchassist.domain.library import (
    Box,
    Coupon,
    Lamp,
    Lot,
    Material,
    Meter,
    Recipe,
    Vessel,
)
from benchassist.domain.place import Place

VERSION = 2  # raise it, and every journal makes its tables again when opened

SUBJECTS = {
    # field of an event: kind of subject, role
    "basket": ("basket", "basket"),
    "bath": ("bath", "bath"),
    "box": ("box", "box"),
    "coat_lot": ("lot", "coat"),
    "coupon": ("coupon", "coupon"),
    "deviation": ("deviation", "deviation"),
    "giver": ("operator", "giver"),
    "holder": ("operator", "holder"),
    "lamp": ("lamp", "lamp"),
    "lot": ("lot", "lot"),
    "material": ("material", "material"),
    "meter": ("meter", "meter"),
    "part": ("part", "part"),
    "parts": ("part", "part"),
    "place": ("part", "part"),
    "prescriber": ("prescriber", "prescriber"),
    "print_lot": ("lot", "print"),
    "recipe": ("recipe", "recipe"),
    "run": ("run", "run"),
    "stain_lot": ("lot", "stain"),
    "taker": ("operator", "taker"),
    "vessel": ("vessel", "vessel"),
    "who": ("operator", "who"),
}
DEFINED = "defined"
DONE_WITH = {ev.ThingRetired: "retired", ev.ThingChecked: "checked"}
FILLED = "filled"
ELSEWHERE, CLOSED = "part elsewhere", "closed"  # in the store before this one
IN_WORK = "in work"
ON_HOLD = "on hold"
RELEASED = "released"
SCRAPPED = "scrapped"


class Touch(NamedTuple):
    """An entry concerns a subject in a role."""

    subject_kind: str
    subject: str
    seq: int
    role: str


def touches(entry: ev.Entry) -> set[Touch]:
    """Return every subject that an entry concerns, the operator included."""
    named = {("operator", entry.operator, "operator"), *_named(entry.event)}
    return {
        Touch(kind, subject, entry.seq, role)
        for kind, subject, role in named
        if subject
    }


def project(db: sqlite3.Connection, entry: ev.Entry) -> None:
    """Write what an entry adds; within the caller's transaction."""
    found = touches(entry)
    db.executemany("INSERT INTO touches VALUES (?, ?, ?, ?)", sorted(found))
    state, closed = part_state(entry)
    day = entry.at.day()
    for touch in found:
        if touch.subject_kind != "part":
            continue
        db.execute(
            """INSERT INTO parts
            VALUES (:part, coalesce(:state, :first), :seq, :seq, :day)
            ON CONFLICT (part) DO UPDATE SET last_seq = :seq,
            state = coalesce(:state, state),
            closed_day = CASE WHEN :state IS NULL THEN closed_day ELSE :day END""",
            {
                "part": touch.subject,
                "state": state,
                "first": IN_WORK,
                "seq": entry.seq,
                "day": closed,
            },
        )
        db.execute(
            "INSERT OR IGNORE INTO part_days VALUES (?, ?, ?)",
            (day, touch.subject, entry.seq),
        )


def clear(db: sqlite3.Connection) -> None:
    """Empty every derived table and note the version they are made by."""
    for table in ("touches", "parts", "part_days", "projections"):
        db.execute(f"DELETE FROM {table}")  # noqa: S608 - the names above
    db.execute("INSERT INTO projections VALUES (?)", (VERSION,))


def version_of(db: sqlite3.Connection) -> int | None:
    """Return the version that the derived tables were made by."""
    row = db.execute("SELECT max(version) FROM projections").fetchone()
    version: int | None = row[0]
    return version


def _named(event: ev.Event) -> Iterator[tuple[str, str, str]]:
    for field in fields(event):
        if field.name in SUBJECTS:
            kind, role = SUBJECTS[field.name]
            for code, own_role in _codes(getattr(event, field.name)):
                yield kind, code, own_role or role
    yield from _besides(event)


def _besides(event: ev.Event) -> Iterator[tuple[str, str, str]]:
    """Yield what an event concerns that the names of its fields do not say."""
    match event:
        case ev.EquipmentChosen(role=kind, code=code):
            yield kind, code, "chosen"
        case (
            ev.ThingClaimed(kind=kind, code=code)
            | ev.ThingPutDown(kind=kind, code=code)
            | ev.ThingTakenOver(kind=kind, code=code)
            | ev.ThingRetired(kind=kind, code=code)
            | ev.ThingChecked(kind=kind, code=code)
        ):
            yield kind, code, DONE_WITH.get(type(event), "claimed")
        case ev.CarriedForward(closed=closed):
            yield from ((ELSEWHERE, code, CLOSED) for code, _ in closed)
        case ev.LotChosen(role=role, lot=lot):
            yield "lot", lot, role
        case ev.GlycerineFilled(vessel=vessel, lot=lot):
            yield "vessel", vessel, FILLED
            yield "lot", lot, FILLED
        case ev.CouponBegun(coupon=coupon) | ev.CouponFinished(coupon=coupon):
            for of in ("lamp", "material", "lot", "box", "vessel"):
                yield of, getattr(coupon, of), "coupon"
        case _:
            yield from _of_the_record(event)


def _of_the_record(event: ev.Event) -> Iterator[tuple[str, str, str]]:
    """Yield what an event about the record itself names."""
    match event:
        case ev.Corrected(entry=put_right, changes=changes):
            yield "correction", str(put_right), "correction"
            for change in changes:
                kind, _ = SUBJECTS.get(change.field, ("", ""))
                if kind and kind != "part" and isinstance(change.new, str):
                    yield kind, change.new, "corrected"
        case ev.RecallOpened(recall=recall, kind=kind, thing=thing):
            yield "recall", recall, "recall"
            if kind != "part":  # its own deviation names it
                yield kind, thing, "recalled"
        case ev.DaySigned(day=day):
            yield "day", day, "signed"
        case _:
            pass


def _codes(value: object) -> Iterator[tuple[str, str]]:
    """Yield the codes in a field, with the role where the field alone says it."""
    match value:
        case str():
            yield value, ""
        case tuple():
            yield from ((code, "") for code in value)
        case Recipe():
            yield value.id, DEFINED
        case Lot():
            yield value.code, DEFINED
            yield from ((parent, "parent") for parent, _ in value.parents)
        case Place():
            yield value.part, ""
            yield from ((code, "wet") for code in value.wet)
            yield from ((code, "in alcohol") for code in value.in_alcohol)
        case Box() | Lamp() | Material() | Meter() | Vessel():
            yield value.code, DEFINED
        case Coupon():
            yield value.id, ""
        case _:
            message = f"{value!r} names no subject."
            raise TypeError(message)


def part_state(entry: ev.Entry) -> tuple[str | None, str | None]:
    """Return the state an entry leaves its parts in, and the day if that closed them.

    ``None`` is no change.
    """
    state = _part_state(entry.event)
    return state, entry.at.day() if state in (RELEASED, SCRAPPED) else None


def _part_state(event: ev.Event) -> str | None:
    """Return the state an event leaves its parts in, ``None`` for no change."""
    match event:
        case ev.PartReleased():
            return RELEASED
        case ev.PartScrapped():
            return SCRAPPED
        case ev.PartHeld():
            return ON_HOLD
        case (
            ev.PartTaken()
            | ev.HoldEnded()
            | ev.StageStarted()
            | ev.StageEnded()
            | ev.RunStarted()
        ):
            return IN_WORK
        case _:
            return None
