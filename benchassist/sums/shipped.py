"""The tables the program ships, by the names they are asked by."""

from functools import cache

from benchassist import assets
from benchassist.physics.coat_rates import RateSet, rate_sets
from benchassist.physics.tables import Table, parse_table

ABSORBERS = {
    "bapo": "bapo_eps.csv",
    "cq": "cq_eps.csv",
    "ppd": "ppd_eps.csv",
    "tpo": "tpo_eps.csv",
    "tpo-l": "tpo_l_eps.csv",
}


RATES = "rate_sets.csv"


@cache
def rates() -> dict[str, RateSet]:
    """Return the sets of rate constants by name; the first is the nominal one."""
    return rate_sets(table(RATES))


@cache
def table(name: str) -> Table:
    """Return one shipped table; read once."""
    return parse_table(assets.read_text("resources", "data", name))
