"""Input shapes of the coat calculators: resin, film, and what is done to coats."""

from collections.abc import Sequence
from typing import Annotated, Literal

import numpy as np
from pydantic import Discriminator, Field, Tag

from benchassist.calculators.model import (
    Concentration,
    Efficiency,
    InputError,
    Model,
    QuantumYield,
    Wavelength,
    about,
)
from benchassist.calculators.shapes import Absorber, LibraryAbsorber, Light
from benchassist.physics import coat_resin
from benchassist.physics.coat import COARSE, PREVIEW, STANDARD, Cover, Exposure, NewCoat
from benchassist.physics.coat_uncertainty import RANGES
from benchassist.physics.spectra import Curve, FloatArray, check_curve, tabulated

# How far a typed absorption curve may be off: common practice, no source.
TYPED_CURVE = 0.2
MOST_TOTAL_UM = 1000.0

Thickness = Annotated[float, Field(ge=1, le=500, description="um, one coat")]
Threshold = Annotated[float, Field(gt=0, lt=1, description="conversion")]
# From slower than anything that was measured to past the limit of diffusion.
RateConstant = Annotated[float, Field(ge=1e-6, le=1e12, description="L/mol/s")]
Diffusivity = Annotated[float, Field(ge=1e-16, le=1e-7, description="m2/s")]
Saturation = Annotated[
    float, Field(ge=1e-9, le=1, description="mol/L of oxygen in equilibrium with air")
]
PerCm = Annotated[float, Field(ge=0, le=1e5, description="1/cm, decadic")]
Duration = Annotated[float, Field(ge=0, le=1e5, description="s")]
Draws = Annotated[int, Field(ge=0, le=500)]
Seed = Annotated[int, Field(ge=0, le=2**32 - 1)]

RESOLUTIONS = {"standard": STANDARD, "coarse": COARSE, "preview": PREVIEW}


class Initiator(Model):
    """One initiator; ``product`` is what it turns into, if that absorbs."""

    absorber: Absorber = LibraryAbsorber(id="tpo")
    product: Absorber | None = None
    mol_l: Concentration = coat_resin.INITIATOR_MOL_L
    quantum_yield: QuantumYield = coat_resin.QUANTUM_YIELD
    efficiency: Efficiency = coat_resin.INITIATION_EFFICIENCY

    def on(self, grid_nm: FloatArray, *, field: str) -> coat_resin.Initiator:
        """Return the initiator with its curves on a grid."""
        curve = self.absorber.on(grid_nm, field=f"{field}.absorber")
        low, high = curve * (1.0 - TYPED_CURVE), curve * (1.0 + TYPED_CURVE)
        if isinstance(self.absorber, LibraryAbsorber):
            low, high = (
                tabulated(self.absorber.curve(bound, field=field), grid_nm)
                for bound in ("low_l_mol_cm", "high_l_mol_cm")
            )
        product = np.zeros(grid_nm.shape)
        if self.product is not None:
            product = self.product.on(grid_nm, field=f"{field}.product")
        return coat_resin.Initiator(
            curve,
            low,
            high,
            product,
            mol_l=self.mol_l,
            quantum_yield=self.quantum_yield,
            efficiency=self.efficiency,
        )


class StaticAbsorbance(Model):
    """What does not bleach, per cm: linear between points, zero outside."""

    nm: Annotated[list[Wavelength], Field(min_length=2, max_length=20_000)]
    per_cm: list[PerCm]


class DiffusionLimits(Model):
    """Free-volume limits on kp and kt, after Goodner and Bowman 2002."""

    kelvin: Annotated[float, Field(ge=250, le=450)] = 298.15
    expansion_monomer_per_k: Annotated[float, Field(ge=0, le=1e-2)] = 5.0e-4
    expansion_polymer_per_k: Annotated[float, Field(ge=0, le=1e-2)] = 7.5e-5
    glass_monomer_k: Annotated[float, Field(ge=50, le=450)] = 213.0
    glass_polymer_k: Annotated[float, Field(ge=50, le=700)] = 328.0
    propagation_sharpness: Annotated[float, Field(ge=0, le=10)] = 0.66
    propagation_critical: Annotated[float, Field(gt=0.001, le=1)] = 0.042
    termination_sharpness: Annotated[float, Field(ge=0, le=10)] = 1.2
    termination_critical: Annotated[float, Field(gt=0.001, le=1)] = 0.060
    reaction_diffusion: Annotated[float, Field(ge=0, le=1e3)] = 4.0
    monomer_g_cm3: Annotated[float, Field(ge=0.5, le=3)] = 1.10
    polymer_g_cm3: Annotated[float, Field(ge=0.5, le=3)] = 1.20


class Resin(Model):
    """The resin of all coats.

    ``cured_diffusivity_ratio`` scales the oxygen diffusivity as ratio ** conversion.
    Without ``diffusion_limits`` kp and kt stay as they are.
    """

    initiators: list[Initiator] = Field(
        default_factory=lambda: [Initiator()], min_length=1, max_length=6
    )
    static_per_cm: PerCm = 0.0
    static_curve: StaticAbsorbance | None = None
    kp_l_mol_s: RateConstant = coat_resin.PROPAGATION_L_MOL_S
    kt_l_mol_s: RateConstant = coat_resin.TERMINATION_L_MOL_S
    ko2_l_mol_s: RateConstant = coat_resin.SCAVENGING_L_MOL_S
    double_bonds_mol_l: Concentration = coat_resin.DOUBLE_BONDS_MOL_L
    oxygen_diffusivity_m2_s: Diffusivity = coat_resin.OXYGEN_DIFFUSIVITY_M2_S
    oxygen_saturation_mol_l: Saturation = coat_resin.OXYGEN_SATURATION_MOL_L
    cured_diffusivity_ratio: Annotated[float, Field(ge=1e-6, le=10)] = 1.0
    diffusion_limits: DiffusionLimits | None = None

    def on(self, grid_nm: FloatArray, *, field: str) -> coat_resin.Resin:
        """Return the resin with its curves on a grid."""
        static = np.full(grid_nm.shape, self.static_per_cm)
        if self.static_curve is not None:
            curve = Curve(tuple(self.static_curve.nm), tuple(self.static_curve.per_cm))
            with about(f"{field}.static_curve"):
                check_curve(curve)
            static = static + tabulated(curve, grid_nm)
        limits = None
        if self.diffusion_limits is not None:
            limits = coat_resin.DiffusionLimits(**self.diffusion_limits.model_dump())
        return coat_resin.Resin(
            initiators=tuple(
                initiator.on(grid_nm, field=f"{field}.initiators.{index}")
                for index, initiator in enumerate(self.initiators)
            ),
            static_per_cm=static,
            kp_l_mol_s=self.kp_l_mol_s,
            kt_l_mol_s=self.kt_l_mol_s,
            ko2_l_mol_s=self.ko2_l_mol_s,
            double_bonds_mol_l=self.double_bonds_mol_l,
            oxygen_diffusivity_m2_s=self.oxygen_diffusivity_m2_s,
            oxygen_saturation_mol_l=self.oxygen_saturation_mol_l,
            cured_diffusivity_ratio=self.cured_diffusivity_ratio,
            limits=limits,
        )


class Film(Model):
    """A liquid over the coat, saturated with air when it is poured."""

    thickness_um: Annotated[float, Field(ge=1, le=1e6)] = coat_resin.FILM_THICKNESS_UM
    oxygen_diffusivity_m2_s: Diffusivity = coat_resin.FILM_DIFFUSIVITY_M2_S
    oxygen_saturation_mol_l: Saturation = coat_resin.FILM_SATURATION_MOL_L
    top: Literal["air", "sealed"] = "air"

    def cover(self) -> coat_resin.Film:
        """Return the film."""
        return coat_resin.Film(
            thickness_um=self.thickness_um,
            oxygen_diffusivity_m2_s=self.oxygen_diffusivity_m2_s,
            oxygen_saturation_mol_l=self.oxygen_saturation_mol_l,
            sealed=self.top == "sealed",
        )


class Coating(Model):
    """A fresh coat laid on top."""

    new_coat_um: Thickness

    def step(self, grid_nm: FloatArray, *, field: str) -> NewCoat:  # noqa: ARG002
        """Return the coat."""
        return NewCoat(self.new_coat_um)


def _lit(value: object) -> str:
    return "<dark>" if isinstance(value, str) else "<light>"


class Timed(Model):
    """A stretch of time under a light, or ``dark``, and under a top.

    The same film stays through consecutive segments under an equal film, unless it
    is to be poured afresh.
    """

    light: Annotated[
        Annotated[Light, Tag("<light>")] | Annotated[Literal["dark"], Tag("<dark>")],
        Discriminator(_lit),
    ]
    s: Duration
    top: Literal["air", "inert", "purge", "film"] = "air"
    film: Film = Film()
    fresh_film: bool = False

    def step(self, grid_nm: FloatArray, *, field: str) -> Exposure:
        """Return the exposure with its light on a grid."""
        light = None
        if self.light != "dark":
            light = self.light.on(grid_nm, field=f"{field}.light")
        cover: Cover = self.film.cover() if self.top == "film" else self.top
        return Exposure(self.s, cover, light, self.fresh_film)


def _kind(value: object) -> str:
    names = value if isinstance(value, dict) else getattr(value, "model_fields_set", ())
    return "<new_coat>" if "new_coat_um" in names else "<timed>"


Segment = Annotated[
    Annotated[Coating, Tag("<new_coat>")] | Annotated[Timed, Tag("<timed>")],
    Discriminator(_kind),
]


class Span(Model):
    """Median and the middle 90 % of the draws; null is infinite."""

    low: float | None
    median: float | None
    high: float | None


class Uncertain(Model):
    """A value that the draws vary, by factors on the value in use."""

    name: str
    low_factor: float
    high_factor: float
    source: str


def uncertain() -> list[Uncertain]:
    """Return what the draws vary besides the absorption curves."""
    return [
        Uncertain(
            name=name, low_factor=span.low, high_factor=span.high, source=span.source
        )
        for name, span in RANGES.items()
    ]


def check_total(thicknesses_um: Sequence[float], *, field: str) -> None:
    """Refuse coats that are no coats any more."""
    total = sum(thicknesses_um)
    if total > MOST_TOTAL_UM:
        message = f"All coats together must not be thicker than {MOST_TOTAL_UM:g} um."
        raise InputError(message, field=field, given=total)
