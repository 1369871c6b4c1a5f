"""A spectrum from a file: looked at, held against what it would change, then filed."""

from __future__ import annotations

from itertools import pairwise
from textwrap import shorten

from benchassist.clock import Instant
from benchassist.domain.commands import FileSpectrum
from benchassist.domain.decide import decide
from benchassist.domain.events import Entry
from benchassist.domain.evolve import evolve
from benchassist.domain.library import Confidence, Curve, Quantity
from benchassist.domain.light import judge_lamp
from benchassist.domain.outcome import Refusal, Said
from benchassist.domain.state import Bench
from benchassist.spectra_file import (
    SAID,
    UNITS,
    SpectrumFileError,
    to_curve,
)
from benchassist.spectra_file import FileSpectrum as Found
from benchassist.sums.subject import (
    Subject,
    UnknownError,
    typed_number,
)
from benchassist.ui.present.physics.plot import Line, Plot, number, thinned
from benchassist.ui.view import Field
from benchassist.ui.words import say
from benchassist.value import value

MOST_TITLE = 48  # [characters] of a file's own title
TRUST = (("measured", say("measured here")), ("declared", say("from its papers")))


@value
class SpectrumView:
    """A plot of what the file holds, sentences, and what filing it would do.

    ``command`` files it; None while something is missing, which ``amiss`` says.
    """

    plot: Plot | None
    lines: tuple[str, ...]
    amiss: str
    command: FileSpectrum | None = None


def fields(bench: Bench, found: Found | None) -> tuple[Field, ...]:
    """Return the fields beside the plot: whose it is, unit, trust, why."""
    owners = [
        *(("lamp", code) for code in bench.lamps),
        *(("box", code) for code in bench.boxes),
        *(("vessel", code) for code in bench.vessels),
        *((("glasses", bench.operator),) if bench.operator else ()),
    ]
    if found and found.unit:
        # Those that the file can be of come first.
        told = UNITS[found.unit].quantity
        owners.sort(key=lambda owner: _quantity(owner[0]) != told)
    words = {
        "glasses": say("glasses of "),
        "lamp": "lamp ",
        "box": "box ",
        "vessel": "",
    }
    said = say("as it says") if found and found.unit else say("not said")
    units = (
        (SAID, said),
        *((key, unit.title) for key, unit in UNITS.items()),
    )
    return (
        Field(
            "owner",
            say("Spectrum of"),
            "choice",
            choices=tuple((f"{r} {c}", f"{words[r]}{c}") for r, c in owners)
            or (("", say("nothing on file")),),
        ),
        Field("unit", say("Values in"), "choice", SAID, units),
        Field("total", say("Total, mW/cm²"), "number", ""),
        Field("trust", say("How known"), "choice", "measured", TRUST),
        Field("reading", say("Lamp reading then"), "number", ""),
        Field("reason", say("Why it is filed"), "text", ""),
    )


def spectrum_view(
    bench: Bench,
    now: Instant,
    subject: Subject | None,
    found: Found,
    values: dict[str, str],
) -> SpectrumView:
    """Return what is shown of a file before anything is filed."""
    lines = [_about(found)]
    if found.unit:
        lines.append(say("The file says: {title}.", title=UNITS[found.unit].title))
    role, _, code = values.get("owner", "").partition(" ")
    quantity = _quantity(role)
    unit = values.get("unit", SAID)
    try:
        curve = to_curve(
            found,
            quantity=quantity,
            unit=unit,
            total_mw_cm2=_number(values, "total", say("Total")),
            confidence=_trust(values),
        )
        reading = _number(values, "reading", say("Meter reading"))
    except (SpectrumFileError, UnknownError) as error:
        return SpectrumView(_plot(found.nm, found.values, ""), tuple(lines), str(error))
    lines.append(_whole(curve, quantity))
    plot = _plot(curve.nm, curve.values, quantity)
    command = FileSpectrum(
        role,  # type: ignore[arg-type] # one of the choices
        code,
        curve,
        values.get("reason", ""),
        reading,
    )
    decision = decide(bench, command, now)
    if isinstance(decision, Refusal | Said):
        return SpectrumView(plot, tuple(lines), decision.message)
    if subject is not None and role == "lamp":
        after = bench
        for event in decision:
            entry = Entry(after.seq + 1, "", now, bench.operator, "hand", event)
            after = evolve(after, entry)
        lines.append(_change(bench, after, subject, code))
    return SpectrumView(plot, tuple(lines), "", command)


def _quantity(role: str) -> Quantity:
    through = role in {"vessel", "glasses"}
    return "transmittance" if through else "irradiance_mw_cm2_nm"


def _about(found: Found) -> str:
    told = shorten(found.title, MOST_TITLE, placeholder=" …")
    title = f" “{told}”" if told else ""
    return say(
        "{name}{title}: {many} points, {nm:g} to {nm2:g} nm, highest at "
        "{peak_nm:g} nm.",
        name=found.name,
        title=title,
        many=len(found.nm),
        nm=found.nm[0],
        nm2=found.nm[-1],
        peak_nm=found.peak_nm,
    )


def _whole(curve: Curve, quantity: Quantity) -> str:
    if quantity == "transmittance":
        return say(
            "Lets through {values:.1%} to {values2:.1%}.",
            values=min(curve.values),
            values2=max(curve.values),
        )
    points = list(zip(curve.nm, curve.values, strict=True))
    total = sum((b[0] - a[0]) * (a[1] + b[1]) / 2 for a, b in pairwise(points))
    return say(
        "{number} mW/cm² in all. Is that what it gives?", number=number(total, 3)
    )


def _change(before: Bench, after: Bench, subject: Subject, lamp: str) -> str:
    planned = subject.recipe.planned_tack_s
    was = judge_lamp(before, lamp, subject.lot, planned)
    now = judge_lamp(after, lamp, subject.lot, planned)
    return say(
        "Light check on {lot}: {level} ({reason}) becomes {level2} ({reason2}).",
        lot=subject.lot,
        level=was.level.upper(),
        reason=was.reason,
        level2=now.level.upper(),
        reason2=now.reason,
    )


def _plot(nm: tuple[float, ...], values: tuple[float, ...], quantity: str) -> Plot:
    x, y = thinned(nm, values, 400)
    title = {
        "irradiance_mw_cm2_nm": say("mW/cm² per nm"),
        "transmittance": say("share let through"),
    }.get(quantity, "as in the file")
    return Plot(
        "nm",
        title,
        (min(nm), max(nm)),
        (0.0, 1.05 * max(values)),
        lines=(Line(say("this file"), x, y),),
    )


def _trust(values: dict[str, str]) -> Confidence:
    return "declared" if values.get("trust") == "declared" else "measured"


def _number(values: dict[str, str], name: str, label: str) -> float:
    """Return what was typed, 0 where nothing was."""
    told = values.get(name, "").strip()
    return typed_number(label, told) if told else 0.0
