"""How much resin a wash bath holds, and how many parts it still washes.

What a part carries in is its class's film times its area; what it carries out is as
much of the bath. Both are estimates, common practice, no source, to within a third:
a hydrometer's reading goes before them.
"""

from __future__ import annotations

from benchassist.domain.limits import limit
from benchassist.domain.state import Bench
from benchassist.physics.wash import concentration_g_l, wt_percent
from benchassist.value import value

RESIN_G_CM3 = 1.1  # uncured print resin, common practice, no source
SOLVENT_G_CM3 = 0.785  # 2-propanol at 25 °C (CRC Handbook; from memory)
DENSITIES = {"solvent_g_cm3": SOLVENT_G_CM3, "resin_g_cm3": RESIN_G_CM3}
BAND = 0.3  # of what is carried in, either way
MOST_AHEAD = 2000  # [parts] nobody plans a bath further
# Area [cm²] and film [µm] that a part of a class carries: common practice, no source.
CARRIED: dict[str, tuple[float, float]] = {
    "crown": (5.0, 100.0),
    "veneer": (2.5, 100.0),
    "bridge": (15.0, 100.0),
    "splint": (80.0, 150.0),
    "denture base": (110.0, 150.0),
    "try-in": (60.0, 150.0),
}
UNKNOWN_CLASS = (80.0, 150.0)  # the careful end of what is usual


@value
class BathLoad:
    """Resin in a bath in per cent by mass: the likely value and its bounds.

    ``left_low`` and ``left_high`` are how many parts of ``item_class`` it still
    washes before the limit; ``measured`` says that a hydrometer set the start.
    """

    percent: float
    low: float
    high: float
    item_class: str
    left_low: int
    left_high: int
    measured: bool


def carried_g(item_class: str) -> float:
    """Return the resin in g that a part of a class brings into its first bath."""
    area_cm2, film_um = CARRIED.get(item_class, UNKNOWN_CLASS)
    return area_cm2 * film_um * 1e-4 * RESIN_G_CM3


def _brought_g(item_class: str, count: int, areas: tuple[float, ...]) -> float:
    """Return what so many parts brought in, those with a print file by their skin."""
    _, film_um = CARRIED.get(item_class, UNKNOWN_CLASS)
    measured = sum(areas) * film_um * 1e-4 * RESIN_G_CM3
    return measured + carried_g(item_class) * (count - len(areas))


def load(bench: Bench, bath: str, item_class: str) -> BathLoad:
    """Return what a bath holds after what it has washed since it was filled.

    ``item_class`` is the class of which the parts left are counted.

    Raises
    ------
    KeyError
        If there is no such bath.
    """
    found = bench.baths[bath]
    start = max(0.0, found.percent)
    washed = sum(
        _brought_g(kind, n, found.areas.get(kind, ()))
        for kind, n in found.washed.items()
    )
    floor, likely, most = (
        _percent(start, washed * share, found.litres)
        for share in (1 - BAND, 1.0, 1 + BAND)
    )
    stop = limit(bench, "bath_percent")
    left_low, left_high = (
        _left(percent, carried_g(item_class) * share, found.litres, stop)
        for percent, share in ((most, 1 + BAND), (floor, 1 - BAND))
    )
    measured = found.percent >= 0.0
    return BathLoad(likely, floor, most, item_class, left_low, left_high, measured)


def from_density(density: float, fresh: float) -> float:
    """Return per cent of resin by mass from two hydrometer readings.

    Volumes are taken to add up, so that the mixture's density says its composition.

    Raises
    ------
    ValueError
        If the bath reads lighter than fresh solvent by more than a hydrometer errs,
        or heavier than resin.
    """
    if not fresh - 0.002 <= density < RESIN_G_CM3:
        msg = (
            f"{density:g} beside {fresh:g} in fresh solvent cannot be: read both again."
        )
        raise ValueError(msg)
    share = max(0.0, density - fresh) / (RESIN_G_CM3 - fresh)  # of the volume
    return 100 * share * RESIN_G_CM3 / density


def _percent(start: float, resin_g: float, litres: float) -> float:
    """Return per cent after so much resin came in; drag-out is left out, carefully."""
    before = concentration_g_l(start, **DENSITIES)
    return wt_percent(before + resin_g / litres, **DENSITIES)


def _left(percent: float, resin_g: float, litres: float, stop: float) -> int:
    if percent > stop:
        return 0
    room_g = (
        concentration_g_l(stop, **DENSITIES) - concentration_g_l(percent, **DENSITIES)
    ) * litres
    return min(MOST_AHEAD, int(room_g / resin_g))
