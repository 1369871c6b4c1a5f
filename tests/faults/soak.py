"""Days on end at the bench, by seed: hands, mishaps, corrections, faults, all random.

The engine is the real one, its journal lies on disk, only the clock is simulated. What
the hands did (``Soak.text``) is a rehearsal that anybody can run again. After every day
the record is asked what must hold, whatever happened.

``python -m tests.faults.soak [DAYS [SEED]]`` prints one row a day.
"""

# ruff: noqa: S108, T201 - memory where there is some; a printed table

import gc
import shutil
import sys
import tempfile
from collections import Counter
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from pathlib import Path

from benchassist import snapshot
from benchassist.clock import RealClock
from benchassist.domain import events as ev
from benchassist.domain.evolve.anew import folded, replay
from benchassist.domain.queue import ranked
from benchassist.domain.state import Bench, InRun, Ready, Walking
from benchassist.journal.reading import ReadOnlyJournal
from benchassist.records.export import export_day
from benchassist.recovery import backup
from benchassist.stores import paper
from benchassist.ui.present.look import look
from benchassist.value import replace
from tests.faults.soak_hands import HOUR_MS, OPEN_MS
from tests.faults.soak_office import Office
from tests.faults.soak_trouble import DAY_MS

SHUT_MS = 17 * HOUR_MS
EARLY_MS = 5 * 60_000  # the machine is up before the bench opens
GLANCE = 0.05  # of the moments are looked at whole
SLACK = 2  # [counts] the clock is read in whole milliseconds
MEMORY = Path("/dev/shm")


@dataclass
class Day:
    """What one day came to, for the table; all but the last three since the first."""

    day: int
    entries: int
    taken: int
    released: int
    scrapped: int
    in_flight: int
    refused: int
    faults: int
    mishaps: int
    corrections: int
    rss_kb: int
    state_kb: int
    seconds: float


class Soak(Office):
    """So many days, each asked at its end what must hold.

    Attributes
    ----------
    rows
        One for each day.
    """

    def __init__(self, folder, seed, days, parts_a_day=8):
        self.days = days
        self.rows = []
        self._told = {}  # what was acknowledged: number to id
        super().__init__(folder, seed, parts_a_day)

    def run(self):
        """Let all the days pass; raise SoakError where something does not hold."""
        try:
            for _ in self.player.moments():
                pass
        finally:
            self.player.close()
        return self

    def lines(self):
        yield self.line("library", "practice.toml")
        yield from self.back()
        for day in range(self.days):
            started = RealClock().now()
            yield from self.opening(day)
            while self.ms < day * DAY_MS + SHUT_MS:
                yield from self.moment()
                if self.chance.random() < GLANCE:
                    self._glance()
            yield from self.close_day()
            self._day_holds(day + 1, started)
            if day + 1 < self.days:
                yield from self.night((day + 1) * DAY_MS + OPEN_MS - EARLY_MS)

    # --- as it happens ----------------------------------------------------------------

    def heard(self, outcome):
        super().heard(outcome)
        for entry in outcome.entries:
            self._told[entry.seq] = entry.id
            match entry.event:
                case ev.RunEndObserved():
                    self._bounds_hold(entry.event)
                case ev.SpotTacked(evidence="paced"):
                    self._was_seen(entry.event)

    def _bounds_hold(self, end):
        """Check that what the box really gave lies in what it was credited as."""
        true = self.delivered(end.run)
        if end.outcome in ("unknown", "died with the PC") and not (
            end.low - SLACK <= true <= end.high + SLACK
        ):
            self.fail(f"{end.run} gave {true}, credited {end.low} to {end.high}")

    def _was_seen(self, spot):
        """Check that no spot is credited of which a moment passed unwatched."""
        end = spot.ended.mono_ms - self.boots[spot.ended.boot]
        begin = end - spot.light_ms
        if any(begin < back and gone < end for gone, back in self.unseen):
            self.fail(f"{spot.part} spot {spot.spot} was credited unseen")

    def restarted(self):
        journal = self.player.session.journal
        found = {entry.seq: entry.id for entry in journal.entries()}
        lost = [seq for seq, name in self._told.items() if found.get(seq) != name]
        if lost:
            self.fail(f"entries {lost[:5]} were acknowledged and are gone")

    def _glance(self):
        """Check what one look must find whatever happened."""
        bench, now = self.bench, self.now
        queue = {each.part for each in ranked(bench, now)}
        if queue != {part.code for part in bench.in_flight}:
            self.fail("the queue is not the parts in flight")
        if not look(bench, now).pedal_line:
            self.fail("a look without a word for the foot")
        for part in bench.in_flight:
            if amiss := _amiss(bench, part):
                self.fail(f"{part.code} {amiss}")
        for run in bench.runs.values():
            for code in run.parts:
                if getattr(bench.parts[code].phase, "run", "") != run.run:
                    self.fail(f"{run.run} holds {code}, which is not in it")

    # --- at a day's end -----------------------------------------------------------------

    def _day_holds(self, day, started):
        """Ask the record, as another program would, what must hold of it."""
        bench = self.bench
        with ReadOnlyJournal.open(self.folder) as journal:
            head = journal.head.seq
            self._chain_holds(journal, head)
            anew = replay(Bench(), journal.entries(), journal)
            if anew != bench:
                self.fail(f"refolded it is another bench: {_differing(anew, bench)}")
            closed = self._reconciled(journal, anew)
            self._signatures_hold(journal)
            self._coupons_hold()
            for part in anew.in_flight:
                self._ledger_holds(journal, anew, part)
            with tempfile.TemporaryDirectory() as out:
                export_day(journal, self.now.day(), Path(out) / "export")
                if bench.in_flight:
                    _, amiss = paper(self.folder, Path(out) / "cards", self.now)
                    if amiss:
                        self.fail(amiss)
                backup(self.folder, Path(out) / "backup")
        gc.collect()
        done = self.happened
        self.rows.append(
            Day(
                day=day,
                entries=head,
                taken=len(bench.in_flight) + closed.total(),
                released=closed["released"],
                scrapped=closed["scrapped"],
                in_flight=len(bench.in_flight),
                refused=self.refused.total(),
                faults=done.total() - done["mishap"] - done["correct"] - done["odd"],
                mishaps=done["mishap"],
                corrections=done["correct"],
                rss_kb=rss_kb(),
                state_kb=len(snapshot.kept(bench, "soak")) // 1024,
                seconds=RealClock().now().since(started) / 1000,
            )
        )

    def _chain_holds(self, journal, head):
        for report in (journal.walk(1, head), journal.walk_index(1, head)):
            if report.faults:
                self.fail(report.faults[0].sentence)
        for sentence in filter(None, journal.index_faults(head)):
            self.fail(sentence)

    def _reconciled(self, journal, bench):
        """Check that no part is lost; return how many were closed, and how."""
        taken, closed = set(), {}
        for entry in journal.entries():
            match entry.event:
                case ev.PartTaken(part=code):
                    taken.add(code)
                case ev.PartReleased(part=code):
                    closed[code] = "released"
                case ev.PartScrapped(part=code):
                    closed[code] = "scrapped"
        flight = {part.code for part in bench.in_flight}
        if taken != flight | closed.keys() or flight & closed.keys():
            self.fail("parts taken in are not those released, scrapped and in flight")
        if {row.part for row in journal.part_rows()} != taken:
            self.fail("the table of parts has others than were taken in")
        return Counter(closed.values())

    def _ledger_holds(self, journal, bench, part):
        """Check a part against its own true entries, alone."""
        lines = journal.history(part.code)
        true = (line.entry.event for line in lines if not line.gone)
        credited = sum(
            each.low
            for each in true
            if isinstance(each, ev.DoseCredited) and each.part == part.code
        )
        if credited != sum(each.low for each in part.exposures):
            self.fail(f"{part.code}: {credited} credited, ledger {part.exposures}")
        alone = folded(bench, part.code, lines).parts[part.code]
        of_bench = {
            name: getattr(part, name) for name in ("tray", "basket", "hands_ms")
        }
        alike = replace(alone, **of_bench)
        if alike != part:
            self.fail(f"{part.code} alone is another: {_differing(alike, part)}")


def _amiss(bench, part):
    """Return what cannot be of a part, whatever happened to it."""
    phase = part.phase
    if isinstance(phase, Ready) and part.stage.kind == "dry":
        return "is to dry and no clock runs"
    if isinstance(phase, InRun) and part.code not in bench.runs[phase.run].parts:
        return "is in a run without it"
    if isinstance(phase, Walking) and phase.spot >= bench.spots_of(part):
        return "walks past its last spot"
    if part.code not in bench.baskets.get(part.basket, (part.code,)):
        return "is in a basket without it"
    return ""


def _differing(one, other):
    """Return the fields in which two values differ, each with both."""
    mine, yours = asdict(one), asdict(other)
    found = {
        name: (mine[name], yours[name]) for name in mine if mine[name] != yours[name]
    }
    return str(found)[:2000]


def rss_kb():
    """Return the memory that this process has now."""
    pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1])
    return pages * 4


@contextmanager
def somewhere():
    """Give a folder in memory: the disk's own waits are measured elsewhere."""
    made = tempfile.mkdtemp(dir=MEMORY if MEMORY.is_dir() else None)
    try:
        yield Path(made) / "store"
    finally:
        shutil.rmtree(made, ignore_errors=True)


def soak(days, seed, parts_a_day=8):
    """Run so many days by a seed; return the soak, with rows and text."""
    with somewhere() as folder:
        found = Soak(folder, seed, days, parts_a_day)
        try:
            return found.run()
        except BaseException:
            kept = Path(tempfile.gettempdir()) / f"soak-failed-{seed}.txt"
            kept.write_text("\n".join(found.text) + "\n", "utf-8")
            raise


def printed(found):
    """Return the rows as text."""
    rows = (
        " | ".join(f"{each:g}" for each in asdict(row).values()) for row in found.rows
    )
    return "\n".join(
        (
            " | ".join(asdict(found.rows[0])),
            *rows,
            f"happened {dict(found.happened)}",
            f"refused {dict(found.refused.most_common())}",
            f"given up {dict(found.gave_up)}",
        )
    )


if __name__ == "__main__":
    print(printed(soak(*map(int, sys.argv[1:] or ("3", "1")))))
