"""Battens bent flat on a real deck, and strips of its edge laid flat, by second routes."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from deckgeom.deck.crown import SameProportion
from deckgeom.deck.flat_edge import flat_edge, geodesic_curvature
from deckgeom.deck.geodesic import geodesic
from deckgeom.deck.spiling import spile
from deckgeom.deck.surface import Deck
from deckgeom.hull.sheer import Sheer
from tests.deck.beam_hulls import LENGTH, level_deck, powers, round_deck


class Plane:
    """A tilted plane."""

    def partials(self, x, y, order=2, which="deck"):
        """Height and derivatives."""
        zero = 0.0 * (x + y)
        return (0.2 * x - 0.1 * y, 0.2 + zero, -0.1 + zero, zero, zero, zero)


def test_straight_on_a_plane():
    """Limit: nothing to bend round."""
    line = geodesic(Plane(), (100, 200), (3000, -700))
    assert line.most_off_plan_line < 1e-9
    assert line.length == pytest.approx(np.sqrt(2900**2 + 900**2 + (0.2 * 2900 + 0.1 * 900) ** 2))


def test_second_route_by_scipy():
    """The equation of the geodesic in arc length, run by solve_ivp from our batten's start, arrives at its end."""
    deck = round_deck()
    line = geodesic(deck, (300, -500), (5600, 700))

    def rates(_, state):
        x, y, p, q = state
        _, zx, zy, zxx, zxy, zyy = (float(v) for v in deck.partials(np.array(x), np.array(y), 2, "deck"))
        bend = (zxx * p * p + 2 * zxy * p * q + zyy * q * q) / (1 + zx * zx + zy * zy)
        return [p, q, -zx * bend, -zy * bend]

    ahead = line.at([0, 0.1])
    way = np.array([v[1] - v[0] for v in ahead[:2]]) / 0.1
    end = solve_ivp(rates, (0, line.length), [300, -500, *way], rtol=1e-9, atol=1e-9, method="DOP853").y[:2, -1]
    assert end == pytest.approx([5600, 700], abs=0.1)


def test_direction_and_ends_agree():
    """Round trip: the batten found between two points, run again from its start in its direction, ends at the other."""
    deck = round_deck(thickness=12)
    for which in ("deck", "beam"):
        there = geodesic(deck, (400, 600), (5200, -300), which=which)
        a, b = there.at([0, 1e-2])[:2]
        direction = np.degrees(np.arctan2(b[1] - b[0], a[1] - a[0]))
        again = geodesic(deck, (400, 600), direction_deg=direction, length=there.length, which=which)
        assert (again.x[-1], again.y[-1]) == pytest.approx((5200, -300), abs=0.05)


@settings(max_examples=12)
@given(st.floats(300, 2500), st.floats(-600, 600), st.floats(3500, 5700), st.floats(-600, 600))
def test_from_either_end(x0, y0, x1, y1):
    """Reversed, it is the same batten; mirrored, its mirror."""
    deck = round_deck()
    there, back = geodesic(deck, (x0, y0), (x1, y1)), geodesic(deck, (x1, y1), (x0, y0))
    assert back.length == pytest.approx(there.length, abs=1e-3)
    assert back.most_off_plan_line == pytest.approx(there.most_off_plan_line, abs=1e-2)
    mirror = Deck(deck.sheer.swapped(), deck.rule)
    assert geodesic(mirror, (x0, -y0), (x1, -y1)).y == pytest.approx(-there.y, abs=1e-6)


def test_no_other_batten_is_shorter():
    """Sprung sideways by a millimetre or two, either way, a line between the same ends is longer."""
    deck = round_deck()
    line = geodesic(deck, (500, 300), (5500, 800))
    along = np.linspace(0, line.length, 2001)
    x, y, _ = line.at(along)

    def length(sideways):
        v = y + sideways * np.sin(np.pi * along / line.length)
        return np.sum(np.sqrt(np.diff(x) ** 2 + np.diff(v) ** 2 + np.diff(deck.height(x, v)) ** 2))

    here = length(0.0)
    assert here == pytest.approx(line.length, abs=1e-3)
    assert all(length(s) > here for s in (-4.0, -2.0, 2.0, 4.0))


def test_how_far_a_straight_plank_edge_differs():
    """A line straight in plan lies off the batten where the deck is crowned both ways, and not along the centreline."""
    deck = round_deck()
    assert geodesic(deck, (500, 900), (5500, 900)).most_off_plan_line > 4
    even = level_deck()
    assert geodesic(even, (500, 0), (5500, 0)).most_off_plan_line < 1e-9


@pytest.mark.parametrize(
    "asked, words",
    [
        ({"end": (100, 0)}, "starts and ends at .100, 0."),
        ({"end": (500, 0), "length": 5}, "not both"),
        ({"direction_deg": 5}, "direction 5 and length None is not enough"),
        ({"direction_deg": 5, "length": -1}, "length above 0"),
    ],
)
def test_batten_messages(asked, words):
    """Half an order is refused with what is missing."""
    with pytest.raises(ValueError, match=words):
        geodesic(Plane(), (100, 0), **asked)
    with pytest.raises(ValueError, match="mark at 2000 mm is not on the batten, which is"):
        geodesic(Plane(), (0, 0), (1000, 0)).at([0, 2000])


def test_geodesic_curvature_in_a_plane():
    """Limit: on a flat deck the plan curve's own curvature, y''/(1 + y'^2)^1.5; on a tilted plane a circle's, 1/R."""
    assert geodesic_curvature((0.0, 0.0), (0.5, 0.0), (2e-4, 0.0)) == pytest.approx(2e-4 / 1.25**1.5)
    # A circle of radius 700 in the plane z = x tan 30, written over x.
    c, t, x = np.cos(np.radians(30)), np.tan(np.radians(30)), 200.0
    s = x / c
    root = np.sqrt(700**2 - s * s)
    y1, y2 = -s / root / c, -(700**2) / root**3 / c**2
    assert geodesic_curvature((t, 0.0), (y1, t), (y2, 0.0)) == pytest.approx(-1 / 700)


def unrolled_strip(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    """Lay a strip of triangles a0 b0 a1, b0 a1 b1 ... flat, one by one, by the lengths of their sides; the flat a."""
    flat_a, flat_b = [np.zeros(2)], [np.array([0.0, np.linalg.norm(b[0] - a[0])])]

    def third(p, q, from_p, from_q, left):
        gap = np.linalg.norm(q - p)
        u = (from_p**2 - from_q**2 + gap**2) / (2 * gap)
        v = np.sqrt(max(0.0, from_p**2 - u**2)) * left
        way = (q - p) / gap
        return p + u * way + v * np.array([-way[1], way[0]])

    for i in range(len(a) - 1):
        new_a = third(flat_a[i], flat_b[i], np.linalg.norm(a[i + 1] - a[i]), np.linalg.norm(a[i + 1] - b[i]), -1)
        new_b = third(new_a, flat_b[i], np.linalg.norm(b[i + 1] - a[i + 1]), np.linalg.norm(b[i + 1] - b[i]), -1)
        flat_a.append(new_a)
        flat_b.append(new_b)
    return np.array(flat_a)


@pytest.mark.parametrize("side", ["port", "starboard"])
def test_second_route_by_unrolling_triangles(side):
    """A narrow strip along the deck edge cut into triangles and laid flat tends to the same offsets."""
    deck = round_deck()
    x = np.linspace(0, LENGTH, 1201)
    sign = -1.0 if side == "port" else 1.0
    edge = flat_edge(deck, side, x=x)
    worst = []
    for width in (40.0, 10.0):
        b, b1 = deck.sheer.half_breadth(side, x), deck.sheer.half_breadth(side, x, 1)
        inner_x, inner_y = x + width * b1 / np.hypot(1, b1), b - width / np.hypot(1, b1)
        outer = np.column_stack([x, sign * b, deck.height(x, sign * b)])
        inner = np.column_stack([inner_x, sign * inner_y, deck.height(inner_x, sign * inner_y)])
        # Always laid out with the strip on the left, so both sides read outward as negative.
        flat = spile(*unrolled_strip(outer, inner).T)
        worst.append(np.max(np.abs(-flat.offset - edge.offset)))
    assert worst[1] < 0.3
    assert worst[1] < worst[0] / 2


def test_strip_on_a_deck_that_bends_both_ways():
    """What the far edge must stretch is K w^2 / 2 along it, by its sign; second route: its true length by chords."""
    deck = round_deck()
    edge = flat_edge(deck, "starboard", width=400.0, x=np.linspace(0, LENGTH, 601))
    assert abs(edge.misfit) > 0.01
    inner = flat_edge(deck, "starboard", inset=400.0, x=np.linspace(0, LENGTH, 601))
    flat_far = np.sum(np.hypot(np.diff(edge.far_along), np.diff(edge.far_offset)))
    assert inner.length - flat_far == pytest.approx(edge.misfit, abs=2e-3)
    assert flat_edge(level_deck(), "port", width=400).misfit == pytest.approx(0, abs=1e-8)


def test_port_and_starboard_of_equal_sides():
    """Equal sides: equal offsets; swapped sides: swapped."""
    deck = round_deck()
    mirror = Deck(deck.sheer.swapped(), deck.rule)
    for inset in (0.0, 200.0):
        a, b = flat_edge(deck, "port", inset), flat_edge(mirror, "starboard", inset)
        assert a.offset == pytest.approx(b.offset, abs=1e-8)
        assert a.along == pytest.approx(b.along, abs=1e-8)


def test_marks_do_not_move_the_edge():
    """More marks, the same edge where marks are shared; scale-free."""
    deck = round_deck()
    few, many = (flat_edge(deck, "port", x=np.linspace(0, LENGTH, n)) for n in (7, 61))
    assert many.offset[::10] == pytest.approx(few.offset, abs=1e-6)
    assert many.length == pytest.approx(few.length, abs=1e-6)
    assert few.rows()[2] == ("deck edge", "port", few.along[2], few.offset[2])


def test_inset_line_that_crosses_the_centreline_at_a_pointed_stem():
    """It has marks only as far as it stays on its own side."""
    sheer = Sheer.from_curves(powers(900, 300, -600), powers(900, -30, 60), start=0, end=LENGTH)
    deck = Deck(sheer, SameProportion("circle", 1 / 30))
    whole, inside = flat_edge(deck, "port"), flat_edge(deck, "port", inset=250)
    assert whole.x[0] == 0 and len(whole.x) == 25
    assert 0 < inside.x[0] < 1500 and inside.x[-1] == LENGTH
    b, b1 = (float(deck.sheer.half_breadth("port", inside.x[0], n)) for n in (0, 1))
    assert 0 < b - 250 / np.hypot(1, b1) < 60
    assert inside.edge == "250 mm inside the deck edge"


@pytest.mark.parametrize(
    "asked, words",
    [
        ({"side": "left"}, "side 'left' is not known"),
        ({"side": "port", "inset": -5}, "inset -5 and width None"),
        ({"side": "port", "width": 0}, "a width more than 0"),
        ({"side": "port", "x": [0, 9000]}, "Marks from 0 to 9000 mm"),
        ({"side": "port", "x": [100]}, "give 2 or more"),
        ({"side": "port", "inset": 1600}, "beyond the centreline all along|more than the bend"),
    ],
)
def test_flat_edge_messages(asked, words):
    """Value, rule and likely slip."""
    with pytest.raises(ValueError, match=words):
        flat_edge(round_deck(), **asked)
