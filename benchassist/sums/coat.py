"""From what is on file to what the coat model needs, and how sure each of it is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from benchassist.domain.layer import LayerLight, layer_light
from benchassist.domain.library import OFF, Confidence, Curve
from benchassist.domain.library import Initiator as LayerInitiator
from benchassist.domain.light import judge_lamp, output_share
from benchassist.domain.limits import limit, limit_of
from benchassist.domain.nitrogen import oxygen_left
from benchassist.domain.state import Bench
from benchassist.physics.coat import Exposure, NewCoat, Nitrogen
from benchassist.physics.coat_rates import RateSet
from benchassist.physics.coat_resin import CLEAVE_TWICE, Film, Initiator, Resin
from benchassist.physics.coat_tack import PAUSE_S
from benchassist.physics.kinetics import flash_share
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
from benchassist.physics.tip import distance_factor
from benchassist.sums import shipped
from benchassist.sums.spot_map import Overlap, overlap_of, usual
from benchassist.sums.subject import (
    Subject,
    UnknownError,
    second_half_s,
)

BOTH, MEASURED_ALONE, SLOW_ALONE, OWN = range(4)  # what the limit coat_rates says
RATES = ("both", "measured", "slow", "own")
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
    flash_hz, oxygen_percent
        How often the box flashes, None if it is steady; the oxygen left in nitrogen.
    weakest, overlap, cleaves_twice
        The share of the lamp at its coldest spot and held far; how the circles lie on
        each other; whether an initiator has a second cleavage that is not counted.
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
    flash_hz: float | None
    oxygen_percent: float
    weakest: float
    overlap: Overlap
    cleaves_twice: bool
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
            self.flash_hz,
            self.oxygen_percent,
            self.weakest,
            self.overlap.circles,
            self.resin.rates,
            self.resin.others,
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
                Exposure(
                    self.box_s * share,
                    film,
                    self.behind_mw_cm2_nm,
                    flash_hz=self.flash_hz,
                ),
            ]
        top = Exposure(
            self.box_s * share,
            "air" if cover == "air" else Nitrogen(self.oxygen_percent),
            self.box_mw_cm2_nm,
            flash_hz=self.flash_hz,
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
        made = np.array([_initiation_mol_l_s(resin, behind, grid_nm)])
        kt = np.array([resin.rates.kt_l_mol_s])
        share = flash_share(
            initiation_mol_l_s=made, kt_l_mol_s=kt, rate_hz=box.rate_hz
        )[0]
        notes.append(
            f"{box.rate_hz:g} flashes a second count as flashes: of steady light's "
            f"radicals {share:.0%} in a fresh coat, more as it is spent."
        )
    percent, told = oxygen_left(bench, subject.recipe)
    if subject.part.variant.cover == "nitrogen":
        notes.append(told)
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
        flash_hz=box.rate_hz if box.unit == "flash" else None,
        oxygen_percent=percent,
        weakest=weakest_share(bench, subject.lamp),
        overlap=overlap_of(
            usual(bench, subject),
            [face.spots for face in bench.faces_of(subject.part)],
        ),
        cleaves_twice=any(
            each.name.lower() in CLEAVE_TWICE
            for each in absorbers_known(bench, subject.lot)
        ),
        notes=tuple(notes),
    )


def weakest_share(bench: Bench, lamp: str) -> float:
    """Return the least of a lamp's light, as a share of what is read held near.

    At the tip's coldest spot, held as far as hands hold it.
    """
    source_mm = limit_of(bench, lamp, "tip_source_mm")
    near, far = (
        distance_factor(source_mm=source_mm, distance_mm=limit(bench, code))
        for code in ("tip_near_mm", "tip_far_mm")
    )
    return limit(bench, "tip_cold_share") * min(1.0, far / near)


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


def absorbers_known(bench: Bench, lot: str) -> tuple[LayerInitiator, ...]:
    """Return the initiators of a lot as they are on file; none where they are not."""
    layer = layer_light(bench, lot)
    return layer.initiators if layer else ()


def absorbers_of(bench: Bench, lot: str) -> list[Absorber]:
    """Return the initiators of a lot, a mix with all its parents'.

    Raises
    ------
    UnknownError
        If what it absorbs is not on file.
    """
    return [
        Absorber(bench.curves[each.curve], each.mol_l, each.quantum_yield)
        for each in _layer(bench, lot).initiators
    ]


def _layer(bench: Bench, lot: str) -> LayerLight:
    layer = layer_light(bench, lot)
    if layer is None:
        message = f"What {lot or 'this coat'} absorbs is not on file."
        raise UnknownError(message)
    return layer


def _lamp(bench: Bench, code: str, grid_nm: FloatArray) -> FloatArray:
    lamp = bench.lamps.get(code)
    if lamp is None:
        message = "No lamp is chosen."
        raise UnknownError(message)
    if lamp.curve not in bench.curves:
        message = f"{code} has no spectrum on file."
        raise UnknownError(message)
    return tabulated(bench.curves[lamp.curve], grid_nm) * output_share(bench, code)


def _resin(
    bench: Bench, subject: Subject, grid_nm: FloatArray, notes: list[str]
) -> Resin:
    layer = _layer(bench, subject.lot)
    initiators = []
    for each in layer.initiators:
        curve = bench.curves[each.curve]
        if curve.confidence == "from memory":
            notes.insert(0, f"How {each.name} absorbs is our guess.")
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
    in_use, *others = rates_of(bench)
    notes.insert(0, rates_words(in_use, others))
    return Resin(
        tuple(initiators),
        np.full(grid_nm.shape, static or 0.0),
        in_use,
        tuple(others),
    )


def rates_of(bench: Bench) -> list[RateSet]:
    """Return the set of rates in use, and then those that may be as true."""
    sets = list(shipped.rates().values())
    chosen = round(limit(bench, "coat_rates"))
    if chosen in {MEASURED_ALONE, SLOW_ALONE}:
        return [sets[chosen - 1]]
    if chosen == OWN:
        measured = sets[0]
        own = replace(
            measured,
            kp_l_mol_s=measured.kp_l_mol_s * limit(bench, "kp_percent") / 100,
            kt_l_mol_s=measured.kt_l_mol_s * limit(bench, "kt_percent") / 100,
            name=RATES[OWN],
            source="fitted by the practice",
        )
        return [own]
    return sets


def rates_words(in_use: RateSet, others: Sequence[RateSet]) -> str:
    """Return which rates the band rests on, in one sentence."""
    told = f"Rates: {in_use.name} ({in_use.source}; {in_use.condition})."
    if others:
        names = " and ".join(each.name for each in (in_use, *others))
        told += f" The band holds the sets {names}; the careful end counts."
    return f"{told} Oxygen is our guess."


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
    fitted = bench.working_curves.get((subject.lamp, found.material)) if found else None
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
