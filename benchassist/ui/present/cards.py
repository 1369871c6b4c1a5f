"""The cards a hand answers: load, submerge, end of a run, flip, coat, checks."""

from __future__ import annotations

from collections.abc import Sequence

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain.deciders.box import box_stage, planned_count
from benchassist.domain.ledger import remaining
from benchassist.domain.shelf import offered
from benchassist.domain.size import room_for
from benchassist.domain.state import Bench, InRun, Part, Ready
from benchassist.domain.words import listed, unit_word
from benchassist.ui.actions import OpenPage
from benchassist.ui.present.fill import Gap, held
from benchassist.ui.view import Card, Option, Tone
from benchassist.ui.words import say


def _going_in(bench: Bench, part: Part) -> tuple[Part, ...]:
    """Return the parts of the basket that can share this card."""
    return tuple(
        bench.parts[code]
        for code in bench.basket_of(part)
        if bench.parts[code].stage.key == part.stage.key
        and isinstance(bench.parts[code].phase, Ready)
        and bench.parts[code].box == part.box
    )


def count_of(bench: Bench, part: Part) -> int:
    """Return what the box is set to for a part and those that go in with it."""
    return planned_count(bench, _going_in(bench, part))


def load_card(bench: Bench, part: Part) -> Card:
    """Return the load card: three lines, one hold."""
    parts = _going_in(bench, part)
    codes = tuple(each.code for each in parts)
    count = planned_count(bench, parts)
    word = unit_word(bench.recipe_of(part).unit, count)
    left = remaining(part, part.stage)
    more = say(" ({left} still owed)", left=left) if left != count else ""
    if 0 < left < count:
        more = say(" ({left} still owed, {count} over)", left=left, count=count - left)
    if part.immersed_in:
        first = say(
            "{list} under glycerine in {immersed_in}, not lifted",
            list=listed(codes),
            immersed_in=part.immersed_in,
        )
    else:
        first = say(
            "{list} dry: no smell, no dark patch, inside blown out", list=listed(codes)
        )
    if part.stage.side:
        first = say(
            "{first}; side {side} to the light", first=first, side=part.stage.side
        )
    return Card(
        set_on(bench, part.box),
        (
            first,
            say(
                "{count} {word} set on {box}{more}",
                count=count,
                word=word,
                box=part.box,
                more=more,
            ),
            *_places(bench, part.box, codes),
            say("Door shut"),
        ),
        (held(say("Yes, all checked"), cm.ConfirmLoad(codes, part.box, count)),),
    )


def _places(bench: Bench, box: str, codes: tuple[str, ...]) -> tuple[str, ...]:
    """Return who stands where on the shelf of a box, where its places were drawn."""
    plan = bench.box_plans.get(box)
    if plan is None or not codes or len(codes) > len(plan.places):
        return ()
    pairs = zip(plan.places, codes, strict=False)
    told = ", ".join(f"{place.name} {code}" for place, code in pairs)
    return (say("On the shelf: {places}", places=told),)


def submerge_card(bench: Bench, part: Part) -> Card:
    """Return the submerge card: one hold for all of it."""
    parts = _going_in(bench, part)
    codes = tuple(each.code for each in parts)
    count = planned_count(bench, parts)
    word = unit_word(bench.recipe_of(part).unit, count)
    stage = box_stage(part)
    fill = bench.fills.get(part.vessel)
    uses = (
        say(", {immersions} immersions so far", immersions=fill.immersions)
        if fill
        else ""
    )
    side = say(", side {side} to the light", side=stage.side) if stage.side else ""
    return Card(
        say("Into the glycerine"),
        (
            say(
                "{list} under glycerine in {vessel}{uses}{side}",
                list=listed(codes),
                vessel=part.vessel,
                uses=uses,
                side=side,
            ),
            *_filled(bench, parts),
            say("No bubble on the coat, held down by the peg, coat touches nothing"),
            say(
                "{count} {word} set on {box}, door shut",
                count=count,
                word=word,
                box=part.box,
            ),
        ),
        (
            held(
                say("Yes, all checked"),
                cm.ConfirmSubmerged(codes, part.box, part.vessel, count),
            ),
        ),
    )


def asked_of(bench: Bench, box: str) -> str:
    """Return the question for what a box showed; of several it is named."""
    if len(offered(bench, "box")) > 1:
        return say("What did {box} show?", box=box)
    return say("What did the box show?")


def set_on(bench: Bench, box: str) -> str:
    """Return the head of a load card; of several boxes the one meant is named."""
    if len(offered(bench, "box")) > 1:
        return say("Set on {box}", box=box)
    return say("Set on the box")


def _filled(bench: Bench, parts: Sequence[Part]) -> tuple[str, ...]:
    """Return how high to fill a vessel before they go in, where it was measured."""
    room = room_for(bench, parts)
    if room is None or not room.fit.fits_vessel:
        return ()
    levels = {
        "vessel": parts[0].vessel,
        "before": f"{room.fit.fill_before_mm:.0f}",
        "after": f"{room.fit.level_with_part_mm:.0f}",
    }
    if room.sure:
        told = say("{vessel} filled to {before} mm before, {after} mm after", **levels)
    else:
        told = say(
            "{vessel} filled to about {before} mm before, {after} mm after", **levels
        )
    return (told,)


def run_end_card(bench: Bench, part: Part) -> Card:
    """Return the question how a box run ended."""
    if not isinstance(part.phase, InRun):
        msg = say("{code} is in no run", code=part.code)
        raise TypeError(msg)
    run = bench.runs[part.phase.run]
    word = unit_word(run.unit, run.planned)
    lines = []
    options = [
        Option(
            say("Completed, all {planned}", planned=run.planned),
            "1",
            cm.TellRunEnd(run.run, "completed"),
            hold=True,
        ),
        Option(
            say("Another count: type what it gave"),
            "2",
            Gap(cm.TellRunEnd(run.run, "stopped"), "delivered", number=True),
            hold=True,
            needs_number=say("How many {word} did {box} give?", word=word, box=run.box),
        ),
        Option(say("Not sure"), "3", cm.TellRunEnd(run.run, "unknown"), hold=True),
    ]
    if run.interrupted is not None:
        low, high = run.interrupted
        lines.append(
            say(
                "Nobody saw it: {low} to {high}, if both went off together.",
                low=low,
                high=high,
            )
        )
        options.append(
            Option(
                say("Off with the computer, counter lost"),
                "4",
                cm.TellRunEnd(run.run, "died with the PC"),
                hold=True,
            )
        )
    if run.ahead:
        lines.append(say("More than the clock allows: wrong, or begun earlier?"))
        earlier = cm.TellRunEnd(run.run, "stopped", begun="earlier")
        options.append(
            Option(
                say("Begun earlier: type it again"),
                "5",
                Gap(earlier, "delivered", number=True),
                hold=True,
                needs_number=say(
                    "How many {word} did {box} give?", word=word, box=run.box
                ),
            )
        )
    # The headline asks; the card says of what.
    told = say(
        "{list}: {planned} {word} were set on {box}.",
        list=listed(run.parts),
        planned=run.planned,
        word=word,
        box=run.box,
    )
    return Card(told, tuple(lines), tuple(options))


def flip_card(part: Part) -> Card:
    """Return the card that confirms a flip, the side named."""
    where = (
        say(", under the glycerine in {immersed_in}", immersed_in=part.immersed_in)
        if part.immersed_in
        else ""
    )
    return Card(
        say("Turn {code}", code=part.code),
        (
            say(
                "Side {side} faces the light now{where}",
                side=part.stage.side,
                where=where,
            ),
            say("Turned by the peg or the uncoated side"),
        ),
        (
            held(
                say("Side {side} is up", side=part.stage.side),
                cm.ConfirmFlip(part.code),
            ),
        ),
    )


def session_card(part: Part) -> Card:
    """Return the card that opens a lamp session."""
    return Card(
        say("Lamp session"),
        (
            say("Eyewear on: filter for this lamp"),
            say("{lamp} in hand, tip clean, charged", lamp=part.lamp),
        ),
        (held(say("Yes, all checked"), cm.OpenLampSession(part.lamp)),),
    )


def coat_card(part: Part) -> Card:
    """Return the question how an interrupted coat is."""

    def told(text: str, key: str, answer: str) -> Option:
        command = cm.TellCoatState(part.code, answer)  # type: ignore[arg-type]
        return Option(text, key, command, hold=True)

    return Card(
        say("Look at the coat first"),
        (say("Nobody touches it. Look along a grazing light."),),
        (
            told(say("Wet and clean"), "1", "wet and clean"),
            told(say("Set or dusty"), "2", "set or dusty"),
            told(say("Wiped off, dry again"), "3", "wiped off"),
        ),
    )


def hold_card(part: Part) -> Card:
    """Return the card that puts a part on its planned hold."""
    return Card(
        say("Hold between halves"),
        (
            say("{code} covered, dark, free of dust", code=part.code),
            say("Second half later today"),
        ),
        (
            held(
                say("It is covered"),
                cm.HoldPart(part.code, "second half later the same day"),
            ),
        ),
    )


def resume_card(part: Part) -> Card:
    """Return the card that takes a part from hold."""
    return Card(
        say("On hold"),
        (say("Look at the part: clean, no dust, tack unchanged."),),
        (Option(say("Go on"), "Enter", cm.ResumePart(part.code), hold=True),),
    )


def checks_card(bench: Bench, part: Part, now: Instant) -> Card:
    """Return the named checks as taps; once all passed, the statement to be signed."""
    checks = bench.checks_of(part)
    missing = [name for name in checks if not part.checks.get(name)]
    if missing:
        return Card(
            say("Look at each, then tap it"),
            (say("Bag and label come before they are ticked."),),
            (*_taps(part, checks), _failed(part, missing[0])),
        )
    if open_ := bench.open_deviations(part.code):
        told = (f"{found.id}: {found.text}" for found in open_)
        look = Option(
            say("Judge them: key V"),
            "Enter",
            OpenPage("deviations"),
            tone="attention",
        )
        return Card(
            say("Before you sign: what was not as planned"),
            tuple(told),
            (look, _failed(part, (checks[-1:] or ("inspection",))[0])),
        )
    if bench.store is not None and bench.store.kind == "training":
        return _exercise_over(part)
    sign = Option(
        say(
            "I sign: {operator}, {now:%H:%M}", operator=bench.operator, now=now.local()
        ),
        "Enter",
        Gap(cm.ReleasePart(part.code), "signed"),
        hold=True,
        tone="attention",
        needs_text=say("Your own operator code, as the signature"),
    )
    last = checks[-1:] or ("inspection",)
    return Card(
        say("The statement you sign"),
        statement_lines(bench, part),
        (sign, _failed(part, last[0])),
    )


def _exercise_over(part: Part) -> Card:
    """Return what ends a way that nothing may be released from."""
    scrap = held(
        say("Scrap the practice piece"),
        cm.ScrapPart(part.code, "training: the exercise is over"),
    )
    return Card(
        say("The exercise ends here"),
        (
            say("In training nothing is signed and nothing is released."),
            say("Scrap the piece, so that it is never taken for a patient's."),
        ),
        (scrap,),
    )


def statement_lines(bench: Bench, part: Part) -> tuple[str, ...]:
    """Return the statement in sight while it is signed; what departs stands in it."""
    recipe = bench.recipe_of(part)
    against = say(
        "{id}, IFU {ifu_revision}", id=recipe.id, ifu_revision=recipe.ifu_revision
    )
    first = say(
        "Bench process complete and checked against {against}.", against=against
    )
    told = [say("{first} All listed checks passed; no open deviation.", first=first)]
    if recipe.status != "as IFU":
        record = f" ({recipe.record_no})" if recipe.record_no else ""
        told.append(
            say(
                "NOT as the instructions say: {status}{record}.",
                status=recipe.status,
                record=record,
            )
        )
    departed = [
        found for found in bench.deviations.values() if part.code in found.parts
    ]
    if departed:
        what = " ".join(f"{d.id}, {d.decision}: {d.text}" for d in departed)
        told.append(say("Not as planned, and judged: {what}", what=what))
    told.append(
        say(
            "Handed to the prescriber for clinical evaluation. States no "
            "clinical fit, no material property; the manufacturer's "
            "instructions apply."
        )
    )
    return tuple(told)


def _taps(part: Part, checks: tuple[str, ...]) -> tuple[Option, ...]:
    out = []
    for n, name in enumerate(checks, start=1):
        done = part.checks.get(name)
        text = {True: f"✓ {name}", False: say("failed: {name}", name=name), None: name}[
            done
        ]
        tone: Tone = {True: "good", False: "stop", None: "plain"}[done]  # type: ignore[assignment]
        command = cm.RecordCheck(part.code, name, passed=True)
        out.append(Option(text, str(n), command, tone=tone))
    return tuple(out)


def _failed(part: Part, name: str) -> Option:
    """Return the way to say that a check failed; it goes to rework or scrap."""
    command = cm.RecordCheck(part.code, name, passed=False)
    return Option(
        say("a check failed: {name}", name=name), "0", command, hold=True, tone="stop"
    )
