"""Sentences beside a plot: smaller where they must, leafed through where they must."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from benchassist.ui.heading import Words
from benchassist.ui.paint import Painted, Run, tone_ink, wrap
from benchassist.ui.theme import NEAR, READ, STRONG
from benchassist.ui.words import say

LEAF = {"PgDown": 1, "PgUp": -1}
ACCENT_MM = 0.8  # [mm] that an accented capital reaches above the first line
MORE = say("PgDn: more")


class _Line(NamedTuple):
    text: str
    words: Words
    pitch: float


class Notes(Painted[tuple[Words, ...]]):
    """Paragraphs of which none is cut: what does not fit is on the next leaf."""

    _leaf = 0
    _small = False

    def show_view(self, view: tuple[Words, ...]) -> None:
        """Show other sentences, from the first leaf."""
        if view != self.view:
            self._leaf = 0
        super().show_view(view)

    def spoken(self, view: tuple[Words, ...]) -> str:
        """Return all sentences."""
        return " ".join(words.text for words in view)

    def key(self, key: str) -> bool:
        """Leaf through; say whether the key was for that."""
        leaves = len(self._leaves(self.view or ()))
        if key not in LEAF or leaves < 2:  # noqa: PLR2004 - one leaf shows it all
            return False
        self._leaf = (self._leaf + LEAF[key]) % leaves
        self.renew()
        return True

    def height_for(self, width: int) -> int:
        """Return the height at which every sentence is seen at its full size."""
        lines = self._lines(self.view or (), width, small=False)
        return round(sum(line.pitch for line in lines) + self.theme.px(1.0))

    def lay(self, view: tuple[Words, ...]) -> Iterator[Run]:
        """Lay out one leaf."""
        leaves = self._leaves(view)
        if not leaves:
            return
        palette = self.theme.palette
        bottom = 0.0
        for text, words, pitch in leaves[min(self._leaf, len(leaves) - 1)]:
            bottom += pitch
            small = self._small or words.small
            face = self.theme.face(NEAR if small else READ)
            line = bottom - face.depth
            yield Run(
                text, 0, line, face, tone_ink(self.theme, words.tone), palette.ground
            )
        if len(leaves) > 1:
            face = self.theme.face(NEAR, STRONG)
            x = self.width() - face.width(MORE)
            line = self.height() - face.depth
            yield Run(MORE, x, line, face, palette.attention, palette.ground)

    def _leaves(self, view: tuple[Words, ...]) -> list[list[_Line]]:
        """Return the lines of each leaf, all letters small if that saves leafing."""
        self._small = False
        lines = self._lines(view, self.width(), small=False)
        if sum(line.pitch for line in lines) > self.height():
            self._small = True
            lines = self._lines(view, self.width(), small=True)
        if sum(line.pitch for line in lines) <= self.height():
            return [lines] if lines else []
        room = self.height() - self.theme.face(NEAR).pitch
        leaves: list[list[_Line]] = [[]]
        used = 0.0
        for line in lines:
            if leaves[-1] and used + line.pitch > room:
                leaves.append([])
                used = 0.0
            leaves[-1].append(line)
            used += line.pitch
        return leaves

    def _lines(
        self, view: tuple[Words, ...], width: int, *, small: bool
    ) -> list[_Line]:
        """Return each line with the height that it takes."""
        found: list[_Line] = []
        for words in view:
            face = self.theme.face(NEAR if small or words.small else READ)
            for number, text in enumerate(wrap(words.text, face, max(1, width))):
                above = 0.0 if number else self.theme.px(0.7 if found else ACCENT_MM)
                found.append(_Line(text, words, face.cap * 1.62 + above))
        return found
