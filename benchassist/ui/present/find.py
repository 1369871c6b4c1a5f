"""Which parts on this bench have a lot in them: the first question of a recall."""

from __future__ import annotations

from typing import TYPE_CHECKING

from benchassist.domain.library import lineage
from benchassist.domain.state import Closed
from benchassist.ui.view import TableView
from benchassist.ui.words import say

if TYPE_CHECKING:
    from benchassist.clock import Instant
    from benchassist.domain.state import Bench, Part

NOTE = say("parts of today and in work; for earlier days export them, key X")


def find(bench: Bench, now: Instant) -> TableView:
    """Return each lot with the parts that have it, a mix under its parents too."""
    del now
    rows = []
    for lot in bench.lots.values():
        held = [
            part
            for part in bench.parts.values()
            if any(lot.code in lineage(bench.lots, each) for each in _lots(part))
        ]
        if held:
            trays = sorted({p.tray for p in held if not isinstance(p.phase, Closed)})
            here = ", ".join(map(str, trays)) if trays else "none"
            codes = ", ".join(part.code for part in held)
            rows.append(
                (lot.code, lot.material, codes, say("hold trays {here}", here=here))
            )
    return TableView(
        say("Which parts have this lot?"),
        (say("Lot"), say("Material"), say("Parts"), ""),
        tuple(rows),
        say("No part on this bench has a lot yet. Key N takes parts in."),
        note=NOTE,
    )


def _lots(part: Part) -> tuple[str, ...]:
    """Return every lot that is on a part or chosen for it."""
    brushed = (lot for work in part.work.values() for lot in work.lots)
    found = (part.print_lot, part.coat_lot, part.stain_lot, *brushed)
    return tuple(dict.fromkeys(each for each in found if each))
