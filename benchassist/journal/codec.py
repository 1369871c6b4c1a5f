"""Events to canonical JSON and back, and old payloads to today's shape.

What is written is checked against the event's own types, what is read by pydantic,
whose adapters are built per kind on first use: writing must not wait for a library
that takes longer to load than the window. This module knows no file.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, fields
from functools import cache
from typing import TYPE_CHECKING, Any, NamedTuple, TypeAlias, cast, get_type_hints

from benchassist.domain.events import KINDS, Corrected, Event, FreeText
from benchassist.journal.errors import NewerJournalError, UnwritableEventError
from benchassist.journal.shape import check_shape

if TYPE_CHECKING:
    from pydantic_core import SchemaValidator

Payload: TypeAlias = dict[str, Any]
Upcast: TypeAlias = Callable[[Payload], Payload]

BLANKED = "[removed by the owner]"
NO_TEXT = "{}"


def _within(name: str, **added: object) -> Upcast:
    """Return the upcast that adds fields to the value under ``name``."""
    return lambda payload: payload | {name: payload[name] | added}


# What was typed before documents were asked for has none, and so is a guess.
UNSOURCED: dict[str, object] = {"bands": [], "document": "", "revision": ""}
# Beam and tip were those of the bench's limits.
AS_LIMITS: dict[str, object] = {"useful_mm": 0.0, "tip_mm": 0.0, "source_mm": 0.0}

UPCASTS: Mapping[tuple[str, int], Upcast] = {
    ("MaterialDefined", 1): lambda defined: {
        "reason": "",
        "material": defined["material"]
        | UNSOURCED
        | {"hand_tack": None, "box_band": None},
    },
    ("LampDefined", 1): _within("lamp", **UNSOURCED, mw_cm2=0.0),
    ("LampDefined", 2): _within("lamp", **AS_LIMITS),
    ("BoxDefined", 1): _within("box", **UNSOURCED),
    ("BoxDefined", 2): _within("box", life=0.0),
    ("LoadConfirmed", 1): lambda load: load | {"numbers": []},
    ("SubmergeConfirmed", 1): lambda card: card | {"numbers": []},
    ("VesselDefined", 1): _within("vessel", through=0.0),
    # No revision was asked why it is another than the one before.
    ("RecipeDefined", 1): lambda defined: defined | {"reason": ""},
    ("CouponRecorded", 1): lambda coupon: coupon | {"tack_s": 0.0, "how": ""},
    ("PartTaken", 1): lambda taken: {
        "tray": 0,  # the first that was free: found again when it is read
        **dict.fromkeys(
            ("jaw", "tooth", "prescriber", "shade", "reason", "printed"), ""
        ),
        **taken,
    },
    # Nobody was asked then whether a counter was ahead of the clock.
    ("RunEndObserved", 1): lambda ended: ended | {"begun": ""},
    # Whose the photos beside it were was not carried.
    ("CarriedForward", 1): lambda carried: carried | {"photos": []},
    # One word more for why; what was said before means the same.
    ("WalkPaused", 1): lambda paused: paused,
    # One figure stood for what was sure and for the most; nobody knew better then.
    ("StageEnded", 1): lambda ended: ended | {"least_ms": ended["elapsed_ms"]},
}
"""(kind, version) to the function that makes version + 1 of its payload.

Stored bytes are never touched. Raise ``version`` on the event's class and add
one line here; free text is among the fields the function is given. Of a value within
events (a recipe, a route) make one function and call it for each event that holds
one; it fills what was true then, so no default is taken at reading.
"""

CHANGES: Mapping[tuple[str, int], Upcast] = {}
"""(kind, version) to the function that makes version + 1 of a change of such an entry.

A ``Corrected`` keeps what was put right as the field and its two values, in the shape
that the entry's kind had then. Whoever renames or reshapes a field adds a line.
"""


class Encoded(NamedTuple):
    """An event as it is stored; ``text`` is what people typed, kept apart."""

    kind: str
    version: int
    payload: str
    text: str | None


@dataclass(frozen=True)
class Codec:
    """The kinds of event there are, and how older versions of them are read."""

    kinds: Mapping[str, type[Event]] = field(default_factory=lambda: KINDS)
    upcasts: Mapping[tuple[str, int], Upcast] = field(default_factory=lambda: UPCASTS)
    changes: Mapping[tuple[str, int], Upcast] = field(default_factory=lambda: CHANGES)
    _readers: dict[str, SchemaValidator] = field(default_factory=dict, repr=False)
    _typed: dict[type[Event], tuple[str, ...]] = field(default_factory=dict, repr=False)

    def encode(self, event: Event) -> Encoded:
        """Return an event as it is stored.

        Raises
        ------
        UnwritableEventError
            If it could not be read back as it is: a wrong type, a number that is
            not finite, a kind that is not registered.
        """
        cls = type(event)
        kind = cls.__name__
        if self.kinds.get(kind) is not cls:
            message = f"{kind} cannot be recorded: it is no kind of this program."
            raise UnwritableEventError(message)
        try:
            check_shape(event)
            values = _values(event)
            texts = {name: values.pop(name) for name in self.free_text(cls)}
            payload = canonical(values)
            text = canonical(texts) if any(texts.values()) else None
            f"{payload}{text}".encode()  # a lone surrogate has no bytes
        except (TypeError, ValueError) as error:
            message = f"{kind} cannot be recorded: {error}"
            raise UnwritableEventError(message) from error
        return Encoded(kind, cls.version, payload, text)

    def decode(self, kind: str, version: int, payload: str, text: str | None) -> Event:
        """Return the event that was stored, in today's shape.

        Parameters
        ----------
        kind, version, payload
            As ``encode`` gave them, by this version of the program or an older.
        text
            The free text as JSON, ``None`` where nothing was typed, ``NO_TEXT``
            where it was blanked since.

        Raises
        ------
        NewerJournalError
            If a later version of the program wrote it.
        ValueError
            If it is not the JSON of such an event.
        """
        cls = self.kinds.get(kind)
        if cls is None or version > cls.version:
            message = f"{kind} version {version} is not known to this program."
            raise NewerJournalError(message)
        typed = self.free_text(cls)
        if typed or version < cls.version:
            values = json.loads(payload)
            absent = dict.fromkeys(typed, "" if text is None else BLANKED)
            values |= absent | json.loads(text or NO_TEXT)
            for old in range(version, cls.version):
                values = self.upcasts[kind, old](values)
            if cls is Corrected:
                values["changes"] = [self._change(each) for each in values["changes"]]
            payload = canonical(values)
        if _of_text(cls):
            return _read_text(cls, payload)
        read: Event = self._reader(kind).validate_json(payload, strict=True)
        return read

    def _change(self, change: Payload) -> Payload:
        """Return what was put right, in the shape that its kind of entry has today."""
        kind, made = change["kind"], change["version"]
        now = self.kinds[kind].version if kind in self.kinds else made
        for old in range(made, now):
            change = self.changes.get((kind, old), dict)(change) | {"version": old + 1}
        return change

    def json_schema(self, kind: str) -> dict[str, Any]:
        """Return the JSON Schema of one kind of event, free text included."""
        from pydantic import TypeAdapter  # noqa: PLC0415 - as below

        return TypeAdapter(self.kinds[kind]).json_schema() | {
            "$schema": "https://json-schema.org/draft/2020-12/schema",
            "title": kind,
        }

    def free_text(self, cls: type[Event]) -> tuple[str, ...]:
        """Return the names of the fields that people type into."""
        if cls not in self._typed:
            hints = get_type_hints(cls, include_extras=True)
            self._typed[cls] = tuple(
                f.name for f in fields(cls) if hints[f.name] == FreeText
            )
        return self._typed[cls]

    def _reader(self, kind: str) -> SchemaValidator:
        if kind not in self._readers:
            # Imported when first needed: it takes as long as the whole window.
            from pydantic import TypeAdapter  # noqa: PLC0415
            from pydantic_core import SchemaValidator  # noqa: PLC0415

            adapter: TypeAdapter[Event] = TypeAdapter(self.kinds[kind])
            self._readers[kind] = SchemaValidator(_exact(adapter.core_schema))
        return self._readers[kind]


CODEC = Codec()


def _of_text(cls: type[Event]) -> bool:
    """Return whether an event holds text and nothing else."""
    kind: Any = cls
    return all(hint is str for hint in _hints(kind).values())


@cache
def _hints(cls: Any) -> dict[str, Any]:  # noqa: ANN401 - a class, as a key
    hints = get_type_hints(cls, include_extras=True)
    return {field.name: hints[field.name] for field in fields(cls)}


def _read_text(cls: type[Event], payload: str) -> Event:
    """Return an event of text alone without the reader that all others need.

    Behind a kept state lies but the entry that vouches for it: an opening that reads
    no other waits for no large import.
    """
    values, kind = json.loads(payload), cast("Any", cls)
    if not isinstance(values, dict) or values.keys() != _hints(kind).keys():
        msg = f"{cls.__name__} has not the fields of such an event."
        raise ValueError(msg)
    event = cls(**values)
    try:
        check_shape(event)
    except TypeError as error:
        raise ValueError(str(error)) from error
    return event


def json_schema(kind: str) -> dict[str, Any]:
    """Return the JSON Schema (2020-12) of one kind of event.

    Raises
    ------
    KeyError
        If there is no such kind.
    """
    return CODEC.json_schema(kind)


def canonical(value: object) -> str:
    """Return the one JSON spelling of ``value``: keys sorted, numbers finite.

    Raises
    ------
    ValueError
        If a number in it is not finite.
    TypeError
        If JSON has no spelling for something in it.
    """
    return _ENCODER.encode(value)


def _values(record: Any) -> Payload:  # noqa: ANN401 - json's hook for whatever it meets
    return {f.name: getattr(record, f.name) for f in fields(record)}


def _exact(schema: Any) -> Any:  # noqa: ANN401 - a tree of pydantic's own
    """Return a schema that takes every field of a dataclass and no other.

    All fields are always written. A default for one that is missing, or silence over
    one too many, would read a renamed field as if nobody had told it.
    """
    if isinstance(schema, list):
        return [_exact(each) for each in schema]
    if not isinstance(schema, dict):
        return schema
    if (
        schema.get("type") == "dataclass-field"
        and schema["schema"]["type"] == "default"
    ):
        schema = schema | {"schema": schema["schema"]["schema"]}
    made = {name: _exact(each) for name, each in schema.items()}
    if made.get("type") == "dataclass-args":
        made["extra_behavior"] = "forbid"
    return made


_ENCODER = json.JSONEncoder(
    default=_values,
    sort_keys=True,
    separators=(",", ":"),
    ensure_ascii=False,
    allow_nan=False,
)
