"""Whether the brush may be wetted, as far as alcohol and the box go, and until when.

A sum, no search: a brush is shut from one patch before alcohol comes due until it is
taken out, and for as long as a box will be busy past what a tacked coat may wait. The
gates decide; this only says ahead what they will say.
"""

from __future__ import annotations

from typing import Literal

from benchassist.clock import MS, Instant
from benchassist.domain.limits import limit
from benchassist.domain.queue import need
from benchassist.domain.runs import left_ms
from benchassist.domain.stages import STAGES
from benchassist.domain.state import Bench, Soaking
from benchassist.value import value


@value
class BrushWindow:
    """Open or shut for ``left_ms`` (None: nothing in sight ends it), and by what.

    ``part`` and ``why`` name what shuts it now or what will: alcohol or a box's run.
    """

    brush: Literal["open", "shut"]
    left_ms: int | None = None
    part: str = ""
    why: str = ""


def brush_window(bench: Bench, now: Instant, patch_ms: int, box: str) -> BrushWindow:
    """Return until when a patch may be begun for a part of ``box``, or not."""
    spans = sorted((*_alcohol(bench, now, patch_ms), *_runs(bench, now, patch_ms, box)))
    shut = [span for span in spans if span[0] <= 0 < span[1]]
    if shut:
        # Spans that touch are one: the brush opens when the last of them is over.
        until, part, why = max((end, part, why) for _, end, part, why in shut)
        for start, end, code, what in spans:
            if start <= until < end:
                until, part, why = end, code, what
        return BrushWindow("shut", until, part, why)
    for start, _, part, why in spans:
        if start > 0:
            return BrushWindow("open", start, part, why)
    return BrushWindow("open")


Span = tuple[int, int, str, str]  # from, until [ms from now], part, why


def _alcohol(bench: Bench, now: Instant, patch_ms: int) -> list[Span]:
    spans = []
    for part in bench.in_flight:
        kind = STAGES[part.stage.kind]
        if kind.solvent and isinstance(part.phase, Soaking):
            due = need(bench, part, now).due_ms
            # Past due it is shut until a hand takes it out: at once, by the order.
            hands_ms = int(limit(bench, "hands_ready_s") * MS)
            spans.append(
                (due - patch_ms, max(due, 0) + hands_ms, part.code, part.stage.title)
            )
    return spans


def _runs(bench: Bench, now: Instant, patch_ms: int, box: str) -> list[Span]:
    most_ms = int(limit(bench, "late_tacked_s") * MS)
    spans = []
    for run in bench.runs.values():
        if run.box == box:
            over = left_ms(run, bench.boxes[box], now) - patch_ms - most_ms
            if over > 0:
                spans.append((0, over, run.parts[0], f"{box} is busy"))
    return spans
