"""The day as it closes: does it add up, what stays over night, what must not wait.

Everything is read from the bench as it stands; who signs puts their own code to it.
"""

from __future__ import annotations

from collections.abc import Iterator

from benchassist.clock import Instant
from benchassist.domain import events as ev
from benchassist.domain.commands import Command
from benchassist.domain.deciders.common import unsigned
from benchassist.domain.kept import OVERNIGHT
from benchassist.domain.outcome import Decision, Refusal, answering, granted
from benchassist.domain.routines import Due, due
from benchassist.domain.stages import STAGES
from benchassist.domain.state import WET, Bench, Closed, InRun, OnHold, Part, Soaking
from benchassist.domain.words import listed
from benchassist.value import value


@value
class Account:
    """The parts of a day: brought forward and taken in, and where each of them stands.

    ``stood`` has code and words; ``hurry`` the parts that cannot stay as they are,
    ``untold`` those of which nobody said where they stay.
    """

    day: str
    brought: int
    taken: int
    released: int
    scrapped: int
    held: int
    carried: int
    stood: tuple[tuple[str, str], ...]
    open: tuple[str, ...]
    otherwise: tuple[str, ...]
    hurry: tuple[str, ...]
    untold: tuple[str, ...]

    @property
    def adds_up(self) -> bool:
        """Return whether what came in is what there is."""
        there = self.released + self.scrapped + self.held + self.carried
        return self.brought + self.taken == there


def account(bench: Bench, now: Instant) -> Account:
    """Return the account of the day that ``now`` is in."""
    day = now.day()
    parts = tuple(
        part
        for part in bench.parts.values()
        if not isinstance(part.phase, Closed) or part.phase.at.day() == day
    )
    closed = [part.phase.how for part in parts if isinstance(part.phase, Closed)]
    held = sum(isinstance(part.phase, OnHold) for part in parts)
    open_ = tuple(each.id for each in bench.deviations.values() if not each.decision)
    return Account(
        day=day,
        brought=sum(part.taken.day() < day for part in parts),
        taken=sum(part.taken.day() >= day for part in parts),
        released=closed.count("released"),
        scrapped=closed.count("scrapped"),
        held=held,
        carried=len(parts) - len(closed) - held,
        stood=tuple((part.code, _stands(bench, part, day)) for part in parts),
        open=open_,
        otherwise=tuple(_otherwise(bench, parts)),
        hurry=tuple(part.code for part in parts if hurries(part)),
        untold=tuple(
            part.code
            for part in parts
            if not isinstance(part.phase, Closed) and not _stays(bench, part, day)
        ),
    )


def _stands(bench: Bench, part: Part, day: str) -> str:
    phase = part.phase
    if isinstance(phase, Closed):
        return phase.how
    where = _stays(bench, part, day)
    how = "on hold" if isinstance(phase, OnHold) else "carried forward"
    told = f"{how} at {part.stage.title}"
    return f"{told}: {where}" if where else told


def _stays(bench: Bench, part: Part, day: str) -> str:
    """Return where a part stays over night, "" where nobody said so today."""
    looked = bench.routines.get(OVERNIGHT, {}).get(part.code)
    if looked is None or looked.at.day() != day:
        return ""
    return looked.note or "as it lies"


def hurries(part: Part) -> bool:
    """Return whether a part cannot be left: in solvent, in the box, or wet."""
    if isinstance(part.phase, Soaking):
        return STAGES[part.stage.kind].solvent
    return isinstance(part.phase, InRun | WET)


def _otherwise(bench: Bench, parts: tuple[Part, ...]) -> Iterator[str]:
    """Yield what went otherwise than the instructions say, each recipe once."""
    for name in dict.fromkeys(part.recipe for part in parts):
        recipe = bench.recipes[name]
        if recipe.status != "as IFU":
            record = f", {recipe.record_no}" if recipe.record_no else ""
            codes = tuple(part.code for part in parts if part.recipe == name)
            yield f"{listed(codes)}: {name} {recipe.status}{record}"
    day = {part.code for part in parts}
    for each in bench.deviations.values():
        if each.decision == "use as is" and day & set(each.parts):
            yield f"{listed(each.parts)}: {each.id} accepted as it is"


@answering
def sign(
    bench: Bench, command: Command, head: int, head_hash: str, now: Instant
) -> Decision:
    """Return the signature of the day, after entry ``head`` with its hash (hex)."""
    granted(unsigned(bench, getattr(command, "signed", ""), "the day"))
    found = account(bench, now)
    granted(_not_yet(bench, found, now, head))
    checks = due(bench, now, "close")
    return (
        ev.DaySigned(
            day=found.day,
            head=head,
            hash=head_hash if head_hash.strip("0") else "",
            brought=found.brought,
            taken=found.taken,
            stood=found.stood,
            open=found.open,
            otherwise=found.otherwise,
            unseen=tuple(
                f"{each.thing} {each.routine.title}: not good".strip()
                for each in checks
            ),
        ),
    )


def _not_yet(bench: Bench, found: Account, now: Instant, head: int) -> Refusal | None:
    """Return what is still to be done before the day is signed."""
    last = bench.signed
    if last is not None and last.day == found.day and head <= last.head + 1:
        return Refusal("signed", f"{last.who} signed this day; nothing came since.")
    if found.hurry:
        told = listed(found.hurry)
        return Refusal(
            "hurry",
            f"{told} cannot stay as it is over night.",
            remedy="Take it out of the bath or the box, or end its coat; then sign.",
            part=found.hurry[0],
        )
    if found.untold:
        told = f"Where does {listed(found.untold)} stay over night?"
        return Refusal("untold", told, remedy="Key Y: answer it there.")
    left = closing_left(bench, now)
    if left:
        return Refusal(
            "checks-left",
            f"{len(left)} closing checks are left: {left[0].routine.title}.",
            (("left", len(left)),),
            "Key Y: do them, or say what is amiss.",
        )
    return None


def closing_left(bench: Bench, now: Instant) -> tuple[Due, ...]:
    """Return the closing checks that nobody looked at today."""
    day = now.day()
    return tuple(
        each
        for each in due(bench, now, "close")
        if not _looked_today(bench, each.routine.code, each.thing, day)
    )


def _looked_today(bench: Bench, routine: str, thing: str, day: str) -> bool:
    looked = bench.routines.get(routine, {}).get(thing)
    return looked is not None and looked.at.day() == day
