"""What a press does and what the screen says of it, one small function a row.

The table that names them is in ``pedal``; nothing here decides which row it is.
"""

from __future__ import annotations

from collections.abc import Callable

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain.calls import Situation
from benchassist.domain.coat import answer_for, face_of, next_segment
from benchassist.domain.deciders.coat import walk_shut
from benchassist.domain.deciders.common import gates_of
from benchassist.domain.deciders.people import barred
from benchassist.domain.outcome import Refusal, Said
from benchassist.domain.place import where
from benchassist.domain.queue import need
from benchassist.domain.routines import ROUTINES, by_hand
from benchassist.domain.stages import STAGES
from benchassist.domain.standing import Standings
from benchassist.domain.state import Bench, Part, Paused
from benchassist.domain.training import to_predict
from benchassist.domain.words import clock, face_words, late

Answer = cm.Command | Refusal | Said
Act = Callable[[Bench, Part, "Instant"], Answer]
Line = Callable[[Bench, Part, "Instant"], str]
Free = Callable[[Standings], Answer]


# What is told by keeping the foot down at a stage of hand work.
DONE = {
    "abrade": "abraded",
    "assess": "looked over",
    "clean": "clean",
    "disinfect": "disinfected",
    "fit": "it fits",
    "mount": "it is mounted",
    "polish": "polished",
    "refine": "it is smooth",
    "rinse": "rinsed",
    "supports": "supports are off",
}

FAR = 40  # [characters] that fit the PEDAL line at its size


def says(text: str) -> Act:
    """Return an act that says a text and changes nothing."""
    return lambda _bench, _part, _now: Said(text)


def fixed(text: str) -> Line:
    """Return a line that is the same for every part."""
    return lambda _bench, _part, _now: text


def at_stage(bench: Bench, part: Part, now: Instant) -> Said:
    """Say which part it is and at what."""
    return Said(f"{part.code}: {part.stage.title}.")


def left(bench: Bench, part: Part, now: Instant) -> Said:
    """Say what is left, or how late it is."""
    due = need(bench, part, now).due_ms
    told = f"{clock(due)} left" if due > 0 else late(-due)
    return Said(f"{part.code}: {part.stage.title}, {told}.")


def why_shut(bench: Bench, part: Part, now: Instant) -> Answer:
    """Ask for the step once more, so that its gate says why not."""
    # Asking for the step again runs the gate again and puts the attempt on record.
    mode = STAGES[part.stage.kind].mode
    if mode == "coat":
        return cm.WetBrush(part.code)
    if mode == "soak":
        return cm.StartStage(part.code)
    # Never StartRun here: the box may be loaded with a part the foot does not mean.
    return gates_of(bench, part, now) or at_stage(bench, part, now)


def wet_where(bench: Bench, part: Part, now: Instant) -> Said:
    """Say where the wet coat stands and how long it has been wet."""
    phase = part.phase
    if isinstance(phase, Paused):
        face = face_words(face_of(bench, part, phase.spot)[0])
        wet = clock(now.most_since(phase.wet_since))
        return Said(f"{part.code}: {face}, spot {phase.spot + 1}, wet for {wet}.")
    return at_stage(bench, part, now)


def card_line(bench: Bench, part: Part, now: Instant) -> str:
    """Return which hand the card in front waits for."""
    if to_predict(bench, part):
        return "nothing: say it first, key 1"
    return "nothing: keep Enter down 2 s"


def at_card(bench: Bench, part: Part, now: Instant) -> Said:
    """Say what the hand does at the card in front."""
    if to_predict(bench, part):
        return Said("This is asked of you first: key 1, then type the answer.")
    return Said("This is done by hand: keep Enter down for two seconds.")


def quiet(bench: Bench, part: Part, now: Instant) -> cm.Command:
    """Let what is due be quiet for a while."""
    return cm.Quiet(part.code)


def start(bench: Bench, part: Part, now: Instant) -> cm.Command:
    """Start the timer of the basket."""
    return cm.StartStage(part.code)


def start_line(bench: Bench, part: Part, now: Instant) -> str:
    """Return what would be started."""
    basket = bench.basket_of(part)
    more = f", basket of {len(basket)}" if len(basket) > 1 else ""
    return f"starts {part.stage.title.lower()}{more}"


def out_line(bench: Bench, part: Part, now: Instant) -> str:
    """Return what would be taken out."""
    basket = bench.basket_of(part)
    return f"taken out, all {len(basket)}" if len(basket) > 1 else "taken out"


def next_line(bench: Bench, part: Part, now: Instant) -> str:
    """Return what a short press says, and what a long one ends."""
    return f"says where; long: {DONE.get(part.stage.kind, 'done')}"


def brush_line(bench: Bench, part: Part, now: Instant) -> str:
    """Return which segment would be brushed."""
    segment = next_segment(bench, part, answer_for(bench, part).seconds)
    if segment is None or segment.total == 1:
        return "wet the brush"
    return f"wet the brush, patch {segment.number} of {segment.total}"


def shut_line(bench: Bench, part: Part, now: Instant) -> str:
    """Return what a press at a shut gate does."""
    return "says why again"


def refused_line(bench: Bench, part: Part, command: Answer, now: Instant) -> str:
    """Return what the line says of a press that would be refused, else nothing.

    Who may not, and a walk whose lamp is not confirmed or no longer passes. A gate at
    the start of a stage has a situation of its own, ``shut``.
    """
    if not isinstance(command, cm.Command):
        return ""
    no = barred(bench, command)
    if no is None and isinstance(command, cm.StartWalk | cm.GoOn):
        no = walk_shut(bench, part, now)
    if no is None:
        return ""
    told = f"says why not: {no.message.removesuffix('.')}"
    return told if len(told) <= FAR else "says why not"


def count_line(bench: Bench, part: Part, now: Instant) -> str:
    """Return what the foot tells of a box that was started by hand."""
    return "box running: note the start"


def wait_line(bench: Bench, part: Part, now: Instant) -> str:
    """Return what a press says of a part that waits."""
    return "time left?"


def _away(at: Standings) -> Said:
    away = at.bench.away
    return Said(where(away.place) if away else "")


def _two_due(_at: Standings) -> Refusal:
    told = "Two things are due at once: the foot could mean either."
    return Refusal("two-due", told, remedy="Choose one by hand.")


def _told(text: str) -> Free:
    return lambda _at: Said(text)


def _which(at: Standings) -> Said:
    code, thing = at.check or ("", "")
    if told := by_hand((code, thing)):
        return Said(told)
    return Said(f"{thing} {ROUTINES[code].title}: good? Keep down.".lstrip())


def _good(at: Standings) -> cm.Command:
    code, thing = at.check or ("", "")
    return cm.DoRoutine(code, good=True, thing=thing)


# Where the foot means no part: what the screen says, what a press leads to, and a
# long one where it means more.
NOBODY = (
    "nothing: choose a part",
    _told("Choose a part first, by hand."),
    None,
)
OF_BENCH: dict[Situation, tuple[str, Free, Free | None]] = {
    "locked": (
        "nothing: who works here? key O",
        _told("Claim the station first: key O, by hand."),
        None,
    ),
    "away": ("says what waits and where", _away, None),
    "handed": (
        "nothing: read the hand-over",
        _told("Read what was handed over first: key Enter, by hand."),
        None,
    ),
    "coupon-light": ("lights this tab", lambda _at: cm.LightTab(), None),
    "coupon-lit": ("this tab not done", lambda _at: cm.StopTab(), None),
    "coupon": (
        "nothing: the coupon is judged by hand",
        _told("A coupon is judged by hand: by key, on its page."),
        None,
    ),
    "two-due": ("nothing: two things are due", _two_due, None),
    "check": ("says which; keep down: good", _which, _good),
    "told": ("nothing: this is told by hand", _which, None),
    "none": NOBODY,
    "closed": NOBODY,
}
