"""A part's story as one page for paper, with what the chain vouches for."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from benchassist.files import write_whole, written_to
from benchassist.journal.reading import Reader
from benchassist.records.export import AlteredError, ExportError
from benchassist.records.paper import head, p, page, row, stem, table, titles
from benchassist.records.story import STATEMENT, Story, StoryError, story


def as_page(told: Story) -> str:
    """Return the story as HTML that needs nothing but itself."""
    return page(f"{told.part}, story", _body(told))


def write_story(journal: Reader, part: str, out: Path) -> Path:
    """Write a part's story into a folder and return the file.

    Raises
    ------
    ExportError
        If there is no such part, or the folder refuses.
    AlteredError
        If the chain does not vouch for all of it; the file is written and marked.
    """
    try:
        told = story(journal, part)
    except StoryError as error:
        raise ExportError(str(error)) from error
    name = stem(told.mark, "story", part, "seq", str(told.last))
    with written_to(out, "story", ExportError) as folder:
        path = write_whole(folder / f"{name}.html", as_page(told).encode())
    if told.proof.amiss:
        raise AlteredError(told.proof.amiss, (path,))
    return path


def _body(told: Story) -> Iterator[str]:
    local = told.began.local()
    yield head(told.part, told.mark)
    yield p(told.item, told.recipe, told.status)
    yield p(f"taken in {local:%a} {local.day} {local:%b %Y %H:%M}", told.state)
    yield "<h2>Dose, seen of owed</h2>"
    yield from table(
        row(each.layer, f"{each.words} {each.unit}", each.how) for each in told.doses
    )
    yield "<h2>With what</h2>"
    yield from table(row(*each) for each in told.with_what)
    yield "<h2>Not as planned</h2>"
    if not told.otherwise:
        yield p("Nothing is on record.")
    yield from table(row(*each) for each in told.otherwise)
    if told.put_right:
        yield "<h2>Put right: what was told > what is true</h2>"
        heads = titles("When", "What", "Why", "Who")
        rows = (row(e.when, e.what, e.how_much, e.who) for e in told.put_right)
        yield from table((heads, *rows))
    yield "<h2>Its way</h2>"
    heads = titles("When", "What", "How much", "Who", "Proven")
    rows = (
        row(e.when, e.what, e.how_much, e.who, "yes" if e.proven else "NO")
        for e in told.lines
    )
    yield from table((heads, *rows))
    how, when, who = told.closed
    if how:
        yield f"<h2>{how.capitalize()}</h2>"
        yield p(f"{who}, {when}", STATEMENT if how == "released" else "")
    yield p(told.proof.told, told.proof.amiss)
