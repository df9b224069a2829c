"""Where beams end, what the saw is set to, and the timber that a beam takes."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq
from shapely.geometry import LineString

from deckgeom.deck.beams import BeamMark, lay_out_beams
from deckgeom.deck.bending import TrialBeam, grain_slope, strength_left
from deckgeom.deck.crown import OneMould, SameProportion
from deckgeom.deck.surface import Deck
from deckgeom.hull.sheer import Sheer
from tests.deck.beam_hulls import LENGTH, hulls, level_deck, marks, powers, round_deck

RADIUS = 11300.0


def cylinder(**more) -> Deck:
    """A level cylinder of radius 11.3 m, 3 m broad: camber 100 mm."""
    return level_deck(1500.0, OneMould("circle", 1 / 30), **more)


def test_planking_is_taken_off_square_to_the_plan():
    """Second route: shapely's parallel of the deck edge's plan, cut at both faces."""
    deck = round_deck()
    beams = lay_out_beams(deck, marks(6), planking=25.0)
    x = np.linspace(-200, LENGTH + 200, 20001)
    for i, side in enumerate(("port", "starboard")):
        edge = LineString(np.column_stack([x, deck.sheer.half_breadth(side, x)]))
        inside = np.array(edge.offset_curve(-25.0).coords)
        inside = inside[np.argsort(inside[:, 0])]
        for face in (0, 1):
            at = beams.x + beams.frames.off[:, face]
            assert np.abs(beams.ends.y[:, face, i]) == pytest.approx(np.interp(at, *inside.T), abs=1e-3)


def test_no_planking_taken_off_inside():
    """Half-breadths to the inside of planking are the beam's own; to the outside with none they are too."""
    deck = round_deck()
    inside = lay_out_beams(deck, marks(), planking=25, half_breadths_to="inside of planking")
    bare = lay_out_beams(deck, marks())
    assert inside.ends.y == pytest.approx(bare.ends.y, abs=1e-12)
    assert np.abs(bare.ends.y[:, 0]) == pytest.approx(bare.half_breadth, abs=1e-12)


@pytest.mark.parametrize("flare", [-10.0, 0.0, 15.0, 35.0])
def test_corners_on_a_straight_flared_side(flare):
    """Top and bottom corner: the inner line cut with the circle and with its parallel, found with brentq (derived)."""
    t, m, lean = 20.0, 70.0, np.tan(np.radians(flare))
    beam = lay_out_beams(cylinder(), [BeamMark("1", 3000, moulding=m)], planking=t, flare_deg=flare)["1"]
    inner = 1500 - t / np.cos(np.radians(flare))
    centre = 900 - RADIUS

    def corner(radius):
        # Side at height z: inner + lean (z - 800); circle of this radius.
        return brentq(lambda y: y - inner - lean * (centre + np.sqrt(radius**2 - y * y) - 800), 1200, 1700, xtol=1e-12)

    for side in ("port", "starboard"):
        for face in ("forward", "after"):
            end = beam.end(side, face)
            assert end.top == pytest.approx(corner(RADIUS), abs=1e-6)
            assert end.bottom == pytest.approx(corner(RADIUS - m), abs=1e-3)
    y, yb = corner(RADIUS), corner(RADIUS - m)
    drop = np.sqrt(RADIUS**2 - y * y) - np.sqrt((RADIUS - m) ** 2 - yb * yb)
    slope = np.degrees(np.arcsin(y / RADIUS))
    assert np.degrees(np.arctan2(y - yb, drop)) == pytest.approx(flare, abs=1e-4)
    assert beam.end("port").cut_deg == pytest.approx(90 + slope - flare, abs=1e-4)


@settings(max_examples=12)
@given(hulls(), st.floats(0, 30), st.sampled_from([-15.0, 0.0, 25.0]), st.floats(-25, 25))
def test_every_corner_lies_on_the_hull_side(hull, planking, rake, flare):
    """Round trip: from each corner out, square through the planking, one stands on the outside at its flare."""
    sides, rule = hull
    sheer = Sheer.from_curves(*sides, start=0, end=LENGTH)
    deck, lean = Deck(sheer, rule, thickness=9), np.tan(np.radians(flare))
    beams = lay_out_beams(deck, [BeamMark("1", 3100, rake_deg=rake)], planking=planking, flare_deg=flare)
    frames = beams.frames
    for face in (0, 1):
        for i, side in enumerate(("port", "starboard")):
            corners = ((beams.ends.y, beams.ends.up), (beams.shape.bottom_y, beams.shape.bottom_up))
            # The hull side is taken straight over a moulding: a twentieth of a mm at the most, and none at the top.
            for (y, up), near in zip(corners, (1e-5, 0.05), strict=True):
                x, z = frames.place(0, frames.off[0, face], up[0, face, i])
                # Outside, as a surface F = y - b(x) - lean (z - h(x)): distance from the corner, by its gradient.
                foot = x
                for _ in range(20):
                    p = sheer.half_breadth(side, foot, 1) - lean * sheer.height(side, foot, 1)
                    n = np.sqrt(1 + p * p + lean * lean)
                    foot = x - planking * p / n
                out_y, out_z = abs(y[0, face, i]) + planking / n, z - planking * lean / n
                wanted = sheer.half_breadth(side, foot) + lean * (out_z - sheer.height(side, foot))
                assert out_y == pytest.approx(float(wanted), abs=near)


def test_end_angle_on_a_straight_taper():
    """Sides that close in by 1 in 8 going aft: atan(1/8) off square, forward face longer; none where parallel."""
    taper = Sheer.from_curves(powers(1200, -375), powers(800), start=0, end=LENGTH)
    beams = lay_out_beams(Deck(taper, SameProportion("circle", 1 / 30)), marks(3), planking=20)
    assert beams.end_angle_deg == pytest.approx(np.full((3, 2), -np.degrees(np.arctan(1 / 8))), abs=1e-9)
    assert beams["2"].end("port").top > beams["2"].end("port", "after").top
    assert lay_out_beams(cylinder(), marks(2)).end_angle_deg == pytest.approx(np.zeros((2, 2)), abs=1e-12)


def test_edge_slope_of_a_circle():
    """B 96 in, c 3 in: 7.15267 degrees (A1, from Euclid III.35)."""
    deck = level_deck(48 * 25.4, OneMould("circle", 1 / 32))
    beams = lay_out_beams(deck, marks(2))
    assert beams.edge_slope_deg == pytest.approx([7.15267] * 2, abs=5e-6)
    assert beams.edge_slopes_deg == pytest.approx(np.full((2, 2), 7.15267), abs=5e-6)


def test_stock_depth_of_a_circle():
    """Crown to the bottom corner of a plumb end: R - sqrt((R - m)^2 - b^2), two circles of one centre (derived)."""
    beam = lay_out_beams(cylinder(), [BeamMark("1", 3000, moulding=60)])["1"]
    assert beam.stock_depth == pytest.approx(RADIUS - np.sqrt((RADIUS - 60) ** 2 - 1500**2), abs=1e-6)
    flat = lay_out_beams(level_deck(1500, OneMould("circle", "1:100000")), [BeamMark("1", 3000, moulding=60)])["1"]
    assert flat.stock_depth == pytest.approx(60, abs=0.05)


def test_stock_is_laid_along_the_line_joining_the_ends():
    """A beam on a hull that lists 5 degrees takes the plank of the same beam on a level hull."""
    lean = np.tan(np.radians(5.0)) * 1500
    sheer = Sheer.from_curves(powers(1500), powers(800 - lean), powers(1500), powers(800 + lean), start=0, end=LENGTH)
    listed = lay_out_beams(Deck(sheer, OneMould("parabola", 1 / 30)), [BeamMark("1", 3000)])["1"]
    level = lay_out_beams(level_deck(1500, OneMould("parabola", 1 / 30)), [BeamMark("1", 3000)])["1"]
    assert listed.stock_depth == pytest.approx(level.stock_depth, abs=1.5)
    assert listed.stock_depth < level.stock_depth + 2 * lean - 200


def test_slope_of_grain_of_a_sawn_beam():
    """B 3000 c 100 parabola: 4c/B = 1:7.5 exactly (derived); strength by USDA FPL-GTR-190, table 5-12."""
    beam = lay_out_beams(level_deck(1500, SameProportion("parabola", 1 / 30)), [BeamMark("1", 3000)])["1"]
    assert 1 / beam.grain_slope == pytest.approx(7.5, abs=1e-9)
    assert beam.grain_slope == pytest.approx(grain_slope(3000, beam.camber), abs=1e-12)
    assert beam.strength_left == pytest.approx(strength_left(1 / 7.5))
    assert 55 < beam.strength_left < 81
    steep = lay_out_beams(level_deck(1500, SameProportion("parabola", 1 / 16)), [BeamMark("1", 3000)])["1"]
    assert steep.strength_left is None


def test_jig_camber():
    """B 3000 c 100, four and three layers: 106.67 and 112.50 (derived; measured: Forests 2020, 11(7), 725)."""
    for layers, form in ((4, 106.67), (3, 112.50)):
        beams = lay_out_beams(cylinder(), marks(2), made="laminated", layers=layers)
        assert beams.jig_camber == pytest.approx([form] * 2, abs=0.005)
    sawn = lay_out_beams(cylinder(), marks(2))
    assert sawn.jig_camber is None and sawn["1"].jig_camber is None
    assert max(offset for _, _, offset in beams.rows("jigs")) == pytest.approx(112.50, abs=0.005)
    assert [row[1] for row in beams.rows("jigs")] == [row[1] for row in beams.rows("spiles")]
    assert sawn.rows("jigs") == []
    trial = lay_out_beams(cylinder(), marks(2), made="laminated", layers=4, spring_back=TrialBeam(108, 100))
    assert trial.jig_camber == pytest.approx([108.0] * 2)
    with pytest.raises(ValueError, match="neither is given"):
        lay_out_beams(cylinder(), marks(2), made="laminated")


def test_flare_as_a_function_of_x():
    """Flare that changes along the boat is the flare at each beam."""
    deck = round_deck()
    along = lay_out_beams(deck, marks(), flare_deg=lambda x: 30 - x / 200)
    for i, mark in enumerate(marks()):
        alone = lay_out_beams(deck, [mark], flare_deg=30 - mark.x / 200)
        assert along.shape.bottom_y[i] == pytest.approx(alone.shape.bottom_y[0], abs=1e-9)
    with pytest.raises(ValueError, match="flare of 90 degrees.*off plumb"):
        lay_out_beams(deck, marks(), flare_deg=90)


def test_a_limit_that_the_deck_edge_crosses_between_the_faces_is_no_end_cut_plumb():
    """One face reaches the hull side, the other the limit: the end follows the hull and is not called the limit."""
    deck = round_deck()
    x = 6000.0
    there = [float(deck.sheer.half_breadth("starboard", at)) for at in (x, x + 44)]
    limit = float(np.mean(there))
    half = BeamMark("h", x, start=0.0, end=limit)
    beams = lay_out_beams(deck, [half, BeamMark("k", x - 500, start=0.0, end=300.0)], flare_deg=12)
    assert beams.ends.limited.tolist() == [[True, False], [True, True]]
    assert beams.ends.y[0, :, 1] == pytest.approx(np.minimum(beams.ends.hull_y[0, :, 1], limit))
    assert "starboard at the half beam's limit" not in beams["h"].why("end")
    assert "starboard at the half beam's limit" in beams["k"].why("end")
