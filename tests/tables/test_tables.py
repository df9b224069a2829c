"""Tables of the trade: every row has a source, and the figures agree with the code that uses them."""

from __future__ import annotations

import numpy as np
import pytest

from deckgeom.deck.bending import GRAIN_TABLE, strength_left
from deckgeom.tables import SEEN, table


@pytest.mark.parametrize("name", ["coverage", "fasteners", "grain_slope", "plywood", "timber", "timber_gravity"])
def test_every_row_says_where_it_is_from_and_how_it_was_seen(name):
    rows = table(name)
    assert rows
    for row in rows:
        assert row["source"] and row["seen"] in SEEN and None not in row and None not in row.values()


def test_an_unknown_table_names_the_known_ones():
    with pytest.raises(KeyError, match="timber"):
        table("timbre")


@pytest.mark.parametrize(
    ("timber", "strength", "modulus"),
    [("Douglas-fir, coast", 85.5, 13.44), ("western redcedar", 51.7, 7.65), ("white oak", 104.8, 12.27)],
)
def test_clear_wood(timber, strength, modulus):
    """USDA Wood Handbook FPL-GTR-282, table 5-3b, 12 % moisture, read in a transcription."""
    (row,) = [row for row in table("timber") if row["timber"] == timber]
    assert (float(row["bending_strength_mpa"]), float(row["modulus_gpa"])) == (strength, modulus)


@pytest.mark.parametrize(
    ("timber", "psi", "million_psi"), [("Douglas-fir, coast", 12_400, 1.95), ("white oak", 15_200, 1.78)]
)
def test_clear_wood_in_the_units_that_it_was_tested_in(timber, psi, million_psi):
    """The same rows in pounds per square inch: from memory, so they only guard against a slip of units or of a row."""
    (row,) = [row for row in table("timber") if row["timber"] == timber]
    pascals = 4.4482216152605 / 0.0254**2
    assert float(row["bending_strength_mpa"]) == pytest.approx(psi * pascals / 1e6, abs=0.06)
    assert float(row["modulus_gpa"]) == pytest.approx(million_psi * pascals / 1e3, abs=0.006)


def test_slope_of_grain_is_the_table_that_the_beams_use():
    """USDA Wood Handbook FPL-GTR-190, table 5-12: 1:25 96 %, 1:20 93 %, 1:15 89 %, 1:10 81 %, 1:5 55 %."""
    rows = table("grain_slope")
    printed = np.array([[float(row["slope"]), float(row["strength_left_percent"])] for row in rows])
    assert printed == pytest.approx(np.array(GRAIN_TABLE), rel=1e-15)
    for row in rows[1:]:
        assert float(row["slope"]) * float(row["one_in"]) == pytest.approx(1)
        assert strength_left(1 / float(row["one_in"])) == pytest.approx(float(row["strength_left_percent"]))
    assert np.all(np.diff(printed[:, 0]) > 0) and np.all(np.diff(printed[:, 1]) < 0)
