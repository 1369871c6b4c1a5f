"""People at the bench: away and back, claims, hand-over, and those who learn."""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain import place as frozen
from benchassist.domain.advice import Task, hand_over_list
from benchassist.domain.events import AnswerPredicted, Level, LevelSet
from benchassist.domain.gates.verdict import Gate
from benchassist.domain.holders import holder, progress
from benchassist.domain.shelf import offered
from benchassist.domain.standing import Standings
from benchassist.domain.state import Bench, InRun, Part, Soaking
from benchassist.domain.training import level_of, prompts, to_predict
from benchassist.ui.present.advice import before_harm
from benchassist.ui.present.fill import Gap
from benchassist.ui.present.heard import hand_over_lines
from benchassist.ui.present.rows import clocks, doing, worst
from benchassist.ui.present.shown import Now, big_clock
from benchassist.ui.view import Card, Countdown, Option, Panel
from benchassist.ui.words import say, shown

# How an operator works: the level, its name, and what the bench does then.
LEVELS: tuple[tuple[Level, str, str], ...] = (
    ("alone", say("alone"), say("asks nothing, gives no reasons")),
    ("gates only", say("told at gates only"), say("gives its reason at every gate")),
    (
        "every prompt",
        say("told at every step"),
        say("asks for the number first, gives its reason at every gate"),
    ),
    ("watch", say("watches"), say("lets them begin nothing")),
)
NAMES = {level: name for level, name, _does in LEVELS}


def away(bench: Bench, now: Instant) -> Now:
    """Return the resume card: shown before the break and until the way back."""
    found = bench.away
    if found is None:
        return Now(say("Nothing was in hand"))
    place = found.place
    card = Card(
        say("Resume card"),
        _lines(bench, place),
        (Option(say("I am back"), "Enter", cm.ComeBack(), tone="attention"),),
    )
    return Now(
        frozen.where(place).removeprefix(f"{place.part}: ").removesuffix("."),
        say("Place saved. Timers running."),
        Countdown(*big_clock(now.most_since(found.since), "away")),
        card=card,
        right_hint=say("come back by hand"),
    )


def _lines(bench: Bench, place: frozen.Place) -> tuple[str, ...]:
    """Return the card's lines: what was done instead of where, which is far text."""
    done, (where, *others) = _just_done(bench, place), frozen.card(place)
    return (*(done or (where,)), *others)


def _just_done(bench: Bench, place: frozen.Place) -> tuple[str, ...]:
    """Return what was finished last before the break: what the eye looks for first."""
    part = bench.parts.get(place.part)
    if part is None:
        return ()
    work = part.work.get(place.layer)
    done = work.spots.count("done") if work else 0
    if work and done:
        of = len(work.spots)
        told = say("Done before: {done} of {of} spots, all whole.", done=done, of=of)
        return (told,)
    if part.at:
        title = part.route[part.at - 1].title.lower()
        return (say("Done before: {title}.", title=title),)
    return ()


HEADS = (
    say("Part"),
    say("What now"),
    say("In"),
    say("Where"),
    say("Held by"),
    say("Before harm"),
)
MOST_LINES = 6  # of the card, the nearest to harm; the People page has them all


def handed(bench: Bench, now: Instant) -> Now:
    """Return what whoever took the station sees first: what runs, by its harm."""
    tasks = hand_over_list(bench, now)
    every = Standings(bench, now)
    lines = [_handed_line(every, task) for task in tasks[:MOST_LINES]]
    if len(tasks) > MOST_LINES:
        lines.append(
            say("{many} more on the People page, key G", many=len(tasks) - MOST_LINES)
        )
    read = Option(say("I have read it"), "Enter", cm.ReadHandOver(), tone="attention")
    found = bench.handed
    giver = say(" by {giver}", giver=found.giver) if found else ""
    when = say("At {at:%H:%M}. ", at=found.at.local()) if found else ""
    aloud = hand_over_lines(bench, now)
    return Now(
        say("Handed over{giver}", giver=giver),
        say("{when}The foot waits until this is read.", when=when),
        card=Card(
            say("Hand-over, nearest to harm first"),
            tuple(lines) or (say("Nothing runs or waits."),),
            (read,),
        ),
        panels=(Panel(say("READ ALOUD"), "20 s", "plain", aloud),) if aloud else (),
        right_hint=say("glasses and lamp are yours to confirm"),
    )


def hand_over_rows(bench: Bench, now: Instant) -> tuple[tuple[str, ...], ...]:
    """Return what runs and waits, nearest to harm first, then what else is held."""
    tasks, every = hand_over_list(bench, now), Standings(bench, now)
    rows = []
    for task in tasks:
        act, due, harm = _told(every, task)
        where = _where(bench, bench.parts[task.part])
        who = holder(bench, "part", task.part) or "nobody"
        rows.append((", ".join(task.parts), act, due, where, who, harm))
    parts = {code for task in tasks for code in task.parts}
    rows += [
        (held.code, held.kind, "", "", held.who, "")
        for held in bench.claims.values()
        if held.code not in parts
    ]
    return tuple(rows)


def _handed_line(every: Standings, task: Task) -> str:
    bench, part = every.bench, every.bench.parts[task.part]
    act, due, harm = _told(every, task)
    soon = say("due in {due}", due=due) if due else ""
    left = say("harm in {harm}", harm=harm) if harm[0].isdigit() and not soon else ""
    place = _where(bench, part)
    where = "" if place in act else place
    told = (act, soon, progress(part), where, left)
    return f"{', '.join(task.parts)}: {', '.join(map(shown, filter(None, told)))}"


def _told(every: Standings, task: Task) -> tuple[str, str, str]:
    """Return act, due and harm of a task in the words and numbers of its row."""
    due, harm = clocks(worst(every, task.parts))
    return (
        doing(every.of(task.part), every.word(task.part))[0],
        due,
        harm or before_harm(task),
    )


def _where(bench: Bench, part: Part) -> str:
    """Return where a part lies, as far as anybody said."""
    if isinstance(part.phase, InRun):
        run = bench.runs[part.phase.run]
        return (
            say("{vessel} in {box}", vessel=run.vessel, box=run.box)
            if run.vessel
            else run.box
        )
    if part.immersed_in:
        return part.immersed_in
    if isinstance(part.phase, Soaking) and part.stage.max_s:
        return part.stage.title.lower()
    return say("tray {tray}", tray=part.tray) if part.tray else ""


def claims(bench: Bench, part: Part | None) -> tuple[Option, ...]:
    """Return what may be claimed, put down or taken over."""
    claimed = (held.code for held in bench.claims.values() if held.kind == "lamp")
    lamps = dict.fromkeys((*offered(bench, "lamp"), *claimed))
    things = [("lamp", code) for code in lamps]
    if part is not None:
        things.insert(0, ("part", part.code))
    out = []
    for kind, code in things:
        held = bench.claims.get((kind, code))
        if held is None:
            command: object = cm.ClaimThing(kind, code)  # type: ignore[arg-type]
            out.append(Option(say("Claim {code}", code=code), "", command))
        elif held.who == bench.operator:
            put_down = cm.PutDown(kind, code)  # type: ignore[arg-type]
            out.append(Option(say("Put {code} down", code=code), "", put_down))
        else:
            taking = Gap(cm.TakeOver(kind, code, ""), "reason")  # type: ignore[arg-type]
            told = say("Take {code} from {who}", code=code, who=held.who)
            out.append(
                Option(told, "", taking, hold=True, needs_text=say("Why it is taken"))
            )
    return tuple(out)


def hand_over() -> Option:
    """Return the way to hand the bench over."""
    return Option(
        say("Hand the bench over"),
        "1",
        Gap(cm.HandOver(""), "to"),
        hold=True,
        needs_text=say("Operator code of whoever takes it"),
    )


def say_first(bench: Bench, part: Part) -> Card | None:
    """Return the question a trainee answers before the bench shows the number."""
    questions = to_predict(bench, part)
    if not questions:
        return None
    asked = questions[0]
    gap = Gap(cm.Predict(part.code, asked.code, 0.0), "answer", number=True)
    option = Option(say("Type the answer"), "1", gap, needs_number=asked.text)
    return Card(
        say("Say it first"), (asked.text, say("Then the bench shows it.")), (option,)
    )


def came_of(event: object) -> str:
    """Return what is said of an event that a trainee, or who teaches, waits for."""
    match event:
        case AnswerPredicted(expected=is_, right=True):
            return say("Right: {is_:g}.", is_=is_)
        case AnswerPredicted(predicted=told, expected=is_):
            return say("It is {is_:g}, not {told:g}.", is_=is_, told=told)
        case LevelSet(who=who, level=level):
            return _works(who, level)
        case _:
            return ""


def why(bench: Bench, gate: Gate) -> tuple[Panel, ...]:
    """Return a gate's reason for whoever learns the work."""
    if not gate.why or not prompts(bench).why_at_gates:
        return ()
    return (Panel(say("WHY"), lines=(gate.why,)),)


def learning(bench: Bench) -> tuple[Option, ...]:
    """Return the levels an operator may be set to."""
    who, now = bench.operator, level_of(bench)
    return tuple(
        Option(_works(who, level), "", cm.SetLevel(who, level), hold=True)
        for level in NAMES
        if who and level != now
    )


def _works(who: str, level: Level) -> str:
    return say("{operator}: {level}", operator=who, level=NAMES[level])
