"""Headlines and plain paragraphs of the bench."""

from __future__ import annotations

from collections.abc import Iterator

from benchassist.ui.paint import Painted, Reading, Run, tone_ink, wrap
from benchassist.ui.theme import FAR_LEAST, MUST, NEAR, READ, STRONG, Face
from benchassist.ui.view import Tone
from benchassist.value import value


@value
class Words:
    """A paragraph: ``must`` is read at 1.5 m, ``far`` beside it, ``near`` at 0.7 m."""

    text: str
    reading: Reading = "near"
    tone: Tone = "plain"
    small: bool = False


class Paragraphs(Painted[tuple[Words, ...]]):
    """Paragraphs under each other, each wrapped, none shortened."""

    def spoken(self, view: tuple[Words, ...]) -> str:
        """Return the paragraphs."""
        return ". ".join(words.text for words in view if words.text)

    def height_for(self, width: int, *, quiet: bool = True) -> int:
        """Return the height at ``width`` pixels, without quiet words where asked."""
        runs = self._place(self.view or (), width)
        if not quiet:
            runs = [run for run in runs if run.reading != "near"]
        lowest = max((run.rect.bottom() for run in runs), default=0.0)
        return round(lowest)

    def lay(self, view: tuple[Words, ...]) -> Iterator[Run]:
        """Lay out the paragraphs."""
        for run in self._place(view, self.width()):
            if run.reading != "near" or run.rect.bottom() <= self.height() + 2:
                yield run

    def _place(self, view: tuple[Words, ...], width: int) -> list[Run]:
        runs: list[Run] = []
        line = 0.0
        for words in view:
            face = self._face(words)
            for number, text in enumerate(wrap(words.text, face, max(width, 1))):
                if not runs:
                    line = face.rise
                elif number:
                    line += face.pitch * (0.88 if words.reading != "near" else 1.0)
                else:
                    line += face.cap + self.theme.px(3.8)
                ink = tone_ink(self.theme, words.tone)
                ground = self.theme.palette.ground
                runs.append(Run(text, 0, line, face, ink, ground, words.reading))
        return runs

    def _face(self, words: Words) -> Face:
        if words.reading == "must":
            return self.theme.face(MUST, STRONG)
        if words.reading == "far":
            return self.theme.face(FAR_LEAST, STRONG)
        return self.theme.face(NEAR if words.small else READ)
