"""Input shapes that calculators share: light, absorber, transmittance, glycerine."""

from typing import Annotated

from pydantic import AfterValidator, Discriminator, Field, Tag

from benchassist.calculators import library
from benchassist.calculators.model import (
    Absorptivity,
    InputError,
    Irradiance,
    Model,
    Share,
    Wavelength,
    about,
)
from benchassist.physics import glycerine
from benchassist.physics.spectra import (
    SAMPLING_TOLERANCE,
    Curve,
    FloatArray,
    Gaussian,
    Line,
    check_curve,
    gaussian_bands,
    gaussian_lines,
    integrate,
    sampling_loss,
    tabulated,
    wavelength_grid,
)

MOST_POINTS = 20_000
# [mW/cm2] below it only the tail of a line reaches the grid.
DARK_MW_CM2 = 1e-9
_SHAPES = ("lines", "gaussians", "nm", "id")

Width = Annotated[float, Field(gt=0, le=1000, description="nm")]
# A band narrower than the grid's step would fall between its points.
Sigma = Annotated[float, Field(ge=0.5, le=1000, description="nm")]
Points = Annotated[
    list[Wavelength], Field(min_length=2, max_length=MOST_POINTS, description="nm")
]


def _shape(value: object) -> str | None:
    """Tell the shapes apart by the field that only one of them has."""
    names = value if isinstance(value, dict) else getattr(value, "model_fields_set", ())
    return next((f"<{shape}>" for shape in _SHAPES if shape in names), None)


def _per_cent(value: float) -> float:
    if 0.0 < value <= 1.0:
        raise ValueError("give per cent, 95 rather than 0.95")
    return value


class Grid(Model):
    """Wavelengths of the trapezium rule."""

    low_nm: Annotated[float, Field(ge=200, le=1100)] = 300.0
    high_nm: Annotated[float, Field(ge=210, le=1200)] = 600.0
    step_nm: Annotated[float, Field(ge=0.05, le=5)] = 0.5

    def nm(self) -> FloatArray:
        """Return the grid."""
        if self.high_nm <= self.low_nm + self.step_nm:
            raise InputError(
                "The grid's upper end must lie above its lower end.",
                field="grid.high_nm",
                given=self.high_nm,
            )
        return wavelength_grid(
            low_nm=self.low_nm, high_nm=self.high_nm, step_nm=self.step_nm
        )


class GaussianLight(Model):
    """Gaussian lines, each with its area, centre and full width at half maximum."""

    lines: Annotated[
        list[tuple[Irradiance, Wavelength, Width]], Field(min_length=1, max_length=50)
    ]

    def on(self, grid_nm: FloatArray, *, field: str) -> FloatArray:  # noqa: ARG002
        """Return the spectral irradiance on a grid in mW/cm2/nm."""
        return gaussian_lines([Line(*line) for line in self.lines], grid_nm)


class TabulatedLight(Model):
    """A tabulated spectrum: linear between points, zero outside."""

    nm: Points
    mw_cm2_nm: list[Irradiance]

    def on(self, grid_nm: FloatArray, *, field: str) -> FloatArray:
        """Return the spectral irradiance on a grid in mW/cm2/nm."""
        return _on_grid(self.nm, self.mw_cm2_nm, grid_nm, field=field)


class LibraryLight(Model):
    """A generic lamp of the library, scaled if its total irradiance is given."""

    id: str
    total_mw_cm2: Irradiance | None = None

    def on(self, grid_nm: FloatArray, *, field: str) -> FloatArray:
        """Return the spectral irradiance on a grid in mW/cm2/nm."""
        lines = library.lamp_lines(self.id, field=f"{field}.id")
        whole = sum(line.mw_cm2 for line in lines)
        scale = 1.0 if self.total_mw_cm2 is None else self.total_mw_cm2 / whole
        return scale * gaussian_lines(lines, grid_nm)


Light = Annotated[
    Annotated[GaussianLight, Tag("<lines>")]
    | Annotated[TabulatedLight, Tag("<nm>")]
    | Annotated[LibraryLight, Tag("<id>")],
    Discriminator(
        _shape,
        custom_error_type="light_shape",
        custom_error_message="Give light as lines, as nm with mw_cm2_nm, or as an id",
    ),
]


class GaussianAbsorber(Model):
    """Gaussian bands, each with its peak, centre and standard deviation."""

    gaussians: Annotated[
        list[tuple[Absorptivity, Wavelength, Sigma]], Field(min_length=1, max_length=50)
    ]

    def on(self, grid_nm: FloatArray, *, field: str) -> FloatArray:  # noqa: ARG002
        """Return the decadic absorptivity on a grid in L/mol/cm."""
        return gaussian_bands([Gaussian(*band) for band in self.gaussians], grid_nm)

    def curve(self, bound: library.Bound, *, field: str) -> Curve:  # noqa: ARG002
        """Return the absorptivity as a curve; its bounds are the curve itself."""
        grid_nm = wavelength_grid(low_nm=200.0, high_nm=800.0)
        values = self.on(grid_nm, field=field)
        return Curve(tuple(grid_nm.tolist()), tuple(values.tolist()))


class TabulatedAbsorber(Model):
    """A tabulated absorption curve: linear between points, zero outside."""

    nm: Points
    l_mol_cm: list[Absorptivity]

    def on(self, grid_nm: FloatArray, *, field: str) -> FloatArray:
        """Return the decadic absorptivity on a grid in L/mol/cm."""
        return _on_grid(self.nm, self.l_mol_cm, grid_nm, field=field)

    def curve(self, bound: library.Bound, *, field: str) -> Curve:  # noqa: ARG002
        """Return the absorptivity as a curve; its bounds are the curve itself."""
        return _checked(self.nm, self.l_mol_cm, field=field)


class LibraryAbsorber(Model):
    """An initiator of the library."""

    id: str

    def on(self, grid_nm: FloatArray, *, field: str) -> FloatArray:
        """Return the decadic absorptivity on a grid in L/mol/cm."""
        return tabulated(self.curve("absorptivity_l_mol_cm", field=field), grid_nm)

    def curve(self, bound: library.Bound, *, field: str) -> Curve:
        """Return the absorptivity, or the low or high end of what is known of it."""
        return library.absorber_curve(self.id, bound, field=f"{field}.id")


Absorber = Annotated[
    Annotated[GaussianAbsorber, Tag("<gaussians>")]
    | Annotated[TabulatedAbsorber, Tag("<nm>")]
    | Annotated[LibraryAbsorber, Tag("<id>")],
    Discriminator(
        _shape,
        custom_error_type="absorber_shape",
        custom_error_message=(
            "Give an absorber as gaussians, as nm with l_mol_cm, or as an id"
        ),
    ),
]


class Transmittance(Model):
    """A measured transmittance: linear between points, opaque outside them."""

    nm: Points
    transmittance: list[Share]

    def curve(self, *, field: str) -> Curve:
        """Return the transmittance as a curve."""
        return _checked(self.nm, self.transmittance, field=field)


class Glycerine(Model):
    """Glycerine at its temperature; the rest of its mass is water."""

    wt_percent: Annotated[float, Field(ge=0, le=100), AfterValidator(_per_cent)] = 100.0
    celsius: Annotated[float, Field(ge=0, le=100)] = 20.0

    def density_g_cm3(self) -> float:
        """Return the density."""
        return (
            glycerine.density_kg_m3(wt_percent=self.wt_percent, celsius=self.celsius)
            / 1e3
        )

    def viscosity_pa_s(self) -> float:
        """Return the viscosity."""
        return glycerine.viscosity_pa_s(
            wt_percent=self.wt_percent, celsius=self.celsius
        )


def require_light(
    irradiance_mw_cm2_nm: FloatArray, grid_nm: FloatArray, *, field: str
) -> float:
    """Return a light's total irradiance on the grid, refusing a dark one."""
    total = integrate(irradiance_mw_cm2_nm, grid_nm)
    if total < DARK_MW_CM2:
        message = f"No light between {grid_nm[0]:g} and {grid_nm[-1]:g} nm."
        raise InputError(message, field=field)
    return total


def _checked(nm: list[float], values: list[float], *, field: str) -> Curve:
    curve = Curve(tuple(nm), tuple(values))
    with about(field):
        check_curve(curve)
    return curve


def _on_grid(
    nm: list[float], values: list[float], grid_nm: FloatArray, *, field: str
) -> FloatArray:
    curve = _checked(nm, values, field=field)
    loss = sampling_loss(curve, grid_nm)
    if abs(loss) > SAMPLING_TOLERANCE:
        message = (
            f"The curve has features finer than the grid, which changes its area by "
            f"{loss:+.0%}; give a smaller grid step or a smoother curve."
        )
        raise InputError(message, field=field)
    return tabulated(curve, grid_nm)
