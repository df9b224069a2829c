"""Readings typed beam by beam and place by place: each a row of the file, complaints at their cells."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from deckgeom.bench import across, open_boat, type_in
from deckgeom.boat.copying import copy_boat

DEMO = Path(__file__).parents[2] / "notebooks" / "boats" / "thimblewick"
BEFORE = (DEMO / "readings.csv").read_bytes()


@pytest.fixture
def folder(tmp_path):
    return copy_boat(DEMO, tmp_path / "own boat")


def at(sheet, beam: str, head: str) -> tuple[int, int]:
    return sheet.lines.index(beam), sheet.heads.index(head)


def test_a_reading_taken_again_changes_its_row_and_the_verdict(folder):
    sheet = across.readings(open_boat(folder))
    assert any("Beam 6, 1' 4\" to starboard: doubtful reading" in line for line in sheet.says)
    place = at(sheet, "6", "starboard 1 from the middle")
    sheet.type({place: "4-6-3"})
    after = (folder / "readings.csv").read_bytes()
    assert after == BEFORE.replace(b"6,starboard,1-4-0,4-5-5,", b"6,starboard,1-4-0,4-6-3,")
    assert not any("doubtful" in line for line in sheet.says)
    assert sheet.echoes[f"{place[0]},{place[1]}"] == "4' 6 3/8\" (1381 mm), 1' 4\" starboard"
    edge = at(sheet, "6", "port edge")
    assert sheet.echoes[f"{edge[0]},{edge[1]}"] == "4' 5\" (1346 mm)", "the head of the column says where"
    assert (sheet.row_word, sheet.spare) == ("beam", 0)


def test_a_wrong_height_is_kept_as_typed_with_its_complaint_at_its_cell(folder):
    sheet = across.readings(open_boat(folder))
    row, column = at(sheet, "7", "centreline")
    sheet.type({(row, column): "1-6-x"})
    assert sheet.cells[row][column] == "1-6-x"
    assert b"7,,0,,1-6-x,ridge string,1," in (folder / "readings.csv").read_bytes()
    assert "not a length" in sheet.wrong[f"{row},{column}"] and ".." not in sheet.wrong[f"{row},{column}"]
    sheet.step("undo")
    assert sheet.wrong == {} and (folder / "readings.csv").read_bytes() == BEFORE


def test_what_has_no_place_is_refused_in_words_and_stays_until_it_is_emptied(folder):
    sheet = across.readings(open_boat(folder))
    (row, column), known = at(sheet, "13P", "centreline"), at(sheet, "9", "centreline")
    sheet.type({(row, column): "1-9-0"})
    assert sheet.trouble.startswith("'1-9-0': beam 13P has no centreline in readings.csv")
    assert sheet.unsaved == {f"{row},{column}": "1-9-0"} and (folder / "readings.csv").read_bytes() == BEFORE
    sheet.type({known: "1-7-6"})
    assert b"9,,0,,1-7-6,ridge string,1," in (folder / "readings.csv").read_bytes()
    assert sheet.unsaved == {f"{row},{column}": "1-9-0"}, "it waits, and keeps nothing else waiting"
    sheet.type({(row, column): ""})
    assert sheet.unsaved == {} and sheet.trouble == ""


def test_no_row_is_taken_out_of_the_sheet(folder):
    sheet = across.readings(open_boat(folder)).step("remove", 0)
    assert sheet.trouble.startswith("Row 1 is a beam and stays: empty its cells")
    assert (folder / "readings.csv").read_bytes() == BEFORE


def test_a_second_page_loses_nothing(folder):
    """Both pages have the same sheet open; the second to type is told, and both heights stand."""
    first, second = across.readings(open_boat(folder)), across.readings(open_boat(folder))
    type_in._OPEN.clear()  # as in two notebooks, which know nothing of each other
    first.type({at(first, "9", "centreline"): "1-7-6"})
    second.type({at(second, "10", "centreline"): "1-8-6"})
    assert second.state.startswith("readings.csv was changed by another page or program meanwhile (row ")
    assert second.cells[second.lines.index("9")][second.heads.index("centreline")] == "1-7-6"
    data = (folder / "readings.csv").read_bytes()
    assert b"9,,0,,1-7-6,ridge string,1," in data and b"10,,0,,1-8-6,ridge string,1," in data


def test_a_second_round_is_begun_empty_and_leaves_the_first(folder):
    sheet = across.readings(open_boat(folder), round=2)
    assert not any(any(row) for row in sheet.cells)
    sheet.type({at(sheet, "9", "port edge"): "4-1-6", at(sheet, "9", "centreline"): "1-7-6"})
    assert (folder / "readings.csv").read_bytes() == BEFORE + b"9,port,edge,4-1-6,,,2,\n9,,0,,1-7-6,ridge string,2,\n"


def test_twenty_beams_by_nine_places_are_one_step_and_quick(tmp_path):
    folder = tmp_path / "punt"
    folder.mkdir()
    (folder / "beams.csv").write_text("beam,x\n" + "".join(f"{k},{400 * k}\n" for k in range(1, 21)))
    places = [f"P {y}" for y in (800, 600, 400, 200)] + ["0"] + [f"S {y}" for y in (200, 400, 600, 800)]
    sheet = across.readings(open_boat(folder), places)
    begun = time.perf_counter()
    sheet.type({(k, j): str(1000 - (j - 4) ** 2) for k in range(20) for j in range(9)})
    taken = time.perf_counter() - begun
    assert len((folder / "readings.csv").read_text().splitlines()) == 181
    assert sheet.says == [
        "There is no verdict yet: mend what is marked above, or give what is wanting, and it comes by itself."
    ]
    assert any("the list of beams and the deck edge, and one of them is wanting" in line for line in sheet.matters)
    assert taken < 2, "the target is half a second with the page; a slow machine is no failure"
    sheet.step("undo")
    assert sheet.cells == [[""] * 9] * 20
