"""From the text of a library file to the command that files it."""

from __future__ import annotations

import json
import re
import tomllib
from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import replace
from pathlib import Path
from typing import Any, TypeVar

from pydantic import ValidationError

from benchassist.domain import library as lib
from benchassist.domain.commands import FileLibrary
from benchassist.files import read_text
from benchassist.library_file.base import Entry
from benchassist.library_file.curves import (
    Beside,
    CurveFaultError,
    initiator_curve,
    light_curve,
    wall_curve,
)
from benchassist.library_file.entries import (
    BoxEntry,
    CountRuleEntry,
    CouponEntry,
    InitiatorEntry,
    LampEntry,
    Library,
    LightEntry,
    LotEntry,
    MaterialEntry,
    MeterEntry,
    RecipeEntry,
    VesselEntry,
)
from benchassist.library_file.faults import Fault, LibraryError, faults_of, shown
from benchassist.library_file.words import described


def library_schema() -> dict[str, Any]:
    """Return the JSON Schema (2020-12) of a library file, every field described."""
    schema = Library.model_json_schema()
    described(schema, "Library")
    for name, entry in schema["$defs"].items():
        described(entry, name)
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema}


# tomllib takes the square of the words of a key: minutes for a hundred thousand.
_DEEP_KEY = re.compile(r"^[ \t\[]*[\w-]+(?:[ \t]*\.[ \t]*[\w-]+){32}", re.MULTILINE)


def read_library(path: Path) -> FileLibrary:
    """Return the command that files what stands in a library file.

    Parameters
    ----------
    path
        A ``.toml`` or ``.json`` file; CSV files that it names lie beside it.

    Raises
    ------
    LibraryError
        If anything in it is amiss: every fault, one line each.
    """
    try:
        text = read_text(path)
    except OSError as error:
        why = error.strerror or str(error)
        raise LibraryError(path.name, (f"cannot be read ({why}).",)) from error
    except UnicodeDecodeError as error:
        told = (f"expected UTF-8 text; byte {error.start} is none.",)
        raise LibraryError(path.name, told) from error
    return parse_library(text, name=path.name, beside=_reader(path.parent))


def _reader(folder: Path) -> Beside:
    return lambda name: read_text(folder / name)


def parse_library(text: str, *, name: str, beside: Beside) -> FileLibrary:
    """Return the command that files what stands in the text of a library file.

    Parameters
    ----------
    text
        The content: TOML, or JSON where ``name`` ends in ``.json``.
    name
        The file's name, for what is told.
    beside
        Returns the text of a CSV file that the library file names.

    Raises
    ------
    LibraryError
        If anything in it is amiss: every fault, one line each.
    """
    try:
        library = Library.model_validate(_loaded(text, name))
    except ValidationError as error:
        raise LibraryError(name, faults_of(error, Library)) from error
    filing = _Filing(beside)
    command = filing.command(library)
    faults = [*filing.faults, *_repeated(library)]
    if faults:
        raise LibraryError(name, faults)
    return command


def _loaded(text: str, name: str) -> dict[str, Any]:
    try:
        if name.endswith(".json"):
            found = json.loads(text, object_pairs_hook=_once)
        elif _DEEP_KEY.search(text):
            raise RecursionError  # noqa: TRY301 - as the parsers say it of tables
        else:
            found = tomllib.loads(text)
    except ValueError as error:  # the base of both libraries' errors
        raise LibraryError(name, (f"cannot be read: {error}.",)) from error
    except RecursionError:
        told = ("cannot be read: tables lie too deep in one another.",)
        raise LibraryError(name, told) from None
    if not isinstance(found, dict):
        raise LibraryError(name, (Fault("", "a table", shown(found)),))
    return found


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        counts = Counter(key for key, _ in pairs)
        twice = next(key for key, count in counts.items() if count > 1)
        message = f"the field “{twice}” stands twice in one table"
        raise ValueError(message)
    return found


def _repeated(library: Library) -> Iterable[Fault]:
    """Yield a fault for each code that stands twice in its list."""
    kinds = ("materials", "lots", "lamps", "boxes", "vessels", "meters", "recipes")
    for kind in kinds:
        seen = set()
        for n, entry in enumerate(getattr(library, kind)):
            key = (entry.code, getattr(entry, "revision", 0))
            if key in seen:
                place = f"{kind}[{n}].code"
                yield Fault(place, "a code used once", shown(entry.code))
            seen.add(key)


Kind = TypeVar("Kind", bound=Entry)
Value = TypeVar("Value")


class _Filing:
    """Turns checked entries into values of the bench, and collects curve faults."""

    def __init__(self, beside: Beside) -> None:
        self.faults: list[Fault] = []
        self._beside = beside
        self._curves: dict[str, lib.Curve] = {}

    def command(self, library: Library) -> FileLibrary:
        """Return the command; what could not be had is among the faults."""
        filed = FileLibrary(
            materials=self._each("materials", library.materials, self._material),
            lots=tuple(_lot(each) for each in library.lots),
            lamps=self._each("lamps", library.lamps, self._lamp),
            boxes=self._each("boxes", library.boxes, self._box),
            vessels=self._each("vessels", library.vessels, self._vessel),
            meters=tuple(_meter(each) for each in library.meters),
            recipes=tuple(_recipe(each) for each in library.recipes),
            readings=tuple((each.lamp, each.reading) for each in library.readings),
            fills=tuple(
                (each.vessel, each.lot, each.part_immersions) for each in library.fills
            ),
            coupons=tuple(
                (_coupon(each), each.day.isoformat() if each.day else "")
                for each in library.coupons
            ),
            limits=tuple(
                (each.code, each.value, each.reason) for each in library.limits
            ),
        )
        return replace(filed, curves=tuple(self._curves.values()))

    def _each(
        self, place: str, entries: Iterable[Kind], make: Callable[[Kind], Value]
    ) -> tuple[Value, ...]:
        found = []
        for n, entry in enumerate(entries):
            known = len(self.faults)
            try:
                found.append(make(entry))
            except CurveFaultError as error:
                self.faults.append(error.fault)
            # What was found further down has a place within this entry.
            self.faults[known:] = [
                fault._replace(place=f"{place}[{n}].{fault.place}")
                for fault in self.faults[known:]
            ]
        return tuple(found)

    def _kept(self, curve: lib.Curve) -> str:
        self._curves[curve.digest] = curve
        return curve.digest

    def _initiator(self, entry: InitiatorEntry) -> lib.Initiator:
        name, curve = initiator_curve(entry, self._beside)
        return lib.Initiator(name, self._kept(curve), entry.mol_l, entry.quantum_yield)

    def _material(self, entry: MaterialEntry) -> lib.Material:
        initiators = self._each("initiators", entry.initiators, self._initiator)
        hand = entry.hand_tack
        values = entry.model_dump(
            exclude={"initiators", "hand_tack", "bands", "peaks_nm"}
        )
        for name in ("design_nm", "set_j_cm2", "final_j_cm2"):
            values[name] = values[name] or 0.0
        return lib.Material(
            **values,
            initiators=initiators,
            bands=entry.stated,
            hand_tack=lib.HandTack(hand.seconds, *hand.band, hand.mw_cm2)
            if hand
            else None,
        )

    def _light(self, entry: LightEntry) -> tuple[lib.SpectrumKnowledge, str]:
        knowledge, curve = light_curve(entry, self._beside)
        return knowledge, self._kept(curve) if curve else ""

    def _lamp(self, entry: LampEntry) -> lib.Lamp:
        knowledge, curve = self._light(entry)
        values = entry.model_dump(exclude={"spectrum", "lines", "bands", "peaks_nm"})
        return lib.Lamp(**values, bands=entry.stated, knowledge=knowledge, curve=curve)

    def _box(self, entry: BoxEntry) -> lib.Box:
        knowledge, curve = self._light(entry)
        values = entry.model_dump(
            exclude={
                *("spectrum", "lines", "counts", "flashes_per_s"),
                *("bands", "peaks_nm"),
            }
        )
        return lib.Box(
            **values,
            bands=entry.stated,
            unit="flash" if entry.flashes_per_s else "s",
            rate_hz=entry.flashes_per_s or 1.0,
            rule=_rule(entry.counts),
            knowledge=knowledge,
            curve=curve,
        )

    def _vessel(self, entry: VesselEntry) -> lib.Vessel:
        values = entry.model_dump(exclude={"wall"})
        wall = wall_curve(entry.wall, self._beside) if entry.wall else None
        return lib.Vessel(**values, curve=self._kept(wall) if wall else "")


def _coupon(entry: CouponEntry) -> lib.Coupon:
    values = entry.model_dump(
        exclude={"top_s", "reading", "day", "blank_wiped", "air_sticky"}
    )
    return lib.Coupon(
        id="",
        **values,
        tried_s=entry.held_s,
        top_s=entry.top_s or 0.0,
        finished=entry.top_s is not None,
        reading=float(entry.reading),
    )


def _meter(entry: MeterEntry) -> lib.Meter:
    values = entry.model_dump(exclude={"example"})
    days = {
        name: values[name].isoformat() if values[name] else ""
        for name in ("calibrated", "until")
    }
    return lib.Meter(**values | days | {"document": entry.document or ""})


def _lot(entry: LotEntry) -> lib.Lot:
    return lib.Lot(
        code=entry.code,
        material=entry.material,
        expires=entry.expires.isoformat() if entry.expires else "",
        parents=tuple((each.lot, each.fraction) for each in entry.parents),
    )


def _rule(entry: CountRuleEntry) -> lib.CountRule:
    return lib.CountRule(entry.step, entry.max_run, tuple(entry.programs))


def _recipe(entry: RecipeEntry) -> lib.Recipe:
    renamed = {
        "counts",
        "total_per_side",
        "max_per_side",
        "washes",
        "faces",
        "sides",
        "checks",
        "coat_material",
        "stain_materials",
    }
    return lib.Recipe(
        **entry.model_dump(exclude=renamed),
        washes=tuple(lib.BathStep(**each.model_dump()) for each in entry.washes),
        sides=tuple(entry.sides) or ("",),
        total=entry.total_per_side,
        rule=_rule(entry.counts) if entry.counts else None,
        dose_max=entry.max_per_side,
        coat_material=entry.coat_material or "",
        stain_materials=tuple(entry.stain_materials),
        faces=tuple(lib.SpotFace(**each.model_dump()) for each in entry.faces),
        checks=tuple(entry.checks),
    )
