"""The user's own figures: as tins print them, and how they go wrong."""

from __future__ import annotations

import pytest

from deckgeom.boat.log import Log
from deckgeom.boat.own_rows_file import own_rows
from deckgeom.laying.glue import Layer, amount, figures


@pytest.fixture
def read(tmp_path):
    def reader(text: str, encoding: str = "utf-8"):
        path = tmp_path / "figures.csv"
        path.write_bytes(text.encode(encoding))
        log = Log()
        return own_rows(path, log), [str(complaint) for complaint in log.complaints()]

    return reader


def test_a_tin_in_square_feet_to_the_quart(read):
    """80 square feet to the US quart is 7.85 m2 to the litre."""
    rows, lines = read("what,likely,unit,note\ndeck paint,80,sq ft/qt,grey\nother,320,sq ft/gal,\n")
    assert lines == []
    assert [row["likely"] for row in rows] == pytest.approx([7.85, 7.85], abs=0.005)
    assert rows[0]["low"] == rows[0]["high"] == rows[0]["likely"] and rows[0]["unit"] == "m2/L"
    assert rows[0]["source"] == "figures.csv, row 2: grey"
    band = amount(Layer("coat", 15.7, "deck paint"), rows)
    assert band.likely == pytest.approx(2.0, abs=0.002) and "figures.csv, row 2: grey" in band.basis


def test_an_own_row_takes_the_place_of_the_table_s_and_semicolons_are_read(read):
    text = "\ufeffwhat;low;likely;high;unit\r\nglue in a scarf;0,2;0,25;0,5;MM\r\n"
    rows, lines = read(text)
    assert lines == []
    row = figures(rows)["glue in a scarf"]
    assert (row["low"], row["likely"], row["high"], row["unit"]) == (0.2, 0.25, 0.5, "mm")


@pytest.mark.parametrize(
    ("row", "words"),
    [
        (",,3,,mm", "row 3, column what: a figure has a name, a likely value and a unit; it is left out"),
        ("x,1,,2,mm", "row 3, column likely: a figure has a name"),
        ("x,,3,,", "row 3, column unit: a figure has a name"),
        ("x,,about 3,,mm", "row 3, column likely, 'about 3': a number is wanted"),
        ("x,,-3,,mm", "row 3, column likely, '-3': a number above 0 is wanted"),
        ("x,,nan,,mm", "row 3, column likely, 'nan': a number above 0 is wanted"),
        ("x,4,3,,mm", "row 3, column likely, '4, 3, 3': low, likely and high rise; the row is left out"),
        ("x,,3,,m2/quart", "row 3, column unit, 'm2/quart': "),
        ("good,,3,,mm", "row 3, column what, 'good': each figure stands once"),
    ],
)
def test_a_row_that_is_not_clear_is_left_out(read, row, words):
    rows, lines = read(f"what,low,likely,high,unit\ngood,1,2,3,mm\n{row}\n")
    assert [each["what"] for each in rows] == ["good"]
    assert len(lines) == 1 and lines[0].startswith(f"figures.csv, {words}")
