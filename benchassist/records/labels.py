"""Labels for tray and bag: the part's code large, and as a code a scanner reads.

One HTML page, black on white. The QR symbol (ISO/IEC 18004, made by segno) carries the
part's code and nothing else: never a name, and nothing that ages. ``benchassist.scan``
reads it back.
"""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from pathlib import Path

from benchassist.domain.state import Bench, Part
from benchassist.files import write_whole, written_to
from benchassist.records.card import CardError, Printed
from benchassist.records.paper import mark_of, page, table
from benchassist.scan.reading import PART

MODULE_MM = 0.8  # a common scanner wants 0.25 mm; a smeared label wants more
DENSITY = 8  # pixels a module, so that a printer keeps its edges sharp
PER_ROW = 2
IFU = "Manufacturer's instructions and local rules apply."
_LOOKS = """
td { border: 1px dashed #000; vertical-align: middle; }
b { font-size: 20pt; }
"""


def labels(bench: Bench, printed: Printed, parts: Sequence[str] = ()) -> str:
    """Return a page with a tray and a bag label of each part, as HTML.

    Parameters
    ----------
    bench
        The state to print.
    printed
        When, and after which entry; stands on every label.
    parts
        The codes wanted; all that are in flight by default, and of the parts closed
        today those that are named.

    Raises
    ------
    CardError
        If there is no such part.
    """
    flying = tuple(part.code for part in bench.in_flight)
    wanted = tuple(parts) or flying
    if not wanted:
        raise CardError("No part is in flight: there is no label to print.")
    missing = next((code for code in wanted if code not in bench.parts), "")
    if missing:
        message = f"No part called “{missing}” is on the bench: check its code."
        raise CardError(message)
    cells = [
        _cell(bench, bench.parts[code], what, printed)
        for code in wanted
        for what in ("tray", "bag")
    ]
    rows = (cells[n : n + PER_ROW] for n in range(0, len(cells), PER_ROW))
    body = (f"<tr>{''.join(row)}</tr>" for row in rows)
    return page("Labels", table(body), looks=_LOOKS)


def write_labels(
    bench: Bench, out: Path, printed: Printed, parts: Sequence[str] = ()
) -> Path:
    """Write the page of labels into a folder and return the file.

    Raises
    ------
    CardError
        If there is no such part, or the folder refuses.
    """
    text = labels(bench, printed, parts)
    with written_to(out, "labels", CardError) as folder:
        return write_whole(folder / f"labels-seq-{printed.seq}.html", text.encode())


def symbol(code: str) -> tuple[str, float]:
    """Return a part's QR symbol as a PNG data URI, and its width in mm."""
    import segno  # noqa: PLC0415 - only a printed label waits for it

    # Level Q survives a quarter of the symbol under a drop of resin.
    made = segno.make_qr(f"{PART}{code}", error="q")
    return made.png_data_uri(scale=DENSITY), made.symbol_size()[0] * MODULE_MM


def _cell(bench: Bench, part: Part, what: str, printed: Printed) -> str:
    uri, width_mm = symbol(part.code)
    lines = (
        mark_of(bench.store),
        bench.recipe_of(part).item_class,
        *(_bag(bench, part) if what == "bag" else _tray(part)),
        f"{what} label, from entry {printed.seq}, {printed.at.local():%Y-%m-%d %H:%M}",
    )
    text = "<br>".join(escape(line) for line in lines if line)
    pixels = round(width_mm / 25.4 * 96)
    return (
        f'<td width="50%"><table><tr><td class="bare"><img src="{uri}"'
        f' width="{pixels}" height="{pixels}" alt="{escape(part.code)}"></td>'
        f'<td class="bare"><b>{escape(part.code)}</b><br>{text}</td></tr></table></td>'
    )


def _tray(part: Part) -> tuple[str, ...]:
    due = f"for {part.due.local():%a %H:%M}" if part.due else ""
    return (f"tray {part.peg}" if part.peg else "", due)


def _bag(bench: Bench, part: Part) -> tuple[str, ...]:
    recipe = bench.recipe_of(part)
    lots = [("lot", part.print_lot), ("coat", part.coat_lot if part.coats else "")]
    return (
        f"{recipe.id}, IFU {recipe.ifu_revision}",
        ", ".join(f"{name} {code}" for name, code in lots if code),
        IFU,
    )
