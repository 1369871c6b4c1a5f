"""The library of a bench as a file: what reading takes, written from what is on file.

JSON of the one schema. Every curve stands in it, so that nothing has to lie beside.
Before it is written it is read back: a file that this program would refuse is none.
What a meter read of a lamp stays behind: filed elsewhere it would be as if read then.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from benchassist.domain.events import ShelfKind
from benchassist.domain.library import (
    Box,
    Coupon,
    Curve,
    Initiator,
    Lamp,
    Lot,
    Material,
    Recipe,
    Vessel,
    lineage,
)
from benchassist.domain.limits import LIMITS, limit
from benchassist.domain.shelf import WHERE
from benchassist.domain.state import Bench, Fill, Tested
from benchassist.files import folder_for, write_whole
from benchassist.library_file.entries import FORMAT
from benchassist.library_file.reading import parse_library

# Names that a field has in the file, where the bench calls it otherwise.
VALUES = {
    "absorptivity_l_mol_cm": "l_mol_cm",
    "irradiance_mw_cm2_nm": "mw_cm2_nm",
    "transmittance": "transmittance",
}
HERE = "as at the bench that this was written from"


def library_text(bench: Bench) -> str:
    """Return the library of a bench as the text of a ``.json`` file.

    Raises
    ------
    LibraryError
        If something on file could not be read back: what, and where.
    """
    whole = {
        "format": FORMAT,
        "materials": [_material(bench, each) for each in bench.materials.values()],
        "lots": [_lot(each) for each in _parents_first(bench)],
        "lamps": [_lit(bench, each) for each in _in_use(bench, "lamp")],
        "boxes": [_box(bench, each) for each in _in_use(bench, "box")],
        "vessels": [_vessel(bench, each) for each in _in_use(bench, "vessel")],
        "meters": [_plain(each) for each in _in_use(bench, "meter")],
        "recipes": [_recipe(each) for each in _in_use(bench, "recipe")],
        "fills": [
            {"vessel": vessel, "lot": each.lot, "part_immersions": each.immersions}
            for vessel, each in bench.fills.items()
            if _usable(bench, each) and ("vessel", vessel) not in bench.retired
        ],
        "coupons": [
            _coupon(each)
            for tests in bench.tested.values()
            for each in tests
            if _stands(each) and not _retired_of(bench, each.coupon)
        ],
        "limits": [
            {"code": code, "value": value, "reason": HERE}
            for code, value in bench.limits.items()
            if code in LIMITS and value != LIMITS[code].default
        ],
    }
    text = json.dumps(_without_nothing(whole), indent=1, ensure_ascii=False) + "\n"
    parse_library(text, name="library.json", beside=_nothing_beside)
    return text


def write_library(bench: Bench, out: Path, day: str) -> Path:
    """Write the library of a bench into a folder, and return the file.

    Raises
    ------
    LibraryError
        If something on file could not be read back.
    OSError
        If the folder refuses.
    """
    text = library_text(bench)
    return write_whole(folder_for(out) / f"library-{day}.json", text.encode())


def _nothing_beside(name: str) -> str:
    raise FileNotFoundError(name)


def _without_nothing(found: Any) -> Any:  # noqa: ANN401 - JSON
    """Return a table without what is empty: reading fills it in the same way."""
    if isinstance(found, dict):
        kept = {key: _without_nothing(each) for key, each in found.items()}
        return {
            key: each
            for key, each in kept.items()
            if each is not None and each not in ("", [], {})
        }
    if isinstance(found, list | tuple):
        return [_without_nothing(each) for each in found]
    return found


def _plain(thing: object, *but: str) -> dict[str, Any]:
    """Return the fields of a value by name, but for some."""
    return {name: each for name, each in vars(thing).items() if name not in but}


def _curve(curve: Curve) -> dict[str, Any]:
    return {
        "nm": list(curve.nm),
        VALUES[curve.quantity]: list(curve.values),
        "source": curve.source,
        "confidence": curve.confidence,
    }


def _material(bench: Bench, material: Material) -> dict[str, Any]:
    hand = material.hand_tack
    return {
        **_plain(material, "initiators", "hand_tack"),
        "design_nm": material.design_nm or None,
        "set_j_cm2": material.set_j_cm2 or None,
        "final_j_cm2": material.final_j_cm2 or None,
        "initiators": [_initiator(bench, each) for each in material.initiators],
        "hand_tack": hand
        and {
            "seconds": hand.seconds,
            "band": [hand.low_nm, hand.high_nm],
            "mw_cm2": hand.mw_cm2,
        },
    }


def _initiator(bench: Bench, initiator: Initiator) -> dict[str, Any]:
    return {
        **_plain(initiator, "curve"),
        "absorptivity": _curve(bench.curves[initiator.curve]),
    }


def _in_use(bench: Bench, kind: ShelfKind) -> list[Any]:
    """Return what of a kind is not retired: the bench that reads it would offer it.

    A recall needs no file for that: the record keeps what is retired, with all that it
    was used for. Materials are written whole, as lots and recipes are of them.
    """
    found = getattr(bench, WHERE[kind]).values()
    return [each for each in found if (kind, each.code) not in bench.retired]


def _retired_of(bench: Bench, coupon: Coupon) -> bool:
    """Return whether a test was done with a lamp, box or vessel that is retired."""
    used: tuple[tuple[ShelfKind, str], ...] = (
        ("lamp", coupon.lamp),
        ("box", coupon.box),
        ("vessel", coupon.vessel),
    )
    return any(each in bench.retired for each in used)


def _parents_first(bench: Bench) -> list[Lot]:
    """Return the lots that are still on the shelf, and those they are mixed from."""
    here = (code for code in bench.lots if code not in bench.closed_lots)
    wanted = {parent for code in here for parent in lineage(bench.lots, code)}
    return [lot for code, lot in bench.lots.items() if code in wanted]


def _lot(lot: Lot) -> dict[str, Any]:
    parents = [{"lot": code, "fraction": share} for code, share in lot.parents]
    return {**_plain(lot, "parents"), "parents": parents}


def _lit(bench: Bench, thing: Lamp | Box) -> dict[str, Any]:
    curve = bench.curves.get(thing.curve)
    return {
        **_plain(thing, "knowledge", "curve"),
        "spectrum": _curve(curve) if curve else None,
    }


def _box(bench: Bench, box: Box) -> dict[str, Any]:
    made = _lit(bench, box)
    for name in ("unit", "rate_hz", "rule"):
        del made[name]
    rate_hz = box.rate_hz if box.unit == "flash" else None
    return {**made, "flashes_per_s": rate_hz, "counts": _plain(box.rule)}


def _vessel(bench: Bench, vessel: Vessel) -> dict[str, Any]:
    curve = bench.curves.get(vessel.curve)
    return {**_plain(vessel, "curve"), "wall": _curve(curve) if curve else None}


def _recipe(recipe: Recipe) -> dict[str, Any]:
    made = _plain(recipe, "total", "rule", "dose_max")
    return {
        **made,
        "sides": [side for side in recipe.sides if side],
        "total_per_side": recipe.total,
        "counts": _plain(recipe.rule) if recipe.rule else None,
        "max_per_side": recipe.dose_max,
        "washes": [_plain(each) for each in recipe.washes],
        "faces": [_plain(each) for each in recipe.faces],
    }


def _usable(bench: Bench, fill: Fill) -> bool:
    """Return whether a part may still go into glycerine."""
    watery = 0 < fill.percent < limit(bench, "glycerine_least")
    return not (fill.spoilt or watery)


def _stands(tested: Tested) -> bool:
    """Return whether a test can be told again: whole, and of something that held."""
    coupon = tested.coupon
    whole = coupon.finished or not coupon.top_s
    return not (tested.ended or coupon.void) and coupon.held_s > 0 and whole


def _coupon(tested: Tested) -> dict[str, Any]:
    coupon = tested.coupon
    told = _plain(coupon, "id", "tried_s", "top_s", "finished", "void", "tabs")
    return {
        **told,
        "top_s": coupon.top_s or None,
        "day": tested.day,
        "blank_wiped": True,
        "air_sticky": coupon.finished,
    }
