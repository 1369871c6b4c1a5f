"""A correction decided: the changes, what they shut, and the counts they move."""

from __future__ import annotations

from collections.abc import Iterable

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.coat import layer_done
from benchassist.domain.correction.counts import recounted
from benchassist.domain.correction.gathered import Gathered
from benchassist.domain.correction.judged import Shut, newly_shut, overfull
from benchassist.domain.correction.told import Fields, Told, read
from benchassist.domain.correction.worlds import (
    BESIDE,
    BY_ITSELF,
    World,
    WorldError,
    roots_of,
)
from benchassist.domain.deciders.common import deviation, leave, needs_reason
from benchassist.domain.evolve import evolve
from benchassist.domain.evolve.anew import folded
from benchassist.domain.evolve.shelf_anew import (
    BESIDE_PARTS,
    SHELF_KINDS,
    shelved,
)
from benchassist.domain.ledger import remaining
from benchassist.domain.outcome import Refusal, answering, granted
from benchassist.domain.stages import STAGES
from benchassist.domain.state import Bench, Ready
from benchassist.domain.truth import Line, field_of, same_act, true_lines
from benchassist.value import value

LAST = ("StageEnded", "RunEndObserved")  # a "done" goes back only after later ones
MOVES = (
    ev.StageStarted,
    ev.LoadConfirmed,
    ev.RunStarted,
    ev.SubmergeConfirmed,
    ev.BrushWetted,
    ev.FlipConfirmed,
    ev.PartChanged,
    ev.StageReopened,
    ev.PartReleased,
)


@value
class Decided:
    """What a correction comes to, before it is written down.

    ``was`` and ``now`` have the lines of each part in both readings, ``shut`` what is
    newly in the way of what was done, by part.
    """

    told: Told
    events: tuple[ev.Event, ...]
    changes: tuple[ev.Change, ...]
    was: dict[str, tuple[Line, ...]]
    now: dict[str, tuple[Line, ...]]
    shut: dict[str, tuple[Shut, ...]]


@answering
def correct(
    bench: Bench, command: cm.Correct, found: Gathered | None, now: Instant
) -> tuple[ev.Event, ...] | Refusal:
    """Return the events by which an entry is put right, or why it cannot be."""
    decided = granted(corrected(bench, command, found, now))
    needs_reason(command.reason, "Say why; it stays on the record.")
    return decided.events


@answering
def corrected(
    bench: Bench, command: cm.Correct, found: Gathered | None, now: Instant
) -> Decided | Refusal:
    """Return what a correction would come to; nothing is written yet."""
    if found is None:
        return Refusal("no-such-entry", f"There is no entry {command.entry}.")
    event = found.entry.event
    told, fields = granted(read(bench, event, command.field, command.value))
    if command.part and command.part not in found.stories:
        return Refusal(
            "no-such-part", f"{command.part} is not in entry {command.entry}."
        )
    if told.kind in SHELF_KINDS:
        return _of_the_shelf(bench, command, found, told, fields)
    granted(_too_soon(found, told, fields))
    return _of_parts(bench, command, found, (told, fields), now)


# --- parts ---------------------------------------------------------------------------


def _of_parts(
    bench: Bench,
    command: cm.Correct,
    found: Gathered,
    given: tuple[Told, Fields],
    now: Instant,
) -> Decided | Refusal:
    told, fields = given
    entry = found.entry
    said = {(entry.seq, field): new for field, new in fields}
    if told.kind in BESIDE:
        said = {(each.seq, told.field): fields[0][1] for each in found.hanging}
    was = {part: true_lines(story, part) for part, story in found.stories.items()}
    lines, shut = {}, {}
    for part, story in found.stories.items():
        try:
            world = World(bench, part, story, roots_of(story, part) | said)
        except WorldError:
            return _hangs(part, entry)
        lines[part] = world.lines
        shut[part] = newly_shut(
            part, (bench, was[part]), (bench, world.lines), world.before
        )
    found_in = {part: _differences(was[part], lines[part]) for part in found.stories}
    changes = _collapsed({part: each for part, each in found_in.items() if each}, entry)
    beside = _beside(entry, told, fields)
    if not changes and not beside:
        return Refusal("nothing-changes", "It says so already: nothing would change.")
    parts = tuple(part for part, each in found_in.items() if each)
    event = ev.Corrected(entry.seq, parts, (*beside, *changes), command.reason.strip())
    counts = recounted(bench, was, lines, now)
    left = _leave(bench, {part: lines[part] for part in parts}, now)
    opened = _deviations(bench, command, told, shut)
    events = (event, *counts, *left, *opened)
    return Decided(told, events, event.changes, was, lines, shut)


def _leave(
    bench: Bench, lines: dict[str, tuple[Line, ...]], now: Instant
) -> tuple[ev.Event, ...]:
    """Return the events by which parts leave a stage that has all it was owed now."""
    found: list[ev.Event] = []
    for code, told in lines.items():
        part = folded(bench, code, told).parts[code]
        mode = STAGES[part.stage.kind].mode
        had = (mode == "box" and remaining(part, part.stage) == 0) or (
            mode == "coat" and layer_done(part)
        )
        if had and isinstance(part.phase, Ready):
            found.extend(leave(part, now))
    return tuple(found)


def _beside(entry: ev.Entry, told: Told, fields: Fields) -> tuple[ev.Change, ...]:
    """Return the changes of an entry that names no part, which no history shows."""
    if told.kind not in BESIDE_PARTS:
        return ()
    return tuple(
        _change(entry, field, field_of(entry.event, field), new)
        for field, new in fields
        if field_of(entry.event, field) != new
    )


def _too_soon(found: Gathered, told: Told, fields: Fields) -> Refusal | None:
    """Return why a "done" cannot be taken back yet: something came after it."""
    entry = found.entry
    if told.kind not in LAST or (ev.GONE, True) not in fields:
        return None
    for part, story in found.stories.items():
        own = entry.event
        if isinstance(own, ev.StageEnded) and _ends_by_itself(story, own.stage):
            return Refusal(
                "by-itself",
                f"{part} left this by what was given to it: put that right.",
                remedy="Correct the count, the spot or the end of the run.",
                part=part,
            )
        for line in true_lines(story, part):
            later = line.entry.seq > entry.seq and not same_act(line.told, entry)
            if later and not line.gone and _moves(line.entry.event):
                what = type(line.entry.event).__name__
                return Refusal(
                    "later-first",
                    f"{part} went on after that (entry {line.entry.seq}, {what}).",
                    (("entry", line.entry.seq),),
                    "Take back what came after it first.",
                    part=part,
                )
    return None


def _ends_by_itself(story: Iterable[ev.Entry], stage: str) -> bool:
    for entry in story:
        if isinstance(entry.event, ev.PartTaken | ev.RouteChanged):
            for each in entry.event.route:
                if each.key == stage and STAGES[each.kind].mode in BY_ITSELF:
                    return True
    return False


def _moves(event: ev.Event) -> bool:
    return isinstance(event, (*MOVES, ev.StageEnded, ev.RunEndObserved)) and not (
        isinstance(event, ev.StageStarted) and event.by_itself
    )


def _hangs(part: str, entry: ev.Entry) -> Refusal:
    return Refusal(
        "later-first",
        f"What came after entry {entry.seq} on {part} hangs on it.",
        remedy="Take back what came after it first.",
        part=part,
    )


Differences = dict[tuple[int, str], tuple[ev.Entry, ev.Plain, ev.Plain]]


def _differences(was: Iterable[Line], now: Iterable[Line]) -> Differences:
    found: Differences = {}
    for old, new in zip(was, now, strict=True):
        seq, entry = old.told.seq, old.told
        if old.gone != new.gone:
            found[seq, ev.GONE] = (entry, old.gone, new.gone)
        if new.gone or old.entry.event == new.entry.event:
            continue
        for field, before in vars(old.entry.event).items():
            after = getattr(new.entry.event, field)
            if before != after:
                found[seq, field] = (entry, before, after)
    return found


def _collapsed(found: dict[str, Differences], entry: ev.Entry) -> tuple[ev.Change, ...]:
    """Return every change once: for all the parts, or for the one it holds for."""
    changes: dict[tuple[int, str, str], ev.Change] = {}
    for part, differences in found.items():
        for (seq, field), (told, old, new) in differences.items():
            alike = all(
                each.get((seq, field), (told, None, None))[1:] == (old, new)
                for each in found.values()
            )
            named = "" if alike else part
            changes[seq, field, named] = _change(told, field, old, new, named)
    first = [each for each in changes.values() if each.seq == entry.seq]
    rest = [each for each in changes.values() if each.seq != entry.seq]
    rest.sort(key=lambda each: each.seq)
    return (*first, *rest)


def _change(
    entry: ev.Entry, field: str, old: ev.Plain, new: ev.Plain, part: str = ""
) -> ev.Change:
    kind = type(entry.event)
    return ev.Change(entry.seq, kind.__name__, kind.version, field, old, new, part)


# --- the shelf -----------------------------------------------------------------------


def _of_the_shelf(
    bench: Bench,
    command: cm.Correct,
    found: Gathered,
    told: Told,
    fields: Fields,
) -> Decided | Refusal:
    """Put a shelf entry right: no part's entries change, but every gate is asked."""
    entry = found.entry
    changes = _beside(entry, told, fields)
    if not changes:
        return Refusal("nothing-changes", "It says so already: nothing would change.")
    then = true = evolve(bench, entry)
    for change in changes:
        true = shelved(true, entry, change)
    was = {part: true_lines(story, part) for part, story in found.stories.items()}
    shut = {}
    last = max((each.seq for each in found.hanging), default=0)
    for part, story in found.stories.items():
        stages = World(bench, part, story, roots_of(story, part)).before
        used = {seq: each for seq, each in stages.items() if entry.seq < seq}
        if told.kind != "LotReceived":
            used = {seq: each for seq, each in used.items() if seq <= last}
        shut[part] = newly_shut(part, (then, was[part]), (true, was[part]), used)
    if told.field == "immersions":
        had = dict(fields)["immersions"]
        assert isinstance(had, int)  # noqa: S101 - as the table reads it
        shut = {part: tuple(overfull(bench, found, had, part)) for part in shut}
    parts = tuple(part for part in found.stories if shut[part])
    event = ev.Corrected(entry.seq, parts, changes, command.reason.strip())
    opened = _deviations(bench, command, told, shut)
    return Decided(told, (event, *opened), changes, was, was, shut)


# --- what is to be assessed ----------------------------------------------------------


def _deviations(
    bench: Bench, command: cm.Correct, told: Told, shut: dict[str, tuple[Shut, ...]]
) -> tuple[ev.DeviationOpened, ...]:
    """Return one deviation for each part on which something is shut now."""
    found: list[ev.DeviationOpened] = []
    for part, ones in shut.items():
        if not ones:
            continue
        gates = dict.fromkeys((each.title, each.sentence.rstrip(".")) for each in ones)
        why = "; ".join(f"{title}: {sentence}" for title, sentence in gates)
        text = f"{part}: “{told.says}” put right (entry {command.entry}). {why}."
        found.append(deviation(bench, "corrected", (part,), text, offset=len(found)))
    return tuple(found)
