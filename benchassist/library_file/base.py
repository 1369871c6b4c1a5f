"""What all entries of a library file share, and the entries of curves."""

from __future__ import annotations

from itertools import pairwise
from typing import Annotated, ClassVar, Self, TypeAlias

from pydantic import (
    BaseModel,
    ConfigDict,
    Field,
    StringConstraints,
    field_validator,
    model_validator,
)
from pydantic_core import PydanticCustomError

from benchassist.domain.library import (
    Confidence,
    Quantity,
)

Code: TypeAlias = Annotated[
    str, StringConstraints(pattern=r"^[^\s,=]+$", max_length=40)
]
Text: TypeAlias = Annotated[str, StringConstraints(pattern=r"\S", max_length=200)]
FileName: TypeAlias = Annotated[str, StringConstraints(pattern=r"^[^/\\]+\.csv$")]
Positive: TypeAlias = Annotated[float, Field(gt=0)]
Nanometres: TypeAlias = Annotated[float, Field(ge=100, le=2000)]
Height: TypeAlias = Annotated[float, Field(ge=0)]
Share: TypeAlias = Annotated[float, Field(ge=0, le=1)]


def broken(at: str, expected: str, given: object) -> PydanticCustomError:
    """Return the fault of a rule between fields; ``at`` lies below the entry."""
    context = {"at": at, "expected": expected, "given": given}
    return PydanticCustomError("field_fault", "{expected}", context)


class Entry(BaseModel):
    """The base of all entries."""

    model_config = ConfigDict(
        strict=True, extra="forbid", frozen=True, allow_inf_nan=False
    )

    @field_validator("*")
    @classmethod
    def _seen(cls, given: object) -> object:
        """Refuse what no screen shows as it is typed, such as a turned direction."""
        if isinstance(given, str) and not given.isprintable():
            message = "letters that can be seen"
            raise ValueError(message)
        return given


class CurveEntry(Entry):
    """A curve typed in, or in a CSV file beside this one (``csv``).

    ``column`` names the field that holds the values of ``quantity``.
    """

    quantity: ClassVar[Quantity]
    column: ClassVar[str]

    nm: list[Nanometres] = Field(default_factory=list)
    source: str = ""
    confidence: Confidence | None = None
    csv: FileName | None = None

    @property
    def values(self) -> list[float]:
        """Return the values beside the wavelengths."""
        found: list[float] = getattr(self, self.column)
        return found

    @model_validator(mode="after")
    def _whole(self) -> Self:
        self.check()
        return self

    def check(self) -> None:
        """Raise a fault unless this is a whole curve or the name of a file."""
        if self.csv is None:
            _check_typed(self)
        elif self.nm or self.values or self.source or self.confidence:
            raise broken(
                "csv", "either a csv file or a curve typed in, not both", self.csv
            )


def _check_typed(entry: CurveEntry) -> None:
    """Raise a fault unless the entry is a whole curve.

    At least two points, wavelengths that rise, as many values as wavelengths, a
    source and a confidence mark.
    """
    points = len(entry.nm)
    if points < 2:  # noqa: PLR2004 - one point is no curve
        raise broken("nm", "two wavelengths or more", entry.nm)
    for n, (before, after) in enumerate(pairwise(entry.nm), start=1):
        if after <= before:
            place, expected = f"nm[{n}]", f"a wavelength above {before:g}"
            raise broken(place, expected, after)
    if len(entry.values) != points:
        raise broken(
            entry.column,
            f"as many values as wavelengths, {points}",
            f"{len(entry.values)} values",
        )
    if not entry.source.strip():
        raise broken("source", "where the curve is from", entry.source)
    if entry.confidence is None:
        raise broken("confidence", "measured, published, declared or from memory", None)


class SpectrumEntry(CurveEntry):
    """The light of a lamp or box: spectral irradiance in mW/cm²/nm."""

    quantity = "irradiance_mw_cm2_nm"
    column = "mw_cm2_nm"

    mw_cm2_nm: list[Height] = Field(default_factory=list)


class AbsorptivityEntry(CurveEntry):
    """What an initiator absorbs: decadic molar absorptivity in L/mol/cm."""

    quantity = "absorptivity_l_mol_cm"
    column = "l_mol_cm"

    l_mol_cm: list[Height] = Field(default_factory=list)


class WallEntry(CurveEntry):
    """What a vessel's wall lets through: a measured curve, or a material.

    With ``material`` and ``thickness_mm`` the curve is computed from the optical
    constants that the program ships, air outside and glycerol inside.
    """

    quantity = "transmittance"
    column = "transmittance"

    transmittance: list[Share] = Field(default_factory=list)
    material: str | None = None
    thickness_mm: Positive | None = None

    def check(self) -> None:
        """Raise a fault unless this is a curve, a file or a wall of a material."""
        if self.material is None and self.thickness_mm is None:
            super().check()
            return
        if self.material is None:
            raise broken("material", "the material of the wall", None)
        if self.thickness_mm is None:
            raise broken("thickness_mm", "the thickness of the wall", None)
        if self.nm or self.transmittance or self.csv:
            raise broken(
                "material", "either a material or a curve, not both", self.material
            )
