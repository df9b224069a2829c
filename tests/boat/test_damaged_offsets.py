"""Every way in which a table of offsets goes wrong: one line each, the good rows survive, no file is touched."""

from __future__ import annotations

import os

import numpy as np
import pytest

HEADING = "station,x,height,half_breadth\n"
ROWS = "stem,0,900,0\n1,900,820,420\n2,1800,780,640\n3,2700,790,560\n"


def column(boat, name="height_port"):
    return dict(zip(boat.offsets.lines[name].stations, boat.offsets.lines[name].value.tolist(), strict=True))


def test_a_missing_column(read, lines):
    boat = read(offsets_csv="station,x,height\nstem,0,900\n1,900,820\n2,1800,780\n")
    assert lines(boat) == [
        "offsets.csv, column half_breadth: there is a column half_breadth, or half_breadth_port and "
        "half_breadth_starboard; without it the deck edge is not known. Likely slip: the column or its name was "
        "left out."
    ]
    assert column(boat) == {"stem": 900, "1": 820, "2": 780}
    assert len(boat.beams) == 3


def test_without_places_there_is_no_table(read, lines):
    boat = read(offsets_csv="station,height,half_breadth\nstem,900,0\n1,820,420\n")
    assert lines(boat) == [
        "offsets.csv, row 1, column x: there is a column x: distance of the station along the boat, aft from the "
        "boat's "
        "zero. Likely slip: the column or its name was left out."
    ]
    assert boat.offsets is None
    assert len(boat.beams) == 3


def test_a_misspelt_column_names_the_nearest(read, lines):
    boat = read(offsets_csv="station,x,heigth,half_breadth\n" + ROWS)
    assert lines(boat)[0] == (
        "offsets.csv, row 1, column heigth: this column is not known and is left out. Likely slip: height was meant."
    )
    assert column(boat, "half_breadth_port")["2"] == 640


def test_an_unknown_column_far_from_any(read, lines):
    boat = read(
        offsets_csv="station,x,height,half_breadth,colour\n1,900,820,420,red\n2,1800,780,640,\n3,2700,790,560,\n"
    )
    assert lines(boat) == [
        "offsets.csv, row 1, column colour: this column is not known and is left out. Likely slip: known are "
        "station, x, "
        "height, half_breadth, height_port, height_starboard, half_breadth_port, half_breadth_starboard, note."
    ]
    assert column(boat)["3"] == 790


def test_a_heading_with_units(read, lines):
    boat = read(offsets_csv="station,x,height (in),half_breadth\n" + ROWS)
    assert lines(boat)[0] == (
        "offsets.csv, row 1, column height (in): the column is called height; it is left out. Units stand in "
        "boat.toml, or "
        "in each cell. Likely slip: the unit in the heading."
    )
    assert "height_port" not in boat.offsets.lines


def test_headings_may_be_written_with_capitals_and_spaces(read, lines):
    boat = read(offsets_csv=' Station , X ,"Height",Half-breadth\n' + ROWS)
    assert lines(boat) == []
    assert column(boat, "half_breadth_port")["3"] == 560


def test_a_heading_left_out(read, lines):
    boat = read(offsets_csv=ROWS)
    assert lines(boat) == [
        "offsets.csv, row 1, 'stem, 0, 900, 0': the first row names the columns: station, x, height, half_breadth, "
        "height_port, height_starboard, half_breadth_port, half_breadth_starboard, note. Likely slip: the "
        "heading was left "
        "out, or a row stands above it."
    ]
    assert boat.offsets is None


def test_a_column_twice(read, lines):
    boat = read(offsets_csv="station,x,height,half_breadth,height\n1,900,820,420,1\n2,1800,780,640,1\n")
    assert lines(boat) == [
        "offsets.csv, row 1, column height: a column stands once; the first is read. Likely slip: a column "
        "copied twice."
    ]
    assert column(boat) == {"1": 820, "2": 780}


def test_one_column_and_one_for_each_side_together(read, lines):
    boat = read(
        offsets_csv="station,x,height,height_port,height_starboard,half_breadth\n1,900,1,820,821,420\n2,1800,1,780,781,640\n"
    )
    assert lines(boat) == [
        "offsets.csv, column height: height stands once for both sides, or once for each: height and height_port and "
        "height_starboard stand together; height is left out. Likely slip: two tables copied into one."
    ]
    assert column(boat, "height_starboard") == {"1": 821, "2": 781}
    assert column(boat, "half_breadth_starboard") == {"1": 420, "2": 640}


def test_one_column_and_one_side_together(read, lines):
    boat = read(offsets_csv="station,x,height,height_port,half_breadth\n1,900,820,1,420\n2,1800,780,1,640\n")
    assert "height and height_port stand together; height_port is left out" in lines(boat)[0]
    assert column(boat, "height_port") == {"1": 820, "2": 780}


def test_one_side_alone_is_said(read, lines):
    boat = read(offsets_csv="station,x,height_port,half_breadth_port\n1,900,820,420\n2,1800,780,640\n3,2700,790,560\n")
    assert lines(boat) == []
    assert lines(boat, "note") == [
        "offsets.csv, column height_starboard: only height_port is given: the other side is taken as its mirror.",
        "offsets.csv, column half_breadth_starboard: only half_breadth_port is given: the other side is taken as "
        "its mirror.",
    ]
    assert boat.offsets.symmetric


def test_a_blank_leaves_one_value_out(read, lines):
    boat = read(offsets_csv=HEADING + "stem,0,900,\n1,900,,420\n2,1800,780,-\n3,2700,790,560\n4,3600,800,500\n")
    assert lines(boat) == []
    assert lines(boat, "note") == [
        "offsets.csv, row 3, column height: nothing stands here: the curve passes this station by the others.",
        "offsets.csv, row 2, column half_breadth: nothing stands here: the curve passes this station by the others.",
        "offsets.csv, row 4, column half_breadth, '-': nothing stands here: the curve passes this station by the "
        "others.",
    ]
    assert column(boat) == {"stem": 900, "2": 780, "3": 790, "4": 800}
    assert column(boat, "half_breadth_port") == {"1": 420, "3": 560, "4": 500}
    assert boat.offsets.rows.tolist() == [2, 3, 4, 5, 6]


def test_a_blank_place_leaves_the_row_out(read, lines):
    boat = read(offsets_csv=HEADING + "1,,820,420\n2,1800,780,640\n3,2700,790,560\n")
    assert lines(boat) == [
        "offsets.csv, row 2, column x: a station has a place; the row is left out. Likely slip: a cell left blank."
    ]
    assert column(boat) == {"2": 780, "3": 790}


def test_text_in_a_number(read, lines):
    boat = read(offsets_csv=HEADING + "1,900,0-0-x,420\n2,1800,about 780,640\n3,2700,790,560\n4,3600,800,500\n")
    assert lines(boat) == [
        "offsets.csv, row 2, column height, '0-0-x': this is not a length in any known notation. Write it like "
        "one of 497, "
        "49.7cm, 19 9/16 in, 1' 7 9/16\", 1-7-4+. Likely slip: a letter or an unknown unit in a number.",
        "offsets.csv, row 3, column height, 'about 780': this is not a length in any known notation. Write it "
        "like one of "
        "497, 49.7cm, 19 9/16 in, 1' 7 9/16\", 1-7-4+. Likely slip: a letter or an unknown unit in a number.",
    ]
    assert column(boat) == {"3": 790, "4": 800}
    assert column(boat, "half_breadth_port") == {"1": 420, "2": 640, "3": 560, "4": 500}


def test_a_doubtful_value_is_asked_about_and_left_out(read, lines):
    boat = read(offsets_csv=HEADING + '1,900,"1,234",420\n2,1800,1-7,640\n3,2700,790,560\n4,3600,800,500\n')
    assert lines(boat) == [
        "offsets.csv, row 2, column height, '1,234': is it 1234 (1234 mm, 48 9/16 in), or 1.234 (1 mm, 1/16 in)? "
        "Write 1234 "
        "or 1.234, with no comma.",
        "offsets.csv, row 3, column height, '1-7': is it 1 ft 7 in (483 mm, 19 in), or 1 in and 7 eighths (48 "
        "mm, 1 7/8 "
        "in)? Write 1' 7\" for feet and inches or 0-1-7 for inches and eighths.",
    ]
    assert column(boat) == {"3": 790, "4": 800}


def test_a_negative_half_breadth(read, lines):
    boat = read(offsets_csv=HEADING + "1,900,820,-420\n2,1800,780,640\n3,2700,-790,560\n")
    assert lines(boat) == [
        "offsets.csv, row 2, column half_breadth, '-420': a half-breadth is nought or more, port and starboard "
        "alike; it is "
        "left out. Likely slip: a minus for the port side: give half_breadth_port and half_breadth_starboard a "
        "column each."
    ]
    assert column(boat, "half_breadth_port") == {"2": 640, "3": 560}
    assert column(boat)["3"] == -790  # a height may lie below the base line


def test_no_breadth_at_the_stem_is_no_fault(read, lines):
    boat = read()
    assert column(boat, "half_breadth_port")["stem"] == 0
    assert lines(boat) == []


def test_a_station_twice(read, lines):
    boat = read(offsets_csv=HEADING + "1,900,820,420\n2,1800,780,640\n2,2700,790,560\n3,3600,800,500\n")
    assert lines(boat) == [
        "offsets.csv, row 4, column station, '2': a station stands once; the first, in row 3, is kept. Likely "
        "slip: a row "
        "copied and not changed."
    ]
    assert column(boat) == {"1": 820, "2": 780, "3": 800}


def test_stations_without_names(read, lines):
    boat = read(offsets_csv="x,height,half_breadth\n900,820,420\n1800,780,640\n2700,790,560\n")
    assert boat.offsets.stations == ("1", "2", "3")
    assert lines(boat, "note") == [
        "offsets.csv, column station: there is no column station: stations are called by their row, from 1."
    ]
    assert lines(boat) == []


@pytest.mark.parametrize(("count", "words"), [(1, "and height has 1"), (2, None)])
def test_one_or_two_stations(read, lines, count, words):
    boat = read(offsets_csv=HEADING + "".join(ROWS.splitlines(keepends=True)[1 : 1 + count]))
    assert boat.offsets.stations == ("1", "2")[:count]
    if words:
        assert lines(boat)[0] == (
            f"offsets.csv, column height: a curve needs two stations or more, {words}. Likely slip: rows not yet "
            f"measured."
        )
    else:
        assert lines(boat) == []
        assert lines(boat, "note") == [
            "offsets.csv, column height: height has two stations: its curve is a straight line.",
            "offsets.csv, column half_breadth: half_breadth has two stations: its curve is a straight line.",
        ]


@pytest.mark.parametrize(
    ("content", "rule", "slip"),
    [
        ("", "the file has a heading and rows", "the file was emptied or never filled in"),
        (" \n\n", "the file has a heading and rows", "the file was emptied or never filled in"),
        ("# offsets\n# to be measured\n", "the file has a heading and rows", "every line is a comment"),
    ],
)
def test_an_empty_file(read, lines, content, rule, slip):
    boat = read(offsets_csv=content)
    assert lines(boat) == [f"offsets.csv: {rule}. Likely slip: {slip}."]
    assert boat.offsets is None
    assert len(boat.beams) == 3


@pytest.mark.parametrize("rows", ["", ",,,\n , , ,\n"])
def test_a_heading_that_waits_for_its_rows_is_told_and_wants_no_mending(read, lines, rows):
    boat = read(offsets_csv=HEADING + rows)
    assert lines(boat) == []
    assert lines(boat, "note") == ["offsets.csv: no row stands under the heading yet, so nothing is known of it."]
    assert boat.offsets is None
    assert len(boat.beams) == 3


def test_a_folder_for_a_file(read, lines, tmp_path):
    (tmp_path / "whimbrel").mkdir()
    (tmp_path / "whimbrel" / "offsets.csv").mkdir()
    (tmp_path / "whimbrel" / "boat.toml").mkdir()
    from deckgeom.boat import read_boat

    boat = read_boat(tmp_path / "whimbrel")
    assert lines(boat) == [
        "boat.toml: this is a file. Likely slip: a folder stands under the file's name.",
        "offsets.csv: this is a file. Likely slip: a folder stands under the file's name.",
    ]


@pytest.mark.skipif(os.name == "nt", reason="file modes are of another kind there")
def test_a_file_that_may_not_be_read(read, lines, monkeypatch):
    from pathlib import Path

    whole = Path.read_bytes

    def refuse(path):
        if path.name == "offsets.csv" and refuse.on:
            raise PermissionError(13, "Permission denied")
        return whole(path)

    refuse.on = False
    boat = read()
    monkeypatch.setattr(Path, "read_bytes", refuse)
    refuse.on = True
    from deckgeom.boat import read_boat

    boat = read_boat(boat.folder)
    assert lines(boat) == [
        "offsets.csv: the file cannot be read (Permission denied). Likely slip: no leave to read it, or another "
        "program "
        "holds it."
    ]
    assert len(boat.beams) == 3


def test_ragged_rows(read, lines):
    boat = read(offsets_csv=HEADING + "1,900,820\n2,1800,780,640\n3,2700,790,0,5\n4,3600,800,500,,\n5,4500,805,480\n")
    assert lines(boat) == [
        "offsets.csv, row 2, '1,900,820': the heading has 4 cells and this row 3; the row is left out. Likely slip: a "
        "separator left out: a blank needs one too.",
        "offsets.csv, row 4, '3,2700,790,0,5': the heading has 4 cells and this row 5; the row is left out. "
        "Likely slip: a "
        "decimal comma in a comma-separated table, or a comma in a note without quotation marks.",
    ]
    assert column(boat) == {"2": 780, "4": 800, "5": 805}


def test_comments_blank_lines_and_quoted_cells_keep_the_count_of_lines(read, lines):
    boat = read(
        offsets_csv="# measured in May, heights by water level\n\nstation,x,height,half_breadth,note\n"
        '"1, at the mast",900,820,420,"low, wet"\n\n   # once more\n2,1800,780 # '
        "twice,640,\n3,2700,x,560\n4,3600,800,500,end\n"
    )
    assert lines(boat)[0].startswith("offsets.csv, row 8, column height, 'x': a length holds a number")
    assert len(lines(boat)) == 1
    assert boat.offsets.stations == ("1, at the mast", "2", "3", "4")
    assert boat.offsets.rows.tolist() == [4, 7, 8, 9]
    assert column(boat)["2"] == 780


def test_a_row_behind_a_comment_sign_is_mentioned(read, lines):
    boat = read(offsets_csv=HEADING + "1,900,820,420\n#2,1800,780,640\n3,2700,790,560\n4,3600,800,500\n")
    assert lines(boat, "note") == [
        "offsets.csv, row 3, '#2,1800,780,640': a line that begins with # is a comment and is not read."
    ]
    assert lines(boat) == []
    assert list(column(boat)) == ["1", "3", "4"]


def test_inch_marks_are_not_quotation_marks(read, lines):
    boat = read(
        boat_toml='units = "ft-in-8"\n',
        offsets_csv=HEADING + '1,3\',1\' 7 9/16",19 9/16"\n2,6\',"19 9/16""",1-7-4+\n3,9\',1-8-0,1-8-0\n',
    )
    assert lines(boat) == []
    assert column(boat)["1"] == column(boat)["2"] == column(boat, "half_breadth_port")["1"] == 496.8875


def test_a_quotation_mark_left_open(read, lines):
    boat = read(offsets_csv=HEADING + '1,900,"820,420\n2,1800,780,640\n3,2700,790,560\n"4 aft",3600,800,500\n')
    assert lines(boat)[0] == (
        'offsets.csv, row 2: a quotation mark that opens a cell is closed in the same cell; every " is read as '
        "it stands. "
        "Likely slip: an inch mark at the beginning of a cell."
    )
    assert lines(boat)[1].startswith("offsets.csv, row 2, column height, '\"820': this is not a length")
    assert len(lines(boat)) == 2
    assert column(boat) == {"2": 780, "3": 790, "4 aft": 800}


def test_a_note_of_two_lines_is_no_fault(read, lines):
    boat = read(
        offsets_csv='station,x,height,half_breadth,note\n1,900,820,420,"wet\nand low"\n2,1800,780,640,\n3,2700,790,y,\n'
        "4,3600,800,500,\n"
    )
    assert len(lines(boat)) == 1
    assert lines(boat)[0].startswith("offsets.csv, row 5, column half_breadth, 'y'")
    assert boat.offsets.rows.tolist() == [2, 4, 5, 6]


def test_all_complaints_come_at_once(read, lines):
    boat = read(
        offsets_csv=HEADING + "1,abc,820,-5\n1,900,820,420\n2,1800,y,640\n3,2700\n4,3600,800,500\n5,4500,810,480\n",
        beams_csv="beam,x,mast\n1,q,\n2,600,\n",
        readings_csv="beam,y\n1,0\n",
        boat_toml='untis = "mm"\n',
    )
    assert {complaint.file for complaint in boat.complaints if complaint.kind == "mend"} == {
        "boat.toml", "offsets.csv", "beams.csv", "readings.csv",
    }  # fmt: skip
    assert len(lines(boat)) == 9
    assert column(boat) == {"4": 800, "5": 810}
    assert [beam.name for beam in boat.beams] == ["2"]


def test_heights_typed_in_inches_pass_the_door(read, lines):
    # whether a whole column is in another unit is told by comparing columns, not by reading one
    boat = read(offsets_csv=HEADING + "1,900,32.3,420\n2,1800,30.7,640\n3,2700,31.1,560\n")
    assert lines(boat) == []
    assert np.array_equal(boat.offsets.lines["height_port"].value, [32.3, 30.7, 31.1])


def test_a_place_that_no_boat_reaches(read, lines):
    boat = read(offsets_csv=HEADING + "1,900,820,420\n2,1800000000,780,640\n3,2700,790,560\n")
    assert lines(boat) == [
        "offsets.csv, row 3, column x, '1800000000': no length on a boat is over a kilometre. Measure again. "
        "Likely slip: "
        "two cells run together, or a wrong unit."
    ]
    assert column(boat) == {"1": 820, "3": 790}
