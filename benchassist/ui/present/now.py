"""What the part in front asks for now: band, words, countdown, card, map."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

from benchassist.domain.commands import AcceptGate
from benchassist.domain.gates import is_open
from benchassist.domain.gates.verdict import Gate, Verdict
from benchassist.domain.knowledge import TESTED_HERE
from benchassist.domain.ledger import remaining
from benchassist.domain.queue import NEVER_MS, stay_ms
from benchassist.domain.quiet import quiet_until
from benchassist.domain.runs import left_ms, length_ms
from benchassist.domain.stages import STAGES
from benchassist.domain.standing import Standing, Standings
from benchassist.domain.state import Bench, Closed, InRun, Part, Soaking
from benchassist.domain.sure import at_most, sure
from benchassist.domain.words import clock, listed, minutes, unit_word
from benchassist.ui.present import cards, coupon, mishap, people, walk
from benchassist.ui.present.advice import together
from benchassist.ui.present.bottle import another, bottle_panel
from benchassist.ui.present.dark import with_question
from benchassist.ui.present.fill import Gap
from benchassist.ui.present.hands import claim_option
from benchassist.ui.present.light import light_view
from benchassist.ui.present.rows import kind_words
from benchassist.ui.present.shown import Now, big_clock, late_countdown
from benchassist.ui.view import Card, Countdown, GateRow, Option, Panel, Tone
from benchassist.ui.words import say

MS = 1000
OF_BOTTLE = ("lot-expiry", "bottle-stirred")  # gates that another bottle may open
TONES: dict[str, Tone] = {"pass": "good", "marginal": "attention", "fail": "stop"}


class Front:
    """The part in front, where it stands, with the bench around it and the time."""

    def __init__(self, at: Standing) -> None:
        self.at, self.bench, self.part, self.now = at, at.bench, at.part, at.now

    def subline(self) -> str:
        """Return the quiet line under the headline: what part this is."""
        part = self.part
        basket = self.bench.basket_of(part)
        jaws = {self.bench.parts[code].jaw for code in basket}
        jaw = walk.JAWS.get(part.jaw, "") if len(jaws) == 1 else ""
        words = f"{jaw} {kind_words(self.bench, part, len(basket))}".strip()
        told = say("{kind_words}, tray {tray}", kind_words=words, tray=part.tray)
        return f"{told}: {', '.join(basket)}" if len(basket) > 1 else told


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
    return Now(f"{phase.how.capitalize()} {when}", told, panels=(panel,))


def _before_its_time(part: Part, phase: Closed) -> str:
    if part.due is None:
        return say("no time was promised")
    spare = part.due.since(phase.at)
    late = "after" if spare < 0 else "before"
    return say("{minutes} {late} its time", minutes=minutes(abs(spare)), late=late)


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
    verb = say("lift in") if STAGES[stage.kind].mode == "soak" else say("ready in")
    if found.due_ms > 0:
        big = Countdown(*big_clock(found.due_ms), _told([latest, *lines]), fill)
        headline = f"{stage.title}: {verb}"
        return Now(headline, front.subline(), big, fill=fill)
    over = found.harm_ms < 0
    if over:
        big = late_countdown(-found.harm_ms, _told(lines))
    elif stage.max_s:
        fill = spent / (stage.max_s * MS)
        big = Countdown(
            *big_clock(found.harm_ms, say("to the latest")), _told(lines), fill
        )
    else:
        big = Countdown(
            *big_clock(-found.due_ms, say("since ready")), _told(lines), 1.0
        )
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


def _told(lines: list[str]) -> tuple[str, ...]:
    return tuple(line for line in lines if line)


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


# --- stops ----------------------------------------------------------------------


def _shut(front: Front) -> Now:
    bench, part = front.bench, front.part
    found = front.at.shut
    if found is None:
        return _ready(front)
    gate, verdict = found
    if front.at.after:
        return _after(front, gate, verdict)
    coat = STAGES[part.stage.kind].mode == "coat"
    card = _accept(front, gate, verdict)
    light = light_view(bench, part, verdict) if gate.code == "light-check" else None
    told = _told([verdict.sentence, verdict.remedy])
    return Now(
        say("Do not wet the brush")
        if coat
        else say("Not yet: {sentence}", sentence=verdict.sentence),
        front.subline() if light is None else "",
        gates=gate_rows(front),
        light=light,
        card=card,
        right_hint=say("a hand may accept this, with a reason")
        if card
        else say("cannot be overridden (on record)"),
        options=another(part) if gate.code in OF_BOTTLE else (),
        panels=(
            *(() if light or card else (_gate_panel(gate, verdict, told[not coat :]),)),
            *people.why(bench, gate),
        ),
    )


def _after(front: Front, gate: Gate, verdict: Verdict) -> Now:
    """Return the screen of a brush that waits until another part is seen to."""
    left_s = dict(verdict.numbers).get("left_s", 0.0)
    told = (verdict.sentence, verdict.remedy)
    return Now(
        say("Brush after {after}", after=front.at.after),
        front.subline(),
        Countdown(*big_clock(round(left_s * MS)), told) if left_s else None,
        gates=gate_rows(front),
        right_hint="" if left_s else verdict.remedy,
        panels=people.why(front.bench, gate),
    )


def _gate_panel(gate: Gate, verdict: Verdict, lines: tuple[str, ...]) -> Panel:
    level = verdict.level
    return Panel(gate.title.upper(), level.upper(), TONES[level], lines)


def _accept(front: Front, gate: Gate, verdict: Verdict) -> Card | None:
    if not gate.acceptable or not verdict.scope or verdict.level != "marginal":
        return None
    accept = AcceptGate(gate.code, front.part.code, "")
    option = Option(
        say("Accept here"),
        "8",
        Gap(accept, "reason"),
        hold=True,
        tone="attention",
        needs_text=say("Why this is accepted for this part"),
    )
    lasting = _for_thing(front, verdict, accept)
    options = (option, lasting) if lasting else (option,)
    return Card(gate.title, _told([verdict.sentence, verdict.remedy]), options)


ACCEPT_FOR = timedelta(days=30)  # offered; a script may give any day within the limit


def _for_thing(front: Front, verdict: Verdict, accept: AcceptGate) -> Option | None:
    """Return the way to take a warning for its things, on every part until a day."""
    if not verdict.thing:
        return None
    until = front.now.local().date() + ACCEPT_FOR
    things = " with ".join(verdict.thing.split(", ")[:2])
    return Option(
        say("Accept {days} days", days=ACCEPT_FOR.days),
        "9",
        Gap(replace(accept, until=until.isoformat()), "reason"),
        hold=True,
        tone="attention",
        needs_text=say(
            "Why {things} is accepted for every part until {until}",
            things=things,
            until=until,
        ),
    )


def gate_rows(front: Front) -> tuple[GateRow, ...]:
    """Return every gate of the stage with its verdict in words."""
    out = []
    for gate, verdict in front.at.verdicts:
        taken = verdict.level != "pass" and is_open(
            front.bench, gate, verdict, front.now
        )
        word = say("ACCEPTED") if taken else told(verdict.level, verdict.badge)
        tone: Tone = "plain" if taken else TONES[verdict.level]
        out.append(GateRow(gate.title, word, verdict.sentence, tone))
    return tuple(out)


def told(level: str, badge: str) -> str:
    """Return a verdict in one word, and never a plain one for what was tested here."""
    word = level.upper()
    return f"{word} {badge}" if badge == TESTED_HERE else word


Screen = Callable[[Front], Now]


def _brushing(front: Front) -> Now:
    return walk.brushing(front.bench, front.part, front.now, front.subline())


def _walking(front: Front) -> Now:
    return walk.walking(front.bench, front.part, front.now, front.subline())


def _paused(front: Front) -> Now:
    return walk.paused(front.bench, front.part, front.now, front.subline())


_SCREENS: dict[str, Screen] = {
    "closed": _closed,
    "ready": _ready,
    "loaded": _loaded,
    "shut": _shut,
    "card": _card,
    "running": _running,
    "drying": _soaking,
    "timer-due": _soaking,
    "dry-due": _soaking,
    "run-due": _run_due,
    "hand": _hand,
    "brush": _brush,
    "brushing": _brushing,
    "walking": _walking,
    "paused": _paused,
    "wet-hold": _paused,
    "on-hold": _on_hold,
    "scrap": _scrap,
    "sign": _sign,
}
