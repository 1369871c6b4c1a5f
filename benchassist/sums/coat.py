"""From what is on file to what the coat model needs, and how sure each of it is."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from benchassist.domain.layer import layer_light
from benchassist.domain.library import OFF
from benchassist.domain.light import judge_lamp
from benchassist.domain.limits import limit
from benchassist.domain.state import pair_key
from benchassist.physics.coat import Exposure, NewCoat
from benchassist.physics.coat_resin import (
    TERMINATION_L_MOL_S,
    Film,
    Initiator,
    Resin,
)
from benchassist.physics.coat_tack import PAUSE_S
from benchassist.physics.light_check import (
    Absorber,
    layer_absorbance_per_cm,
    layer_weight_per_cm,
)
from benchassist.physics.spectra import (
    LN10,
    FloatArray,
    absorbed_mol_l_s,
    initiation_mol_l_s,
    integrate,
    tabulated,
    wavelength_grid,
)
from benchassist.sums import shipped
from benchassist.sums.subject import (
    Subject,
    UnknownError,
    second_half_s,
    today,
)

if TYPE_CHECKING:
    from benchassist.domain.library import Confidence, Curve
    from benchassist.domain.state import Bench

FROM_MEMORY = "Rates and oxygen FROM MEMORY: the band holds that."
COVERS = ("air", "glycerine", "nitrogen")
LEAST_DEGAS_S = 20.0  # [s] from submerging to the first flash; assumed


@dataclass(frozen=True, slots=True, eq=False)
class Coating:
    """What the coat model needs for one coat, lamp, box and vessel.

    Attributes
    ----------
    resin
        On ``grid_nm``.
    lamp_mw_cm2_nm, box_mw_cm2_nm, behind_mw_cm2_nm
        The lamp today, the box alone, and the box behind the vessel's wall.
    planned_s, box_s, degas_s
        The tack that the light check asks for, the second half, and the wait under
        glycerine before it.
    notes
        What was assumed, one sentence each; what is from memory first.
    """

    subject: Subject
    grid_nm: FloatArray
    resin: Resin
    lamp_mw_cm2_nm: FloatArray
    box_mw_cm2_nm: FloatArray
    behind_mw_cm2_nm: FloatArray
    coat_um: float
    planned_s: float
    box_s: float
    degas_s: float
    notes: tuple[str, ...]

    @property
    def key(self) -> tuple[object, ...]:
        """All that the model's answers depend on, to know an answer again."""
        arrays = [
            self.lamp_mw_cm2_nm,
            self.box_mw_cm2_nm,
            self.behind_mw_cm2_nm,
            self.resin.static_per_cm,
            *(each.absorptivity_l_mol_cm for each in self.resin.initiators),
        ]
        amounts = [(i.mol_l, i.quantum_yield) for i in self.resin.initiators]
        return (
            self.subject.coats,
            self.subject.part.variant.cover,
            self.coat_um,
            self.box_s,
            self.degas_s,
            *amounts,
            *(array.tobytes() for array in arrays),
        )

    def tacks(
        self, tack_s: float | FloatArray, *, coat_um: float, output: float = 1.0
    ) -> list[NewCoat | Exposure]:
        """Return the coats, each laid, tacked in air and left in the dark."""
        lit = self.lamp_mw_cm2_nm * output
        steps: list[NewCoat | Exposure] = []
        for _ in range(self.subject.coats):
            steps += [
                NewCoat(coat_um),
                Exposure(tack_s, "air", lit),
                Exposure(PAUSE_S),
            ]
        return steps

    def ending(self, cover: str, share: float | FloatArray = 1.0) -> list[Exposure]:
        """Return the second half under a cover.

        ``share`` scales its times, one value a row: 0 leaves a row as it is.
        """
        if cover == "glycerine":
            film = Film()
            return [
                Exposure(self.degas_s * share, film),
                Exposure(self.box_s * share, film, self.behind_mw_cm2_nm),
            ]
        top = Exposure(
            self.box_s * share,
            "air" if cover == "air" else "purge",
            self.box_mw_cm2_nm,
        )
        return [top]


def coating(bench: Bench, subject: Subject) -> Coating:
    """Return what the coat model needs.

    Raises
    ------
    UnknownError
        If something that it rests on is not on file.
    """
    grid_nm = wavelength_grid()
    notes: list[str] = []
    lamp_nm = _lamp(bench, subject.lamp, grid_nm)
    resin = _resin(bench, subject, grid_nm, notes)
    planned = subject.recipe.planned_tack_s
    answer = judge_lamp(bench, subject.lamp, subject.lot, planned)
    box = bench.boxes.get(subject.part.box)
    box_s = second_half_s(bench, subject)
    if box is None or box.curve not in bench.curves:
        code = subject.part.box or "the box"
        message = f"{code} has no spectrum on file."
        raise UnknownError(message)
    alone = tabulated(bench.curves[box.curve], grid_nm)
    behind = _behind(bench, subject, alone, grid_nm, notes)
    if box.unit == "flash":
        share = flash_share(_initiation_mol_l_s(resin, behind, grid_nm), box.rate_hz)
        notes.append(
            "Flashes are counted as steady light; their radicals come to about "
            f"{share:.0%} of that."
        )
    return Coating(
        subject=subject,
        grid_nm=grid_nm,
        resin=resin,
        lamp_mw_cm2_nm=lamp_nm,
        box_mw_cm2_nm=alone,
        behind_mw_cm2_nm=behind,
        coat_um=limit(bench, "coat_um"),
        planned_s=float(answer.seconds or planned),
        box_s=box_s,
        degas_s=max(LEAST_DEGAS_S, float(subject.recipe.degas_s)),
        notes=tuple(notes),
    )


def flash_share(
    initiation_mol_l_s: float,
    rate_hz: float,
    *,
    kt_l_mol_s: float = TERMINATION_L_MOL_S,
) -> float:
    r"""Return the mean radicals under flashes, over those of steady light.

    Without oxygen: each flash adds :math:`R_i T`, between flashes radicals decay as
    :math:`1 / (1 + 2 k_t R t)`. With :math:`g = 2 k_t R_i T^2` the radicals right
    after a flash are :math:`x / 2 k_t T`, :math:`x^2 / (1 + x) = g`, and the share is

    .. math:: \ln(1 + x) / \sqrt{g}

    which goes to 1 for many flashes within a radical's life.
    """
    g = 2.0 * kt_l_mol_s * initiation_mol_l_s / rate_hz**2
    if g <= 0.0:
        return 1.0
    x = (g + math.sqrt(g * g + 4.0 * g)) / 2.0
    return math.log1p(x) / math.sqrt(g)


def _initiation_mol_l_s(resin: Resin, light: FloatArray, grid_nm: FloatArray) -> float:
    """Return how fast a light makes radicals at the surface of a fresh coat."""
    return sum(
        initiation_mol_l_s(
            absorbed_mol_l_s(
                light, each.absorptivity_l_mol_cm, grid_nm, mol_l=each.mol_l
            ),
            quantum_yield=each.quantum_yield,
            efficiency=each.efficiency,
        )
        for each in resin.initiators
    )


def absorbers_of(bench: Bench, lot: str) -> list[Absorber]:
    """Return the initiators of a lot, a mix with all its parents'.

    Raises
    ------
    UnknownError
        If what it absorbs is not on file.
    """
    layer = layer_light(bench, lot)
    if layer is None:
        message = f"What {lot or 'this coat'} absorbs is not on file."
        raise UnknownError(message)
    return [
        Absorber(bench.curves[each.curve], each.mol_l, each.quantum_yield)
        for each in layer.initiators
    ]


def _lamp(bench: Bench, code: str, grid_nm: FloatArray) -> FloatArray:
    lamp = bench.lamps.get(code)
    if lamp is None:
        message = "No lamp is chosen."
        raise UnknownError(message)
    if lamp.curve not in bench.curves:
        message = f"{code} has no spectrum on file."
        raise UnknownError(message)
    return tabulated(bench.curves[lamp.curve], grid_nm) * today(bench, code)


def _resin(
    bench: Bench, subject: Subject, grid_nm: FloatArray, notes: list[str]
) -> Resin:
    layer = layer_light(bench, subject.lot)
    if layer is None:
        message = f"What {subject.lot or 'this coat'} absorbs is not on file."
        raise UnknownError(message)
    initiators = []
    for each in layer.initiators:
        curve = bench.curves[each.curve]
        if curve.confidence == "from memory":
            notes.insert(0, f"The absorption of {each.name} is FROM MEMORY.")
        nominal, low, high = _bounds(each.name, curve, grid_nm)
        initiators.append(
            Initiator(
                nominal,
                low,
                high,
                np.zeros(grid_nm.shape),
                mol_l=each.mol_l,
                quantum_yield=each.quantum_yield,
            )
        )
    if not layer.known:
        notes.append("The initiator is known by its class only.")
    static = static_per_cm(bench, subject, grid_nm)
    if static is None:
        notes.append("No pigment is counted: no working curve was fitted here.")
    return Resin(tuple(initiators), np.full(grid_nm.shape, static or 0.0))


def _bounds(
    name: str, curve: Curve, grid_nm: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return a curve with its ends: the shipped ones where it is the shipped curve."""
    nominal = tabulated(curve, grid_nm)
    known = shipped.ABSORBERS.get(name.lower())
    if known is not None:
        table = shipped.table(known)
        own = table.curve("wavelength_nm", "absorptivity_l_mol_cm")
        if tuple(own.values) == curve.values:
            low, high = (
                tabulated(table.curve("wavelength_nm", bound), grid_nm)
                for bound in ("low_l_mol_cm", "high_l_mol_cm")
            )
            return nominal, low, high
    confidence: Confidence = curve.confidence
    return nominal, nominal * (1 - OFF[confidence]), nominal * (1 + OFF[confidence])


def static_per_cm(bench: Bench, subject: Subject, grid_nm: FloatArray) -> float | None:
    """Return what absorbs besides the initiators, by the practice's working curve.

    Decadic, per cm, over all of this lamp's light: what its penetration depth leaves
    once the initiators are counted. None where no curve was fitted for this lamp on
    this material.
    """
    found = bench.lots.get(subject.lot)
    fitted = (
        bench.working_curves.get(pair_key(subject.lamp, found.material))
        if found
        else None
    )
    if fitted is None:
        return None
    dp_um = dict(fitted.numbers)["dp_um"]
    return max(
        0.0, 1e4 / (LN10 * dp_um) - mean_absorbance_per_cm(bench, subject, grid_nm)
    )


def mean_absorbance_per_cm(
    bench: Bench, subject: Subject, grid_nm: FloatArray
) -> float:
    """Return the initiators' absorbance where this lamp acts on them, 1/cm decadic."""
    absorbers = absorbers_of(bench, subject.lot)
    lit = _lamp(bench, subject.lamp, grid_nm)
    effect = lit * layer_weight_per_cm(absorbers, grid_nm) * grid_nm
    whole = integrate(effect, grid_nm)
    if whole <= 0.0:
        message = f"{subject.lamp} gives no light that this coat uses."
        raise UnknownError(message)
    absorbance = layer_absorbance_per_cm(absorbers, grid_nm)
    return integrate(effect * absorbance, grid_nm) / whole


def _behind(
    bench: Bench,
    subject: Subject,
    alone: FloatArray,
    grid_nm: FloatArray,
    notes: list[str],
) -> FloatArray:
    vessel = bench.vessels.get(subject.part.vessel)
    if vessel is None or vessel.curve not in bench.curves:
        code = subject.part.vessel or "The vessel"
        notes.append(f"{code}: wall never measured, counted as clear.")
        return alone
    return alone * tabulated(bench.curves[vessel.curve], grid_nm)
