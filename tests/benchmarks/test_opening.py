"""Opening, and a press, with years of entries behind, against a young journal.

The years are one rehearsed crown from intake to release, written again and again
under other codes and on other days; the demonstration's day follows them. The goal is
set for the 4,000,000 entries of ten years; here are as many as can be written in a
few seconds, and the closing of the first opening is what makes the later ones quick.
"""

import statistics
from dataclasses import fields, replace
from time import process_time
from timeit import default_timer

import pytest

from benchassist import folds
from benchassist.clock import Instant, RealClock
from benchassist.domain import commands as cm
from benchassist.domain.events import PartReleased, PartTaken
from benchassist.journal.drafts import Draft
from benchassist.journal.writing import Journal
from benchassist.rehearsal import Player, load_script
from benchassist.rehearsal.memory import MemoryJournal
from benchassist.session import Session

pytestmark = pytest.mark.benchmark

YOUNG, OLD = 1_000, 100_000
PER_DAY = 15  # parts
DAY_MS = 86_400_000
AT_ONCE = 500  # parts written in one transaction
RUNS = 15
PRESSES = 200
GOAL = 1.5  # times a young journal


def rehearsed(name):
    """Return the drafts of a script, and which of them is the first intake."""
    book = MemoryJournal()
    player = Player(load_script(name), lambda: book)
    for _ in player.moments():
        pass
    drafts = [
        Draft(each.at, each.operator, each.channel, each.event)
        for each in book.entries()
    ]
    return drafts, next(
        place for place, each in enumerate(drafts) if isinstance(each.event, PartTaken)
    )


def one_crown():
    """Return the drafts of a crown from intake to release, and those before it."""
    drafts, first = rehearsed("o1_plain_crown")
    kinds = [type(draft.event) for draft in drafts]
    return drafts[:first], drafts[first : kinds.index(PartReleased) + 1]


def again(draft, ms, code="", new=""):
    """Return a draft as it is ``ms`` later, with another part's code."""

    def moved(told):
        if isinstance(told, Instant):
            return told.plus(ms)
        if isinstance(told, tuple):
            return tuple(moved(each) for each in told)
        return new if told and told == code else told

    event = draft.event
    changed = {each.name: moved(getattr(event, each.name)) for each in fields(event)}
    return replace(draft, at=draft.at.plus(ms), event=replace(event, **changed))


def years(journal, entries):
    """Write ``entries`` entries or a few more into an empty journal, then a day."""
    before, crown = one_crown()
    code = crown[0].event.part
    journal.append(before)
    parts = -(-entries // len(crown))
    for first in range(0, parts, AT_ONCE):
        numbers = range(first, min(parts, first + AT_ONCE))
        journal.append(
            [
                again(draft, number // PER_DAY * DAY_MS, code, f"EX-{number:06}")
                for number in numbers
                for draft in crown
            ]
        )
    day, first = rehearsed("day")
    ms = (parts // PER_DAY + 1) * DAY_MS
    journal.append([again(draft, ms) for draft in day[first:]])


@pytest.fixture(scope="module")
def folders(tmp_path_factory):
    """Return the folders of a young journal and of an old one, both once closed."""
    made = []
    for entries in (YOUNG, OLD):
        folder = tmp_path_factory.mktemp("store") / str(entries)
        with Journal.open(folder) as journal:
            years(journal, entries)
        Session(Journal.open(folder), RealClock()).close()
        made.append(folder)
    return made


def opened_ms(folder):
    """Return how long a journal takes to be opened and its state to be there."""
    start = default_timer()
    session = Session(Journal.open(folder), RealClock())
    took = (default_timer() - start) * 1000
    assert len(session.bench.in_flight) >= 6
    session.close()
    return took


def test_an_old_journal_opens_like_a_young_one(folders):
    taken = [[opened_ms(folder) for folder in folders] for _ in range(RUNS)]
    young, old = (statistics.median(each) for each in zip(*taken, strict=True))
    print(f"opening: {old:.1f} ms behind {OLD} entries, {young:.1f} ms behind {YOUNG}")

    assert old <= GOAL * young


def test_a_command_costs_no_more_with_years_behind_it(folders):
    sessions = [Session(Journal.open(folder), RealClock()) for folder in folders]
    for session in sessions:
        session.begin(kind="rehearsal", station="EX-BENCH", zone="UTC")
    taken = []
    for number in range(PRESSES):
        row = []
        for session in sessions:
            parts = session.bench.in_flight
            start = default_timer()
            done = session.handle(cm.ChoosePart(parts[number % 2].code), "hand")
            row.append((default_timer() - start) * 1000)
            assert done.entries
        taken.append(row)
    young, old = (statistics.median(each) for each in zip(*taken, strict=True))
    print(f"command: {old:.2f} ms behind {OLD} entries, {young:.2f} ms behind {YOUNG}")
    for session in sessions:
        session.close()

    assert old <= GOAL * young


def own_ms(folder):
    """Return the processor's time that an opening takes: others' work is not in it."""
    start = process_time()
    session = Session(Journal.open(folder), RealClock())
    took = (process_time() - start) * 1000
    session.journal.close()
    return took


def test_an_upgrade_that_changed_no_fold_reopens_within_twice(folders, monkeypatch):
    """Words in five of the sources differ, as in most releases; what they do does not."""
    folder = folders[1]
    Session(Journal.open(folder), RealClock()).close()
    real, words = folds._bytes_of, tuple(folds.keys())[:5]
    taken = []
    for _ in range(RUNS):
        ordinary = own_ms(folder)
        with monkeypatch.context() as patch:
            patch.setattr(
                folds,
                "_bytes_of",
                lambda name: "other" if name in words else real(name),
            )
            folds._syntax_of.cache_clear()
            taken.append((ordinary, own_ms(folder)))
    ordinary, after = (statistics.median(each) for each in zip(*taken, strict=True))
    print(f"opening: {after:.1f} ms after an upgrade, {ordinary:.1f} ms as always")

    assert after <= 2 * ordinary


def test_a_correction_costs_no_more_with_years_behind_it(folders):
    sessions = [Session(Journal.open(folder), RealClock()) for folder in folders]
    taken = []
    for number in range(RUNS):
        row = []
        for session in sessions:
            parts = [part for part in session.bench.in_flight if part.exposures]
            code = parts[number % len(parts)].code
            start = default_timer()
            told = session.journal.last_of("DoseCredited", "part", code)
            found = session.preview(cm.Correct(told.seq, "low", "321", ""))
            row.append((default_timer() - start) * 1000)
            assert found.changes
        taken.append(row)
    young, old = (statistics.median(each) for each in zip(*taken, strict=True))
    print(
        f"correction: {old:.1f} ms behind {OLD} entries, {young:.1f} ms behind {YOUNG}"
    )
    for session in sessions:
        session.close()

    assert old <= GOAL * young
