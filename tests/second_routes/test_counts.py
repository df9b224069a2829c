"""Counts, loads, tapes and meshes by another arithmetic: boxes, inches and pounds, points in space, a ball."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
import sympy as sp
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial.distance import cdist
from shapely.geometry import box
from shapely.ops import unary_union

from deckgeom.deck.beams import BeamMark, lay_out_beams
from deckgeom.deck.bending import grain_slope
from deckgeom.deck.even_hull import even_hull
from deckgeom.deck.story_stick import story_stick
from deckgeom.laying.fastenings_hold import withdrawal
from deckgeom.laying.lie_down import Panel
from deckgeom.laying.quantities import strips_to_cover
from deckgeom.laying.scarfs import Scarf, joined_length
from deckgeom.laying.true_shape_mesh import panel_mesh
from tests.deck.beam_hulls import round_deck
from tests.laying import surfaces


@given(st.integers(200, 5000), st.integers(300, 1600), st.integers(0, 250))
def test_strips_laid_one_by_one_until_shapely_finds_no_gap(breadth, cloth, lap):
    """Strips as boxes, each lapped on the last: the first number whose union covers the breadth."""
    deck = box(0, 0, 10, breadth)
    for count in itertools.count(1):
        strips = [box(0, k * (cloth - lap), 10, k * (cloth - lap) + cloth) for k in range(count)]
        if unary_union(strips).covers(deck):
            break
    assert strips_to_cover(breadth, cloth, lap) == count


@pytest.mark.parametrize("lengths", [[2440, 2440], [2440, 1220, 3050], [900, 2440, 600, 1800]])
def test_scarfed_pieces_drawn_from_the_side(lengths):
    """Pieces laid so that each taper fits the last without gap or overlap: as long as said, and of even thickness."""
    from shapely.geometry import Polygon

    t, n = 11.0, 8.0
    taper, start, pieces = t * n, 0.0, []
    for k, length in enumerate(lengths):
        left, right = (taper if k else 0.0), (taper if k < len(lengths) - 1 else 0.0)
        # feather edge below at the left, above at the right: the taper of one lies on that of the other
        pieces.append(Polygon([(start, 0), (start + length - right, 0), (start + length, t), (start + left, t)]))
        start += length - right
    whole = unary_union([piece.buffer(1e-9) for piece in pieces])
    low, high = whole.bounds[0], whole.bounds[2]
    assert high - low == pytest.approx(joined_length(lengths, Scarf(t, n)), abs=1e-6)
    assert whole.area == pytest.approx((high - low) * t, rel=1e-6)


@pytest.mark.parametrize(
    ("what", "coefficient", "power"),
    [("wood screw", 15700, 2.0), ("ring nail", 11250, 2.0), ("smooth nail", 7850, 2.5)],
)
def test_draw_loads_in_pounds_and_inches(what, coefficient, power):
    """The handbook's own inch-pound equations; their coefficients are from memory, the metric ones were read."""
    pounds = coefficient * 0.44**power * (4.3 / 25.4) * (27.0 / 25.4)
    assert withdrawal(what, 0.44, 4.3, 27.0) == pytest.approx(pounds * 4.4482216152605, rel=3e-4)


def test_slope_of_grain_is_the_derivative_of_the_parabola_at_its_end():
    y, breadth, camber = sp.symbols("y B c", positive=True)
    slope = -sp.diff(camber * (1 - 4 * y**2 / breadth**2), y).subs(y, breadth / 2)
    assert grain_slope(2710, 83) == pytest.approx(float(slope.subs({breadth: 2710, camber: 83})), rel=1e-15)


def test_diagonals_are_distances_between_edge_points_of_an_uneven_deck():
    """scipy's distances between points in space, taken from the deck's own surface at each mark; uneven spacing."""
    deck = round_deck(twist=25.0)
    places = [600.0, 1450.0, 2600.0, 3100.0, 5200.0]
    stick = story_stick(lay_out_beams(deck, [BeamMark(str(k), x) for k, x in enumerate(places)]))

    def edge(side):
        y = np.array([float(deck.edge(side, x)[0]) for x in places])
        return np.column_stack([places, y, deck.height(np.array(places), y, "beam")])

    apart = cdist(edge("port"), edge("starboard"))
    assert [d.port_to_starboard for d in stick.diagonals] == pytest.approx(np.diag(apart, 1), abs=1e-6)
    assert [d.starboard_to_port for d in stick.diagonals] == pytest.approx(np.diag(apart, -1), abs=1e-6)


def test_sides_of_a_mesh_on_a_ball_are_arcs_of_great_circles():
    """The shortest way on a ball is R times the angle; sides miss it by the fourth power of their length."""
    radius, worst, columns = 7000.0, [], (4, 8, 16)
    for count in columns:
        panel = Panel.rectangle("1", (300, 2300), (-900, 700), lift=0.0)
        mesh = panel_mesh(surfaces.sphere(radius), panel, 3200 / count, count)
        corner = mesh.points[mesh.triangles] / radius
        assert np.abs(np.linalg.norm(corner, axis=2) - 1).max() < 1e-12
        chord = np.linalg.norm(np.roll(corner, -1, axis=1) - np.roll(corner, -2, axis=1), axis=2)
        arc = 2 * radius * np.arcsin(chord / 2)
        worst.append(np.abs(mesh.sides / arc - 1).max())
    assert worst[0] < 1e-6
    assert 3.3 < np.log(worst[0] / worst[-1]) / np.log(columns[-1] / columns[0]) < 4.7


def test_even_hull_by_sympy():
    """Plan and profile of the double-ended hull, and their derivatives, from its formula."""
    x, b0, z0, rise, length = sp.symbols("x b0 z0 S L", positive=True)
    xi = 2 * (x - 700) / length
    numbers = {b0: 1310, z0: 870, rise: 240, length: 5400}
    made = even_hull(5400.0, 1310.0, 870.0, 240.0, middle=700.0)
    for order in (0, 1, 2):
        for ours, formula in ((made.half_breadth, b0 * (1 - xi**2)), (made.height, z0 + rise * xi**2)):
            wanted = float(sp.diff(formula, x, order).subs(numbers).subs(x, 2111) if order else
                           formula.subs(numbers).subs(x, 2111))  # fmt: skip
            assert float(ours("port", 2111.0, order)) == pytest.approx(wanted, rel=1e-13)

