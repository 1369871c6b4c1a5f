"""What a hand may put right: the fields that it told, and in which words.

Never what a hand decided (an acceptance, an assessment, a release, scrap), a refusal,
or what the program saw by itself.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from benchassist.clock import MS
from benchassist.domain import events as ev
from benchassist.domain.deciders.lots import printed_amiss
from benchassist.domain.outcome import Refusal
from benchassist.domain.state import Bench
from benchassist.domain.words import is_day
from benchassist.value import value

YES = ("yes", "true", "done")
NO = ("no", "false", "not done")
NO_DAY = ("none", "not printed")

Fields = tuple[tuple[str, ev.Plain], ...]
Reads = Callable[["Bench", ev.Event, str], "Fields | str"]


@value
class Told:
    """One thing a hand told: a field of a kind of entry, and how it is written down.

    ``says`` is what it is called, ``ask`` what is typed; ``reads`` makes the fields
    that change of what was typed, or says what is wrong with it.
    """

    kind: str
    field: str
    says: str
    ask: str
    reads: Reads

    @property
    def key(self) -> tuple[str, str]:
        """Return the kind and the field."""
        return self.kind, self.field


def _whether(bench: Bench, event: ev.Event, text: str) -> Fields | str:
    """Read whether it happened."""
    word = text.strip().lower()
    if word in YES:
        return ((ev.GONE, False),)
    return ((ev.GONE, True),) if word in NO else "Say yes or no."


def _passed(bench: Bench, event: ev.Event, text: str) -> Fields | str:
    word = text.strip().lower()
    if word in (*YES, "passed"):
        return (("passed", True),)
    return (("passed", False),) if word in (*NO, "failed") else "Say yes or no."


def _span(text: str) -> tuple[int, int] | None:
    """Return the bounds of a count such as ``1000`` or ``600-1000``."""
    low, dash, high = text.strip().partition("-")
    if not low.strip().isdigit() or (dash and not high.strip().isdigit()):
        return None
    first, last = int(low), int(high) if dash else int(low)
    return (first, last) if first <= last else None


def _count(bench: Bench, event: ev.Event, text: str) -> Fields | str:
    """Read the count of a run, or two bounds where it is not known for sure."""
    span = _span(text)
    if span is None:
        return "Type the count in digits, such as 1000; or 600-1000 if not sure."
    assert isinstance(event, ev.RunEndObserved | ev.DoseCredited)  # noqa: S101 - table
    known = span[0] == span[1]
    evidence, ended = ("observed", "stopped") if known else ("assumed", "unknown")
    if span == (event.low, event.high):  # as it was told after all
        evidence = event.evidence
        ended = getattr(event, "outcome", ended)
    found: Fields = (("low", span[0]), ("high", span[1]), ("evidence", evidence))
    return (*found, ("outcome", ended)) if hasattr(event, "outcome") else found


def _set(bench: Bench, event: ev.Event, text: str) -> Fields | str:
    """Read the count that was set on the box."""
    span = _span(text)
    if span is None or span[0] != span[1] or not span[0]:
        return "Type the count that was set, such as 2200."
    return (("count", span[0]),)


def _time(bench: Bench, event: ev.Event, text: str) -> Fields | str:
    """Read a time in a bath: seconds, or minutes and seconds as 3:20."""
    minutes, colon, seconds = text.strip().partition(":")
    if not minutes.isdigit() or (colon and not seconds.isdigit()):
        return "Type the time as 3:20, or in seconds."
    whole = int(minutes) * 60 + int(seconds) if colon else int(minutes)
    return (("elapsed_ms", whole * MS), ("least_ms", whole * MS))


def _had(bench: Bench, event: ev.Event, text: str) -> Fields | str:
    """Read how many immersions a filling had had when it was entered."""
    span = _span(text)
    if span is None or span[0] != span[1]:
        return "Type how many it had had, such as 3; 0 if it was fresh."
    return (("immersions", span[0]),)


def _number(field: str) -> Reads:
    def read(bench: Bench, event: ev.Event, text: str) -> Fields | str:
        try:
            found = float(text.strip().replace(",", "."))
        except ValueError:
            return "Type a number."
        return ((field, found),) if 0 < found < 1e6 else "Type a number above 0."  # noqa: PLR2004

    return read


def _code(field: str, shelf: str, lacks: str = "is not on file") -> Reads:
    """Return what reads the code of something that is on file."""

    def read(bench: Bench, event: ev.Event, text: str) -> Fields | str:
        code = text.strip()
        on_file: dict[str, Any] = getattr(bench, shelf)
        if code not in on_file:
            return f"“{code}” {lacks}; there are {_some(on_file)}."
        return ((field, code),)

    return read


def _role(bench: Bench, event: ev.Event, text: str) -> Fields | str:
    """Read the code of a lamp, box or vessel that was chosen."""
    assert isinstance(event, ev.EquipmentChosen)  # noqa: S101 - the table says so
    shelf = {"lamp": "lamps", "box": "boxes", "vessel": "vessels"}[event.role]
    return _code("code", shelf)(bench, event, text)


def _side(bench: Bench, event: ev.Event, text: str) -> Fields | str:
    side = text.strip()
    part = bench.parts.get(getattr(event, "part", ""))
    sides = bench.recipe_of(part).sides if part else ()
    if side not in sides:
        return f"There is no side “{side}”; there are {', '.join(sides) or 'none'}."
    return (("side", side),)


def _day(bench: Bench, event: ev.Event, text: str) -> Fields | str:
    day = text.strip()
    if day in NO_DAY:
        return (("lot.expires", ""),)
    return (("lot.expires", day),) if is_day(day) else "Type the day as 2026-05-14."


def _printed(bench: Bench, event: ev.Event, text: str) -> Fields | str:
    """Read the day of a printing; none is later than the last entry."""
    assert bench.latest is not None  # noqa: S101 - an entry is put right
    refusal = printed_amiss(text.strip(), bench.latest)
    return refusal.message if refusal else (("printed", text.strip()),)


def _text(field: str) -> Reads:
    def read(bench: Bench, event: ev.Event, text: str) -> Fields | str:
        return ((field, text.strip()),) if text.strip() else "Type it; it is empty."

    return read


def _some(on_file: dict[str, Any]) -> str:
    most = 6
    codes = list(on_file)
    more = f" and {len(codes) - most} more" if len(codes) > most else ""
    return ", ".join(codes[:most]) + more


HAPPENED = "Did it happen? yes or no"
LOT = "the lot"

TOLD: dict[tuple[str, str], Told] = {
    each.key: each
    for each in (
        Told("FlipConfirmed", ev.GONE, "turned", HAPPENED, _whether),
        Told("LoadConfirmed", ev.GONE, "in the box", HAPPENED, _whether),
        Told("LoadConfirmed", "count", "count set", "the count set", _set),
        Told("LoadConfirmed", "box", "box", "the box", _code("box", "boxes")),
        Told("SubmergeConfirmed", "vessel", "vessel", "the vessel",
             _code("vessel", "fills", "was never filled")),
        Told("RunEndObserved", "low", "count of the run", "the count", _count),
        Told("RunEndObserved", ev.GONE, "run ended", HAPPENED, _whether),
        Told("DoseCredited", "low", "dose of this part", "the count", _count),
        Told("DoseCredited", "side", "side to the light", "the side", _side),
        Told("StageEnded", "elapsed_ms", "time in it", "the time", _time),
        Told("StageEnded", ev.GONE, "done", HAPPENED, _whether),
        Told("PartTaken", "print_lot", "print lot", LOT, _code("print_lot", "lots")),
        Told("PartTaken", "coat_lot", "coat lot", LOT, _code("coat_lot", "lots")),
        Told("PartTaken", "stain_lot", "stain lot", LOT, _code("stain_lot", "lots")),
        Told("PartTaken", "printed", "day of printing", "the day", _printed),
        Told("LotChosen", "lot", "lot", LOT, _code("lot", "lots")),
        Told("BrushWetted", "lot", "lot brushed", LOT, _code("lot", "lots")),
        Told("EquipmentChosen", "code", "lamp, box or vessel", "the code", _role),
        Told("LampSessionOpened", "lamp", "lamp in hand", "the lamp",
             _code("lamp", "lamps")),
        Told("SpotTacked", ev.GONE, "spot lit", HAPPENED, _whether),
        Told("CheckRecorded", "passed", "check", "yes or no", _passed),
        Told("LampReadingTaken", "reading", "reading", "the reading",
             _number("reading")),
        Told("LotReceived", "lot.expires", "expiry of the lot", "the day", _day),
        Told("GlycerineFilled", "lot", "glycerine lot", LOT, _text("lot")),
        Told("GlycerineFilled", "immersions", "immersions it had had",
             "how many it had had by then", _had),
    )
}  # fmt: skip
"""What may be put right, by kind of entry and field."""


def tellings(event: ev.Event) -> tuple[Told, ...]:
    """Return what of an entry a hand may put right."""
    kind = type(event).__name__
    return tuple(told for told in TOLD.values() if told.kind == kind)


def read(
    bench: Bench, event: ev.Event, field: str, text: str
) -> tuple[Told, Fields] | Refusal:
    """Return what is put right by what was typed, or why nothing is."""
    told = TOLD.get((type(event).__name__, field))
    if told is None:
        return Refusal(
            "not-told",
            f"{type(event).__name__}, {field}: this is nothing that a hand told.",
            remedy="Choose the entry that was told wrong.",
        )
    fields = told.reads(bench, event, text)
    if isinstance(fields, str):
        return Refusal("value", fields)
    return told, fields
