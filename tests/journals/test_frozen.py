"""No event changes its shape unless its version rises and the old one is read."""

import json
import sqlite3
from contextlib import closing
from dataclasses import fields
from typing import ClassVar

import pytest

from benchassist.domain.events import KINDS, Event
from benchassist.journal.codec import CHANGES, UPCASTS, Codec, canonical
from benchassist.value import value
from tests.journals.freeze import FROZEN, frozen, read, shape, today, written

LINES = read(FROZEN.read_text("utf-8"))
RUN = "run “python tests/journals/freeze.py”"


def _lost(name, old, lines, changes):
    """Return a sentence for each field of a version that a change of it cannot name."""
    if (name, old) in changes or not {(name, old), (name, old + 1)} <= lines.keys():
        return []
    before, after = (lines[name, each][1]["fields"] for each in (old, old + 1))
    return [
        f"{name} {old}: a change of “{field}” cannot be read any more."
        for field, found in before.items()
        if _correctable(found) and not _holds(after.get(field), found)
    ]


def _correctable(found):
    """Return whether a change can hold the values of a field: plain ones."""
    found = _plain(found)
    return isinstance(found, str) or "one of" in found


def _holds(now, then):
    """Return whether what was a value of a field is one of it today."""
    now, then = _plain(now), _plain(then)
    if isinstance(now, dict) and isinstance(then, dict):
        return set(then["one of"]) <= set(now.get("one of", ()))
    return now == then


def amiss(lines, kinds, upcasts, changes=CHANGES):
    """Return a sentence for everything about the kinds that is not frozen."""
    said = []
    for (name, version), found in today(kinds).items():
        released, line = lines.get((name, version), (False, None))
        if line is None:
            said.append(f"{name} {version} has no line: {RUN}.")
        elif line != found and released:
            said.append(
                f"{name} {version} was released in another shape: raise its version."
            )
        elif line != found:
            said.append(f"{name} {version} is not as it is kept: {RUN}.")
        for old in range(1, version):
            if (name, old) not in lines:
                said.append(f"{name} {old} is kept nowhere.")
            if (name, old) not in upcasts:
                said.append(f"{name} {old} has no upcast.")
            said += _lost(name, old, lines, changes)
    for (name, version), (released, _) in lines.items():
        if name not in kinds or version > kinds[name].version:
            why = "can no longer be read" if released else f"is gone: {RUN}"
            said.append(f"{name} {version} {why}.")
    return said


def test_every_event_is_as_it_is_kept_and_every_older_one_can_be_read():
    assert amiss(LINES, KINDS, UPCASTS) == []


def test_the_file_is_one_line_a_version_in_order():
    text = FROZEN.read_text("utf-8")

    assert text == written(LINES)
    assert len(text.splitlines()) == len(LINES) + 2


@pytest.mark.parametrize(
    "key", [key for key in LINES if key[1] < KINDS[key[0]].version], ids=str
)
def test_an_older_payload_gets_todays_shape(key):
    name, version = key
    values = {field: _sample(found) for field, found in LINES[key][1]["fields"].items()}
    typed = {
        field: values.pop(field)
        for field, found in LINES[key][1]["fields"].items()
        if _plain(found) == "free text"
    }

    event = Codec().decode(
        name, version, canonical(values), canonical(typed) if typed else None
    )

    assert type(event) is KINDS[name]


def _plain(found):
    return found["is"] if isinstance(found, dict) and "is" in found else found


def _sample(found):
    """Return the plain JSON of something that has a shape, everything filled."""
    found = _plain(found)
    if isinstance(found, str):
        return {"text": "EX", "whole": 7, "number": 0.5, "yes or no": True}.get(
            found, "said"
        )
    ((word, inner),) = found.items()
    match word:
        case "one of":
            return inner[0]
        case "any number of":
            return [_sample(inner)] * 2
        case "a row of":
            return [_sample(each) for each in inner]
        case "either":
            return _sample(inner[0])
        case _:
            return {name: _sample(each) for name, each in inner.items()}


# --- the keeping itself ----------------------------------------------------------


@value
class Inner:
    code: str
    steps: tuple[int, ...] = ()


@value
class Told(Event):
    part: str
    inner: Inner | None = None


@value
class InnerMore:
    code: str
    steps: tuple[int, ...] = ()
    more: bool = False


def _kinds(cls, name="Told"):
    cls.__name__ = name
    return {name: cls}


@value
class _Nested(Event):
    part: str
    inner: InnerMore | None = None


@value
class _Renamed(Event):
    piece: str
    inner: Inner | None = None


@value
class _Raised(Event):
    version: ClassVar[int] = 2
    part: str
    inner: InnerMore | None = None


@value
class _OtherDefault(Event):
    part: str
    inner: Inner | None = Inner("EX")


def _line(cls, *, released=True):
    return {("Told", cls.version): (released, shape(cls))}


@pytest.mark.parametrize("cls", [_Nested, _Renamed, _OtherDefault])
def test_a_released_shape_that_changed_needs_another_version(cls):
    (said,) = amiss(_line(Told), _kinds(cls), {})

    assert said == "Told 1 was released in another shape: raise its version."


def test_a_raised_version_needs_its_line_and_an_upcast():
    said = amiss(_line(Told), _kinds(_Raised), {})

    assert said == [f"Told 2 has no line: {RUN}.", "Told 1 has no upcast."]
    kept = frozen(_line(Told), today(_kinds(_Raised)))
    assert amiss(kept, _kinds(_Raised), {("Told", 1): dict}) == []
    assert kept.items() >= _line(Told).items()


@value
class _RenamedAndRaised(Event):
    version: ClassVar[int] = 2
    piece: str
    inner: Inner | None = None


def test_a_renamed_field_needs_a_line_for_what_was_put_right_in_it():
    kinds, upcasts = _kinds(_RenamedAndRaised), {("Told", 1): dict}
    lines = frozen(_line(Told), today(kinds))

    assert amiss(lines, kinds, upcasts) == [
        "Told 1: a change of “part” cannot be read any more."
    ]
    assert amiss(lines, kinds, upcasts, {("Told", 1): dict}) == []


def test_a_released_line_stays_and_a_newer_one_may_be_amended():
    old = _line(Told)
    assert frozen(old, today(_kinds(_Nested))) == old

    assert amiss(_line(Told, released=False), _kinds(_Nested), {}) == [
        f"Told 1 is not as it is kept: {RUN}."
    ]
    newer = frozen(_line(Told, released=False), today(_kinds(_Nested)))
    assert newer == _line(_Nested, released=False)


def test_a_released_kind_is_never_taken_away():
    assert amiss(_line(Told), {}, {}) == ["Told 1 can no longer be read."]
    assert frozen(_line(Told, released=False), {}) == {}


def test_a_version_may_not_fall():
    lines = _line(_Raised) | _line(Told)

    assert amiss(lines, _kinds(Told), {}) == ["Told 2 can no longer be read."]


def test_a_shape_goes_as_deep_as_its_values():
    found = shape(Told)["fields"]

    assert found["part"] == "text"
    assert found["inner"]["is"]["either"][0]["fields"].keys() == {
        field.name for field in fields(Inner)
    }
    json.dumps(found)


def test_every_released_shape_is_in_a_journal_that_a_release_wrote():
    kept = set()
    for path in FROZEN.parent.glob("*/journal.sqlite"):
        with closing(sqlite3.connect(f"{path.as_uri()}?mode=ro", uri=True)) as db:
            kept |= set(db.execute("SELECT DISTINCT kind, version FROM events"))

    assert {key for key, (released, _) in LINES.items() if released} <= kept
