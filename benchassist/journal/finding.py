"""Which parts something touched, over all days: the question of a recall.

Answered from the tables of the index alone, so that it costs the same order of time
behind ten years of entries; only parts that were put right are read whole. What is
not known comes with the answer: a recall that does not say it is worse than none.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from benchassist.domain.events import Entry
from benchassist.domain.recall import Answer, Found, Kind, Sought, Sure
from benchassist.journal.projections import FILLED, touches
from benchassist.value import value

if TYPE_CHECKING:
    from benchassist.journal.reading import Reader

KINDS: tuple[Kind, ...] = ("lot", "lamp", "box", "bath", "vessel", "operator", "part")
CHOSEN = ("PartTaken", "LotChosen", "PartChanged", "EquipmentChosen")
LAST = "9999-12-31"
END = 2**62  # an entry's number behind every other
WASHES = 4  # the first stages of a route, among which its washes are
NEVER_WRITTEN = "print lot never written"
# Kinds that say how something was used; all others only name it.
USED = {
    "BrushWetted": "",  # its layer says more
    "WalkStarted": "tacked",
    "SubmergeConfirmed": "submerged",
    "RunStarted": "box run",
    "StageEnded": "",
}


@value
class _Span:
    """A subject over entries ``low`` ≤ seq < ``high``, and how it is called there."""

    kind: str
    code: str
    low: int = 0
    high: int = END
    told: str = ""


@value
class _Use:
    part: str
    role: str
    kind: str
    layer: str
    day: str
    told: str


def kinds_of(journal: Reader, code: str) -> tuple[Kind, ...]:
    """Return as what a code stands in the record, "day" for a day."""

    def question(db: sqlite3.Connection) -> tuple[Kind, ...]:
        return tuple(
            kind
            for kind in KINDS
            if db.execute(
                "SELECT 1 FROM touches WHERE subject_kind = ? AND subject = ? LIMIT 1",
                (kind, code),
            ).fetchone()
        )

    return journal.asked(question)


def find(journal: Reader, sought: Sought) -> Answer:
    """Return which parts have what is sought, and which may.

    Parameters
    ----------
    journal
        Any open journal.
    sought
        What is looked for; a lot is followed into every mix of it, a glycerine lot
        into its fillings, a solvent lot into its baths.
    """
    spans, uses, rows, prescribers, put_right = journal.asked(
        lambda db: _asked(db, sought)
    )
    by_part: dict[str, list[_Use]] = {}
    for use in uses:
        by_part.setdefault(use.part, []).append(use)
    if sought.kind != "day":
        for part in by_part.keys() & put_right:
            washed = (use for use in by_part[part] if use.role == "bath")
            by_part[part] = [*_true(journal, part, spans, sought), *washed]
    known = tuple(
        _found(part, by_part[part], rows[part], prescribers, part in put_right)
        for part in rows
        if by_part.get(part)
    )
    unknown: tuple[Found, ...] = ()
    if sought.kind == "lot":
        lacking = journal.asked(lambda db: _never_written(db, sought))
        unknown = tuple(
            Found(
                part,
                *rows[part],
                (NEVER_WRITTEN,),
                "not known",
                prescribers.get(part, ""),
            )
            for part in rows
            if part in lacking and part not in by_part
        )
    through = dict.fromkeys(
        span.told or span.code for span in spans if span.code != sought.code
    )
    lots = dict.fromkeys(span.code for span in spans if span.kind == "lot")
    return Answer(sought, known, unknown, tuple(lots), tuple(through))


def _asked(
    db: sqlite3.Connection, sought: Sought
) -> tuple[
    tuple[_Span, ...],
    tuple[_Use, ...],
    dict[str, tuple[str, str]],
    dict[str, str],
    frozenset[str],
]:
    spans = tuple(_spans(db, sought))
    uses = tuple(
        _uses_on(db, sought)
        if sought.kind == "day"
        else _uses(db, spans, bounded=bool(sought.first or sought.last))
    )
    first, last = sought.first, sought.last or LAST
    uses = tuple(use for use in uses if first <= use.day <= last)
    rows = {
        part: (state, day or "")
        for part, state, day in db.execute(
            "SELECT part, state, closed_day FROM parts ORDER BY first_seq, part"
        )
    }
    put_right = frozenset(part for part, _ in _beside(db, "correction"))
    prescribers = dict(_beside(db, "prescriber"))
    return spans, uses, rows, prescribers, put_right


_DAY = "date((e.wall_ms + e.offset_min * 60000) / 1000, 'unixepoch')"


def _beside(db: sqlite3.Connection, kind: str) -> Iterator[tuple[str, str]]:
    """Yield the parts that stand in one entry with a subject of a kind, and that."""
    named = dict(
        db.execute("SELECT seq, subject FROM touches WHERE subject_kind = ?", (kind,))
    )
    rows = db.execute(
        "SELECT subject, seq FROM touches WHERE subject_kind = 'part'"
        " AND seq IN (SELECT seq FROM touches WHERE subject_kind = ?)",
        (kind,),
    )
    for part, seq in rows:
        yield part, named[seq]


# The parts' own entries are gone through once, in their order, and looked up among
# those of the subject: no plan that turns this round stays linear in the record.
_OF_PARTS = (
    "touches p CROSS JOIN events e ON e.seq = p.seq WHERE p.subject_kind = 'part'"
)


def _uses(
    db: sqlite3.Connection, spans: Iterable[_Span], *, bounded: bool
) -> Iterator[_Use]:
    for span in spans:
        if span.kind == "bath":
            yield from _washed(db, span)
        elif span.kind == "operator" and not bounded:
            yield from _worked(db, span)
        else:
            yield from _named(db, span)


def _worked(db: sqlite3.Connection, span: _Span) -> Iterator[_Use]:
    """Yield whom an operator worked on: every entry is theirs, so none is opened."""
    rows = db.execute(
        "SELECT DISTINCT subject FROM touches WHERE subject_kind = 'part' AND seq IN"
        " (SELECT seq FROM touches WHERE subject_kind = 'operator' AND subject = ?"
        " AND role = 'operator')",
        (span.code,),
    )
    for (part,) in rows:
        yield _Use(part, "operator", "", "", "", "")


def _named(db: sqlite3.Connection, span: _Span) -> Iterator[_Use]:
    # The plus keeps the bounds from taking the place of the look-up by number.
    rows = db.execute(
        f"""SELECT p.subject, c.role, e.kind, CASE WHEN e.kind = 'BrushWetted'
        THEN coalesce(json_extract(e.payload, '$.layer'), '') ELSE '' END,
        {_DAY} AS day FROM touches p CROSS JOIN touches c ON c.subject_kind = ?
        AND c.subject = ? AND c.seq = p.seq CROSS JOIN events e ON e.seq = p.seq
        WHERE p.subject_kind = 'part' AND +p.seq >= ? AND +p.seq < ?
        AND e.kind NOT IN ('SpotTacked', 'SpotBroken')
        GROUP BY 1, 2, 3, 4, 5""",  # noqa: S608 - constants
        (span.kind, span.code, span.low, span.high),
    )
    for part, role, kind, layer, day in rows:
        if span.told and kind != "SubmergeConfirmed":
            continue  # what lay in a filling was submerged in it
        yield _Use(part, role, kind, layer, day, span.told)


def _washed(db: sqlite3.Connection, span: _Span) -> Iterator[_Use]:
    """Yield the washes in a bath: a route names its bath by the stage's title."""
    picks = ", ".join(
        f"json_extract(e.payload, '$.route[{n}].key'),"
        f" json_extract(e.payload, '$.route[{n}].title')"
        for n in range(WASHES)
    )
    keys: dict[str, set[str]] = {}
    for part, *pairs in db.execute(
        f"""SELECT p.subject, {picks} FROM {_OF_PARTS} AND p.seq IN (SELECT seq
        FROM touches WHERE subject_kind = 'recipe' AND role = 'recipe')
        AND e.kind = 'PartTaken'"""  # noqa: S608 - constants
    ):
        titled = zip(pairs[::2], pairs[1::2], strict=True)
        keys.setdefault(part, set()).update(
            key for key, title in titled if title == span.code
        )
    rows = db.execute(
        f"""SELECT p.subject, json_extract(e.payload, '$.stage'), {_DAY} AS day
        FROM {_OF_PARTS} AND p.seq >= ? AND p.seq < ?
        AND e.kind = 'StageEnded'""",  # noqa: S608 - constants
        (span.low, span.high),
    )
    for part, stage, day in rows:
        if stage in keys.get(part, ()):
            yield _Use(part, "bath", "StageEnded", "", day, span.told or "washed in it")


def _uses_on(db: sqlite3.Connection, sought: Sought) -> Iterator[_Use]:
    rows = db.execute(
        "SELECT part, day FROM part_days WHERE day BETWEEN ? AND ?",
        (sought.first, sought.last or LAST),
    )
    for part, day in rows:
        yield _Use(part, "day", "", "", day, "worked on")


def _spans(db: sqlite3.Connection, sought: Sought) -> Iterator[_Span]:
    """Yield what is sought, and all that it went into."""
    if sought.kind != "lot":
        yield _Span(sought.kind, sought.code)
        return
    lots = [sought.code]
    for lot in lots:  # grows while it is gone through: mixes of mixes
        yield _Span("lot", lot)
        made = _same_entry(db, lot, "parent", "lot", "defined")
        lots += [child for child, _ in made if child not in lots]
        for vessel, seq in _same_entry(db, lot, FILLED, "vessel", FILLED):
            told = f"{lot} in {vessel}"
            yield _Span("vessel", vessel, seq, _next(db, "vessel", vessel, seq), told)
        yield from _baths(db, lot)


def _baths(db: sqlite3.Connection, lot: str) -> Iterator[_Span]:
    """Yield the fillings of baths with a solvent lot, and what a filling became.

    The clean bath takes the place of the first one, which is poured away: what is in
    it goes on under another name, and what was there has ended.
    """
    moves = db.execute(
        "SELECT e.seq, t.subject, json_extract(e.payload, '$.to') FROM touches t"
        " JOIN events e ON e.seq = t.seq WHERE t.subject_kind = 'bath'"
        " AND t.role = 'bath' AND e.kind = 'BathMoved' ORDER BY e.seq"
    ).fetchall()
    fillings = _same_entry(db, lot, "lot", "bath", "bath")
    for bath, seq in fillings:  # grows while it is gone through
        later = (each for each in moves if each[0] > seq and bath in each[1:])
        moved, away, to = next(later, (END, "", ""))
        end = min(_next(db, "bath", bath, seq), moved)
        yield _Span("bath", bath, seq, end, f"{lot} in {bath}")
        if end == moved and away == bath:
            fillings.append((to, moved))


def _same_entry(
    db: sqlite3.Connection, lot: str, role: str, kind: str, as_what: str
) -> list[tuple[str, int]]:
    """Return what stands in one entry with a lot, and that entry's number."""
    return db.execute(
        "SELECT subject, seq FROM touches WHERE subject_kind = ? AND role = ?"
        " AND seq IN (SELECT seq FROM touches WHERE subject_kind = 'lot'"
        " AND subject = ? AND role = ?) ORDER BY seq",
        (kind, as_what, lot, role),
    ).fetchall()


def _next(db: sqlite3.Connection, kind: str, code: str, seq: int) -> int:
    """Return the entry by which a vessel or bath was filled anew."""
    row = db.execute(
        "SELECT min(t.seq) FROM touches t JOIN events e ON e.seq = t.seq"
        " WHERE t.subject_kind = ? AND t.subject = ? AND t.seq > ?"
        " AND e.kind IN ('GlycerineFilled', 'BathFilled')",
        (kind, code, seq),
    ).fetchone()
    return row[0] or END


def _never_written(db: sqlite3.Connection, sought: Sought) -> frozenset[str]:
    """Return the parts in work since the lot came whose print lot nobody wrote."""
    rows = db.execute(
        """SELECT part FROM parts WHERE last_seq >= coalesce((SELECT min(seq)
        FROM touches WHERE subject_kind = 'lot' AND subject = ?), 0)
        AND part IN (SELECT subject FROM touches WHERE subject_kind = 'part'
        AND seq IN (SELECT seq FROM touches WHERE subject_kind = 'recipe'
        AND role = 'recipe'))
        AND part NOT IN (SELECT subject FROM touches WHERE subject_kind = 'part'
        AND seq IN (SELECT seq FROM touches WHERE subject_kind = 'lot'
        AND role = 'print'))""",
        (sought.code,),
    )
    return frozenset(part for (part,) in rows)


def _true(
    journal: Reader, part: str, spans: tuple[_Span, ...], sought: Sought
) -> Iterator[_Use]:
    """Yield the uses of a part that was put right, as they are true."""
    last = sought.last or LAST
    for line in journal.history(part):
        entry = line.entry
        day = entry.at.day()
        if line.gone or not sought.first <= day <= last:
            continue
        yield from _of_entry(entry, part, spans)


def _of_entry(entry: Entry, part: str, spans: tuple[_Span, ...]) -> Iterator[_Use]:
    kind = type(entry.event).__name__
    layer = getattr(entry.event, "layer", "")
    day = entry.at.day()
    if kind == "Corrected":
        return  # what it changed stands in the lines themselves
    for touch in touches(entry):
        for span in spans:
            same = (touch.subject_kind, touch.subject) == (span.kind, span.code)
            if same and span.low <= entry.seq < span.high:
                yield _Use(part, touch.role, kind, layer, day, span.told)


def _found(
    part: str,
    uses: list[_Use],
    row: tuple[str, str],
    prescribers: dict[str, str],
    corrected: bool,  # noqa: FBT001 - one call
) -> Found:
    how = dict.fromkeys(word for use in uses if (word := _word(use)))
    real = tuple(word for word in how if not word.startswith("chosen"))
    sure: Sure = "put right" if corrected else "seen"
    if not real:
        sure = "chosen, not used"
    day = max(use.day for use in uses)
    return Found(
        part,
        *row,
        real or tuple(how) or ("named",),
        sure,
        prescribers.get(part, ""),
        day,
    )


def _word(use: _Use) -> str:
    if use.told:
        return use.told
    if use.role == "operator":
        return "worked on it"
    if use.kind in CHOSEN:
        return "print" if use.role == "print" else f"chosen as {use.role}"
    if use.kind == "BrushWetted":
        return use.layer.replace("-", " ")
    return USED.get(use.kind, "")
