"""People at the bench: away and back, claims, hand-over, and those who learn."""

from __future__ import annotations

from typing import TYPE_CHECKING

from benchassist.domain import commands as cm
from benchassist.domain import place as frozen
from benchassist.domain.claims import claim_key
from benchassist.domain.training import level_of, prompts, to_predict
from benchassist.domain.words import clock
from benchassist.ui.present.fill import Gap
from benchassist.ui.present.shown import Now
from benchassist.ui.view import Band, Card, Countdown, Option, Panel

if TYPE_CHECKING:
    from benchassist.clock import Instant
    from benchassist.domain.events import Level
    from benchassist.domain.gates.verdict import Gate
    from benchassist.domain.state import Bench, Part

LEVELS: tuple[Level, ...] = ("watch", "every prompt", "gates only", "alone")


def away(bench: Bench, now: Instant) -> Now:
    """Return the resume card: shown before the break and until the way back."""
    found = bench.away
    if found is None:
        return Now(Band("HOLD", bench.focus), "Nothing was in hand")
    place = found.place
    card = Card(
        "Resume card",
        frozen.card(place),
        (Option("I am back", "Enter", cm.ComeBack(), tone="attention"),),
    )
    return Now(
        Band("HOLD", place.part),
        frozen.where(place),
        "The place is frozen. Timers go on.",
        Countdown(clock(now.since(found.since)), "away"),
        card=card,
        right_hint="come back by hand",
    )


def claims(bench: Bench, part: Part | None) -> tuple[Option, ...]:
    """Return what may be claimed, put down, taken over or handed over."""
    things = [("lamp", code) for code in bench.lamps]
    if part is not None:
        things.insert(0, ("part", part.code))
    out = []
    for kind, code in things:
        held = bench.claims.get(claim_key(kind, code))  # type: ignore[arg-type]
        if held is None:
            command: object = cm.ClaimThing(kind, code)  # type: ignore[arg-type]
            out.append(Option(f"Claim {code}", "", command))
        elif held.who == bench.operator:
            put_down = cm.PutDown(kind, code)  # type: ignore[arg-type]
            out.append(Option(f"Put {code} down", "", put_down))
        else:
            taking = Gap(cm.TakeOver(kind, code, ""), "reason")  # type: ignore[arg-type]
            told = f"Take {code} from {held.who}"
            out.append(
                Option(told, "", taking, hold=True, needs_text="Why it is taken")
            )
    hand_over = Gap(cm.HandOver(""), "to")
    out.append(
        Option(
            "Hand the bench over",
            "",
            hand_over,
            hold=True,
            needs_text="Operator code of whoever takes it",
        )
    )
    return tuple(out)


def say_first(bench: Bench, part: Part) -> Card | None:
    """Return the question a trainee answers before the bench shows the number."""
    questions = to_predict(bench, part)
    if not questions:
        return None
    asked = questions[0]
    gap = Gap(cm.Predict(part.code, asked.code, 0.0), "answer", number=True)
    option = Option("Type the answer", "1", gap, needs_number=asked.text)
    return Card("Say it first", (asked.text, "Then the bench shows it."), (option,))


def why(bench: Bench, gate: Gate) -> tuple[Panel, ...]:
    """Return a gate's reason for whoever learns the work."""
    if not gate.why or not prompts(bench).why_at_gates:
        return ()
    return (Panel("WHY", lines=(gate.why,)),)


def learning(bench: Bench) -> tuple[Option, ...]:
    """Return the levels an operator may be set to."""
    out = []
    if bench.operator:
        now = level_of(bench)
        for level in LEVELS:
            if level != now:
                setting = cm.SetLevel(bench.operator, level)
                out.append(
                    Option(
                        f"Level of {bench.operator}: {level}", "", setting, hold=True
                    )
                )
    return tuple(out)
