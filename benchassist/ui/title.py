"""The title row of a page: a question or a name, one quiet line, what is unwritten."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QWidget

from benchassist.ui.paint import Painted, Run, halves, stands, wrap
from benchassist.ui.theme import HEAVY, NEAR, READ, Face, Theme
from benchassist.value import replace, value

TITLE_MM = 10.1  # [mm] of the row
BETWEEN_MM = 1.6  # [mm] between two lines of the small words
CAPITALS_MM = 5.9  # [mm] of the title's capitals where there is room; a choice
MOST_LINES = 4  # of the quiet words, where nothing less holds them


@value
class Title:
    """What the row says: ``text``, a quiet ``line`` beside it, ``right`` far right."""

    text: str
    line: str = ""
    right: str = ""


class _Words(NamedTuple):
    face: Face
    lines: list[str]

    @property
    def wide(self) -> float:
        return max(map(self.face.width, self.lines), default=0.0)


class TitleRow(Painted[Title]):
    """One row over a page; it grows only where its quiet words need a third line."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(theme, parent)
        self.others: tuple[str, ...] = ()  # quiet lines that may come in its place
        self.grow(self.width())

    def renew(self) -> None:
        """Lay the words out again, in a row as high as they need."""
        super().renew()
        self.grow(self.width())

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        """Lay the words out for another width."""
        super().resizeEvent(event)
        self.grow(self.width())

    def grow(self, width: int) -> int:
        """Take and return the height that the words need at ``width`` pixels."""
        view, most = self.view or Title(""), 2
        for line in (view.line, *self.others):
            _, quiet, _ = self._plan(replace(view, line=line), width)
            most = max(most, len(quiet.lines))
        high = self.theme.px(TITLE_MM) + round(self._pitch * (most - 2))
        self.setFixedHeight(high)
        return high

    def spoken(self, view: Title) -> str:
        """Return the words."""
        return ". ".join(each for each in (view.text, view.line, view.right) if each)

    def lay(self, view: Title) -> Iterator[Run]:
        """Lay out title, quiet line and the words at the right."""
        palette = self.theme.palette
        title, quiet, right = self._plan(view, self.width())
        edge, end = float(self.theme.px(1.0)), self.width() - self.theme.px(1.0)
        x = edge + title.wide + self.theme.px(5.0)
        # What stands beside a title of one line may stand on that.
        line = (self.theme.px(TITLE_MM) + title.face.cap) / 2
        yield Run(view.text, edge, line, title.face, palette.ink, palette.ground)
        for words, left in ((quiet, x), (right, end - right.wide)):
            at = self._first if words.lines[1:] else line
            for text in words.lines:
                yield Run(text, left, at, words.face, palette.quiet, palette.ground)
                at += self._pitch

    @property
    def _pitch(self) -> float:
        return self.theme.face(NEAR).cap + self.theme.px(BETWEEN_MM)

    @property
    def _first(self) -> float:
        """The base of the first of two lines."""
        high = self.theme.px(TITLE_MM) - self._pitch + self.theme.face(NEAR).cap
        return high / 2 - self.theme.px(0.4)

    def _plan(self, view: Title, width: int) -> tuple[_Words, _Words, _Words]:
        """Return title, quiet words and those at the right, as large as all stand.

        A smaller title, and words at the right on two lines, rather than a quiet line
        that is cut.
        """
        theme, small = self.theme, self.theme.face(NEAR)
        gap, whole = theme.px(5.0), width - 2 * theme.px(1.0)
        rights = [_Words(small, [])]
        if view.right:
            rights = [
                _Words(theme.face(READ), [view.right]),
                _Words(small, halves(view.right, small)),
            ]
        sizes = [theme.face(mm, HEAVY) for mm in (CAPITALS_MM, 5.2, READ)]
        plans = [
            (title, quiet, right)
            for right in rights
            for title in (_Words(face, [view.text]) for face in sizes)
            for room in (whole - title.wide - (right.wide + gap if right.lines else 0),)
            if room >= 0
            for quiet in (self._quiet(view.line, room - gap),)
            if quiet is not None
        ]
        least = _Words(sizes[-1], [view.text]), _Words(small, []), rights[-1]
        return min(plans, key=_crowded, default=least)

    def _quiet(self, words: str, room: float) -> _Words | None:
        """Return the quiet words as they stand in ``room``, None where they do not."""
        plain, small = self.theme.face(READ), self.theme.face(NEAR)
        if not words:
            return _Words(small, [])
        for face in (plain, small):
            if face.width(words) <= room:
                return _Words(face, [words])
        if not stands(words, small, room, MOST_LINES):
            return None
        return _Words(small, wrap(words, small, room))


def _crowded(plan: tuple[_Words, _Words, _Words]) -> tuple[int, float]:
    quiet = plan[1]
    return len(quiet.lines), -quiet.face.cap
