"""What the window asks of the machine it stands on: folder, screen, settings file."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtGui import QGuiApplication

from benchassist.session import Session
from benchassist.ui import settings as kept
from benchassist.ui.actions import ExportDay
from benchassist.ui.settings import Settings
from benchassist.ui.words import say
from benchassist.value import value

MM_PER_INCH = 25.4
USUAL_MM_PER_PIXEL = 0.253  # [mm] a 15.6 inch screen, 1366 pixels wide
LIKELY_MM = (0.1, 0.6)  # [mm] what a screen that tells the truth reports


@value
class Desk:
    """One machine's folder and settings.

    ``export`` makes a job of an action; ``advance`` lets time pass at each look;
    ``mark`` is the store's, where it says more than its kind.
    """

    folder: Path
    settings_path: Path
    export: Callable[[ExportDay], Callable[[], str]]
    advance: Callable[[Session], object] = Session.tick
    mark: str = ""

    @staticmethod
    def mm_per_pixel() -> float:
        """Return the screen's pixel size as it reports it, or a usual one."""
        told = MM_PER_INCH / QGuiApplication.primaryScreen().physicalDotsPerInch()
        low, high = LIKELY_MM
        return told if low <= told <= high else USUAL_MM_PER_PIXEL

    def keep(self, settings: Settings) -> str:
        """Write the settings; return a sentence when that is not possible."""
        try:
            kept.save(self.settings_path, settings)
        except OSError as error:
            return say(
                "The settings cannot be kept in {settings_path}: {error}.",
                settings_path=self.settings_path,
                error=error,
            )
        return ""
