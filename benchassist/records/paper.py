"""A page for paper: one HTML file that needs nothing but itself, black on white."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from html import escape
from typing import Literal
from urllib.parse import quote

from benchassist.domain.events import StoreCreated
from benchassist.domain.state import Store

# What any browser, and a plain rich-text printer, lays out alike: tables and widths.
_STYLE = """
@page {{ size: {size}; margin: 9mm; }}
body {{ color: #000; background: #fff; font: 9pt sans-serif; max-width: {wide}mm; }}
h1 {{ font-size: 30pt; margin: 0; }}
h2 {{ font-size: 11pt; margin: 3mm 0 1mm 0; }}
p {{ margin: 0 0 1mm 0; }}
p.now {{ font-size: 11pt; font-weight: bold; }}
table {{ border-collapse: collapse; }}
td, th {{ border: 1px solid #000; text-align: left; vertical-align: top; }}
tr {{ page-break-inside: avoid; }}
td.bare {{ border: none; }}
td.mark {{ border: 2px solid #000; text-align: center; font-size: 16pt; }}
td.box {{ border: 2px solid #000; }}
"""
WIDE = {"A5": 130, "A4": 190}  # [mm] between the margins
TABLE = '<table width="100%" cellspacing="0" cellpadding="3">'
MARKS = {"real": "", "training": "TRAINING"}


def mark_of(store: StoreCreated | Store | None) -> str:
    """Return what all that is taken out of an invented store carries; "" if real."""
    return MARKS.get(store.kind, "EXAMPLE") if store else ""


def page(
    title: str,
    body: Iterable[str],
    size: Literal["A4", "A5"] = "A4",
    looks: str = "",
) -> str:
    """Return a whole page; ``body`` is HTML, ``title`` plain, ``looks`` more CSS."""
    style = _STYLE.format(size=size, wide=WIDE[size]) + looks
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f"<title>{escape(title)}</title>\n<style>{style}</style>\n</head>\n"
        "<body>\n" + "\n".join(body) + "\n</body>\n</html>\n"
    )


def head(title: str, mark: str) -> str:
    """Return the title in large letters, with the store's mark beside it."""
    marked = f'<td class="mark" width="35%">{mark}</td>' if mark else ""
    told = f'<td class="bare"><h1>{escape(title)}</h1></td>'
    return f"{TABLE}<tr>{told}{marked}</tr></table>"


def p(*words: str) -> str:
    """Return a paragraph of words, those that are empty left out."""
    return f"<p>{escape('; '.join(filter(None, words)))}</p>"


def row(*cells: str) -> str:
    """Return a row of plain cells."""
    return "<tr>" + "".join(f"<td>{escape(cell)}</td>" for cell in cells) + "</tr>"


def titles(*names: str) -> str:
    """Return the head of a table, which a browser repeats on every sheet."""
    cells = "".join(f"<th>{escape(name)}</th>" for name in names)
    return f"<thead><tr>{cells}</tr></thead>"


def table(rows: Iterable[str]) -> Iterator[str]:
    """Yield a table of rows that are HTML."""
    yield TABLE
    yield from rows
    yield "</table>"


def stem(*words: str) -> str:
    """Return a file's name of words: no letter of a code is a folder in it."""
    return "-".join(quote(word, safe="") for word in words if word)
