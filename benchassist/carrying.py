"""What a new store takes over from a damaged one, beside its shelf.

What was known of lamps, coupons, baths, bottles, glycerine and routine checks, and the
codes that are used up. Everything is as the chain last vouches for it, but the codes:
a code that any readable entry or the index says is used is not given out again.
"""

from __future__ import annotations

from contextlib import suppress

from benchassist.clock import Instant, Now
from benchassist.domain import events as ev
from benchassist.domain.dark import boots_at
from benchassist.domain.kept import Bottle
from benchassist.domain.state import Bench
from benchassist.journal.errors import JournalError
from benchassist.journal.reading import Reader
from benchassist.value import replace

CLOSING = ("PartReleased", "PartScrapped", "CarriedForward")


def carried_forward(
    journal: Reader | None, bench: Bench, at: Instant, seq: int, hashed: str
) -> ev.CarriedForward:
    """Return what is carried forward from an old store into a new one.

    Parameters
    ----------
    journal
        The old store's; ``None`` where nothing of it can be read.
    bench
        The old bench after its last proven entry.
    at
        The present moment, on the new store's clock.
    seq, hashed
        The old store's last proven entry, and its hash (hex).
    """
    beat = journal.last_beat() if journal else None
    aged = _Aged(at, bench, beat)
    store = bench.store
    parts = [each for each in bench.parts.values() if each.photos]
    return ev.CarriedForward(
        store=store.store_id if store else "",
        seq=seq,
        hash=hashed,
        readings=tuple(
            (lamp, each.value, aged(each.at)) for lamp, each in bench.readings.items()
        ),
        tested=tuple(
            (each.coupon, each.day, each.until)
            for tests in bench.tested.values()
            for each in tests
            if not each.ended and each.until >= at.day()
        ),
        coupons_begun=bench.coupons_begun,
        tabs=tuple((*pair, *tab) for pair, tab in bench.tabs.items()),
        trials=tuple(each for found in bench.trials.values() for each in found),
        against=tuple(bench.against.values()),
        working_curves=tuple(
            (each.lamp, each.material, each.points, each.numbers)
            for each in bench.working_curves.values()
        ),
        glasses=tuple(bench.glasses.values()),
        smears=tuple(bench.smears.values()),
        fills=tuple(
            (vessel, f.lot, f.immersions, aged(f.at), f.spoilt, f.percent)
            for vessel, f in bench.fills.items()
        ),
        baths=tuple(
            (code, bath.litres, bath.lot, aged(bath.filled), bath.percent, washed)
            for code, bath in bench.baths.items()
            for washed in (tuple(bath.washed.items()),)
        ),
        bottles=tuple(
            (lot, _bottle(each, aged)) for lot, each in bench.bottles.items()
        ),
        keeping=tuple(bench.keeping.items()),
        meters=tuple(bench.meters.values()),
        boxes_kept=tuple(
            (box, replace(each, read=each.read and aged(each.read)))
            for box, each in bench.boxes_kept.items()
        ),
        filed=tuple((*key, each) for key, each in bench.filed.items()),
        retired=tuple((*key, day) for key, day in bench.retired.items()),
        routines=tuple(
            (code, thing, replace(looked, at=aged(looked.at)))
            for code, of_it in bench.routines.items()
            for thing, looked in of_it.items()
        ),
        closed_lots=tuple(bench.closed_lots.items()),
        code_shapes=tuple(bench.code_shapes.items()),
        levels=tuple(bench.levels.items()),
        accepted=tuple(
            (*key, each.until, each.numbers)
            for key, each in bench.accepted_things.items()
        ),
        validated=tuple(
            (code, each.value, each.until, each.record)
            for code, each in bench.validated.items()
        ),
        lamp_on=tuple(
            (*key, ms)
            for key, ms in (
                *bench.lamp_on_ms.items(),
                *bench.lamp_on_by_lamp_ms.items(),
            )
        ),
        closed=tuple(sorted(_closed(journal).items())) if journal else (),
        vessel_sizes=tuple(bench.vessel_sizes.items()),
        box_plans=tuple(bench.box_plans.items()),
        photos=tuple(
            (bench.photos_before | {each.code: each.photos for each in parts}).items()
        ),
    )


class _Aged:
    """Moments of the old store on the new one's clock, as long ago as they can be."""

    def __init__(self, at: Instant, bench: Bench, beat: Instant | None) -> None:
        self._at = at
        self._now = Now.at(at, boots_at(bench.boots, bench.latest, at, beat))

    def __call__(self, moment: Instant) -> Instant:
        return self._at.plus(-max(0, self._now.most_since(moment)))


def _bottle(bottle: Bottle, aged: _Aged) -> Bottle:
    return Bottle(
        *(
            None if moment is None else aged(moment)
            for moment in (bottle.opened, bottle.decanted, bottle.stirred)
        )
    )


def _closed(journal: Reader) -> dict[str, str]:
    """Return the codes of closed parts with their days, from whatever can be read."""
    found: dict[str, str] = {}
    with suppress(JournalError):
        found |= {
            row.part: row.closed_day for row in journal.part_rows() if row.closed_day
        }
    with suppress(JournalError):
        for seq in journal.seqs_of_kinds(CLOSING):
            for entry in journal.readable(seq - 1, seq):
                match entry.event:
                    case ev.CarriedForward(closed=closed):
                        found = dict(closed) | found
                    case ev.PartReleased(part=part) | ev.PartScrapped(part=part):
                        found.setdefault(part, entry.at.day())
                    case _:
                        pass
    return found
