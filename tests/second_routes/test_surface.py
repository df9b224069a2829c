"""
The deck surface by sympy: every shape under both laws, on sides that differ, to derivatives, curvature and beam tops.

The rule is written out afresh as one expression and differentiated exactly; nothing of the package goes into it.
"""

from __future__ import annotations

from functools import lru_cache

import mpmath
import numpy as np
import pytest
import sympy as sp

from deckgeom.deck.crown import OneMould, SameProportion
from deckgeom.deck.surface import Deck
from deckgeom.hull.sheer import Sheer

X, Y = sp.symbols("x y", real=True)
PLAN = {"port": 1200 + X / 20 - X**2 / 8000, "starboard": 1150 + X / 25 - X**2 / 9000}
SHEER = {"port": 900 - X / 50 + X**2 / 30000, "starboard": 915 - X / 60 + X**2 / 40000}
RATIO = sp.Rational(1, 26)  # camber over beam
MOULD = sp.Integer(1300), sp.Integer(100)  # half-breadth and camber of the one mould
SHAPES = ("circle", "parabola", "quarter-circle")
PLACES = [(730, -911), (-1400, 402), (60, 0.5), (1710, 780), (-905, -877.25)]
THICKNESS = 17


def drop(shape, y, half, camber):
    """From the crown down to a curve at y off the centreline."""
    if shape == "circle":
        radius = (half**2 + camber**2) / (2 * camber)
        return radius - sp.sqrt(radius**2 - y**2)
    if shape == "parabola":
        return camber * y**2 / half**2
    u = y / half
    return camber * (1 - sp.sqrt(1 - 2 * u * sp.sin(sp.pi * u / 2) + u**2))


@lru_cache
def expression(shape: str, rule: str, side: str):
    """Height of the deck on one side, as one expression in x and y."""
    (bp, bs), (zp, zs) = PLAN.values(), SHEER.values()
    edge_line = zp + (zs - zp) * (Y + bp) / (bp + bs)
    own, half, off = PLAN[side], (bp + bs) / 2, -Y if side == "port" else Y
    if rule == "same proportion":  # each side is the curve of its own half-breadth under one camber
        camber = RATIO * (bp + bs)
        return edge_line + camber - drop(shape, off, own, camber)
    # one mould laid on the beam: the side's u, on the mean half-breadth
    return edge_line + drop(shape, half, *MOULD) - drop(shape, off * half / own, *MOULD)


@lru_cache
def derivatives(shape: str, rule: str, side: str):
    z = expression(shape, rule, side)
    made = [z, z.diff(X), z.diff(Y), z.diff(X, 2), z.diff(X, Y), z.diff(Y, 2)]
    return sp.lambdify((X, Y), made, "mpmath", cse=True)


def exact(shape, rule, x, y):
    """Height and its derivatives to second order, 30 digits in between."""
    side = "port" if y < 0 else "starboard"
    with mpmath.workdps(30):
        return [float(v) for v in derivatives(shape, rule, side)(mpmath.mpf(x), mpmath.mpf(y))]


def numbers(e):
    """A polynomial of sympy as a curve with its derivatives."""
    p = np.polynomial.Polynomial([float(c) for c in sp.Poly(e, X).all_coeffs()[::-1]])
    return lambda x, order=0: (p.deriv(order) if order else p)(np.asarray(x, float))


def deck(shape, rule, thickness=0.0) -> Deck:
    curves = (PLAN["port"], SHEER["port"], PLAN["starboard"], SHEER["starboard"])
    sheer = Sheer.from_curves(*(numbers(e) for e in curves), start=-2000, end=2000)
    figure = "100 mm on 2600 mm" if rule == "one mould" else float(RATIO)
    return Deck(sheer, {"one mould": OneMould, "same proportion": SameProportion}[rule](shape, figure), thickness)


CASES = [(shape, rule) for shape in SHAPES for rule in ("one mould", "same proportion")]


@pytest.mark.parametrize(("shape", "rule"), CASES)
def test_height_slopes_and_bends(shape, rule):
    made = deck(shape, rule)
    for x, y in PLACES:
        ours = [made.height(x, y), *made.slopes(x, y), *made.second(x, y)]
        wanted = exact(shape, rule, x, y)
        for one, other, scale in zip(ours, wanted, (1, 1e3, 1e3, 1e6, 1e6, 1e6), strict=True):
            assert float(one) * scale == pytest.approx(other * scale, rel=1e-9, abs=1e-8)


def forms(p, q, r, s, t):
    """First and second fundamental form of a height, by sympy's matrices."""
    first = sp.Matrix([[1 + p * p, p * q], [p * q, 1 + q * q]])
    return first, sp.Matrix([[r, s], [s, t]]) / sp.sqrt(1 + p * p + q * q)


@pytest.mark.parametrize(("shape", "rule"), CASES)
def test_principal_and_gaussian_curvature(shape, rule):
    """Roots of det(II - k I) = 0; the normal is up there, and the package counts a crown as positive: signs turn."""
    made = deck(shape, rule)
    k = sp.symbols("k")
    for x, y in PLACES:
        first, second = forms(*(sp.Float(v, 30) for v in exact(shape, rule, x, y)[1:]))
        roots = sorted(-float(sp.re(v)) for v in sp.Poly((second - k * first).det(), k).nroots(n=20))
        ours = made.curvature(x, y)
        assert 1e6 * np.sort([float(v) for v in ours[:2]]) == pytest.approx(1e6 * np.array(roots), rel=1e-7, abs=1e-7)
        assert 1e9 * float(ours.gaussian) == pytest.approx(1e9 * roots[0] * roots[1], rel=1e-6, abs=1e-6)


@pytest.mark.parametrize(("shape", "rule"), [case for case in CASES if case[0] != "quarter-circle"])
def test_beam_tops_lie_the_thickness_below_square_to_the_deck(shape, rule):
    """The offset surface given by its own points, r - t n: its height, slopes and bent are ours where they lie."""
    made = deck(shape, rule, THICKNESS)
    for x, y in PLACES:
        z, p, q, r, s, t = exact(shape, rule, x, y)
        w = np.sqrt(1 + p * p + q * q)
        at = x + THICKNESS * p / w, y + THICKNESS * q / w
        if np.sign(at[1]) != np.sign(y):
            continue
        assert float(made.height(*at, "beam")) == pytest.approx(z - THICKNESS / w, abs=1e-8)
        assert [float(v) for v in made.slopes(*at, "beam")] == pytest.approx([p, q], abs=1e-11)
        # d(slopes)/d(at): the chain rule over the map from foot to point, inverted
        h = np.array([[r, s], [s, t]])
        grad_w = h @ np.array([p, q]) / w
        move = np.eye(2) + THICKNESS * (h / w - np.outer([p, q], grad_w) / w**2)
        bent = h @ np.linalg.inv(move)
        assert 1e6 * np.array([float(v) for v in made.second(*at, "beam")]) == pytest.approx(
            1e6 * np.array([bent[0, 0], bent[0, 1], bent[1, 1]]), rel=1e-8, abs=1e-7
        )


@pytest.mark.parametrize("rule", ["one mould", "same proportion"])
@pytest.mark.parametrize("side", ["port", "starboard"])
def test_beyond_its_edge_the_deck_runs_on_with_the_slopes_of_its_own_heights(rule, side):
    """Differences of the heights, a sixth of the half-breadth outside the edge, where only the run-on is left."""
    made = deck("circle", rule)
    x = np.array([-1200.0, 300, 1500])
    y = 1.16 * made.edge(side, x)[0]
    _, p, q, _, p_y, q_y = made.partials(x, y)  # its bend along is only roughly right out there
    h = 0.5
    along = (made.height(x + h, y) - made.height(x - h, y)) / (2 * h)
    across = (made.height(x, y + h) - made.height(x, y - h)) / (2 * h)
    above, below = made.slopes(x, y + h), made.slopes(x, y - h)
    assert p == pytest.approx(along, rel=1e-4, abs=1e-8) and q == pytest.approx(across, rel=1e-4, abs=1e-8)
    assert p_y == pytest.approx((above[0] - below[0]) / (2 * h), rel=1e-4, abs=1e-9)
    assert q_y == pytest.approx((above[1] - below[1]) / (2 * h), rel=1e-4, abs=1e-9)
