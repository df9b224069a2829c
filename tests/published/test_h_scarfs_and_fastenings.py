"""Scarfs and screws: a limit of the sources from both of its sides. The values are in the file of values."""

from __future__ import annotations

from deckgeom.laying.fastenings_hold import fastening_length
from deckgeom.laying.scarfs import AIRCRAFT_RATIO, Scarf


def test_steepest_in_plywood_skins():
    """FAA AC 43.13-1B, para 1-51c: 1:12."""
    assert AIRCRAFT_RATIO == 12
    assert Scarf(9, 11.9).warnings and not Scarf(9, 12).warnings


def test_seven_diameters_for_the_full_load_sideways():
    """USDA Wood Handbook FPL-GTR-282, chapter 8, read in a reprint."""
    assert fastening_length("wood screw", 4.0, 10, 80, (38,), gravity=0.5).length == 38
    assert fastening_length("wood screw", 4.0, 10, 80, (37,), gravity=0.5).length is None
