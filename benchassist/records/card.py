"""A part on paper: a printable card for when the tool itself has failed.

One HTML file that needs nothing but itself, black on white, in A5, with boxes to
tick. It is made of the last state and the part's own entries; it decides nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from html import escape
from pathlib import Path

from benchassist.clock import Instant
from benchassist.domain.stages import STAGES
from benchassist.domain.state import Bench, Part
from benchassist.domain.truth import Line
from benchassist.files import write_whole, written_to
from benchassist.journal.errors import JournalError
from benchassist.journal.reading import Reader
from benchassist.plain import PlainError
from benchassist.records.card_ahead import ahead
from benchassist.records.card_now import done, stands, wall
from benchassist.records.paper import head, mark_of, p, page, row, stem, table, titles
from benchassist.value import value

MODEL_ONLY = "Fit on the model only; not for a mouth until released."
WHO_RULES = (
    "The manufacturer's instructions for use and the local rules apply: they count"
    " before this card."
)
AFTERWARDS = "When the program runs again, enter what was done meanwhile: key J."
BLANK_LINES = 2  # for what nobody foresaw


class CardError(PlainError):
    """No card can be written; the message is for the operator."""


@value
class Printed:
    """When a card is printed, and after which entry; ``amiss``: why no later one.

    ``proof`` says how far the chain vouches for it.
    """

    at: Instant
    seq: int
    amiss: str = ""
    proof: str = ""


def write_cards(
    journal: Reader,
    bench: Bench,
    out: Path,
    printed: Printed,
    parts: Sequence[str] = (),
) -> tuple[Path, ...]:
    """Write one card for each part in flight, or for those that are named.

    Parameters
    ----------
    journal
        Any open journal; it is only read.
    bench
        Its state after entry ``printed.seq``.
    out
        The folder to write to; made when absent.
    printed
        What every card says that it was printed from.
    parts
        The codes of the parts wanted; all that are in flight by default.

    Returns
    -------
    tuple of Path
        The files written, one a part.

    Raises
    ------
    CardError
        If there is no such part in flight, or the folder refuses.
    """
    flying = {part.code: part for part in bench.in_flight}
    if not flying:
        raise CardError("No part is in flight: there is nothing to print.")
    missing = [code for code in parts if code not in flying]
    if missing:
        message = (
            f"No part called “{missing[0]}” is in flight; there are"
            f" {', '.join(flying)}."
        )
        raise CardError(message)
    wanted = [flying[code] for code in parts] or flying.values()
    with written_to(out, "cards", CardError) as folder:
        return tuple(
            write_whole(
                folder / _name(bench, part, printed),
                card(bench, part, _log(journal, part, printed.seq), printed).encode(),
            )
            for part in wanted
        )


def _name(bench: Bench, part: Part, printed: Printed) -> str:
    # A code is typed by people: as in a web address no letter of it is a folder.
    words = ("card", part.code, "seq", str(printed.seq))
    return f"{stem(mark_of(bench.store), *words)}.html"


def _log(journal: Reader, part: Part, upto: int) -> tuple[Line, ...] | None:
    """Return the history of a part; None where the journal cannot find it."""
    try:
        return journal.history(part.code, upto)
    except JournalError:
        return None


# --- the page ----------------------------------------------------------------------


def card(bench: Bench, part: Part, log: Iterable[Line] | None, printed: Printed) -> str:
    """Return a part's card as one HTML page.

    Parameters
    ----------
    bench
        The state to print.
    part
        One of its parts.
    log
        The part's history, in order; None where it is not known.
    printed
        When and from what it is printed.
    """
    body = (
        *_head(bench, part, printed),
        *_now(bench, part, printed),
        *_deviations(bench, part, printed),
        *_to_do(bench, part),
        *_before(part, log, printed),
        *_cautions(part),
        *_foot(part, printed),
    )
    return page(f"{part.code}, card", body, "A5")


def _head(bench: Bench, part: Part, printed: Printed) -> Iterator[str]:
    recipe = bench.recipe_of(part)
    yield head(part.code, mark_of(bench.store))
    record = f" ({recipe.record_no})" if recipe.record_no else ""
    lots = (
        ("print", part.print_lot and f"{part.print_lot}, printed {part.printed}"),
        ("stain", part.stain_lot if part.variant.stain_passes else ""),
        ("coat", part.coat_lot if part.variant.finish == "coat" else ""),
    )
    gear = (("lamp", part.lamp), ("box", part.box), ("vessel", part.vessel))
    yield p(
        f"{part.jaw.upper()} {recipe.item_class}".strip(),
        f"peg or place: {part.peg}" if part.peg else "",
        f"Due {_to_minute(part.due, printed.at)}" if part.due else "",
    )
    yield p(
        f"{recipe.id}, {recipe.title}",
        f"IFU {recipe.ifu_revision}",
        f"{recipe.status}{record}",
    )
    yield p(*(f"{name} {code}" for name, code in lots if code))
    yield p(*(f"{name} {code}" for name, code in gear if code))
    yield f"<p><b>{escape(MODEL_ONLY)}</b></p>"


def _to_minute(at: Instant, now: Instant) -> str:
    return wall(at, now).rpartition(":")[0]


def _now(bench: Bench, part: Part, printed: Printed) -> Iterator[str]:
    yield f"<h2>Now, at {wall(printed.at, printed.at)}</h2>"
    if printed.amiss:
        yield f"<p><b>{escape(printed.amiss)}</b></p>"
    for sentence in stands(bench, part, printed.at):
        yield f'<p class="now">{escape(sentence)}</p>'


def _before(part: Part, log: Iterable[Line] | None, printed: Printed) -> Iterator[str]:
    yield f"<h2>Done to {escape(part.code)}</h2>"
    if log is None:
        yield p("What was done before cannot be read from the record.")
        return
    rows = (
        row(each.when, each.what, each.how_much, each.who)
        for each in done(part, log, printed.at)
    )
    yield from table(rows)


def _deviations(bench: Bench, part: Part, printed: Printed) -> Iterator[str]:
    found = [each for each in bench.deviations.values() if part.code in each.parts]
    if not found:
        return
    yield "<h2>Deviations</h2>"
    for each in found:
        state = each.decision or "OPEN: no release until it is assessed"
        when = wall(each.opened, printed.at)
        yield p(f"{each.id}, {when}: {each.text} ({state})")


def _to_do(bench: Bench, part: Part) -> Iterator[str]:
    yield "<h2>To do, in this order</h2>"
    # A browser repeats the head on every sheet, and sheets go astray.
    names = ("", f"{part.code}: what, with which numbers", "Time", "Who")
    rows = (
        _box("<br>".join((f"<b>{escape(line.what)}</b>", *_numbers(line.numbers))))
        for line in ahead(bench, part)
    )
    blank = (_box("<br>"),) * BLANK_LINES
    yield from table((titles(*names), *rows, *blank))


def _numbers(told: tuple[str, ...]) -> tuple[str, ...]:
    return (escape("; ".join(told)),) if told else ()


def _cautions(part: Part) -> Iterator[str]:
    yield "<h2>Cautions</h2>"
    stages = part.route[part.at :]
    cautions = (text for each in stages for text in STAGES[each.kind].cautions)
    yield f"<p>{escape(' '.join(dict.fromkeys(cautions)))}</p>"


def _foot(part: Part, printed: Printed) -> Iterator[str]:
    yield from map(p, (WHO_RULES, AFTERWARDS))
    local = printed.at.local()
    yield p(
        f"{part.code}, printed {local:%a} {local.day} {local:%b %Y} {local:%H:%M:%S}"
        f" (UTC{local:%z}) from entry {printed.seq} of the record.",
        printed.proof,
    )


def _box(what: str) -> str:
    """Return a row with a box to tick, and room for time and initials."""
    box, fill = '<td class="box" width="5%"></td>', '<td class="fill" width="12%"></td>'
    return f"<tr>{box}<td>{what}</td>{fill}{fill}</tr>"
