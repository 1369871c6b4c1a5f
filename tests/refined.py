"""How finely the coat model is solved where the shipped ways are checked."""

from benchassist.physics.coat import Resolution
from benchassist.physics.coat_march import Tolerance

REFINED = Resolution(
    0.04, 1.02, 0.08, 1.1, 1e-3, 1e-6, Tolerance(2e-5, 5e-6, 1e-7, 0.02)
)
HALF_REFINED = Resolution(
    0.08, 1.04, 0.12, 1.2, 2e-3, 1e-5, Tolerance(1e-4, 3e-5, 1e-6, 0.05)
)
