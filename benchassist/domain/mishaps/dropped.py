"""The part fell: on the bench, into glycerine, into alcohol."""

from __future__ import annotations

from benchassist.clock import MS
from benchassist.domain import events as ev
from benchassist.domain.coat import coat_state
from benchassist.domain.limits import limit_on
from benchassist.domain.mishaps import cracked, touched
from benchassist.domain.mishaps.kind import (
    YES,
    Answers,
    Branch,
    Case,
    Deviates,
    Mishap,
    Question,
    options,
)
from benchassist.domain.mishaps.rework import (
    DRY_AFTER_GLYCERINE_S,
    dry_stage,
    free,
    lifted_out,
    rerouted,
    rinse_stage,
    same_vessel,
    strip_and_lay,
    swab_stage,
)
from benchassist.domain.route import Stage
from benchassist.domain.state import Bench, Part
from benchassist.domain.words import layer_words, minutes

BENCH = "bench or floor"
GLYCERINE = "glycerine and out again"
PUT_BACK = "glycerine and back under"
ALCOHOL = "alcohol"
WHERE = options("Where did it fall?", BENCH, GLYCERINE, PUT_BACK, ALCOHOL)
CRACKED = options("Cracked or chipped?", "no", YES)
ASSESS = Stage("assess", "assess", "Look it over under the loupe")
DEBRIS = "debris in the glycerine"


def questions(bench: Bench, part: Part, answers: Answers) -> tuple[Question, ...]:
    """Return where it fell, what broke, and then what a touched coat is asked."""
    first = (WHERE, CRACKED)
    on_bench = answers[:2] in ((), (BENCH,), (BENCH, "no"))
    return first + (touched.questions(bench, part, ()) if on_bench else ())


def branch(case: Case) -> Branch:
    """Return the way on for a dropped part."""
    if case.said(1) == YES:
        return cracked.bearing(case, "Dropped and cracked")
    where, state = case.said(0), coat_state(case.part)
    if where in (GLYCERINE, PUT_BACK):
        if state == "wet":
            return _wet_in_glycerine(case)
        return _put_back(case) if where == PUT_BACK else _out_of_glycerine(case)
    if where == ALCOHOL and state in ("wet", "tacked"):
        return _coat_in_alcohol(case)
    if where == ALCOHOL:
        return _bare_in_alcohol(case)
    extra = ("Look for cracks under the loupe before anything else.",)
    return touched.by_state(case, "Dropped", case.said(2), extra)


def _wet_in_glycerine(case: Case) -> Branch:
    """No way leads on to the cure: a coat with glycerine in it peels."""
    part, bench = case.part, case.bench
    vessel = part.vessel
    layer = part.stage.layer
    events = strip_and_lay(
        case,
        (layer,),
        "Dropped in glycerine, coat wet",
        glycerine=True,
        least_dry_s=DRY_AFTER_GLYCERINE_S,
        then=(ASSESS,),
    )
    spoilt = ev.GlycerineSpoilt(vessel, f"wet coat of {part.code} fell in")
    steps = (
        "Do not cure it: glycerine lies in the coat, and it would peel.",
        "Swab the wet coat off before rinsing.",
        f"Discard the glycerine{_in(vessel)}; fill it anew.",
        f"Rinse 60 s, wipe with alcohol, dry {minutes(DRY_AFTER_GLYCERINE_S * MS)}.",
        "Look it over, then lay the coat again.",
    )
    text = f"{part.code}: fell into the glycerine{_in(vessel)} with its coat wet."
    return Branch(
        "Dropped in glycerine, coat wet",
        steps,
        (*((spoilt,) if vessel in bench.fills else ()), *events),
        Deviates("dropped-wet", same_vessel(bench, part), text),
        rework=True,
    )


def _put_back(case: Case) -> Branch:
    part, bench = case.part, case.bench
    fill = bench.fills.get(part.vessel)
    if fill is None:
        return _out_of_glycerine(case)
    after, most = (
        fill.immersions + 1,
        int(limit_on(bench, "glycerine_immersions", case.now)),
    )
    over = after > most
    steps = (
        f"Fished out and back under: {part.vessel} counts {after} of {most}.",
        "Look for debris, then at the coat under grazing light.",
        "No bubble on the coat: brush it off below the surface.",
        *(("The filling is past its count: change it now.",) if over else ()),
    )
    text = f"{part.vessel}: {after} immersions, {most} allowed, after a part fell in."
    return Branch(
        "Dropped in glycerine, back under",
        steps,
        (
            ev.ImmersionCounted(part.code, part.vessel, after),
            ev.CheckAdded(part.code, DEBRIS, "fell into the glycerine"),
        ),
        Deviates("glycerine-count", same_vessel(bench, part), text) if over else None,
        numbers=(("immersions", after), ("most", most)),
    )


def _out_of_glycerine(case: Case) -> Branch:
    """Glycerine lets a coat go: nothing is laid over its film."""
    part = case.part
    wait = minutes(DRY_AFTER_GLYCERINE_S * MS)
    back = (
        rinse_stage(case),
        swab_stage("Wipe with alcohol"),
        dry_stage(DRY_AFTER_GLYCERINE_S),
        ASSESS,
    )
    steps = (
        "Rinse the glycerine off; no coat holds over its film.",
        f"Wipe with alcohol, dry {wait}.",
        "Look it over; then it goes on where it was.",
    )
    check = ev.CheckAdded(part.code, DEBRIS, "fell into the glycerine")
    changed = rerouted(
        case, (*back, *lifted_out(part)), "Dropped in glycerine", rework=False
    )
    return Branch("Dropped in glycerine", steps, (changed, check))


def _coat_in_alcohol(case: Case) -> Branch:
    part = case.part
    layer = part.newest_coat
    title = layer_words(layer)
    steps = (
        "Take it out at once: alcohol takes an uncured coat off.",
        f"Swab the rest of {title} off, dry, coat again.",
    )
    text = f"{part.code}: fell into alcohol with {title} uncured."
    return Branch(
        "Dropped in alcohol, coat uncured",
        steps,
        strip_and_lay(case, (layer,), "Dropped in alcohol"),
        Deviates("dropped-in-alcohol", (part.code,), text),
        rework=True,
    )


def _bare_in_alcohol(case: Case) -> Branch:
    part, bench = case.part, case.bench
    wait_s = bench.recipe_of(part).dry_before_box_s
    changed = rerouted(
        case,
        (dry_stage(wait_s), *part.route[part.at :]),
        "Dropped in alcohol",
        rework=False,
    )
    steps = (
        "Take it out at once; blow it out.",
        f"Dry {minutes(wait_s * MS)}: alcohol in a curing box burns.",
    )
    return Branch(
        "Dropped in alcohol",
        steps,
        (ev.PartFoundWet(part.code), changed),
    )


def _in(vessel: str) -> str:
    return f" in {vessel}" if vessel else ""


MISHAP = Mishap("dropped", "Dropped", free, questions, branch)
