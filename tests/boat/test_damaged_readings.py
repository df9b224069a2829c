"""Readings as people type them, and every way in which they go wrong."""

from __future__ import annotations

import pytest


def test_readings_in_every_way_to_say_a_place(read, lines):
    boat = read(
        readings_csv="beam,side,y,height,below,line,round,note\n"
        "1,port,200,842,,,,\n1,P,200,842,,,1,\n1,,P 200,842,,,2,wet\n1,,200 port,842,,,,\n1,larboard,P 200,842,,,,\n"
        "1,starboard,200,,658,wire,,\n1,,0,842,,,,\n1,centre,0,842,,,,\n1,stbd,edge,842,,,,\n1,,port edge,842,,,,\n"
    )
    assert lines(boat) == []
    assert [reading.signed_y for reading in boat.readings[:8]] == [-200] * 5 + [200, 0, 0]
    assert [reading.y for reading in boat.readings[8:]] == ["starboard edge", "port edge"]
    assert (boat.readings[5].below, boat.readings[5].line, boat.readings[5].height) == (658, "wire", None)
    assert [reading.round for reading in boat.readings[:3]] == [1, 1, 2]
    assert boat.readings[2].note == "wet"


@pytest.mark.parametrize(
    ("row", "line"),
    [
        ("1,,200,842", "column y, '200': is it port (200 mm, 7 7/8 in), or starboard (200 mm, 7 7/8 in)? Write P "
         "or S with it: P 200."),
        ("1,port,S 200,842", "column y, 'S 200': the place is to starboard and the column side says port. Likely "
         "slip: one of the two not changed."),
        ("1,port,-200,842", "column y, '-200': a place with a side has no minus. Likely slip: the side named "
         "twice, by word and by sign."),
        ("1,centre,P 200,842", "column y, 'P 200': a place off the centreline is port or starboard. Likely slip: "
         "the wrong side in the column side."),
        ("1,left,200,842", "column side, 'left': one of port, starboard, centre is wanted. Likely slip: a value in "
         "the wrong column."),
        ("1,,edge,842", "column y, 'edge': an edge is port or starboard; the reading is left out. Likely slip: the "
         "side left blank."),
        ("1,port,,842", "column y: a reading has a place off the centreline; it is left out. Likely slip: a cell "
         "left blank."),
        ("1,port,1-7,842", "column y, '1-7': is it 1 ft 7 in (483 mm, 19 in), or 1 in and 7 eighths (48 mm, 1 7/8 "
         "in)? Write 1' 7\" for feet and inches or 0-1-7 for inches and eighths."),
        ("1,port,200,84w2", "column height, '84w2': this is not a length in any known notation. Write it like one "
         "of 497, 49.7cm, 19 9/16 in, 1' 7 9/16\", 1-7-4+. Likely slip: a letter or an unknown unit in a number."),
        (",port,200,842", "column beam: a reading names its beam; it is left out. Likely slip: a cell left blank."),
    ],
)  # fmt: skip
def test_a_reading_that_is_not_clear_is_left_out(read, lines, row, line):
    boat = read(readings_csv=f"beam,side,y,height\n1,port,300,840\n{row}\n1,,0,850\n")
    assert lines(boat) == [f"readings.csv, row 3, {line}"]
    assert [reading.row for reading in boat.readings] == [2, 4]


def test_a_form_that_is_not_filled_in_yet(read, lines):
    boat = read(readings_csv="beam,side,y,height\n1,port,300,840\n1,,0,\n1,starboard,300,-\n2,port,300,\n")
    assert lines(boat) == []
    assert lines(boat, "note") == [
        "readings.csv, column height: 3 of 4 readings are not taken yet, the first in row 3."
    ]
    assert len(boat.readings) == 1


def test_readings_without_heights(read, lines):
    boat = read(readings_csv="beam,side,y\n1,port,300\n")
    assert lines(boat) == [
        "readings.csv, column height: there is a column height (up from the base), or below and line (down from a "
        "named line). Likely slip: the column or its name was left out."
    ]


@pytest.mark.parametrize("text", ["0", "2.5", "-1", "first", "999999999999"])
def test_a_round_that_is_no_number_is_taken_as_the_first(read, lines, text):
    boat = read(readings_csv=f"beam,side,y,height,round\n1,port,300,840,{text}\n")
    assert lines(boat) == [
        f"readings.csv, row 2, column round, '{text}': a whole number of 1 or more is wanted. Likely slip: a length "
        f"or a word in this column."
    ]
