"""Every place of the window, opened for a part of every kind of state there is.

The shipped scripts are played to their ends. Whenever a part is as none was before (its
stage and phase, what it asks for, what went otherwise with it, what it owes, what was
put right), or something told of it would leave it so, that is a *case*. A case is shown
in a window of its own, on a copy of its bench, and every place is opened for its part.
"""

import copy
from functools import partial

from benchassist.domain import commands as cm
from benchassist.domain.decide import decide
from benchassist.domain.events import Corrected, EnteredLate, ProgramFaulted
from benchassist.domain.evolve import after
from benchassist.domain.mishaps import offered
from benchassist.domain.outcome import Refusal, Said
from benchassist.domain.part import Closed, OnHold
from benchassist.domain.standing import Standings
from benchassist.rehearsal import Player, load_script, shipped_scripts
from benchassist.rehearsal.memory import MemoryJournal
from benchassist.session import Session
from benchassist.ui.actions import OpenStory
from benchassist.ui.faults import Faults
from benchassist.ui.places import PLACES
from benchassist.ui.present import rehearsed  # noqa: F401 - what scripts expect of it
from tests.ui.screens import Stage

STORY = "P"
# Every place by its letter, and what digits lead to from there: more of the story, of
# the change, the faces, what can have happened, what was told last.
WAYS = (*(place.key for place in PLACES), "P2", "C0", "C9", "C94", "W1", "Z1")
A_NUMBER = "1000"  # for a question without options


class Case:
    """A part as it stood, on a bench of its own, and what was told of it first.

    ``new`` says what was so of no part before it.
    """

    def __init__(self, script, session, part, new, told=None):
        self.name = f"{script}, entry {session.bench.seq}, {part}: {sorted(new)}"
        self.part, self.new = part, new
        book = MemoryJournal()
        session.journal._db.backup(book._db)
        book._head = session.journal.head
        # Not begun: a bench that goes on has no program that was opened anew.
        self.session = Session(book, copy.copy(session._clock))
        for each in filter(None, (told, cm.ChoosePart(part))):
            self.session.handle(each, "hand")


def kinds(bench, at, part):
    """Yield in what a part can differ from others, as far as its pages may care."""
    phase = part.phase
    how = phase.how if isinstance(phase, Closed) else ""
    if how or isinstance(phase, OnHold):
        yield f"{phase.kind} {how}"
    else:
        yield f"at {part.stage.kind}, {phase.kind}"
        if part.variant.back_from_mouth:
            yield f"back, at {part.stage.kind}"
    if not how:
        yield f"asks {at.of(part.code).situation}"
    yield f"is {bench.recipe_of(part).item_class}, {part.variant.finish}"
    yield f"{part.variant.cover}, held between: {part.variant.hold_between}"
    for each in bench.deviations.values():
        if part.code in each.parts:
            yield f"{each.decision or each.rule} {how}"
    if part.basket:
        yield "in a basket"
    yield f"light seen: {bool(part.exposures)} {how}"


def acts(bench, part):
    """Yield what could be told of a part now."""
    code = part.code
    for mishap in offered(bench, part):
        answers = ()
        while len(asked := mishap.questions(bench, part, answers)) > len(answers):
            answers += ((asked[len(answers)].options or (A_NUMBER,))[-1],)
        yield cm.ReportMishap(code, mishap.code, answers)
    yield cm.ScrapPart(code, "cracked")
    yield cm.HoldPart(code, "lunch")
    yield cm.OpenDeviation((code,), "it looked odd")
    yield cm.StepBack(code, "once more")
    for each in bench.open_deviations(code):
        for decision in ("use as is", "rework", "ask prescriber"):
            yield cm.CloseDeviation(each.id, decision, "seen")


def cases():
    """Yield every case of the shipped scripts, as its part stood just then."""
    seen, tried = set(), set()
    for name in shipped_scripts():
        player = Player(load_script(name), partial(_same, MemoryJournal()))
        last = 0
        for _ in player.moments():
            session = player.session
            if session.bench.seq != last:
                put_right = tuple(_put_right(session, last))
                last = session.bench.seq
                for part in session.bench.parts.values():
                    yield from _as_it_stands(name, session, part, seen, put_right)
                    if not isinstance(part.phase, Closed):
                        yield from _once_told(name, session, part, seen, tried)
        player.close()


def _same(book):
    return book


def _put_right(session, after_seq):
    """Return of which parts something was just put right or entered late, and what."""
    for entry in session.journal.entries(after_seq):
        match entry.event:
            case Corrected(parts=parts, changes=changes):
                for part in parts:
                    yield from ((part, f"put right {each.kind}") for each in changes)
            case EnteredLate(part=part):
                yield part, "entered late"


def _as_it_stands(script, session, part, seen, put_right):
    at = Standings(session.bench, session.now())
    found = {*kinds(session.bench, at, part)}
    found |= {what for code, what in put_right if code == part.code}
    if new := found - seen:
        seen |= new
        yield Case(script, session, part.code, new)


def _once_told(script, session, part, seen, tried):
    """Yield the cases that something told of a part would make of it."""
    bench, now = session.bench, session.now()
    for act in acts(bench, part):
        what = getattr(act, "mishap", getattr(act, "decision", ""))
        where = (type(act), what, part.stage.kind, part.phase.kind)
        if where in tried:
            continue
        decision = decide(bench, act, now)
        if isinstance(decision, Refusal | Said):
            continue
        tried.add(where)
        then = bench
        for event in decision:
            then = after(then, event, now)
        found = {*kinds(then, Standings(then, now), then.parts[part.code])}
        if new := found - seen:
            seen |= new
            yield Case(script, session, part.code, new, act)


class Shown(Stage):
    """A case in its window, where a fault goes where it does in the program."""

    def __init__(self, case, folder):
        self.case = case
        self._show(case.session, folder)
        self._faults = Faults(case.session, self.window)
        self._faults.install()

    def amiss(self):
        """Go one way after the other; return the keys of those that had a fault."""
        return [keys for keys in WAYS if self._bad(keys)]

    def _bad(self, keys):
        before = self._told()
        # As a letter that no field took: so it leads on from every page.
        self.bench.key_unused.emit(keys[0])
        self.look()
        for key in keys[1:]:
            self.press(key)
        shut = not self.bench._page or (keys == STORY and not self._has_story())
        return shut or self._told() > before

    def _told(self):
        entries = self.case.session.journal.entries()
        return sum(isinstance(each.event, ProgramFaulted) for each in entries)

    def _has_story(self):
        """Ask for the part's story, though it be closed, and whether it came."""
        page = self.bench._page
        page.take(OpenStory(self.case.part))
        story = getattr(page, "_story", None)
        return story is not None and story.part == self.case.part

    def close(self):
        self._faults.remove()
        self._hide()
