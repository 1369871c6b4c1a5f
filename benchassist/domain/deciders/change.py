"""Change-over of a part in flight, and one stage back."""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.change import changed, stepped_back
from benchassist.domain.deciders.common import drying, find, needs_reason
from benchassist.domain.deciders.equipment import needs_shelf
from benchassist.domain.deciders.intake import more_layers
from benchassist.domain.deciders.lots import gone, lots_of, unfit_lot
from benchassist.domain.deciders.table import decides
from benchassist.domain.outcome import Decision, Refusal, granted
from benchassist.domain.state import Bench, Part, Soaking
from benchassist.value import shared


@decides(cm.ChangePart)
def change_part(bench: Bench, command: cm.ChangePart, now: Instant) -> Decision:
    """Let a part go on otherwise, with the reason; gates are judged at use."""
    part = find(bench, command.part)
    needs_shelf(bench, command)
    recipe = bench.recipe_of(part)
    for role, lot in lots_of(command):
        granted(unfit_lot(bench, recipe, role, lot))
        granted(gone(bench, recipe, role, lot, now))
    found = granted(changed(bench, part, command))
    if not command.reason.strip():
        more = more_layers(recipe, found.part.variant)
        return Refusal("no-reason", more or "Say why; it stays on the record.")
    event = ev.PartChanged(
        **shared(command, ev.PartChanged)
        | {
            "variant": found.part.variant,
            "route": found.part.route,
            "at": found.part.at,
            "changes": found.changes,
            "reason": command.reason.strip(),
        }
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
    return back, *drying(part.code, (stage,))


def _begins(part: Part, after: Part) -> tuple[ev.Event, ...]:
    """Return the drying that begins by itself where the part now stands."""
    if after.stage == part.stage or isinstance(part.phase, Soaking):
        return ()
    return drying(part.code, (after.stage,))
