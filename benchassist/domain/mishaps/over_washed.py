"""The part was in solvent for too long.

Excess washing took strength, conversion and translucency, and turned surfaces
frosty (J Esthet Restor Dent 2026, abstract read). Twice the longest stay as the end
of what can be judged is common practice, no source.
"""

from __future__ import annotations

from benchassist.clock import MS
from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.mishaps.kind import (
    YES,
    Branch,
    Case,
    Deviates,
    Mishap,
    asks,
    options,
)
from benchassist.domain.stages import STAGES
from benchassist.domain.state import Bench, Part, Soaking
from benchassist.domain.words import clock, listed

FROSTED = options("Did it turn white or frosty?", "no", YES)
TOO_LONG = 2  # times the longest stay; common practice, no source


def when(bench: Bench, part: Part) -> bool:
    """Return whether the part was in solvent."""
    return _washing(part) or part.solvent_ms > 0


def branch(case: Case) -> Branch:
    """Return the way on by how long it was in, and how it looks."""
    part, bench = case.part, case.bench
    phase = part.phase
    spent = part.solvent_ms
    most = bench.recipe_of(part).solvent_max_s * MS
    parts: tuple[str, ...] = (part.code,)
    command = None
    if isinstance(phase, Soaking) and _washing(part):
        spent, most = case.now.most_since(phase.since), part.stage.max_s * MS
        parts = bench.basket_of(part)
        ripe = spent >= part.stage.min_s * MS
        command = cm.TakeOut(part.code) if ripe else None
    frosted = case.said(0) == YES
    told = f"In solvent {clock(spent)}; at most {clock(most)} allowed."
    if spent <= most and not frosted:
        return Branch("Not over its time", (told, "It goes on as it was."))
    hopeless = frosted and spent >= TOO_LONG * most
    text = f"{listed(parts)}: {clock(spent)} in solvent of at most {clock(most)}."
    # Taking it out late opens that deviation by itself.
    known = (command is not None and spent > most) or any(
        found.rule in ("over-wash", "solvent-time")
        for found in bench.open_deviations(part.code)
    )
    frost = f"{text} Frosted." if frosted else text
    return Branch(
        "Over-washed: scrap it?" if hopeless else "Over-washed",
        (
            told,
            "Out now; blow off, dry in full before you judge it.",
            "Look at it dry: edges soft, surface white, fit on the model.",
            "Scrap it and print anew." if hopeless else "Tell the prescriber.",
        ),
        tuple(
            ev.CheckAdded(code, "fit after over-washing", "too long in solvent")
            for code in parts
        ),
        None if known and not frosted else Deviates("over-wash", parts, frost),
        command,
        numbers=(("spent_s", spent / MS), ("most_s", most / MS)),
        scrap=hopeless,
    )


def _washing(part: Part) -> bool:
    return STAGES[part.stage.kind].solvent and isinstance(part.phase, Soaking)


MISHAP = Mishap("over-washed", "Over-washed", when, asks(FROSTED), branch)
