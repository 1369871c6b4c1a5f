"""Eyes and skin: how long an operator may have a lamp on today, and what binds.

Every limit of Directive 2006/25/EC that applies is held against the lamp's own
spectrum; doses of a day add up over the lamps used. A filter counts only over the
wavelengths for which its transmittance is shown. Nothing here is a measurement.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np

from benchassist import assets
from benchassist.clock import MS, Instant
from benchassist.domain.coat import answer_for
from benchassist.domain.events import GlassesShown
from benchassist.domain.layer import lot_for
from benchassist.domain.library import Curve
from benchassist.domain.light import judge_lamp, output_share
from benchassist.domain.limits import limit, limit_of
from benchassist.domain.stages import STAGES
from benchassist.domain.state import Bench, Closed, Part, lamp_day_key
from benchassist.domain.words import clock
from benchassist.physics import eyes
from benchassist.physics.spectra import Curve as Table
from benchassist.physics.spectra import FloatArray, integrate, tabulated
from benchassist.physics.tables import parse_table
from benchassist.ui.words import say
from benchassist.value import value

OUTSIDE = 0.01  # of a lamp's power that may lie outside what a filter shows; a choice
NAMES = {
    "actinic-ultraviolet": say("actinic ultraviolet"),
    "uva-eye": say("UVA on the eye lens"),
    "blue-light": say("blue light on the retina"),
    "blue-light-small-source": say("blue light, small source"),
    "retinal-thermal": say("heat on the retina"),
    "skin-thermal": say("heat on the skin"),
}
EYEWEAR = say("Keep eyewear on.")
INTO_THE_TIP = say("eye, into the tip")
CAUTION = say(
    "An estimate from guideline limits, not a measurement; local law "
    "and a qualified person decide. Never look into the tip."
)


Shown = tuple[float, float, float]  # from nm, to nm, transmittance between


@value
class Held:
    """One limit, at one place, for one lamp: seconds in a day, infinite if none.

    ``filtered_s`` is the same behind the operator's glasses; None without any on file
    or where glasses do not reach.
    """

    place: str
    limit: str
    basis: str
    bare_s: float
    filtered_s: float | None


@value
class Budget:
    """An operator's lamp-on time today and the limit that comes first.

    ``bare_s`` and ``filtered_s`` are what the day's total may come to if it goes on
    with ``lamp``; ``lens`` says how far the glasses are shown for it, ``shown`` whether
    that is over all of its band.
    """

    lamp: str
    lit_s: float
    bare_s: float
    bare_limit: str
    filtered_s: float | None
    filtered_limit: str
    lens: str
    shown: bool


def held(bench: Bench, lamp: str, operator: str) -> tuple[Held, ...]:
    """Return every limit for a lamp as it is today; nothing without a spectrum."""
    found = bench.lamps.get(lamp)
    curve = bench.curves.get(found.curve) if found else None
    if curve is None:
        return ()
    glasses = bench.glasses.get(operator)
    lens = bench.curves.get(glasses.curve) if glasses else None
    return _held(
        curve,
        round(output_share(bench, lamp), 3),
        (glasses.low_nm, glasses.high_nm, glasses.transmittance) if glasses else None,
        lens,
        limit_of(bench, lamp, "tip_mm"),
        limit(bench, "eye_distance_mm"),
        limit(bench, "hand_distance_mm"),
        limit(bench, "part_reflectance"),
        limit_of(bench, lamp, "tip_source_mm"),
    )


@lru_cache(maxsize=64)
def _held(  # noqa: PLR0917 - all that the answer depends on
    curve: Curve,
    output: float,
    shown: Shown | None,
    lens: Curve | None,
    tip_mm: float,
    eye_mm: float,
    hand_mm: float,
    reflectance: float,
    source_mm: float,
) -> tuple[Held, ...]:
    grid_nm = eyes.hazard_grid()
    bare = tabulated(curve, grid_nm) * output
    passed = bare * _transmittance(shown, lens, grid_nm) if shown else None
    actinic = _weight("actinic")

    def eye(light: FloatArray, rho: float | None) -> tuple[eyes.Limit, ...]:
        seen = eyes.scene(
            light,
            tip_mm=tip_mm,
            distance_mm=eye_mm,
            reflectance=rho,
            source_mm=source_mm,
        )
        return eyes.eye_limits(
            seen, actinic_table=actinic, blue_table=_weight("blue_light")
        )

    rows = []
    for place, rho in (
        (say("eye, light off the part"), reflectance),
        (INTO_THE_TIP, None),
    ):
        behind = eye(passed, rho) if passed is not None else None
        rows += [
            _row(place, each, behind[n] if behind else None)
            for n, each in enumerate(eye(bare, rho))
        ]
    hand = eyes.scene(bare, tip_mm=tip_mm, distance_mm=hand_mm, source_mm=source_mm)
    rows += [
        _row(say("hand beside the tip"), each, None)
        for each in eyes.skin_limits(hand, actinic_table=actinic)
    ]
    return tuple(rows)


def _row(place: str, bare: eyes.Limit, filtered: eyes.Limit | None) -> Held:
    return Held(
        place,
        NAMES[bare.name],
        bare.basis,
        bare.permissible_s,
        filtered.permissible_s if filtered else None,
    )


@lru_cache(maxsize=2)
def _weight(name: str) -> Table:
    text = assets.read_text("resources", "data", f"{name}_weight.csv")
    return parse_table(text).curve("wavelength_nm", "weight")


def _transmittance(shown: Shown, lens: Curve | None, grid_nm: FloatArray) -> FloatArray:
    """Return what glasses let through on a grid; all of it where nothing is shown."""
    low_nm, high_nm, most = shown
    inside = tabulated(lens, grid_nm) if lens else np.full(grid_nm.shape, most)
    return np.where((grid_nm >= low_nm) & (grid_nm <= high_nm), inside, 1.0)


def outside_share(bench: Bench, lamp: str, glasses: GlassesShown) -> float:
    """Return the share of a lamp's power where glasses show nothing."""
    grid_nm = eyes.hazard_grid()
    light = tabulated(bench.curves[bench.lamps[lamp].curve], grid_nm)
    shown = (grid_nm >= glasses.low_nm) & (grid_nm <= glasses.high_nm)
    # The band alone: a trapezium across its ends would add half a step.
    inside = integrate(light[shown], grid_nm[shown])
    return 1.0 - inside / integrate(light, grid_nm)


def lens_words(bench: Bench, lamp: str, operator: str) -> tuple[str, bool]:
    """Return how far an operator's glasses are shown for a lamp's own band.

    In words, and whether they are over all of it.
    """
    glasses = bench.glasses.get(operator)
    if glasses is None:
        told = say("What your glasses let through is not on file: nothing is assumed.")
        return told, False
    found = bench.lamps.get(lamp)
    if found is None or found.curve not in bench.curves:
        return say("Without the lamp's spectrum no glasses can be judged."), False
    outside = outside_share(bench, lamp, glasses)
    band = say(
        "{low_nm:g} to {high_nm:g} nm", low_nm=glasses.low_nm, high_nm=glasses.high_nm
    )
    if outside > OUTSIDE:
        told = say(
            "Filter not shown for {lamp}: {outside:.0%} of its power lies "
            "outside {band}, and counts unfiltered.",
            lamp=lamp,
            outside=outside,
            band=band,
        )
        return told, False
    how = say("by its curve") if glasses.curve else f"{glasses.transmittance:.2%}"
    told = say(
        "{title}: {how} over {band}, all of {lamp}.",
        title=glasses.title or say("Glasses"),
        how=how,
        band=band,
        lamp=lamp,
    )
    return told, True


def assumed(bench: Bench, lamp: str) -> tuple[str, ...]:
    """Return where the eye and the hand are taken to be."""
    eye, hand = limit(bench, "eye_distance_mm"), limit(bench, "hand_distance_mm")
    tip = limit_of(bench, lamp, "tip_mm")
    share = limit(bench, "part_reflectance")
    return (
        (
            say(
                "Tip {tip:g} mm, eye {eye:g} mm, hand {hand:g} mm away, part "
                "throws back {share:.0%}: assumed. Doses of the day add up over "
                "all lamps.",
                tip=tip,
                eye=eye,
                hand=hand,
                share=share,
            )
        ),
    )


def budget(bench: Bench, now: Instant, lamp: str) -> Budget:
    """Return an operator's day so far, and what it may come to with ``lamp``."""
    operator = bench.operator
    lit_s = bench.lamp_on_ms.get(lamp_day_key(operator, now.day()), 0) / MS
    bare_s, bare_limit = _left(bench, now, lamp, filtered=False)
    filtered_s: float | None = None
    filtered_limit = ""
    if operator in bench.glasses:
        left, filtered_limit = _left(bench, now, lamp, filtered=True)
        filtered_s = lit_s + left
    lens, shown = lens_words(bench, lamp, operator)
    return Budget(
        lamp=lamp,
        lit_s=lit_s,
        bare_s=lit_s + bare_s,
        bare_limit=bare_limit,
        filtered_s=filtered_s,
        filtered_limit=filtered_limit,
        lens=lens,
        shown=shown,
    )


def _left(
    bench: Bench, now: Instant, lamp: str, *, filtered: bool
) -> tuple[float, str]:
    """Return the seconds left today with a lamp, and the limit that ends them."""
    used: dict[tuple[str, str], float] = {}
    for other in bench.lamps:
        key = lamp_day_key(bench.operator, now.day(), other)
        lit_s = bench.lamp_on_by_lamp_ms.get(key, 0) / MS
        if not lit_s:
            continue
        for row in _day(held(bench, other, bench.operator)):
            limit_s = _seconds(row, filtered=filtered)
            place = row.place, row.limit
            used[place] = used.get(place, 0.0) + lit_s / limit_s
    best, which = math.inf, ""
    for row in _day(held(bench, lamp, bench.operator)):
        share = used.get((row.place, row.limit), 0.0)
        left = (1.0 - share) * _seconds(row, filtered=filtered)
        # A limit already passed by another lamp stays passed, however weak this one.
        left = left if math.isfinite(left) or share < 1.0 else 0.0
        if left < best:
            best, which = left, f"{row.limit}, {row.place}"
    return best, which


def _day(rows: tuple[Held, ...]) -> tuple[Held, ...]:
    """Return the limits of a day in which nobody looks into the tip."""
    return tuple(
        row for row in rows if row.basis == "8 h day" and row.place != INTO_THE_TIP
    )


def _seconds(row: Held, *, filtered: bool) -> float:
    if filtered and row.filtered_s is not None:
        return row.filtered_s
    return row.bare_s


# --- words ---------------------------------------------------------------------


def status_line(bench: Bench, now: Instant, lamp: str) -> tuple[str, bool]:
    """Return the status bar's words: eyewear, light so far, and a limit if it is near.

    And whether it is passed. A share of a limit would read as permission: it speaks
    when the next part would pass the limit, or it is passed.
    """
    lit_s = bench.lamp_on_ms.get(lamp_day_key(bench.operator, now.day()), 0) / MS
    so_far = say(
        "{eyewear} Lamp {clock} today", eyewear=EYEWEAR, clock=clock(lit_s * MS)
    )
    if not held(bench, lamp, bench.operator):
        return say("{so_far}, no spectrum on file.", so_far=so_far), False
    left_s, _ = _left(bench, now, lamp, filtered=False)
    if left_s <= 0:
        return say("{so_far}: PAST the unfiltered eye limit.", so_far=so_far), True
    part = _next_coated(bench)
    if part is not None and _ahead_s(bench, part) > left_s:
        told = say(
            "{so_far}; {code} would pass the unfiltered eye limit.",
            so_far=so_far,
            code=part.code,
        )
        return told, False
    return f"{so_far}.", False


def _next_coated(bench: Bench) -> Part | None:
    """Return the part at hand, or the first in flight, that has spots ahead."""
    parts = [bench.focused, *bench.in_flight]
    return next((p for p in parts if p is not None and _spots_ahead(bench, p)), None)


def _ahead_s(bench: Bench, part: Part) -> float:
    """Return the lamp-on time ahead of a part, 0 where its lamp is judged amiss."""
    layers = [
        stage.layer
        for stage in part.route[part.at :]
        if stage.layer and STAGES[stage.kind].mode == "coat"
    ]
    if not layers:
        return 0.0
    planned_s = bench.recipe_of(part).planned_tack_s
    lot = lot_for(part, layers[0])
    answer = judge_lamp(bench, part.lamp, lot, planned_s)
    return answer.seconds * _spots_ahead(bench, part)


def notice(bench: Bench, part: Part, now: Instant) -> str:
    """Return a sentence where this part's light will pass a limit of the day.

    Said before a coat is begun, and never a gate: glasses and law decide.
    """
    if isinstance(part.phase, Closed) or STAGES[part.stage.kind].mode != "coat":
        return ""
    answer = answer_for(bench, part)
    ahead_s = _ahead_s(bench, part)
    if not ahead_s:
        return ""
    found = budget(bench, now, part.lamp)
    allowed_s = found.bare_s
    if found.shown and found.filtered_s is not None:
        allowed_s = found.filtered_s
    if found.lit_s + ahead_s <= allowed_s:
        return ""
    spot = max(0, math.floor((allowed_s - found.lit_s) / answer.seconds)) + 1
    which = (
        say("limit behind your glasses") if found.shown else say("unfiltered eye limit")
    )
    return say(
        "{clock} of light ahead: past the {which} at spot {spot}",
        clock=clock(ahead_s * MS),
        which=which,
        spot=spot,
    )


def _spots_ahead(bench: Bench, part: Part) -> int:
    """Return the spots still to be lit in this and all later layers of a part."""
    spots = bench.spots_of(part)
    ahead = 0
    for stage in part.route[part.at :]:
        if stage.layer and STAGES[stage.kind].mode == "coat":
            work = part.work.get(stage.layer)
            ahead += spots - (work.spots.count("done") if work else 0)
    return ahead
