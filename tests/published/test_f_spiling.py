"""Spiling and true lengths against exact answers: a circle, a double-ended deck edge, a cylinder, a cone."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad

from deckgeom.deck.crown import OneMould, SameProportion
from deckgeom.deck.flat_edge import flat_edge
from deckgeom.deck.geodesic import geodesic
from deckgeom.deck.spiling import spile
from deckgeom.deck.surface import Deck
from deckgeom.hull.sheer import Sheer

LENGTH, RADIUS = 6000.0, 7250.0


def plan(x, order=0):
    """Half-breadth: rounded, 260 mm at the ends, 1200 mm amidships."""
    xi = np.asarray(x, float) / LENGTH * 2 - 1
    return [1200 - 940 * xi**2, -3760 * xi / LENGTH, -7520 / LENGTH**2 + 0 * xi, 0 * xi][order]


def cylinder() -> Deck:
    """One circular mould and a straight level crown line: a cylinder of radius 7.25 m along the boat."""

    def height(x, order=0):
        b, root = plan(x), np.sqrt(RADIUS**2 - plan(x) ** 2)
        drop = b * b / (RADIUS + root)
        first = b / root * plan(x, 1)
        second = RADIUS**2 / root**3 * plan(x, 1) ** 2 + b / root * plan(x, 2)
        return [900 - drop, -first, -second][order]

    sheer = Sheer.from_curves(plan, height, start=0, end=LENGTH)
    return Deck(sheer, OneMould("circle", 100 / 2400))


SLOPE, RISE = 0.25, 0.04


def cone() -> Deck:
    """Straight taper, straight sheer, same proportion: every beam is the last one made smaller, seen from one point."""
    b = np.polynomial.Polynomial([300.0, SLOPE])
    h = np.polynomial.Polynomial([300.0 * RISE / SLOPE + 500, RISE])
    curve = lambda p: lambda x, order=0: (p.deriv(order) if order else p)(np.asarray(x, float))  # noqa: E731
    return Deck(Sheer.from_curves(curve(b), curve(h), start=0, end=4000), SameProportion("circle", 1 / 24))


def unrolled(deck: Deck, x, y) -> np.ndarray:
    """
    Points of the cone laid flat: distance from its tip, and the angle swept on the unit sphere between rulings.

    The tip is where the breadth is nought, at x -1200, z 500; rulings are y/(x + 1200) = constant.
    """
    x, y = np.atleast_1d(x), np.atleast_1d(y)
    d = np.stack([x + 1200, y, deck.height(x, y) - 500], axis=-1)
    far = np.linalg.norm(d, axis=-1)
    crown = deck.camber(0.0) / 300.0 * SLOPE
    shape = deck.law.shape

    def turn(v):
        # Direction (1, v, f(v)) along the ruling y = v (x + 1200); length of its path on the unit sphere.
        u, k = abs(v) / SLOPE, crown / SLOPE
        f = RISE + crown * shape.fraction(u, k)
        step = 1e-5
        f1 = crown * (shape.fraction(abs(v + step) / SLOPE, k) - shape.fraction(abs(v - step) / SLOPE, k)) / (2 * step)
        p, q = np.array([1, v, float(f)]), np.array([0, 1, float(f1)])
        return np.sqrt((q @ q) * (p @ p) - (p @ q) ** 2) / (p @ p)

    angle = np.array([quad(turn, 0, b / (a + 1200), epsabs=1e-12)[0] for a, b in zip(x, y, strict=True)])
    return np.column_stack([far * np.cos(angle), far * np.sin(angle)])


def test_true_length_of_a_deck_edge():
    """F2. b = 1 m (1 - xi^2) on 6 m, end sheer .3 m: plan length 6.418704 m, true length 6.454203 m."""
    xi = lambda x: np.asarray(x, float) / 3000  # noqa: E731

    def b(x, order=0):
        return [1000 * (1 - xi(x) ** 2), -xi(x) * 2 / 3, -2 / 9000 + 0 * xi(x)][order]

    def h(x, order=0):
        return [300 * xi(x) ** 2, xi(x) * 0.2, 0.2 / 3000 + 0 * xi(x)][order]

    sheer = Sheer.from_curves(b, h, start=-3000, end=3000)
    edge = flat_edge(Deck(sheer, SameProportion("circle", 1 / 32)), "port")
    assert edge.length / 1000 == pytest.approx(6.454203, abs=5e-7)
    assert sheer.true_length("port") == pytest.approx(edge.length, rel=1e-9)
    assert sheer.plan_length("port") / 1000 == pytest.approx(6.418704, abs=5e-7)


@pytest.mark.parametrize("side", ["port", "starboard"])
def test_flat_edge_of_a_cylinder(side):
    """F3. The flat edge is exactly (x, R asin(b(x)/R)); its offsets from the line joining its ends follow."""
    edge = flat_edge(cylinder(), side)
    exact = spile(edge.x, RADIUS * np.arcsin(plan(edge.x) / RADIUS))
    assert edge.along == pytest.approx(exact.along, abs=1e-7)
    assert edge.offset == pytest.approx(exact.offset, abs=1e-7)
    assert edge.chord == pytest.approx(exact.length, abs=1e-7)
    assert edge.offset.max() > 900


def test_flat_inset_and_strip_of_a_cylinder():
    """F3, further in: 150 mm inside the edge, and the other edge of a 100 mm strip, are its parallels in the flat."""
    edge = flat_edge(cylinder(), "starboard", inset=150.0, width=100.0)
    across = RADIUS * np.arcsin(plan(edge.x) / RADIUS)
    slope = plan(edge.x, 1) / np.sqrt(1 - (plan(edge.x) / RADIUS) ** 2)
    normal = np.array([slope, -np.ones_like(slope)]) / np.hypot(1, slope)
    line, far = (np.array([edge.x, across]) + d * normal for d in (150, 250))
    exact = spile(*line)
    other = spile(*far, start=line[:, 0], end=line[:, -1])
    assert edge.offset == pytest.approx(exact.offset, abs=1e-6)
    assert edge.along == pytest.approx(exact.along, abs=1e-6)
    assert edge.far_along == pytest.approx(other.along, abs=1e-6)
    assert edge.far_offset == pytest.approx(other.offset, abs=1e-6)
    assert edge.misfit == pytest.approx(0, abs=1e-6)


@pytest.mark.parametrize("ends", [((200, -100), (5600, 300)), ((2500, -900), (3600, 900)), ((3000, -900), (3000, 900))])
def test_batten_on_a_cylinder(ends):
    """F4. Unrolled, the batten is straight, and as long as the straight line (do Carmo, 4-4)."""
    line = geodesic(cylinder(), *ends)
    flat = spile(line.x, RADIUS * np.arcsin(line.y / RADIUS))
    assert np.abs(flat.offset).max() < 1e-7
    assert line.length == pytest.approx(flat.length, abs=1e-7)


def test_batten_in_a_direction_on_a_cylinder():
    """F4. From a point in a direction: a helix, straight when unrolled, of the length asked for."""
    line = geodesic(cylinder(), (200, -300), direction_deg=20, length=3000)
    flat = spile(line.x, RADIUS * np.arcsin(line.y / RADIUS))
    assert np.abs(flat.offset).max() < 1e-7
    assert line.length == pytest.approx(3000, abs=1e-6)
    assert flat.length == pytest.approx(3000, abs=1e-6)
    start = np.degrees(np.arctan2(line.y[1] - line.y[0], line.x[1] - line.x[0]))
    assert start == pytest.approx(20, abs=0.01)


@pytest.mark.parametrize("ends", [((100, -250), (3800, 900)), ((500, 350), (3900, 400)), ((2000, -700), (2300, 700))])
def test_batten_on_a_cone(ends):
    """F4. Unrolled from the cone's tip, the batten is straight, and as long as the straight line."""
    deck = cone()
    line = geodesic(deck, *ends)
    flat = spile(*unrolled(deck, line.x, line.y).T)
    assert np.abs(flat.offset).max() < 1e-4
    assert line.length == pytest.approx(flat.length, abs=1e-4)
    assert line.most_off_plan_line > 0.3


def test_flat_edge_of_a_cone():
    """The deck edge of the cone is one of its straight lines: no offset; lines inside it are straight, too."""
    for inset in (0.0, 120.0):
        edge = flat_edge(cone(), "port", inset=inset, width=80)
        assert np.abs(edge.offset).max() < 1e-6
        assert edge.misfit == pytest.approx(0, abs=1e-6)
        assert edge.far_offset == pytest.approx(np.full(25, -80.0), abs=1e-6)
    flat = unrolled(cone(), edge.x, -(300 + SLOPE * edge.x))
    assert np.abs(spile(*flat.T).offset).max() < 1e-4
