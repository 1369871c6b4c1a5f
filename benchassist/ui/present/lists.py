"""A card with rows: what P, F and Y show, as plain values."""

from __future__ import annotations

from typing import Literal

from benchassist.ui.view import Option, Tone
from benchassist.value import value

Mark = Literal["", "good", "open", "amiss"]


@value
class ListRow:
    """One row: what, what of it, and at the right how it stands.

    ``share`` draws a bar under the row, 0 to 1; below 0 there is none. ``act`` is what
    a tap on it asks for.
    """

    left: str
    middle: str = ""
    right: str = ""
    tone: Tone = "plain"
    mark: Mark = ""
    share: float = -1.0
    act: object = None


@value
class ListView:
    """A card: its head, words at the right of it, rows, quiet lines, a far call.

    ``first`` is the first row that is shown; ``number`` stands large before ``words``.
    """

    head: str
    right: str = ""
    rows: tuple[ListRow, ...] = ()
    below: tuple[str, ...] = ()
    call: tuple[str, ...] = ()
    number: str = ""
    words: str = ""
    empty: str = ""
    first: int = 0


@value
class CardsView:
    """A page of two cards: the one that is read first, the list, and the options.

    ``counts`` are numbers with their words, above both; ``check`` is what the foot is
    asked about, as a press of it has it.
    """

    title: str
    line: str
    right: str
    first: ListView
    rest: ListView
    options: tuple[Option, ...]
    counts: tuple[tuple[str, str], ...] = ()
    check: tuple[str, str] | None = None
