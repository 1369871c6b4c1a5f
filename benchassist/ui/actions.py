"""What a hand may ask of the window itself; nothing here reaches the journal."""

from __future__ import annotations

from typing import Literal

from benchassist.domain.recall import Sought
from benchassist.ui.words import say
from benchassist.value import value

What = Literal["logs", "cards", "labels", "library", "backup", "recall", "story", "pdf"]


@value
class OpenPage:
    """Show another page."""

    page: str


@value
class OpenStory:
    """Show the story of a part."""

    part: str


@value
class LearnPedal:
    """Take the next key pressed as the pedal's."""


@value
class TrySounds:
    """Play the three sounds and say a line, so that a hand can set the volume."""


@value
class SetUp:
    """Change one setting of this station."""

    field: str
    value: bool | str


@value
class MeasureBar:
    """Tell how long a bar of so many pixels is on the glass, in mm as typed."""

    bar_px: int
    mm: str = ""


@value
class ExportDay:
    """Write the day's logs, cards or labels, the library, a backup and so on.

    ``about`` is what a recall is of, or the part that a story is of.
    """

    day: str
    out: str = ""
    what: What = "logs"
    about: Sought | str = ""


@value
class BlankText:
    """Remove what people typed: ``typed`` are the entries' numbers, then why."""

    typed: str = ""


@value
class AskRecovery:
    """Close this window and open the read-only one on the same record."""

    why: str = say("Opened by hand: nothing is written while this window is open.")


@value
class ImportLibrary:
    """File what stands in a library file, without closing the window."""

    path: str = ""


@value
class StartOther:
    """Open another bench in a window of its own, and close this one."""

    kind: Literal["real", "demo", "training"]
    folder: str = ""


@value
class TakeBottle:
    """Take the bottle whose label or lot was ``typed`` for the layer at hand."""

    part: str
    role: Literal["print", "coat", "stain"]
    typed: str = ""


@value
class TellMishap:
    """Tell a mishap's answers so far; ``typed`` is one more, typed by hand."""

    mishap: str
    answers: tuple[str, ...] = ()
    typed: str | None = None

    @property
    def told(self) -> tuple[str, ...]:
        """Return all answers, the typed one included."""
        more = () if self.typed is None else (self.typed,)
        return (*self.answers, *more)
