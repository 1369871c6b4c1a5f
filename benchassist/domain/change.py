"""Another way on for a part in flight: what a hand changes, laid on its route.

What was done stays where it is: stages behind the part, the dose it had, the layers
on it and the lots in them are never touched. Only what is ahead is planned anew, and
every gate of it is judged when it is used, as ever. The orders are common practice,
no source.
"""

from __future__ import annotations

from collections.abc import Callable

from benchassist.domain.coat import coat_state
from benchassist.domain.commands import ChangePart
from benchassist.domain.halves import remainder
from benchassist.domain.ledger import bounds
from benchassist.domain.library import CountRule, Recipe, Variant
from benchassist.domain.mishaps.rework import DRY_AFTER_GLYCERINE_S, RINSE_S
from benchassist.domain.outcome import Refusal, RefusedError
from benchassist.domain.route import DRY_COVER, RouteError, Stage, build_route, unique
from benchassist.domain.shelf import other_unit
from benchassist.domain.stages import STAGES
from benchassist.domain.state import (
    BODY,
    WET,
    Bench,
    InRun,
    OnHold,
    Part,
    Ready,
    Soaking,
)
from benchassist.value import replace, value


@value
class Change:
    """A part as it goes on, and in words what is different: what, was, is."""

    part: Part
    changes: tuple[tuple[str, str, str], ...]


def changed(bench: Bench, part: Part, asked: ChangePart) -> Change:
    """Return a part as it would go on; codes and lots were looked at before."""
    if isinstance(part.phase, WET):
        raise _no(part, "is wet", "Tack or wipe this segment first.")
    after = part.given(asked)
    _things_amiss(part, after)
    ahead = _ahead(bench, part, after)
    kept = part.route[: _fixed(part)]
    if asked.again:
        more = _again(bench, part, asked.again)
        kept, ahead = (
            part.route[: part.at],
            (*more, *part.route[part.at : len(kept)], *ahead),
        )
    after = replace(after, route=unique(kept, ahead))
    if isinstance(part.phase, OnHold) and after.stage.key != part.stage.key:
        # A change would end its hold unseen, and with it the time that it was held.
        raise _no(part, "is on hold", "Go on with it first, then change it.")
    changes = _told(part, after, asked.again)
    if not changes:
        told = f"{part.code} goes on just so already."
        raise RefusedError(Refusal("nothing-changed", told, part=part.code))
    return Change(after, changes)


def stepped_back(part: Part) -> int:
    """Return the place of the stage before, if it can be done once more."""
    if not _at_rest(part):
        raise _no(part, "is busy", "End what runs first.")
    if part.at == 0:
        raise _no(part, "stands at its first stage")
    stage = part.route[part.at - 1]
    if stage.kind == "box":
        raise _no(
            part,
            "had its count there",
            "More light is owed by the ledger alone; a count told wrong is put right.",
        )
    if stage.layer:
        raise _no(part, f"has {stage.title.lower()} on it", "What now? takes it off.")
    if STAGES[stage.kind].covered or part.immersed_in:
        raise _no(part, "lies under cover", "What now? says how it comes out.")
    if stage.kind == "flip":
        raise _no(part, "was turned", "A turn told wrong is put right in the record.")
    if coat_state(part) == "tacked":
        raise _no(part, "has a tacked coat on it", "Finish its second half first.")
    return part.at - 1


def _no(part: Part, why: str, remedy: str = "") -> RefusedError:
    told = f"{part.code} {why}."
    return RefusedError(Refusal("not-changeable", told, remedy=remedy, part=part.code))


def _at_rest(part: Part) -> bool:
    """Return whether nothing runs on a part but, at most, its drying."""
    drying = isinstance(part.phase, Soaking) and STAGES[part.stage.kind].mode == "dry"
    return drying or isinstance(part.phase, Ready)


def _fixed(part: Part) -> int:
    """Return how many stages are behind a part or under way."""
    begun = part.stage.layer in part.work if part.stage.layer else False
    given = part.stage.kind == "box" and _had(part, part.stage) > 0
    held = isinstance(part.phase, OnHold) and part.stage.kind != "hold"
    waits = isinstance(part.phase, Ready) or held
    return part.at if waits and not begun and not given else part.at + 1


def _had(part: Part, stage: Stage) -> int:
    """Return the most that a box stage's side had in its half."""
    return bounds(part, layer=BODY, side=stage.side, half=stage.half)[1]


def _things_amiss(part: Part, after: Part) -> None:
    if after.vessel != part.vessel and part.immersed_in:
        raise _no(part, f"lies in {part.immersed_in} already")
    if after.box != part.box and isinstance(part.phase, InRun):
        raise _no(part, f"is in {part.box}", "Tell how its run ended first.")
    if after.variant.back_from_mouth != part.variant.back_from_mouth:
        raise _no(part, "cannot become another kind of job", "Take it in anew.")
    begun = part.stage.layer in part.work
    if after.variant.faces != part.variant.faces and begun:
        raise _no(part, f"has {part.stage.title.lower()} begun", "Finish it first.")


def _ahead(bench: Bench, part: Part, after: Part) -> tuple[Stage, ...]:
    """Return the stages still to come, as the part goes on."""
    recipe = bench.recipe_of(part)
    ahead = part.route[_fixed(part) :]
    try:
        new = build_route(recipe, after.variant, _rule(bench, part, after))
    except RouteError as error:
        no = Refusal("route", str(error), part=part.code)
        raise RefusedError(no) from error
    wants, has = after.variant, part.variant
    if (wants.finish == "none") != (has.finish == "none") and not _cured(part):
        done = {stage.key for stage in part.route[: _fixed(part)]}
        return tuple(stage for stage in new if stage.key not in done)
    if wants.finish == "none" and has.finish != "none":
        raise _no(part, "had half of its cure", "Polish it, or leave its coats out.")
    for step in (
        _without_layers,
        _without_stains,
        _with_cover,
        _with_layers,
        _polished,
        _dried,
    ):
        ahead = step(part, ahead, wants, new)
    return _recounted(bench, part, after, ahead, new)


def _cured(part: Part) -> bool:
    """Return whether the body had light, or has it now."""
    behind = part.route[: _fixed(part)]
    return any(stage.kind == "box" for stage in behind)


def _rule(bench: Bench, part: Part, after: Part) -> CountRule:
    """Return the counts that plan both halves: those of the first that was given."""
    box = bench.boxes.get(part.box if _cured(part) else after.box)
    return box.rule if box else CountRule()


def _layers(variant: Variant, kind: str) -> int:
    if variant.finish != "coat":
        return 0
    return variant.coats if kind == "coat" else variant.stain_passes


def _base(layer: str) -> str:
    return layer.split("-again", maxsplit=1)[0]


def _without_layers(
    part: Part, ahead: tuple[Stage, ...], wants: Variant, new: tuple[Stage, ...]
) -> tuple[Stage, ...]:
    """Leave layers out that are no longer wanted; what lies on the part stays."""
    over = {
        f"{kind}-{n}"
        for kind in ("stain", "coat")
        for n in range(_layers(wants, kind) + 1, _layers(part.variant, kind) + 1)
    }
    if not over:
        return ahead
    laid = next((each for each in part.work if _base(each) in over), "")
    if laid:
        raise _no(
            part, f"has {laid.replace('-', ' ')} on it", "What now? takes it off."
        )
    left = tuple(stage for stage in ahead if _base(stage.layer) not in over)
    if not (any(stage.layer for stage in left) or part.work):
        left = tuple(
            stage
            for n, stage in enumerate(ahead)
            if _base(stage.layer) not in over and not _readies(ahead, n)
        )
    return _without_its_cure(left)


def _without_its_cure(left: tuple[Stage, ...]) -> tuple[Stage, ...]:
    """Leave the second half out that was only there for a coat that is left out."""
    again = _first(left, lambda stage: stage.key.startswith("abrade-again"))
    if again == len(left) or any(stage.layer for stage in left[again:]):
        return left
    return (*left[:again], *left[_first(left, _ends) :])


def _readies(ahead: tuple[Stage, ...], n: int) -> bool:
    """Return whether a stage only makes ready for a layer that comes next."""
    if STAGES[ahead[n].kind].readies:
        return True
    if ahead[n].kind != "dry" or n + 1 >= len(ahead):
        return False
    return bool(ahead[n + 1].layer) or _readies(ahead, n + 1)


def _without_stains(
    part: Part, ahead: tuple[Stage, ...], wants: Variant, new: tuple[Stage, ...]
) -> tuple[Stage, ...]:
    """Add stain passes, which lie under every coat."""
    more = _layers(wants, "stain") - _layers(part.variant, "stain")
    if more <= 0:
        return ahead
    if any(layer.startswith("coat") for layer in part.work):
        raise _no(part, "has a coat on it", "A stain lies under the coat.")
    if not _layers(part.variant, "coat"):
        return ahead  # they come with its first coat
    stains = tuple(stage for stage in new if stage.kind == "stain")[-more:]
    first = _first(ahead, lambda stage: stage.kind == "coat")
    return (*ahead[:first], *stains, *ahead[first:])


def _with_layers(
    part: Part, ahead: tuple[Stage, ...], wants: Variant, new: tuple[Stage, ...]
) -> tuple[Stage, ...]:
    """Add coats: before the second half, or after it with one of their own."""
    had = _layers(part.variant, "coat")
    more = _layers(wants, "coat") - had
    if more <= 0:
        return ahead
    coats = tuple(stage for stage in new if stage.kind == "coat")[-more:]
    under = any(STAGES[stage.kind].covered for stage in ahead) and not part.immersed_in
    if under:
        cover = _first(ahead, _covers)
        readying = () if had else _between(part, ahead[:cover], new)
        layers = coats if had else tuple(stage for stage in new if stage.layer)
        return (*ahead[:cover], *readying, *layers, *ahead[cover:])
    end = _first(ahead, _ends)
    dry_s = max(
        DRY_AFTER_GLYCERINE_S, *(each.min_s for each in new if each.kind == "dry")
    )
    return (
        *ahead[:end],
        Stage("abrade-again", "abrade", "Abrade and clean"),
        Stage("dry-again", "dry", "Dry", min_s=dry_s),
        *(coats if had else tuple(stage for stage in new if stage.layer)),
        *_covered(new),
        *ahead[end:],
    )


def _between(
    part: Part, until: tuple[Stage, ...], new: tuple[Stage, ...]
) -> tuple[Stage, ...]:
    """Return what makes ready for the first layer, as far as it is not done.

    ``until`` is what is ahead before the cover; drying for the box falls away there.
    """
    behind = part.route[: _fixed(part)]
    done = {stage.key for stage in behind}
    left = (stage for stage in until if stage.key != DRY_COVER)
    dried_s = _dried_s((*behind, *left))
    first = next(n for n, stage in enumerate(new) if stage.layer)
    out: list[Stage] = []
    for stage in reversed(new[:first]):
        dry = stage.kind == "dry"
        if not (dry or STAGES[stage.kind].readies):
            break
        if stage.min_s > dried_s if dry else stage.key not in done:
            out.insert(0, stage)
    return tuple(out)


def _dried_s(stages: tuple[Stage, ...]) -> int:
    """Return how long a part dries in some stages after the last that wets it."""
    longest = 0
    for stage in stages:
        if stage.kind == "dry":
            longest = max(longest, stage.min_s)
        elif STAGES[stage.kind].wets:
            longest = 0
    return longest


def _with_cover(
    part: Part, ahead: tuple[Stage, ...], wants: Variant, new: tuple[Stage, ...]
) -> tuple[Stage, ...]:
    """Lay another cover over the second half, or a hold before it."""
    has = part.variant
    same = (wants.cover, wants.hold_between) == (has.cover, has.hold_between)
    if same or wants.finish == "none":
        return ahead
    if part.immersed_in or not any(STAGES[stage.kind].covered for stage in ahead):
        raise _no(part, "is in its second half", "Its cover is on already.")
    cover, end = _first(ahead, _covers), _first(ahead, _ends)
    return (*ahead[:cover], *_covered(new), *ahead[end:])


def _dried(
    part: Part, ahead: tuple[Stage, ...], wants: Variant, new: tuple[Stage, ...]
) -> tuple[Stage, ...]:
    """Let what no coat is laid on any more dry for the box before it is covered."""
    left = tuple(stage for stage in ahead if stage.key != DRY_COVER)
    behind = {stage.key for stage in part.route[: _fixed(part)]}
    cover = _first(left, _covers)
    bare = not part.work and not any(stage.layer for stage in left[:cover])
    under = cover < len(left) and not part.immersed_in and DRY_COVER not in behind
    if not (bare and under) or (cover and left[cover - 1].kind == "dry"):
        return left
    dry = tuple(stage for stage in new if stage.key == DRY_COVER)
    return (*left[:cover], *dry, *left[cover:])


def _polished(
    part: Part, ahead: tuple[Stage, ...], wants: Variant, new: tuple[Stage, ...]
) -> tuple[Stage, ...]:
    """Put the polish in or leave it out."""
    if wants.finish == part.variant.finish:
        return ahead
    left = tuple(stage for stage in ahead if stage.kind != "polish")
    polish = tuple(stage for stage in new if stage.kind == "polish")
    end = _first(left, _ends)
    return (*left[:end], *polish, *left[end:])


def _covered(new: tuple[Stage, ...]) -> tuple[Stage, ...]:
    """Return the whole second half of a route, from its cover to its drying."""
    return new[_first(new, _covers) : _first(new, _ends)]


def _covers(stage: Stage) -> bool:
    """Return whether a stage begins the second half: its cover, or the wait for it."""
    return STAGES[stage.kind].covered or stage.kind == "hold"


def _ends(stage: Stage) -> bool:
    return STAGES[stage.kind].ends


def _first(stages: tuple[Stage, ...], such: Callable[[Stage], bool]) -> int:
    """Return the place of the first such stage, or the end."""
    return next((n for n, stage in enumerate(stages) if such(stage)), len(stages))


def _recounted(
    bench: Bench,
    part: Part,
    after: Part,
    ahead: tuple[Stage, ...],
    new: tuple[Stage, ...],
) -> tuple[Stage, ...]:
    """Set the counts of runs not begun for the box the part goes on with."""
    if after.box == part.box:
        return ahead
    recipe, box = bench.recipe_of(part), bench.boxes[after.box]
    if box.unit != recipe.unit:
        raise RefusedError(replace(other_unit(recipe, box), part=part.code))
    planned = {(s.half, s.side): s for s in new if s.kind == "box"}
    out = []
    for stage in ahead:
        if stage.kind == "box":
            stage = _counted(stage, recipe, box.rule, planned, cured=_cured(part))  # noqa: PLW2901
        out.append(stage)
    return tuple(out)


def _counted(
    stage: Stage,
    recipe: Recipe,
    rule: CountRule,
    planned: dict[tuple[int, str], Stage],
    *,
    cured: bool,
) -> Stage:
    found = planned.get((stage.half, stage.side))
    if found is not None and not cured:
        return replace(stage, plan=found.plan, runs=found.runs)
    counts = recipe.rule or rule
    runs = remainder(
        stage.plan,
        0,
        step=counts.step,
        max_run=counts.max_run or None,
        programs=counts.programs,
    )
    return replace(stage, plan=sum(runs), runs=runs)


def _again(bench: Bench, part: Part, what: str) -> tuple[Stage, ...]:
    """Return one more wash or rinse at this place, and the drying that it needs."""
    if not _at_rest(part):
        raise _no(part, "is busy", "End what runs first.")
    if coat_state(part) == "tacked":
        raise _no(part, "has a tacked coat on it", "It would come off: never wash it.")
    if part.immersed_in:
        raise _no(part, f"lies in {part.immersed_in}", "It is rinsed when it is out.")
    recipe = bench.recipe_of(part)
    if what == "rinse":
        least = max(recipe.dry_after_rinse_s, recipe.dry_before_coat_s)
        stage = Stage(
            "rinse-more", "rinse", "One more rinse", min_s=max(RINSE_S, recipe.rinse_s)
        )
    elif not recipe.washes:
        raise _no(part, "has no bath in its recipe")
    else:
        bath = recipe.washes[-1]
        least = max(recipe.dry_before_box_s, recipe.dry_before_coat_s)
        stage = Stage(
            "wash-more", "wash", "One more wash", min_s=bath.min_s, max_s=bath.max_s
        )
    if part.stage.kind == "dry" and part.stage.min_s >= least:
        return (stage,)
    return stage, Stage("dry-more", "dry", "Dry", min_s=least)


def _told(part: Part, after: Part, again: str) -> tuple[tuple[str, str, str], ...]:
    """Return what is different: what, was, is."""
    was, wants = part.variant, after.variant
    pairs = (
        ("coats", _layers(was, "coat"), _layers(wants, "coat")),
        ("stain passes", _layers(was, "stain"), _layers(wants, "stain")),
        ("finish", was.finish, wants.finish),
        ("second half", was.cover, wants.cover),
        ("held between", _yes(was.hold_between), _yes(wants.hold_between)),
        ("faces", ", ".join(was.faces) or "all", ", ".join(wants.faces) or "all"),
        ("print lot", part.print_lot, after.print_lot),
        ("coat lot", part.coat_lot, after.coat_lot),
        ("stain lot", part.stain_lot, after.stain_lot),
        ("lamp", part.lamp, after.lamp),
        ("box", part.box, after.box),
        ("vessel", part.vessel, after.vessel),
        ("promised for", _when(part), _when(after)),
        ("one more", "", again),
    )
    return tuple(
        (what, str(old) or "none", str(new))
        for what, old, new in pairs
        if str(old) != str(new)
    )


def _yes(flag: object) -> str:
    return "yes" if flag else "no"


def _when(part: Part) -> str:
    return f"{part.due.local():%Y-%m-%d %H:%M}" if part.due else ""
