"""How much better one lamp's milliwatt initiates than another's."""

from benchassist.calculators.model import Answer, Model, Seconds, about, finite
from benchassist.calculators.shapes import Absorber, Grid, Light, require_light
from benchassist.physics import spectra


class Input(Model):
    """A lamp, a reference lamp, and the initiator that both are to drive."""

    light: Light
    reference: Light
    absorber: Absorber
    reference_s: Seconds = 1.0
    grid: Grid = Grid()


class Output(Answer):
    """``equal_surface_dose_s``: the lamp's time for the reference's surface dose.

    Efficacies below about 1e-3 mean "practically none": tails are not data.
    """

    efficacy: float | None
    equal_surface_dose_s: float | None
    total_mw_cm2: float
    reference_total_mw_cm2: float
    reason: str | None = None


def run(question: Input) -> Output:
    """Compare two lamps on one initiator."""
    grid_nm = question.grid.nm()
    lamp = question.light.on(grid_nm, field="light")
    reference = question.reference.on(grid_nm, field="reference")
    absorptivity = question.absorber.on(grid_nm, field="absorber")
    total = require_light(lamp, grid_nm, field="light")
    reference_total = require_light(reference, grid_nm, field="reference")
    with about("absorber"):
        efficacy = spectra.efficacy(lamp, reference, absorptivity, grid_nm)
    reason = None
    if efficacy == 0.0:
        seconds = float("inf") if question.reference_s else 0.0
        reason = "The initiator absorbs none of the lamp's light; no time is enough."
    elif efficacy == float("inf"):
        seconds = 0.0
        reason = "The initiator absorbs none of the reference's light."
    else:
        seconds = question.reference_s * reference_total / (total * efficacy)
    return Output(
        efficacy=finite(efficacy),
        equal_surface_dose_s=finite(seconds),
        total_mw_cm2=total,
        reference_total_mw_cm2=reference_total,
        reason=reason,
    )
