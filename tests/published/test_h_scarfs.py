"""Published and derived values for scarfs."""

from __future__ import annotations

import pytest

from deckgeom.laying.scarfs import AIRCRAFT_RATIO, Scarf, joined_length


def test_length_and_angle():
    """8:1, common practice; lengths and angle derived."""
    assert Scarf(10, 8).length == 80
    assert Scarf(12, 8).length == 96
    assert Scarf(12, 8).angle_deg == pytest.approx(7.125, abs=5e-4)


def test_two_sheets_joined():
    """Derived: 2440 + 2440 - 72."""
    assert joined_length([2440, 2440], Scarf(9, 8)) == 4808


def test_steepest_in_plywood_skins():
    """FAA AC 43.13-1B, para 1-51c: 1:12."""
    assert AIRCRAFT_RATIO == 12
    assert Scarf(9, 11.9).warnings and not Scarf(9, 12).warnings


@pytest.mark.parametrize(("n", "part"), [(8, 0.1231), (12, 0.0828)])
def test_shear_on_the_plane_of_the_glue(n, part):
    """n / (1 + n^2), derived; four printed digits."""
    assert Scarf(9, n).shear_part == pytest.approx(part, abs=5e-5)
