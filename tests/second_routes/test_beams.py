"""Beams and holes by polygons and points in space: stock, end cuts, bevels, the mast's hole; on uneven raked cases."""

from __future__ import annotations

import numpy as np
import pytest
import sympy as sp
from scipy.optimize import brentq, minimize_scalar
from shapely import affinity
from shapely.geometry import LineString, MultiPoint, Polygon

from deckgeom.deck.beam_marks import BeamMark
from deckgeom.deck.beams import lay_out_beams
from deckgeom.deck.framing_partners import mast_partner
from deckgeom.deck.framing_places import Place
from deckgeom.deck.outline import outline
from tests.deck.beam_hulls import LENGTH, marks, round_deck


def uneven(**more):
    return lay_out_beams(round_deck(twist=25.0, thickness=15), marks(7, siding=45, moulding=70), spacing=60, **more)


# ------------------------------------------------------------ stock, grain and ends


def test_a_straight_plank_as_deep_as_said_holds_the_whole_beam():
    """shapely turns the outline of each mould level, ends on one line, and measures the box that it stands in."""
    beams = uneven(planking=20, flare_deg=8)
    for beam in (beams[name] for name in beams.names):
        lines = outline(beam, step=5.0)
        ring = np.concatenate([np.column_stack([lines.y, lines.top]),
                               np.column_stack([lines.under_y, lines.under])[::-1]])  # fmt: skip
        ends = ring[[0, len(lines.y) - 1]]
        turn = np.degrees(np.arctan2(*(ends[1] - ends[0])[::-1]))
        low, high = (affinity.rotate(LineString(ring), -turn, origin=tuple(ends[0])).bounds[k] for k in (1, 3))
        assert beam.stock_depth == pytest.approx(high - low, abs=0.05)
        assert beam.stock_depth > Polygon(ring).area / np.hypot(*(ends[1] - ends[0])), "deeper than its mean depth"


def test_slope_of_grain_is_the_steepest_piece_of_the_top_against_the_line_of_its_ends():
    """Chords of both faces' curves, 1 mm long, by a walk along the ordinates' own heights."""
    beams = uneven()
    for name in beams.names:
        beam = beams[name]
        mould = lambda y, b=beam: np.maximum(b.height_at(y, "forward"), b.height_at(y, "after"))  # noqa: E731
        y = np.linspace(beam.ordinates.y.min(), beam.ordinates.y.max(), 4001)
        tilt = np.arctan2(mould(y[-1]) - mould(y[0]), y[-1] - y[0])
        steep = max(np.abs(np.tan(np.arctan(np.diff(beam.height_at(y, face)) / np.diff(y)) - tilt)).max()
                    for face in ("forward", "after"))  # fmt: skip
        assert beam.grain_slope == pytest.approx(steep, rel=0.01)


def test_ends_off_square_are_those_of_a_parallel_of_the_plan():
    """shapely's parallel of each side's plan at the planking's thickness, cut by both faces; sides that differ."""
    deck = round_deck(twist=25.0)
    beams = lay_out_beams(deck, marks(7, siding=60), planking=22)
    x = np.linspace(-300, LENGTH + 300, 30001)
    for i, side in enumerate(("port", "starboard")):
        line = LineString(np.column_stack([x, deck.sheer.half_breadth(side, x)])).offset_curve(-22)
        inside = np.array(line.coords)
        inside = inside[np.argsort(inside[:, 0])]
        faces = beams.x[:, None] + beams.frames.off
        half = np.interp(faces, *inside.T)
        wanted = np.degrees(np.arctan2(half[:, 1] - half[:, 0], 60))
        assert beams.end_angle_deg[:, i] == pytest.approx(wanted, abs=2e-3)
        assert np.ptp(wanted) > 5


@pytest.mark.parametrize("rake", [-18.0, 0.0, 12.0])
def test_bevel_in_the_wood_is_the_angle_between_two_planes(rake):
    """
    Square across a raked beam's face: the deck's tangent plane against the beam's own face, by their normals.

    With a small siding the bevel is the lean of the deck along the siding: from three points of the deck in space.
    """
    deck = round_deck(twist=25.0)
    beams = lay_out_beams(deck, [BeamMark("1", 2900, "middle", siding=0.5, rake_deg=rake)], spacing=250)
    table, frames = beams.ordinates, beams.frames
    run = np.array([np.cos(np.radians(rake)), 0, -np.sin(np.radians(rake))])  # across the beam, from face to face
    up = np.array([np.sin(np.radians(rake)), 0, np.cos(np.radians(rake))])
    for y, bevel in zip(table.y[table.on_both], table.bevel_deg[table.on_both], strict=True):
        def on_deck(off, y=y):
            """How far up its own plane the beam's top is, `off` from the mark across the siding."""
            foot = np.array([2900.0, y, float(frames.place(0, 0.0, 0.0)[1])]) + off * run
            f = lambda t: foot[2] + t * up[2] - float(deck.height(foot[0] + t * up[0], y, "beam"))  # noqa: E731
            return brentq(f, -3000, 3000, xtol=1e-11)

        lean = (on_deck(5.0) - on_deck(-5.0)) / 10
        assert bevel == pytest.approx(np.degrees(np.arctan(abs(lean))), abs=2e-3)


# ------------------------------------------------------------ the hole for a mast


def cut(deck, at, axis, half_sizes, round_mast):
    """Points in which the sides of a mast meet the plane that touches the deck, in space."""
    p, q = (float(v) for v in deck.slopes(*at))
    normal = np.array([-p, -q, 1.0]) / np.sqrt(1 + p * p + q * q)
    start = np.array([*at, float(deck.height(*at))])
    athwart = np.cross(axis, [1.0, 0, 0])
    athwart = -athwart / np.linalg.norm(athwart) * np.sign(athwart[1])
    along = np.cross(athwart, axis)
    turn = np.linspace(0, 2 * np.pi, 7200, endpoint=False)
    if round_mast:
        ring = half_sizes[0] * (np.cos(turn)[:, None] * along + np.sin(turn)[:, None] * athwart)
    else:
        ring = np.array([u * half_sizes[0] * along + v * half_sizes[1] * athwart
                         for u, v in ((1, 1), (1, -1), (-1, -1), (-1, 1))])  # fmt: skip
    reach = -(ring @ normal) / (axis @ normal)
    return start + ring + reach[:, None] * axis, normal


@pytest.mark.parametrize(("rake", "lean", "y"), [(4.0, 0.0, 0.0), (7.0, 2.0, -350.0), (-6.0, -3.0, 500.0)])
def test_oval_of_a_round_mast_on_an_uneven_deck(rake, lean, y):
    """Points of the mast's skin in the plane of the deck: their box by shapely, and the way of the longest."""
    deck = round_deck(twist=25.0)
    beams = lay_out_beams(deck, marks(5))
    made = mast_partner(beams, Place("mast", 2300, y), rake, 60, wedge=9, diameter=130, lean_deg=lean)
    axis = np.array([np.tan(np.radians(rake)), np.tan(np.radians(lean)), 1.0])
    axis /= np.linalg.norm(axis)
    points, normal = cut(deck, (2300.0, y), axis, (74.0, 74.0), True)
    one = points[np.argmax(np.linalg.norm(points - points.mean(axis=0), axis=1))] - points.mean(axis=0)
    u = one / np.linalg.norm(one)
    flat = np.column_stack([(points - points[0]) @ u, (points - points[0]) @ np.cross(normal, u)])
    box = MultiPoint(flat).minimum_rotated_rectangle
    corners = np.array(box.exterior.coords)
    sides = sorted(np.linalg.norm(np.diff(corners[:3], axis=0), axis=1))
    assert sides == pytest.approx([made.hole_broad, made.hole_long], abs=2e-3)
    way = np.degrees(np.arctan2(u[1], u[0]))
    assert abs((made.long_way_deg - way + 90) % 180 - 90) < 1.0


@pytest.mark.parametrize(("rake", "lean", "x", "y"), [(9, 0, 2300, 0), (7, 2, 2300, -350), (8, 6, 800, -400)])
def test_sides_of_a_square_masts_hole_on_an_uneven_deck(rake, lean, x, y):
    """Corners of the mast in the plane of the deck: the hole's length and breadth are the lengths of its sides."""
    deck = round_deck(twist=25.0)
    made = mast_partner(lay_out_beams(deck, marks(5)), Place("mast", x, y, 120, 90), rake, 60, wedge=6, lean_deg=lean)
    axis = np.array([np.tan(np.radians(rake)), np.tan(np.radians(lean)), 1.0])
    corners, _ = cut(deck, (x, y), axis / np.linalg.norm(axis), (66.0, 51.0), False)
    sides = np.linalg.norm(corners[[0, 0]] - corners[[3, 1]], axis=1)
    assert (made.hole_long, made.hole_broad) == pytest.approx(tuple(sides), abs=0.05)


# ------------------------------------------------------------ curves laid out by hand


def test_quarter_circle_and_straight_edges_by_sympy_geometry():
    """Both constructions drawn with sympy's points, lines and circles; places that divide nothing evenly."""
    from deckgeom.deck.layout import straight_edges_angle_deg
    from deckgeom.deck.quarter_circle import QuarterCircle

    half, rise = sp.Integer(1370), sp.Integer(113)
    for u in (sp.Rational(3, 17), sp.Rational(5, 11), sp.Rational(16, 19)):
        on_arc = sp.Point(0, rise).rotate(-sp.pi / 2 * u)
        slant = on_arc.distance(sp.Point(rise * u, 0))
        assert float(QuarterCircle(float(half), float(rise)).height(float(half * u))) == pytest.approx(float(slant))
    crown, port, starboard = sp.Point(0, rise), sp.Point(-half, 0), sp.Point(half, 0)
    wanted = float(sp.deg(sp.Triangle(port, crown, starboard).angles[crown]))
    assert straight_edges_angle_deg(1370, 113) == pytest.approx(wanted, abs=1e-10)


def test_greatest_rise_of_a_beam_is_its_crown_only_on_even_sides():
    """A general search for the top of each face's curve: on sides of unlike height it lies off the centreline."""
    beams = uneven()
    for name in beams.names:
        beam = beams[name]
        reach = min(beam.half_breadth_port, beam.half_breadth_starboard) * 0.99
        top = minimize_scalar(lambda y, b=beam: -b.height_at(y, "forward").item(), bounds=(-reach, reach),
                              method="bounded", options={"xatol": 1e-6})  # fmt: skip
        assert -top.fun >= beam.height_at(0.0, "forward").item() - 1e-9
        assert abs(top.x) > 1.0
        slope = beams.deck.slopes(beam.faces_x[0], top.x, "beam")[1]
        assert float(slope) == pytest.approx(0.0, abs=1e-6)
