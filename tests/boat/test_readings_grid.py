"""Readings laid out as on squared paper: each height goes to its own row of readings.csv, and nothing else moves."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from deckgeom.boat import readings_file
from deckgeom.boat.log import Log
from deckgeom.boat.readings_file import COLUMNS, read_readings
from deckgeom.boat.readings_grid import grid_of, table_words
from deckgeom.boat.typed_table import TypedError, append_rows, begin_table, change_cells, read_table, table_of
from deckgeom.units import LengthError

HERE = Path("readings.csv")
DEMO = Path(__file__).parents[2] / "notebooks" / "boats" / "thimblewick" / "readings.csv"
BEGUN = begin_table(HERE, ("beam", "side", "y", "height", "round", "note"))
NINE = ["P edge", "P 900", "600 P", "P 300", "0", "S 300", "600 S", "S 900", "S edge"]


def table(text: str):
    return table_of(HERE, text.encode(), COLUMNS)


def change_grid(grid, changes):
    """The table with the words of the sheet in their places."""
    typed, have = table_words(grid, changes), len(grid.table.rows)
    known = {place: words for place, words in typed.items() if place[0] < have}
    rows = [[typed.get((row, k), "") for k in range(len(grid.table.columns))]
            for row in sorted({row for row, _ in typed if row >= have})]  # fmt: skip
    made = change_cells(grid.table, known) if known else grid.table
    return append_rows(made, rows) if rows else made


def read(tmp_path: Path, data: bytes):
    """Beam, place, height and round, as the reader of boats takes them."""
    path = tmp_path / "readings.csv"
    path.write_bytes(data)
    log = Log()
    found = read_readings(path, "mm", log)
    wrong = [one for one in log.complaints() if one.kind != "note"]
    rows = [(r.beam, f"{r.side} {r.y}".strip(), r.height if r.below is None else r.below, r.round) for r in found]
    return rows, wrong


def test_twenty_beams_by_nine_places_become_180_rows(tmp_path):
    beams = [str(k) for k in range(1, 21)]
    grid = grid_of(BEGUN, beams, NINE)
    assert grid.heads == (
        "port edge", "900 mm port", "600 mm port", "300 mm port", "centreline", "300 mm starboard", "600 mm starboard",
        "900 mm starboard", "starboard edge",
    )  # fmt: skip
    new = change_grid(grid, {(k, j): str(1000 + 10 * k + j) for k in range(20) for j in range(9)})
    found, wrong = read(tmp_path, new.data)
    assert wrong == [] and len(found) == 180
    across = ["port port edge", "port 900.0", "port 600.0", "port 300.0", "0.0", "starboard 300.0", "starboard 600.0",
              "starboard 900.0", "starboard starboard edge"]  # fmt: skip
    assert found == [(str(k + 1), across[j], 1000 + 10 * k + j, 1) for k in range(20) for j in range(9)]
    assert grid_of(new).cells == tuple(tuple(str(1000 + 10 * k + j) for j in range(9)) for k in range(20))


CELLS = st.dictionaries(
    st.tuples(st.integers(0, 3), st.integers(0, 8)),
    st.sampled_from(["901", "90,1cm", "3-0-2 in", "?", "", "a;b", '4"']),
)


@settings(max_examples=150)
@given(CELLS, CELLS, st.sampled_from(",;\t"))
def test_what_was_typed_into_the_sheet_is_read_from_it_again(first, second, separator):
    begun = table(separator.join(["beam", "side", "y", "height", "round"]) + "\r\n")
    beams, expected = ["1", "2", "3", "4"], [[""] * 9 for _ in range(4)]
    for changes in (first, second):
        begun = change_grid(grid_of(begun, beams, NINE), changes)
        for (row, column), words in changes.items():
            expected[row][column] = words
        assert [list(row) for row in grid_of(begun, beams, NINE).cells] == expected
    assert begun.data.count(b"\n") == begun.data.count(b"\r\n") == len({k for k, v in first.items() if v} | {
        k for k, v in second.items() if v}) + 1  # fmt: skip


def test_one_cell_of_the_demo_is_one_line_of_readings():
    before = read_table(DEMO, COLUMNS)
    grid = grid_of(before, units="ft-in-8")
    column = grid.heads.index("centreline")
    row = grid.beams.index("4")
    assert grid.cells[row][column] == "1-2-7"
    after = change_grid(grid, {(row, column): "1-3-0"})
    lines = zip(before.data.split(b"\n"), after.data.split(b"\n"), strict=True)
    assert [(old, new) for old, new in lines if old != new] == [
        (b"4,,0,,1-2-7,ridge string,1,", b"4,,0,,1-3-0,ridge string,1,")
    ]


def test_beams_measured_at_places_of_their_own_are_counted_from_the_middle():
    grid = grid_of(read_table(DEMO, COLUMNS), units="ft-in-8")
    assert grid.heads == (
        "port edge", "port 2 from the middle", "port 1 from the middle", "centreline", "starboard 1 from the middle",
        "starboard 2 from the middle", "starboard edge",
    )  # fmt: skip
    row = grid.beams.index("13P")
    assert grid.cells[row] == ("3-10-7", "4-0-4", "4-1-2", "", "", "", "")
    assert grid.spots[row, 1].order == pytest.approx(-29 * 25.4)
    with pytest.raises(TypedError, match=r"'4-1-0': beam 13P has no centreline in readings.csv, so how far off"):
        change_grid(grid, {(row, 3): "4-1-0"})
    filled = sum(bool(cell) for cells in grid.cells for cell in cells)
    assert filled + grid.beside == len(grid.table.rows)


def test_a_second_round_is_taken_at_the_places_and_from_the_lines_of_the_first():
    grid = grid_of(read_table(DEMO, COLUMNS), units="ft-in-8", round=2)
    row = grid.beams.index("4")
    assert set(grid.cells[row]) == {""}
    after = change_grid(grid, {(row, 2): "4-8-5", (row, 3): "1-3-0"})
    assert after.data == grid.table.data + b"4,port,1-0-0,4-8-5,,,2,\n4,,0,,1-3-0,ridge string,2,\n"


def test_of_a_point_taken_twice_the_last_is_shown_and_the_other_is_told():
    grid = grid_of(table("beam,side,y,height,note\n1,port,300,901,\n1,P,30cm,903,again\n1,?,300,905,\n"))
    assert grid.cells == (("903",),) and grid.beside == 2
    assert change_grid(grid, {(0, 0): "902"}).cells[:2] == (("1", "port", "300", "901", ""),
                                                           ("1", "P", "30cm", "902", "again"))  # fmt: skip


def test_a_height_taken_out_leaves_its_row_to_be_measured_again():
    made = table("beam,side,y,height,note\n1,port,300,901,by the mast\n")
    after = change_grid(grid_of(made), {(0, 0): ""})
    assert after.data == b"beam,side,y,height,note\n1,port,300,,by the mast\n"
    assert grid_of(after).cells == (("",),)
    assert change_grid(grid_of(after), {(0, 0): "900"}).data == made.data.replace(b"901", b"900")


def test_a_table_without_a_column_of_sides_gets_the_side_into_its_place(tmp_path):
    new = change_grid(grid_of(table("beam,y,height\n"), ["1"], ["P 300", "S edge"]), {(0, 0): "901", (0, 1): "902"})
    assert new.data == b"beam,y,height\n1,port 300,901\n1,starboard edge,902\n"
    assert read(tmp_path, new.data) == ([("1", "port 300.0", 901, 1), ("1", "starboard starboard edge", 902, 1)], [])


def test_what_the_table_has_no_room_for_is_told():
    made = table("beam,y,height\n")
    with pytest.raises(TypedError, match=r"'902' for beam 1 needs a column 'round', and readings.csv has only beam, y"):
        change_grid(grid_of(made, ["1"], ["0"], round=2), {(0, 0): "902"})
    with pytest.raises(TypedError, match=r"The sheet has 1 beams and 1 places; '902' stood beyond them and noth"):
        change_grid(grid_of(made, ["1"], ["0"]), {(0, 0): "901", (1, 0): "902"})
    with pytest.raises(LengthError, match="300"):
        grid_of(made, ["1"], ["300"])


def test_without_places_there_are_the_edges_and_the_middle():
    assert grid_of(BEGUN, ["1"]).heads == ("port edge", "centreline", "starboard edge")


@pytest.mark.parametrize(
    ("side", "y", "place"),
    [("port", "P 300", -300.0), ("", "300 S", 300.0), ("c", "0", 0.0), ("port", "300 S", None), ("", "300", None),
     ("abaft", "300", None), ("stb", "deck edge", "starboard edge")],
)  # fmt: skip
def test_place_of_a_reading(side, y, place):
    assert readings_file.place_of(side, y) == place
