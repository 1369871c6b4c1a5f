"""What every form shares: its rows, how each is read, shown and found amiss.

A ``Form`` is one table: what it asks in rows, and what it stands for. Its page is made
of the rows, and what was typed is read by the rows' rules.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from datetime import date
from math import isfinite
from typing import Any, Literal

from benchassist.domain import codes as coded
from benchassist.domain.commands import Command
from benchassist.domain.events import ShelfKind
from benchassist.domain.library import BathStep, SpotFace
from benchassist.domain.shelf import offered
from benchassist.domain.state import Bench
from benchassist.ui.view import Field, FormView
from benchassist.ui.words import say
from benchassist.value import value

Choices = tuple[tuple[str, str], ...]
GS_SHOWN = "|"  # what a scan field shows for the group separator: no label has it
NONE: Choices = (("", "none"),)
MOST = 1e6  # no count or length of a bench is larger


class FormError(ValueError):
    """A form's value cannot be used; the text says which and what to do."""


def codes(known: Mapping[str, str]) -> Choices:
    """Return codes with their titles as what a field offers."""
    return tuple(
        (code, code if title in ("", code) else f"{code}  {title}")
        for code, title in known.items()
    )


def alone(known: Iterable[str]) -> Choices:
    """Return codes without titles as what a field offers."""
    return tuple((code, code) for code in known)


def on_shelf(kind: ShelfKind) -> Callable[[Bench], Choices]:
    """Return what offers the codes of a kind of thing that are not retired."""
    return lambda bench: alone(offered(bench, kind))


def materials(bench: Bench, *roles: str) -> Choices:
    """Return the materials of these roles with their names; of no role: all."""
    found = (bench.materials[code] for code in offered(bench, "material"))
    known = (each for each in found if not roles or each.role in roles)
    return codes({each.code: each.title for each in known})


def number(label: str, typed: str) -> float:
    """Return a number as typed, with a comma or a point.

    Raises
    ------
    FormError
        If it is none.
    """
    try:
        return float(typed.replace(",", "."))
    except ValueError as error:
        msg = say("{label}: “{typed}” is not a number.", label=label, typed=typed)
        raise FormError(msg) from error


# --- rules: one a form of value ------------------------------------------------------


@value
class Rule:
    """How what is typed becomes a value, and how a value is shown to be typed over.

    ``parse`` raises a ``ValueError`` whose text says what to write.
    """

    parse: Callable[[str], Any]
    show: Callable[[Any], str] = str
    kind: Literal["text", "number", "check", "scan"] = "text"


def _number(typed: str) -> float:
    try:
        found = float(typed.replace(",", ".") or "0")
    except ValueError as error:
        msg = say("“{typed}” is not a number.", typed=typed[:16])
        raise ValueError(msg) from error
    if not isfinite(found) or not 0 <= found < MOST:
        msg = say("write a number, 0 or more.")
        raise ValueError(msg)
    return found


def _reading(typed: str) -> float:
    if not typed:
        msg = say("write a number, 0 or more.")
        raise ValueError(msg)
    return _number(typed)


def _positive(typed: str) -> float:
    found = _number(typed)
    if not found:
        msg = say("write a number above 0.")
        raise ValueError(msg)
    return found


def _whole(typed: str) -> int:
    found = _number(typed)
    if found != int(found):
        msg = say("write a whole number.")
        raise ValueError(msg)
    return int(found)


def _step(typed: str) -> int:
    found = _whole(typed)
    if not found:
        msg = say("write a whole number, 1 or more.")
        raise ValueError(msg)
    return found


def _share(typed: str) -> float:
    found = _number(typed)
    if found > 100:  # noqa: PLR2004 - per cent
        msg = say("write per cent, 0 to 100.")
        raise ValueError(msg)
    return found / 100


def _word(typed: str) -> str:
    if not typed:
        msg = say("write it down; it is on the label or in the papers.")
        raise ValueError(msg)
    return typed


def _code(typed: str) -> str:
    wrong = coded.amiss(Bench(), "equipment", _word(typed))
    if wrong:
        msg = f"{wrong.message} {wrong.remedy}".strip()
        raise ValueError(msg)
    return typed


def _day(typed: str) -> str:
    try:
        return date.fromisoformat(typed).isoformat() if typed else ""
    except ValueError as error:
        msg = say("“{typed}” is no day; write it like 2027-03-31.", typed=typed[:12])
        raise ValueError(msg) from error


def _listed(typed: str) -> tuple[str, ...]:
    return tuple(filter(None, (each.strip() for each in typed.split(","))))


def _counts(typed: str) -> tuple[int, ...]:
    return tuple(sorted(_whole(each) for each in _listed(typed)))


def _range(typed: str, how: str) -> tuple[float, float]:
    low, dash, high = typed.replace("–", "-").partition("-")
    if not dash or not low.strip() or not high.strip():
        msg = say("“{typed}”: write {how}.", typed=typed[:16], how=how)
        raise ValueError(msg)
    least, most = _number(low.strip()), _number(high.strip())
    if least > most:
        msg = say("“{typed}”: the least is more than the most.", typed=typed[:16])
        raise ValueError(msg)
    return least, most


def _span(typed: str) -> tuple[int, int]:
    least, most = _range(typed, say("least and most, like 120-300"))
    return int(_positive(f"{least}")), int(most)


def _bands(typed: str) -> tuple[tuple[float, float], ...]:
    found = tuple(_range(each, say("a band like 380-410")) for each in _listed(typed))
    if any(low < 200 or high > 1000 for low, high in found):  # noqa: PLR2004
        msg = say("a band lies between 200 and 1000 nm.")
        raise ValueError(msg)
    return found


def _washes(typed: str) -> tuple[BathStep, ...]:
    steps = []
    for each in _listed(typed):
        title, _, times = each.rpartition(" ")
        least, most = _range(times, say("Wash 1 120-300, in seconds"))
        if not title:
            msg = say("“{each}”: name the bath before its seconds.", each=each[:16])
            raise ValueError(msg)
        steps.append(BathStep(title, int(least), int(most)))
    return tuple(steps)


def _faces(typed: str) -> tuple[SpotFace, ...]:
    faces = []
    for each in _listed(typed):
        title, _, spots = each.rpartition(" ")
        if not title or not spots.isdecimal() or not int(spots):
            msg = say(
                "“{each}”: write a side and its spots, like cheek side 2.",
                each=each[:16],
            )
            raise ValueError(msg)
        faces.append(SpotFace(title, int(spots)))
    return tuple(faces)


def _plain(found: float) -> str:
    return f"{found:g}" if found else ""


def _joined(found: tuple[object, ...]) -> str:
    return ", ".join(map(str, found))


RULES: dict[str, Rule] = {
    "text": Rule(str),
    "word": Rule(_word),
    "code": Rule(_code),
    "scan": Rule(str, kind="scan"),
    "number": Rule(_number, _plain, "number"),  # empty: 0
    "reading": Rule(_reading, _plain, "number"),  # may be 0, and must be written
    "positive": Rule(_positive, _plain, "number"),
    "whole": Rule(_whole, str, "number"),
    "step": Rule(_step, str, "number"),
    "share": Rule(_share, lambda found: _plain(round(100 * found, 3))),
    "day": Rule(_day),
    "list": Rule(_listed, _joined),
    "counts": Rule(_counts, _joined),
    "span": Rule(_span, lambda found: f"{found[0]}-{found[1]}"),
    "span-or-none": Rule(lambda typed: _span(typed) if typed else None),
    "bands": Rule(
        _bands, lambda found: ", ".join(f"{low:g}-{high:g}" for low, high in found)
    ),
    "washes": Rule(
        _washes,
        lambda found: ", ".join(f"{e.title} {e.min_s}-{e.max_s}" for e in found),
    ),
    "faces": Rule(
        _faces, lambda found: ", ".join(f"{e.title} {e.spots}" for e in found)
    ),
    "yes": Rule(bool, lambda found: "yes" if found else "", "check"),
}


def _line(typed: str) -> str:
    return " ".join(typed.split())


def parsed(rule: str, label: str, typed: str) -> Any:  # noqa: ANN401 - by its rule
    """Return what was typed as its rule reads it.

    Raises
    ------
    FormError
        With the field's label and what to write.
    """
    try:
        return RULES[rule].parse(_line(typed))
    except ValueError as error:
        msg = f"{label}: {error}"
        raise FormError(msg) from error


def amiss(rule: str, typed: str) -> str:
    """Return what is wrong with what a field holds so far, "" where it is empty."""
    if not typed.strip() or rule not in RULES:
        return ""
    try:
        RULES[rule].parse(_line(typed))
    except ValueError as error:
        return str(error)
    return ""


# --- forms ---------------------------------------------------------------------------

KEEP = say("Keep")


@value
class Row:
    """One value that is asked for: its name, what it is called, how it is read.

    What it begins with and what there is to choose from may hang on the bench.
    """

    name: str
    label: str
    rule: str = "text"
    help: str = ""
    start: str | Callable[[Bench], str] = ""
    choices: Choices | Callable[[Bench], Choices] | None = None

    def field(self, bench: Bench, filled: str | None = None) -> Field:
        """Return the field of this row; ``filled`` is what it holds already."""
        start = self.start(bench) if callable(self.start) else self.start
        shown = start if filled is None else filled
        if self.choices is not None:
            found = self.choices(bench) if callable(self.choices) else self.choices
            found = found or NONE
            return Field(self.name, self.label, "choice", shown, found, self.help)
        kind = RULES[self.rule].kind
        return Field(self.name, self.label, kind, shown, (), self.help, self.rule)

    def read(self, typed: str) -> Any:  # noqa: ANN401 - by its rule
        """Return what was typed as the rule reads it; what was chosen as it is.

        Raises
        ------
        FormError
            With the field's label and what to write.
        """
        if self.choices is not None:
            return typed
        return parsed(self.rule, self.label, typed)

    def show(self, found: object) -> str:
        """Return a value as it is shown, to be typed over or chosen anew."""
        return (RULES[self.rule].show if self.choices is None else str)(found)


@value
class Form:
    """One form: what it is called, what it asks, and what it stands for.

    ``make`` is given the bench and what the rows read, by their names. ``back`` is the
    page that opens once it is handed in; "" is the bench. What is said beneath the
    title may hang on the bench.
    """

    name: str
    title: str
    rows: tuple[Row, ...]
    make: Callable[[Bench, dict[str, Any]], Command]
    note: str | Callable[[Bench], str] = ""
    keep: str = KEEP
    back: str = ""

    def view(self, bench: Bench, error: str = "", **filled: str) -> FormView:
        """Return its page; ``filled`` says what rows hold already, by their names."""
        fields = tuple(row.field(bench, filled.get(row.name)) for row in self.rows)
        note = self.note(bench) if callable(self.note) else self.note
        return FormView(self.name, self.title, fields, self.keep, note, error)

    def command(self, bench: Bench, values: Mapping[str, str]) -> Command:
        """Return the command that what was typed stands for.

        Raises
        ------
        FormError
            If a value cannot be read; the text says which and what is expected.
        """
        read = {row.name: row.read(values[row.name]) for row in self.rows}
        return self.make(bench, read)


def as_read(command: type[Command]) -> Callable[[Bench, dict[str, Any]], Command]:
    """Return what makes a command whose fields are what the rows read."""
    return lambda _bench, read: command(**read)
