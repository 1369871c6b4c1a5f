"""Where a coat stands, and the routes by which it is taken off or laid again.

A coat that is laid again is a layer of its own: it is owed the submerged half in
full, whatever the one before it had. Orders and times are common practice, no
source; the recipe's own drying and rinsing are used where it has them.
"""

from __future__ import annotations

from benchassist.clock import MS
from benchassist.domain import events as ev
from benchassist.domain.library import CountRule
from benchassist.domain.limits import limit
from benchassist.domain.mishaps.kind import Case
from benchassist.domain.route import SUBMERGED, Stage, build_route, unique
from benchassist.domain.stages import STAGES
from benchassist.domain.state import WET, Bench, InRun, Part
from benchassist.domain.words import minutes, span
from benchassist.value import replace

COAT_UM = (15, 30)  # [µm] one very thin coat; common practice, no source
RINSE_S = 60  # [s] glycerine off; common practice, no source
DRY_AFTER_GLYCERINE_S = 900  # [s] after rinse and wipe; common practice, no source


def free(bench: Bench, part: Part) -> bool:
    """Return whether a part can be taken in hand: not in the box."""
    return not isinstance(part.phase, InRun)


def same_vessel(bench: Bench, part: Part) -> tuple[str, ...]:
    """Return a part and all that lie in its vessel."""
    lying = (
        each.code
        for each in bench.in_flight
        if part.vessel and each.immersed_in == part.vessel
    )
    return tuple(dict.fromkeys((part.code, *lying)))


def dry_s(case: Case, least_s: int = 0) -> int:
    """Return how long the part dries before a coat, at least ``least_s``."""
    return max(least_s, case.bench.recipe_of(case.part).dry_before_coat_s)


def coat_note(case: Case, more: int = 1) -> str:
    """Return how many coats there will be and how thick they are together."""
    after = case.part.coats + more
    most = int(limit(case.bench, "coats_max"))
    low, high = (each * after for each in COAT_UM)
    told = f"Coat {after} of at most {most}; together {low} to {high} µm."
    return told if after <= most else f"{told} Ask the prescriber first."


def segment_words(part: Part) -> str:
    """Return the spots of the wet segment in words."""
    phase = part.phase
    if not isinstance(phase, WET):
        return "the patch"
    return span(tuple(range(phase.first + 1, phase.last + 1)))


# --- routes --------------------------------------------------------------------


def stage_of(part: Part, layer: str) -> Stage:
    """Return the stage that laid a layer."""
    return next(stage for stage in part.route if stage.layer == layer)


def again(part: Part, layer: str) -> Stage:
    """Return the stage that lays a layer anew, under a name of its own."""
    old = stage_of(part, layer)
    name = f"{layer.split('-again', maxsplit=1)[0]}-again-{part.reworks + 1}"
    title = f"{old.title.removesuffix(' again')} again"
    return replace(old, key=name, title=title, layer=name)


def rinse_stage(case: Case) -> Stage:
    """Return the stage that takes glycerine off."""
    least = max(RINSE_S, case.bench.recipe_of(case.part).rinse_s)
    return Stage("rinse", "rinse", "Rinse glycerine off", min_s=least)


def swab_stage(title: str) -> Stage:
    """Return the stage in which an alcohol swab is used by hand."""
    return Stage("swab", "clean", title)


def dry_stage(seconds: int) -> Stage:
    """Return a drying stage."""
    return Stage("dry-again", "dry", "Dry", min_s=seconds)


def onward(part: Part, layer: str) -> tuple[Stage, ...]:
    """Return the stages that follow once ``layer`` lies on the part again."""
    laid = next(n for n, stage in enumerate(part.route) if stage.layer == layer)
    cover = (
        n
        for n, stage in enumerate(part.route)
        if n > laid and (_covers(stage) or stage.kind == "hold")
    )
    first = max(part.at, laid + 1)
    return part.route[min(first, next(cover, first)) :]


def _covers(stage: Stage) -> bool:
    return STAGES[stage.kind].covered


def lifted_out(part: Part) -> tuple[Stage, ...]:
    """Return what is ahead of a part lifted out: under cover again before light."""
    rest = part.route[part.at :]
    box = next((n for n, stage in enumerate(rest) if stage.half == SUBMERGED), None)
    if box is None or any(map(_covers, rest[:box])):
        return rest
    under = filter(_covers, reversed(part.route[: part.at]))
    return (*(stage for stage in (next(under, None),) if stage), *rest)


def covered(case: Case) -> tuple[Stage, ...]:
    """Return the stages of the submerged half as the recipe has them."""
    bench, part = case.bench, case.part
    box = bench.boxes.get(part.box)
    route = build_route(
        bench.recipe_of(part), part.variant, box.rule if box else CountRule()
    )
    last_layer = max(n for n, stage in enumerate(route) if stage.layer)
    return tuple(
        stage for stage in route[last_layer + 1 :] if not STAGES[stage.kind].ends
    )


def layers_ahead(part: Part) -> bool:
    """Return whether another layer is still to be laid after the one at hand."""
    newest = part.newest_coat
    return any(stage.layer and stage.layer != newest for stage in part.route[part.at :])


def rerouted(
    case: Case, stages: tuple[Stage, ...], why: str, *, rework: bool
) -> ev.RouteChanged:
    """Return the part's route with ``stages`` after what it has behind it."""
    part = case.part
    return ev.RouteChanged(
        part=part.code,
        route=unique(part.route[: part.at], stages),
        at=part.at,
        why=why,
        rework=rework,
    )


# --- the ways back -------------------------------------------------------------


def strip_and_lay(
    case: Case,
    layers: tuple[str, ...],
    why: str,
    *,
    glycerine: bool = False,
    least_dry_s: int = 0,
    then: tuple[Stage, ...] = (),
) -> tuple[ev.Event, ...]:
    """Take layers off with an alcohol swab, dry, and lay them again.

    With ``glycerine`` on the part it is rinsed between swab and second wipe: the
    coat comes off before water can carry it over the part. ``then`` is done before
    it dries.
    """
    part = case.part
    titles = " and ".join(stage_of(part, layer).title.lower() for layer in layers)
    stages = [swab_stage(f"Alcohol swab: {titles} off")]
    if glycerine:
        stages += [rinse_stage(case), swab_stage("Wipe with alcohol")]
    stages += [*then, dry_stage(dry_s(case, least_dry_s))]
    stages += [again(part, layer) for layer in layers]
    rest = onward(part, layers[-1])
    return (
        *(ev.LayerStripped(part.code, layer) for layer in reversed(layers)),
        rerouted(case, (*stages, *rest), why, rework=True),
    )


def lay_later(
    case: Case, layer: str, why: str, *, then: tuple[Stage, ...] = ()
) -> tuple[ev.Event, ...]:
    """Finish the cure that is under way, then abrade and lay one more coat.

    ``then`` is done before that coat.
    """
    part = case.part
    end = next(n for n, stage in enumerate(part.route) if STAGES[stage.kind].ends)
    stages = (
        *part.route[part.at : max(part.at, end)],
        Stage("abrade-again", "abrade", "Abrade and clean"),
        *then,
        dry_stage(dry_s(case)),
        again(part, layer),
        *covered(case),
        *part.route[max(part.at, end) :],
    )
    return (rerouted(case, stages, why, rework=True),)


def dries_for_s(case: Case, ahead: tuple[Stage, ...]) -> int:
    """Return how long a part dries after alcohol: for a brush, or for the box."""
    layer = (n for n, stage in enumerate(ahead) if stage.layer)
    cure = (n for n, stage in enumerate(ahead) if stage.kind == "box" or _covers(stage))
    if next(layer, len(ahead)) < next(cure, len(ahead)):
        return dry_s(case)
    return max(dry_s(case), case.bench.recipe_of(case.part).dry_before_box_s)


def clean_again(
    case: Case, why: str, *, first: tuple[Stage, ...] = ()
) -> tuple[ev.Event, ...]:
    """Clean and dry a surface that nothing was laid on, then go on as before."""
    part = case.part
    ahead = part.route[part.at :]
    stages = (
        *first,
        swab_stage("Clean with an alcohol wipe"),
        dry_stage(dries_for_s(case, ahead)),
        *ahead,
    )
    return (rerouted(case, stages, why, rework=False),)


def wet_ms(case: Case) -> int:
    """Return how long the coat has been wet, 0 where none is."""
    phase = case.part.phase
    if not isinstance(phase, WET):
        return 0
    return case.now.most_since(phase.wet_since)


def wiped(case: Case) -> tuple[ev.Event, ...]:
    """Wipe the wet segment off; its spots are open again."""
    part, wet = case.part, wet_ms(case)
    layer = part.stage.layer
    return (ev.CoatStateTold(part.code, layer, "wiped off", wet),)


def wipe_steps(case: Case) -> tuple[str, ...]:
    """Return the steps by which a wet segment is done anew."""
    wait = minutes(dry_s(case) * MS)
    return (
        "Wipe the patch off with alcohol before it sets.",
        f"Dry {wait}: no brush before.",
        f"Brush {segment_words(case.part)} again; the patch starts whole.",
    )
