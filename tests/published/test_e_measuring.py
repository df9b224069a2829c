"""Published and derived values for measuring a hull: sagging strings, list, the water level."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import brentq

from deckgeom.hull.level import Level
from deckgeom.hull.strings import MeasuringLine, string_sag
from deckgeom.hull.water_level import water_density, water_level_error
from deckgeom.units import MM_PER_INCH

FOOT = 12 * MM_PER_INCH
POUND = 4.4482216152605  # N: 0.45359237 kg and 9.80665 m/s2, both exact by definition


def test_weight_of_the_wire_from_its_section():
    """E1, second route to w: steel .2836 lb/in3 (memory) on a section of .024 in."""
    assert np.pi / 4 * 0.024**2 * 12 * 0.2836 == pytest.approx(0.0015396, rel=1e-3)


@pytest.mark.parametrize("x", [0.0, 2000.0, 4500.0, 7999.0, 9000.0])
def test_sag_at_a_place_is_added_back_to_the_reading(x):
    """E2: w x (L - x) / 2T; derived. The top 540 under the taut line reads 540 less the sag."""
    wire = MeasuringLine("wire", 0, 9000, 1500, 1440, weight=0.0225, pull=120.0)
    sag = 0.0225 / 1000 * x * (9000 - x) / (2 * 120.0)
    top = 1500 - 60 * x / 9000 - 540
    assert wire.height_at(x) - (540 - sag) == pytest.approx(top, abs=1e-9)


def test_the_parabola_is_what_a_catenary_becomes():
    """Second route: the exact catenary with the same pull at its middle, 9 m and 4 mm of sag."""
    length, w, pull = 9000.0, 0.0225e-3, 56.953125
    a = pull / w
    exact = a * (np.cosh(length / 2 / a) - 1)
    assert string_sag(length / 2, length, 0.0225, pull) == pytest.approx(exact, rel=1e-6)
    quarter = exact - a * (np.cosh(length / 4 / a) - 1)
    assert string_sag(length / 4, length, 0.0225, pull) == pytest.approx(quarter, rel=1e-6)


def test_pull_found_back_from_the_sag():
    """Round trip: the pull that gives a measured sag gives the same sag everywhere."""
    pull = brentq(lambda t: float(string_sag(4000, 8000, 0.02, t)) - 3.0, 1, 1e4)
    measured = MeasuringLine("string", 0, 8000, 900, 900, sag=3.0)
    pulled = MeasuringLine("string", 0, 8000, 900, 900, weight=0.02, pull=pull)
    x = np.linspace(0, 8000, 9)
    assert measured.height_at(x) == pytest.approx(pulled.height_at(x), abs=1e-9)


def test_half_a_degree_of_list_in_a_hundred_feet():
    """E3: 10.472 in; derived (1200 sin .5 deg)."""
    level = Level(list=np.sin(np.radians(0.5)))
    rise = level.measured_height(0, 50 * FOOT, 0) - level.measured_height(0, -50 * FOOT, 0)
    assert rise / MM_PER_INCH == pytest.approx(10.472, abs=0.0005)
    assert level.list_deg == pytest.approx(0.5, abs=1e-12)


def test_water_level_with_one_warm_leg():
    """E4: 1 m riser, 15 against 25 deg C, 2.06 mm; densities 999.10, 997.05 kg/m3 from memory, to one last digit."""
    assert water_density([15.0, 25.0]) == pytest.approx([999.10, 997.05], abs=0.01)
    assert water_level_error(1000, 15, 25) == pytest.approx(2.06, abs=0.005)
    assert water_level_error(1000, 15, 25) == pytest.approx(1000 * (999.10 / 997.05 - 1), abs=0.01)
    assert water_level_error(1000, 20, 20) == 0.0


def test_water_is_densest_at_four_degrees():
    """999.97 kg/m3 near 3.98 deg C: common knowledge, from memory."""
    t = np.linspace(0, 10, 1001)
    assert t[np.argmax(water_density(t))] == pytest.approx(3.98, abs=0.05)
    assert water_density(3.98) == pytest.approx(999.97, abs=0.01)


@pytest.mark.parametrize("x", [0.0, 1500.0, 6100.0, 9000.0])
def test_a_string_named_from_its_after_end_hangs_as_it_does_named_from_forward(x):
    """Identity: which end is written first says nothing."""
    forward = MeasuringLine("wire", 0, 9000, 1500, 1440, weight=0.0225, pull=120.0)
    aft = MeasuringLine("wire", 9000, 0, 1440, 1500, weight=0.0225, pull=120.0)
    assert aft.height_at(x) == pytest.approx(float(forward.height_at(x)), abs=1e-9)
