"""The light check of a box on a layer, through the wall of a vessel."""

from __future__ import annotations

import math
from itertools import pairwise

from benchassist.domain.effect import Filed, beyond, passes
from benchassist.domain.knowledge import (
    APART_NM,
    TESTED_HERE,
    WORDS,
    Known,
    gap_nm,
    light_known,
    within,
)
from benchassist.domain.layer import (
    effect_on,
    judged,
    known_layer,
    layer_light,
    listens,
    material_of,
)
from benchassist.domain.library import Box, Curve, Interval
from benchassist.domain.light import (
    BADGES,
    COUPON,
    SOURCED,
    TYPE_IT,
    finite,
    way_up,
)
from benchassist.domain.limits import limit
from benchassist.domain.outcome import Level
from benchassist.domain.route import SUBMERGED
from benchassist.domain.state import Bench, Part
from benchassist.domain.tested import tests_of
from benchassist.value import replace, value

METER = "Read the box through the empty vessel with your own meter, or test a coupon."


@value
class BoxAnswer:
    """What one box does to one layer through the wall of a vessel.

    ``needed_s`` brings the layer its final exposure; it is compared with how long the
    planned count takes. The rest as for a lamp.
    """

    level: Level
    code: str
    reason: str
    through: float = 1.0
    needed_s: float = math.inf
    low_s: float = math.inf
    longest_s: float = math.inf
    rung: int = 1
    badge: str = ""
    remedy: str = ""
    known: tuple[Known, ...] = ()

    @property
    def numbers(self) -> tuple[tuple[str, float], ...]:
        """Return what a record keeps of it; -1 for what has no end."""
        return (
            ("through", round(self.through, 3)),
            ("needed_s", finite(self.needed_s)),
            ("low_s", finite(self.low_s)),
            ("high_s", finite(self.longest_s)),
            ("rung", self.rung),
        )


def judge_box(bench: Bench, part: Part, lot: str, planned_count: int) -> BoxAnswer:
    """Return what the part's box and vessel do to the layer of ``lot``."""
    box = bench.boxes.get(part.box)
    if box is None:
        told = "no curing box is chosen for this part"
        return BoxAnswer("fail", "no-box", told, 0.0)
    known = (light_known(bench, box), known_layer(bench, lot))
    through, wall = _through(bench, part, box, lot)
    asked = _Asked(bench, part, lot, planned_count, box, known, through, wall)
    if through < limit(bench, "transmittance_floor"):
        told = _wall_words(bench, part, box, lot, through)
        return asked.fail("wall", told, 0)
    if min(each.rung for each in known) == SOURCED:
        return _computed(asked)
    return _apart(asked) or _tested(asked) or _on_paper(asked)


@value
class _Asked:
    """One question on a box, a vessel and a layer, with what every answer carries."""

    bench: Bench
    part: Part
    lot: str
    planned_count: int
    box: Box
    known: tuple[Known, Known]
    through: float
    wall_known: bool

    @property
    def planned_s(self) -> float:
        return self.planned_count / self.box.rate_hz

    @property
    def apart_nm(self) -> float | None:
        return gap_nm(self.known[0].bands, self.known[1].bands)

    def answer(self, level: Level, code: str, reason: str, rung: int) -> BoxAnswer:
        return BoxAnswer(level, code, reason, self.through, rung=rung, known=self.known)

    def fail(self, code: str, reason: str, rung: int, remedy: str = "") -> BoxAnswer:
        badge = BADGES.get(code) or (MISMATCH if rung == 0 else "")
        found = self.answer("fail", code, reason, rung)
        return replace(found, badge=badge, remedy=remedy)


def _computed(asked: _Asked) -> BoxAnswer:
    """Return what sourced values compute to."""
    bench, part, box = asked.bench, asked.part, asked.box
    layer = layer_light(bench, asked.lot)
    if layer is None:
        told = f"what {asked.lot or 'this layer'} absorbs is not on file"
        return asked.fail("no-layer", told, 1, TYPE_IT)
    declared = box.knowledge == "declared"
    effect = effect_on(bench, box.curve, layer, asked.through, declared=declared)
    found = judged(bench, effect, layer.final_j_cm2, asked.planned_s, declared=declared)
    needed = found.careful_s
    level, rung = found.level, SOURCED
    badge, remedy = WORDS["papers" if declared else asked.known[0].how], ""
    told = f"{needed:.0f} s of light finish {layer.title}"
    if level == "fail":
        told, rung, badge = f"{box.code} will not finish {layer.title}", 0, MISMATCH
    elif level == "pass" and not asked.wall_known:
        told = f"the wall of {part.vessel or 'the vessel'} was never measured"
        level, rung, badge, remedy = "marginal", 2, "wall unknown", METER
        if asked.through < 1:
            told = f"{told}; your own meter read {asked.through:.0%} through it, empty"
    return replace(
        asked.answer(level, found.code, told, rung),
        needed_s=needed,
        low_s=found.low_s,
        longest_s=found.high_s,
        badge=badge,
        remedy=remedy,
    )


def apart(light: Known, layer: Known) -> str:
    """Return how far stated bands lie apart where they do not meet, else nothing."""
    gap = gap_nm(light.bands, layer.bands)
    if gap is None or gap < APART_NM or not (light.stated and layer.stated):
        return ""
    return f"{light.what} and what {layer.what} absorbs lie {gap:.0f} nm apart"


def _apart(asked: _Asked) -> BoxAnswer | None:
    told = apart(*asked.known)
    return asked.fail("bands-apart", told, 0) if told else None


def _tested(asked: _Asked) -> BoxAnswer | None:
    """Return what a coupon with set B shows: this box, this vessel, its count."""
    part = asked.part
    tests = tests_of(asked.bench, part.lamp, asked.lot)
    here = (part.box, part.vessel)
    fit = [
        each
        for each in tests.holding
        if each.top_s
        and (each.box, each.vessel) == here
        and each.count <= asked.planned_count
    ]
    if not fit:
        return None
    coupon = fit[0]
    needed_s = coupon.count / asked.box.rate_hz
    told = f"tested here, the surface only, from {coupon.count} on"
    return replace(
        asked.answer("pass", "tested", told, 3),
        needed_s=needed_s,
        low_s=needed_s,
        badge=TESTED_HERE,
    )


def _on_paper(asked: _Asked) -> BoxAnswer:
    """Return what labels allow: at most band and count of the instruction."""
    light, layer = asked.known
    code, gap = asked.box.code, asked.apart_nm
    if light.how == "nothing":
        return asked.fail("no-spectrum", f"{code} has no spectrum on file", 1, TYPE_IT)
    if layer.how == "nothing":
        told = f"what {asked.lot or 'this layer'} absorbs is not on file"
        return asked.fail("no-layer", told, 1, TYPE_IT)
    if gap is None or gap > 0:
        told = f"no data on {code} and this layer"
        return asked.fail("no-data", told, 1, TYPE_IT)
    material = material_of(asked.bench, asked.lot)
    source = layer.source
    band = material.box_band if material else None
    if band is None or not source or not within(light.bands, band):
        told = f"how long {code} has to act on this layer is unknown"
        return asked.fail("seconds-unknown", told, 2, way_up(asked.known))
    return _by_band(asked, source)


def _by_band(asked: _Asked, source: str) -> BoxAnswer:
    """Return what the instruction's band and count allow: at most marginal."""
    owed, through = _owed(asked.bench, asked.part), asked.through
    count = math.ceil(round(owed / through, 6))
    told = f"band and count of {source}; the wall was never measured"
    if through < 1:
        told = f"band of {source}; {count} instead of {owed} through this wall"
    return replace(
        asked.answer("marginal", "by-instruction", told, 2),
        needed_s=count / asked.box.rate_hz,
        badge="from the instructions",
        remedy=COUPON if through < 1 else METER,
    )


MISMATCH = "known mismatch"


def _owed(bench: Bench, part: Part) -> int:
    """Return what the submerged half owes one side by the recipe."""
    planned = [stage.plan for stage in part.route if stage.half == SUBMERGED]
    return max(planned, default=bench.recipes[part.recipe].total // 2)


def _through(bench: Bench, part: Part, box: Box, lot: str) -> tuple[float, bool]:
    """Return what a wall lets through, and whether its curve is on file.

    Where only the practice's own meter read the box behind the empty vessel, that
    share counts; air inside makes it some 4 % low.
    """
    if part.variant.cover == "nitrogen" or part.variant.finish == "none":
        return 1.0, True
    vessel = bench.vessels.get(part.vessel)
    if vessel is None:
        return 1.0, False
    wall = bench.curves.get(vessel.curve)
    if wall is None:
        return (vessel.through or 1.0), False
    layer, light = layer_light(bench, lot), bench.curves.get(box.curve)
    if layer is None or light is None:
        return _at(wall, box.bands), bool(box.bands)
    return passes(Filed(light), Filed(wall), listens(bench, layer)), True


MOSTLY = 0.5  # share of a box's effect from which the wall's curve is to blame


def _wall_words(bench: Bench, part: Part, box: Box, lot: str, through: float) -> str:
    """Return why a wall fails: what it holds back, or a curve that ends too soon."""
    vessel = bench.vessels.get(part.vessel)
    wall = bench.curves.get(vessel.curve) if vessel else None
    light, layer = bench.curves.get(box.curve), layer_light(bench, lot)
    if wall is not None and light is not None and layer is not None:
        share = beyond(Filed(light), Filed(wall), listens(bench, layer))
        if share > MOSTLY:
            return (
                f"the curve of {part.vessel} goes from {wall.nm[0]:g} to "
                f"{wall.nm[-1]:g} nm and says nothing of {share:.0%} of what "
                f"{box.code} does: measure the wall there"
            )
    return f"{part.vessel} lets only {through:.0%} of the useful light through"


def _at(wall: Curve, bands: tuple[Interval, ...]) -> float:
    """Return the least that a wall lets through at the middle of stated bands."""
    found = [_between(wall, (low + high) / 2) for low, high in bands]
    return min(found, default=1.0)


def _between(curve: Curve, nm: float) -> float:
    for (below, low), (above, high) in pairwise(
        zip(curve.nm, curve.values, strict=True)
    ):
        if below <= nm <= above:
            return low + (high - low) * (nm - below) / (above - below)
    return 0.0
