"""One stain pass or coat: which spots come next and how long each has light.

A coat is never brushed whole: only what can be tacked inside the wet limit, then
the next segment. Pure sums; the light check gives the seconds.
"""

from __future__ import annotations

from benchassist.clock import MS, Instant
from benchassist.domain.events import CoatState
from benchassist.domain.layer import lot_for
from benchassist.domain.light import LampAnswer, judge_lamp
from benchassist.domain.route import SUBMERGED
from benchassist.domain.segments import spots_per_segment
from benchassist.domain.state import BODY, WET, Bench, Part, Walking
from benchassist.domain.wet import wet_limit_ms
from benchassist.value import value


@value
class Segment:
    """The next segment: spots ``first`` up to, not including, ``last``.

    ``number`` counts from 1; ``total`` is how many the coat takes in all at
    today's seconds per spot.
    """

    number: int
    total: int
    first: int
    last: int
    spot_s: int
    move_s: int
    brush_s: int

    @property
    def wet_s(self) -> int:
        """Return the seconds from the first stroke to the last spot's end."""
        spots = self.last - self.first
        return self.brush_s + spots * (self.spot_s + self.move_s)


def answer_for(bench: Bench, part: Part, lamp: str = "") -> LampAnswer:
    """Return what a lamp (the part's own by default) does to the layer at hand."""
    recipe = bench.recipe_of(part)
    lot = lot_for(part, part.stage.layer)
    return judge_lamp(bench, lamp or part.lamp, lot, recipe.planned_tack_s)


def fits(bench: Bench, part: Part, spot_s: float) -> int:
    """Return how many spots of ``spot_s`` fit the part's wet limit after one brush."""
    recipe = bench.recipe_of(part)
    return spots_per_segment(
        wet_limit_s=wet_limit_ms(bench, part) / MS,
        brush_s=recipe.brush_s,
        spot_s=spot_s,
        move_s=recipe.move_s,
    )


def next_segment(bench: Bench, part: Part, spot_s: int) -> Segment | None:
    """Return the next segment to brush, or None when not one spot fits.

    Also None when every spot of the layer has had its light.
    """
    if spot_s < 1:
        return None  # the light check failed: no number of seconds would do
    recipe = bench.recipe_of(part)
    work = part.work.get(part.stage.layer)
    states = work.spots if work else ("open",) * bench.spots_of(part)
    open_spots = [n for n, state in enumerate(states) if state != "done"]
    fit = fits(bench, part, spot_s)
    if not open_spots or fit < 1:
        return None
    number = (work.segments if work else 0) + 1
    return Segment(
        number=number,
        total=number - 1 + -(-len(open_spots) // fit),
        first=open_spots[0],
        last=min(open_spots[0] + fit, len(states)),
        spot_s=spot_s,
        move_s=recipe.move_s,
        brush_s=recipe.brush_s,
    )


def session_open(bench: Bench, part: Part) -> bool:
    """Return whether eyewear and the part's lamp were confirmed by these hands."""
    found = bench.lamp_session
    mine = found is not None and found.operator == bench.operator
    return found is not None and mine and found.lamp == part.lamp


def coat_state(part: Part) -> CoatState:
    """Return where the newest layer of a part stands."""
    if isinstance(part.phase, WET):
        return "wet"
    newest = part.newest_coat
    if newest == BODY:
        return "none"
    cured = any(
        newest in found.layers and found.half == SUBMERGED and found.high > 0
        for found in part.exposures
    )
    return "cured" if cured else "tacked"


def wet_spots(part: Part) -> tuple[int, ...]:
    """Return the spots that lie brushed and not tacked, none where nothing is wet."""
    phase = part.phase
    if not isinstance(phase, WET):
        return ()
    states = part.work[part.stage.layer].spots
    return tuple(n for n in range(phase.first, phase.last) if states[n] != "done")


def layer_done(part: Part) -> bool:
    """Return whether every spot of the layer at hand has had its light."""
    work = part.work.get(part.stage.layer)
    return work is not None and all(state == "done" for state in work.spots)


def lit_ms(walk: Walking, now: Instant) -> int:
    """Return how long the current spot has had light, between 0 and its whole."""
    return min(max(0, now.since(walk.lit)), walk.light_ms)


def face_of(bench: Bench, part: Part, spot: int) -> tuple[str, int, int]:
    """Return the face a spot lies on, its number there and that face's spots."""
    for face in bench.faces_of(part):
        if spot < face.spots:
            return face.title, spot + 1, face.spots
        spot -= face.spots
    return "", spot + 1, spot + 1
