"""
Crown lines and fore-and-aft slopes with exact answers, each derived here again by sympy from the rule itself.

The hull: plan b = b0 (1 - xi^2), deck edge z = z0 + S xi^2, xi = 2x/L. B9 to B11 are with the beams.
"""

from __future__ import annotations

import numpy as np
import pytest
import sympy as sp

from deckgeom.deck.camber import Parabola
from deckgeom.deck.crown import OneMould, SameProportion
from deckgeom.deck.drawn import DrawnSection
from deckgeom.deck.even_hull import even_hull
from deckgeom.deck.humps import crown_line, find_humps
from deckgeom.deck.surface import Deck
from deckgeom.hull.sheer import Sheer

LENGTH, HALF, CROWN = 6000.0, 1500.0, 93.75
END = LENGTH / 2
STEP = LENGTH / 400

xi, s_end, c0 = sp.symbols("xi S c_0", positive=True)
one_mould = c0 * (1 - xi**2) ** 2
in_proportion = c0 * (1 - xi**2)


def deck(rule, rise=0.0) -> Deck:
    return Deck(even_hull(LENGTH, HALF, 900.0, rise), rule("parabola", CROWN))


def straight(start, slope):
    """A straight line with its derivatives."""
    p = np.polynomial.Polynomial([start, slope])
    return lambda x, order=0: (p.deriv(order) if order else p)(np.asarray(x, float))


def test_b1_one_mould_on_a_flat_sheer():
    profile = crown_line(deck(OneMould))
    part = profile.x / END
    assert profile.camber / CROWN == pytest.approx((1 - part**2) ** 2, abs=1e-12)
    roots = sp.solve(sp.diff(one_mould, xi, 2), xi)
    assert roots == [1 / sp.sqrt(3)]
    assert np.array(profile.inflections) / END == pytest.approx(np.array([-1, 1]) * float(roots[0]), abs=1e-5)
    assert float(deck(OneMould).camber(END / np.sqrt(3))) / CROWN == pytest.approx(4 / 9, abs=1e-12)


def test_b1_hump_amidships_and_hollow_ends_measured_with_a_batten():
    profile = crown_line(deck(OneMould))
    # a batten from either end touches at xi = 1/3; the gap under it is greatest at the other root of its condition
    touch = sp.solve(sp.Eq(one_mould, -sp.diff(one_mould, xi) * (1 - xi)), xi)
    assert sp.Rational(1, 3) in touch
    chord = one_mould.subs(xi, sp.Rational(1, 3)) * (1 - xi) / (1 - sp.Rational(1, 3))
    where = [r for r in sp.solve(sp.diff(chord - one_mould, xi), xi) if r.is_real and 0.4 < r < 1][0]
    gap = float((chord - one_mould).subs({xi: where, c0: CROWN}))
    assert [hump.kind for hump in profile.humps] == ["hollow", "hollow"]
    for hump, side in zip(profile.humps, (-1, 1), strict=True):
        assert hump.gap == pytest.approx(gap, abs=0.01)  # a batten over points 15 mm apart
        assert hump.x / END == pytest.approx(side * float(where), abs=1e-3)
        assert sorted(abs(v) / END for v in (hump.start, hump.end)) == pytest.approx([1 / 3, 1], abs=STEP / END)
    amidships = find_humps(profile.x, profile.height, "hollow")
    assert [(h.kind, round(h.gap, 9)) for h in amidships] == [("hump", CROWN)]


def test_b2_same_proportion_on_a_flat_sheer_has_no_inflection():
    profile = crown_line(deck(SameProportion))
    assert profile.camber / CROWN == pytest.approx(1 - (profile.x / END) ** 2, abs=1e-12)
    assert sp.solve(sp.diff(in_proportion, xi, 2), xi) == []
    assert (profile.inflections, profile.humps) == ((), ())


@pytest.mark.parametrize("rise", [0.4, 1.0, 1.7])
def test_b3_same_proportion_with_end_sheer(rise):
    profile = crown_line(deck(SameProportion, rise * CROWN))
    part = profile.x / END
    assert profile.height - 900 == pytest.approx(CROWN + (rise - 1) * CROWN * part**2, abs=1e-9)
    if rise == 1.0:
        assert np.ptp(profile.height) < 1e-9, "dead straight"
        assert profile.inflections == ()


@pytest.mark.parametrize(("rise", "least", "where"), [(1.0, 0.75, np.sqrt(0.5)), (1.5, 0.9375, 0.5)])
def test_b4_one_mould_with_end_sheer_dips(rise, least, where):
    line = s_end * xi**2 + one_mould
    low = sp.solve(sp.diff(line.subs(s_end, sp.Rational(rise) * c0), xi), xi)
    assert [float(v) for v in low] == pytest.approx([where])
    profile = crown_line(deck(OneMould, rise * CROWN))
    i = np.argmin(profile.height)
    assert (profile.height[i] - 900) / CROWN == pytest.approx(least, abs=1e-5)
    assert abs(profile.x[i]) / END == pytest.approx(where, abs=STEP / END)
    (hump,) = profile.humps
    assert hump.gap / CROWN == pytest.approx(1 - least, abs=2e-5)
    assert (hump.start / END, hump.end / END, hump.x) == pytest.approx((-where, where, 0), abs=STEP / END)


def test_b4_no_hump_from_an_end_sheer_of_twice_the_camber():
    assert crown_line(deck(OneMould, 2.0 * CROWN)).humps == ()
    assert crown_line(deck(OneMould, 2.0 * CROWN)).inflections == ()
    assert crown_line(deck(OneMould, 1.9 * CROWN)).inflections != ()
    assert crown_line(deck(OneMould, 1.9 * CROWN)).humps != ()


DROPS = DrawnSection([310, 700, 1010, 1400], [4, 20, 47, 84])


@pytest.mark.parametrize(
    "shape", ["circle", "parabola", "quarter-circle", DROPS], ids=["circle", "parabola", "quarter", "drawn"]
)
def test_b5_one_mould_of_any_shape_is_a_surface_of_translation(shape):
    hull = even_hull(LENGTH, HALF, 900.0, 260.0)
    made = Deck(hull, OneMould(shape, None if shape is DROPS else CROWN), 14.0)
    x = np.array([-2200.0, -700.0, 450.0, 1900.0])[:, None]
    u = np.array([-1.0, -0.6, 0.0, 0.3, 1.0])
    along = made.slopes(x, u * hull.half_breadth("port", x))[0]
    assert along == pytest.approx(np.broadcast_to(along[:, 2:3], along.shape), abs=1e-13)
    other = Deck(hull, SameProportion(shape, CROWN)).slopes(x, u * hull.half_breadth("port", x))[0]
    assert np.min(np.ptp(other, axis=1)) > 1e-3


def test_b6_same_proportion_parabola():
    # sympy from the rule: z = zs(x) + 2 r b (1 - y^2/b^2), then y = u b
    x, y, u, r = sp.symbols("x y u r", positive=True)
    b, zs = sp.Function("b")(x), sp.Function("z_s")(x)
    slope = sp.diff(zs + 2 * r * b * (1 - y**2 / b**2), x).subs(y, u * b)
    assert sp.simplify(slope - (sp.diff(zs, x) + 2 * r * sp.diff(b, x) * (1 + u**2))) == 0
    hull = even_hull(LENGTH, HALF, 900.0, 260.0)
    at, part = np.array([-2000.0, 300.0, 1750.0])[:, None], np.array([-1.0, -0.4, 0.0, 0.7, 1.0])
    made = Deck(hull, SameProportion("parabola", 1 / 32)).slopes(at, part * hull.half_breadth("port", at))[0]
    by_hand = hull.height("port", at, 1) + 2 / 32 * hull.half_breadth("port", at, 1) * (1 + part**2)
    assert made == pytest.approx(by_hand, abs=1e-13)


def sloping(rule) -> Deck:
    """Half-breadth 1.2 m and growing by .15, sheer falling by .05, at x = 0."""
    return Deck(Sheer.from_curves(straight(1200, 0.15), straight(900, -0.05), start=-2000, end=2000), rule)


def test_b8_slope_across_a_beam_from_one_mould():
    # one mould of half-breadth 1.5 m and camber .09375 m, whatever the widest beam of this hull is
    mould = DrawnSection([500, 1000, 1500], Parabola(1500, 93.75).drop([500, 1000, 1500]))
    for rule in (OneMould(mould), OneMould("parabola", "93.75 on 3 m")):
        made = sloping(rule).slopes(0.0, np.array([-1200.0, 0.0, 600.0, 1200.0]))[0]
        assert made + 0.05 == pytest.approx(np.full(4, 0.015), abs=1e-12)
        assert np.degrees(np.arctan(made)) == pytest.approx(np.full(4, -2.0045), abs=5e-5)
