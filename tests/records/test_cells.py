"""Cells that a spreadsheet would compute or shorten.

What begins a formula: OWASP, "CSV Injection" (from memory of its page): = + - @, the
tab, return and line feed characters, and the full-width forms of the four signs.
Fifteen digits: IEEE 754 double precision. Codes that become days or powers of ten when
a file is opened: Ziemann, Eren, El-Osta, Genome Biology 17:177 (2016), whose examples
are SEPT2 (2-Sep) and 2310009E13 (2.31E+13); from memory.
"""

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchassist.records.cells import as_csv, cell, read_cell


@pytest.mark.parametrize(
    "text",
    [
        *("=1+1", "+A1", "-A1", "@x", "\tx", "\rx", "\n=1", "\uff1d1+1", "'x"),
        *("007", "00", "1" * 16, "1.10", ".5", "0,5", "12E4", "2310009E13", "1e-3"),
        *(
            "SEPT2",
            "MAR1",
            "Dec-2",
            "2-Sep",
            "3march",
            "11-13",
            "1/2",
            "7:30",
            "12 150",
        ),
    ],
)
def test_what_a_spreadsheet_would_change_is_marked(text):
    assert cell(text) == "'" + text


@pytest.mark.parametrize(
    "value",
    [
        *("EX-41", "0", "12", "", "a=b", "A2", "E13", "12E", "2.5 mm", 7, -3.5, None),
        *("2026-03-02", "2026-03-02T09:17:10+01:00", "2026-03-02..", "MARCO1"),
    ],
)
def test_what_it_would_not_is_left(value):
    assert cell(value) == value


@given(st.text())
def test_a_program_reads_back_what_was_written(text):
    table = as_csv(("what", "how much"), [[text, 2]])
    head, row = csv.reader(io.StringIO(table, newline=""))
    assert head == ["what", "how much"]
    assert (read_cell(row[0]), row[1]) == (text, "2")
