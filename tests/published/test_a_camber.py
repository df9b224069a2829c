"""
Published and derived values of camber and its layout.

Sources: Euclid, *Elements*, books III.21 and III.35; Emary, *A Comprehensive Practical Geometry for Builders* (equal
division); the British freeboard tables of the 1880s, clause 17; W. P. Stephens, *Canoe and Boat Building* (1880s),
plate of "Raritania". The quarter-circle construction is common practice, no source. The rest is derived, each by a
second route here.
"""

from __future__ import annotations

import mpmath
import numpy as np
import pytest
import sympy as sp
from scipy.optimize import minimize_scalar

from deckgeom.deck.camber import Circle, Parabola, QuarterCircle
from deckgeom.deck.figure import CamberFigure
from deckgeom.deck.figure_text import FigureError
from deckgeom.deck.layout import (
    equal_division,
    quarter_circle_division,
    recognise,
    straight_edges_angle_deg,
)

QUARTERS = np.array([0.25, 0.5, 0.75])
INCH = 25.4


def arc_through_three_points(half, rise):
    """Centre and radius of the circle through both beam ends and the crown, by sympy's own geometry."""
    ends = sp.Point(-sp.Rational(half), 0), sp.Point(sp.Rational(half), 0)
    circle = sp.Circle(*ends, sp.Point(0, sp.Rational(rise)))
    return circle.center.y, circle.radius


def test_a1_radius_edge_slope_and_length_of_an_arc():
    # 385.5 in; 7.15267 deg; .24981 in: R = (b^2 + c^2)/2c, Euclid III.35
    arc = Circle(48, 3)
    centre, radius = arc_through_three_points(48, 3)
    assert radius == sp.Rational(771, 2)
    assert arc.radius == 385.5
    assert arc.edge_slope_deg == pytest.approx(7.15267, abs=1e-5)
    assert arc.edge_slope_deg == pytest.approx(float(sp.deg(sp.atan2(48, -centre))), abs=1e-12)
    length = mpmath.quad(lambda y: mpmath.sqrt(1 + y**2 / (385.5**2 - y**2)), [-48, 0, 48])
    assert arc.arc_length - 96 == pytest.approx(0.24981, abs=5e-6)
    assert arc.arc_length == pytest.approx(float(length), abs=1e-10)


def test_a2_radius_in_millimetres():
    assert Circle(1500, 100).radius == pytest.approx(11300, abs=1e-6)
    assert arc_through_three_points(1500, 100)[1] == 11300


@pytest.mark.parametrize(
    ("ratio", "printed"), [(32, (0.93773, 0.75073, 0.43846)), (9, (0.94027, 0.75903, 0.44972))], ids=["a3", "a4"]
)
def test_a3_a4_circle_at_the_quarters(ratio, printed):
    assert Circle.fraction(QUARTERS, 2 / ratio) == pytest.approx(np.array(printed), abs=6e-6)
    centre, radius = arc_through_three_points(ratio, 2)
    for u, part in zip(
        (sp.Rational(1, 4), sp.Rational(1, 2), sp.Rational(3, 4)), Circle.fraction(QUARTERS, 2 / ratio), strict=True
    ):
        y = centre + sp.sqrt(radius**2 - (u * ratio) ** 2)
        assert part == pytest.approx(float(y / 2), abs=1e-13)


def test_a5_parabola_at_the_quarters_is_exact():
    # Emary: the equal-division method
    assert Parabola.fraction(QUARTERS).tolist() == [15 / 16, 3 / 4, 7 / 16]
    assert equal_division(1200, 16, 4).height.tolist() == [16, 15, 12, 7, 0]


def test_a6_quarter_circle_by_slant_lengths():
    printed = (0.93336, 0.73681, 0.42033)
    assert QuarterCircle.fraction(QUARTERS) == pytest.approx(np.array(printed), abs=6e-6)
    # the construction itself, in complex numbers: a point on the arc less the point on the base
    u = np.linspace(0, 1, 33)
    slant = np.abs(1j * np.exp(-0.5j * np.pi * u) - u)
    assert QuarterCircle.fraction(u) == pytest.approx(slant, abs=1e-14)
    assert quarter_circle_division(1200, 100, 32).height == pytest.approx(100 * slant, abs=1e-11)


def test_a7_the_known_slips_of_the_quarter_circle_are_recognised():
    # vertical heights where slant lengths are wanted: arc divided .70711, base divided .86603
    cosine, ellipse = np.sqrt(0.5), np.sqrt(0.75)
    assert (round(cosine, 5), round(ellipse, 5)) == (0.70711, 0.86603)
    for part, word in ((cosine, "cosine"), (ellipse, "ellipse")):
        found = recognise(1200, 100, [600], [100 * part])
        assert found.slip and word in found.words
        assert found.worst == pytest.approx(0, abs=1e-10)
    right = recognise(1200, 100, 1200 * QUARTERS, QuarterCircle(1200, 100).height(1200 * QUARTERS))
    assert (right.words, right.slip) == ("quarter circle, slant lengths", False)
    assert abs(QuarterCircle.fraction(0.5) - cosine) > 0.02


def test_a8_circle_less_parabola():
    k = 2 / 32
    u = np.linspace(0, 1, 20001)
    gap = Circle.fraction(u, k) - Parabola.fraction(u)
    assert np.max(gap) == pytest.approx(9.766e-4, abs=1e-6)
    assert u[np.argmax(gap)] == pytest.approx(0.71, abs=0.005)
    # leading term of the series in k, by sympy: k^2 u^2 (1 - u^2) = 4 (c/B)^2 u^2 (1 - u^2), greatest at u^2 = 1/2
    s, v = sp.symbols("s v", positive=True)
    half = (1 + s**2) / 2
    series = sp.series(1 - v**2 / (half + sp.sqrt(half**2 - s**2 * v**2)) - (1 - v**2), s, 0, 4).removeO()
    assert sp.simplify(series - s**2 * v**2 * (1 - v**2)) == 0
    assert Circle.partials(np.sqrt(0.5), 0.0)[2] == pytest.approx(0.25)


def test_a9_quarter_circle_less_parabola():
    def gap(u):
        return QuarterCircle.fraction(u) - Parabola.fraction(u)

    found = minimize_scalar(gap, bounds=(0.5, 0.9), method="bounded", options={"xatol": 1e-9})
    assert found.fun == pytest.approx(-0.01747, abs=6e-6)
    assert found.x == pytest.approx(0.7048, abs=6e-5)


def test_a10_two_straight_edges_over_three_nails():
    assert straight_edges_angle_deg(48, 3) == pytest.approx(172.8473, abs=5e-5)
    # Euclid III.21: from any point of the arc the two ends are seen under that same angle
    arc = Circle(48, 3)
    for y in (-40.0, -11.0, 0.0, 5.0, 47.0):
        pencil = complex(y, arc.height(y))
        angle = np.degrees(np.angle((-48 - pencil) / (48 - pencil))) % 360
        assert min(angle, 360 - angle) == pytest.approx(straight_edges_angle_deg(48, 3), abs=1e-9)


def test_a11_one_mould_on_a_narrower_beam():
    assert float(Parabola(48, 3).drop(24)) == pytest.approx(0.75, abs=1e-12)
    assert float(Circle(48, 3).drop(24)) == pytest.approx(0.74781, abs=6e-6)
    assert float(Circle(48, 3).drop(24)) == pytest.approx(
        385.5 - float(mpmath.sqrt(mpmath.mpf("385.5") ** 2 - 576)), abs=1e-10
    )


def test_a16_a_statement_at_odds_with_itself_raises_a_question():
    # a slip met in print: .175 in per foot of beam, .35 per foot of half-beam, called "about 3/8"
    with pytest.raises(FigureError) as caught:
        CamberFigure.parse("7/8 in on a 5 ft beam, about 3/8 in per foot")
    assert "0.175 in per foot of the whole beam, 0.35 of the half-beam" in str(caught.value)
    assert "Likely slip: one of the half-beam and one of the whole beam" in str(caught.value)
    first, second = (figure for _, figure in caught.value.readings)
    assert 12 * first.ratio(30 * INCH) == pytest.approx(0.175)
    assert 12 * second.ratio(30 * INCH) == pytest.approx(0.375)


def test_a17_a_canoe_of_1882():
    # W. P. Stephens, plate of "Raritania": beam 27 in, crown 3 in
    arc = Circle(13.5, 3)
    assert arc.radius == pytest.approx(31.875, abs=1e-12)
    assert arc.edge_slope_deg == pytest.approx(25.058, abs=5e-4)
    assert arc_through_three_points(sp.Rational(27, 2), 3)[1] == sp.Rational(255, 8)
