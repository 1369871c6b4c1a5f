"""The table pages by name: each shows the bench as it is now."""

from __future__ import annotations

from collections.abc import Callable

from benchassist.clock import Instant
from benchassist.domain.state import Bench
from benchassist.ui.present import (
    hands,
    knowing,
    own_bench,
    owned,
    pages,
    plan,
    shelf,
)
from benchassist.ui.view import TableView
from benchassist.value import replace


def _day_table(bench: Bench, now: Instant) -> TableView:
    """Return the day's parts with what the day ahead is played with."""
    # No first paint waits for what a day is played with.
    from benchassist.ui.present import day  # noqa: PLC0415

    options = hands.keyed(day.limit_options())
    table = pages.day(bench, now)
    return replace(table, options=options, note=day.rates(bench, now))


TABLES: dict[str, Callable[[Bench, Instant], TableView]] = {
    "day-table": _day_table,
    "equipment": pages.equipment,
    "shelf-acts": pages.shelf_acts,
    "deviations": hands.deviations,
    "acts": lambda bench, _now: hands.change(bench),
    "people": hands.folk,
    "claims": hands.holdings,
    "plan": plan.page,
    "learning": lambda bench, _now: hands.school(bench),
    "tested": knowing.tested,
    "lots": shelf.lots,
    owned.PAGE: owned.shelves,
    "upkeep": shelf.upkeep,
    "own-bench": own_bench.path,
}
# Their numbers run on while the page is open.
LIVE = frozenset({"people", "plan"})
