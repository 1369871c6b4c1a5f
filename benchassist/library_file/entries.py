"""What may stand in a library file: one model per kind of entry.

Names carry their units, numbers are finite, unknown fields are refused. The JSON
Schema that people check their files against is made from these models. Nothing
here opens a file or knows a bench.
"""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal, Self, TypeAlias

from pydantic import BeforeValidator, Field, model_validator

from benchassist.domain.coupon import least_top_s
from benchassist.domain.knowledge import PEAK_NM
from benchassist.domain.library import (
    InitiatorKnowledge,
    MaterialRole,
    RecipeStatus,
    star,
)
from benchassist.library_file.base import (
    AbsorptivityEntry,
    Code,
    Entry,
    Height,
    Positive,
    SpectrumEntry,
    Text,
    WallEntry,
    broken,
)

EXAMPLE_PREFIX = "EX-"
FORMAT: Literal[1] = (
    1  # raised when a field changes its meaning, never when one is added
)

Count: TypeAlias = Annotated[int, Field(ge=0)]
Seconds: TypeAlias = Annotated[int, Field(ge=0)]


def _as_day(given: object) -> object:
    """Take a day as JSON has to write it, ``YYYY-MM-DD``, too."""
    if not isinstance(given, str):
        return given
    try:
        return date.fromisoformat(given)
    except ValueError as error:
        raise ValueError("a day as YYYY-MM-DD") from error


Day: TypeAlias = Annotated[date, BeforeValidator(_as_day)]


class ExampleEntry(Entry):
    """An entry that may be marked as an example; example codes must be."""

    code: Code
    title: Text
    example: bool = Field(
        default=False, description="True keeps it out of a practice's own journal."
    )

    @model_validator(mode="after")
    def _marked(self) -> Self:
        if self.code.startswith(EXAMPLE_PREFIX) and not self.example:
            raise broken(
                "example",
                f"example = true for a code that begins with {EXAMPLE_PREFIX}",
                self.example,
            )
        return self


class InitiatorEntry(Entry):
    """One photoinitiator: by ``id`` from the shipped data, or by its own curve."""

    id: str | None = None
    name: Text | None = None
    absorptivity: AbsorptivityEntry | None = None
    mol_l: Positive
    quantum_yield: Annotated[float, Field(gt=0, le=2)] = Field(
        description="Cleavages per absorbed photon. The light check needs only its"
        " ratio between initiators of one layer; the coat model needs the value."
    )

    @model_validator(mode="after")
    def _one_way(self) -> Self:
        if (self.id is None) == (self.absorptivity is None):
            raise broken("id", "either an id or an absorptivity curve", self.id)
        if self.absorptivity is not None and self.name is None:
            raise broken("name", "a name for the initiator of this curve", None)
        return self


NM: TypeAlias = Annotated[float, Field(ge=300, le=600)]
BandEntry: TypeAlias = Annotated[
    tuple[NM, NM], Field(strict=False, description="[from, to] in nm")
]


class Sourced(ExampleEntry):
    """What is known by its label, or by papers with document and revision.

    A number without a document and its revision counts as a guess.
    """

    bands: list[BandEntry] = Field(
        default_factory=list, description="The bands that the label states."
    )
    peaks_nm: list[NM] = Field(
        default_factory=list,
        description="Peaks on the label, each taken as a band of 15 nm to each side.",
    )
    document: str = ""
    revision: str = ""

    @model_validator(mode="after")
    def _whole(self) -> Self:
        if bool(self.document.strip()) != bool(self.revision.strip()):
            raise broken(
                "revision", "a document and its revision, or neither", self.revision
            )
        for n, (low, high) in enumerate(self.bands):
            if low >= high:
                place = f"bands[{n}]"
                raise broken(place, "a band from low to high", [low, high])
        return self

    @property
    def stated(self) -> tuple[tuple[float, float], ...]:
        """Return the bands, those around peaks among them."""
        around = tuple((nm - PEAK_NM, nm + PEAK_NM) for nm in self.peaks_nm)
        return (*self.bands, *around)


class HandTackEntry(Entry):
    """What the instruction for use gives a hand lamp of a band and an irradiance."""

    seconds: Positive
    band: BandEntry
    mw_cm2: Height


class MaterialEntry(Sourced):
    """A print resin, coat resin or stain and the light it needs.

    By its label alone it has bands and no initiators; then design wavelength and
    exposures may be left out.
    """

    role: MaterialRole
    knowledge: InitiatorKnowledge = "known"
    design_nm: NM | None = None
    set_j_cm2: Positive | None = Field(
        default=None, description="Effective exposure that tacks a coat."
    )
    final_j_cm2: Positive | None = Field(
        default=None,
        description="Effective exposure the second half has to bring to the layer.",
    )
    initiators: list[InitiatorEntry] = Field(default_factory=list)
    hand_tack: HandTackEntry | None = None
    box_band: BandEntry | None = Field(
        default=None, description="The band of box that the instruction names."
    )

    @model_validator(mode="after")
    def _computable(self) -> Self:
        for name in ("design_nm", "set_j_cm2", "final_j_cm2"):
            if self.initiators and getattr(self, name) is None:
                raise broken(name, "a number beside the initiators", None)
        return self


class ParentEntry(Entry):
    """A lot that went into a mix, and its share."""

    lot: Code
    fraction: Annotated[float, Field(gt=0, lt=1)]


class LotEntry(Entry):
    """A lot of one material; a mix names its parents."""

    code: Code
    material: Code
    expires: Day | None = None
    parents: list[ParentEntry] = Field(default_factory=list)

    @model_validator(mode="after")
    def _sums_up(self) -> Self:
        total = sum(parent.fraction for parent in self.parents)
        if self.parents and abs(total - 1) > 1e-6:  # noqa: PLR2004 - rounding
            raise broken("parents", "fractions that add up to 1", round(total, 6))
        return self


LineEntry: TypeAlias = Annotated[
    tuple[Positive, Annotated[float, Field(ge=300, le=600)], Positive],
    Field(strict=False, description="[mW/cm², centre in nm, full width in nm]"),
]


class LightEntry(Sourced):
    """What lamps and boxes have alike: a spectrum, lines from the papers, a label."""

    spectrum: SpectrumEntry | None = None
    lines: list[LineEntry] = Field(default_factory=list)

    @model_validator(mode="after")
    def _one_light(self) -> Self:
        if self.spectrum is not None and self.lines:
            raise broken(
                "lines", "either a spectrum or lines, not both", len(self.lines)
            )
        return self


class LampEntry(LightEntry):
    """A handheld lamp; without spectrum and lines its light is unknown."""

    baseline_reading: Height
    mw_cm2: Height = Field(default=0, description="What the label states; 0: nothing.")
    useful_mm: Height = 0
    tip_mm: Height = 0
    source_mm: Height = 0


class CountRuleEntry(Entry):
    """The counts a box can be set to, in its own unit."""

    step: Annotated[int, Field(ge=1)] = 1
    max_run: Count = 0
    programs: list[Annotated[int, Field(ge=1)]] = Field(default_factory=list)


class BoxEntry(LightEntry):
    """A curing box: flashes at ``flashes_per_s``, or steady light in seconds."""

    flashes_per_s: Positive | None = None
    counts: CountRuleEntry = CountRuleEntry()
    chamber_height_mm: Positive
    start_allowance_s: Seconds = 0
    warm_s: Seconds = 0
    life: Height = 0


class MeterEntry(ExampleEntry):
    """A meter of the practice's own; readings are compared with its own alone."""

    what: Text
    calibrated: Day | None = None
    until: Day | None = None
    document: Text | None = None


class VesselEntry(ExampleEntry):
    """A vessel for the submerged half."""

    height_mm: Positive
    wall: WallEntry | None = None
    through: Annotated[float, Field(ge=0, le=1)] = Field(
        default=0,
        description="Share of the box that your own meter read behind the empty wall.",
    )


class BathEntry(Entry):
    """One wash bath with the shortest and longest stay."""

    title: Text
    min_s: Seconds
    max_s: Annotated[int, Field(ge=1)]

    @model_validator(mode="after")
    def _ordered(self) -> Self:
        if self.max_s < self.min_s:
            raise broken("max_s", f"at least min_s, {self.min_s}", self.max_s)
        return self


class FaceEntry(Entry):
    """A face and the tack spots it takes."""

    title: Text
    spots: Annotated[int, Field(ge=1)]


class RecipeEntry(ExampleEntry):
    """Material × item class × revision of the instruction for use."""

    revision: Annotated[int, Field(ge=1)]
    material: Code
    item_class: Text
    ifu_revision: Text
    status: RecipeStatus
    record_no: str = ""
    washes: list[BathEntry] = Field(default_factory=list)
    solvent_max_s: Annotated[int, Field(ge=1)]
    dry_before_box_s: Seconds
    dry_before_coat_s: Seconds
    sides: list[Text] = Field(default_factory=list, max_length=2)
    total_per_side: Annotated[int, Field(ge=2)]
    unit: Literal["flash", "s"]
    counts: CountRuleEntry | None = None
    max_per_side: Count = Field(default=0, description="0: the instruction has none.")
    coat_material: Code | None = None
    stain_materials: list[Code] = Field(default_factory=list)
    coats: Annotated[int, Field(ge=0, le=3)]
    stain_passes: Annotated[int, Field(ge=0, le=3)] = 0
    faces: list[FaceEntry] = Field(default_factory=list)
    planned_tack_s: Seconds
    brush_s: Seconds
    move_s: Seconds
    wet_limit_s: Annotated[int, Field(ge=1)]
    refine: bool = False
    abrade: bool = False
    degas_s: Seconds = 0
    purge_s: Seconds = 0
    rinse_s: Seconds = 0
    dry_after_rinse_s: Seconds = 0
    checks: list[Text] = Field(min_length=1)

    @model_validator(mode="after")
    def _coherent(self) -> Self:
        if self.status != "as IFU" and not self.record_no.strip():
            raise broken(
                "record_no", f"the number of the record behind “{self.status}”", ""
            )
        if len(self.sides) == 1 or len(set(self.sides)) != len(self.sides):
            raise broken("sides", "two different sides, or none", self.sides)
        if self.max_per_side and self.max_per_side < self.total_per_side:
            raise broken(
                "max_per_side", "at least total_per_side, or 0", self.max_per_side
            )
        if self.coats and self.coat_material is None:
            raise broken("coat_material", "the material of the coat", None)
        if self.coats and not self.planned_tack_s:
            raise broken("planned_tack_s", "the seconds on each spot", 0)
        if (self.coats or self.stain_passes) and not self.faces:
            raise broken("faces", "the faces that are coated", [])
        return self


class ReadingEntry(Entry):
    """A lamp's reading with the practice's own meter."""

    lamp: Code
    reading: Positive


class FillEntry(Entry):
    """What is in a vessel now."""

    vessel: Code
    lot: Code
    part_immersions: Count = 0


class CouponEntry(Entry):
    """A coupon test of a lamp on a material that was done here, as it went.

    Set A: ``held_s``, the shortest time at which three of three thin coats set at
    5 mm. Set B: ``top_s``, the longest time to be used, at which three of three skins
    finished when lit twice; left out, set B was not done. Without ``day`` it counts
    from the day of filing.
    """

    lamp: Code
    material: Code
    lot: Code
    box: Code
    vessel: Code
    count: Annotated[int, Field(ge=1)]
    planned_s: Annotated[int, Field(ge=1)]
    held_s: Positive
    top_s: Positive | None = None
    reading: Height = Field(default=0, description="Own meter that day; 0: no meter.")
    tip: str = ""
    celsius: float = 23.0
    coat_um: Positive = 25.0
    day: Day | None = None
    blank_wiped: bool = Field(description="Control: the unlit tab wiped clean.")
    air_sticky: bool = Field(
        default=False, description="Control of set B: the tab cured in air was sticky."
    )

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        least_s = least_top_s(star(self.held_s))
        if self.top_s is not None and self.top_s < least_s:
            raise broken("top_s", f"at least {least_s} after that", self.top_s)
        if not self.blank_wiped or (self.top_s is not None and not self.air_sticky):
            raise broken(
                "blank_wiped",
                "a blank that wiped clean and a tab cured in air that was sticky, or "
                "the test shows nothing",
                self.blank_wiped,
            )
        return self


class LimitEntry(Entry):
    """A limit that gates use."""

    code: Code
    value: Height
    reason: Text


class Library(Entry):
    """A whole library file."""

    format: Literal[1] = FORMAT
    materials: list[MaterialEntry] = Field(default_factory=list)
    lots: list[LotEntry] = Field(default_factory=list)
    lamps: list[LampEntry] = Field(default_factory=list)
    boxes: list[BoxEntry] = Field(default_factory=list)
    vessels: list[VesselEntry] = Field(default_factory=list)
    meters: list[MeterEntry] = Field(default_factory=list)
    recipes: list[RecipeEntry] = Field(default_factory=list)
    readings: list[ReadingEntry] = Field(default_factory=list)
    fills: list[FillEntry] = Field(default_factory=list)
    coupons: list[CouponEntry] = Field(default_factory=list)
    limits: list[LimitEntry] = Field(default_factory=list)
