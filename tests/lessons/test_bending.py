"""
The batten with its ducks, and the bevel of one beam.

Sources: beam tables (Roark, *Formulas for Stress and Strain*) for the force that draws a bar down at one support;
Holladay 1957 for the batten as a natural cubic spline. The slopes of a deck are derived, here by sympy.
"""

from __future__ import annotations

import numpy as np
import pytest
import sympy as sp
from scipy.interpolate import CubicSpline

from deckgeom.lessons.bevels import bevel_across
from deckgeom.lessons.ducks import FLOOR_BATTEN, fair_marks, hold_batten

EVEN = np.arange(5) * 1000.0


def natural(place, at, where):
    return CubicSpline(place, at, bc_type="natural")(where)


@pytest.mark.parametrize(("ducks", "k"), [(3, 6.0), (5, 13.714)])
def test_j3_the_force_at_one_duck_out_of_line(ducks, k):
    # P = k EI d / L^3: k is 6 for two spans, 13.714 for four, from the three-moment equation; half of the last digit
    at = np.zeros(ducks)
    at[ducks // 2] = -3.0
    held = hold_batten(np.arange(ducks) * 1000.0, at)
    wanted = k * FLOOR_BATTEN.stiffness * 3.0 / 1000.0**3
    assert held.force[ducks // 2] == pytest.approx(-wanted, rel=4e-5)
    assert held.force.sum() == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize("lifted", [(), (2,), (1, 4)])
def test_the_batten_springs_to_the_natural_spline_of_the_ducks_that_stay(lifted):
    place, at = np.array([0, 700, 1900, 2500, 4000, 5200.0]), np.array([0, 130, 260, 300, 220, 0.0])
    held = hold_batten(place, at, lifted)
    for k in range(1, 5):
        stay = [one for one in range(6) if one != k and one not in lifted]
        assert held.spring[k] == pytest.approx(natural(place[stay], at[stay], place[k]) - at[k], abs=1e-8)
    assert held.spring[[0, 5]].tolist() == [0, 0] and np.all(held.force[list(lifted)] == 0)


def test_ducks_on_a_straight_line_feel_nothing():
    held = hold_batten(EVEN, 0.05 * EVEN)
    assert held.spring == pytest.approx(np.zeros(5), abs=1e-9) and held.force == pytest.approx(np.zeros(5), abs=1e-9)


@pytest.mark.parametrize("place", [np.arange(7) * 1000.0, np.array([0, 300, 900, 1000, 2600, 3500, 4000.0])])
@pytest.mark.parametrize("k", [1, 2, 3, 4, 5])
def test_the_duck_that_was_pushed_eases_a_straight_batten_most(place, k):
    """All of the bend goes with it, and less with any other, even where a neighbour springs further."""
    at = np.zeros(7)
    at[k] = -20.0
    held = hold_batten(place, at)
    assert held.worst == k and held.ease[k] == pytest.approx(1, abs=1e-9)
    others = [one for one in range(1, 6) if one != k]
    assert np.all(held.ease[others] < 1 - 1e-6)
    assert held.spring[k] == pytest.approx(20.0, abs=1e-9)


def test_a_neighbour_near_the_end_may_spring_further_than_the_duck_that_was_pushed():
    place, marks = fair_marks(6000, 120)
    marks = marks - np.array([0, 0, 16.0, 0, 0, 0, 0])
    held = hold_batten(place, marks)
    assert held.worst == 2 and abs(held.spring[1]) > abs(held.spring[2])


def test_what_eases_the_batten_is_the_bending_that_goes():
    """The energy of the two splines, with and without the duck, by their own integrals."""
    place, at = np.array([0, 700, 1900, 2500, 4000, 5200.0]), np.array([0, 130, 260, 300, 220, 0.0])

    def bending(stay):
        bend = CubicSpline(place[stay], at[stay], bc_type="natural").derivative(2)
        fine = np.unique(np.concatenate([place[stay], np.linspace(0, 5200, 2001)]))
        middle = (fine[1:] + fine[:-1]) / 2
        ends = bend(fine) ** 2
        return float(np.sum(np.diff(fine) * (ends[:-1] + 4 * bend(middle) ** 2 + ends[1:])) / 6)  # exact: Simpson

    held, whole = hold_batten(place, at), bending(list(range(6)))
    for k in range(1, 5):
        left = bending([one for one in range(6) if one != k])
        assert held.ease[k] == pytest.approx(1 - left / whole, abs=1e-9)


def test_the_fair_marks_are_those_of_an_evenly_loaded_bar_and_the_batten_runs_through_them():
    x = sp.symbols("x")
    bar = sp.integrate(sp.integrate(sp.integrate(sp.integrate(sp.Integer(1), x), x), x), x)
    first, second = sp.symbols("first second")
    bar = bar + first * x**3 + second * x  # no bend and no height at x = 0
    ends = sp.solve([bar.subs(x, 1), sp.diff(bar, x, 2).subs(x, 1)], [first, second])
    shape = bar.subs(ends)
    shape = sp.lambdify(x, shape / shape.subs(x, sp.Rational(1, 2)))
    place, marks = fair_marks(6000, 80, 9)
    assert marks == pytest.approx(80 * shape(place / 6000), abs=1e-9)
    held = hold_batten(*fair_marks(6000, 120))
    assert np.max(np.abs(held.spring)) < 1


def test_swapped_end_for_end_the_ducks_feel_the_same():
    at = np.array([0, 90, 130, 80, 0.0])
    there, back = hold_batten(EVEN, at), hold_batten(EVEN, at[::-1])
    assert back.spring[::-1] == pytest.approx(there.spring, abs=1e-9)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: hold_batten([0, 2, 1], [0, 0, 0]), "one after another: two are at one place, or have changed"),
        (lambda: hold_batten(EVEN, EVEN, (0,)), "The first and last duck hold the ends"),
        (lambda: bevel_across(1200, 0.1, 0.0, 75, 40, "by eye"), "'by eye' is none of the rules of this lesson"),
    ],
)
def test_what_cannot_be_is_refused(call, words):
    with pytest.raises(ValueError, match=words):
        call()


def test_b6_b7_same_proportion():
    # b 1.2 m, b' .15, zs' -.05, r 1/32 at u 0, 1/2, 1: printed to the last digit, derived again by sympy
    across = bevel_across(1200, 0.15, -0.05, 75, 40)
    picked = across.from_camber[::20]
    assert picked == pytest.approx([0.009375, 0.011719, 0.01875], abs=5e-7)
    assert across.degrees[::20] == pytest.approx([-2.3264, -2.1923, -1.7899], abs=5e-5)
    x, y, b, slope, r = sp.symbols("x y b slope r")
    half = b + slope * x
    height = 2 * r * half * (1 - (y / half) ** 2)
    at = {x: 0, b: 1200, slope: sp.Rational(15, 100), r: sp.Rational(1, 32)}
    second = [float(sp.diff(height, x).subs(at | {y: 1200 * u})) for u in (0, sp.Rational(1, 2), 1)]
    assert picked == pytest.approx(second, abs=1e-12)


def test_b8_one_mould_is_the_same_at_every_u():
    across = bevel_across(1200, 0.15, -0.05, 93.75, 40, "one mould", 1500)
    assert across.from_camber == pytest.approx(np.full(41, 0.015), abs=1e-12)
    assert across.degrees == pytest.approx(np.full(41, -2.0045), abs=5e-5)


def test_b9_b10_rise_over_the_siding():
    # siding 2 in, slope 1:12: .16667 in, 4.7636 degrees; siding 1 3/4 in, 3 degrees: .0917 in
    flat = bevel_across(1200, 0.0, 1 / 12, 75, 2 * 25.4)
    assert flat.rise[0] / 25.4 == pytest.approx(0.16667, abs=5e-6)
    assert flat.degrees[0] == pytest.approx(4.7636, abs=5e-5)
    three = bevel_across(1200, 0.0, np.tan(np.radians(3)), 75, 1.75 * 25.4)
    assert three.rise / 25.4 == pytest.approx(np.full(41, 0.0917), abs=5e-5)


def test_a_beam_where_nothing_changes_is_square():
    assert bevel_across(1200, 0.0, 0.0, 75, 40).degrees.tolist() == [0.0] * 41


def test_the_other_way_round_the_bevel_turns_about():
    there, back = bevel_across(1200, 0.15, -0.05, 75, 40), bevel_across(1200, -0.15, 0.05, 75, 40)
    assert back.slope == pytest.approx(-there.slope, abs=1e-15)
