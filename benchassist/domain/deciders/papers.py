"""What label, papers and the own meter say, and why a coupon holds no longer."""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.deciders.common import needs_reason
from benchassist.domain.deciders.table import decides
from benchassist.domain.knowledge import document
from benchassist.domain.outcome import Decision, Refusal, Said, granted
from benchassist.domain.state import Bench
from benchassist.value import replace


@decides(cm.TypePapers)
def type_papers(bench: Bench, command: cm.TypePapers, now: Instant) -> Decision:
    """Enter what label or papers state of a lamp, a box or a material."""
    kinds = {"lamp": bench.lamps, "box": bench.boxes, "material": bench.materials}
    found = kinds[command.of].get(command.code)  # type: ignore[attr-defined]
    if found is None:
        return Refusal("no-equipment", f"“{command.code}” is not on file.")
    granted(_unfit(command))
    changes: dict[str, object] = {}
    if command.bands:
        changes["bands"] = tuple((float(a), float(b)) for a, b in command.bands)
    if command.document.strip():
        changes["document"] = command.document.strip()
        changes["revision"] = command.revision.strip()
    if command.of == "lamp" and command.mw_cm2:
        changes["mw_cm2"] = float(command.mw_cm2)
    defined = replace(found, **changes)
    match command.of:
        case "lamp":
            return (ev.LampDefined(defined, command.reason.strip()),)
        case "box":
            return (ev.BoxDefined(defined, command.reason.strip()),)
        case "material":
            return (ev.MaterialDefined(defined, command.reason.strip()),)


def _unfit(command: cm.TypePapers) -> Refusal | None:
    needs_reason(command.reason, f"Say why {command.code} changes on file.")
    if bool(command.document.strip()) != bool(command.revision.strip()):
        return Refusal("papers", "Type the document and its revision, or neither.")
    if any(not 200 <= low < high <= 1000 for low, high in command.bands):  # noqa: PLR2004
        return Refusal("papers", "A band goes from a lower to a higher wavelength, nm.")
    if not 0 <= command.mw_cm2 < 1e5:  # noqa: PLR2004 - [mW/cm²] beyond any lamp
        return Refusal("papers", "The irradiance must be in mW/cm², not below 0.")
    if not (command.bands or document(command.document, command.revision)):
        return Refusal("papers", "Type the bands of the label, or a document.")
    return None


@decides(cm.ReadThrough)
def read_through(bench: Bench, command: cm.ReadThrough, now: Instant) -> Decision:
    """Enter what the own meter reads behind an empty vessel, over without it."""
    found = bench.vessels.get(command.vessel)
    if found is None:
        return Refusal("no-equipment", f"Vessel “{command.vessel}” is not on file.")
    if not 0 < command.through <= 1:
        return Refusal(
            "through", "Type the reading through the wall over that without: 0.9."
        )
    read = replace(found, through=float(command.through))
    return (ev.VesselDefined(read, "own meter, empty vessel"),)


@decides(cm.EndCoupons)
def end_coupons(bench: Bench, command: cm.EndCoupons, now: Instant) -> Decision:
    """End what was tested with a lamp or box that is no longer the same."""
    found = bench.lamps if command.of == "lamp" else bench.boxes
    if command.code not in found:
        return Refusal("no-equipment", f"“{command.code}” is not on file.")
    ended = tuple(
        ev.CouponEnded(
            each.coupon.id,
            each.coupon.lamp,
            each.coupon.material,
            f"{command.why} of {command.code}",
        )
        for tests in bench.tested.values()
        for each in tests
        if not each.ended and getattr(each.coupon, command.of) == command.code
    )
    return ended or Said(f"No coupon of {command.code} holds.")


@decides(cm.ExplainCoupon)
def explain(bench: Bench, command: cm.ExplainCoupon, now: Instant) -> Decision:
    """Write down why a tab failed that the numbers say should have passed."""
    if (command.lamp, command.material) not in bench.against:
        return Refusal(
            "coupon", "No tab of that lamp and material waits to be explained."
        )
    needs_reason(command.reason, "Type what was found; it stays on the record.")
    return (ev.CouponExplained(command.lamp, command.material, command.reason.strip()),)
