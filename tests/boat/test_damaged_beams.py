"""Lists of beams as people type them, and every way in which they go wrong."""

from __future__ import annotations

import pytest

from deckgeom.boat.beams_file import rake_in_degrees


def places(boat):
    return {beam.name: beam.x for beam in boat.beams}


def test_beams_with_everything(read, lines):
    boat = read(
        beams_csv="beam,x,face,siding,moulding,camber,rake,from,to,fixed,note\n"
        "1,600,fwd,,,,,,,,\n2,1000,aft,60,90,31,-5,,,yes,main\n"
        "3P,1400,middle,30,,,,port edge,P 300,no,hatch\n3S,1400,m,30,,,,S 300,starboard edge,,hatch\n"
        "4,1800,,,,,1:6,0,S edge,,\n"
    )
    assert lines(boat) == []
    one, two, port, starboard, four = boat.beams
    assert (one.mark, one.siding, one.moulding, one.camber, one.rake_deg) == ("forward face", 44, 70, None, 0)
    assert (two.mark, two.siding, two.moulding, two.camber, two.rake_deg) == ("after face", 60, 90, 31, -5)
    assert two.fixed and not port.fixed
    assert (port.start, port.end, starboard.start, starboard.end) == ("port edge", -300, 300, "starboard edge")
    assert (four.mark, four.start, four.end) == ("middle", 0, "starboard edge")
    assert four.rake_deg == pytest.approx(9.4623, abs=1e-4)  # atan(1/6), by tables
    assert two.row == 3


def test_beams_by_their_spaces(read, lines):
    boat = read(beams_csv="beam,spacing\n1,600\n2,400\n3,400\n4,350\n")
    assert lines(boat) == []
    assert places(boat) == {"1": 600, "2": 1000, "3": 1400, "4": 1750}
    assert boat.beams[-1].x == sum([600, 400, 400, 350])  # the spaces add up


def test_a_space_that_is_not_known_leaves_out_what_comes_after(read, lines):
    boat = read(beams_csv="beam,spacing\n1,600\n2,-400\n3,400\n4,400\n")
    assert lines(boat) == [
        "beams.csv, row 3, column spacing, '-400': a space from mark to mark is nought or more; the beam is left "
        "out. Likely slip: a minus sign for a dash.",
        "beams.csv, row 4, column spacing, '400': the space before it is not known, so neither is its place: this "
        "beam and those after it are left out.",
    ]
    assert places(boat) == {"1": 600}


def test_a_blank_space_leaves_out_what_comes_after(read, lines):
    boat = read(beams_csv="beam,spacing\n1,600\n2,\n3,400\n")
    assert lines(boat) == [
        "beams.csv, row 3, column spacing: a beam has a place; it is left out. Likely slip: a cell left blank.",
        "beams.csv, row 4, column spacing, '400': the space before it is not known, so neither is its place: this "
        "beam and those after it are left out.",
    ]
    assert places(boat) == {"1": 600}


def test_places_and_spaces_together(read, lines):
    boat = read(beams_csv="beam,x,spacing\n1,600,600\n2,1000,400\n")
    assert lines(boat) == [
        "beams.csv, column spacing: beams stand by x, or by spacing from mark to mark; spacing is left out. Likely "
        "slip: two lists copied into one."
    ]
    assert places(boat) == {"1": 600, "2": 1000}


def test_neither_places_nor_spaces(read, lines):
    boat = read(beams_csv="beam,siding\n1,44\n")
    assert lines(boat) == [
        "beams.csv, column x: there is a column x: distance along the boat (or spacing: from mark to mark). Likely "
        "slip: the column or its name was left out."
    ]
    assert boat.beams == ()


def test_a_beam_twice(read, lines):
    boat = read(beams_csv="beam,x\n1,600\n2,1000\n2,1400\n3,1800\n")
    assert lines(boat) == [
        "beams.csv, row 4, column beam, '2': a beam stands once; the first, in row 3, is kept. Likely slip: a row "
        "copied and not changed."
    ]
    assert places(boat) == {"1": 600, "2": 1000, "3": 1800}


@pytest.mark.parametrize(
    ("row", "line", "kept"),
    [
        ("9,abc,,,,,,", "column x, 'abc': a length holds a number and none stands here. Write it like one of 497, "
         "49.7cm, 19 9/16 in, 1' 7 9/16\", 1-7-4+. Likely slip: a note in a column of numbers.", None),
        ("9,,,,,,,", "column x: a beam has a place; it is left out. Likely slip: a cell left blank.", None),
        (",700,,,,,,", "column beam: a beam has a name or a number; it is left out. Likely slip: a cell left "
         "blank.", None),
        ("9,700,0,,,,,", "column siding, '0': a siding is above nought; the siding of boat.toml is taken. Likely "
         "slip: a minus sign for a dash, or a blank typed as 0.", 44),
        ("9,700,-30,,,,,", "column siding, '-30': a siding is above nought; the siding of boat.toml is taken. "
         "Likely slip: a minus sign for a dash, or a blank typed as 0.", 44),
        ("9,700,,-3,,,,", "column camber, '-3': a camber is nought or more; the camber of the rule is taken. "
         "Likely slip: a drop typed with a minus.", 44),
        ("9,700,,,steep,,,", "column rake, 'steep': a rake is in degrees off plumb, or a slope. Write it like 12 "
         "deg or 1:6.", 44),
        ("9,700,,,85,,,", "column rake, '85': a rake is less than 60 degrees off plumb. Likely slip: measured from "
         "level and not from plumb.", 44),
        ("9,700,,,,300,S 300,", "column from, '300': is it port (300 mm, 11 13/16 in), or starboard (300 mm, 11 "
         "13/16 in)? Write P or S with it: P 300.", None),
        ("9,700,,,,,,maybe", "column fixed, 'maybe': yes or no is wanted. Likely slip: a value in the wrong "
         "column.", 44),
    ],
)  # fmt: skip
def test_a_beam_that_is_not_clear(read, lines, row, line, kept):
    boat = read(beams_csv=f"beam,x,siding,camber,rake,from,to,fixed\n1,600,,,,,,\n{row}\n3,1400,,,,,,\n")
    assert lines(boat) == [f"beams.csv, row 3, {line}"]
    assert {beam.name: beam.siding for beam in boat.beams} == {"1": 44, "3": 44} | ({"9": kept} if kept else {})
    assert all(beam.camber is None and beam.rake_deg == 0 for beam in boat.beams)


def test_an_unknown_face_names_the_nearest(read, lines):
    boat = read(beams_csv="beam,x,face\n1,600,forwad face\n2,1000,q\n")
    assert lines(boat) == [
        "beams.csv, row 2, column face, 'forwad face': one of forward face, after face, middle is wanted. Likely "
        "slip: forward face was meant.",
        "beams.csv, row 3, column face, 'q': one of forward face, after face, middle is wanted. Likely slip: a "
        "value in the wrong column.",
    ]
    assert [beam.mark for beam in boat.beams] == ["middle", "middle"]


def test_a_beam_out_of_its_order_is_asked_about_and_kept(read, lines):
    boat = read(beams_csv="beam,x\n1,600\n2,1000\n3,140\n4,1800\n5,2200\n")
    assert lines(boat) == []
    assert lines(boat, "ask") == [
        "beams.csv, row 4, column x, '140 mm': the list runs aft, but beam 3 stands forward of beam 2 in row 3. "
        "Likely slip: a digit left out, or rows in another order."
    ]
    assert places(boat)["3"] == 140
    assert boat.mended


def test_a_list_that_runs_forward_is_no_fault(read, lines):
    boat = read(beams_csv="beam,x\n3,1400\n2,1000\n1,600\n")
    assert boat.complaints == ()


@pytest.mark.parametrize(
    ("text", "degrees"),
    [("0", 0), ("12", 12), ("-5", -5), ("−5°", -5), ("12.5 deg", 12.5),
     ("12,5 degrees", 12.5), ("1:1", 45), ('3"/ft', 14.0362)],
)  # fmt: skip
def test_rakes(text, degrees):
    assert rake_in_degrees(text) == pytest.approx(degrees, abs=1e-4)  # atan(3/12) by tables
