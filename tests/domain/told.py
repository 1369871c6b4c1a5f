"""Mishaps told at a desk, for the tests of what follows from them."""

from copy import copy

from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.mishaps.kind import MOST_QUESTIONS
from benchassist.domain.state import Closed, InRun, Ready, Soaking, Walking
from tests.domain.builders import desk_at

STATES = {
    "bare": ("fit", Ready),
    "washing": ("wash-1", Soaking),
    "drying": ("dry-box", Soaking),
    "in the first run": ("half-1", InRun),
    "wet": ("coat-1", Walking),
    "tacked, a coat ahead": ("coat-2", Ready),
    "tacked": ("submerge", Ready),
    "degassing": ("submerge", Soaking),
    "in the second run": ("half-2", InRun),
    "cured, drying": ("dry-end", Soaking),
    "cured": ("checks", Ready),
}


def at(state, **more):
    stage, phase = STATES[state]
    return desk_at(stage, phase=phase, **more)


def fork(desk):
    """Return a desk of its own that stands where another stands."""
    twin = copy(desk)
    twin.clock, twin.entries = copy(desk.clock), list(desk.entries)
    return twin


def all_answers(mishap, bench, part, so_far=()):
    """Yield every row of answers a mishap can be given here; numbers as samples."""
    asked = mishap.questions(bench, part, so_far)
    assert len(asked) <= MOST_QUESTIONS
    if len(so_far) == len(asked):
        yield so_far
        return
    question = asked[len(so_far)]
    for answer in question.options or ("", "0.3", "1000"):
        yield from all_answers(mishap, bench, part, (*so_far, answer))


def report(desk, mishap, *answers, code="EX-1"):
    """Report a mishap; return what was told, and what came with it."""
    events = desk.must(cm.ReportMishap(code, mishap, answers))
    told = next(each for each in events if isinstance(each, ev.MishapReported))
    return (told, *(each for each in events if each is not told))


def rules(desk):
    return [each.rule for each in desk.events(ev.DeviationOpened)]


def keys(desk, code="EX-1"):
    part = desk.part(code)
    return [stage.key for stage in part.route[part.at :]]


def fresh(desk, *vessels):
    """Fill vessels anew where nothing lies in them, as hands would when asked."""
    for vessel in vessels or ("GV-1",):
        desk.do(cm.FillGlycerine(vessel, "G-2"))


def finish(desk, code="EX-1", most=120):
    """Bring a part to its release, with fresh glycerine and one reason too many."""
    for _ in range(most):
        part = desk.part(code)
        if isinstance(part.phase, Closed):
            return
        agree(desk, part)
        if part.stage.layer:
            for gate in ("coats-max", "light-check", "lamp-reading-age"):
                desk.do(cm.AcceptGate(gate, code, "agreed and known"))
            desk.must(cm.OpenLampSession(part.lamp))
        if isinstance(part.phase, Ready) and part.stage.layer:
            desk.wait(300)  # whatever was wiped dries
        if isinstance(part.phase, Ready) and part.stage.kind == "submerge":
            desk.wait(900)  # what was wiped and not coated again dries for the box
        if part.stage.kind == "checks":
            for check in desk.bench.checks_of(part):
                desk.must(cm.RecordCheck(code, check))
            desk.sign(code)
        else:
            desk.step(code)


def agree(desk, part):
    """Assess what departed, keep what was asked about, fill what is not in use."""
    for found in desk.bench.open_deviations(part.code):
        desk.must(cm.CloseDeviation(found.id, "use as is", "seen"))
    if part.scrap_asked:
        desk.must(cm.KeepPart(part.code, "the prescriber agreed"))
    if isinstance(part.phase, Ready) and not part.immersed_in:
        fresh(desk)
