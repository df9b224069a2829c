"""Lines of the deck against exact shortest ways over triangles, differential equations, polygons; with their order."""

from __future__ import annotations

import numpy as np
import pytest
from pygeodesic.geodesic import PyGeodesicAlgorithmExact
from scipy.integrate import quad, solve_bvp, solve_ivp
from scipy.optimize import brentq, minimize_scalar
from shapely.geometry import LineString

from deckgeom.deck.flat_edge import flat_edge
from deckgeom.deck.geodesic import geodesic
from deckgeom.deck.humps import find_humps
from deckgeom.deck.spiling import spile, spile_curve
from deckgeom.hull.sheer import Sheer
from deckgeom.hull.strings import string_sag
from deckgeom.laying.planks import PlankChoices, lay_planks
from tests.deck.beam_hulls import LENGTH, powers, round_deck


def order(errors, steps) -> float:
    """Power of the step with which errors fall, between the first and the last."""
    return float(np.log(errors[0] / errors[-1]) / np.log(steps[0] / steps[-1]))


# ------------------------------------------------------------ the batten without edge-set


def triangles_over(deck, x_range, y_range, count):
    """Corners and triangles of a grid over the deck, twice as many squares along as across."""
    x, y = np.linspace(*x_range, 2 * count + 1), np.linspace(*y_range, count + 1)
    gx, gy = np.meshgrid(x, y, indexing="ij")
    points = np.stack([gx, gy, deck.height(gx, gy)], axis=-1).reshape(-1, 3)
    at = np.arange(points.shape[0]).reshape(gx.shape)
    a, b, c, d = (v.ravel() for v in (at[:-1, :-1], at[1:, :-1], at[1:, 1:], at[:-1, 1:]))
    odd = (np.add.outer(np.arange(2 * count), np.arange(count)) % 2).ravel().astype(bool)
    one = np.where(odd[:, None], np.stack([a, b, d], -1), np.stack([a, b, c], -1))
    two = np.where(odd[:, None], np.stack([b, c, d], -1), np.stack([a, c, d], -1))
    return points, np.concatenate([one, two])


@pytest.mark.parametrize(
    ("x_range", "y_range", "ends"),
    [((400, 5600), (-500, 700), ((0, 0), (1, 1))), ((2200, 4200), (-900, 900), ((0, 1), (1, 0.25)))],
    ids=["long and slanting", "across amidships"],
)
def test_batten_against_the_exact_shortest_way_over_triangles(x_range, y_range, ends):
    """
    Lengths over ever finer triangles tend to the batten's with the square of their size; so does its path in plan.

    The shortest ways over the triangles are exact (pygeodesic, after Mitchell, Mount and Papadimitriou, 1987).
    """
    deck = round_deck(twist=30.0)
    (u0, v0), (u1, v1) = ends
    place = lambda u, v: (x_range[0] + u * np.ptp(x_range), y_range[0] + v * np.ptp(y_range))  # noqa: E731
    line = geodesic(deck, place(u0, v0), place(u1, v1))
    short, aside, counts = [], [], (8, 16, 32)
    for count in counts:
        points, triangles = triangles_over(deck, x_range, y_range, count)
        number = lambda u, v: round(u * 2 * count) * (count + 1) + round(v * count)  # noqa: B023, E731
        length, way = PyGeodesicAlgorithmExact(points, triangles).geodesicDistance(number(u0, v0), number(u1, v1))
        short.append(abs(line.length - length))
        way = way[np.argsort(way[:, 0])]
        aside.append(np.abs(way[:, 1] - np.interp(way[:, 0], line.x, line.y)).max())
    steps = 1 / np.array(counts)
    assert short[-1] < 2e-6 * line.length
    assert 1.7 < order(short, steps) < 2.4
    assert aside[-1] < max(0.1 * line.most_off_plan_line, 1.0)


@pytest.mark.parametrize(
    ("ends", "near"),
    [(((300, -500), (5600, 900)), 1e-3), (((1500, 900), (3300, -850)), 5e-5), (((700, 300), (5300, 420)), 1e-4)],
)
def test_batten_by_a_general_solver_for_two_ends(ends, near):
    """The equation of the batten written over x, on slopes and bends that sympy has checked, by scipy's solve_bvp."""
    deck = round_deck(twist=30.0)
    (x0, y0), (x1, y1) = ends

    def bent(x, state):
        y, turn = state
        _, zx, zy, zxx, zxy, zyy = deck.partials(x, y, 2, "deck")
        return np.vstack([turn, (zx * turn - zy) * (zxx + 2 * zxy * turn + zyy * turn**2) / (1 + zx**2 + zy**2)])

    x = np.linspace(x0, x1, 61)
    straight = y0 + (y1 - y0) * (x - x0) / (x1 - x0)
    guess = np.vstack([straight, np.full_like(x, (y1 - y0) / (x1 - x0))])
    found = solve_bvp(bent, lambda a, b: np.array([a[0] - y0, b[0] - y1]), x, guess, tol=1e-9, max_nodes=20000)
    line = geodesic(deck, *ends)
    assert found.success and line.most_off_plan_line > 0.3
    assert line.y == pytest.approx(found.sol(line.x)[0], abs=near)


@pytest.mark.parametrize("side", ["port", "starboard"])
def test_sprung_planks_lie_at_their_widths_from_the_edge_over_triangles(side):
    """
    Exact distances over triangles from every corner on the deck edge, read where our plank edges lie.

    The corners stand 25 mm apart along the edge: what lies between two of them is off by less than a millimetre.
    """
    deck, sign = round_deck(twist=25.0), (-1.0 if side == "port" else 1.0)
    x, part = np.linspace(600, 5200, 185), np.linspace(0, 0.6, 33)
    gx, gs = np.meshgrid(x, part, indexing="ij")
    gy = sign * deck.sheer.half_breadth(side, gx) * (1 - gs)
    points = np.stack([gx, gy, deck.height(gx, gy)], axis=-1).reshape(-1, 3)
    at = np.arange(points.shape[0]).reshape(gx.shape)
    a, b, c, d = (v.ravel() for v in (at[:-1, :-1], at[1:, :-1], at[1:, 1:], at[:-1, 1:]))
    triangles = np.concatenate([np.stack([a, b, c], -1), np.stack([a, c, d], -1)])
    far, _ = PyGeodesicAlgorithmExact(points, triangles).geodesicDistances(at[:, 0].ravel(), None)
    far = far.reshape(gx.shape)
    planks = lay_planks(deck, PlankChoices(95, "sprung", covering_board=140)).of(side)
    for edge in (planks[0], planks[2], planks[4]):
        y = np.interp(x, edge.x, edge.y)
        off = np.array([np.interp(-v, -np.abs(row), w) for v, row, w in zip(y, gy, far, strict=True)])
        assert off[30:-30] == pytest.approx(np.full(x.size - 60, 140 + 95 * edge.number), abs=0.8)


# ------------------------------------------------------------ the edge laid flat


@pytest.mark.parametrize("side", ["port", "starboard"])
def test_flat_edge_by_turning_as_the_edge_turns_in_the_deck(side):
    """
    Second route to the flat edge: heading and place run by solve_ivp, from a turning measured on points of the edge.

    The part of the edge's own bend that lies in the deck is taken by differences of its points and of the deck's
    heights beside it; no derivative of the package goes in.
    """
    deck, sign = round_deck(twist=20.0), (-1.0 if side == "port" else 1.0)

    def at(x):
        y = sign * deck.sheer.half_breadth(side, x)
        return np.array([x, float(y), float(deck.height(x, y))])

    def rates(x, state):
        h = 2.0
        before, here, after = at(x - h), at(x), at(x + h)
        first, second = (after - before) / (2 * h), (after - 2 * here + before) / h**2
        z = lambda dx, dy: float(deck.height(here[0] + dx, here[1] + dy))  # noqa: E731
        normal = np.array([-(z(h, 0) - z(-h, 0)), -(z(0, h) - z(0, -h)), 2 * h])
        normal /= np.linalg.norm(normal)
        speed = np.linalg.norm(first)
        turn = np.dot(np.cross(first, second), normal) / speed**2
        return [speed * np.cos(state[2]), speed * np.sin(state[2]), turn]

    marks = np.linspace(400, 5600, 14)
    flat = solve_ivp(rates, (400, 5600), [0.0, 0.0, 0.0], t_eval=marks, rtol=1e-8, atol=1e-8).y
    edge = flat_edge(deck, side, x=marks)
    wanted = spile(flat[0], flat[1])
    assert edge.chord == pytest.approx(wanted.length, abs=0.02)
    assert edge.offset == pytest.approx(sign * wanted.offset, abs=0.05)
    assert edge.offset.max() > 50


@pytest.mark.parametrize("side", ["port", "starboard"])
def test_true_length_is_what_polygons_tend_to_with_the_square_of_their_sides(side):
    """shapely's length of polygons through ever more places of the edge, uneven spacing, against the integral."""
    sheer = round_deck(twist=20.0).sheer
    whole = sheer.true_length(side)
    errors, counts = [], (25, 50, 100, 200)
    for count in counts:
        x = LENGTH * np.linspace(0, 1, count + 1) ** 1.3
        y, z = sheer.half_breadth(side, x), sheer.height(side, x)
        run = np.concatenate([[0.0], np.cumsum(np.hypot(np.diff(x), np.diff(y)))])
        errors.append(whole - LineString(np.column_stack([run, z])).length)
    assert min(errors) > 0, "a polygon is never longer than its curve"
    assert 1.8 < order(errors, 1 / np.array(counts)) < 2.2


def test_offsets_of_a_curve_between_marks_fall_with_the_square_of_their_spacing():
    """A straight line between spiled marks misses the curve by h^2 kappa / 8: the order, and the factor."""
    curve = powers(0, 0, 220, 40)
    fine = np.linspace(0, LENGTH, 4801)
    chord = LineString([(0, curve(0.0)), (LENGTH, curve(LENGTH))])
    misses, counts = [], (12, 24, 48)
    for count in counts:
        along = np.linspace(0, chord.length, count + 1)
        got = spile_curve(curve, 0.0, LENGTH, along)
        off = spile(fine, curve(fine), start=(0, curve(0.0)), end=(LENGTH, curve(LENGTH)))
        misses.append(np.abs(np.interp(off.along, got.along, got.offset) - off.offset).max())
        exact = np.interp(got.along, off.along, off.offset)
        assert got.offset == pytest.approx(exact, abs=1e-3)
    assert 1.7 < order(misses, 1 / np.array(counts)) < 2.3
    bend = np.abs(curve(fine, 2)).max()
    assert misses[-1] == pytest.approx((LENGTH / counts[-1]) ** 2 * bend / 8, rel=0.1)


@pytest.mark.parametrize("tilt", [0.0, 0.03])
def test_hump_of_a_curve_that_a_batten_touches_at_two_known_places(tilt):
    """
    ((t - a)(t - b))^2 (1 + t/5) lies on the line of nought at a and b and nowhere below: there the batten touches.

    Sampled unevenly, never at a, b or the top, in steps of .1 to .025.
    """
    a, b = -0.83, 1.12
    curve = lambda t: ((t - a) * (t - b)) ** 2 * (1 + t / 5)  # noqa: E731
    top = minimize_scalar(lambda t: -curve(t), bounds=(a, b), method="bounded", options={"xatol": 1e-12})
    misses, aside, counts = [], [], (41, 81, 161)
    for count in counts:
        part = np.linspace(0, 1, count)
        t = -1.7 + 3.9 * (part + 0.03 * np.sin(7 * part))
        (hump,) = find_humps(t, curve(t) + tilt * t, "hollow", least=0.01)
        misses.append(abs(hump.gap + top.fun))
        aside.append(abs(hump.x - top.x))
        assert (hump.start, hump.end) == pytest.approx((a, b), abs=0.1)
    assert max(misses) < 1.2e-3 and misses[-1] < 1e-4, "a batten that touches at samples stands that much off"
    assert max(aside) < 1e-3, "the top is found between the samples"


# ------------------------------------------------------------ strings and sheer


@pytest.mark.parametrize("fall", [0.0, 60.0, -150.0])
def test_sag_of_a_string_between_uneven_heights_by_its_own_equation(fall):
    """
    Equilibrium of a heavy string, z'' = (w/H) sqrt(1 + z'^2), held at uneven heights, by scipy's solve_bvp.

    H is the level part of the pull; on a slope of 1 in 60 the parabola is still within a part in a thousand.
    """
    length, weight, pull = 9000.0, 0.0225, 110.0
    x = np.linspace(0, length, 41)
    line = lambda v: 1500 - fall * v / length  # noqa: E731
    level = pull * length / np.hypot(length, fall)

    def bent(x, z):
        return np.vstack([z[1], weight / 1000 / level * np.sqrt(1 + z[1] ** 2)])

    guess = np.vstack([line(x), np.full_like(x, -fall / length)])
    found = solve_bvp(bent, lambda a, b: np.array([a[0] - 1500, b[0] - 1500 + fall]), x, guess, tol=1e-10)
    assert found.success
    inner = np.array([300.0, 2500, 4500, 7100, 8950])
    assert string_sag(inner, length, weight, pull) == pytest.approx(line(inner) - found.sol(inner)[0], rel=1e-3)


def test_place_where_the_edge_has_gone_a_given_way_along_itself():
    """The true length to a place, turned round by brentq over scipy's quad, gives the place back."""
    sheer: Sheer = round_deck(twist=20.0).sheer
    speed = lambda x: float(np.sqrt(1 + sheer.half_breadth("port", x, 1) ** 2 + sheer.height("port", x, 1) ** 2))  # noqa: E731
    for there in (777.0, 2931.5, 5600.0):
        way = sheer.true_length("port", 0.0, there)
        back = brentq(lambda v, way=way: quad(speed, 0, v, epsabs=1e-9, limit=200)[0] - way, 1, LENGTH, xtol=1e-6)
        assert back == pytest.approx(there, abs=1e-4)


@pytest.mark.parametrize("x", [[0, 900, 1000, 1900, 3000], [0, 1100, 2000, 2100, 3000]])
def test_top_of_a_parabola_is_found_between_very_uneven_points(x):
    """By hand: 4 h x (L - x) / L^2 has its top, h, half-way; a batten under it touches both ends."""
    x = np.array(x, float)
    (hump,) = find_humps(x, 4 * 30 * x * (3000 - x) / 3000**2, "hollow")
    assert (hump.start, hump.end) == (0, 3000)
    assert (hump.x, hump.gap) == pytest.approx((1500, 30), abs=1e-9)
