"""One part's history told and true, side by side, from what hands put right.

Every correction is worked out from what was told and all that hands have said since,
so that one that is put right itself leaves nothing behind.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from benchassist.domain import events as ev
from benchassist.domain.coat import layer_done
from benchassist.domain.correction.sources import followed
from benchassist.domain.evolve.anew import bare, folded, one_more
from benchassist.domain.ledger import remaining
from benchassist.domain.stages import STAGES
from benchassist.domain.state import Bench, Part
from benchassist.domain.truth import Line, same_act, true_lines, with_field
from benchassist.value import replace, value

Roots = dict[tuple[int, str], ev.Plain]  # (entry, field): what a hand said it was

# What one command wrote with a "done" and takes back with it; never what was decided.
OF_THE_ACT = (
    "FlipConfirmed",
    "RunEndObserved",
    "DoseCredited",
    "DoseNoticed",
    "StageEnded",
)
OF_THE_RUN = ("RunEndObserved", "RunInterrupted", "DoseCredited", "DoseNoticed")
# Entries that name no part: what hangs on them is put right with them.
BESIDE = {"LampSessionOpened": "WalkStarted"}
BY_ITSELF = ("box", "coat", "submerge")  # modes of stages that end without a hand


class WorldError(Exception):
    """What was told after an entry hangs on it: it cannot be taken back alone."""


def roots_of(told: Iterable[ev.Entry], part: str) -> Roots:
    """Return what hands have put right of a part so far, the last word for each."""
    found: Roots = {}
    told = tuple(told)
    kinds = {entry.seq: type(entry.event).__name__ for entry in told}
    for entry in told:
        if not isinstance(entry.event, ev.Corrected):
            continue
        for change in entry.event.changes:
            own = change.seq == entry.event.entry
            beside = entry.event.entry not in kinds and change.kind in BESIDE.values()
            if (own or beside) and change.part in ("", part):
                found[change.seq, change.field] = change.new
    return found


@value
class Step:
    """An entry, and how its part stood before it as far as it was then believed."""

    entry: ev.Entry
    bench: Bench
    ends: dict[str, ev.RunEndObserved]


class World:
    """A part's entries, read again by what hands said of them.

    Attributes
    ----------
    lines
        Every entry of the part, as it is true.
    before
        The part as it was believed before each entry, by its number.
    """

    def __init__(
        self, bench: Bench, part: str, told: tuple[ev.Entry, ...], roots: Roots
    ) -> None:
        """Read a part's entries.

        Raises
        ------
        WorldError
            If what is left makes no history.
        """
        self._part = part
        self._roots = roots
        self._told = told
        self._void: list[ev.Entry] = []
        self._lost: set[str] = set()
        self._believed = {line.told.seq: line for line in true_lines(told, part)}
        try:
            steps = self._steps(bench)
            self.before: dict[int, Part] = {
                step.entry.seq: step.bench.parts[part]
                for step in steps
                if part in step.bench.parts
            }
            self._hand_work = self._worked_by_hand()
            self.lines = tuple(self._read(bench, steps))
        except (KeyError, IndexError, StopIteration) as error:
            raise WorldError from error

    def _steps(self, bench: Bench) -> tuple[Step, ...]:
        """Return the entries with the part as it was believed before each.

        What was told after a correction was told in the world that it had made.
        """
        desk, found = bare(bench), []
        ends: dict[str, ev.RunEndObserved] = {}
        for n, entry in enumerate(self._told, start=1):
            found.append(Step(entry, desk, dict(ends)))
            if isinstance(entry.event, ev.RunEndObserved):
                ends[entry.event.run] = entry.event
            if not isinstance(entry.event, ev.Corrected):
                desk = one_more(desk, self._part, entry)
                continue
            lines = true_lines(self._told[:n], self._part)
            desk = folded(bench, self._part, lines)
            ends = {
                line.entry.event.run: line.entry.event
                for line in lines
                if isinstance(line.entry.event, ev.RunEndObserved) and not line.gone
            }
        return tuple(found)

    # --- by whose hand ---------------------------------------------------------------

    def _worked_by_hand(self) -> tuple[ev.Entry, ...]:
        """Return the entries of work by hand that nobody has taken back."""
        gone = [entry for entry in self._told if self._taken_back(entry)]
        return tuple(
            entry
            for entry in self._told
            if entry.seq in self.before
            and _by_hand(entry.event, self.before[entry.seq])
            and not any(same_act(entry, each) for each in gone)
        )

    def _taken_back(self, entry: ev.Entry) -> bool:
        return bool(self._roots.get((entry.seq, ev.GONE), False))

    def _stays(self, entry: ev.Entry) -> bool:
        """Return whether a hand worked on the part after it left a stage.

        No part goes back behind work by hand. What was void before stays so.
        """
        if self._believed[entry.seq].gone:
            return False
        return any(
            other.seq > entry.seq and not same_act(entry, other)
            for other in self._hand_work
        )

    # --- one pass --------------------------------------------------------------------

    def _read(self, bench: Bench, steps: tuple[Step, ...]) -> Iterable[Line]:
        true = bare(bench)
        ends: dict[str, ev.RunEndObserved] = {}
        for step in steps:
            entry, new, gone = step.entry, self._said(step.entry), False
            if entry.seq in self.before:
                new = self._followed(step, true, ends)
                gone = self._gone(step, true)
            line = Line(replace(entry, event=new), entry, gone=gone)
            yield line
            if gone:
                self._void.append(entry)
                continue
            true = one_more(true, self._part, line.entry)
            if isinstance(new, ev.RunEndObserved):
                ends[new.run] = new

    def _said(self, entry: ev.Entry) -> ev.Event:
        event = entry.event
        for (seq, field), new in self._roots.items():
            if seq == entry.seq and field != ev.GONE:
                event = with_field(event, field, new)
        return event

    def _followed(
        self, step: Step, true: Bench, ends: Mapping[str, ev.RunEndObserved]
    ) -> ev.Event:
        entry = step.entry
        event = self._said(entry)
        if isinstance(entry.event, ev.RunEndObserved) and event != entry.event:
            return event  # a hand read the counter: what was set says nothing more
        moved = followed(step.bench, true, self._part, entry.event, (step.ends, ends))
        for field, new in moved.items():
            if (entry.seq, field) not in self._roots:
                event = with_field(event, field, new)
        return event

    def _gone(self, step: Step, true: Bench) -> bool:
        """Return whether an entry did not happen, or would not have come."""
        entry, told = step.entry, step.bench
        said = self._roots.get((entry.seq, ev.GONE))
        if said is not None:
            return bool(said)
        event = entry.event
        name = type(event).__name__
        if name in OF_THE_ACT and self._with_the_act(entry):
            return not (isinstance(event, ev.StageEnded) and self._stays(entry))
        run = getattr(event, "run", "")
        if name in OF_THE_RUN and run in self._lost:
            return hasattr(event, "part") or run in told.runs
        match event:
            case ev.RunStarted():
                if _loaded(told, self._part) and not _loaded(true, self._part):
                    self._lost.add(event.run)
                    return True
            case ev.StageStarted(by_itself=True):
                return any(
                    isinstance(each.event, ev.StageEnded) and same_act(each, entry)
                    for each in self._void
                )
            case ev.StageEnded():
                return (
                    _comes(told.parts[self._part], event.stage)
                    and not _comes(true.parts[self._part], event.stage)
                    and not self._stays(entry)
                )
            case _:
                pass
        return False

    def _with_the_act(self, entry: ev.Entry) -> bool:
        return any(
            same_act(each, entry)
            and self._taken_back(each)
            and type(each.event).__name__ in OF_THE_ACT
            for each in self._told
        )


def _loaded(bench: Bench, part: str) -> bool:
    return any(part in load.parts for load in bench.loads.values())


def _comes(part: Part, stage: str) -> bool:
    """Return whether a part leaves a stage that ends without a hand.

    Any other stage is left by a hand, whatever the program thinks of it.
    """
    at = next((each for each in part.route if each.key == stage), None)
    if at is None or STAGES[at.kind].mode not in BY_ITSELF:
        return True
    if part.stage.key != stage:
        return False
    if at.kind == "box":
        return remaining(part, at) == 0
    return not at.layer or layer_done(part)


def _by_hand(event: ev.Event, part: Part) -> bool:
    """Return whether an event is work by hand, behind which no part goes back."""
    match event:
        case (
            ev.FlipConfirmed()
            | ev.BrushWetted()
            | ev.SubmergeConfirmed()
            | ev.CheckRecorded()
            | ev.LayerStripped()
            | ev.RouteChanged()
            | ev.PartChanged()
            | ev.StageReopened()
            | ev.PartHeld()
            | ev.PartReleased()
            | ev.PartScrapped()
        ):
            return True
        case ev.StageStarted(by_itself=by_itself):
            return not by_itself
        case ev.StageEnded(stage=stage):
            at = next((each for each in part.route if each.key == stage), None)
            return at is not None and STAGES[at.kind].mode not in BY_ITSELF
        case _:
            return False
