"""Flat shapes against unrolled cylinders and cones, geodesics, integrals, and the strain of a dome."""

from __future__ import annotations

import time
from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import dblquad, quad
from shapely.geometry import Polygon

from deckgeom.deck.crown import OneMould, SameProportion
from deckgeom.deck.even_hull import even_hull
from deckgeom.deck.flat_edge import flat_edge
from deckgeom.deck.geodesic import geodesic
from deckgeom.deck.surface import Deck
from deckgeom.hull.sheer import Sheer
from deckgeom.laying.lie_down import panel_strain
from deckgeom.laying.true_shape import Panel, true_shape
from deckgeom.laying.true_shape_flat import flatten
from deckgeom.laying.true_shape_marking import mark_out, outset
from deckgeom.laying.true_shape_mesh import panel_mesh
from deckgeom.laying.true_shape_pair import mirrored_pair
from tests.laying import surfaces


def powers(*coefficients):
    curve = np.polynomial.Polynomial(coefficients, domain=[0, 6000], window=[-1, 1])
    return lambda x, order=0: (curve if order == 0 else curve.deriv(order))(np.asarray(x, float))


def uneven_deck(twist=0.0):
    """Sides a little apart, fuller aft."""
    sheer = Sheer.from_curves(
        powers(1200, 60, -420, -40), powers(900 - twist, -40 - twist, 220, 10),
        powers(1230, 64, -424, -38), powers(915 + twist, -38 + twist, 218, 12), start=0, end=6000,
    )  # fmt: skip
    return Deck(sheer, SameProportion("circle", "1:28"), thickness=18)


def distances(points):
    return np.linalg.norm(points[:, None] - points[None], axis=-1)


# one way only: exact


def test_cylinder_unrolls_to_its_arc_lengths():
    """Published as exact: the flat place is (x, R asin(y/R)), whatever way the outline runs."""
    corners = [(100, -300), (2300, -700), (2500, 400), (1200, 900), (0, 500)]
    miss = []
    for size in (125, 62.5):
        found = true_shape(surfaces.cylinder(1500.0), Panel.from_outline("1", corners, lift=0.0), size=size)
        exact = np.column_stack([found.mesh.x, 1500 * np.arcsin(found.mesh.y / 1500)])
        miss.append(np.abs(distances(found.flat) - distances(exact)).max())
    assert miss[0] < 0.01 and miss[1] < miss[0] / 8
    assert found.greatest_strain < 2e-5


def test_middle_of_a_thick_sheet_lies_further_out():
    """The middle of a sheet on a roll of R is a roll of R + t/2: longer by half the thickness times the angle."""
    found = true_shape(surfaces.cylinder(1500.0), Panel.rectangle("1", (0, 1000), (-600, 600), thickness=20))
    assert np.ptp(found.flat[:, 1]) == pytest.approx(2 * 1510 * np.arcsin(600 / 1500), abs=1e-3)


def test_cone_unrolls_to_a_sector():
    """A place at the distance s from the tip and the angle a round the axis lies at s and a sin(half-angle)."""
    slope = 0.5
    found = true_shape(surfaces.cone(slope), Panel.rectangle("1", (3000, 5000), (-600, 900), lift=0.0))
    sine = slope / np.hypot(1, slope)
    turn = np.arcsin(found.mesh.y / (slope * found.mesh.x)) * sine
    reach = found.mesh.x * np.hypot(1, slope)
    exact = np.column_stack([reach * np.cos(turn), reach * np.sin(turn)])
    assert distances(found.flat) == pytest.approx(distances(exact), abs=2e-3)
    assert found.greatest_strain < 1e-6


@pytest.mark.parametrize(
    ("surface", "x"), [(surfaces.cylinder(1500.0, 25), (-800, 800)), (surfaces.cone(0.5), (3000, 4600))]
)
def test_straight_lines_in_the_flat_are_geodesics(surface, x):
    """Second route: the batten without edge-set, solved on the surface itself."""
    found = true_shape(surface, Panel.rectangle("1", x, (-500, 700), lift=0.0))
    mesh = found.mesh
    for i, j in ((0, -1), (mesh.grid[0, -1], mesh.grid[-1, 0]), (mesh.grid[2, 1], mesh.grid[-3, -2])):
        line = geodesic(surface, (mesh.x[i], mesh.y[i]), (mesh.x[j], mesh.y[j]))
        assert np.hypot(*(found.flat[i] - found.flat[j])) == pytest.approx(line.length, abs=2e-3)


def test_deck_that_is_a_cylinder_has_the_published_flat_edge():
    """One circular mould, straight crown line: the flat edge is (x, R asin(b(x)/R)); and the same as `flat_edge`."""
    def b(x, order=0):
        return powers(1200, 60, -420)(x, order)

    radius, top = 11_300.0, 1000.0

    def h(x, order=0):
        v = b(x)
        root = np.sqrt(radius**2 - v * v)
        if order == 0:
            return top - v * v / (radius + root)
        if order == 1:
            return -v * b(x, 1) / root
        return -(b(x, 1) ** 2 + v * b(x, 2)) / root - v * v * b(x, 1) ** 2 / root**3

    deck = Deck(Sheer.from_curves(b, h, start=0, end=6000), OneMould("circle", f"R={radius / 1000}m"))
    panel = Panel.half_deck(deck, "starboard", (0, 6000), lift=0.0, which="deck")
    found = true_shape(deck, panel)
    exact = np.column_stack([panel.x, radius * np.arcsin(b(panel.x) / radius)])
    outer = found.edge("outer")
    assert distances(outer) == pytest.approx(distances(exact), abs=1e-3)
    assert found.straightness("inner") < 1e-3
    marks = mark_out(found, "outer", spacing=500)
    spiled = flat_edge(deck, "starboard", x=panel.x)
    offset = np.interp(marks.along[1], spiled.along, spiled.offset)
    assert marks.offset[1] == pytest.approx(offset, abs=0.3)


# both ways: least strain


def test_dome_strains_as_the_published_strip_and_settles_with_finer_triangles():
    """Long strip on K: K W^2/24 in the middle, -K W^2/12 at the edges (published; derived from compatibility)."""
    middle, edge = 1200**2 / 24 / 1e8, 1200**2 / 12 / 1e8
    panel = Panel.rectangle("1", (-3000, 3000), (-600, 600), lift=0.0)
    rms = []
    for size in (200, 100, 50):
        found = true_shape(surfaces.sphere(10_000.0), panel, size=size)
        amid = np.abs(found.mesh.x[found.mesh.triangles].mean(axis=1)) < 300
        rms.append(found.rms_strain)
    squares = (found.stretch**2 + found.squeeze**2)[amid]
    rms_amid = np.sqrt(squares @ found.area[amid] / found.area[amid].sum())
    assert found.stretch[amid].max() == pytest.approx(middle, rel=0.03)
    assert -found.squeeze[amid].min() == pytest.approx(edge, rel=0.06)
    steps = np.abs(np.diff(rms))
    assert steps[1] < steps[0] / 2
    assert rms_amid == pytest.approx(edge / np.sqrt(5), rel=0.02)


def test_saddle_squeezes_in_the_middle():
    panel = Panel.rectangle("1", (-2000, 2000), (-500, 500), lift=0.0)
    found = true_shape(surfaces.saddle(20_000.0, 10_000.0), panel)
    centre = found.mesh.y[found.mesh.triangles].mean(axis=1)
    amid = np.abs(found.mesh.x[found.mesh.triangles].mean(axis=1)) < 300
    assert found.squeeze[amid & (np.abs(centre) < 100)].mean() < 0 < found.stretch[amid & (np.abs(centre) > 400)].mean()


def test_nothing_strains_less():
    """Any other flat shape has more energy: moved at random from the one found."""
    mesh = panel_mesh(surfaces.sphere(5000.0), Panel.rectangle("1", (-600, 600), (-400, 400)), size=200)
    plan = np.column_stack([mesh.x, mesh.y])
    flat, strain, area = flatten(mesh.triangles, mesh.sides, plan, (0, len(plan) - 1))
    least = area @ np.sum(strain**2, axis=(1, 2))
    from deckgeom.laying.true_shape_flat import _gradients, _strain

    gradient, _ = _gradients(mesh.sides)
    rng = np.random.default_rng(3)
    for size in (0.01, 0.1, 1.0):
        other = _strain(flat + size * rng.normal(size=flat.shape), mesh.triangles, gradient)[1]
        assert area @ np.sum(other**2, axis=(1, 2)) > least


def test_flat_area_agrees_with_the_integral_over_the_deck():
    """scipy's dblquad of the area element; the least strain keeps the area within the strain."""
    deck = uneven_deck()
    panel = Panel.rectangle("1", (1500, 3500), (-900, 500), lift=0.0)
    area, _ = dblquad(lambda y, x: float(np.sqrt(1 + sum(s**2 for s in deck.slopes(x, y, "beam")))), 1500, 3500, -900,
                      500, epsabs=10, epsrel=1e-7)  # fmt: skip
    found = true_shape(deck, panel)
    assert found.true_area == pytest.approx(area / 1e6, rel=3 * found.rms_strain)
    assert found.true_area == pytest.approx(Polygon(found.outline()).area / 1e6)


def test_edge_keeps_its_length_within_the_strain():
    deck = uneven_deck()
    found = true_shape(deck, Panel.covering_board(deck, "port", (300, 5700), 120, lift=0.0))
    outer = found.edge("outer")
    sheer = deck.sheer

    def speed(x):
        slope = deck.slopes(x, -float(sheer.half_breadth("port", x)), "beam")
        run = -float(sheer.half_breadth("port", x, 1))
        return np.sqrt(1 + run**2 + (float(slope[0]) + float(slope[1]) * run) ** 2)

    length, _ = quad(speed, 300, 5700, epsabs=1e-3)
    assert np.hypot(*np.diff(outer, axis=0).T).sum() == pytest.approx(length, rel=2 * found.greatest_strain + 2e-5)


def test_twelve_metres_in_well_under_a_second():
    deck = Deck(even_hull(12_000, 1800, 1200, 500), SameProportion("circle", "1:30"), 18)
    start = time.process_time()
    for panel in (
        Panel.half_deck(deck, "port", (-6000, 6000)),
        Panel.covering_board(deck, "starboard", (-5900, 5900), 150),
    ):
        assert true_shape(deck, panel).greatest_strain < 0.01
    assert time.process_time() - start < 1.5


# marking out


def test_offsets_are_the_flat_outline_measured_off_the_line():
    """Shapely: every mark lies on the flat outline, once it is put back."""
    deck = uneven_deck()
    found = true_shape(deck, Panel.half_deck(deck, "starboard", (400, 5600)))
    marks = mark_out(found, "inner", spacing=150, margin=12)
    edge = found.edge("inner")
    way = (edge[-1] - edge[0]) / np.hypot(*(edge[-1] - edge[0]))
    square = np.array([-way[1], way[0]])
    line = Polygon(found.outline()).exterior
    from shapely.geometry import Point

    rows = marks.rows()
    assert len(rows) > 60 and {row[0] for row in rows} == {"inner", "outer"}
    for _, along, offset in rows:
        assert line.distance(Point(edge[0] + along * way + offset * square)) < 0.3
    assert np.all(marks.offset[1] > 0) and marks.along[0][0] == 0
    assert np.diff(marks.along[1])[1:-1] == pytest.approx(150)
    cut, own = Polygon(marks.cut), Polygon(found.outline())
    assert cut.area == pytest.approx(own.buffer(12, join_style="mitre", mitre_limit=3).area, rel=1e-5)


def test_line_through_two_places_and_the_port_side():
    deck = uneven_deck()
    panel = Panel.rectangle("1", (1500, 3500), (-900, -100), grain_deg=30)
    marks = mark_out(true_shape(deck, panel), ((1500, -500), (3500, -500)), spacing=500)
    assert np.all(marks.offset[1] > 390) and np.all(marks.offset[0] < -390)
    assert "from x 1500, y -500 to x 3500, y -500" in marks.words()[0]
    assert marks.grain_deg == pytest.approx(-30, abs=0.5)
    assert "30 degrees off the line, its after end away from the outer edge" in marks.words()[1]


@pytest.mark.parametrize("grain", [-60, 0, 30, 90])
def test_grain_turns_with_the_sheet(grain):
    found = true_shape(surfaces.cylinder(5000.0), Panel.rectangle("1", (0, 1000), (-500, 500), grain_deg=grain))
    assert found.grain_deg == pytest.approx(grain, abs=0.1)


@pytest.mark.parametrize("margin", [0.0, 5.0, 20.0])
def test_margin_agrees_with_shapely_whichever_way_round(margin):
    corners = np.array([(0, 0), (2000, -100), (2400, 300), (1300, 500), (0, 700)], float)
    for points in (corners, corners[::-1]):
        whole = Polygon(points).buffer(margin, join_style="mitre", mitre_limit=3)
        assert Polygon(outset(points, margin)).area == pytest.approx(whole.area, rel=1e-9)


def test_sharp_point_is_cut_off():
    points = [(0, 0), (1000, -20), (1000, 20)]
    out = Polygon(outset(points, 10))
    assert out.is_valid and out.bounds[0] == pytest.approx(-30)
    assert out.contains(Polygon(points).buffer(9.99))


def test_pointed_half_deck_has_one_node_at_its_point():
    deck = Deck(even_hull(rise=200), SameProportion("circle", "1:30"))
    found = true_shape(deck, Panel.half_deck(deck, "port", (-3000, 3000)))
    assert len(found.mesh.outline()) == len(set(found.mesh.outline().tolist()))
    assert found.greatest_strain < 0.003
    assert len(mark_out(found).rows()) > 50


# pairs


def test_even_hull_has_one_pattern():
    deck = Deck(even_hull(rise=200), SameProportion("circle", "1:30"))
    pair = mirrored_pair(deck, *(Panel.half_deck(deck, side, (-2500, 2500)) for side in ("port", "starboard")))
    assert pair.apart < 1e-6 and "one pattern, turned over" in pair.words()


def test_sides_that_differ_say_by_how_much():
    """30 mm more half-breadth to starboard amidships: about half of it stays after the best fit."""
    deck = uneven_deck()
    pair = mirrored_pair(deck, *(Panel.half_deck(deck, side, (300, 5700)) for side in ("port", "starboard")))
    assert not pair.one_pattern and 10 < pair.apart < 32
    by = f"differ by {pair.apart:.0f} mm at {pair.apart_x:.0f} mm along the boat, more than the gap of 2 mm"
    assert by in pair.words()
    wide = mirrored_pair(deck, pair.port.panel, pair.starboard.panel, gap=40)
    assert wide.one_pattern


def test_pair_with_other_stations_is_refused():
    deck = uneven_deck()
    one = Panel.rectangle("1", (1000, 2000), (0, 500))
    with pytest.raises(ValueError, match="lie from 1000 to 2000 and from 2400 to 3400 mm: they are no pair"):
        mirrored_pair(deck, one.mirrored(), replace(one, x=[2400, 3400]))


# words and refusals


def test_words_name_strain_and_the_factory_edge():
    deck = uneven_deck()
    words = true_shape(deck, Panel.half_deck(deck, "starboard", (400, 5600), name="S1")).words("in")
    assert words[0].startswith("Panel S1 laid flat") and "63 sq ft (63 sq ft in plan)" in words[0]
    assert words[2].startswith("Outer edge: it lies up to ") and words[2].endswith("mark it and cut it.")


def test_wrong_wishes_are_named():
    deck = uneven_deck()
    panel = Panel.rectangle("1", (1000, 2000), (0, 500))
    found = true_shape(deck, panel)
    with pytest.raises(ValueError, match=r"\(1500, -200\) mm is not on the panel"):
        found.place(1500, -200)
    with pytest.raises(ValueError, match="edge 'left'"):
        found.edge("left")
    with pytest.raises(ValueError, match="triangles of 0 mm"):
        true_shape(deck, panel, size=0)
    with pytest.raises(ValueError, match="marks 0 mm apart"):
        mark_out(found, spacing=0)
    with pytest.raises(ValueError, match="a margin of -5 mm"):
        mark_out(found, margin=-5)
    with pytest.raises(ValueError, match="starts and ends at one place"):
        mark_out(found, ((1500, 200), (1500, 200)))
    with pytest.raises(ValueError, match="has no area"):
        flatten([[0, 1, 2]], [[1.0, 2.0, 3.0]], [[0, 0], [3, 0], [1, 0]], (0, 1))


@pytest.mark.parametrize("x", [(600, 1800), (2400, 4800), (4200, 5600)])
def test_strip_estimate_errs_on_the_careful_side(x):
    """Second route to the verdict's strain: the flat shape's own, which knows the ends of the sheet."""
    deck = uneven_deck()
    panel = Panel.rectangle("1", x, (-100, 620), thickness=9)
    strips, found = panel_strain(deck, panel), true_shape(deck, panel, size=60)
    spread = found.stretch.max() - found.squeeze.min()
    assert 0.3 * strips.range < spread < 1.15 * strips.range


@pytest.mark.parametrize("turned", [False, True])
def test_a_rough_start_does_not_turn_the_flat_shape(turned):
    """Held at two corners of one long edge, along x or along y: it keeps the way that they had, and is a cylinder's."""
    mesh = panel_mesh(surfaces.cylinder(4000.0), Panel.rectangle("1", (0, 1200), (0, 600), lift=0.0), 200)
    far = int(np.argmin(np.hypot(mesh.x - 1200, mesh.y)))
    rough = np.column_stack([mesh.x, mesh.y]) + np.random.default_rng(0).normal(0, 0.5, (len(mesh.x), 2))
    ways = [0, 2, 1] if turned else [0, 1, 2]
    start = rough[:, ::-1] if turned else rough
    flat, strain, _ = flatten(mesh.triangles[:, ways], mesh.sides[:, ways], start, (0, far))
    assert np.abs(strain).max() < 1e-8
    across = 0 if turned else 1
    assert (flat[far] - flat[0])[across] == pytest.approx((start[far] - start[0])[across], abs=1e-9)
    assert np.hypot(*(flat[far] - flat[0])) == pytest.approx(1200, abs=1e-3)
