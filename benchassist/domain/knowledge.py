"""How well a lamp, a box or a layer is known, and whether their stated bands meet.

The ladder: nothing, a label, a guess, papers with document and revision, a coupon
tested here, a measurement. The worst-known value of a pairing sets its rung, unless a
coupon was tested.
"""

from __future__ import annotations

from itertools import pairwise
from typing import Literal

from benchassist.domain.library import (
    Box,
    Curve,
    Interval,
    Lamp,
    Material,
)
from benchassist.domain.state import Bench
from benchassist.value import value

Knowledge = Literal["nothing", "guess", "label", "papers", "measured"]

WORDS: dict[Knowledge, str] = {
    "nothing": "nothing on file",
    "guess": "our guess",
    "label": "from its label",
    "papers": "from its papers",
    "measured": "measured",
}
TESTED_HERE = "TESTED HERE"
RUNGS: dict[Knowledge, int] = {
    "nothing": 1,
    "guess": 2,
    "label": 2,
    "papers": 4,
    "measured": 4,
}
# [nm] of a peak on a label, and of stated bands that are known not to meet: assumed.
# At 430 nm one common initiator keeps 0.6 %, another 14 % of what it absorbs at 385 nm:
# bands nearer than this say nothing.
PEAK_NM = 15.0
APART_NM = 25.0
SHARE_OF_PEAK = 0.1  # below this a maximum of a curve is no band of its own


@value
class Known:
    """How one thing is known, the bands it states, and where that stands.

    ``stated`` tells bands of a label, papers or a measurement from guessed ones.
    """

    what: str
    how: Knowledge
    bands: tuple[Interval, ...] = ()
    source: str = ""
    stated: bool = False

    @property
    def rung(self) -> int:
        """Return the rung that this knowledge alone allows."""
        return RUNGS[self.how]

    @property
    def words(self) -> str:
        """Return it in the words of the screen."""
        told = WORDS[self.how]
        return f"{self.what}: {told}" + (f" ({self.source})" if self.source else "")


def document(name: str, revision: str) -> str:
    """Return a document with its revision in one phrase, empty without a name."""
    name, revision = name.strip(), revision.strip()
    return f"{name} rev. {revision}" if name and revision else ""


def light_known(bench: Bench, light: Lamp | Box) -> Known:
    """Return how the light of a lamp or box is known."""
    curve = bench.curves.get(light.curve)
    if curve is None or light.knowledge == "unknown":
        how: Knowledge = "label" if light.bands else "nothing"
        source = document(light.document, light.revision)
        return Known(light.code, how, light.bands, source, bool(light.bands))
    bands = light.bands or peaks(curve)
    if light.knowledge == "measured":
        return Known(light.code, "measured", bands, curve.source, stated=True)
    source = document(light.document, light.revision)
    stated = bool(light.bands or source)
    return Known(light.code, "papers" if source else "guess", bands, source, stated)


def layer_known(bench: Bench, materials: tuple[str, ...]) -> Known:
    """Return how a layer is known: a mix as its worst-known material."""
    found = [material_known(bench.materials[code]) for code in materials]
    if not found:
        return Known("this layer", "nothing")
    return min(found, key=lambda known: (known.rung, known.how != "nothing"))


def material_known(material: Material) -> Known:
    """Return how what a material listens to is known."""
    how: Knowledge
    source = document(material.document, material.revision)
    around = (
        ((material.design_nm - PEAK_NM, material.design_nm + PEAK_NM),)
        if material.design_nm
        else ()
    )
    bands = material.bands or around
    exposures = material.set_j_cm2 > 0 and material.final_j_cm2 > 0
    if not material.initiators or not exposures:
        how = "label" if material.bands else "nothing"
        return Known(material.code, how, material.bands, source, bool(material.bands))
    sourced = bool(material.knowledge == "known" and source)
    how = "papers" if sourced else "guess"
    return Known(material.code, how, bands, source, bool(material.bands) or sourced)


def peaks(curve: Curve) -> tuple[Interval, ...]:
    """Return the bands around a spectrum's maxima."""
    if not curve.values:
        return ()
    least = SHARE_OF_PEAK * max(curve.values)
    padded = (0.0, *curve.values, 0.0)
    rises = tuple(after > before for before, after in pairwise(padded))
    return tuple(
        (nm - PEAK_NM, nm + PEAK_NM)
        for n, (nm, height) in enumerate(zip(curve.nm, curve.values, strict=True))
        if height >= least and rises[n] and not rises[n + 1]
    )


def gap_nm(light: tuple[Interval, ...], layer: tuple[Interval, ...]) -> float | None:
    """Return how far the nearest two bands lie apart, 0 where they meet.

    None where either side states no band.
    """
    gaps = [
        max(0.0, below[0] - above[1], above[0] - below[1])
        for above in light
        for below in layer
    ]
    return min(gaps, default=None)


def within(bands: tuple[Interval, ...], wide: Interval) -> bool:
    """Return whether there are bands and all lie inside another."""
    low, high = wide
    return bool(bands) and all(low <= a and b <= high for a, b in bands)
