"""What came onto the shelf: materials, lots, equipment, and what was tried of it."""

from __future__ import annotations

from typing import ClassVar, Literal

from benchassist.domain.events.base import (
    CouponFault,
    DishState,
    Event,
    FreeText,
    Numbers,
)
from benchassist.domain.library import (
    Box,
    Curve,
    Lamp,
    Lot,
    Material,
    Meter,
    Recipe,
    Vessel,
)
from benchassist.value import value

ShelfKind = Literal[
    "material", "recipe", "lamp", "box", "vessel", "meter", "bath", "operator"
]


@value
class CurveFiled(Event):
    """A spectrum was filed under the digest of its content."""

    curve: Curve


@value
class MaterialDefined(Event):
    """A material was filed or corrected, then with a reason."""

    version: ClassVar[int] = 2

    material: Material
    reason: FreeText = ""


@value
class LotReceived(Event):
    """A lot came in, or was mixed from its parents."""

    lot: Lot


@value
class LotClosed(Event):
    """A bottle is empty or was thrown away; nothing is taken from it any more."""

    lot: str
    reason: FreeText


@value
class LampDefined(Event):
    """A lamp was filed or corrected, then with a reason."""

    version: ClassVar[int] = 3

    lamp: Lamp
    reason: FreeText = ""


@value
class BoxDefined(Event):
    """A curing box was filed or corrected, then with a reason."""

    version: ClassVar[int] = 3

    box: Box
    reason: FreeText = ""


@value
class VesselDefined(Event):
    """A vessel was filed or corrected, then with a reason."""

    version: ClassVar[int] = 2

    vessel: Vessel
    reason: FreeText = ""


@value
class RecipeDefined(Event):
    """A recipe revision was filed; parts taken in before keep their own.

    ``reason`` says why it is another than the revision before.
    """

    version: ClassVar[int] = 2

    recipe: Recipe
    reason: FreeText = ""


@value
class MeterDefined(Event):
    """A meter was filed or corrected, then with a reason."""

    meter: Meter
    reason: FreeText = ""


@value
class ThingRetired(Event):
    """A thing of the shelf is used no more; what was done with it stays."""

    kind: ShelfKind
    code: str
    reason: FreeText


@value
class ThingChecked(Event):
    """Somebody else read an entry of the shelf against its papers."""

    kind: ShelfKind
    code: str


@value
class LampReadingTaken(Event):
    """A lamp was read with the practice's own meter."""

    lamp: str
    reading: float


@value
class CouponRecorded(Event):
    """One tab of this lamp on this material was tried at the bench, and no more.

    One tab that set is right in a third of cases: it proves little by itself.

    ``tack_s`` is the seconds it was tacked for (0: not told); ``how`` says which way
    a failed one failed: its body had not set, or it stayed tacky after the last cure.
    """

    version: ClassVar[int] = 2

    lamp: str
    material: str
    passed: bool
    tack_s: float = 0.0
    how: CouponFault = ""


@value
class WorkingCurveFitted(Event):
    """Thickness against exposure was measured here and a working curve fitted.

    ``points`` are effective exposures in mJ/cm² and thicknesses in µm; ``numbers``
    the fit, with those ends of its 95 % intervals that are bounded.
    """

    lamp: str
    material: str
    points: tuple[tuple[float, float], ...]
    numbers: Numbers
    record: FreeText = ""


@value
class GlassesShown(Event):
    """What an operator's protective glasses let through, and where that is shown.

    Between ``low_nm`` and ``high_nm`` no more than ``transmittance``, or a measured
    ``curve``; outside nothing is assumed.
    """

    who: str
    title: str
    low_nm: float
    high_nm: float
    transmittance: float
    curve: str = ""


@value
class SmearTested(Event):
    """A drop of a material dragged on glass after ``seconds`` under a light."""

    material: str
    light: str
    klx: float
    seconds: float


@value
class DishChanged(Event):
    """A dish of wet resin was opened, covered, or its drop thrown away.

    ``spent_klx_s`` is the light it had had by then.
    """

    lot: str
    to: DishState
    light: str
    klx: float
    spent_klx_s: float


@value
class GlycerineFilled(Event):
    """A vessel was emptied and filled anew; its immersions start at zero."""

    vessel: str
    lot: str
    immersions: int = 0
