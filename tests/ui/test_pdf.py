"""Pages for paper become PDF without a browser: whole, and no older than the page."""

import os
import re

import pytest

from benchassist.records.paper import page, row, table, titles
from benchassist.ui.actions import ExportDay
from benchassist.ui.jobs import Exporter
from benchassist.ui.pdf import write_pdfs
from tests.ui.screens import MOMENTS, Stage

SHEET = re.compile(rb"/Type\s*/Page\b")
BOX = re.compile(rb"/MediaBox \[0 0 (\d+)[^ ]* (\d+)")


def paper(rows, size="A4"):
    body = table((titles("n"), *(row(f"row {n}") for n in range(rows))))
    return page("EX-1", body, size)


@pytest.mark.usefixtures("_fonts", "qapp")
@pytest.mark.parametrize(("size", "points"), [("A4", (595, 842)), ("A5", (420, 595))])
def test_a_page_is_printed_on_its_own_paper_and_a_long_one_on_several(
    tmp_path, size, points
):
    (tmp_path / "short.html").write_text(paper(3, size))
    (tmp_path / "long.html").write_text(paper(200, size))
    long, short = [path.read_bytes() for path in write_pdfs(tmp_path)]

    assert short.startswith(b"%PDF-")
    assert len(SHEET.findall(short)) == 1
    assert len(SHEET.findall(long)) > 3
    # ISO 216 in points of 1/72 in: A4 is 210 by 297 mm, A5 148 by 210.
    assert {tuple(map(int, box)) for box in BOX.findall(short)} == {points}


@pytest.mark.usefixtures("_fonts", "qapp")
def test_only_a_page_that_is_newer_is_printed_anew(tmp_path):
    (tmp_path / "card.html").write_text(paper(3))
    (path,) = write_pdfs(tmp_path)
    assert write_pdfs(tmp_path) == []
    os.utime(tmp_path / "card.html", ns=(path.stat().st_mtime_ns + 1,) * 2)
    assert write_pdfs(tmp_path) == [path]


@pytest.mark.usefixtures("_fonts", "qapp")
def test_what_was_printed_or_why_not_is_said_in_a_sentence(tmp_path):
    job = Exporter(tmp_path).job(ExportDay("", str(tmp_path), "pdf"))
    assert job() == f"No page in {tmp_path} is newer than its PDF: write one first."
    (tmp_path / "card.html").write_text(paper(3))
    assert job() == f"Written: 1 PDF files in {tmp_path}"


@pytest.mark.usefixtures("_fonts")
def test_pdf_is_one_key_of_the_export_page(tmp_path):
    stage = Stage(MOMENTS["export"], tmp_path)
    (asked,) = [
        each.option
        for each in stage.bench._page.buttons()
        if each.option.text == "Its pages as PDF"
    ]
    assert (asked.key, asked.command.what) == ("9", "pdf")
    stage.close()
