"""Every look at every rehearsed day in a second language, and what of it was not said.

Run in a process of its own, as the language is chosen before the window's modules:
``python -m tests.ui.every_look``.
"""

import json
import re
import sys
from dataclasses import fields, is_dataclass, replace
from functools import partial

from tests.ui.longer import MARK, speak

speak()

from benchassist.rehearsal import Player, load_script, shipped_scripts  # noqa: E402
from benchassist.rehearsal.memory import MemoryJournal  # noqa: E402
from benchassist.ui.present.look import look  # noqa: E402
from benchassist.ui.words import Said, shown  # noqa: E402
from tests.ui.measures import known_words  # noqa: E402

SCREEN = ("expect", "screen")


def texts(view):
    """Yield every text of a view that is shown."""
    if isinstance(view, Said):
        yield str(view)
    elif isinstance(view, tuple):
        for each in view:
            yield from texts(each)
    elif is_dataclass(view):
        for field in fields(view):
            yield from texts(getattr(view, field.name))


def looks(script):
    """Yield what each look at a script shows, and each sentence that was answered."""
    script = load_script(script)
    # What a script expects of a screen is told in English.
    lines = tuple(
        line for line in script.lines if (line.verb, *line.words[:1]) != SCREEN
    )
    player = Player(replace(script, lines=lines), partial(_same, MemoryJournal()))
    last = -1
    for _ in player.moments():
        if player.session.bench.seq != last:
            last = player.session.bench.seq
            yield from texts(shown(look(player.session.bench, player.session.now())))
        yield from texts(shown((player.outcome.sentence,)))
    player.close()


def _same(book):
    return book


def unsaid(text):
    """Return the words of a text that no look-up was asked for."""
    words = re.findall(r"[^\W\d_]{2,}", text)
    plain = [word for word in words if MARK not in word.lower()]
    return [
        word
        for word in plain
        if not {word.lower(), word.lower().removesuffix("s")} & known_words()
    ]


def report():
    """Write how many different texts there were, and those with words not said."""
    told = {text for script in shipped_scripts() for text in looks(script)}
    amiss = {text: words for text in sorted(told) if (words := unsaid(text))}
    read = [text for text in told if re.search(rf"{MARK}", text, re.IGNORECASE)]
    json.dump({"texts": len(read), "not said": amiss}, sys.stdout, ensure_ascii=False)


if __name__ == "__main__":
    report()
