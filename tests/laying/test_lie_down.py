"""Whether a sheet goes down, against published radii, closed forms and second routes."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import sympy
from scipy.integrate import solve_bvp
from scipy.optimize import brentq
from shapely.geometry import Point, Polygon

from deckgeom.deck.crown import OneMould, SameProportion
from deckgeom.deck.even_hull import even_hull
from deckgeom.deck.surface import Deck
from deckgeom.hull.sheer import Sheer
from deckgeom.laying.lie_down import LieDownChoices, Panel, lie_down, panel_strain
from deckgeom.laying.lie_down_map import curvature_map
from deckgeom.laying.lie_down_plywood import plate_stiffness, smallest_radius, thickest
from deckgeom.laying.lie_down_strain import membrane_strain, pucker_spacing, pucker_strain
from deckgeom.tables import SEEN, table
from tests.laying import surfaces


def powers(*coefficients):
    curve = np.polynomial.Polynomial(coefficients, domain=[0, 6000], window=[-1, 1])
    return lambda x, order=0: (curve if order == 0 else curve.deriv(order))(np.asarray(x, float))


def uneven_deck():
    """Sides apart, fuller aft, sheer that differs, deck on top of beams."""
    sheer = Sheer.from_curves(
        powers(1200, 60, -420, -40), powers(900, -40, 220, 10), powers(1260, 64, -424, -38), powers(915, -38, 218, 12),
        start=0, end=6000,
    )  # fmt: skip
    return Deck(sheer, SameProportion("circle", "1:28"), thickness=18)


# the table


def test_every_row_says_where_it_is_from():
    rows = table("plywood")
    assert len(rows) == 14
    assert all(row["source"] and row["seen"] in SEEN and None not in row for row in rows)


@pytest.mark.parametrize(
    ("inches", "across", "along"),
    [(1 / 4, 0.610, 1.524), (3 / 8, 0.914, 2.438), (1 / 2, 1.829, 3.658), (5 / 8, 2.438, 4.877), (3 / 4, 3.658, 6.096)],
)
def test_published_radii_of_construction_plywood(inches, across, along):
    """APA concrete-forming guide, minimum radii for plywood bent dry, in metres."""
    assert smallest_radius(inches * 25.4, "across") == pytest.approx(across * 1e3)
    assert smallest_radius(inches * 25.4, "along") == pytest.approx(along * 1e3)


@pytest.mark.parametrize(("inches", "along", "across"), [(0.25, 31, 20), (0.375, 54, 36)])
def test_published_radii_of_aircraft_plywood(inches, along, across):
    """FAA AC 43.13-1B, table 1-2, cold, 5-ply: 90 and 0-45 degrees to the face grain, in inches."""
    assert smallest_radius(inches * 25.4, "along", "aircraft") == pytest.approx(along * 25.4)
    assert smallest_radius(inches * 25.4, "across", "aircraft") == pytest.approx(across * 25.4)


def test_between_rows_on_the_line_and_below_at_the_same_strain():
    assert smallest_radius(7.9375, "across") == pytest.approx((610 + 914) / 2)
    assert 2 / (2 * smallest_radius(2, "along")) == pytest.approx(6.35 / (2 * 1524))
    radii = [smallest_radius(t, "across") for t in np.linspace(0.5, 19.05, 60)]
    assert np.all(np.diff(radii) > 0)


def test_the_table_refuses_what_it_has_no_row_for():
    with pytest.raises(ValueError, match="25 mm construction plywood: the table goes from 0 to 19.05 mm. Is it"):
        smallest_radius(25, "across")
    with pytest.raises(ValueError, match="bent 'athwart'"):
        smallest_radius(9, "athwart")
    with pytest.raises(ValueError, match="'marine': the table has construction and aircraft"):
        thickest("marine")


# stiffness


@pytest.mark.parametrize("plies", [3, 5, 7, 9])
def test_stiffness_is_the_integral_over_the_plies(plies):
    """Second route: integrate E z^2 ply by ply with sympy; E across = E/20 is from memory."""
    z, t = sympy.symbols("z"), sympy.Integer(12)
    for bend in ("along", "across"):
        whole = sum(
            sympy.integrate(
                (1 if (i % 2 == 0) == (bend == "along") else sympy.Rational(1, 20)) * z**2,
                (z, -t / 2 + i * t / plies, -t / 2 + (i + 1) * t / plies),
            )
            for i in range(plies)
        )
        assert plate_stiffness(12, bend, plies, modulus_gpa=10) == pytest.approx(float(whole) * 10e3, rel=1e-12)


def test_many_plies_make_both_ways_alike():
    assert plate_stiffness(12, "along", 301) / plate_stiffness(12, "across", 301) == pytest.approx(1, abs=0.02)
    with pytest.raises(ValueError, match="4 plies"):
        plate_stiffness(12, "along", 4)


# membrane strain and pucker


def test_published_strip_on_a_dome():
    """K .01 /m2, W 1.2 m: .0006 -.0012 .0018 (compatibility of a long strip with free edges; derived)."""
    strain = membrane_strain(np.full((3, 9), 0.01e-6), np.full(3, 1200.0))
    assert tuple(strain) == pytest.approx((0.0006, 0.0012, 0.0018), rel=1e-12)


def test_a_saddle_turns_the_signs_round():
    strain = membrane_strain(np.full((1, 9), -0.01e-6), np.array([1200.0]))
    assert (strain.stretch, strain.squeeze) == pytest.approx((0.0012, 0.0006))


def test_uneven_curvature_against_a_boundary_value_solver():
    """Second route: Airy's function f of a strip, f'''' = -K, f = f' = 0 at the edges, strain f'' (scipy)."""
    width, k0 = 1200.0, 0.01e-6

    def k(s):
        return k0 * (1 + 0.8 * s / 600 - 0.5 * (s / 600) ** 2)

    span = np.linspace(-600, 600, 401)
    scaled = solve_bvp(
        lambda s, f: np.vstack([f[1:], -k(s * 600)[None] * 600**2]),
        lambda a, b: np.array([a[0], a[1], b[0], b[1]]),
        span / 600, np.zeros((4, 401)), tol=1e-10,
    ).sol(span / 600)[2]  # fmt: skip
    node = np.polynomial.legendre.leggauss(9)[0]
    strain = membrane_strain(k(node * 600)[None], np.array([width]))
    assert strain.stretch == pytest.approx(scaled.max(), rel=1e-3)
    assert strain.squeeze == pytest.approx(-scaled.min(), rel=1e-6)


def test_published_pucker():
    """(pi^2/12)(t/s)^2, 9 mm at 300 mm: 7.40e-4 (Euler)."""
    assert pucker_strain(9, 300) == pytest.approx(7.40e-4, abs=0.005e-4)
    assert pucker_strain(9, pucker_spacing(9, 3e-4)) == pytest.approx(3e-4)
    assert pucker_spacing(9, 0.0) == np.inf
    with pytest.raises(ValueError, match="fastened 0 mm apart"):
        pucker_strain(9, 0)


# the verdict


def test_published_surface_strain_on_a_cylinder():
    """t/2R: 9 mm on 11.3 m, 3.982e-4; the sheet's middle lies 4.5 mm further out."""
    found = lie_down(surfaces.cylinder(11300 - 4.5), Panel.rectangle("1", (0, 2440), (-600, 600), thickness=9))
    assert found.surface_strain_across == pytest.approx(3.982e-4, abs=0.0005e-4)
    assert found.surface_strain_along == pytest.approx(0, abs=1e-12)
    assert found.strain.range == pytest.approx(0, abs=1e-10)
    assert (found.verdict, found.split) == ("goes down", None)


def test_face_grain_decides_on_a_sharp_cylinder():
    """9.525 mm: 914 mm across the face grain, 2438 mm along it (APA); a roll of 1.5 m takes one and not the other."""
    panel = Panel.rectangle("1", (0, 1200), (-600, 600), thickness=9.525)
    deck = surfaces.cylinder(1500 - panel.lift)
    across, along = lie_down(deck, panel), lie_down(deck, replace(panel, grain_deg=90))
    assert across.bend_use == pytest.approx(914 / 1500) and across.verdict == "goes down with force"
    assert along.bend_use == pytest.approx(2438 / 1500) and along.verdict == "will not go down"
    assert (across.off_grain_deg, along.off_grain_deg) == (90, 0)
    assert along.skins == 2 and "2 skins of 5 mm each would take it" in along.words()[0]


def test_turning_hull_and_grain_together_changes_nothing():
    turned = lie_down(
        surfaces.cylinder(2000, 30), Panel.rectangle("1", (-200, 200), (-200, 200), thickness=6, grain_deg=30)
    )
    square = lie_down(surfaces.cylinder(2000), Panel.rectangle("1", (-200, 200), (-200, 200), thickness=6))
    assert turned.bend_use == pytest.approx(square.bend_use, rel=1e-4)


def test_a_sharp_end_is_told_from_a_sharp_panel():
    """A cone: the radius across is half the distance along, so the bend is too sharp up to a known place."""
    panel = Panel.rectangle("1", (1000, 9000), (-150, 150), thickness=6.35, lift=0.0)
    found = lie_down(surfaces.cone(0.5), panel)
    limit = brentq(lambda x: 1 / surfaces.cone(0.5).curvature(x, 150.0).most - 610, 500, 2000)
    assert found.verdict == "will not go down" and found.bend_use > 1
    assert limit - 1 < found.good_run[0] < limit + 150 and found.good_run[1] == 9000
    assert found.sharp_share == pytest.approx((limit - 1000) / 8000, abs=0.01)
    assert "along the boat it takes it. End the sheet there" in found.words()[0]
    rest = lie_down(surfaces.cone(0.5), Panel.rectangle("1", found.good_run, (-150, 150), thickness=6.35, lift=0.0))
    assert rest.bend_use <= 1 and rest.good_run is None and rest.sharp_share == 0


def test_flat_deck_asks_for_nothing():
    flat = surfaces.Surface(lambda x, y: tuple(0.0 * x for _ in range(6)))
    found = lie_down(flat, Panel.rectangle("1", (0, 2440), (0, 1220), thickness=18))
    assert (found.verdict, found.bend_use, found.hold_down, found.strain.range) == ("goes down", 0, 0, 0)
    words = found.words()
    assert "Hardest bend for it: flat" in words[1] and "hold it down at any spacing" in words[4]


def test_thicker_than_the_table_asks_for_skins():
    found = lie_down(surfaces.cylinder(11000), Panel.rectangle("1", (0, 1200), (-600, 600), thickness=25))
    assert found.verdict == "will not go down" and found.bend_use == np.inf and found.skins == 2
    assert "no published radius for this thickness" in found.words()[1]


def test_split_is_the_fewest_that_bring_the_strain_down():
    """On a sphere of 10 m a strip 1.2 m broad has a range of W^2/8R^2 = .0018; halves .00045; limit .001 and .0004."""
    deck = surfaces.sphere(10_000.0)
    panel = Panel.rectangle("1", (-1500, 1500), (-600, 600), thickness=6)
    two = lie_down(deck, panel)
    assert two.strain.range == pytest.approx(1200**2 / 8 / 10_003**2, rel=0.01)
    assert (two.verdict, two.split) == ("split it", ("fore-and-aft", 2))
    three = lie_down(deck, panel, LieDownChoices(strain_limit=0.0004))
    assert three.split == ("fore-and-aft", 3)
    assert all(panel_strain(deck, part).range <= 0.0004 for part in panel.parts(3, "fore-and-aft"))
    assert "Split it into 2 equal parts with the seams fore-and-aft, each at most 600 mm broad" in two.words()[0]
    turned = lie_down(deck, Panel.rectangle("2", (-600, 600), (-1500, 1500), thickness=6))
    assert turned.split == ("athwart", 2)


def test_no_split_of_few_parts_is_enough():
    found = lie_down(surfaces.sphere(4_000.0), Panel.rectangle("1", (-1500, 1500), (-600, 600), thickness=3),
                     LieDownChoices(strain_limit=1e-5))  # fmt: skip
    assert (found.verdict, found.split) == ("will not go down", None)
    assert "Not even 8 parts" in found.words()[0]


def test_hold_down_is_the_couple_of_the_bending_moment():
    """D k over the row spacing, for each fastening: written again."""
    panel, choices = Panel.rectangle("1", (0, 1200), (-600, 600), thickness=9), LieDownChoices(plies=3, modulus_gpa=10)
    found = lie_down(surfaces.cylinder(5000 - panel.lift), panel, choices)
    across = (1 / 27 + 26 / 27 / 20) * 10e3 * 9**3 / 12
    assert found.hold_down == pytest.approx(across / 5000 / 400 * 150)


def test_pucker_is_named_with_the_spacing_that_cures_it():
    panel = Panel.rectangle("1", (-1500, 1500), (-600, 600), thickness=4)
    found = lie_down(surfaces.sphere(14_000.0), panel, LieDownChoices(edge_spacing=300))
    assert found.puckers and found.closest_spacing < 300 and found.verdict == "goes down with force"
    assert "squeezed along its edges, as on a dome: there it springs up between fastenings 300 mm" in found.words()[4]
    assert not lie_down(surfaces.sphere(14_000.0), panel, LieDownChoices(edge_spacing=100)).puckers


def test_uneven_deck_mirrored_gives_the_other_side():
    deck = uneven_deck()
    sheer = deck.sheer
    other = Deck(
        Sheer.from_curves(
            lambda x, n=0: sheer.half_breadth("starboard", x, n), lambda x, n=0: sheer.height("starboard", x, n),
            lambda x, n=0: sheer.half_breadth("port", x, n), lambda x, n=0: sheer.height("port", x, n),
            start=0, end=6000,
        ), SameProportion("circle", "1:28"), thickness=18,
    )  # fmt: skip
    panel = Panel.half_deck(deck, "starboard", (500, 3500), thickness=9, grain_deg=20)
    a, b = lie_down(deck, panel), lie_down(other, panel.mirrored())
    assert a.strain == pytest.approx(b.strain, rel=1e-9)
    assert (a.bend_use, a.bend_y) == pytest.approx((b.bend_use, -b.bend_y))


def test_words_in_inches_and_the_caution():
    words = lie_down(uneven_deck(), Panel.rectangle("fore", (1000, 2200), (0, 600), thickness=9.525)).words("in")
    assert words[0].startswith("Panel fore, 3/8 in: goes down")
    assert "licensed designer or surveyor" in words[-1]


def test_choices_in_per_cent_are_seen():
    with pytest.raises(ValueError, match="strain_limit 0.1: wood breaks before 0.02. Is it in per cent"):
        LieDownChoices(strain_limit=0.1)
    with pytest.raises(ValueError, match="row_spacing 0: it is above 0"):
        LieDownChoices(row_spacing=0)


# the panel


def test_outline_either_way_round_agrees_with_shapely():
    corners = [(0, 0), (2000, -100), (2400, 300), (1500, 900), (0, 700)]
    for points in (corners, corners[::-1], corners[3:] + corners[:3], [*corners, corners[0]]):
        panel = Panel.from_outline("1", points)
        assert panel.area * 1e6 == pytest.approx(Polygon(corners).area)
        assert Polygon(panel.outline()).symmetric_difference(Polygon(corners)).area == pytest.approx(0, abs=1e-6)


@pytest.mark.parametrize("seams", ["fore-and-aft", "athwart"])
def test_parts_cover_the_panel_once(seams):
    panel = Panel.half_deck(uneven_deck(), "port", (0, 6000))
    parts = [Polygon(part.outline()) for part in panel.parts(3, seams)]
    whole = Polygon(panel.outline())
    assert sum(part.area for part in parts) == pytest.approx(whole.area)
    assert parts[0].union(parts[1]).union(parts[2]).symmetric_difference(whole).area < 1e-3 * whole.area
    assert parts[0].intersection(parts[1]).area < 1e-6 * whole.area


def test_covering_board_is_the_edge_less_its_parallel():
    deck = uneven_deck()
    panel = Panel.covering_board(deck, "starboard", (0, 6000), 120)
    edge = np.linspace(-300, 6300, 2001)
    line = Polygon([*zip(edge, deck.sheer.half_breadth("starboard", edge), strict=True), (6300, -999), (-300, -999)])
    inside = line.buffer(-120, quad_segs=64)
    for x, low in zip(panel.x[::12], panel.low[::12], strict=True):
        assert inside.exterior.distance(Point(x, low)) < 0.2
    port = Panel.covering_board(deck, "port", (300, 5700), 120)
    assert np.all(port.high <= 0) and port.breadth < 140


def test_panels_that_cannot_be_are_named():
    with pytest.raises(ValueError, match="at x 0 mm its edges are 500 and 100 mm"):
        Panel.rectangle("1", (0, 1000), (500, 100))
    with pytest.raises(ValueError, match="turns back or steps at"):
        Panel.from_outline("1", [(0, 0), (1000, 0), (1000, 900), (400, 900), (600, 500), (0, 500)])
    with pytest.raises(ValueError, match="turns back or steps at"):
        Panel.from_outline("1", [(0, 0), (1000, 0), (1000, 900), (400, 900), (400, 500), (0, 500)])
    with pytest.raises(ValueError, match="thickness of -9 mm"):
        Panel.rectangle("1", (0, 1000), (0, 100), thickness=-9)
    with pytest.raises(ValueError, match="Panel 7: a place on its edges is blank"):
        Panel("7", [0, 1000], [0, np.nan], [100, 100])
    with pytest.raises(ValueError, match="2 stations for edges of 3"):
        Panel("1", [0, 1], [0, 0, 0], [1, 1])


# the map


def test_map_of_one_mould_on_a_straight_sheer_is_flat_one_way():
    level = Sheer.from_curves(powers(1500), powers(800), start=0, end=6000)
    found = curvature_map(Deck(level, OneMould("circle", "1:30")))
    assert np.abs(found.gaussian).max() < 1e-20
    assert found.smallest_radius == pytest.approx(11300, rel=1e-9)
    assert "bends one way only" in found.words()[1]


def test_map_agrees_with_the_deck_and_names_the_worst_place():
    deck = uneven_deck()
    found = curvature_map(deck, rows=13, columns=7)
    assert found.y[:, 0] == pytest.approx(-deck.sheer.half_breadth("port", found.x[:, 0]))
    assert found.gaussian == pytest.approx(deck.curvature(found.x, found.y, "beam").gaussian)
    width = found.sheet_width(0.0018)
    assert width**2 * np.abs(found.gaussian) / 8 == pytest.approx(0.0018)
    assert f"up to {width.min():.0f} mm broad" not in found.words()[1]
    assert f"up to {found.sheet_width(0.001).min():.0f} mm broad" in found.words()[1]


def test_map_of_a_pointed_hull_has_no_gap():
    found = curvature_map(Deck(even_hull(rise=300), SameProportion("parabola", "1:24")), ends=0.0)
    assert np.all(np.isfinite(found.y))
    with pytest.raises(ValueError, match="a map of 1 by 21 places"):
        curvature_map(Deck(even_hull(), OneMould("circle", "1:24")), rows=1)
