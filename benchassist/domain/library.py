"""What a practice owns and works by: materials, lots, equipment, recipes.

Plain frozen values, filed by import and kept in the journal. This module knows
nothing of parts in flight, files or physics.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Literal

from benchassist.value import value

Confidence = Literal["measured", "published", "declared", "from memory"]
Quantity = Literal["absorptivity_l_mol_cm", "irradiance_mw_cm2_nm", "transmittance"]
SpectrumKnowledge = Literal["measured", "declared", "unknown"]
InitiatorKnowledge = Literal["known", "design class"]
RecipeStatus = Literal["as IFU", "validated here", "off-IFU, accepted by prescriber"]
MaterialRole = Literal["print", "coat", "stain"]
Interval = tuple[float, float]  # [nm] from, to

# How far a curve on file may be off by how it is known, where nothing says more:
# common practice, no source.
OFF: dict[Confidence, float] = {
    "measured": 0.1,
    "published": 0.2,
    "declared": 0.3,
    "from memory": 0.5,
}


@value
class Curve:
    """A spectrum, content-addressed: ``digest`` is the SHA-256 of its content."""

    digest: str
    quantity: Quantity
    nm: tuple[float, ...]
    values: tuple[float, ...]
    source: str
    confidence: Confidence


@value
class Initiator:
    """One photoinitiator of a layer: its absorption curve and how much of it."""

    name: str
    curve: str
    mol_l: float
    quantum_yield: float


@value
class HandTack:
    """What an instruction for use gives a hand lamp: seconds, band, irradiance."""

    seconds: float
    low_nm: float
    high_nm: float
    mw_cm2: float


@value
class Material:
    """A print resin, coat resin or stain as the practice names it.

    Exposures are effective ones in J/cm²: at ``design_nm``, photon-weighted.
    ``set_j_cm2`` tacks a thin coat, ``final_j_cm2`` is what the submerged half
    has to bring to the layer; 0 where that is not known. ``bands`` are those its
    label states. ``document`` and ``revision`` say where the numbers are from: without
    them they are guesses. ``hand_tack`` and ``box_band`` are what the instruction for
    use says of a hand lamp and of a box.
    """

    code: str
    title: str
    role: MaterialRole
    initiators: tuple[Initiator, ...]
    knowledge: InitiatorKnowledge
    design_nm: float
    set_j_cm2: float
    final_j_cm2: float
    example: bool = False
    bands: tuple[Interval, ...] = ()
    document: str = ""
    revision: str = ""
    hand_tack: HandTack | None = None
    box_band: Interval | None = None


@value
class Lot:
    """A lot of one material; a mix names its parents and their fractions."""

    code: str
    material: str
    expires: str
    parents: tuple[tuple[str, float], ...] = ()


def lineage(lots: Mapping[str, Lot], code: str) -> tuple[str, ...]:
    """Return a lot and all that it was mixed from, each once; only those on file."""
    found: dict[str, None] = {}
    ahead = [code]
    while ahead:
        each = ahead.pop()
        if each in lots and each not in found:
            found[each] = None
            ahead += (parent for parent, _ in lots[each].parents)
    return tuple(found)


@value
class Lamp:
    """A handheld lamp; ``curve`` is its spectrum at the baseline reading.

    ``bands`` and ``mw_cm2`` are what its label states; ``document`` and ``revision``
    where lines that were typed in are from. ``useful_mm`` is the width that it lights
    evenly, ``tip_mm`` its tip, ``source_mm`` how far behind the tip its light seems to
    come from, all as the practice measured them; 0: as the bench's limits say.
    """

    code: str
    title: str
    knowledge: SpectrumKnowledge
    curve: str
    baseline_reading: float
    example: bool = False
    bands: tuple[Interval, ...] = ()
    mw_cm2: float = 0.0
    document: str = ""
    revision: str = ""
    useful_mm: float = 0.0
    tip_mm: float = 0.0
    source_mm: float = 0.0


@value
class CountRule:
    """The counts a box can be set to: multiples of a step, or fixed programs.

    ``step`` and ``max_run`` are in the box's own unit; ``programs`` empty means
    any multiple of the step up to ``max_run`` (0: no maximum).
    """

    step: int = 1
    max_run: int = 0
    programs: tuple[int, ...] = ()


@value
class Box:
    """A curing box. A flash box counts flashes at ``rate_hz``, a steady one seconds.

    ``warm_s`` is how long what comes out of it is treated as hot; ``bands``,
    ``document`` and ``revision`` as for a lamp. ``life`` is how many counts its lamp
    gives by its papers (0: they do not say).
    """

    code: str
    title: str
    unit: Literal["flash", "s"]
    rate_hz: float
    rule: CountRule
    knowledge: SpectrumKnowledge
    curve: str
    chamber_height_mm: float
    start_allowance_s: int = 0
    warm_s: int = 0
    example: bool = False
    bands: tuple[Interval, ...] = ()
    document: str = ""
    revision: str = ""
    life: float = 0.0


@value
class Meter:
    """A meter of the practice's own, and the day to which it is calibrated.

    Readings are compared with its own alone; ``what`` says what it reads.
    """

    code: str
    title: str
    what: str
    calibrated: str = ""
    until: str = ""
    document: str = ""


@value
class Vessel:
    """A vessel for the submerged half, with the transmittance of its wall.

    ``through`` is the share of a light that the practice's own meter still read behind
    the empty wall (0: never read); air inside makes it about 4 % low.
    """

    code: str
    title: str
    curve: str
    height_mm: float
    example: bool = False
    through: float = 0.0


Sourced = Literal["lamp", "box", "material"]
TabSet = Literal["blank", "A", "B", "air", "lot"]
TabOutcome = Literal["yes", "no", "spoilt"]


@value
class Tab:
    """One coupon tab: what it is for, its seconds of light, and what the hand saw.

    ``yes`` is the outcome that lets the test go on: the blank wiped clean, a coat
    held, a skin without drag, the tab cured in air sticky.
    """

    of: TabSet
    seconds: int
    outcome: TabOutcome


MARGIN = 1.25  # on what held; simulated: less passes too few, more spoils the skin


def star(held_s: float) -> int:
    """Return the whole seconds to use after a coat held for ``held_s``."""
    return math.ceil(round(MARGIN * held_s, 6))


@value
class Coupon:
    """What a coupon test showed of a lamp on a material, and under what.

    ``held_s`` is the shortest time at which three of three thin coats set at 5 mm (0:
    none did), ``tried_s`` the longest time tried; ``top_s`` the time whose double
    three of three skins finished after (``finished``), or did not; 0: set B was not
    done. ``void`` says why it shows nothing. ``reading`` is the practice's own meter
    that day (0: none), ``coat_um`` the thickness class.
    """

    id: str
    lamp: str
    material: str
    lot: str
    box: str
    vessel: str
    count: int
    planned_s: int
    held_s: float
    tried_s: float
    top_s: float
    finished: bool
    reading: float
    tip: str
    celsius: float
    coat_um: float
    void: str = ""
    tabs: tuple[Tab, ...] = ()

    @property
    def star_s(self) -> int:
        """Return the seconds to use: a quarter more than held, rounded up."""
        return star(self.held_s)


@value
class BathStep:
    """One wash: the bath's name and the shortest and longest stay in seconds."""

    title: str
    min_s: int
    max_s: int


@value
class SpotFace:
    """A face of the restoration and the tack spots it takes."""

    title: str
    spots: int


@value
class Recipe:
    """Material × item class × instruction-for-use revision.

    ``sides`` is ``("",)`` for one side, or the names of both. ``total`` is the
    count owed per side by the whole post-cure, in ``unit``. ``rule`` overrides
    what the box can be set to when the instruction says so.
    """

    code: str
    revision: int
    title: str
    material: str
    item_class: str
    ifu_revision: str
    status: RecipeStatus
    record_no: str
    washes: tuple[BathStep, ...]
    solvent_max_s: int
    dry_before_box_s: int
    dry_before_coat_s: int
    sides: tuple[str, ...]
    total: int
    unit: Literal["flash", "s"]
    rule: CountRule | None
    dose_max: int
    coat_material: str
    stain_materials: tuple[str, ...]
    coats: int
    stain_passes: int
    faces: tuple[SpotFace, ...]
    planned_tack_s: int
    brush_s: int
    move_s: int
    wet_limit_s: int
    refine: bool
    abrade: bool
    degas_s: int
    purge_s: int
    rinse_s: int
    dry_after_rinse_s: int
    checks: tuple[str, ...]
    example: bool = False

    @property
    def id(self) -> str:
        """Return the pinned name of this revision, such as ``EX-RC-C r2``."""
        return f"{self.code} r{self.revision}"

    @property
    def spots(self) -> int:
        """Return the number of tack spots in one coat."""
        return sum(face.spots for face in self.faces)

    @property
    def usual_variant(self) -> Variant:
        """Return the route as the recipe has it; without coats one whole cure."""
        finish: Literal["coat", "none"] = "coat" if self.coats else "none"
        return Variant(self.stain_passes, self.coats, finish)


@value
class Variant:
    """How this part departs from the recipe's default route.

    ``faces`` names the only faces that are coated again; empty means all.
    """

    stain_passes: int = 0
    coats: int = 2
    finish: Literal["coat", "polish", "none"] = "coat"
    cover: Literal["glycerine", "nitrogen"] = "glycerine"
    hold_between: bool = False
    back_from_mouth: bool = False
    faces: tuple[str, ...] = ()
