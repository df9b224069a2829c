"""Published values for nails and screws: USDA Wood Handbook FPL-GTR-282, chapter 8, read in a reprint."""

from __future__ import annotations

import pytest

from deckgeom.laying.fastenings_hold import fastening_length, screw_diameter, withdrawal


@pytest.mark.parametrize(
    ("what", "gravity", "diameter", "depth", "newtons"),
    [("wood screw", 0.48, None, 25, 3012), ("ring nail", 0.50, 3, 30, 1745), ("smooth nail", 0.48, 3, 30, 778)],
)
def test_withdrawal(what, gravity, diameter, depth, newtons):
    """Equations 8-10, 8-2a, 8-1; four printed digits, from the screw's shank as printed (4.83 mm)."""
    found = withdrawal(what, gravity, diameter or 4.83, depth)
    assert found == pytest.approx(newtons, abs=1)


@pytest.mark.parametrize(("gauge", "mm"), [(8, 4.17), (10, 4.83)])
def test_shank_by_gauge(gauge, mm):
    """.060 + .013 N inches; two printed decimals."""
    assert screw_diameter(gauge) == pytest.approx(mm, abs=0.005)


def test_seven_diameters_for_the_full_load_sideways():
    assert fastening_length("wood screw", 4.0, 10, 80, (38,), gravity=0.5).length == 38
    assert fastening_length("wood screw", 4.0, 10, 80, (37,), gravity=0.5).length is None
