"""Lines to measure from, pulls and weights, and fittings: as people type them, and how they go wrong."""

from __future__ import annotations

import pytest

from deckgeom.boat.forces import parse_pull, parse_string_weight
from deckgeom.units import LengthError


def test_lines_along_and_across(read, lines):
    boat = read(
        lines_csv="line,from,to,height_from,height_to,sag,weight,pull\n"
        "wire,0,2700,1500,1480,,0.0225 N/m,100 N\nlaser,0,9 ft,1500,1500,0,,\nedge,P 600,S 600,1000,1002,,,\n"
        "bar,port edge,starboard edge,900,900,,,\n"
    )
    assert lines(boat) == []
    wire, laser, across, bar = boat.lines
    assert (wire.weight, wire.pull, wire.athwart, wire.row) == (0.0225, 100, False, 2)
    assert wire.middle_sag == pytest.approx(0.0225 * 2.7**2 / (8 * 100) * 1000)
    assert (laser.end, laser.sag) == (2743.2, 0)
    assert (across.athwart, across.start, across.end) == (True, -600, 600)
    assert (bar.athwart, bar.start, bar.end) == (True, "port edge", "starboard edge")


@pytest.mark.parametrize(
    ("row", "line"),
    [
        ("wire,0,1-7,1500,1480,,,", "column to, '1-7': is it 1 ft 7 in (483 mm, 19 in), or 1 in and 7 eighths (48 "
         "mm, 1 7/8 in)? Write 1' 7\" for feet and inches or 0-1-7 for inches and eighths."),
        ("wire,0,,1500,1480,,,", "column to: a line has its to; it is left out. Likely slip: a cell left blank."),
        ("wire,P 600,600,1500,1480,,,", "column to, '600': is it port (600 mm, 23 5/8 in), or starboard (600 mm, "
         "23 5/8 in)? Write P or S with it: P 600."),
        ("wire,0,2700,1500,high,,,", "column height_to, 'high': a length holds a number and none stands here. "
         "Write it like one of 497, 49.7cm, 19 9/16 in, 1' 7 9/16\", 1-7-4+. Likely slip: a note in a column of "
         "numbers."),
        ("wire,0,2700,1500,1480,,2.3 g,100 N", "column weight, '2.3 g': the weight is for each metre or foot of "
         "string. Write it like 2.3 g/m. Likely slip: the whole string weighed."),
        ("wire,0,2700,1500,1480,,2.3 g/m,2 N/m", "column pull, '2 N/m': a pull is a force alone. Write it like 130 "
         "N or 30 lb. Likely slip: weight and pull swapped."),
        ("laser,0,2700,1500,1480,,,", "column line, 'laser': a line stands once; the first, in row 2, is kept. "
         "Likely slip: a row copied and not changed."),
    ],
)  # fmt: skip
def test_a_line_that_is_not_clear_is_left_out(read, lines, row, line):
    boat = read(lines_csv=f"line,from,to,height_from,height_to,sag,weight,pull\nlaser,0,2700,1500,1500,0,,\n{row}\n")
    assert lines(boat) == [f"lines.csv, row 3, {line}"]
    assert [line.name for line in boat.lines] == ["laser"]


def test_a_steel_wire_with_pounds_and_feet_sags_as_derived(read):
    # steel wire .024 in, 30 lb, 30 ft, .0015396 lb/ft: w L^2 / 8T = .0693 in
    boat = read(
        lines_csv="line,from,to,height_from,height_to,weight,pull\nwire,0,30 ft,1500,1500,.0015396 lb/ft,30 lb\n"
    )
    assert boat.lines[0].middle_sag / 25.4 == pytest.approx(0.0693, abs=5e-5)


@pytest.mark.parametrize(
    ("text", "newtons"),
    [("100", 100), ("100 N", 100), ("0,1 kN", 100), ("10 kg", 98.0665),
     ("10kgf", 98.0665), ("30 lb", 133.4466), ("16 oz", 4.4482)],
)  # fmt: skip
def test_pulls(text, newtons):
    # a pound-force is 4.4482216 N and a kilogram-force 9.80665 N, by definition
    assert parse_pull(text) == pytest.approx(newtons, abs=5e-5)


@pytest.mark.parametrize(
    ("text", "newtons_per_metre"),
    [("0.0225", 0.0225), ("0.0225 N/m", 0.0225), ("2.2944 g/m", 0.0225),
     ("2.2944 g per metre", 0.0225), ("1 lb/ft", 14.5939)],
)  # fmt: skip
def test_weights_of_string(text, newtons_per_metre):
    # 1 lbf/ft = 14.593903 N/m, from the definitions of the pound and the foot
    assert parse_string_weight(text) == pytest.approx(newtons_per_metre, rel=5e-5)


@pytest.mark.parametrize("text", ["heavy", "3 stone", "1,234 N", "3 N/furlong", "-3 N"])
def test_what_is_no_pull(text):
    with pytest.raises(LengthError, match="not a pull or a weight in any known unit"):
        parse_pull(text)


def test_fittings(read, lines):
    boat = read(
        fittings_csv="what,x,y,length,breadth,note\nhatch,1800,0,600,500,\nchainplate,1200,port edge,,,steel\n"
        "pad,2000,S 300,100,80,\nmast,1000,,,,\n"
    )
    assert lines(boat) == []
    assert [(fitting.what, fitting.y) for fitting in boat.fittings] == [
        ("hatch", 0), ("chainplate", "port edge"), ("pad", 300), ("mast", 0),
    ]  # fmt: skip
    assert (boat.fittings[0].length, boat.fittings[1].breadth, boat.fittings[1].note) == (600, None, "steel")


@pytest.mark.parametrize(
    ("row", "line"),
    [
        (",1000,0,,", "column what: a fitting has a name and a place; it is left out. Likely slip: a cell left blank."),
        ("mast,,0,,", "column x: a fitting has a name and a place; it is left out. Likely slip: a cell left blank."),
        ("mast,aft,0,,", "column x, 'aft': a length holds a number and none stands here. Write it like one of 497, "
         "49.7cm, 19 9/16 in, 1' 7 9/16\", 1-7-4+. Likely slip: a note in a column of numbers."),
        ("mast,1000,300,,", "column y, '300': is it port (300 mm, 11 13/16 in), or starboard (300 mm, 11 13/16 "
         "in)? Write P or S with it: P 300."),
    ],
)  # fmt: skip
def test_a_fitting_that_is_not_clear_is_left_out(read, lines, row, line):
    boat = read(fittings_csv=f"what,x,y,length,breadth\nhatch,1800,0,600,500\n{row}\n")
    assert lines(boat) == [f"fittings.csv, row 3, {line}"]
    assert [fitting.what for fitting in boat.fittings] == ["hatch"]


def test_a_negative_size_is_left_out_and_the_fitting_kept(read, lines):
    boat = read(fittings_csv="what,x,y,length,breadth\nhatch,1800,0,-600,500\n")
    assert lines(boat) == [
        "fittings.csv, row 2, column length, '-600': a length is nought or more. Likely slip: a minus for a dash."
    ]
    assert (boat.fittings[0].length, boat.fittings[0].breadth) == (None, 500)
