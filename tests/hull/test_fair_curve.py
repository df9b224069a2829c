"""The fair curve: what a batten does, by another route, at any scale, and with awkward points."""

from __future__ import annotations

import clarabel
import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from scipy import sparse
from scipy.interpolate import make_interp_spline
from scipy.optimize import lsq_linear

from deckgeom.hull.fair_curve import MOST_WITHIN_A_BAND, FairCurve

RNG = np.random.default_rng(1883)
UNEVEN = np.array([0.0, 300, 900, 1000, 2400, 3100, 4700, 5000, 6600])
VALUES = np.array([812.0, 760, 689, 677, 598, 574, 583, 590, 661])
EVERYWHERE = np.linspace(-150, 6750, 301)


def run_out_spline(x, value):
    """The same batten by scipy: a cubic spline with third derivative nought in its first and last span."""
    nought = [(3, np.zeros(np.shape(value)[1:]))]
    return make_interp_spline(x, value, k=3, bc_type=(nought, nought))


def bends(x):
    """Rows whose squares add up to the bending energy, by scipy's splines and Gauss's rule, which is exact here."""
    second = run_out_spline(x, np.eye(x.size)).derivative(2)
    node, weight = np.polynomial.legendre.leggauss(2)
    half, middle = np.diff(x) / 2, (x[1:] + x[:-1]) / 2
    at = second((middle[:, None] + half[:, None] * node).ravel())
    return at * np.sqrt((half[:, None] * weight).ravel())[:, None]


def referee(x, value, accuracy):
    """Knot values of least energy within the accuracy, by a general solver of convex programs."""
    energy = bends((x - x[0]) / np.ptp(x))
    energy = 2 * energy.T @ energy
    settings = clarabel.DefaultSettings()
    settings.verbose = False
    settings.tol_gap_abs = settings.tol_gap_rel = settings.tol_feas = 1e-10
    rows = sparse.csc_matrix(np.vstack((np.eye(x.size), -np.eye(x.size))))
    bounds = np.concatenate((value + accuracy, accuracy - value))
    cones = [clarabel.NonnegativeConeT(2 * x.size)]
    solver = clarabel.DefaultSolver(sparse.csc_matrix(energy), np.zeros(x.size), rows, bounds, cones, settings)
    solution = solver.solve()
    assert solution.status == clarabel.SolverStatus.Solved
    knots = np.array(solution.x)
    return knots, knots @ energy @ knots / 2


def stations(draw_gaps):
    return np.concatenate(([0.0], np.cumsum(draw_gaps)))


tables = st.integers(3, 12).flatmap(
    lambda n: st.tuples(
        arrays(float, n - 1, elements=st.floats(100, 1500)).map(stations),
        arrays(float, n, elements=st.floats(0, 1200).map(lambda v: round(v, 1))),
    )
)


@pytest.mark.parametrize("order", [0, 1, 2, 3])
def test_through_every_point_is_the_run_out_spline(order):
    """Second route: scipy's spline; the derivatives too, and a beam's siding past both ends."""
    curve, other = FairCurve(UNEVEN, VALUES), run_out_spline(UNEVEN, VALUES)
    inside = EVERYWHERE[~np.isin(EVERYWHERE, UNEVEN)]
    expected = other(inside, nu=order)
    assert curve(inside, order) == pytest.approx(expected, rel=1e-9, abs=1e-15)
    assert FairCurve(UNEVEN, VALUES).distances == pytest.approx(np.zeros(9), abs=1e-10)


def test_a_parabola_comes_back_exactly():
    def parabola(x):
        return 640 + 3e-5 * (x - 2900) ** 2

    curve = FairCurve(UNEVEN, parabola(UNEVEN))
    assert curve(EVERYWHERE) == pytest.approx(parabola(EVERYWHERE), abs=1e-9)
    assert curve(EVERYWHERE, 2) == pytest.approx(np.full(301, 6e-5), rel=1e-9)


def test_curvature_carries_on_past_the_ends():
    curve = FairCurve(UNEVEN, VALUES, 2.0)
    assert curve([-400, -50, 150], 2) == pytest.approx(np.full(3, curve(0.0, 2)))
    assert curve([4999, 6650, 7000], 3)[1:] == pytest.approx([0, 0], abs=0)


@pytest.mark.parametrize("accuracy", [0.5, 2.0, 8.0])
def test_least_energy_within_the_accuracy(accuracy):
    """Second route: a general convex solver with the energy from scipy's splines."""
    curve = FairCurve(UNEVEN, VALUES, accuracy)
    knots, energy = referee(UNEVEN, VALUES, accuracy)
    assert np.abs(curve.distances).max() <= accuracy * (1 + 1e-9)
    assert curve(UNEVEN) == pytest.approx(knots, abs=2e-3)
    assert curve.energy * np.ptp(UNEVEN) ** 3 == pytest.approx(energy, rel=1e-6)
    assert curve.energy < FairCurve(UNEVEN, VALUES).energy


def test_energy_of_many_rough_tables():
    """Rough tables, very uneven stations, an accuracy for each point; third route: scipy's bounded least squares."""
    for _ in range(40):
        n = int(RNG.integers(3, 16))
        x = np.cumsum(RNG.uniform(20, 1000, n))
        value, accuracy = RNG.normal(0, 50, n), RNG.uniform(0.01, 1, n) * RNG.choice([1, 20, 100])
        curve = FairCurve(x, value, accuracy)
        rows = bends((x - x[0]) / np.ptp(x))
        best = lsq_linear(rows, np.zeros(len(rows)), (value - accuracy, value + accuracy), method="bvls", tol=1e-14)
        assert np.all(np.abs(curve.distances) <= accuracy + 1e-9)
        assert curve.energy * np.ptp(x) ** 3 == pytest.approx(2 * best.cost, rel=1e-6, abs=1e-6)


def test_energy_is_the_integral_of_bend_squared():
    curve = FairCurve(UNEVEN, VALUES, 1.0)
    fine = np.linspace(0, 6600, 200_001)
    assert curve.energy == pytest.approx(np.trapezoid(curve(fine, 2) ** 2, fine), rel=1e-6)


def test_a_straight_edge_where_one_fits():
    """All within the accuracy of a straight line: no bend at all, and the line nearest the points."""
    rough = 500 + 0.02 * UNEVEN + np.array([1, -1, 1, 0, -1, 1, -1, 1, 0.0])
    curve = FairCurve(UNEVEN, rough, 3.0)
    assert curve(EVERYWHERE, 2) == pytest.approx(np.zeros(301), abs=1e-15)
    assert curve(UNEVEN) == pytest.approx(np.polynomial.Polynomial.fit(UNEVEN, rough, 1)(UNEVEN), abs=1e-9)


def test_accuracy_of_each_point():
    """A point of accuracy nought is passed through; its rough neighbours are not."""
    accuracy = np.where(np.arange(9) == 3, 0.0, 5.0)
    distances = FairCurve(UNEVEN, VALUES, accuracy).distances
    assert distances[3] == pytest.approx(0, abs=1e-9)
    assert np.abs(distances).max() > 1


def test_a_half_breadth_is_not_drawn_inside_the_centreline():
    """A hollow stem: straightening it within 6 mm would start the curve inside the centreline."""
    x, half_breadth = [0, 500, 1000, 1500, 2000], [0.0, 20, 70, 150, 260]
    assert FairCurve(x, half_breadth, 6.0)(0.0) < -1
    held = FairCurve(x, half_breadth, 6.0, least=0.0)
    assert held(0.0) == pytest.approx(0, abs=1e-9)
    assert np.all(np.abs(held.distances) <= 6 + 1e-9)


@given(tables, st.sampled_from([0.0, 1.0, 10.0]), st.floats(1e-3, 40), st.floats(1e-3, 40))
def test_one_curve_in_any_unit(table, accuracy, scale_x, scale_value):
    """mm, m and inches, and x and value each by their own scale."""
    x, value = table
    curve = FairCurve(x, value, accuracy)
    scaled = FairCurve(x * scale_x, value * scale_value, accuracy * scale_value)
    at = np.linspace(x[0] - 50, x[-1] + 50, 41)
    limit = 1e-7 * max(1.0, float(np.abs(curve(at)).max()))
    assert scaled(at * scale_x) / scale_value == pytest.approx(curve(at), abs=limit)


@given(tables, st.sampled_from([0.0, 3.0]))
def test_seen_from_the_other_end(table, accuracy):
    x, value = table
    at = np.linspace(x[0] - 50, x[-1] + 50, 41)
    ahead = FairCurve(x, value, accuracy)
    back = FairCurve(-x, value, accuracy)
    assert back(-at) == pytest.approx(ahead(at), abs=1e-6 * max(1.0, float(np.abs(ahead(at)).max())))
    assert back(-at, 1) == pytest.approx(-ahead(at, 1), abs=1e-6 * max(1.0, float(np.abs(ahead(at, 1)).max())))


@given(tables, st.sampled_from([0.0, 3.0]), st.floats(-500, 500), st.floats(-0.5, 0.5))
def test_a_straight_line_added_is_added_to_the_curve(table, accuracy, height, slope):
    """A base line moved or tilted a little moves and tilts the curve, and bends nothing."""
    x, value = table
    at = np.linspace(x[0], x[-1], 31)
    plain = FairCurve(x, value, accuracy)
    moved = FairCurve(x, value + height + slope * x, accuracy)
    assert moved(at) - height - slope * at == pytest.approx(plain(at), abs=1e-5 * (1 + float(np.abs(plain(at)).max())))


@given(tables, st.randoms(use_true_random=False))
def test_the_order_of_the_rows_does_not_matter(table, shuffler):
    x, value = table
    order = list(range(x.size))
    shuffler.shuffle(order)
    assume(order != sorted(order))
    shuffled = FairCurve(x[order], value[order], 2.0)
    assert shuffled(EVERYWHERE) == pytest.approx(FairCurve(x, value, 2.0)(EVERYWHERE), abs=0)
    assert shuffled.distances == pytest.approx(FairCurve(x, value, 2.0).distances[order], abs=0)


def test_two_and_three_points():
    straight, bent = FairCurve([0, 2000], [600, 700], 4.0), FairCurve([0, 500, 2000], [0, 25, 400])
    assert straight([0, 1000, 2000]) == pytest.approx([600, 650, 700])
    assert bent([1000, -1000]) == pytest.approx([100, 100])


def test_two_readings_at_one_place_count_as_their_mean():
    curve = FairCurve([0, 1000, 1000, 2000, 3000], [9, 4, 6, 3, 2])
    assert float(curve(1000)) == pytest.approx(5)
    assert curve.distances[1:3] == pytest.approx([1, -1])


def test_nearly_one_place_stays_sound():
    """Stations a tenth of a millimetre apart, as read twice: no wild curve within the accuracy."""
    x = np.insert(UNEVEN, 4, UNEVEN[4] - 0.1)
    curve = FairCurve(x, np.insert(VALUES, 4, VALUES[4] + 0.3), 1.0)
    assert np.abs(curve(EVERYWHERE) - FairCurve(UNEVEN, VALUES, 1.0)(EVERYWHERE)).max() < 2
    assert np.abs(curve.distances).max() <= 1 + 1e-9


def test_many_points_are_interpolated_and_nothing_more():
    x = np.linspace(0, 9000, 20_001)
    value = 700 + 100 * np.sin(x / 2000)
    assert FairCurve(x, value)(x[:-1] + 0.2) == pytest.approx(700 + 100 * np.sin((x[:-1] + 0.2) / 2000), abs=1e-6)
    with pytest.raises(ValueError, match=f"20001 points: .* at most {MOST_WITHIN_A_BAND}. Is this a file of readings"):
        FairCurve(x, value, 1.0)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (([0], [5]), "1 offset: a curve needs two at least"),
        (([], []), "0 offset"),
        (([0, 1, 2], [5, 6]), "3 places along the boat but 2 values"),
        (([4, 4], [5, 6]), "all 2 offsets stand at x = 4 mm"),
        (([0, 1], [5, np.nan]), "value, point 2: nan is not a length"),
        (([0, 1], [5, 6], -2), "accuracy -2 mm is negative"),
    ],
)
def test_what_no_curve_can_be_drawn_through(arguments, words):
    with pytest.raises(ValueError, match=words):
        FairCurve(*arguments)


def test_no_fourth_derivative():
    with pytest.raises(ValueError, match="order is 4; a cubic batten has orders 0, 1, 2 and 3"):
        FairCurve([0, 1], [0, 1])(0.5, 4)


def test_the_record_is_closed():
    x = np.array([0.0, 1.0, 2.0])
    curve = FairCurve(x, [0, 1, 4])
    x[1] = 0.5
    assert float(curve(1.0)) == pytest.approx(1.0)
    with pytest.raises(ValueError, match="read-only"):
        curve.distances[0] = 1.0


def test_of_two_readings_at_one_place_the_looser_says_how_far_the_curve_may_stand_off():
    """Reversed too: which of them comes first says nothing."""
    x, value = [0, 1000, 1000, 2000, 3000], [0.0, 10, 10, 0, 0]
    loose = FairCurve(x, value, [0, 0.5, 6, 0, 0])
    assert 0.5 < 10 - float(loose(1000)) <= 6 + 1e-9
    assert FairCurve(x, value, [0, 6, 0.5, 0, 0])(EVERYWHERE) == pytest.approx(loose(EVERYWHERE), abs=1e-9)
