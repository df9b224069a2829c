"""Planks against closed forms, a cylinder unrolled, shapely and the geodesic code."""

from __future__ import annotations

import numpy as np
import pytest
from shapely.geometry import LineString, Point

from deckgeom.deck.crown import OneMould, SameProportion
from deckgeom.deck.even_hull import even_hull
from deckgeom.deck.geodesic import geodesic
from deckgeom.deck.surface import Deck
from deckgeom.hull.sheer import Sheer
from deckgeom.laying.planks import PlankChoices, lay_planks

R = 5000.0


def parabola(half, end):
    def plan(x, order=0):
        x = np.asarray(x, float)
        return [half * (1 - (x / end) ** 2), -2 * half * x / end**2, np.full_like(x, -2 * half / end**2)][order]

    return plan


def cylinder():
    """A deck cut from one cylinder of radius R: each edge's height follows its half-breadth, sides unequal."""
    port, starboard = parabola(900, 3000), parabola(1100, 3000)

    def profile(plan):
        def height(x, order=0):
            b, b1, b2 = (plan(x, n) for n in range(3))
            z = np.sqrt(R * R - b * b)
            return [z, -b * b1 / z, -(b1 * b1 + b * b2) / z - (b * b1) ** 2 / z**3][order]

        return height

    class Cylinder:
        sheer = Sheer.from_curves(port, profile(port), starboard, profile(starboard), start=-2800, end=2800)

        def partials(self, x, y, order=2, which="deck"):
            x, y = np.broadcast_arrays(np.asarray(x, float), np.asarray(y, float))
            z = np.sqrt(R * R - y * y)
            return (z, 0 * x, -y / z, 0 * x, 0 * x, -R * R / z**3)[: (1, 3, 6)[order]]

        def slopes(self, x, y, which="deck"):
            return self.partials(x, y, 1)[1:]

    return Cylinder()


def test_straight_planks_on_a_cylinder_lie_at_equal_arcs():
    found = lay_planks(cylinder(), PlankChoices(110, king=160))
    for side, half in (("port", 900), ("starboard", 1100)):
        for edge in found.of(side):
            arc = 80 + 110 * edge.number
            assert edge.over == pytest.approx(np.full(len(edge.x), arc))
            assert edge.y == pytest.approx(R * np.sin(arc / R), abs=1e-6)
        count = int((R * np.arcsin(half / R) - 80) // 110)
        assert len(found.of(side)) == count + 1
        assert found.left[side] == pytest.approx((R * np.arcsin(half / R) - 80 - 110 * count, 0.0), abs=1e-3)


def test_sprung_planks_on_a_cylinder_are_offsets_in_the_flat():
    """The cylinder unrolled is a plane: there shapely measures the distance of each edge from the covering board's."""
    found = lay_planks(cylinder(), PlankChoices(90, "sprung", king=120, covering_board=150))
    for side, half in (("port", 900), ("starboard", 1100)):
        x = np.linspace(-2800, 2800, 40001)
        edge = LineString(np.column_stack([x, R * np.arcsin(parabola(half, 3000)(x) / R)]))
        for plank in found.of(side):
            flat = np.column_stack([plank.x, R * np.arcsin(plank.y / R)])
            inside = flat[(np.abs(flat[:, 0]) < 2500) & (flat[:, 1] > 70)]
            off = np.array([edge.distance(Point(p)) for p in inside])
            assert off == pytest.approx(np.full(len(off), 150 + 90 * plank.number), abs=0.05)
            assert plank.over == pytest.approx(R * np.arcsin(plank.y / R), abs=1e-6)


def test_sprung_planks_keep_their_width_along_geodesics_of_a_real_deck():
    deck = Deck(even_hull(length=8000, half_breadth=1400, rise=300), SameProportion("circle", "1:24"))
    edges = lay_planks(deck, PlankChoices(100, "sprung", king=140, covering_board=180)).of("starboard")
    x0 = -1200.0
    y0 = float(deck.sheer.half_breadth("starboard", x0))
    for edge in (edges[0], edges[4]):
        near = np.linspace(x0 - 400, x0 + 900, 521)
        y = np.interp(near, edge.x, edge.y)
        reach = [geodesic(deck, (x0, y0), (a, b)).length for a, b in zip(near[::8], y[::8], strict=True)]
        assert min(reach) == pytest.approx(180 + 100 * edge.number, abs=0.5)


def test_a_deck_with_straight_sides_is_planked_alike_both_ways():
    level = lambda value: lambda x, order=0: (value if order == 0 else 0.0) + 0.0 * x  # noqa: E731
    deck = Deck(Sheer.from_curves(level(1250), level(800), start=0, end=6000), OneMould("circle", 1e-3))
    straight = lay_planks(deck, PlankChoices(100, king=200)).of("port")
    sprung = lay_planks(deck, PlankChoices(100, "sprung", king=200)).of("port")
    assert [e.at(3000)[1] for e in straight] == pytest.approx(np.arange(100, 1201, 100), abs=5e-3)
    assert [e.at(3000)[1] for e in sprung] == pytest.approx(np.arange(1250, 99, -100), abs=5e-3)


def test_sides_swapped_swap_the_planks():
    found = lay_planks(Deck(even_hull(length=6000), OneMould("circle", 90)), PlankChoices(75, "sprung", 150, 120))
    for p, s in zip(found.of("port"), found.of("starboard"), strict=True):
        assert p.y == pytest.approx(s.y, abs=1e-6) and p.x == pytest.approx(s.x, abs=1e-6)
    assert found.left["port"] == pytest.approx(found.left["starboard"])


def test_rows_words_and_nibs():
    deck = Deck(even_hull(length=6000, half_breadth=1000), OneMould("circle", 60))
    found = lay_planks(deck, PlankChoices(100, nib=0.5))
    rows = found.rows([0.0, 2900.0])
    assert (0.0, "port", 3) in [row[:3] for row in rows]
    assert max(row[2] for row in rows if row[0] == 2900.0) == 0
    where, slant = found.ends["port", 5][1]
    assert slant == pytest.approx(100 / abs(2 * 1000 * where / 3000**2), rel=1e-6)
    assert "10 whole planks" in found.words()[1] and "nib 50 mm wide" in found.words()[-1]


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: PlankChoices(0), "planks 0 mm wide"),
        (lambda: PlankChoices(50, "curved"), "lay 'curved'"),
        (lambda: PlankChoices(50, nib=50), "nib of 50 plank widths.*per cent"),
        (lambda: lay_planks(cylinder(), PlankChoices(50, king=9000)), "no plank 50 mm wide"),
    ],
)
def test_what_cannot_be_is_said(make, words):
    with pytest.raises(ValueError, match=words):
        make()
