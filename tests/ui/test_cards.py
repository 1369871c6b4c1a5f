"""Every card of the shipped scripts stands whole on the smallest usual screen."""

import pytest

from benchassist.rehearsal import Player, load_script
from benchassist.rehearsal.memory import MemoryJournal
from benchassist.ui.present.look import UNASKED, look
from tests.stories.test_scripts import SCRIPTS
from tests.ui import measures
from tests.ui.measures import text_of, texts

pytestmark = pytest.mark.slow  # once, in the checkout


def views(name):
    """Yield a look for each card of a script, the first time it is asked."""
    book, seen, bench = MemoryJournal(), set(), None
    player = Player(load_script(name), lambda: book)
    for _ in player.moments():
        session = player.session
        if session.bench is bench:
            continue
        bench = session.bench
        view = look(bench, session.now(), advice=UNASKED)
        told = (view.card, view.undo, len(view.options))
        if view.card is not None and view.light is None and str(told) not in seen:
            seen.add(str(told))
            yield view
    player.close()


@pytest.mark.parametrize("name", SCRIPTS)
def test_no_line_of_a_card_is_dropped_or_shortened(show_bench, name):
    bench = None
    for view in views(name):
        if bench is None:
            bench = show_bench(view)
        bench.show_view(view)
        near = text_of(texts(bench), "near")

        for sentence in (view.card.title, *view.card.lines):
            assert sentence in near
        assert not measures.cut(bench)
        assert not measures.shortened(bench)
