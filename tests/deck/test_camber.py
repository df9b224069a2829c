"""Camber curves: shapes with exact derivatives, moulds, the drawn section, the lay-out on the floor."""

from __future__ import annotations

import mpmath
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import CubicSpline
from scipy.optimize import least_squares

from deckgeom.deck.camber import CamberError, Circle, Parabola, QuarterCircle, shape_named
from deckgeom.deck.drawn import DrawnSection
from deckgeom.deck.layout import equal_division, quarter_circle_division, recognise

SHAPES = [Circle, Parabola, QuarterCircle]
MOULDS = [shape(1450.0, 118.0) for shape in SHAPES]
OLD = DrawnSection([-1300, -700, 260, 610, 1190], [71, 21.5, 3, 16, 59], half_breadth=1400)


def textbook(shape, u, m):
    """The fraction straight from its definition, in mpmath."""
    if shape is Circle:
        k = mpmath.sqrt(m)
        radius = (1 + k * k) / (2 * k)
        return 1 - (radius - mpmath.sqrt(radius**2 - u * u)) / k
    if shape is Parabola:
        return 1 - u * u
    return mpmath.sqrt(1 - 2 * u * mpmath.sin(mpmath.pi * u / 2) + u * u)


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("u", [0.02, 0.33, 0.71, 0.97])
@pytest.mark.parametrize("k", [1 / 16, 0.2, 0.45])
def test_all_derivatives_are_exact(shape, u, k):
    mpmath.mp.dps = 40
    given_ = shape.partials(u, k * k)
    for value, order in zip(given_, [(0, 0), (1, 0), (0, 1), (2, 0), (1, 1), (0, 2)], strict=True):
        wanted = mpmath.diff(lambda a, b: textbook(shape, a, b), (mpmath.mpf(u), mpmath.mpf(k) ** 2), order)
        assert float(value) == pytest.approx(float(wanted), abs=2e-13)


def test_a_flat_arc_keeps_its_digits():
    # 1 mm of camber on 4 m: the radius is 2 km, and R - sqrt(R^2 - y^2) would lose nine digits
    mpmath.mp.dps = 50
    for k in (1e-3, 1e-6, 1e-9):
        wanted = textbook(Circle, mpmath.mpf("0.3"), mpmath.mpf(k) ** 2)
        assert float(Circle.fraction(0.3, k)) == pytest.approx(float(wanted), rel=2e-16)
    assert [float(v) for v in Circle.partials(0.3, 0.0)[:2]] == pytest.approx([0.91, -0.6])


def test_the_quarter_circle_runs_on_smoothly_over_the_edge():
    u = np.array([1 - 1e-9, 1.0, 1 + 1e-9])
    p, p_u, _, p_uu, _, _ = QuarterCircle.partials(u)
    assert p == pytest.approx(-(u - 1) * np.sqrt(1 + np.pi**2 / 4), abs=1e-15)
    assert np.ptp(p_u) < 1e-8 and np.ptp(p_uu) < 1e-7


@pytest.mark.parametrize("mould", [*MOULDS, OLD], ids=lambda m: m.name)
def test_a_mould_is_level_at_the_crown_and_has_its_rise_at_the_ends(mould):
    assert float(mould.drop(0.0)) == pytest.approx(0, abs=1e-9)
    assert float(mould.drop(0.0, 1)) == pytest.approx(0, abs=1e-12)
    assert mould.drop([-mould.half_breadth, mould.half_breadth]) == pytest.approx(mould.rise, rel=1e-13)


@pytest.mark.parametrize("mould", [*MOULDS, OLD], ids=lambda m: m.name)
def test_slope_and_bend_of_a_mould_by_high_order_differences(mould):
    y = np.array([-1200.0, -333.0, 90.0, 745.0, 1210.0])
    h = 1.0
    for order in (0, 1):
        ahead = [mould.drop(y + n * h, order) for n in (-2, -1, 1, 2)]
        difference = (ahead[0] - 8 * ahead[1] + 8 * ahead[2] - ahead[3]) / (12 * h)
        assert mould.drop(y, order + 1) == pytest.approx(difference, abs=1e-9)


@pytest.mark.parametrize("mould", [*MOULDS, OLD], ids=lambda m: m.name)
def test_shape_and_mould_of_one_size_are_the_same_curve(mould):
    u = np.linspace(0, 1, 11)
    k = mould.rise / mould.half_breadth
    assert mould.rise * mould.fraction(u, k) == pytest.approx(
        mould.rise - mould.drop(u * mould.half_breadth), abs=1e-10
    )
    p = mould.partials(u, k * k)
    b, c = mould.half_breadth, mould.rise
    assert -c * p[1] / b == pytest.approx(mould.drop(u * b, 1), abs=1e-13)
    assert -c * p[3] / b**2 == pytest.approx(mould.drop(u * b, 2), abs=1e-16)


@given(st.floats(100, 4000), st.floats(0.001, 0.49), st.floats(0.01, 100), st.sampled_from(SHAPES))
def test_scale_changes_nothing_but_the_size(half, k, factor, shape):
    small, large = shape(half, k * half), shape(factor * half, factor * k * half)
    y = np.array([-1, 0.2, 0.77]) * half
    assert large.drop(factor * y) == pytest.approx(factor * small.drop(y), rel=1e-9)
    assert large.drop(factor * y, 1) == pytest.approx(small.drop(y, 1), rel=1e-9)


@given(st.floats(100, 4000), st.floats(0.001, 0.49))
def test_nearly_flat_circle_and_parabola_agree_and_the_arc_lies_outside(half, k):
    u = np.linspace(0.05, 0.95, 7)
    gap = Circle.fraction(u, k) - Parabola.fraction(u)
    assert np.all(gap > 0)
    assert np.all(gap < 0.26 * k * k * (1 + k * k))  # A8: (k/2)^2 at the most to leading order


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda: Circle(0, 10), "half-breadth 0 mm: it must be more than nought"),
        (lambda: Circle(-1200, 100), "half-breadth -1200 mm"),
        (lambda: Parabola(1200, -30), "camber -30 mm: it must be nought or more. Is it a drop"),
        (lambda: QuarterCircle(1200, 700), "camber 700 mm on a half-breadth of 1200 mm is more than 1:4"),
        (lambda: Circle(np.nan, 10), "half-breadth nan mm"),
        (
            lambda: Circle(1200, 100).height(2400),
            "y reaches 2400 mm but the beam ends at 1200 mm. Is y a half-breadth, or",
        ),
        (lambda: Circle(1200, 100).drop(9000), "y reaches 9000 mm but the radius is 7250 mm"),
        (lambda: shape_named("ellipse"), "curve 'ellipse': known are circle, parabola, quarter-circle"),
    ],
)
def test_a_wrong_curve_is_refused_with_value_rule_and_slip(make, said):
    with pytest.raises(CamberError) as caught:
        make()
    assert said in str(caught.value)


def test_a_flat_beam_is_a_curve_too():
    flat = Circle(1200, 0)
    assert (flat.radius, flat.arc_length, flat.edge_slope_deg) == (np.inf, 2400, 0)
    assert flat.drop([-1200, 0, 3.0]).tolist() == [0, 0, 0]


@pytest.mark.parametrize("mould", MOULDS, ids=lambda m: m.name)
def test_drops_taken_from_a_plain_curve_give_it_back(mould):
    y = np.array([210.0, 515.0, 900.0, 1180.0, 1450.0])
    old = DrawnSection(y, mould.drop(y))
    best, second = old.nearest()[:2]
    assert isinstance(best.curve, type(mould))
    assert best.curve.rise == pytest.approx(mould.rise, abs=1e-5)
    assert best.worst < 1e-5 < second.worst
    fine = np.linspace(0, 1450, 60)
    assert old.drop(fine) == pytest.approx(mould.drop(fine), abs=0.6)


def test_drops_of_a_parabola_give_the_parabola_exactly_between_and_beyond():
    mould = Parabola(1500, 90)
    old = DrawnSection([400, -650, 1100], mould.drop([400, 650, 1100]), half_breadth=1500)
    y = np.linspace(-1600, 1600, 41)
    assert old.drop(y) == pytest.approx(mould.drop(y), abs=1e-9)
    assert old.rise == pytest.approx(90, abs=1e-9)


def test_the_curve_through_the_drops_is_the_batten_through_them():
    # scipy's own spline through the mirrored drops, third derivative nought in the end spans (parabolic run-out)
    y, drop = np.array([300.0, 700.0, 1000.0, 1400.0]), np.array([5.0, 24.0, 55.0, 101.0])
    both = np.concatenate([-y[::-1], [0.0], y])
    value = np.concatenate([drop[::-1], [0.0], drop])

    def off(ends):
        spline = CubicSpline(both, value, bc_type=((2, ends[0]), (2, ends[1])))
        return [1e9 * spline(both[0] + 1, 3), 1e9 * spline(both[-1] - 1, 3)]

    bend = least_squares(off, [1e-4, 1e-4], x_scale=1e-4, xtol=1e-15, ftol=1e-15, gtol=1e-15).x
    spline = CubicSpline(both, value, bc_type=((2, bend[0]), (2, bend[1])))
    at = np.linspace(0, 1400, 29)
    assert DrawnSection(y, drop).drop(at) == pytest.approx(spline(at), abs=1e-5)


def test_the_list_of_a_beam_measured_on_both_sides_is_taken_out():
    mould, slope = Circle(1300, 84), 0.01
    y = np.array([-1300, -820, -400, 400, 820, 1300.0])
    old = DrawnSection(y, mould.drop(y) + slope * y)
    assert old.lean_deg == pytest.approx(np.degrees(np.arctan(slope)))
    assert old.drop([400, 820, 1300]) == pytest.approx(mould.drop([400, 820, 1300]), abs=1e-9)
    assert old.nearest()[0].worst < 1e-6


def test_a_drop_read_wrong_by_a_millimetre_is_not_followed_further_than_it_may_be():
    mould = Parabola(1200, 96)
    y = np.array([200.0, 500.0, 800.0, 1200.0])
    drop = mould.drop(y) + [1.0, -1.0, 1.0, 0.0]
    through, near = DrawnSection(y, drop), DrawnSection(y, drop, accuracy=1.0)
    assert through.distances == pytest.approx(0, abs=1e-9)
    assert np.max(np.abs(near.distances)) <= 1 + 1e-9
    fine = np.linspace(-1200, 1200, 401)
    assert np.ptp(near.drop(fine, 2)) < 0.5 * np.ptp(through.drop(fine, 2))


def test_nearest_curve_by_a_second_route():
    y, drop = np.array([260, 610, 1000, 1300.0]), np.array([5, 22, 62, 104.0])
    found = {type(f.curve).__name__: f for f in DrawnSection(y, drop).nearest()}
    at, value = np.append(y, 0), np.append(drop, 0)

    def miss(p):
        radius = 1e6 / p[0]
        return radius - np.sqrt(radius**2 - at**2) + p[1] - value

    fit = least_squares(miss, [130.0, 0.0], xtol=1e-14, ftol=1e-14, gtol=1e-14)
    assert found["Circle"].curve.radius == pytest.approx(1e6 / fit.x[0], rel=1e-6)
    assert found["Circle"].rms == pytest.approx(np.sqrt(np.mean(fit.fun**2)), rel=1e-6)
    assert found["Circle"].worst == pytest.approx(np.max(np.abs(fit.fun)), rel=1e-5)
    slope = np.polyfit(at**2, value, 1)[0]
    assert found["Parabola"].curve.rise == pytest.approx(slope * 1300**2, rel=1e-9)
    assert "mm of camber" in found["Circle"].words and "radius" in found["Circle"].words


def test_a_drawn_section_is_stretched_both_ways():
    other = OLD.sized(700, 40)
    y = np.linspace(0, 700, 9)
    assert other.drop(y) == pytest.approx(OLD.drop(2 * y) * 40 / OLD.rise, abs=1e-9)
    assert OLD.sized(OLD.half_breadth, OLD.rise) is OLD


def test_ordinates_from_any_level_line():
    by_height = DrawnSection.from_ordinates([0, 400, 800, 1200], [531, 520, 487, 431])
    assert by_height.drop([400, 800, 1200]) == pytest.approx(np.array([11, 44, 100]), abs=1e-9)


@pytest.mark.parametrize(
    ("y", "drop", "said"),
    [
        ([400, 800], [10], "2 distances off the centreline and 1 drops"),
        ([800], [40], "1 drop off the centreline: two or more"),
        ([800, -800], [40, 41], "1 drop off the centreline: two or more"),
        ([0, 400, 800], [30, 10, 40], "drop 30 mm at the centreline: drops are counted from the crown"),
        ([400, 800], [10, -40], "drop -40 mm at 800 mm off the centreline: nothing stands above the crown"),
        ([400, 800], [10, np.nan], "a drop or its place is blank"),
        ([400, 800], [0, 0], "the drops are all nought"),
        ([400, 800], [200, 700], "camber 700 mm on a half-breadth of 800 mm is more than 1:4"),
    ],
)
def test_wrong_drops_are_refused(y, drop, said):
    with pytest.raises(CamberError) as caught:
        DrawnSection(y, drop)
    assert said in str(caught.value)


def test_arrays_of_a_section_are_its_own_and_closed():
    y = np.array([400.0, 800.0])
    old = DrawnSection(y, [10, 41])
    y[0] = 0
    assert old.y[0] == 400
    with pytest.raises(ValueError, match="read-only"):
        old.y[0] = 5


@pytest.mark.parametrize("parts", [2, 4, 7])
def test_layouts_are_ordinates_of_their_curves(parts):
    y, height = equal_division(1234, 87, parts)
    assert height == pytest.approx(Parabola(1234, 87).height(y), abs=1e-10)
    y, height = quarter_circle_division(1234, 87, parts)
    assert height == pytest.approx(QuarterCircle(1234, 87).height(y), abs=1e-10)


def test_ordinates_of_an_arc_are_recognised_as_one():
    y = np.array([200, 500, 800.0])
    assert recognise(1200, 300, y, Circle(1200, 300).height(y)).words == "arc of a circle"


@pytest.mark.parametrize("curve", [Circle, Parabola, QuarterCircle])
def test_a_quarter_of_the_beam_is_the_most_that_goes(curve):
    assert curve(1200, 600).rise == 600
    with pytest.raises(CamberError, match="camber 600.001 mm on a half-breadth of 1200 mm"):
        curve(1200, 600.001)
