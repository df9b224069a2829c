"""Rake and lean as people write them, and how they go wrong: one line each, and the rest of the fitting is used."""

from __future__ import annotations

import math

import pytest

from deckgeom.boat import read_boat
from deckgeom.boat.off_plumb import lean_off_plumb, rake_off_plumb
from deckgeom.units import LengthError

TWELFTH = math.degrees(math.atan2(1, 12))


@pytest.mark.parametrize(
    ("text", "degrees"),
    [
        ("4 aft", 4), ("aft 4", 4), ("4", 4), ("4\u00b0 aft", 4), ("-3", -3), ("2.5 deg forward", -2.5),
        ("3,5 aft", 3.5), ("1:12 aft", TWELFTH), ("1 in 12 fwd", -TWELFTH), ('1"/ft', TWELFTH), ("0 forward", 0),
        ("20 mm/m aft", math.degrees(math.atan(0.02))), ("Forward: 2", -2),
    ],
)  # fmt: skip
def test_a_rake_in_every_notation(text, degrees):
    assert rake_off_plumb(text) == pytest.approx(degrees, abs=1e-12)


@pytest.mark.parametrize(
    ("text", "degrees", "way"),
    [
        ("3 P", 3, "port"), ("P3", 3, "port"), ("3 to port", 3, "port"), ("4 deg stbd.", 4, "starboard"),
        ("1:12 inboard", TWELFTH, "inboard"), ("outboard 2", 2, "outboard"), ("0", 0, ""), ("0 S", 0, ""),
    ],
)  # fmt: skip
def test_a_lean_in_every_notation(text, degrees, way):
    found = lean_off_plumb(text)
    assert found[0] == pytest.approx(degrees, abs=1e-12) and found[1] == way


@pytest.mark.parametrize(
    ("read", "text", "words"),
    [
        (rake_off_plumb, "4 port", "a rake is aft or forward | a lean in the column of the rake"),
        (rake_off_plumb, "-4 aft", "has no minus | the way named twice, by word and by sign"),
        (rake_off_plumb, "86", "less than 45 degrees off plumb | measured from level and not from plumb"),
        (rake_off_plumb, "50 forward", "less than 45 degrees off plumb | measured from level"),
        (rake_off_plumb, "12:1 aft", "in degrees off plumb, or a slope | the run written before the rise"),
        (rake_off_plumb, "120 mm", "in degrees off plumb, or a slope | a length in this column"),
        (rake_off_plumb, "aft", "a way alone is not how far | the number left out | Write 4 aft."),
        (lean_off_plumb, "4 aft", "to port or starboard, inboard or outboard | a rake in the column of the lean"),
        (lean_off_plumb, "1 in 12", "names its side | the side left out | Write 1 in 12 P, 1 in 12 S"),
        (lean_off_plumb, "-3", "names its side | the side left out | Write 3 P, 3 S or 3 inboard."),
        (lean_off_plumb, "-3 S", "has no minus"),
    ],
)
def test_what_is_not_clear_is_refused_with_what_to_write(read, text, words):
    with pytest.raises(LengthError) as error:
        read(text)
    assert words in f"{error.value.rule} | {error.value.slip} | {error.value.advice}" and error.value.text == text


def fittings(tmp_path, *rows):
    head = "what,x,y,length,breadth,shape,rake,lean,note"
    (tmp_path / "fittings.csv").write_text("\n".join([head, *rows]) + "\n", encoding="utf-8")
    (tmp_path / "boat.toml").write_text('name = "Dabchick"\nunits = "mm"\n', encoding="utf-8")
    boat = read_boat(tmp_path)
    return boat, [str(c) for c in boat.complaints if c.file == "fittings.csv"]


def test_inboard_is_to_starboard_on_the_port_side(tmp_path):
    rows = ("chainplate,2000,P 900,90,10,,2 aft,4 inboard,", "chainplate,2000,starboard edge,90,10,,2 aft,4 inboard,")
    boat, lines = fittings(tmp_path, *rows)
    assert lines == []
    assert [(f.rake_deg, f.lean_deg) for f in boat.fittings] == [(2, 4), (2, -4)]


def test_blank_is_plumb_and_square_and_the_echo_says_so(tmp_path):
    boat, lines = fittings(tmp_path, "mast,2000,0,120,120,,,,")
    assert lines == [] and (boat.fittings[0].rake_deg, boat.fittings[0].lean_deg) == (0, 0)
    assert boat.fittings[0].shape == "square"
    assert any("Masts and chainplates are taken as plumb." in line for line in boat.echo())


def test_the_echo_says_which_way_the_top_lies(tmp_path):
    boat, _ = fittings(tmp_path, "mast,2000,0,120,120,round,1:12,1.5 P,")
    assert "Off plumb: mast raked 4.8 degrees aft and leaning 1.5 degrees to port." in " ".join(boat.echo())
    assert boat.fittings[0].shape == "round"


@pytest.mark.parametrize(
    ("row", "line", "off"),
    [
        ("mast,2000,0,120,120,,86,,", "row 2, column rake, '86': what goes through a deck stands less than 45", (0, 0)),
        ("mast,2000,0,120,120,,,4 inboard,", "row 2, column lean, '4 inboard': on the centreline nothing leans inboard",
         (0, 0)),
        ("hatch,2000,0,600,600,,4 aft,,", "row 2, column rake, '4 aft': a rake is used for a mast and for", (4, 0)),
        ("mast,2000,0,120,120,,30 aft,,", "row 2, column rake, '30 aft': 30.0 degrees off plumb is much", (30, 0)),
        ("mast,2000,0,120,120,ruond,4 aft,,", "row 2, column shape, 'ruond': one of round, square is wanted", (4, 0)),
    ],
)  # fmt: skip
def test_a_cell_that_is_not_clear_has_its_line_and_the_fitting_stays(tmp_path, row, line, off):
    boat, lines = fittings(tmp_path, row)
    assert len(lines) == 1 and line in lines[0]
    assert [(f.rake_deg, f.lean_deg) for f in boat.fittings] == [off]
