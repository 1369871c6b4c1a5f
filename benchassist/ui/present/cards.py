"""The cards a hand answers: load, submerge, end of a run, flip, coat, checks."""

from __future__ import annotations

from typing import TYPE_CHECKING

from benchassist.domain import commands as cm
from benchassist.domain.deciders.box import box_stage, planned_count
from benchassist.domain.ledger import remaining
from benchassist.domain.state import Bench, InRun, Part, Ready
from benchassist.domain.words import listed, unit_word
from benchassist.ui.present.fill import Gap
from benchassist.ui.view import Card, Option, Tone

if TYPE_CHECKING:
    from benchassist.clock import Instant


def _going_in(bench: Bench, part: Part) -> tuple[Part, ...]:
    """Return the parts of the basket that can share this card."""
    return tuple(
        bench.parts[code]
        for code in bench.basket_of(part)
        if bench.parts[code].stage.key == part.stage.key
        and isinstance(bench.parts[code].phase, Ready)
        and bench.parts[code].box == part.box
    )


def load_card(bench: Bench, part: Part) -> Card:
    """Return the load card: three lines, one hold."""
    parts = _going_in(bench, part)
    codes = tuple(each.code for each in parts)
    count = planned_count(bench, parts)
    word = unit_word(bench.recipe_of(part).unit, count)
    left = remaining(part, part.stage)
    more = f" ({left} still owed)" if left != count else ""
    if 0 < left < count:
        more = f" ({left} still owed, {count - left} over)"
    if part.immersed_in:
        first = f"{listed(codes)} under glycerine in {part.immersed_in}, not lifted"
    else:
        first = f"{listed(codes)} dry: no smell, no dark patch, inside blown out"
    if part.stage.side:
        first = f"{first}; side {part.stage.side} to the light"
    return Card(
        "Set on the box",
        (first, f"{count} {word} set on {part.box}{more}", "Door shut"),
        (
            Option(
                "Yes, all checked",
                "Enter",
                cm.ConfirmLoad(codes, part.box, count),
                hold=True,
                tone="attention",
            ),
        ),
    )


def submerge_card(bench: Bench, part: Part) -> Card:
    """Return the submerge card: one hold for all of it."""
    parts = _going_in(bench, part)
    codes = tuple(each.code for each in parts)
    count = planned_count(bench, parts)
    word = unit_word(bench.recipe_of(part).unit, count)
    stage = box_stage(part)
    fill = bench.fills.get(part.vessel)
    uses = f", {fill.immersions} immersions so far" if fill else ""
    side = f", side {stage.side} to the light" if stage.side else ""
    return Card(
        "Into the glycerine",
        (
            f"{listed(codes)} under glycerine in {part.vessel}{uses}{side}",
            "No bubble on the coat, held down by the peg, coat touches nothing",
            f"{count} {word} set on {part.box}, door shut",
        ),
        (
            Option(
                "Yes, all checked",
                "Enter",
                cm.ConfirmSubmerged(codes, part.box, part.vessel, count),
                hold=True,
                tone="attention",
            ),
        ),
    )


def run_end_card(bench: Bench, part: Part) -> Card:
    """Return the question how a box run ended."""
    if not isinstance(part.phase, InRun):
        msg = f"{part.code} is in no run"
        raise TypeError(msg)
    run = bench.runs[part.phase.run]
    word = unit_word(run.unit, run.planned)
    lines = [f"{listed(run.parts)}: {run.planned} {word} were set on {run.box}."]
    options = [
        Option(
            f"Completed, all {run.planned}",
            "1",
            cm.TellRunEnd(run.run, "completed"),
            hold=True,
            tone="good",
        ),
        Option(
            "Another count: type what it gave",
            "2",
            Gap(cm.TellRunEnd(run.run, "stopped"), "delivered", number=True),
            hold=True,
            needs_number=f"How many {word} did {run.box} give?",
        ),
        Option("Not sure", "3", cm.TellRunEnd(run.run, "unknown"), hold=True),
    ]
    if run.ahead:
        lines.append(
            "It shows more than the clock allows: typed wrong, or begun earlier?"
        )
        earlier = cm.TellRunEnd(run.run, "stopped", begun="earlier")
        options.append(
            Option(
                "Begun earlier: type the count again",
                "5",
                Gap(earlier, "delivered", number=True),
                hold=True,
                needs_number=f"How many {word} did {run.box} give?",
            )
        )
    if run.interrupted is not None:
        low, high = run.interrupted
        lines.append(
            f"The program was away while it ran: {low} to {high} if both died together."
        )
        options.append(
            Option(
                "Died with the PC, counter lost",
                "4",
                cm.TellRunEnd(run.run, "died with the PC"),
                hold=True,
            )
        )
    return Card("What did the box show?", tuple(lines), tuple(options))


def flip_card(part: Part) -> Card:
    """Return the card that confirms a flip, the side named."""
    where = f", under the glycerine in {part.immersed_in}" if part.immersed_in else ""
    return Card(
        f"Turn {part.code}",
        (
            f"Side {part.stage.side} faces the light now{where}",
            "Turned by the peg or the uncoated side",
        ),
        (
            Option(
                f"Side {part.stage.side} is up",
                "Enter",
                cm.ConfirmFlip(part.code),
                hold=True,
                tone="attention",
            ),
        ),
    )


def session_card(part: Part) -> Card:
    """Return the card that opens a lamp session."""
    return Card(
        "Lamp session",
        (
            "Eyewear on: filter for this lamp",
            f"{part.lamp} in hand, tip clean, charged",
        ),
        (
            Option(
                "Yes, all checked",
                "Enter",
                cm.OpenLampSession(part.lamp),
                hold=True,
                tone="attention",
            ),
        ),
    )


def coat_card(part: Part) -> Card:
    """Return the question how an interrupted coat is."""

    def told(text: str, key: str, answer: str) -> Option:
        command = cm.TellCoatState(part.code, answer)  # type: ignore[arg-type]
        return Option(text, key, command, hold=True)

    return Card(
        "Look at the coat first",
        ("Nobody touches it. Look along a grazing light.",),
        (
            told("Wet and clean", "1", "wet and clean"),
            told("Set or dusty", "2", "set or dusty"),
            told("Wiped off, dry again", "3", "wiped off"),
        ),
    )


def hold_card(part: Part) -> Card:
    """Return the card that puts a part on its planned hold."""
    return Card(
        "Hold between halves",
        (f"{part.code} covered, dark, free of dust", "Second half later today"),
        (
            Option(
                "It is covered",
                "Enter",
                cm.HoldPart(part.code, "second half later the same day"),
                hold=True,
                tone="attention",
            ),
        ),
    )


def resume_card(part: Part) -> Card:
    """Return the card that takes a part from hold."""
    return Card(
        "On hold",
        ("Look at the part: clean, no dust, tack unchanged.",),
        (Option("Go on", "Enter", cm.ResumePart(part.code), hold=True),),
    )


def checks_card(bench: Bench, part: Part, now: Instant) -> Card:
    """Return the named checks as taps; once all passed, the statement to be signed."""
    checks = bench.checks_of(part)
    missing = [name for name in checks if not part.checks.get(name)]
    if missing:
        return Card(
            "Look at each, then tap it",
            ("Bag and label come before they are ticked.",),
            (*_taps(part, checks), _failed(part, missing[0])),
        )
    sign = Option(
        f"I sign: {bench.operator}, {now.local():%H:%M}",
        "Enter",
        Gap(cm.ReleasePart(part.code), "signed"),
        hold=True,
        tone="attention",
        needs_text="Your own operator code, as the signature",
    )
    last = checks[-1:] or ("inspection",)
    return Card(
        "The statement you sign",
        statement_lines(bench, part),
        (sign, _failed(part, last[0])),
    )


def statement_lines(bench: Bench, part: Part) -> tuple[str, ...]:
    """Return the statement in sight while it is signed; what departs stands in it."""
    recipe = bench.recipe_of(part)
    against = f"{recipe.id}, IFU {recipe.ifu_revision}"
    first = f"Bench process complete and checked against {against}."
    told = [f"{first} All listed checks passed; no open deviation."]
    if recipe.status != "as IFU":
        record = f" ({recipe.record_no})" if recipe.record_no else ""
        told.append(f"NOT as the instructions say: {recipe.status}{record}.")
    told.append(
        "Handed to the prescriber for clinical evaluation. States no clinical fit, no "
        "material property; the manufacturer's instructions apply."
    )
    return tuple(told)


def _taps(part: Part, checks: tuple[str, ...]) -> tuple[Option, ...]:
    out = []
    for n, name in enumerate(checks, start=1):
        done = part.checks.get(name)
        text = {True: f"✓ {name}", False: f"failed: {name}", None: name}[done]
        tone: Tone = {True: "good", False: "stop", None: "plain"}[done]  # type: ignore[assignment]
        command = cm.RecordCheck(part.code, name, passed=True)
        out.append(Option(text, str(n), command, tone=tone))
    return tuple(out)


def _failed(part: Part, name: str) -> Option:
    """Return the way to say that a check failed; it goes to rework or scrap."""
    command = cm.RecordCheck(part.code, name, passed=False)
    return Option(f"a check failed: {name}", "0", command, hold=True, tone="stop")
