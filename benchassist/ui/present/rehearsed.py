"""What a script may expect of the screen: the words and digits that a look shows.

Whoever runs scripts imports this once; the topic is then among the others. No Qt.
"""

from __future__ import annotations

from benchassist.rehearsal.expect import Facts, Scene, Words, topic
from benchassist.ui.present.look import look


@topic("screen")
def screen(scene: Scene, which: Words, named: dict[str, str]) -> Facts:
    """Answer with what stands far and large: state, headline, digits, NEXT, PEDAL."""
    del which, named
    view = look(scene.session.bench, scene.session.now())
    digits = view.countdown
    return {
        "word": view.band.word,
        "headline": view.headline,
        "subline": view.subline,
        "countdown": digits.big if digits else "",
        "unit": digits.unit if digits else "",
        "next": view.next_line,
        "pedal": view.pedal_line,
        "card": view.card.title if view.card else "",
    }
