"""Three hundred parts in flight: what a press and a look cost grows with them, no more.

Counted in calls of functions, which no busy machine changes.
"""

import sys

import pytest

from benchassist.domain import commands as cm
from benchassist.domain.decide import decide
from benchassist.domain.state import Soaking
from benchassist.ui.present.look import look
from benchassist.value import replace
from tests.domain.builders import desk_at


def crowded(parts):
    desk = desk_at("wash-1")
    base = desk.bench.parts["EX-1"]
    there = {}
    for n in range(parts):
        part = replace(base, code=f"EX-{n}", tray=n + 1, due=desk.now.plus(n * 60_000))
        if n % 3 == 1:
            part = replace(part, phase=Soaking(desk.now.plus(-n * 1000)))
        there[part.code] = part
    return replace(desk.bench, parts=there), desk.now.plus(5000)


def calls(act):
    count = 0

    def seen(_frame, what, _arg):
        nonlocal count
        count += what in ("call", "c_call")

    act()  # what is made once is made
    before = sys.getprofile()
    sys.setprofile(seen)
    try:
        act()
    finally:
        sys.setprofile(before)
    return count


@pytest.mark.parametrize(
    "act",
    [
        lambda bench, now: decide(bench, cm.PressPedal(), now),
        lambda bench, now: decide(bench, cm.Tick(0), now),
        look,
    ],
    ids=["press", "tick", "look"],
)
def test_twice_the_parts_cost_twice_at_most(act):
    few, many = (
        calls(lambda bench=bench, now=now: act(bench, now))
        for bench, now in map(crowded, (150, 300))
    )
    assert many <= 2.1 * few
