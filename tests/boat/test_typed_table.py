"""One cell changed in a table as typed: that cell's bytes and no others, however the table was saved."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from deckgeom.boat.heading import Column
from deckgeom.boat.log import Log
from deckgeom.boat.readings_file import COLUMNS
from deckgeom.boat.records import split_text
from deckgeom.boat.sheet import read_sheet
from deckgeom.boat.typed_table import (
    TypedError,
    append_rows,
    begin_table,
    change_cells,
    differences,
    read_table,
    remove_rows,
    table_of,
)

DEMO = Path(__file__).parents[2] / "notebooks" / "boats" / "thimblewick"
HERE = Path("readings.csv")
KNOWN = (Column("beam", True), Column("y", True), Column("height"), Column("note"))
CELL = st.sampled_from(
    ["", "5-0-2", "1' 7 9/16\"", "49,7cm", "a; b", "P 1-2-0", "ä", " 3 ", "1234", "#4", '"', "-", "x|y"]
)


def table(rows, separator=",", end="\n", mark="", remarks=False):
    """Bytes of a table as some program might save it, and its rows."""
    quoted = [['"' + c.replace('"', '""') + '"' if separator in c or c.startswith(('"', "#")) else c for c in row]
              for row in rows]  # fmt: skip
    lines = [separator.join(["beam", "y", "height", "note"]), *(separator.join(row) for row in quoted)]
    if remarks:
        lines = ["# mine: do, not; touch", lines[0], "", *lines[1:], "# the end"]
    return (mark + end.join(lines) + end).encode()


ROWS = st.lists(st.tuples(st.sampled_from(["1", "13P", "beam x"]), CELL, CELL, CELL), min_size=1, max_size=6)
LOOKS = st.fixed_dictionaries(
    {
        "separator": st.sampled_from(",;\t"),
        "end": st.sampled_from(["\n", "\r\n"]),
        "mark": st.sampled_from(["", "\ufeff"]),
        "remarks": st.booleans(),
    }
)


def read(data):
    try:
        return table_of(HERE, data, KNOWN)
    except TypedError:
        assume(False)


@settings(max_examples=300)
@given(ROWS, LOOKS, st.data())
def test_only_the_bytes_of_the_changed_cell_change(rows, looks, data):
    before = read(table(rows, **looks))
    row = data.draw(st.integers(0, len(before.rows) - 1))
    column, words = data.draw(st.integers(0, 3)), data.draw(CELL)
    after = change_cells(before, {(row, column): words})
    start, end = before.spans[row + 1][column]
    text, new = before.text, after.text
    assert new.startswith(text[:start]) and new.endswith(text[end:])
    expected = [list(cells) for cells in before.cells]
    expected[row][column] = " ".join(words.split())
    assert [list(cells) for cells in after.cells] == [cells for cells in expected if any(cells)]
    assert after.data.startswith(looks["mark"].encode())


@settings(max_examples=150)
@given(ROWS, LOOKS, st.data())
def test_there_and_back_is_where_it_was(rows, looks, data):
    before = read(table(rows, **looks))
    row, column = data.draw(st.integers(0, len(before.rows) - 1)), data.draw(st.integers(1, 3))
    after = change_cells(change_cells(before, {(row, column): "7"}), {(row, column): before.cells[row][column]})
    assert after.cells == before.cells
    assert after.data.count(b"\n") == before.data.count(b"\n")


@settings(max_examples=150)
@given(ROWS, LOOKS, ROWS)
def test_rows_added_and_taken_out_again_leave_the_bytes_as_they_were(rows, looks, more):
    before = read(table(rows, **looks))
    longer = append_rows(before, more)
    assert longer.data.startswith(before.data)
    assert len(longer.rows) == len(before.rows) + len(more)
    assert remove_rows(longer, range(len(before.rows), len(longer.rows))).data == before.data


@settings(max_examples=150)
@given(ROWS, LOOKS)
def test_a_table_is_read_as_the_reader_of_boats_reads_it(rows, looks):
    ours = read(table(rows, **looks))
    text = table(rows, **looks).decode("utf-8-sig").replace("\r\n", "\n")
    theirs = split_text("readings.csv", text, KNOWN, Log())
    assert [[c.strip() for c in cells] for cells in theirs.cells[1:]] == [list(cells) for cells in ours.cells]
    assert theirs.rows[1:] == list(ours.rows)


def test_the_demo_reads_alike_and_one_cell_is_one_line_of_difference():
    before = read_table(DEMO / "readings.csv", COLUMNS)
    sheet = read_sheet(DEMO / "readings.csv", COLUMNS, 10_000, Log())
    assert [cells[before.column("height")] for cells in before.cells] == sheet.columns["height"]
    after = change_cells(before, {(before.row(sheet.rows[3]), before.column("height")): "4-11-7+"})
    changed = [(a, b) for a, b in zip(before.data.split(b"\n"), after.data.split(b"\n"), strict=True) if a != b]
    assert changed == [(b"2,port,edge,4-10-4,,,1,", b"2,port,edge,4-11-7+,,,1,")]
    assert differences(before, after) == [f"row {sheet.rows[3]}, height: '4-10-4' is now '4-11-7+'"]


def test_a_row_that_is_too_short_is_made_long_enough():
    before = table_of(HERE, b"beam,y,height,note\n1,0\n", KNOWN)
    assert change_cells(before, {(0, 2): "900"}).data == b"beam,y,height,note\n1,0,900\n"


def test_utf_16_and_western_european_stay_what_they_are():
    for encoding in ("utf-16", "cp1252"):
        before = table_of(HERE, "beam,y,height,note\n1,0,900,ä\n".encode(encoding), KNOWN)
        after = change_cells(before, {(0, 2): "901"})
        assert after.data.decode(encoding) == "beam,y,height,note\n1,0,901,ä\n"
    with pytest.raises(TypedError, match="is in cp1252, which cannot hold what was typed"):
        change_cells(before, {(0, 3): "船"})


@pytest.mark.parametrize("data", [b"", b"# a remark\n"])
def test_without_a_heading_there_is_nothing_to_change(data):
    with pytest.raises(TypedError, match="cannot be changed here cell by cell: it has no heading. Open it in an edit"):
        table_of(HERE, data, KNOWN)


def test_a_comma_cannot_go_where_quotation_marks_are_inch_marks():
    made = table_of(HERE, b'beam,y,height,note\n1,0,"5,x\n2,0,"6"x",\n', KNOWN)
    assert change_cells(made, {(0, 2): '"7'}).data == b'beam,y,height,note\n1,0,"7,x\n2,0,"6"x",\n'
    with pytest.raises(TypedError, match="'7,5': a comma parts the cells of readings.csv and cannot stand in one"):
        change_cells(made, {(0, 2): "7,5"})


def test_a_file_that_is_missing_is_begun_with_its_heading():
    new = begin_table(HERE, ("beam", "y", "height"))
    with pytest.raises(TypedError, match=r"readings.csv has no rows yet: add a row first"):
        change_cells(new, {(0, 0): "1"})
    assert append_rows(new, [["1", "0", "900"], ["", ""]]).data == b"beam,y,height\n1,0,900\n"
