"""What a page may ask of the window it is shown in."""

from __future__ import annotations

from typing import Protocol

from benchassist.session import Session
from benchassist.ui.actions import TellMishap
from benchassist.ui.desk import Desk
from benchassist.ui.hands import Hands
from benchassist.ui.settings import Settings
from benchassist.ui.theme import Theme


class Host(Protocol):
    """The window as a page sees it; what a page wants done it tells by a signal."""

    settings: Settings

    @property
    def look(self) -> Theme:
        """The theme that pages are made in."""

    @property
    def hands(self) -> Hands:
        """The hands that buttons of pages are pressed by."""

    @property
    def session(self) -> Session:
        """The session, for questions that ``fill`` does not answer."""

    @property
    def told(self) -> tuple[str, TellMishap | None]:
        """The part that a mishap is told of, and what was told of it."""

    @property
    def desk(self) -> Desk:
        """The machine that the window stands on."""
