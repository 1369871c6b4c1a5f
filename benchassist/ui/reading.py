"""What is on the screen while a long record is read again, after an update changed how.

The state is folded from every entry then: fillings, baths, lamp hours and counts come
from closed parts too, and what is left out of them would err to the unsafe side.
"""

from __future__ import annotations

from PySide6.QtWidgets import QApplication, QVBoxLayout, QWidget

from benchassist.clock import Clock, Instant
from benchassist.ui.page import PageLabel, style_sheet
from benchassist.ui.present.record import again
from benchassist.ui.theme import HEAVY, load_palette, theme_for
from benchassist.ui.words import say

SAID_MM = 5.4  # [mm] capitals; a choice


def maximized(window: QWidget) -> None:
    """Show a window over the whole screen, also where nobody manages windows.

    There nobody hands it the keys either: unless it asks, no field is typed in.
    """
    window.resize(window.screen().availableSize())
    window.showMaximized()
    window.activateWindow()


class Reading:
    """Tells how far a record is read; the window is made when there is a wait."""

    def __init__(self, real: Clock, mm_per_px: float) -> None:
        self._real = real
        self._mm = mm_per_px
        self._began: Instant = real.now()
        self._window: QWidget | None = None
        self._label: PageLabel | None = None

    def tell(self, done: int, last: int) -> None:
        """Show that ``done`` of ``last`` entries are read."""
        if self._label is None:
            self._window, self._label = self._made()
        took_ms = self._real.now().since(self._began)
        self._label.setText(again(done, last, took_ms))
        QApplication.processEvents()

    def close(self) -> None:
        """Make room for the bench."""
        if self._window is not None:
            self._window.close()
            self._window.deleteLater()
            self._window = self._label = None

    def _made(self) -> tuple[QWidget, PageLabel]:
        window = QWidget()
        window.setWindowTitle(say("Bench Assist, reading its record"))
        size = window.screen().availableSize()
        theme = theme_for(load_palette("dark"), mm_per_px=self._mm, size=size)
        window.setObjectName("ground")
        window.setStyleSheet(
            f"{style_sheet(theme)} #ground {{ background: {theme.palette.ground}; }}"
        )
        label = PageLabel(SAID_MM, HEAVY)
        label.setWordWrap(True)
        label.set_theme(theme)
        box = QVBoxLayout(window)
        box.addStretch(1)
        box.addWidget(label)
        box.addStretch(1)
        margin = theme.px(10.0)
        box.setContentsMargins(margin, margin, margin, margin)
        maximized(window)
        return window, label
