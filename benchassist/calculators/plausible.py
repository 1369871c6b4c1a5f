"""What is usual at a bench, so that a slip in a unit is marked and not computed on.

Every number that a calculator is given has a range here, by the name of its field,
which carries its unit. A value outside is no error: it is answered, and said to be
unlikely with the slip that makes it likely. The ranges are wide for a bench and
narrower than a factor of a thousand around what is typical; common practice, no source.
"""

from collections.abc import Iterator
from typing import NamedTuple

from benchassist.calculators.model import Doubt, Model


class Usual(NamedTuple):
    """Lowest and highest value that is usual, and the likely slip outside it."""

    low: float
    high: float
    slip: str


MM, UM = "Is it in millimetres?", "Is it in micrometres?"
SECONDS = "Is it in seconds, not minutes or milliseconds?"
SHARE = "Is it a share, 0.05 for 5 %?"
NM = "Is it in nanometres? Lamps here lie between 350 and 500 nm."
MW = "Is it in mW/cm2? 1 W/cm2 is 1000."
EPS = "Is it decadic and in L/mol/cm? Naperian values are 2.3 times as large."
MOL = "Did you type weight per cent, or mmol/L?"
CURED = "Is it in mJ/cm2? 1 J/cm2 is 1000."
RATE = "Is it in L/mol/s? 1 m3/mol/s is 1000."
COUNT = "Is it a count?"
MINUTES = "Is it in minutes?"

USUAL = {
    # light
    "lines[0]": Usual(1.2, 5000, MW),
    "lines[1]": Usual(300, 700, NM),
    "lines[2]": Usual(1, 200, NM),
    "nm": Usual(200, 1100, NM),
    "mw_cm2_nm": Usual(1e-6, 1000, MW),
    "total_mw_cm2": Usual(1.3, 5000, MW),
    "irradiance_mw_cm2": Usual(1.2, 5000, MW),
    "label_mw_cm2": Usual(1.3, 5000, MW),
    "hand_mw_cm2": Usual(1.3, 5000, MW),
    "low_nm": Usual(200, 800, NM),
    "high_nm": Usual(250, 1100, NM),
    "step_nm": Usual(0.1, 5, NM),
    "design_nm": Usual(340, 520, NM),
    "flash_hz": Usual(0.1, 100, "Is it in flashes a second?"),
    "radiance_w_m2_sr": Usual(1, 1e6, "Is it in W/m2/sr?"),
    # absorbers
    "gaussians[0]": Usual(2, 5000, EPS),
    "gaussians[1]": Usual(250, 700, NM),
    "gaussians[2]": Usual(2, 100, NM),
    "l_mol_cm": Usual(1e-9, 50_000, EPS),
    "mol_l": Usual(1e-4, 0.5, MOL),
    "quantum_yield": Usual(1e-3, 1, SHARE),
    "efficiency": Usual(0.05, 1, SHARE),
    "static_per_cm": Usual(0.01, 500, "Is it decadic and per centimetre?"),
    "per_cm": Usual(1e-6, 500, "Is it decadic and per centimetre?"),
    "transmittance": Usual(1e-6, 1, SHARE),
    "internal_transmittance": Usual(0.05, 1, SHARE),
    "effective_transmittance": Usual(0.05, 1, SHARE),
    "reflectance": Usual(0.02, 1, SHARE),
    "indices": Usual(1, 1.8, "Is it a refractive index?"),
    # the coat
    "kp_l_mol_s": Usual(10, 1e6, RATE),
    "kt_l_mol_s": Usual(1e4, 1e8, RATE),
    "ko2_l_mol_s": Usual(1e6, 1e10, RATE),
    "double_bonds_mol_l": Usual(1, 12, "Is it double bonds in mol/L?"),
    "oxygen_diffusivity_m2_s": Usual(1e-13, 5e-9, "Is it in m2/s? 1 cm2/s is 1e-4."),
    "oxygen_saturation_mol_l": Usual(5e-6, 5e-3, "Is it in mol/L, not mmol/L?"),
    "cured_diffusivity_ratio": Usual(1e-3, 1, SHARE),
    "kelvin": Usual(283, 343, "Is it in kelvin? 25 °C is 298."),
    "expansion_monomer_per_k": Usual(1e-4, 2e-3, "Is it per kelvin?"),
    "expansion_polymer_per_k": Usual(1e-5, 1e-3, "Is it per kelvin?"),
    "glass_monomer_k": Usual(150, 300, "Is it in kelvin?"),
    "glass_polymer_k": Usual(250, 500, "Is it in kelvin?"),
    "propagation_sharpness": Usual(0.1, 5, "Is it the paper's A of propagation?"),
    "propagation_critical": Usual(0.01, 0.2, "Is it a fractional free volume?"),
    "termination_sharpness": Usual(0.1, 40, "Is it the paper's A of termination?"),
    "termination_critical": Usual(0.01, 0.2, "Is it a fractional free volume?"),
    "reaction_diffusion": Usual(0.5, 50, "Is it half of a kt R2 paper's value?"),
    "monomer_g_cm3": Usual(0.9, 1.6, "Is it in g/cm3? 1000 kg/m3 is 1."),
    "polymer_g_cm3": Usual(0.9, 2.2, "Is it in g/cm3? 1000 kg/m3 is 1."),
    "coats_um": Usual(5, 150, UM),
    "new_coat_um": Usual(5, 150, UM),
    "thickness_um": Usual(2, 10_000, UM),
    "skin_limit_um": Usual(0.05, 20, UM),
    "s": Usual(0.05, 7200, SECONDS),
    "pause_s": Usual(0.5, 3600, SECONDS),
    "oxygen_percent": Usual(0.005, 20.9, "Is it in per cent by volume?"),
    "threshold": Usual(0.05, 0.8, SHARE),
    "weakest": Usual(0.2, 1, SHARE),
    "strongest": Usual(0.8, 2, SHARE),
    "circles": Usual(1, 6, COUNT),
    "draws": Usual(2, 500, COUNT),
    "seed": Usual(0, 2**32, COUNT),
    # seconds, exposures, depths
    "reference_s": Usual(0.5, 3600, SECONDS),
    "planned_s": Usual(1, 300, SECONDS),
    "held_s": Usual(0.5, 300, SECONDS),
    "hand_s": Usual(0.5, 300, SECONDS),
    "set_s": Usual(0.5, 300, SECONDS),
    "top_s": Usual(0.5, 600, SECONDS),
    "required_effective_j_cm2": Usual(0.01, 20, "Is it in J/cm2? 1000 mJ/cm2 is 1."),
    "marginal_factor": Usual(1, 3, "Is it a ratio?"),
    "reading_age_days": Usual(0, 3650, "Is it in days?"),
    "reading_age_limit_days": Usual(0.04, 400, "Is it in days?"),
    "exposure_mj_cm2": Usual(0.5, 50_000, CURED),
    "ec_mj_cm2": Usual(0.5, 200, CURED),
    "dp_um": Usual(20, 1500, "Did you type millimetres?"),
    "measured[0]": Usual(0.5, 50_000, CURED),
    "measured[1]": Usual(5, 10_000, UM),
    # spots
    "length_mm": Usual(1, 200, MM),
    "width_mm": Usual(1, 100, MM),
    "height_mm": Usual(1, 60, MM),
    "arc_mm": Usual(10, 250, MM),
    "radius_mm": Usual(5, 60, MM),
    "band_mm": Usual(1, 40, MM),
    "useful_mm": Usual(2, 30, MM),
    "distance_mm": Usual(0.5, 2000, MM),
    "source_mm": Usual(1, 300, MM),
    "lost_share": Usual(0.02, 0.95, SHARE),
    "tilt_deg": Usual(1, 60, "Is it in degrees?"),
    "overlap": Usual(0.02, 0.6, SHARE),
    "faces": Usual(1, 6, COUNT),
    "wet_limit_s": Usual(10, 1800, SECONDS),
    "brush_s": Usual(1, 300, SECONDS),
    "spot_s": Usual(1, 300, SECONDS),
    "move_s": Usual(0.2, 60, SECONDS),
    # halves, vessel, float, bubble
    "total": Usual(10, 20_000, COUNT),
    "sides": Usual(1, 2, COUNT),
    "step": Usual(1, 2000, COUNT),
    "max_run": Usual(10, 20_000, COUNT),
    "programs": Usual(5, 20_000, COUNT),
    "vessel_mm": Usual(10, 200, MM),
    "floor_mm": Usual(0.5, 30, MM),
    "part_mm": Usual(2, 150, MM),
    "chamber_mm": Usual(20, 400, MM),
    "vessel_area_cm2": Usual(2, 600, "Is it in cm2? 100 mm2 is 1."),
    "part_cm3": Usual(0.05, 200, "Is it in cm3? 1000 mm3 is 1."),
    "hold_down_cm3": Usual(0.05, 200, "Is it in cm3? 1000 mm3 is 1."),
    "volume_cm3": Usual(0.05, 200, "Is it in cm3? 1000 mm3 is 1."),
    "density_g_cm3": Usual(0.8, 4, "Is it in g/cm3? 1000 kg/m3 is 1."),
    "trapped_air_cm3": Usual(0.001, 50, "Is it in cm3? 1000 mm3 is 1."),
    "wt_percent": Usual(50, 100, "Is it per cent by mass?"),
    "celsius": Usual(10, 45, "Is it in °C?"),
    "glycerine_g_cm3": Usual(1.0, 1.3, "Is it in g/cm3?"),
    "diameter_mm": Usual(0.02, 10, MM),
    "depth_mm": Usual(1, 200, MM),
    # washing, drying, purge
    "viscosity_pa_s": Usual(2e-4, 20, "Is it in Pa s? 1000 mPa s is 1."),
    "speed_m_s": Usual(1e-4, 0.5, "Is it in m/s? 10 mm/s is 0.01."),
    "tension_n_m": Usual(0.01, 0.08, "Is it in N/m? 30 mN/m is 0.03."),
    "density_kg_m3": Usual(700, 1400, "Is it in kg/m3? 1 g/cm3 is 1000."),
    "volumes_ml": Usual(50, 10_000, "Is it in mL?"),
    "resin_in_g": Usual(0.01, 30, "Is it in grams a part?"),
    "resin_in_ml": Usual(0.01, 30, "Is it in mL a part?"),
    "drag_out_ml": Usual(0.01, 5, "Is it in mL a part?"),
    "limit_wt_percent": Usual(1, 20, "Is it in per cent by mass?"),
    "solvent_g_cm3": Usual(0.7, 1.1, "Is it in g/cm3? 1000 kg/m3 is 1."),
    "resin_g_cm3": Usual(1.0, 1.8, "Is it in g/cm3? 1000 kg/m3 is 1."),
    "parts": Usual(1, 500, COUNT),
    "parts_done": Usual(1, 1000, COUNT),
    "area_cm2": Usual(1, 400, "Is it in cm2? 100 mm2 is 1."),
    "film_um": Usual(2, 600, UM),
    "chamber_l": Usual(0.3, 60, "Is it in litres? 1000 cm3 is 1."),
    "flow_l_min": Usual(0.3, 60, "Is it in litres a minute?"),
    "target_percent": Usual(0.02, 5, "Is it in per cent by volume?"),
    # drift, eyes, the day
    "hours": Usual(0.01, 20_000, "Is it in hours?"),
    "reading": Usual(1.2, 10_000, MW),
    "weight": Usual(1e-3, 1e3, "Is it an inverse variance?"),
    "new_weight": Usual(1e-3, 1e3, "Is it an inverse variance?"),
    "at_h": Usual(0.01, 20_000, "Is it in hours?"),
    "from_h": Usual(0.01, 20_000, "Is it in hours?"),
    "floor": Usual(1.2, 10_000, MW),
    "tip_mm": Usual(2, 30, MM),
    "minutes": Usual(0.1, 2880, MINUTES),
    "minutes_80": Usual(0.1, 2880, MINUTES),
    "alone_minutes": Usual(0.1, 2880, MINUTES),
    "most_minutes": Usual(0.1, 2880, MINUTES),
    "ends_minutes": Usual(0.1, 2880, MINUTES),
    "arrives_minutes": Usual(0.1, 2880, MINUTES),
    "due_minutes": Usual(-2880, 10_000, MINUTES),
    "patches": Usual(0.1, 240, MINUTES),
    "hands": Usual(1, 6, COUNT),
    "calls_per_h": Usual(0.1, 30, COUNT),
    "call_s": Usual(5, 1800, SECONDS),
    "reserve_minutes": Usual(0.1, 2880, MINUTES),
    "light_on_s": Usual(0.1, 3600, SECONDS),
    "time_s": Usual(0.1, 36_000, SECONDS),
    "conversion": Usual(0.005, 1, SHARE),
}


def doubts(question: Model) -> list[Doubt]:
    """Return what lies outside the usual, each list once, in the question's order."""
    return list(_doubts(question, ""))


def unlikely(name: str, value: float) -> str:
    """Return why a value of a field is hardly meant, empty where it may be."""
    usual = USUAL.get(name)
    if usual is None or value == 0.0 or usual.low <= value <= usual.high:
        return ""
    return (
        f"{value:g} is unlikely: {usual.low:g} to {usual.high:g} is usual here. "
        f"{usual.slip}"
    )


def numbers(value: object, name: str, place: str) -> Iterator[tuple[str, str, float]]:
    """Yield the place, the name in USUAL and the value of every number in a value."""
    if isinstance(value, Model):
        for field in type(value).model_fields:
            inside = f"{place}.{field}" if place else field
            yield from numbers(getattr(value, field), field, inside)
    elif isinstance(value, list):
        for index, each in enumerate(value):
            yield from numbers(each, name, f"{place}.{index}")
    elif isinstance(value, tuple):
        for index, each in enumerate(value):
            yield from numbers(each, f"{name}[{index}]", f"{place}.{index}")
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield place, name, float(value)


def _doubts(question: Model, place: str) -> Iterator[Doubt]:
    said = set()
    for where, name, value in numbers(question, "", place):
        told = unlikely(name, value)
        if not told:
            continue
        # A list says it once.
        everywhere = "".join(part for part in where.split(".") if not part.isdigit())
        if everywhere + name in said:
            continue
        said.add(everywhere + name)
        yield Doubt(field=where, given=value, message=told)
