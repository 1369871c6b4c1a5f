"""Change-over of a part in flight, and one stage back."""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.change import changed, stepped_back
from benchassist.domain.deciders.common import find, needs_reason
from benchassist.domain.deciders.intake import more_layers
from benchassist.domain.deciders.lots import gone, unfit_lot
from benchassist.domain.deciders.table import decides
from benchassist.domain.events import ShelfKind
from benchassist.domain.outcome import Decision, Refusal, granted
from benchassist.domain.shelf import absent
from benchassist.domain.stages import STAGES
from benchassist.domain.state import Bench, Part, Soaking


@decides(cm.ChangePart)
def change_part(bench: Bench, command: cm.ChangePart, now: Instant) -> Decision:
    """Let a part go on otherwise, with the reason; gates are judged at use."""
    part = find(bench, command.part)
    granted(_not_on_file(bench, part, command, now))
    found = granted(changed(bench, part, command))
    if not command.reason.strip():
        more = more_layers(bench.recipe_of(part), found.part.variant)
        return Refusal("no-reason", more or "Say why; it stays on the record.")
    event = ev.PartChanged(
        part=part.code,
        variant=found.part.variant,
        route=found.part.route,
        at=found.part.at,
        changes=found.changes,
        reason=command.reason.strip(),
        print_lot=command.print_lot,
        coat_lot=command.coat_lot,
        stain_lot=command.stain_lot,
        lamp=command.lamp,
        box=command.box,
        vessel=command.vessel,
        due=command.due,
    )
    return event, *_begins(part, found.part)


@decides(cm.StepBack)
def step_back(bench: Bench, command: cm.StepBack, now: Instant) -> Decision:
    """Go back to the stage before; what was done there stays on the record."""
    part = find(bench, command.part)
    at = granted(stepped_back(part))
    needs_reason(command.reason, "Say why; it stays on the record.")
    stage = part.route[at]
    back = ev.StageReopened(part.code, stage.key, at, command.reason.strip())
    if STAGES[stage.kind].mode != "dry":
        return (back,)
    begun = ev.StageStarted(stage.key, stage.kind, (part.code,), by_itself=True)
    return back, begun


def _begins(part: Part, after: Part) -> tuple[ev.Event, ...]:
    """Return the drying that begins by itself where the part now stands."""
    stage = after.stage
    if stage == part.stage or STAGES[stage.kind].mode != "dry":
        return ()
    if isinstance(part.phase, Soaking):
        return ()
    return (ev.StageStarted(stage.key, stage.kind, (part.code,), by_itself=True),)


def _not_on_file(
    bench: Bench, part: Part, command: cm.ChangePart, now: Instant
) -> Refusal | None:
    named: tuple[tuple[ShelfKind, str], ...] = (
        ("lamp", command.lamp),
        ("box", command.box),
        ("vessel", command.vessel),
    )
    for kind, code in named:
        if code and (missing := absent(bench, kind, code)):
            return missing
    recipe = bench.recipe_of(part)
    for role, lot in (
        ("print", command.print_lot),
        ("coat", command.coat_lot),
        ("stain", command.stain_lot),
    ):
        if lot:
            granted(unfit_lot(bench, recipe, role, lot))  # type: ignore[arg-type]
            granted(gone(bench, recipe, role, lot, now))  # type: ignore[arg-type]
    return None
