"""Faults of machine and clock, at random moments of a rehearsed part and in every stage.

A script is cut off at a line, the fault happens, and the bench is asked what it now says:
no ledger has more than before, and no spot or count more than the rehearsal had seen.
"""

from functools import cache, partial

from benchassist.domain.pedal import meaning
from benchassist.domain.state import InRun, Walking
from benchassist.journal.writing import Journal
from benchassist.rehearsal import load_script
from benchassist.rehearsal.player import Player
from benchassist.rehearsal.script import Line, Script
from tests.faults.at_rest import ledger
from tests.faults.row import SCRIPT, Found, cut_before, injected

FAULTS = {
    "the program killed": ("crash", ("7s",)),
    "the machine started anew": ("reboot", ("6m",)),
    "the power gone": ("power-loss", ("9m",)),
    "the power gone, the clock set back meanwhile": ("power-loss", ("9m", "clock=-3h")),
    "the power gone, the clock set ahead meanwhile": (
        "power-loss",
        ("9m", "clock=+3h"),
    ),
    "the clock set ahead an hour": ("wall-step", ("+3600s",)),
    "the clock set back an hour": ("wall-step", ("-3600s",)),
    "the machine asleep for half an hour": ("suspend", ("30m",)),
    "a stall of a minute": ("suspend", ("60s",)),
}


@cache
def stages():
    """Return the last line of the script at each stage, by the stage's key."""
    script, found = load_script(SCRIPT), {}
    from benchassist.rehearsal.memory import MemoryJournal  # noqa: PLC0415

    def lines():
        for n, line in enumerate(script.lines):
            yield line
            for part in player.session.bench.in_flight:
                found[part.stage.key] = n + 1

    player = Player(
        Script(script.name, script.start, lines(), script.beside), MemoryJournal
    )
    for _ in player.moments():
        pass
    return found


def spots(bench):
    """Return how many spots every layer of every part has."""
    return {
        (part.code, layer): work.spots.count("done")
        for part in bench.parts.values()
        for layer, work in part.work.items()
    }


def broken_off(fault, folder, upto):
    """Rehearse up to a line, let a fault happen; return both benches and a sentence."""
    script = load_script(SCRIPT)
    verb, words = fault
    lines = (*cut_before(script, upto), Line(upto, None, None, verb, words))
    cut = Script(script.name, script.start, lines, script.beside)
    player = Player(cut, lambda: Journal.open(folder))
    before = player.session.bench
    seen = 0

    def watched():
        nonlocal before, seen
        for line in lines:
            before, seen = player.session.bench, seen + 1
            yield line

    player.script = Script(script.name, script.start, watched(), script.beside)
    for _ in player.moments():
        pass
    session = player.session
    line = meaning(session.bench, session.now()).line
    player.close()
    return before, session.bench, line


def once(fault, chance, folder, upto=None):
    """Let a fault happen at a random line, or behind a given one."""
    last = len(load_script(SCRIPT).lines) - 1
    upto = upto or chance.randrange(4, last)
    before, after, line = broken_off(fault, folder / "store", upto)
    more = sum(ledger(after)[key] != had for key, had in ledger(before).items())
    had = spots(before)
    lit = sum(max(0, count - had.get(key, 0)) for key, count in spots(after).items())
    # A spot that ran when the program fell asleep is the only one that may end.
    running = any(isinstance(part.phase, Walking) for part in before.in_flight)
    lost = sum(
        code not in after.parts or after.parts[code].stage != part.stage
        for code, part in before.parts.items()
    )
    for part in after.in_flight:
        if isinstance(part.phase, InRun) and fault[0] in ("reboot", "power-loss"):
            run = after.runs[part.phase.run]
            lost += run.interrupted is None and meaning(after, run.started).line == ""
    return Found("said on the screen", line, lost=lost, credited=more + (lit > running))


def in_every_stage(name, fault, times):
    """Let a fault happen once in every stage of the part, whatever is asked for."""
    del times
    found = iter(stages().values())
    count = len(stages())
    return injected(name, lambda c, f: once(fault, c, f, next(found)), count)


ROWS = {
    **{
        name: partial(injected, name, partial(once, each))
        for name, each in FAULTS.items()
    },
    **{
        f"{name}, in every stage": partial(
            in_every_stage, f"{name}, in every stage", each
        )
        for name, each in FAULTS.items()
        if each[0] == "suspend"
    },
}
