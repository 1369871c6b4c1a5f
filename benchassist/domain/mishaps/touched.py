"""Something touched the coat."""

from __future__ import annotations

from benchassist.clock import MS
from benchassist.domain import events as ev
from benchassist.domain.coat import coat_state
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
    clean_again,
    coat_note,
    dry_s,
    free,
    lay_later,
    layers_ahead,
    strip_and_lay,
    wipe_steps,
    wiped,
)
from benchassist.domain.state import Bench, Part
from benchassist.domain.words import layer_words, minutes

STRIP = "strip and recoat"
FINISH = "finish submerged and recoat later"
NO_ABRASION = "Do not abrade: a tacked coat gums and makes monomer dust."
HOW = options("How do you go on?", STRIP, FINISH)
MARKED = options("Is a mark left on it?", "no", YES)


def questions(bench: Bench, part: Part, answers: Answers) -> tuple[Question, ...]:
    """Return what has to be known where the coat stands."""
    match coat_state(part):
        case "tacked":
            return () if layers_ahead(part) else (HOW,)
        case "cured":
            return (MARKED,)
        case _:
            return ()


def branch(case: Case) -> Branch:
    """Return the way on for a touched coat."""
    return by_state(case, "Touched", case.said(0))


def by_state(case: Case, what: str, choice: str, extra: tuple[str, ...] = ()) -> Branch:
    """Return the way on for a spoilt surface: wet, tacked, cured or bare.

    ``choice`` is the answer to the one question that its state asks.
    """
    match coat_state(case.part):
        case "wet":
            steps = (*wipe_steps(case), *extra)
            return Branch(f"{what}, coat wet", steps, wiped(case))
        case "tacked" if choice == FINISH:
            return _finish(case, what, extra)
        case "tacked":
            return _strip(case, what, extra)
        case "cured":
            return _cured(case, what, extra, marked=choice == YES)
        case _:
            wait = minutes(dry_s(case) * MS)
            steps = ("Clean it again with an alcohol wipe.", f"Dry {wait}.", *extra)
            return Branch(f"{what}, no coat on it", steps, clean_again(case, what))


def _strip(case: Case, what: str, extra: tuple[str, ...]) -> Branch:
    part = case.part
    layer, title = _newest(part)
    steps = (
        NO_ABRASION,
        f"Strip {title} with an alcohol swab.",
        f"Dry {minutes(dry_s(case) * MS)}, then coat again.",
        *_note(case),
        *extra,
    )
    events = strip_and_lay(
        case, (layer,), f"{what}, {title} tacked", glycerine=bool(part.immersed_in)
    )
    return _coated_again(case, what, "tacked", steps, events)


def _finish(case: Case, what: str, extra: tuple[str, ...]) -> Branch:
    layer, title = _newest(case.part)
    wait = minutes(dry_s(case) * MS)
    steps = (
        NO_ABRASION,
        "Go on: submerge and give the second half in full.",
        f"Then abrade, clean, dry {wait}, coat once more, submerge again.",
        *_note(case),
        *extra,
    )
    events = lay_later(case, layer, f"{what}, {title} tacked")
    return _coated_again(case, what, "tacked", steps, events)


def _cured(case: Case, what: str, extra: tuple[str, ...], *, marked: bool) -> Branch:
    if not marked:
        steps = ("Wipe it with alcohol; look along it under grazing light.", *extra)
        return Branch(f"{what}, coat cured", steps)
    layer, title = _newest(case.part)
    wait = minutes(dry_s(case) * MS)
    steps = (
        f"Abrade, clean, dry {wait}, coat once more, submerge again.",
        *_note(case),
        "A mark that polishes out needs no new coat: say so in the deviation.",
        *extra,
    )
    events = lay_later(case, layer, f"{what}, {title} cured")
    return _coated_again(case, what, "cured", steps, events)


def _coated_again(
    case: Case,
    what: str,
    state: str,
    steps: tuple[str, ...],
    events: tuple[ev.Event, ...],
) -> Branch:
    part, (_, title) = case.part, _newest(case.part)
    text = f"{part.code}: {what.lower()} with {title} {state}."
    rule = f"{what.lower().replace(' ', '-')}-{state}"
    return Branch(
        f"{what}, coat {state}",
        steps,
        events,
        Deviates(rule, (part.code,), text),
        numbers=(("coats", part.coats + 1),),
        rework=True,
    )


def _newest(part: Part) -> tuple[str, str]:
    return part.newest_coat, layer_words(part.newest_coat)


def _note(case: Case) -> tuple[str, ...]:
    coat = case.part.newest_coat.startswith("coat")
    return (coat_note(case),) if coat else ()


MISHAP = Mishap("touched", "Touched", free, questions, branch)
