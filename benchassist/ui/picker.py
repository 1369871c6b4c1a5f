"""Looking for a file or folder: beside the window, never in its way."""

from __future__ import annotations

from PySide6.QtWidgets import QFileDialog, QWidget

from benchassist.ui.words import say

PICTURES = say("Photos") + " (*.jpg *.jpeg *.png *.webp *.bmp *.tif *.tiff)"
PRINTS = say("Print files") + " (*.stl *.3mf *.obj)"


def look_for(beside: QWidget, title: str, folder: str, kinds: str = "") -> QFileDialog:
    """Open a picker and return it; the foot and the timers go on meanwhile.

    ``kinds`` names the files that are shown, as Qt writes them: ``Photos (*.jpg)``.
    """
    picker = QFileDialog(beside, title, folder, kinds)
    picker.setFileMode(QFileDialog.FileMode.ExistingFile)
    picker.setModal(False)
    picker.show()
    return picker
