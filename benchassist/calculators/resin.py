"""Input shapes of the coat calculators: resin, film, and what is done to coats."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Annotated, Any, Literal

import numpy as np
from pydantic import Discriminator, Field, Tag

from benchassist.calculators import library
from benchassist.calculators.model import (
    Concentration,
    Efficiency,
    InitiatorAmount,
    InputError,
    Model,
    QuantumYield,
    Wavelength,
    about,
)
from benchassist.calculators.shapes import Absorber, LibraryAbsorber, Light
from benchassist.physics import coat_rates, coat_resin
from benchassist.physics.coat import (
    COARSE,
    PREVIEW,
    STANDARD,
    Cover,
    Exposure,
    NewCoat,
    Nitrogen,
)
from benchassist.physics.coat_uncertainty import RANGES, Sample, draw_sample
from benchassist.physics.spectra import Curve, FloatArray, check_curve, tabulated
from benchassist.sums import shipped

# How far a typed absorption curve may be off: common practice, no source.
TYPED_CURVE = 0.2
MOST_TOTAL_UM = 1000.0

Thickness = Annotated[float, Field(ge=1, le=500, description="um, one coat")]
Threshold = Annotated[float, Field(gt=0, lt=1, description="conversion")]
# From slower than anything that was measured to past the limit of diffusion.
RateConstant = Annotated[float, Field(ge=1e-6, le=1e12, description="L/mol/s")]
RateName = Annotated[str, Field(max_length=40, description="a set of rate constants")]
Diffusivity = Annotated[float, Field(ge=1e-16, le=1e-7, description="m2/s")]
Saturation = Annotated[
    float, Field(ge=1e-9, le=1, description="mol/L of oxygen in equilibrium with air")
]
PerCm = Annotated[float, Field(ge=0, le=1e5, description="1/cm, decadic")]
Duration = Annotated[float, Field(ge=0, le=1e5, description="s")]
Draws = Annotated[int, Field(ge=0, le=500)]
Seed = Annotated[int, Field(ge=0, le=2**32 - 1)]

RESOLUTIONS = {"standard": STANDARD, "coarse": COARSE, "preview": PREVIEW}


class Second(Model):
    """The second cleavage of a bis-acyl initiator: what absorbs then, and its yield."""

    absorber: Absorber
    quantum_yield: QuantumYield


class Initiator(Model):
    """One initiator; ``product`` is what it turns into, if that absorbs.

    Without ``second`` a bis-acyl initiator counts as cleaving once, which bounds the
    longest tack from below.
    """

    absorber: Absorber = LibraryAbsorber(id="tpo")
    product: Absorber | None = None
    mol_l: InitiatorAmount = coat_resin.INITIATOR_MOL_L
    quantum_yield: QuantumYield = coat_resin.QUANTUM_YIELD
    efficiency: Efficiency = coat_resin.INITIATION_EFFICIENCY
    second: Second | None = None

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
            second=self._second(grid_nm, field=field),
        )

    def _second(self, grid_nm: FloatArray, *, field: str) -> coat_resin.Cleavage | None:
        if self.second is None:
            return None
        if self.product is not None:
            raise InputError(
                "Give a product or a second cleavage, not both: what is left after "
                "the second counts as clear.",
                field=f"{field}.product",
            )
        curve = self.second.absorber.on(grid_nm, field=f"{field}.second.absorber")
        return coat_resin.Cleavage(curve, self.second.quantum_yield)


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
    termination_sharpness: Annotated[float, Field(ge=0, le=50)] = 1.2
    termination_critical: Annotated[float, Field(gt=0.001, le=1)] = 0.060
    reaction_diffusion: Annotated[float, Field(ge=0, le=1e3)] = 4.0
    monomer_g_cm3: Annotated[float, Field(ge=0.5, le=3)] = 1.10
    polymer_g_cm3: Annotated[float, Field(ge=0.5, le=3)] = 1.20


class Resin(Model):
    """The resin of all coats.

    ``rates`` names a set of rate constants; by default the measured one is in use and
    draws take the slow one in turn. ``kp_l_mol_s``, ``kt_l_mol_s`` and
    ``diffusion_limits`` replace those of the set. Without a named set they are the
    resin's own: what is not given is then taken from the slow set, constant unless
    limits are given. ``cured_diffusivity_ratio`` scales the oxygen diffusivity as
    ratio ** conversion.
    """

    initiators: list[Initiator] = Field(
        default_factory=lambda: [Initiator()], min_length=1, max_length=6
    )
    static_per_cm: PerCm = 0.0
    static_curve: StaticAbsorbance | None = None
    rates: RateName | None = None
    kp_l_mol_s: RateConstant | None = None
    kt_l_mol_s: RateConstant | None = None
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
        in_use, *others = self.sets(field=f"{field}.rates")
        return coat_resin.Resin(
            initiators=tuple(
                initiator.on(grid_nm, field=f"{field}.initiators.{index}")
                for index, initiator in enumerate(self.initiators)
            ),
            static_per_cm=static,
            rates=in_use,
            others=tuple(others),
            ko2_l_mol_s=self.ko2_l_mol_s,
            double_bonds_mol_l=self.double_bonds_mol_l,
            oxygen_diffusivity_m2_s=self.oxygen_diffusivity_m2_s,
            oxygen_saturation_mol_l=self.oxygen_saturation_mol_l,
            cured_diffusivity_ratio=self.cured_diffusivity_ratio,
        )

    def sets(self, *, field: str) -> list[coat_rates.RateSet]:
        """Return the rates in use, and then those that may be as true."""
        given: dict[str, Any] = {
            "kp_l_mol_s": self.kp_l_mol_s,
            "kt_l_mol_s": self.kt_l_mol_s,
        }
        if self.diffusion_limits is not None:
            numbers = self.diffusion_limits.model_dump()
            given["limits"] = coat_rates.DiffusionLimits(**numbers)
        given = {name: value for name, value in given.items() if value is not None}
        if self.rates is None and not given:
            return list(shipped.rates().values())
        base = library.rate_set(self.rates or "slow", field=field)
        return [replace(base, name="own", **given) if given else base]


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
    is to be poured afresh. ``oxygen_percent`` is what a purge leaves over the coat, in
    vol% by a meter; 0 is a perfect one. With ``flash_hz`` the light is the mean of
    flashes.
    """

    light: Annotated[
        Annotated[Light, Tag("<light>")] | Annotated[Literal["dark"], Tag("<dark>")],
        Discriminator(_lit),
    ]
    s: Duration
    top: Literal["air", "inert", "purge", "film"] = "air"
    oxygen_percent: Annotated[float, Field(ge=0, le=20.9)] = 0.0
    film: Film = Film()
    fresh_film: bool = False
    flash_hz: Annotated[float, Field(ge=0.01, le=1e4)] | None = None

    def step(self, grid_nm: FloatArray, *, field: str) -> Exposure:
        """Return the exposure with its light on a grid."""
        light = None
        if self.light != "dark":
            light = self.light.on(grid_nm, field=f"{field}.light")
        cover: Cover = self.film.cover() if self.top == "film" else self.top
        if self.top == "purge":
            cover = Nitrogen(self.oxygen_percent)
        return Exposure(self.s, cover, light, self.fresh_film, self.flash_hz)


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


def drawn(resin: coat_resin.Resin, *, draws: int, seed: int) -> Sample:
    """Return that many draws of what is uncertain of a resin, its sets of rates too."""
    return draw_sample(
        draws,
        initiators=len(resin.initiators),
        seed=seed,
        rate_sets=1 + len(resin.others),
    )


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
