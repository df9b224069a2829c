"""A complaint is one line that says where, what, the rule and the likely slip."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckgeom.complaint import Complaint, needs_mending


def test_a_full_line():
    complaint = Complaint("offsets.csv", 7, "half_breadth", "0-0-x", "a length holds only numbers", "a letter typed")
    assert str(complaint) == (
        "offsets.csv, row 7, column half_breadth, '0-0-x': a length holds only numbers. Likely slip: a letter typed."
    )


def test_parts_that_are_missing_leave_no_gap():
    assert str(Complaint("beams.csv", None, "", "", "the file is empty")) == "beams.csv: the file is empty."
    assert str(Complaint("beams.csv", 3, None, None, "which one?")) == "beams.csv, row 3: which one?"


def test_a_value_of_many_lines_stays_on_one():
    line = str(Complaint("a.csv", 2, "x", "1\n2\r\t3\x07" + "9" * 99, "one\nlength", "two\ncells"))
    assert line == "a.csv, row 2, column x, '1 2 3 " + "9" * 31 + "...': one length. Likely slip: two cells."


@given(st.text(), st.text(), st.text(min_size=1))
def test_any_text_gives_one_line(column, value, rule):
    line = str(Complaint("a.csv", 1, column, value, rule))
    assert len(line.splitlines()) == 1
    assert line.isprintable()


def test_an_unknown_kind_is_refused():
    with pytest.raises(ValueError, match="kind is 'moan'; a complaint is one of mend, ask, note"):
        Complaint("a.csv", 1, "x", "1", "rule", kind="moan")


def test_only_mending_counts():
    note = Complaint("a.csv", 1, "x", "1", "rule", kind="note")
    ask = Complaint("a.csv", 1, "x", "1", "rule", kind="ask")
    mend = Complaint("a.csv", 1, "x", "1", "rule")
    assert mend.kind == "mend"
    assert not needs_mending([note, ask])
    assert needs_mending([note, mend])
    assert not needs_mending([])
