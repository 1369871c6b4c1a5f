"""What the part in front asks for now: band, words, countdown, card, map."""

from __future__ import annotations

from collections.abc import Callable

from benchassist.clock import MS, Instant
from benchassist.domain.ledger import remaining
from benchassist.domain.queue import NEVER_MS, stay_ms
from benchassist.domain.quiet import quiet_until
from benchassist.domain.runs import left_ms, length_ms
from benchassist.domain.stages import STAGES
from benchassist.domain.standing import Standings
from benchassist.domain.state import Bench, Closed, InRun, Part, Soaking
from benchassist.domain.sure import at_most, sure
from benchassist.domain.words import clock, listed, minutes, unit_word
from benchassist.ui.present import cards, coupon, mishap, people, walk
from benchassist.ui.present.advice import together
from benchassist.ui.present.bottle import another, bottle_panel
from benchassist.ui.present.dark import with_question
from benchassist.ui.present.front import Front, gate_rows, shut, some
from benchassist.ui.present.hands import claim_option
from benchassist.ui.present.shown import Now, big_clock, late_countdown
from benchassist.ui.view import Card, Countdown, Panel
from benchassist.ui.words import say
from benchassist.value import replace

HOW = {"released": say("Released {when}"), "scrapped": say("Scrapped {when}")}


def now_for(at: Standings) -> Now:
    """Return what to show for the part in front where it stands."""
    bench = at.bench
    match at.situation:
        case "locked":
            return _locked()
        case "away":
            return with_question(people.away(bench, at.now), at)
        case "handed":
            return people.handed(bench, at.now)
        case "coupon" | "coupon-light" | "coupon-lit":
            return coupon.shown(bench, at.now)
        case situation:
            if at.front is None:
                return _nobody(bench)
            return with_question(_SCREENS[situation](Front(at.front)), at)


def _locked() -> Now:
    card = Card(
        say("Whose bench is it?"),
        (say("Every step is written down under an operator code."),),
        (claim_option(),),
    )
    return Now(say("Who works here?"), card=card)


def _nobody(bench: Bench) -> Now:
    if bench.in_flight:
        told = say("A tray's key or its row brings a part here.")
        return Now(say("Nothing in front"), told)
    if bench.recipes:
        return Now(say("Take in a part: key N"))
    return Now(
        say("Set up your bench"),
        say("Key E, then 9: step by step to the first part."),
    )


def _closed(front: Front) -> Now:
    part, phase = front.part, front.part.phase
    if not isinstance(phase, Closed):
        return Now(part.stage.title, "")
    when = f"{phase.at.local():%H:%M}"
    told = f"{front.bench.recipe_of(part).item_class}, {_before_its_time(part, phase)}"
    released = phase.how == "released"
    where = say("with its bag") if released else say("to waste")
    lines = (
        say(
            "Out of tray {tray} {where}. The tray is free.", tray=part.tray, where=where
        ),
        say("This stays until you choose the next part."),
    )
    panel = Panel(say("NOW, BY HAND"), lines=lines)
    return Now(HOW[phase.how].format(when=when), told, panels=(panel,))


def _before_its_time(part: Part, phase: Closed) -> str:
    if part.due is None:
        return say("no time was promised")
    spare = part.due.since(phase.at)
    if spare < 0:
        return say("{minutes} after its time", minutes=minutes(-spare))
    return say("{minutes} before its time", minutes=minutes(spare))


# --- waits ---------------------------------------------------------------------


def _soaking(front: Front) -> Now:
    part, bench = front.part, front.bench
    found = front.at.need
    stage = part.stage
    spent = stay(front)
    least = stage.min_s * MS
    fill = min(1.0, spent / least) if least else 1.0
    doubt, about = _doubt(front)
    latest = (
        say("latest {clock}", clock=clock(found.harm_ms))
        if 0 < found.harm_ms < NEVER_MS
        else ""
    )
    lines = [doubt]
    if STAGES[stage.kind].solvent:
        recipe = bench.recipe_of(part)
        total, most = part.solvent_ms + spent, recipe.solvent_max_s * MS
        lines.append(
            say(
                "alcohol {about}{clock} of {clock2}",
                about=about,
                clock=clock(total),
                clock2=clock(most),
            )
        )
    basket = bench.basket_of(part)
    if len(basket) > 1:
        lines.append(say("{many} went in, {many} come out", many=len(basket)))
    if found.due_ms > 0:
        big = Countdown(*big_clock(found.due_ms), some([latest, *lines]), fill)
        headline = (
            say("{title}: lift in", title=stage.title)
            if STAGES[stage.kind].mode == "soak"
            else say("{title}: ready in", title=stage.title)
        )
        return Now(headline, front.subline(), big, fill=fill)
    over = found.harm_ms < 0
    if over:
        big = late_countdown(-found.harm_ms, some(lines))
    elif stage.max_s:
        fill = spent / (stage.max_s * MS)
        big = Countdown(
            *big_clock(found.harm_ms, say("to the latest")), some(lines), fill
        )
    else:
        big = Countdown(*big_clock(-found.due_ms, say("since ready")), some(lines), 1.0)
    headline = (
        say("Lift out now") if STAGES[stage.kind].mode == "soak" else say("Dry: go on")
    )
    told = front.subline()
    return Now(headline, told, big, right_hint=_quiet(front))


def _quiet(front: Front) -> str:
    """Return until when the sound of what is due rests, if it does."""
    until = quiet_until(front.bench, front.part, front.now)
    return say("quiet until {until:%H:%M:%S}", until=until.local()) if until else ""


def stay(front: Front) -> int:
    """Return the milliseconds a soaking part counts as having been in."""
    phase = front.part.phase
    return stay_ms(front.part, phase, front.now) if isinstance(phase, Soaking) else 0


def _doubt(front: Front) -> tuple[str, str]:
    """Return the line that says what is sure, and the word before a maximum."""
    phase = front.part.phase
    if not isinstance(phase, Soaking):
        return "", ""
    return sure(front.now, phase.since), at_most(front.now, phase.since)


def _running(front: Front) -> Now:
    phase = front.part.phase
    if not isinstance(phase, InRun):
        return _soaking(front)
    run = front.bench.runs[phase.run]
    box = front.bench.boxes[run.box]
    left = left_ms(run, box, front.now)
    whole = length_ms(run, box)
    fill = min(1.0, max(0.0, 1 - left / max(1, whole)))
    lines = [
        say(
            "{planned} {unit_word} on {box}",
            planned=run.planned,
            unit_word=unit_word(run.unit, run.planned),
            box=run.box,
        )
    ]
    if run.vessel:
        lines.append(say("under glycerine in {vessel}", vessel=run.vessel))
    if len(run.parts) > 1:
        lines.append(say("with {list}", list=listed(run.parts)))
    return Now(
        say("{title}: ends in", title=front.part.stage.title),
        front.subline(),
        Countdown(*big_clock(left), tuple(lines), fill),
        fill=fill,
    )


def _run_due(front: Front) -> Now:
    return Now(
        cards.asked_of(front.bench, front.part.box),
        front.subline(),
        card=cards.run_end_card(front.bench, front.part),
        right_hint=_quiet(front) or say("not counted until entered"),
    )


def _on_hold(front: Front) -> Now:
    found = front.at.need
    over = found.harm_ms < 0
    big = (
        late_countdown(-found.harm_ms)
        if over
        else Countdown(*big_clock(found.harm_ms, say("to the limit")))
    )
    card = cards.resume_card(front.part)
    headline = say("Covered, dark, dust-free")
    return Now(headline, front.subline(), big, card=card)


# --- things to do ---------------------------------------------------------------


def _ready(front: Front) -> Now:
    return Now(
        say("Start {title}", title=front.part.stage.title.lower()),
        front.subline(),
        gates=gate_rows(front),
        panels=together(front.bench, front.part, front.now),
    )


def _loaded(front: Front) -> Now:
    load = front.bench.loads[front.part.box]
    word = unit_word(front.bench.recipe_of(front.part).unit, load.count)
    return Now(
        say("Start the box and press"),
        say(
            "{list}: {count} {word} on {box}, door shut.",
            list=listed(load.parts),
            count=load.count,
            word=word,
            box=load.box,
        ),
        gates=gate_rows(front),
        panels=together(front.bench, front.part, front.now),
    )


def _hand(front: Front) -> Now:
    kind = STAGES[front.part.stage.kind]
    return Now(kind.do, front.subline())


def _brush(front: Front) -> Now:
    shown = walk.brush(front.bench, front.part, front.subline(), gate_rows(front))
    bottle = bottle_panel(front.bench, front.part, front.now)
    return replace(
        shown,
        right_hint=_eye_notice(front),
        panels=bottle,
        options=another(front.part),
    )


def _eye_notice(front: Front) -> str:
    """Return where this part's light passes a limit of the day; never a gate."""
    from benchassist.ui.present.physics.eyes import notice  # noqa: PLC0415 - numpy

    return notice(front.bench, front.part, front.now)


def _card(front: Front) -> Now:
    part = front.part
    mode = STAGES[part.stage.kind].mode
    first = people.say_first(front.bench, part)
    if first is not None:
        return Now(say("Say it first"), front.subline(), card=first)
    if mode == "coat":
        return Now(
            say("Before {title}", title=part.stage.title.lower()),
            front.subline(),
            card=cards.session_card(part),
            gates=gate_rows(front),
            right_hint=_eye_notice(front),
        )
    if mode == "flip":
        return Now(part.stage.title, front.subline(), card=cards.flip_card(part))
    if mode == "hold":
        card = cards.hold_card(part)
        return Now(say("Cover it"), front.subline(), card=card)
    if mode == "submerge":
        card = cards.submerge_card(front.bench, part)
        return Now(
            say("Into the glycerine"),
            front.subline(),
            _to_set(front),
            card=card,
            gates=gate_rows(front),
        )
    left = remaining(part, part.stage)
    again = left != part.stage.plan
    headline = (
        say("Load again: {left} still owed", left=left)
        if again
        else cards.set_on(front.bench, part.box)
    )
    card = cards.load_card(front.bench, part)
    return Now(
        headline, front.subline(), _to_set(front), card=card, gates=gate_rows(front)
    )


def _to_set(front: Front) -> Countdown:
    """Return the count to be read across to the box, as large as a countdown."""
    count = cards.count_of(front.bench, front.part)
    recipe = front.bench.recipe_of(front.part)
    of = say("of {total} in all", total=recipe.total)
    return Countdown(str(count), unit_word(recipe.unit, count), (of,))


def _sign(front: Front) -> Now:
    part, bench = front.part, front.bench
    shut = front.at.shut
    hint = shut[1].sentence if shut else say("signing is by hand")
    checks = bench.checks_of(part)
    done = all(part.checks.get(name) for name in checks)
    lines = tuple(f"✓ {name}" for name in checks)
    told = (Panel(say("CHECKED"), "ALL", "good", lines),) if done else ()
    return Now(
        say("Release") if done else say("Checks"),
        front.subline(),
        panels=told,
        card=cards.checks_card(bench, part, front.now),
        gates=gate_rows(front),
        right_hint=hint,
    )


def _scrap(front: Front) -> Now:
    card = mishap.scrap_card(front.bench, front.part)
    headline = say("Scrap it, or keep it?")
    return Now(headline, front.subline(), card=card)


Screen = Callable[[Front], Now]


def _of_walk(screen: Callable[[Bench, Part, Instant, str], Now]) -> Screen:
    return lambda at: screen(at.bench, at.part, at.now, at.subline())


_SCREENS: dict[str, Screen] = {
    "closed": _closed,
    "ready": _ready,
    "loaded": _loaded,
    "shut": lambda front: shut(front) if front.at.shut else _ready(front),
    "card": _card,
    "running": _running,
    "drying": _soaking,
    "timer-due": _soaking,
    "dry-due": _soaking,
    "run-due": _run_due,
    "hand": _hand,
    "brush": _brush,
    "brushing": _of_walk(walk.brushing),
    "walking": _of_walk(walk.walking),
    "paused": _of_walk(walk.paused),
    "wet-hold": _of_walk(walk.paused),
    "on-hold": _on_hold,
    "scrap": _scrap,
    "sign": _sign,
}
