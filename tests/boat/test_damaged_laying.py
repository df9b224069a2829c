"""What is wrong in the section [laying] is said in one line, and the rest of it is used."""

from __future__ import annotations

import pytest

from deckgeom.boat import default_settings
from deckgeom.boat.ways_reader import ways
from deckgeom.laying.ways import DeckLayer, Way
from deckgeom.units import LengthError

RULE = 'Write [["two skins", "ply 9 mm", "ply 6 mm", "cloth"]].'


def said(typed, units="mm") -> str:
    with pytest.raises(LengthError) as error:
        ways(typed, units)
    return f"{error.value.text} | {error.value.rule} | {error.value.slip} | {error.value.advice}"


def test_a_way_as_a_person_writes_it():
    found = ways([["old  way", "Planks 12.4mm, 3in wide", "ply 6.3mm", "cloth"],
                  ["laid", "plywood 3/8 in", "laid 3/8, 2 wide, sprung, king plank 5, covering board 4 1/2"]],
                 "in")  # fmt: skip
    assert found[0] == Way("old way", (DeckLayer("planks", 12.4, 76.2), DeckLayer("ply", 6.3), DeckLayer("cloth")))
    assert found[1].layers[0].thickness == pytest.approx(9.525)
    assert found[1].layers[1] == DeckLayer("planks", 9.525, 50.8, "sprung", 127.0, 114.3)
    assert found[0].thickness == pytest.approx(18.7)


def test_a_decimal_comma_is_no_comma_between_options():
    assert ways([["a", "planks 12,5 mm, 50 mm wide"]], "mm")[0].layers[0].thickness == 12.5


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        (["ply 9 mm", "cloth"], "one pair of brackets left out"),
        ([["skins"]], "a way has a name and at least one layer"),
        ([["a", "9 mm ply"]], 'a layer begins with "planks", "ply" or "cloth" | the thickness written first'),
        ([["a", "plyw 9 mm"]], 'plyw 9 mm | a layer begins with "planks", "ply" or "cloth" | "ply" was meant'),
        ([["a", "ply"]], "ply | planks and ply have a thickness | it was left out"),
        ([["a", "planks 9 mm"]], "planks 9 mm | planks have a width | it was left out"),
        ([["a", "planks 9 mm, 50 mm wide, sprnug"]], "'sprnug' is none of these | sprung was meant"),
        ([["a", "planks 9 mm, 50 mm wide, king 5 mm, cover bord 4 in"]], "covering board was meant"),
        ([["a", "ply 9 mm, 50 mm wide"]], "ply has no more than its thickness | an option of planks"),
        ([["a", "cloth", "ply 9 mm"]], "cloth last | two ways in one list, or layers from the top down"),
        ([["a", "planks 9 mm, 50 mm wide", "planks 9 mm, 50 mm wide"]], "planks once"),
        ([["a", "ply 9 mm"], ["a", "ply 6 mm"]], "each way has a name of its own"),
        ([["a", "ply 0"]], "this length is above nought"),
    ],
)
def test_a_way_that_cannot_be_read_says_why(typed, words):
    assert words in said(typed)


@pytest.mark.parametrize(
    ("line", "column", "words", "kept"),
    [
        ("people = 0", "people", "a whole number from 1 to 30 is wanted", 2),
        ('degc = "18"', "degc", "a number from -5 to 45 is wanted", 18),
        ('joints = "on beam"', "joints", '"on beams" was meant', "on beams"),
        ('fastening = "ring nale"', "fastening", '"ring nail" was meant', "ring nail"),
        ('cloth_width = "0"', "cloth_width", "this length is above nought", 1270.0),
        ("tins = []", "tins", "at least one number is wanted", (1, 5)),
        ('stock = ["3 m", "x"]', "stock", "", (3000.0, 3600.0, 4200.0)),
        ('ways = ["ply 9 mm"]', "ways", RULE, ()),
    ],
)
def test_a_damaged_key_falls_back_on_its_default_in_one_line(read, lines, line, column, words, kept):
    boat = read(boat_toml=f"[laying]\n{line}\nscarf = 12\n")
    found = lines(boat)
    assert len(found) == 1 and f"boat.toml, row 2, column laying.{column}" in found[0] and words in found[0]
    assert getattr(boat.settings.laying, column) == kept
    assert boat.settings.laying.scarf == 12


def test_a_key_misspelt_names_the_nearest(read, lines):
    assert lines(read(boat_toml="[laying]\ncloth_with = 3\n"))[0].endswith("Likely slip: cloth_width was meant.")


def test_every_default_says_where_it_is_from():
    settings = default_settings("ft-in-8")
    assert settings.laying.stock == pytest.approx((3048.0, 3657.6, 4267.2))
    assert settings.source("laying.stock") == "common practice, no source"
    assert settings.source("laying.film_minutes").endswith("as makers' data sheets say")
