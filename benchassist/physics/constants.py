"""Constants that more than one formula needs."""

STANDARD_GRAVITY_M_S2 = 9.80665  # [m/s2] by definition
