"""The whole way of one part, of today or of years ago, in plain words.

What is told is what is true after every correction; what was put right, entered late,
or is not vouched for by the chain says so. Nothing is judged again.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any, Literal

from benchassist.clock import Instant
from benchassist.domain import events as ev
from benchassist.domain.ledger import owed
from benchassist.domain.shape import PartShape
from benchassist.domain.stages import STAGES
from benchassist.domain.state import Bench, Part
from benchassist.domain.truth import Line
from benchassist.domain.words import Typed, clock, layer_words, unit_word
from benchassist.journal.reading import Reader
from benchassist.records.card_now import Done, done, marked, wall
from benchassist.records.day_log import PartLog, part_log
from benchassist.records.paper import mark_of
from benchassist.records.part_lines import RUNGS, SEEN
from benchassist.records.proof import Proof, prove
from benchassist.value import value

Lane = Literal["alone", "hands", "box"]
MEMORY = "This record is in memory alone."
WALKING = "The chain is being walked."
LEAST_MS = 60_000  # [ms] a stage of hands shorter than this is no bar of its own
STATEMENT = (
    "Bench process complete and checked against the recipe and revision shown. All"
    " listed checks passed; no open deviation. Handed to the prescriber for clinical"
    " evaluation. This record does not state clinical fit, biocompatibility or material"
    " properties; the manufacturer's instructions apply."
)


class StoryError(Exception):
    """There is no story of this part; the message is for the operator."""


@value
class Dose:
    """What a layer had on a side, seen of owed; ``how`` is how it is known."""

    layer: str
    low: int
    high: int
    owed: int
    unit: str
    how: str

    @property
    def words(self) -> str:
        """Return what it had of what it is owed, in counts."""
        had = str(self.low) if self.low == self.high else f"{self.low} to {self.high}"
        return f"{had} of {self.owed}"


@value
class Told:
    """One thing of the way: what, how much, by whom; ``proven`` by the chain."""

    when: str
    what: str
    how_much: str
    who: str
    proven: bool = True


@value
class Span:
    """A stretch of the way in ms from its beginning."""

    lane: Lane
    start_ms: int
    end_ms: int
    label: str


@value
class Story:
    """A part's whole way.

    ``otherwise`` is what did not go as planned, each with its time; ``put_right`` what
    was told and what is true, why and by whom. ``closed`` is how, when and by whom.
    """

    part: str
    mark: str
    state: str
    item: str
    recipe: str
    status: str
    began: Instant
    until_ms: int
    lines: tuple[Told, ...]
    doses: tuple[Dose, ...]
    with_what: tuple[tuple[str, str], ...]
    otherwise: tuple[tuple[str, str], ...]
    put_right: tuple[Told, ...]
    closed: tuple[str, str, str]
    spans: tuple[Span, ...]
    marks: tuple[tuple[int, str], ...]
    proof: Proof
    last: int


def story(journal: Reader, part: str, *, walk: bool = True) -> Story:
    """Return the story of a part, on whatever day it was in work.

    Parameters
    ----------
    journal
        Any open journal, a damaged one too: what can be read is told. Nothing vouches
        for one in memory, of a rehearsal.
    part
        Its code.
    walk
        Whether it is walked now; behind years of entries that takes some seconds, and
        a page shows the story before.

    Raises
    ------
    StoryError
        If the record knows no such part.
    """
    last = journal.head.seq
    log = part_log(journal, part, last)
    bench = log.bench
    found = bench.parts.get(part) if bench else None
    if bench is None or found is None:
        message = f"The record knows no part called “{part}”, or cannot be read of it."
        raise StoryError(message)
    if journal.on_disk and not walk:
        proof = Proof(1, last, journal.head.hash.hex(), amiss=WALKING)
    elif journal.on_disk:
        proof = prove(journal, log.entries, last, [(part, each) for each in log.own])
    else:
        proof = Proof(1, last, "", amiss=MEMORY)
    lines = tuple(log.lines.values())
    true = tuple(line for line in lines if not line.gone)
    recipe, began = bench.recipe_of(found), found.taken
    until = max(each.at.since(began) for each in log.entries)
    status = " ".join(filter(None, (recipe.status, recipe.record_no)))
    return Story(
        part=part,
        mark=mark_of(journal.store),
        state=log.state,
        item=" ".join(filter(None, (recipe.item_class, found.jaw, found.tooth))),
        recipe=f"{recipe.id}, IFU {recipe.ifu_revision}",
        status=status,
        began=began,
        until_ms=max(1, until),
        lines=tuple(_lines(found, lines, proof)),
        doses=tuple(_doses(bench, found)),
        with_what=tuple(_with_what(bench, found, log)),
        otherwise=tuple(_otherwise(true, began)),
        put_right=tuple(_put_right(log, began)),
        closed=_closed(log),
        spans=tuple(_spans(found, true, began)),
        marks=tuple(_marks(true, began)),
        proof=proof,
        last=last,
    )


def _lines(part: Part, lines: tuple[Line, ...], proof: Proof) -> Iterator[Told]:
    """Yield all that was done, as cards have it, and what cards need not say."""
    told = {each.seq: each for each in done(part, lines, part.taken)}
    for line in lines:
        entry = line.entry
        found = told.get(entry.seq)
        if found is None and (more := MORE.get(type(entry.event))):
            what, how_much = marked(line, *more(entry.event))
            found = Done(wall(entry.at, part.taken), what, how_much, entry.operator)
        if found is not None:
            yield Told(
                found.when,
                found.what,
                found.how_much,
                found.who,
                proof.vouches(entry.seq),
            )


def _changes(event: ev.PartChanged) -> str:
    words = "; ".join(f"{what}: {was} > {now}" for what, was, now in event.changes)
    typed = event.reason
    return f"{words}; {typed}"


def _shape(shape: PartShape) -> str:
    solid = "" if shape.watertight else "at most "
    size = f"{shape.area_cm2:.1f} cm², {solid}{shape.volume_cm3:.2f} cm³"
    return f"{size}, file {shape.digest[:8]}"


def _faces(event: ev.FacesMarked) -> tuple[str, str]:
    if not event.faces:
        return "faces as the recipe says", ""
    each = ", ".join(f"{face.title} {face.spots}" for face in event.faces)
    return "faces to coat marked", f"spots: {each}"


# What a card for the bench need not say, and a story must: what, and how much of it.
MORE: Mapping[type[ev.Event], Callable[[Any], tuple[str, str]]] = {
    ev.EquipmentChosen: lambda e: (f"another {e.role}", e.code),
    ev.LotChosen: lambda e: (f"another {e.role} lot", e.lot),
    ev.PartChanged: lambda e: ("changed on its way", _changes(e)),
    ev.GateAccepted: lambda e: (f"warning taken: {e.gate}", Typed(e.reason)),
    ev.BrushWetted: lambda e: (
        f"{layer_words(e.layer)} brushed, patch {e.segment}",
        e.lot,
    ),
    ev.WalkStarted: lambda e: (
        f"tacked with {e.lamp}",
        f"{clock(e.light_ms)} a spot, {e.verdict}",
    ),
    ev.SubmergeConfirmed: lambda e: (
        f"under glycerine in {e.vessel}",
        f"immersion {e.immersions} of its filling",
    ),
    ev.FlipConfirmed: lambda e: ("turned over", f"{e.side} to the light"),
    ev.DeviationOpened: lambda e: (f"deviation {e.deviation}", e.text),
    ev.DeviationClosed: lambda e: (
        f"deviation {e.deviation}: {e.decision}",
        Typed(e.reason),
    ),
    ev.PartReleased: lambda e: ("RELEASED", f"signed against {e.recipe}"),
    ev.PartScrapped: lambda e: ("SCRAPPED", Typed(e.reason)),
    ev.PartMeasured: lambda e: ("print file read", _shape(e.shape)),
    ev.FacesMarked: _faces,
    ev.PhotoKept: lambda e: (
        "photo kept",
        Typed(", ".join(filter(None, (e.digest[:8], e.note)))),
    ),
    ev.PartNoted: lambda e: ("note", Typed(e.text) or "taken away"),
}


def _doses(bench: Bench, part: Part) -> Iterator[Dose]:
    for each in owed(bench, part):
        side = f" {each.side}" if each.side else ""
        yield Dose(
            f"{layer_words(each.layer)}{side}",
            each.low,
            each.high,
            each.owed,
            unit_word(each.unit, each.owed),
            SEEN.get(each.evidence, ""),
        )


def _with_what(bench: Bench, part: Part, log: PartLog) -> Iterator[tuple[str, str]]:
    printed = f", printed {part.printed}" if part.printed else ""
    yield "print", f"{part.print_lot or 'never written'}{printed}"
    laid: dict[str, list[str]] = {}
    for layer, work in part.work.items():
        lit = sum(state == "done" for state in work.spots)
        lots = ", ".join(work.lots) or "never written"
        lamps = f"; {', '.join(work.lamps)}, {lit} of {len(work.spots)} spots"
        told = f"{lots}{lamps if work.lamps else ''}"
        laid.setdefault(told, []).append(layer_words(layer))
    for told, layers in laid.items():
        yield ", ".join(layers), told
    rungs = sorted({rung for rung in log.rungs if rung is not None})
    if rungs:
        yield "light", ", ".join(RUNGS.get(each, "") for each in rungs)
    runs = tuple(dict.fromkeys(each.run for each in part.exposures))
    yield "box", f"{part.box}, runs {', '.join(runs)}" if runs else part.box
    if part.vessel:
        fill = bench.fills.get(part.vessel)
        lot = f", {fill.lot}" if fill and fill.lot else ""
        yield "glycerine", f"{part.vessel}{lot}"
    if part.coats:
        stripped = f", {len(part.stripped)} taken off" if part.stripped else ""
        yield "coats", f"{part.coats} laid and tacked{stripped}"
    for name in ("prescriber", "shade", "note"):
        if told := getattr(part, name):
            yield name, told
    if part.photos:
        yield "photos", ", ".join(digest[:8] for digest in part.photos)


def _otherwise(lines: tuple[Line, ...], began: Instant) -> Iterator[tuple[str, str]]:
    for line in lines:
        when = wall(line.entry.at, began)
        match line.entry.event:
            case ev.MishapReported(title=title):
                yield when, title
            case ev.DeviationOpened(deviation=name, text=text):
                yield when, f"{name}: {text}"
            case ev.DeviationClosed(deviation=name, decision=decision):
                yield when, f"{name}: {decision}"
            case ev.GateAccepted(gate=gate):
                yield when, f"warning taken: {gate}"
            case ev.EnteredLate(source=source):
                yield when, f"entered late, from {source or 'paper'}"
            case ev.PartHeld(reason=reason):
                yield when, f"on hold: {reason}"
            case _:
                pass


def _put_right(log: PartLog, began: Instant) -> Iterator[Told]:
    for entry in log.entries:
        if not isinstance(entry.event, ev.Corrected):
            continue
        for change in entry.event.changes:
            if change.part not in ("", log.part):
                continue
            what = "did not happen" if change.field == ev.GONE else change.field
            yield Told(
                wall(entry.at, began),
                f"entry {change.seq}, {what}: {change.old} > {change.new}",
                Typed(entry.event.reason),
                entry.operator,
            )


def _closed(log: PartLog) -> tuple[str, str, str]:
    """Return how, when and by whom it was closed last; empty while it is not."""
    entry = log.closed
    if entry is None:
        return "", "", ""
    at = entry.at.local()
    how = "released" if isinstance(entry.event, ev.PartReleased) else "scrapped"
    return how, f"{at:%a} {at.day} {at:%b %Y %H:%M}", entry.operator


def _spans(part: Part, lines: tuple[Line, ...], began: Instant) -> Iterator[Span]:
    titles = {stage.key: stage for stage in part.route}
    begun: dict[str, int] = {}
    for line in lines:
        entry = line.entry
        at = max(0, entry.at.since(began))
        match entry.event:
            case ev.RunStarted(run=run):
                begun[run] = at
            case ev.DoseCredited(run=run, low=low, high=high):
                count = f"{low}" if low == high else f"{low} to {high}"
                yield Span("box", begun.get(run, at), at, count)
            case ev.StageEnded(stage=key, elapsed_ms=ms) if key in titles:
                stage = titles[key]
                mode = STAGES[stage.kind].mode
                if mode == "box" or (ms < LEAST_MS and mode == "hand"):
                    continue
                lane: Lane = "hands"
                if mode in ("soak", "dry", "submerge"):
                    lane = "alone"
                yield Span(lane, max(0, at - ms), at, stage.title)
            case _:
                pass


def _marks(lines: tuple[Line, ...], began: Instant) -> Iterator[tuple[int, str]]:
    for line in lines:
        at = max(0, line.entry.at.since(began))
        match line.entry.event:
            case ev.MishapReported(title=title):
                yield at, title
            case ev.DeviationOpened(deviation=name):
                yield at, name
            case ev.Corrected():
                yield at, "put right"
            case ev.PartReleased():
                yield at, "signed"
            case ev.PartScrapped():
                yield at, "scrapped"
            case _:
                pass
