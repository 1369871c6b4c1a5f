"""The way of the part in front: what is behind, what is at hand, what comes."""

from __future__ import annotations

from collections.abc import Mapping

from benchassist.clock import MS, Instant
from benchassist.domain.route import Stage
from benchassist.domain.stages import STAGES
from benchassist.domain.standing import Standings
from benchassist.domain.state import Closed, Part
from benchassist.domain.words import minutes
from benchassist.ui.present.rows import when
from benchassist.ui.view import Way, WayStop
from benchassist.ui.words import say


def way(at: Standings, slack: Mapping[str, int]) -> Way | None:
    """Return the way of the part in front; nothing where the bench asks itself.

    ``slack`` is by how much each part makes its time, as the appointment page says.
    """
    part = at.bench.focused
    if part is None or at.of_bench or isinstance(part.phase, Closed):
        return None
    behind = tuple(WayStop(_named(each), "done") for each in part.route[: part.at])
    now = WayStop(part.stage.title.lower(), "now")
    ahead = tuple(WayStop(_named(each), "ahead") for each in part.route[part.at + 1 :])
    return Way((*behind, now, *ahead), _ready(part, slack, at.now))


def _named(stage: Stage) -> str:
    """Return a stage's name; drying is a step of its own, and says how long."""
    title = stage.title.lower()
    if STAGES[stage.kind].mode == "dry" and stage.min_s:
        return say("{title}, {span}", title=title, span=minutes(stage.min_s * MS))
    return title


def _ready(part: Part, slack: Mapping[str, int], now: Instant) -> str:
    """Return when it is ready with nobody in the way, where that was promised."""
    if part.due is None or part.code not in slack:
        return ""
    ready = part.due.plus(-slack[part.code])
    return say(
        "ready {ready} for {due}", ready=when(ready, now), due=when(part.due, now)
    )
