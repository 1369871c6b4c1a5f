"""What kinds of stage there are, and what each asks of the bench.

A stage kind says how it runs (``mode``), which gates it must pass to begin, what
the operator is told to do, and which cautions are shown. It decides nothing.
"""

from __future__ import annotations

from typing import Literal

from benchassist.value import value

Mode = Literal[
    "soak", "dry", "hand", "box", "flip", "coat", "submerge", "hold", "checks"
]


@value
class StageKind:
    """One kind of stage.

    ``mode`` decides what the pedal means: a ``soak`` is started and taken out,
    ``dry`` begins by itself, ``hand`` work is finished by a long press, ``box``
    needs a load card, ``coat`` is brushed and walked, the rest is done by hand
    alone. ``harm`` names the limit after which being late hurts the part.

    ``wets`` says that the part leaves it wet, so that drying counts from its end,
    ``solvent`` that the time in it is time in solvent. ``cures`` marks what belongs
    to the cure under cover, ``covered`` what lays the cover on, and ``readies`` work
    that only makes ready for a layer, ``ends`` what comes after every cure.
    """

    name: str
    mode: Mode
    do: str
    gates: tuple[str, ...] = ()
    harm: str = ""
    cautions: tuple[str, ...] = ()
    wets: bool = False
    solvent: bool = False
    cures: bool = False
    covered: bool = False
    readies: bool = False
    ends: bool = False
