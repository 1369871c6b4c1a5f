"""The title row of a page: a question or a name, one quiet line, what is unwritten."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtWidgets import QWidget

from benchassist.ui.paint import Painted, Run, elided, folded, largest
from benchassist.ui.theme import HEAVY, NEAR, READ, STRONG, Theme
from benchassist.value import value

TITLE_MM = 10.1  # [mm] of the row
BETWEEN_MM = 1.6  # [mm] between the two lines of the quiet words
CAPITALS_MM = 5.9  # [mm] of the title's capitals where there is room; a choice


@value
class Title:
    """What the row says: ``text``, a quiet ``line`` beside it, ``right`` far right."""

    text: str
    line: str = ""
    right: str = ""


class TitleRow(Painted[Title]):
    """One row over a page, never wrapped: the quiet line gives way first."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(theme, parent)
        self.setFixedHeight(theme.px(TITLE_MM))

    def set_theme(self, theme: Theme) -> None:
        """Paint in another theme."""
        self.setFixedHeight(theme.px(TITLE_MM))
        super().set_theme(theme)

    def spoken(self, view: Title) -> str:
        """Return the words."""
        return ". ".join(each for each in (view.text, view.line, view.right) if each)

    def lay(self, view: Title) -> Iterator[Run]:
        """Lay out title, quiet line and the words at the right."""
        theme, palette = self.theme, self.theme.palette
        plain, gap = theme.face(READ), theme.px(5.0)
        right = self.width() - theme.px(1.0) - plain.width(view.right)
        end = right - gap if view.right else self.width() - theme.px(1.0)
        sizes = [theme.face(mm, HEAVY) for mm in (CAPITALS_MM, 5.2, READ)]
        whole = plain.width(view.line) + gap if view.line else 0
        # A smaller title rather than a quiet line that is cut.
        face = next(
            (
                each
                for also in (whole, 0)
                for each in sizes
                if each.width(view.text) + also <= end
            ),
            theme.face(READ, STRONG),
        )
        line, ground = (self.height() + face.cap) / 2, palette.ground
        text = elided(view.text, face, end)
        x = float(theme.px(1.0))
        yield Run(text, x, line, face, palette.ink, ground)
        x += face.width(text) + gap
        yield from self._quiet(view.line, x, end - x, line)
        if view.right:
            yield Run(view.right, right, line, plain, palette.quiet, ground)

    def _quiet(self, words: str, x: float, room: float, line: float) -> Iterator[Run]:
        """Lay out the quiet words: on the title's line, else smaller, else on two."""
        theme, palette = self.theme, self.theme.palette
        faces = (theme.face(READ), theme.face(NEAR))
        face = largest(words, faces, room)
        lines = folded(words, face, room) if words and room > face.pitch else []
        pitch = face.cap + theme.px(BETWEEN_MM)
        if len(lines) > 1:
            line = (self.height() - pitch + face.cap) / 2 - theme.px(0.4)
        for text in lines:
            yield Run(text, x, line, face, palette.quiet, palette.ground)
            line += pitch
