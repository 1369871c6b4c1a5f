"""Lamps, boxes, vessels: which one a part gets, what was read, tried or filled."""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain import codes
from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.deciders.common import find
from benchassist.domain.deciders.table import decides
from benchassist.domain.library import Box
from benchassist.domain.outcome import Decision, Refusal, granted
from benchassist.domain.route import RouteError, build_route
from benchassist.domain.shelf import absent, other_unit
from benchassist.domain.state import Bench, Part, Walking

LONGEST_TACK_S = 3600  # [s] nobody holds a lamp for longer


@decides(cm.ChooseEquipment)
def choose_equipment(
    bench: Bench, command: cm.ChooseEquipment, now: Instant
) -> Decision:
    """Use another lamp, box or vessel for a part."""
    part = find(bench, command.part)
    granted(absent(bench, command.role, command.code))
    if command.role == "lamp" and isinstance(part.phase, Walking):
        return Refusal(
            "lit",
            f"{part.phase.lamp} is at work on {part.code}.",
            remedy="Pause the walk first; the spot then starts whole.",
            part=part.code,
        )
    if command.role == "vessel" and part.immersed_in:
        return Refusal("immersed", f"{part.code} lies in {part.immersed_in} already.")
    if command.role == "box":
        granted(_unlike_box(bench, part, bench.boxes[command.code]))
    return (ev.EquipmentChosen(part.code, command.role, command.code),)


def needs_shelf(bench: Bench, asked: cm.TakeIn | cm.ChangePart) -> None:
    """Refuse a command that names a lamp, box or vessel that cannot be taken."""
    named: tuple[tuple[ev.ShelfKind, str], ...] = (
        ("lamp", asked.lamp),
        ("box", asked.box),
        ("vessel", asked.vessel),
    )
    for kind, code in named:
        if code:
            granted(absent(bench, kind, code))


def _unlike_box(bench: Bench, part: Part, box: Box) -> Refusal | None:
    recipe = bench.recipe_of(part)
    if box.unit != recipe.unit:
        return other_unit(recipe, box)
    try:
        route = build_route(recipe, part.variant, box.rule)
    except RouteError:
        route = ()
    runs = {(stage.half, stage.side): stage.runs for stage in route}
    ahead = [stage for stage in part.route[part.at :] if stage.kind == "box"]
    if all(runs.get((stage.half, stage.side)) == stage.runs for stage in ahead):
        return None
    return Refusal(
        "box-differs",
        f"{box.code} cannot be set to the counts that {part.code} was planned for.",
        remedy="Use a box that can, or take the part in anew for this one.",
        part=part.code,
    )


@decides(cm.ReadLamp)
def read_lamp(bench: Bench, command: cm.ReadLamp, now: Instant) -> Decision:
    """Enter a lamp reading."""
    if command.lamp not in bench.lamps:
        return Refusal("no-equipment", f"The lamp “{command.lamp}” is not on file.")
    if not 0 < command.reading < 1e6:  # noqa: PLR2004 - beyond any meter's scale
        return Refusal("reading", "The reading must be a number above 0.")
    return (ev.LampReadingTaken(command.lamp, command.reading),)


@decides(cm.RecordCoupon)
def record_coupon(bench: Bench, command: cm.RecordCoupon, now: Instant) -> Decision:
    """Enter the result of a coupon."""
    if command.lamp not in bench.lamps or command.material not in bench.materials:
        return Refusal("no-equipment", "The coupon names a lamp or material unknown.")
    if not 0 <= command.tack_s <= LONGEST_TACK_S:
        return Refusal("tack", f"No tack lasts {command.tack_s:g} s; type seconds.")
    if command.passed and command.how:
        return Refusal("coupon", "A coupon that passed did not fail in any way.")
    return (
        ev.CouponRecorded(
            command.lamp,
            command.material,
            command.passed,
            float(command.tack_s),
            command.how,
        ),
    )


@decides(cm.FillGlycerine)
def fill(bench: Bench, command: cm.FillGlycerine, now: Instant) -> Decision:
    """Empty a vessel and fill it anew."""
    if command.vessel not in bench.vessels:
        return Refusal("no-equipment", f"Vessel “{command.vessel}” is not on file.")
    if not command.lot.strip():
        return Refusal("no-lot", "Type the lot of the fresh glycerine.")
    granted(codes.amiss(bench, "lot", command.lot.strip()))
    inside = [
        part.code for part in bench.in_flight if part.immersed_in == command.vessel
    ]
    if inside:
        return Refusal("immersed", f"{', '.join(inside)} still lies in it.")
    return (ev.GlycerineFilled(command.vessel, command.lot.strip()),)
