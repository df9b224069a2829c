"""What is typed goes into the row that it was typed in, whatever became of the rows about it meanwhile."""

from __future__ import annotations

from pathlib import Path

import pytest

from deckgeom.bench import across, entries, open_boat
from deckgeom.bench.type_in import MOST_SHOWN, TypeIn
from deckgeom.boat.editing import Editing
from tests.nothing_lost.actions import BOAT, make_shed

HEIGHT, NOTE = 3, 4


@pytest.fixture
def folder(tmp_path) -> Path:
    return make_shed(tmp_path / "shed") / BOAT


def page(table: TypeIn, row: int, column: int, words: str, turn: int | None = None) -> None:
    """As the page sends it: with the turn that it shows."""
    message = {"do": "type", "cells": [[row, column, words]], "number": 1}
    table._asked(table, message | {"turn": table.turn if turn is None else turn}, [])


def rows(folder: Path, file: str = "readings.csv") -> list[str]:
    return (folder / file).read_text(encoding="utf-8-sig").splitlines()[2 if file == "readings.csv" else 1 :]


def refused(table: TypeIn, folder: Path, row: int, words: str) -> None:
    """Type into a row that somebody else changes at the same moment: the words wait."""
    Editing(folder, table._editing.file).type({(row, NOTE): "theirs"})
    page(table, row, NOTE, words)
    assert table.unsaved == {f"{row},{NOTE}": words} and table.trouble


def test_a_table_shows_at_once_what_another_on_the_page_saved_in_the_same_file(folder):
    first, second = entries.readings(open_boat(folder)), entries.readings(open_boat(folder))
    sheet, other = across.readings(open_boat(folder)), entries.beams(open_boat(folder))
    turn = other.turn
    page(first, 1, HEIGHT, "851")
    assert second.cells[1][HEIGHT] == "851" and second.state.startswith("Changed in another table on this page.")
    assert sheet.cells[sheet.lines.index("1")][sheet.heads.index("centreline")] == "851"
    assert other.turn == turn, "a table of another file is left alone"
    page(second, 2, HEIGHT, "844")
    assert second.state.startswith("Saved at ") and first.cells[2][HEIGHT] == "844"
    sheet.type({(sheet.lines.index("1"), sheet.heads.index("centreline")): "852"})
    assert first.cells[1][HEIGHT] == second.cells[1][HEIGHT] == "852"
    assert [row.split(";")[HEIGHT].strip() for row in rows(folder)] == ["842", "852", "844", "830"]


def test_words_that_wait_stay_with_their_row_when_one_above_is_taken_out(folder):
    table = entries.readings(open_boat(folder))
    refused(table, folder, 2, "mine")
    table.step("remove", 0)
    assert table.unsaved == {f"1,{NOTE}": "mine"} and table.cells[1][1] == "starboard"
    page(table, 2, HEIGHT, "831")
    assert table.unsaved == {} and table.trouble == ""
    assert rows(folder) == ['1;;0;850;"a; b"', "1;starboard;200; 843 ;mine", "2;P;300;831"]


def test_words_whose_row_is_gone_are_kept_on_the_page_and_go_into_no_other_row(folder):
    table = entries.readings(open_boat(folder))
    refused(table, folder, 2, "mine")
    table.step("remove", 2)
    assert table.unsaved == {}
    words = "Not saved: 'mine' was typed into a row that is not there any more. Type it where it belongs."
    assert table.matters[0] == words
    page(table, 2, HEIGHT, "831")
    assert not any("mine" in row for row in rows(folder)) and any("'mine'" in line for line in table.matters)


def test_what_the_page_sends_before_it_has_seen_a_row_go_lands_in_its_row(folder):
    table = entries.readings(open_boat(folder))
    seen = table.turn
    table.step("remove", 0)
    page(table, 3, HEIGHT, "831", seen)
    assert rows(folder)[-1] == "2;P;300;831" and len(rows(folder)) == 3
    page(table, 0, NOTE, "gone", seen)
    assert any("'gone'" in line for line in table.matters) and not any("gone" in row for row in rows(folder))
    page(table, 4, 0, "3", seen)
    assert rows(folder)[-1] == "3;;;;", "a new row is a new row still"


def test_a_new_row_of_a_long_table_is_never_written_over_one_that_is_not_shown(folder):
    many = MOST_SHOWN + 30
    path = folder / "marks.csv"
    path.write_text("mark,x,y,first,today\n" + "".join(f"m{k},{k},0,1,1\n" for k in range(many)))
    table = entries.marks(open_boat(folder))
    assert len(table.cells) == MOST_SHOWN
    words = "30 more rows of marks.csv count as well and are not shown here: an editor shows all, and takes new ones."
    assert table.matters[0] == words and table.spare == 0
    before = rows(folder, "marks.csv")
    page(table, MOST_SHOWN, 0, "new")  # by a page that shows more than it should
    assert rows(folder, "marks.csv") == [*before, "new,,,,"]
    (folder / "marks.csv").unlink()
    (folder / "marks.csv").mkdir()
    page(table, MOST_SHOWN, 0, "later")
    assert table.unsaved == {f"{MOST_SHOWN},0": "later"} and table.trouble
    assert entries.beams(open_boat(folder)).spare == 3


def test_rows_that_others_put_in_above_and_below_move_new_rows_that_wait(folder):
    table = entries.readings(open_boat(folder))
    path, data = folder / "readings.csv", (folder / "readings.csv").read_bytes()
    path.unlink()
    path.mkdir()
    page(table, 4, 0, "3")
    assert table.unsaved == {"4,0": "3"}
    path.rmdir()
    path.write_bytes(data + b"1;port;100;846;\r\n")
    table.step("look_again")
    assert table.unsaved == {"5,0": "3"} and table.cells[4][2] == "100"
    page(table, 0, NOTE, "x")
    assert rows(folder)[4:] == ["1;port;100;846;", "3;;;;"]
