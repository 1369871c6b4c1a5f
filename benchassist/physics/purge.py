"""How long a chamber is flushed until its oxygen has fallen far enough."""

from math import exp, log

OXYGEN_IN_AIR_PERCENT = 20.9  # [vol%] dry air, rounded as oxygen meters show it


def purge_s(*, chamber_l: float, flow_l_min: float, target_percent: float) -> float:
    r"""Return the flushing time in s of a well-mixed chamber that held air.

    .. math:: t = (V / Q) \ln(20.9 / O_{2,target})

    The gas is taken as free of oxygen and perfectly mixed; dead corners take longer.
    A target of air's own oxygen or more needs no time.
    """
    if target_percent >= OXYGEN_IN_AIR_PERCENT:
        return 0.0
    return chamber_l / flow_l_min * 60.0 * log(OXYGEN_IN_AIR_PERCENT / target_percent)


def oxygen_left_percent(
    *, chamber_l: float, flow_l_min: float, seconds: float
) -> float:
    r"""Return the oxygen left after flushing, :math:`20.9 e^{-Qt/V}`, in vol%.

    The same well-mixed chamber; what leaks in and what the gas brings is not counted.
    """
    return OXYGEN_IN_AIR_PERCENT * exp(-flow_l_min * seconds / 60.0 / chamber_l)
