"""What all pages for the hands share: labels, controls in the theme, their keys."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache

from PySide6.QtCore import QRectF, Signal
from PySide6.QtGui import QFont, QResizeEvent
from PySide6.QtWidgets import QLabel, QWidget

from benchassist import assets
from benchassist.clock import Instant
from benchassist.domain.state import Bench
from benchassist.ui.hands import AnyButton, OptionGroup
from benchassist.ui.theme import NEAR, PLAIN, READ, Theme
from benchassist.ui.view import Option
from benchassist.ui.words import say, shown

CELL_MARGIN_PX = 3
BACK = say("Bench")


class PageLabel(QLabel):
    """A line of near text that wraps; ``role`` names its colour in the style sheet."""

    def __init__(
        self, cap_mm: float, weight: QFont.Weight = PLAIN, role: str = "ink"
    ) -> None:
        super().__init__()
        self._look = (cap_mm, weight)
        self.setProperty("role", role)

    def setText(self, text: str) -> None:  # noqa: N802
        """Show a text in the language of the run."""
        super().setText(shown(text))

    def set_theme(self, theme: Theme) -> None:
        """Take the font of another theme."""
        self.setFont(theme.face(*self._look).font)

    def fit_in(self, theme: Theme, width: int, height: int) -> None:
        """Take near letters where the own ones need more height than there is."""
        for cap_mm in (self._look[0], NEAR):
            self.setFont(theme.face(cap_mm, self._look[1]).font)
            if self.heightForWidth(width) <= height:
                return


class Page(QWidget):
    """A page between the slim line and the rail of trays.

    Signals: ``asked(object)`` a command, or an action of the window; ``said(str)`` a
    sentence for the operator.
    """

    asked = Signal(object)
    said = Signal(str)
    # What the foot calls good, code and thing, while a route of checks is walked.
    check: tuple[str, str] | None = None

    def __init__(self, theme: Theme, options: OptionGroup) -> None:
        super().__init__()
        self._theme = theme
        self._options = options

    @property
    def frames(self) -> bool:
        """Whether the page itself frames what Enter does: a row, a field."""
        return False

    def buttons(self) -> Sequence[AnyButton]:
        """Return the buttons that answer to keys while the page is open."""
        return self._options.buttons()

    def choose(self, _option: Option) -> bool:
        """Take an option that belongs to the page itself; say whether it did."""
        return False

    def take(self, _action: object) -> bool:
        """Take an action of this page that needed words first; say whether it did."""
        return False

    def begin(self) -> None:
        """Take the focus where the page has something to fill in."""

    def boxes(self) -> Iterable[tuple[str, QRectF]]:
        """Yield the name and the box of each row that can be picked."""
        return ()

    def pick(self, _name: str) -> None:
        """Act on a row that was picked."""

    def key(self, _key: str) -> bool:
        """Act on a key that no option wants; say whether the page did."""
        return False

    def fill(self, bench: Bench, now: Instant) -> None:
        """Show the bench as it is now: when opened, and after every event."""

    def fill_in(self, _action: object) -> bool:
        """Take what was typed into a row of this page; say whether it was that."""
        return False

    def pass_time(self, bench: Bench, now: Instant) -> None:
        """Let time pass; called at every look while the page is open."""

    def head_px(self, width: int) -> int:
        """Return how much of ``width`` its name has, where a sentence may lie."""
        return width

    def back(self) -> str:
        """Return the words beside Esc."""
        return BACK

    def escape(self) -> bool:
        """Go one step back inside the page; say whether there was one."""
        return False

    def set_theme(self, theme: Theme) -> None:
        """Show the page, and all that is painted on it, in another theme."""
        self._theme = theme
        sheet = style_sheet(theme)
        if sheet != self.styleSheet():
            self.setStyleSheet(sheet)
            self.setFont(theme.face(READ).font)
        for part in self.findChildren(QWidget):
            if (show := getattr(part, "set_theme", None)) is not None:
                show(theme)
        self.fit()

    def fit(self) -> None:
        """Place everything for the width there is: here the options alone."""
        margins = self.contentsMargins()
        width = self.width() - margins.left() - margins.right()
        self._options.setFixedHeight(self._options.height_for(width))

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        """Fit the options to the new width."""
        super().resizeEvent(event)
        self.fit()


@lru_cache(maxsize=8)
def style_sheet(theme: Theme) -> str:
    """Return the style of Qt's own controls in the theme's colours and millimetres."""
    sheet = assets.read_text("resources", "theme", "controls.qss")
    values = {
        **vars(theme.palette),
        "pad": f"{theme.px(2.0)}px",
        # Qt keeps so much more beside the words of a cell than of a header.
        "over": f"{theme.px(2.0) + CELL_MARGIN_PX}px",
        "radius": f"{theme.px(1.6)}px",
        "height": f"{theme.px(8.6)}px",
        "small": f"{theme.face(NEAR).font.pixelSize()}px",
    }
    for name, value in values.items():
        sheet = sheet.replace(f"@{name};", f"{value};")
    return sheet
