"""What the ways on from a record that is not written to do: jobs for a worker."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path

from benchassist import readable, recovery
from benchassist.clock import Clock
from benchassist.records.story import story
from benchassist.stores import reading
from benchassist.ui.jobs import written_cards
from benchassist.ui.present.story import table
from benchassist.ui.view import TableView


def way_on(what: str, folder: Path, typed: str, real: Clock) -> Callable[[], object]:
    """Return the work of an act (its name in ``present.recovery``).

    ``typed`` is the folder, the reason or the part's code that it asked for. The work
    returns a sentence, or a table to be shown.
    """
    out = Path(typed)
    ways: dict[str, Callable[[], object]] = {
        "restore": partial(recovery.restore, folder, out),
        "go-on": partial(recovery.go_on, folder, typed, real),
        "new-store": partial(recovery.go_on_anew, folder, typed, real),
        "story": partial(_story_of, folder, typed),
        "index": partial(recovery.rebuild_index, folder),
        "salvage": partial(readable.salvage, folder, out),
        "cards": partial(written_cards, folder, out),
    }
    return ways[what]


def _story_of(folder: Path, code: str) -> TableView:
    """Return a part's story as a table, as far as the record can be read."""
    with reading(folder) as journal:
        return table(story(journal, code.strip()))
