"""The light check: what a lamp or a box does to each layer of a part.

From what is known of both (``knowledge``), what was tested here (``tested``) and, where
the numbers have a source, what they compute to (``effect``), to a verdict, the seconds,
the rung it stands on and what would help. The thresholds are limits of the journal.
"""

from __future__ import annotations

import math

from benchassist.clock import HOUR_MS, Instant
from benchassist.domain.knowledge import (
    APART_NM,
    TESTED_HERE,
    WORDS,
    Known,
    gap_nm,
    layer_known,
    light_known,
    within,
)
from benchassist.domain.layer import (
    effect_on,
    judged,
    known_layer,
    layer_light,
    material_of,
)
from benchassist.domain.library import Lamp, Material
from benchassist.domain.limits import limit
from benchassist.domain.outcome import Level
from benchassist.domain.state import Bench
from benchassist.domain.tested import Tests, tests_of
from benchassist.value import replace, value

# How far the seconds of an instruction may be off for another lamp: assumed.
IFU_SPREAD = 4.0
TYPE_IT = "Type what its papers say, with document and revision, or test a coupon."
COUPON = "Test it with a coupon here: about 16 minutes of hands."
SET_B = "Do set B of the coupon: does the skin finish?"
CORRECT = "A coupon passed all the same: correct the wrong entry, with a reason."


@value
class LampAnswer:
    """What one lamp does to one layer.

    ``high_s`` is the exposure it needs at the weak end of its spectrum's band,
    infinite where the light does not act or no seconds are known; ``seconds`` what to
    give a spot (0 on a fail, which must not tempt). ``low_s`` and ``longest_s`` hold
    what is not known well. ``rung`` is how well the pairing is known, 0 to 4, and
    ``known`` how each of the two is; ``badge`` says the rung in two words, ``code``
    names the reason and ``remedy`` what would help.
    """

    lamp: str
    level: Level
    code: str
    reason: str
    seconds: int
    high_s: float
    effective_mw_cm2: float = 0.0
    share: float = 0.0
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
            ("effective_mw_cm2", round(self.effective_mw_cm2, 4)),
            ("seconds", self.seconds),
            ("low_s", finite(self.low_s)),
            ("high_s", finite(self.longest_s)),
            ("rung", self.rung),
        )


def finite(seconds: float) -> float:
    """Return ``seconds`` for a record, which holds no infinity: -1 stands for it."""
    return round(seconds, 1) if math.isfinite(seconds) else -1.0


def judge_lamp(bench: Bench, lamp: str, lot: str, planned_s: float) -> LampAnswer:
    """Return what ``lamp`` does to the layer of ``lot`` for a planned tack."""
    if not lamp:
        return LampAnswer(lamp, "fail", "no-lamp", "No lamp is chosen.", 0, math.inf)
    found, material = bench.lamps.get(lamp), material_of(bench, lot)
    light = light_known(bench, found) if found else Known(lamp, "nothing")
    layer = known_layer(bench, lot)
    rung = min(light.rung, layer.rung)
    tests = tests_of(bench, lamp, lot)
    asked = _Asked(bench, lot, (light, layer), tests, planned_s)
    if found is not None and output_share(bench, lamp) < limit(bench, "lamp_floor"):
        told = f"only {output_share(bench, lamp):.0%} of its baseline"
        return asked.fail("lamp-worn", told, rung)
    if rung == SOURCED and found is not None:
        return _computed(asked, lamp)
    gap = gap_nm(light.bands, layer.bands)
    if gap is not None and gap >= APART_NM and light.stated and layer.stated:
        told = f"its light and what {layer.what} absorbs lie {gap:.0f} nm apart"
        return asked.fail("bands-apart", told, 0, CORRECT if tests.any else "")
    if tests.holds is not None:
        return _tested(asked, tests)
    if tests.ended:
        return asked.fail("coupon-over", tests.ended, 2, COUPON)
    if light.how == "nothing":
        return asked.fail("no-spectrum", "no spectrum on file", 1, TYPE_IT)
    if layer.how == "nothing":
        told = "what this layer absorbs is not on file"
        return asked.fail("no-layer", told, 1, TYPE_IT)
    if gap is None or gap > 0:
        told = "no data: the bands on paper do not meet" if gap else "no data"
        return asked.fail("no-data", told, 1, TYPE_IT)
    return _by_instruction(asked, found, material)


def way_up(known: tuple[Known, ...]) -> str:
    """Return what lifts a pairing from rung 2: a source for a guess, else a coupon."""
    guessed = [each.what for each in known if each.how == "guess"]
    if not guessed:
        return COUPON
    return f"{' and '.join(guessed)}: our guess. {TYPE_IT}"


SOURCED = 4  # the rung of values with document and revision, or measured


@value
class _Asked:
    """One question on a lamp and a layer, with what every answer to it carries."""

    bench: Bench
    lot: str
    known: tuple[Known, Known]
    tests: Tests
    planned_s: float

    @property
    def lamp(self) -> str:
        return self.known[0].what

    def fail(self, code: str, reason: str, rung: int, remedy: str = "") -> LampAnswer:
        badge = BADGES.get(code) or ("known mismatch" if rung == 0 else "")
        return LampAnswer(
            self.lamp,
            "fail",
            code,
            reason,
            0,
            math.inf,
            rung=rung,
            badge=badge,
            remedy=remedy,
            known=self.known,
        )


BADGES = {
    "no-lamp": "no lamp",
    "no-spectrum": "no data",
    "no-layer": "no data",
    "no-data": "no data",
    "seconds-unknown": "seconds unknown",
    "coupon-over": "seconds unknown",
    "contradicted": "a coupon failed",
    "lamp-worn": "worn",
}


def _computed(asked: _Asked, lamp: str) -> LampAnswer:
    """Return what sourced values compute to, and whether a tab says otherwise."""
    bench, layer = asked.bench, layer_light(asked.bench, asked.lot)
    light = bench.lamps[lamp]
    if layer is None:
        told = "what this layer absorbs is not on file"
        return asked.fail("no-layer", told, 1, TYPE_IT)
    declared = light.knowledge == "declared"
    share = output_share(bench, lamp)
    effect = effect_on(bench, light.curve, layer, share, declared=declared)
    found = judged(bench, effect, layer.set_j_cm2, asked.planned_s, declared=declared)
    seconds = whole_s(found.careful_s)
    answer = LampAnswer(
        lamp=lamp,
        level=found.level,
        code=found.code,
        reason=f"{seconds} s a spot",
        seconds=seconds,
        high_s=found.careful_s,
        effective_mw_cm2=effect.match.effective_mw_cm2,
        share=effect.match.effective_share,
        low_s=found.low_s,
        longest_s=found.high_s,
        rung=SOURCED,
        badge=WORDS["papers" if declared else asked.known[0].how],
        known=asked.known,
    )
    if found.level == "fail":
        return replace(
            answer,
            reason="will not set it",
            seconds=0,
            rung=0,
            badge="known mismatch",
            remedy=CORRECT if asked.tests.holds is not None else "",
        )
    against = asked.tests.against
    if against is not None and _against(against.how, against.tack_s, seconds):
        told = against.how or "it failed"
        return asked.fail(
            "contradicted",
            f"computed {seconds} s, but a tab at {against.tack_s:g} s showed: {told}",
            SOURCED,
            "Find out why, and write it down; or correct what is on file.",
        )
    if found.level == "marginal":
        answer = replace(answer, reason=f"{seconds} s, planned {asked.planned_s:.0f} s")
    return answer


def _against(how: str, tried_s: float, seconds: float) -> bool:
    """Return whether a tab that failed says something against these seconds."""
    if how == "not set":
        return tried_s >= seconds or tried_s == 0
    return tried_s <= seconds or not how


def _tested(asked: _Asked, tests: Tests) -> LampAnswer:
    """Return what a coupon that holds allows: t* to the longest time tested."""
    coupon = tests.holds
    assert coupon is not None  # noqa: S101 - the caller asked
    star_s, both = coupon.star_s, bool(coupon.top_s and coupon.finished)
    span = f"{star_s} to {coupon.top_s:.0f} s" if both else f"{star_s} s, no longest"
    return LampAnswer(
        lamp=asked.lamp,
        level="pass" if both else "marginal",
        code="tested" if both else "tested-set",
        reason=f"tested here, {span}",
        seconds=star_s,
        high_s=float(star_s),
        low_s=float(star_s),
        longest_s=float(coupon.top_s) if both else math.inf,
        rung=3,
        badge=TESTED_HERE if both else "tested here, set A only",
        remedy="" if both else SET_B,
        known=asked.known,
    )


def _by_instruction(
    asked: _Asked, lamp: Lamp | None, material: Material | None
) -> LampAnswer:
    """Return what two labels allow: seconds only as the instruction gives them."""
    unknown = "bands meet, but the seconds are unknown"
    remedy = way_up(asked.known)
    refused = asked.fail("seconds-unknown", unknown, 2, remedy)
    hand = material.hand_tack if material else None
    if lamp is None or material is None or hand is None:
        return refused
    document = layer_known(asked.bench, (material.code,)).source
    same_band = within(asked.known[0].bands, (hand.low_nm, hand.high_nm))
    if not document or not same_band or not 0 < hand.mw_cm2 <= lamp.mw_cm2:
        return refused
    seconds = whole_s(hand.seconds)
    tab_s, _ = asked.bench.tabs.get((lamp.code, material.code), (0.0, ""))
    if not 0 < tab_s <= seconds:
        return replace(
            refused,
            reason=f"{document} gives {seconds} s, but no tab of today has set",
            remedy=f"Light one thin tab for {seconds} s and enter that it set.",
        )
    return LampAnswer(
        lamp=lamp.code,
        level="marginal",
        code="by-instruction",
        reason=f"{seconds} s by {document}, one tab set today",
        seconds=seconds,
        high_s=float(seconds),
        low_s=seconds / IFU_SPREAD,
        longest_s=seconds * IFU_SPREAD,
        rung=2,
        badge="from the instructions",
        remedy=COUPON,
        known=asked.known,
    )


def output_share(bench: Bench, lamp: str) -> float:
    """Return today's output of a lamp as a share of its baseline reading."""
    reading = bench.readings.get(lamp)
    baseline = bench.lamps[lamp].baseline_reading
    return reading.value / baseline if reading and baseline else 1.0


def reading_age_h(bench: Bench, lamp: str, now: Instant) -> float:
    """Return the age of a lamp's last reading in hours, infinite without one."""
    reading = bench.readings.get(lamp)
    return now.most_since(reading.at) / HOUR_MS if reading else math.inf


def whole_s(seconds: float) -> int:
    """Return ``seconds`` rounded up to a whole second (0 when infinite)."""
    # A thousandth of a second is noise of the sum, not a reason for one more.
    return math.ceil(round(seconds, 3)) if math.isfinite(seconds) else 0
