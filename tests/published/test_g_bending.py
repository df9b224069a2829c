"""Published and derived values for bent and sawn beams: spring-back, slope of grain, layer strain."""

from __future__ import annotations

import numpy as np
import pytest

from deckgeom.deck.bending import (
    TrialBeam,
    curvature_factor,
    grain_slope,
    one_in,
    spring_back,
    spring_back_factor,
    strength_left,
    surface_strain,
)


@pytest.mark.parametrize("layers", [2, 3, 5, 9])
def test_spring_back_by_energy(layers):
    """Second route: the release moment of loose layers, taken up by the glued section, both with I = width t^3 / 12."""
    thickness = 8.0
    loose = layers * thickness**3 / 12
    glued = (layers * thickness) ** 3 / 12
    bent = 1 / 5000.0
    kept = bent - loose * bent / glued
    assert spring_back_factor(layers) == pytest.approx(bent / kept, rel=1e-12)


def test_many_layers_need_no_allowance():
    """Limit: endless thin layers keep the form's shape."""
    assert spring_back_factor(1000) == pytest.approx(1.0, abs=2e-6)
    factors = [spring_back_factor(n) for n in range(2, 12)]
    assert factors == sorted(factors, reverse=True)


def test_jig_and_back_is_a_round_trip():
    """Taking the jig's camber and springing back by (1 - 1/n^2) gives the camber wanted."""
    for layers in (2, 3, 4, 7):
        jig = spring_back(layers=layers).jig_camber(94.0)
        assert jig * (1 - 1 / layers**2) == pytest.approx(94.0, rel=1e-14)


def test_trial_beam_takes_over_and_is_applied_once():
    """A measured beam replaces the rule; the two are never multiplied together."""
    allowance = spring_back(layers=4, trial=TrialBeam(jig=110, released=100))
    assert allowance.jig_camber(100) == pytest.approx(110.0)
    assert allowance.jig_camber(100) != pytest.approx(100 * 1.1 * 16 / 15)
    assert "measured on a trial beam" in allowance.source and "set aside" in allowance.source


def test_a_beam_cannot_close_when_released():
    """The likely slip is named."""
    with pytest.raises(ValueError, match=r"110 mm of camber from a jig of 100 mm.*swapped"):
        TrialBeam(jig=100, released=110)
    with pytest.raises(ValueError, match=r"jig 0 and released 10 mm: both cambers must be above 0"):
        TrialBeam(jig=0, released=10)


@pytest.mark.parametrize("layers", [1, 0, -3, 2.5, True])
def test_layers_that_hold_no_bend(layers):
    """One layer springs all the way back."""
    with pytest.raises(ValueError, match=f"{layers!r} layers cannot hold a bend"):
        spring_back_factor(layers)


def test_neither_layers_nor_trial():
    """The message says which keys to add."""
    with pytest.raises(ValueError, match="neither is given.*`layers`"):
        spring_back()


def test_curvature_factor():
    """USDA Wood Handbook 1974, p. 10-8 (seen in a transcription): R 24 in, t 3/8 in .512, t 1/8 in .946."""
    assert curvature_factor(0.375, 24) == pytest.approx(0.512, abs=5e-4)
    assert curvature_factor(0.125, 24) == pytest.approx(0.946, abs=5e-4)
    assert curvature_factor(1.0, 24) == 0.0


def test_strength_between_and_beyond_the_rows():
    """Straight grain keeps all; between rows on the line between; steeper than the table, no figure is made up."""
    assert strength_left(0.0) == 100.0
    slopes = np.linspace(0, 0.2, 101)
    left = strength_left(slopes)
    assert np.all(np.diff(left) < 0)
    middle = (1 / 20 + 1 / 15) / 2
    assert strength_left(middle) == pytest.approx((93 + 89) / 2)
    assert np.isnan(strength_left(0.21))


def test_grain_at_the_end_of_a_sawn_beam():
    """4c/B, B 3000 c 100: 1:7.5 (derived). Second route: the end slope of a parabola by finite differences."""
    assert 1 / grain_slope(3000, 100) == pytest.approx(7.5, abs=1e-12)
    assert one_in(grain_slope(3000, 100)) == "1:7.5"
    rise = lambda y: 100 * (1 - (y / 1500) ** 2)  # noqa: E731
    assert grain_slope(3000, 100) == pytest.approx((rise(1499.999) - rise(1500.001)) / 0.002, rel=1e-9)
    with pytest.raises(ValueError, match="breadth must be above 0; 0 mm"):
        grain_slope(0, 10)


def test_surface_strain_is_what_the_outer_layer_has_over_the_middle():
    """Derived: an arc of radius R + t/2 against one of radius R, over the same angle."""
    thickness, radius, angle = 9.0, 1200.0, 0.7
    outer, middle = (radius + thickness / 2) * angle, radius * angle
    assert surface_strain(thickness, radius) == pytest.approx(outer / middle - 1, rel=1e-12)
