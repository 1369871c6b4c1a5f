"""The language of a run: a file of Qt's translator, read before the window's modules.

Constants are said when their module is imported, so whoever starts the window speaks
first. ``DEVELOPERS.md`` says how such a file is made.
"""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QTranslator

from benchassist.ui.foreign import Reader, texts
from benchassist.ui.words import look_up_by


def speak(file: Path) -> bool:
    """Say every word as the translation in ``file`` has it; whether it is one."""
    translator = QTranslator()
    if not translator.load(str(file)):
        return False

    def look_up(text: str) -> str:
        # Without a context: the English sentence is the name of its translation.
        return translator.translate("", text) or text

    look_up_by(look_up, Reader(look_up, texts()).shown)
    return True
