"""Closed forms of radical polymerisation and oxygen that the coat model is held to.

Convention: two radicals per cleavage and termination written 2 kt R^2. Papers that
write kt R^2 give twice this kt.
"""

from math import exp, log, log1p, sqrt

GAS_CONSTANT_J_MOL_K = 8.314462618  # exact SI, rounded
ZERO_CELSIUS_K = 273.15
UM_PER_M = 1e6


def inhibition_s(*, oxygen_mol_l: float, initiation_mol_l_s: float) -> float:
    r"""Return how long dissolved oxygen holds up the start, :math:`C_0 / R_i`, in s.

    One oxygen molecule per radical, no oxygen from outside; textbook.
    """
    return oxygen_mol_l / initiation_mol_l_s


def steady_radicals_mol_l(*, initiation_mol_l_s: float, kt_l_mol_s: float) -> float:
    r"""Return the radicals without oxygen, :math:`\sqrt{R_i / 2 k_t}`; textbook."""
    return sqrt(initiation_mol_l_s / (2.0 * kt_l_mol_s))


def propagation_mol_l_s(
    *,
    initiation_mol_l_s: float,
    double_bonds_mol_l: float,
    kp_l_mol_s: float,
    kt_l_mol_s: float,
) -> float:
    r"""Return the rate without oxygen, :math:`R_p = k_p M \sqrt{R_i / 2 k_t}`."""
    return (
        kp_l_mol_s
        * double_bonds_mol_l
        * steady_radicals_mol_l(
            initiation_mol_l_s=initiation_mol_l_s, kt_l_mol_s=kt_l_mol_s
        )
    )


def conversion(
    *, initiation_mol_l_s: float, seconds: float, kp_l_mol_s: float, kt_l_mol_s: float
) -> float:
    r"""Return the conversion without oxygen in steady light, not bleached.

    .. math:: X = 1 - e^{-k_p t \sqrt{R_i / 2 k_t}}

    So :math:`-\ln(1 - X)` grows with the root of the irradiance: equal doses do not
    cure equally.
    """
    radicals = steady_radicals_mol_l(
        initiation_mol_l_s=initiation_mol_l_s, kt_l_mol_s=kt_l_mol_s
    )
    return 1.0 - exp(-kp_l_mol_s * radicals * seconds)


def dark_conversion(
    *,
    conversion_at_dark: float,
    radicals_mol_l: float,
    seconds: float,
    kp_l_mol_s: float,
    kt_l_mol_s: float,
) -> float:
    r"""Return the conversion some time after the light went off, without oxygen.

    .. math:: -\ln(1 - X) \text{ grows by } \frac{k_p}{2 k_t} \ln(1 + 2 k_t R_0 t)
    """
    growth = log1p(2.0 * kt_l_mol_s * radicals_mol_l * seconds)
    growth *= kp_l_mol_s / (2.0 * kt_l_mol_s)
    return 1.0 - exp(log(1.0 - conversion_at_dark) - growth)


def arrhenius(*, factor: float, energy_j_mol: float, celsius: float) -> float:
    r"""Return a rate constant, :math:`A e^{-E / R T}`, in the unit of its factor.

    The coat model is isothermal: take its constants at the temperature of the part.
    """
    kelvin = celsius + ZERO_CELSIUS_K
    return factor * exp(-energy_j_mol / (GAS_CONSTANT_J_MOL_K * kelvin))


def inhibited_depth_um(
    *,
    diffusivity_m2_s: float,
    saturation_mol_l: float,
    initiation_mol_l_s: float,
) -> float:
    r"""Return the depth that oxygen from the air reaches in steady light.

    .. math:: \delta = \sqrt{2 D C_0 / R_i}

    Every radical takes one oxygen molecule and the surface stays saturated: the
    zero-order limit, textbook. The coat model bends away from the power -1/2 as
    initiator is used up.
    """
    ratio = 2.0 * diffusivity_m2_s * saturation_mol_l / initiation_mol_l_s
    return UM_PER_M * sqrt(ratio)


def oxygen_uptake_mol_m2_s(
    *,
    diffusivity_m2_s: float,
    saturation_mol_l: float,
    initiation_mol_l_s: float,
) -> float:
    r"""Return the flux of oxygen into the surface, :math:`\sqrt{2 D C_0 R_i}`."""
    return 1e3 * sqrt(2.0 * diffusivity_m2_s * saturation_mol_l * initiation_mol_l_s)


def diffusion_s(*, thickness_um: float, diffusivity_m2_s: float) -> float:
    r"""Return the time to diffuse through a layer, :math:`L^2 / 2 D`, in s."""
    return (thickness_um / UM_PER_M) ** 2 / (2.0 * diffusivity_m2_s)


def wilke_chang_m2_s(
    *,
    solvent_g_mol: float,
    association: float,
    molar_volume_cm3_mol: float,
    viscosity_pa_s: float,
    celsius: float,
) -> float:
    r"""Return the diffusivity of a dilute solute in a liquid.

    .. math::
        D = 7.4 \times 10^{-8} \frac{\sqrt{\Phi M} \; T}{\eta V^{0.6}}
        \quad (\mathrm{cm^2/s, \; mPa\,s, \; cm^3/mol})

    Wilke and Chang 1955, AIChE J 1:264; made for thin liquids, a guess in syrups.

    Parameters
    ----------
    solvent_g_mol
        Molar mass of the solvent.
    association
        Phi: 2.26 for water, 1 for a liquid that does not associate.
    molar_volume_cm3_mol
        Of the solute at its boiling point; oxygen 25.6.
    viscosity_pa_s
        Of the solution.
    celsius
        Temperature.
    """
    kelvin = celsius + 273.15
    drag = viscosity_pa_s * 1e3 * float(molar_volume_cm3_mol**0.6)
    return 7.4e-12 * sqrt(association * solvent_g_mol) * kelvin / drag


def scaled_diffusivity_m2_s(
    *,
    known_m2_s: float,
    known_viscosity_pa_s: float,
    viscosity_pa_s: float,
    exponent: float = -2.0 / 3.0,
) -> float:
    """Return a diffusivity carried to another viscosity by a power law.

    -2/3 for thick liquids: Hiss and Cussler 1973, AIChE J 19:698; -1 is the relation
    of Stokes and Einstein. Water to glycerol differs by a factor of ten between them.
    """
    ratio = viscosity_pa_s / known_viscosity_pa_s
    return known_m2_s * float(ratio**exponent)
