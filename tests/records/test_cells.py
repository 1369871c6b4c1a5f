"""Cells that a spreadsheet would compute or shorten.

What begins a formula: OWASP, "CSV Injection" (from memory of its page): = + - @ and
the tab and return characters. Fifteen digits: IEEE 754 double precision.
"""

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchassist.records.cells import as_csv, cell, read_cell


@pytest.mark.parametrize(
    "text", ["=1+1", "+A1", "-A1", "@x", "\tx", "\rx", "007", "00", "1" * 16, "'x"]
)
def test_what_a_spreadsheet_would_change_is_marked(text):
    assert cell(text) == "'" + text


@pytest.mark.parametrize("value", ["EX-41", "0", "12", "", "a=b", 7, -3.5, None])
def test_what_it_would_not_is_left(value):
    assert cell(value) == value


@given(st.text())
def test_a_program_reads_back_what_was_written(text):
    table = as_csv(("what", "how much"), [[text, 2]])
    head, row = csv.reader(io.StringIO(table, newline=""))
    assert head == ["what", "how much"]
    assert (read_cell(row[0]), row[1]) == (text, "2")
