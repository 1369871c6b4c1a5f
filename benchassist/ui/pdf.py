"""Pages for paper as PDF, printed by the window's own toolkit: no browser is asked."""

from __future__ import annotations

import re
from pathlib import Path

from PySide6.QtCore import QBuffer, QIODevice, QMarginsF, QSizeF
from PySide6.QtGui import QPageLayout, QPageSize, QPdfWriter, QTextDocument

from benchassist.files import write_whole

DOTS = 96  # [an inch] as a browser counts a page's pixels
MARGIN_MM = 9.0  # as the pages themselves have it
A5 = re.compile(r"@page \{ size: A5;")


def as_pdf(page: str) -> bytes:
    """Return a page of ours, HTML that needs nothing but itself, as PDF."""
    told = QBuffer()
    told.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QPdfWriter(told)
    writer.setResolution(DOTS)
    size = QPageSize.PageSizeId.A5 if A5.search(page) else QPageSize.PageSizeId.A4
    writer.setPageSize(QPageSize(size))
    margins = QMarginsF(MARGIN_MM, MARGIN_MM, MARGIN_MM, MARGIN_MM)
    writer.setPageMargins(margins, QPageLayout.Unit.Millimeter)
    document = QTextDocument()
    document.documentLayout().setPaintDevice(writer)
    document.setDocumentMargin(0)
    document.setHtml(page)
    writer.setTitle(document.metaInformation(document.MetaInformation.DocumentTitle))
    document.setPageSize(QSizeF(writer.width(), writer.height()))
    document.print_(writer)
    return bytes(told.data().data())


def write_pdfs(folder: Path) -> list[Path]:
    """Write a PDF beside each page of a folder; return those that are new or newer.

    Raises
    ------
    OSError
        If the folder refuses.
    """
    made = []
    for page in sorted(folder.expanduser().rglob("*.html")):
        path = page.with_suffix(".pdf")
        if not path.exists() or path.stat().st_mtime_ns < page.stat().st_mtime_ns:
            made.append(write_whole(path, as_pdf(page.read_text("utf-8"))))
    return made
