"""Scarfs against trigonometry done another way, limits and what the bench shows."""

from __future__ import annotations

import numpy as np
import pytest
from shapely.affinity import translate
from shapely.geometry import Polygon

from deckgeom.laying.scarfs import Scarf, joined_length


def profile(length, thickness, taper, top):
    """Side view of a sheet whose right end is tapered from the top or whose left end is tapered from below."""
    if top:
        return Polygon([(0, 0), (length, 0), (length - taper, thickness), (0, thickness)])
    return Polygon([(taper, 0), (length, 0), (length, thickness), (0, thickness)])


@pytest.mark.parametrize(("t", "n"), [(4, 8), (9, 8), (12.3, 12), (19, 10)])
def test_two_profiles_fit_without_gap_or_overlap(t, n):
    scarf = Scarf(t, n)
    whole = joined_length([2440, 1000], scarf)
    lower = profile(2440, t, scarf.cut_back, True)
    upper = translate(profile(1000, t, scarf.cut_back, False), whole - 1000, 0)
    assert lower.intersection(upper).area == pytest.approx(0, abs=1e-6)
    assert lower.union(upper).area == pytest.approx(whole * t, rel=1e-12)
    assert scarf.slope_length * np.cos(np.radians(scarf.angle_deg)) == pytest.approx(scarf.length)


def test_shear_is_the_stress_turned_by_the_angle():
    for n in (5, 8, 12, 20):
        a = np.radians(Scarf(9, n).angle_deg)
        turn = np.array([[np.cos(a), np.sin(a)], [-np.sin(a), np.cos(a)]])
        stress = turn @ np.array([[1.0, 0], [0, 0]]) @ turn.T
        assert abs(stress[0, 1]) == pytest.approx(Scarf(9, n).shear_part)
    assert Scarf(9, 1e6).shear_part == pytest.approx(1e-6)


def test_one_piece_keeps_its_length_and_order_does_not_matter():
    scarf = Scarf(6, 8)
    assert joined_length([1234.5], scarf) == 1234.5
    assert joined_length([2440, 900, 1220], scarf) == joined_length([1220, 2440, 900], scarf) == 4560 - 96
    assert scarf.stepped_lines(3) == (0, 48, 96, 144)


def test_steeper_than_aircraft_practice_is_said():
    assert Scarf(9, 12).warnings == ()
    assert "steeper than aircraft practice: 12:1" in Scarf(9, 8).words()[-1]
    words = Scarf(9.525, 8).words("in")
    assert "3 in long" in words[0] and "7.1 degrees" in words[0]


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: Scarf(0, 8), "thickness 0 mm of a scarfed piece: it is above 0"),
        (lambda: Scarf(9, 0.125), "0.125:1 is steeper than 3:1.*1:8 for 8:1"),
        (lambda: joined_length([2440, 60], Scarf(9, 8)), "piece 2 is 60 mm long and its tapers take 72 mm"),
        (lambda: Scarf(9).stepped_lines(0), "a stack of 0 sheets"),
    ],
)
def test_what_cannot_be_is_said(make, words):
    with pytest.raises(ValueError, match=words):
        make()
