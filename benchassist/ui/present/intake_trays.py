"""Baskets and trays of an intake: who goes together, and which tray a basket gets."""

from __future__ import annotations

from benchassist.domain.state import Bench
from benchassist.domain.trays import first_free, lies_in
from benchassist.ui.present.intake_draft import IntakeDraft
from benchassist.value import replace

TOGETHER = ("one basket", "each alone", "by hand")


def placed(bench: Bench, draft: IntakeDraft, together: str) -> IntakeDraft:
    """Return the draft with its parts in one basket, or each alone."""
    alone = together == "each alone"
    baskets = tuple(range(draft.count)) if alone else (0,) * draft.count
    return _with_trays(bench, replace(draft, together=together, baskets=baskets))


def moved(bench: Bench, draft: IntakeDraft, part: int, by: int) -> IntakeDraft:
    """Carry a part to the next basket, a new one behind the last included."""
    baskets = list(draft.baskets)
    most = min(max(baskets) + 1, draft.count - 1)
    baskets[part] = (baskets[part] + by) % (most + 1)
    kept = sorted(set(baskets))
    tight = tuple(kept.index(each) for each in baskets)
    return _with_trays(bench, replace(draft, together="by hand", baskets=tight))


def _with_trays(bench: Bench, draft: IntakeDraft) -> IntakeDraft:
    """Give each basket a tray: the one it had, or the first that is free."""
    trays: list[int] = []
    for n in range(max(draft.baskets, default=-1) + 1):
        had = draft.trays[n] if n < len(draft.trays) else 0
        if not had or had in trays or lies_in(bench, had):
            had = _free(bench, trays)
        trays.append(had)
    return replace(draft, trays=tuple(trays))


def _free(bench: Bench, but: list[int], above: int = 0) -> int:
    taken = {part.tray for part in bench.in_flight} | set(but)
    top = first_free(bench) + len(taken) + above + 1
    return next(n for n in range(above + 1, top + 1) if n not in taken)


def other_tray(bench: Bench, draft: IntakeDraft, basket: int, by: int) -> IntakeDraft:
    """Return the draft with a basket in the next tray that is free."""
    trays = list(draft.trays)
    others = [tray for n, tray in enumerate(trays) if n != basket]
    taken = {part.tray for part in bench.in_flight} | set(others)
    most = max(12, len(taken) + 1)
    free = tuple(n for n in range(1, most + 1) if n not in taken)
    at = free.index(trays[basket]) if trays[basket] in free else 0
    trays[basket] = free[(at + by) % len(free)]
    return replace(draft, trays=tuple(trays))
