"""Clamp, carlins, king plank, pads, bores and the last-chance list, against closed forms and second routes."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import sympy
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import brentq
from shapely.geometry import LineString, Point

from deckgeom.boat.fittings_file import Fitting
from deckgeom.deck.beams import BeamMark, lay_out_beams
from deckgeom.deck.crown import OneMould, SameProportion
from deckgeom.deck.framing import clamp_line
from deckgeom.deck.framing_bores import bore
from deckgeom.deck.framing_carlins import carlin, king_plank
from deckgeom.deck.framing_list import ALWAYS, kind_of, last_chance
from deckgeom.deck.framing_pads import pad
from deckgeom.deck.framing_partners import mast_partner, packer
from deckgeom.deck.framing_places import beams_under, place_of
from deckgeom.deck.surface import Deck
from deckgeom.hull.sheer import Sheer
from tests.deck.beam_hulls import LENGTH, level_deck, marks, powers, round_deck


def uneven_beams(**more):
    return lay_out_beams(round_deck(thickness=18), marks(8, siding=40, moulding=60), planking=20, **more)


# the clamp


@pytest.mark.parametrize("flare", [-5.0, 0.0, 12.0])
def test_clamp_of_a_straight_boat_is_plane_trigonometry(flare):
    """Flat level deck: its top is level, the moulding below, and the angle in the wood is 90 less the flare."""
    beams = lay_out_beams(level_deck(rule=SameProportion("circle", 0)), marks(3, moulding=70), flare_deg=flare)
    clamp = clamp_line(beams, "starboard")
    assert clamp.below_sheer == pytest.approx(70)
    assert clamp.down_side == pytest.approx(70 / np.cos(np.radians(flare)))
    assert clamp.bevel_deg == pytest.approx(-flare)
    assert clamp.y == pytest.approx(1500 - 70 * np.tan(np.radians(flare)))
    assert clamp.fall_deg == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize("flare", [0.0, 8.0])
def test_clamp_under_a_circular_mould_is_a_circle_within_it(flare):
    """One circle of R: the underside is the circle R - m, met by the straight side; fall and flare give the bevel."""
    deck = level_deck(rule=OneMould("circle", "R=11.3m"))
    clamp = clamp_line(lay_out_beams(deck, marks(3, moulding=60), flare_deg=flare), "port")
    radius, m, t = 11_300.0, 60.0, np.tan(np.radians(flare))
    centre = 800 - np.sqrt(radius**2 - 1500**2)
    y = brentq(lambda y: 1500 + t * (centre + np.sqrt((radius - m) ** 2 - y * y) - 800) - y, 1300, 1600)
    z = centre + np.sqrt((radius - m) ** 2 - y * y)
    assert clamp.y == pytest.approx(-y) and clamp.height == pytest.approx(z)
    fall = np.degrees(np.arcsin(y / (radius - m)))
    assert clamp.fall_deg == pytest.approx(fall)
    assert clamp.bevel_deg == pytest.approx(fall - flare)


@pytest.mark.parametrize("side", ["port", "starboard"])
@pytest.mark.parametrize("flare", [0.0, 10.0])
def test_clamp_meets_the_beams_own_bottom_corners(side, flare):
    """Second route: the ends of the beams, which are cut to the inside of the planking by other code."""
    beams = uneven_beams(flare_deg=flare)
    face = beams.frames.x + beams.frames.off[:, 1]
    clamp = clamp_line(beams, side, x=face)
    i = 0 if side == "port" else 1
    assert clamp.y == pytest.approx(beams.shape.bottom_y[:, 1, i], abs=2e-3)
    assert clamp.height == pytest.approx(beams.frames.z + beams.shape.bottom_up[:, 1, i], abs=2e-3)


def test_clamp_bevel_against_planes_through_points():
    """Second route: normals from differences of points on both faces, and the angle between them."""
    beams = uneven_beams(flare_deg=7.0)
    x, t, h = 2300.0, np.tan(np.radians(7.0)), 0.5
    clamp = clamp_line(beams, "starboard", x=[x - h, x, x + h])
    run = np.array([2 * h, clamp.y[2] - clamp.y[0], clamp.height[2] - clamp.height[0]])
    assert clamp.run_deg[1] == pytest.approx(np.degrees(np.arctan(run[2] / run[0])), abs=1e-4)
    top = np.array([0, 1.0, -np.tan(np.radians(clamp.fall_deg[1]))])
    side = np.array([0, t, 1.0])
    normals = np.cross(run, top), np.cross(run, side)
    normals = [n / np.linalg.norm(n) for n in (normals[0], -normals[1])]
    inside = 180 - np.degrees(np.arccos(normals[0] @ normals[1]))
    assert clamp.bevel_deg[1] == pytest.approx(inside - 90, abs=1e-3)


def test_beams_let_in_raise_the_clamp_and_an_own_camber_counts():
    beams = uneven_beams()
    assert np.all(clamp_line(beams, "port", let_in=15).below_sheer < clamp_line(beams, "port").below_sheer - 14.9)
    own = [replace(m, camber=160.0) if m.name == "4" else m for m in beams.marks]
    crowned = clamp_line(lay_out_beams(beams.deck, own, planking=20), "port")
    apart = crowned.fall_deg - clamp_line(beams, "port").fall_deg
    assert apart[3] > 1 and np.delete(apart, 3) == pytest.approx(0, abs=1e-9)


def test_clamp_sides_swap_with_the_hull():
    deck = round_deck(thickness=18)
    sheer = deck.sheer
    turned = Deck(
        Sheer.from_curves(
            *(lambda x, n=0, f=f, s=s: f(s, x, n) for s in ("starboard", "port") for f in
              (sheer.half_breadth, sheer.height)), start=0, end=LENGTH
        ), deck.rule, thickness=18,
    )  # fmt: skip
    here, there = (lay_out_beams(d, marks(8, moulding=60), planking=20) for d in (deck, turned))
    a, b = clamp_line(here, "port"), clamp_line(there, "starboard")
    assert a.bevel_deg == pytest.approx(b.bevel_deg) and a.y == pytest.approx(-b.y)


def test_clamp_words_and_refusals():
    beams = uneven_beams(units="in")
    words = clamp_line(beams, "port").words()
    assert "plumb below the sheer (the top of deck at the deck edge)" in words[0] and " in at " in words[0]
    assert "standing (more than a square)" in words[1]
    assert len(clamp_line(beams, "port").rows()) == 8
    with pytest.raises(ValueError, match="side 'left'"):
        clamp_line(beams, "left")
    with pytest.raises(ValueError, match="station at 9000 mm: the sheer runs from 0 to 6000"):
        clamp_line(beams, "port", x=[9000])
    with pytest.raises(ValueError, match="let in by 60 mm"):
        clamp_line(beams, "port", let_in=60)


def test_clamp_leaves_out_a_station_without_room():
    sheer = Sheer.from_curves(powers(600, 600), powers(800), start=0, end=LENGTH)
    beams = lay_out_beams(Deck(sheer, SameProportion("circle", "1:30")), [BeamMark("1", 3000)], planking=30)
    clamp = clamp_line(beams, "port", x=[0, 3000])
    assert clamp.names == ("x 3000 mm",) and clamp.left_out == ("x 0 mm",)
    assert "no room inside the planking: x 0 mm" in clamp.words()[-1]


# carlins


def test_straight_carlin_on_a_straight_deck():
    """One circular mould: height and bevel from the circle, no bend."""
    beams = lay_out_beams(level_deck(rule=OneMould("circle", "R=11.3m")), marks(3, siding=40))
    made = carlin(beams, "c", "1", "2", y=300, siding=50)
    centre = 800 - np.sqrt(11_300**2 - 1500**2)
    assert made.height == pytest.approx(centre + np.sqrt(11_300**2 - 300**2))
    assert made.bevel_deg == pytest.approx(np.degrees(np.arcsin(300 / 11_300)))
    assert made.height_starboard == pytest.approx(centre + np.sqrt(11_300**2 - 325**2))
    assert (made.bend_plan, made.bend_profile, *made.end_gap) == pytest.approx((0, 0, 0, 0), abs=1e-9)
    assert made.length == pytest.approx(np.ptp(made.x))
    assert made.x[[0, -1]] == pytest.approx([beams["1"].faces_x[1], beams["2"].faces_x[0]])


def test_curved_carlin_against_shapely_and_quad():
    beams = uneven_beams()

    def line(x):
        return 350 + 60 * ((np.asarray(x) - 2800) / 1500) ** 2

    made = carlin(beams, "c", "2", "6", y=line)
    a, b = ((made.x[i], made.y[i]) for i in (0, -1))
    chord = LineString([a, b])
    assert made.bend_plan == pytest.approx(max(chord.distance(Point(p)) for p in zip(made.x, made.y, strict=True)))

    def speed(x):
        slope = 120 * (x - 2800) / 1500**2
        p, q = (float(v) for v in beams.deck.slopes(x, line(x), "beam"))
        return np.sqrt(1 + slope**2 + (p + q * slope) ** 2)

    assert made.length == pytest.approx(quad(speed, made.x[0], made.x[-1])[0], abs=1e-2)
    rise = (made.height_starboard - made.height_port) / made.siding
    assert made.bevel_deg == pytest.approx(-np.degrees(np.arctan(rise)), abs=0.01)


def test_carlin_fairs_to_a_beam_with_its_own_camber():
    beams = uneven_beams()
    own = [replace(m, camber=beams["5"].camber - 12) if m.name == "5" else m for m in beams.marks]
    made = carlin(lay_out_beams(beams.deck, own, planking=20), "hatch side", "4", "5", y=(-300, -280))
    assert made.end_gap[0] == pytest.approx(0, abs=1e-6)
    own_top = beams.deck.height(made.x[-1], -280.0, "beam") + made.end_gap[1]
    assert -12 < made.end_gap[1] < -10 and own_top < made.height[-1]
    assert f"Beam 5 has a camber of its own and stands {-made.end_gap[1]:.0f} mm below" in made.words()[-1]


def test_carlin_refusals():
    beams = uneven_beams()
    with pytest.raises(ValueError, match="no room between them. Is the forward beam named first"):
        carlin(beams, "c", "5", "4", y=0)
    with pytest.raises(ValueError, match="leaves the deck at x"):
        carlin(beams, "c", "4", "5", y=2400)
    with pytest.raises(ValueError, match="3 widths or distances"):
        carlin(beams, "c", "4", "5", y=(1, 2, 3))
    with pytest.raises(KeyError, match="No beam is called '44'"):
        carlin(beams, "c", "44", "5", y=0)


# the king plank


def test_king_plank_on_a_circle():
    """The drop to its edges is R - sqrt(R^2 - (w/2)^2), and the slope there asin(w / 2R)."""
    made = king_plank(level_deck(rule=OneMould("circle", "R=4m")), (500, 5500), (200, 120))
    half = made.breadth / 2
    assert made.breadth[[0, -1]].tolist() == [200, 120]
    assert made.drop == pytest.approx(np.column_stack([half**2 / (4000 + np.sqrt(4000**2 - half**2))] * 2))
    assert made.edge_slope_deg == pytest.approx(np.degrees(np.column_stack([np.arcsin(half / 4000)] * 2)))
    assert made.length == pytest.approx(5000)


def test_king_plank_length_is_the_integral_along_the_crown():
    deck = round_deck(thickness=18, twist=20)
    made = king_plank(deck, (300, 5600), 150)
    length, _ = quad(lambda x: float(np.hypot(1, deck.slopes(x, 0.0)[0])), 300, 5600, limit=200)
    assert made.length == pytest.approx(length, abs=0.02)
    apart = np.max(np.abs(made.drop[:, 0] - made.drop[:, 1]))
    assert apart > 0.5 and f"Port and starboard differ by up to {apart:.0f} mm" in made.words()[-1]
    assert "plane off up to" in made.words()[1]


def test_king_plank_refusals():
    deck = level_deck()
    with pytest.raises(ValueError, match="from 900 to 300 mm.*Are the ends swapped"):
        king_plank(deck, (900, 300), 150)
    with pytest.raises(ValueError, match="4000 mm broad .* where the deck has 3000 mm"):
        king_plank(deck, (300, 900), 4000)


# pads


def test_pad_corners_stand_on_the_tops_of_the_beams():
    beams = uneven_beams()
    made = pad(beams, Fitting("cleat", 2500, -600, 300, 200), margin=10)
    at = [(2340, -710), (2340, -490), (2660, -490), (2660, -710)]
    assert made.corner_height == pytest.approx([float(beams.deck.height(*c, "beam")) for c in at])
    assert made.beams == ("4",) and "it is let into beam 4." in made.words()[0]
    p, q = beams.deck.slopes(2500, -600, "beam")
    assert np.tan(np.radians(made.bevel_aft_deg)) == pytest.approx(-float(p))
    assert made.bevel_starboard_deg == pytest.approx(np.degrees(np.arctan(-float(q)))) and made.bevel_starboard_deg < 0
    assert f"falls {-made.bevel_starboard_deg:.1f} degrees to port" in made.words()[2]


def test_pad_on_a_ball_is_rounded_by_its_sagitta():
    """Rise over the corners' mean: R - sqrt(R^2 - (a^2 + b^2)) on a circle across, level along: b only."""
    beams = lay_out_beams(level_deck(rule=OneMould("circle", "R=4m")), marks(3))
    made = pad(beams, Fitting("winch", 3000, 0, 300, 200))
    assert made.rise == pytest.approx(100**2 / (4000 + np.sqrt(4000**2 - 100**2)))
    assert made.twist == pytest.approx(0, abs=1e-9)


def test_pad_refusals():
    beams = uneven_beams()
    with pytest.raises(ValueError, match="Pad for cleat: 0 by 0 mm: give its length"):
        pad(beams, Fitting("cleat", 2300, 0))
    with pytest.raises(ValueError, match="is outside the deck edge at -"):
        pad(beams, Fitting("cleat", 2300, "port edge", 200, 100))
    with pytest.raises(ValueError, match="cleat at x 9000 mm: the deck runs from 0 to 6000"):
        pad(beams, Fitting("cleat", 9000, 0, 200, 100))
    with pytest.raises(ValueError, match="Is y a breadth instead"):
        place_of(beams.deck, Fitting("cleat", 3000, 2400.0))


# bores


def test_bore_of_a_plumb_mast_on_a_sloping_deck():
    """A plumb hole through a deck that falls s is off square by atan s; it comes out straight below."""
    sheer = Sheer.from_curves(powers(1500), powers(800, 240), start=0, end=LENGTH)
    deck = Deck(sheer, SameProportion("circle", 0))
    hole = bore(deck, 3000, 0, depth=60)
    assert hole.aft_deg == pytest.approx(np.degrees(np.arctan(0.08)))
    assert (hole.under_x, hole.under_y) == (3000, 0)
    assert hole.length == pytest.approx(60 * np.hypot(1, 0.08))
    raked = bore(deck, 3000, 0, depth=60, rake_deg=-np.degrees(np.arctan(0.08)))
    assert raked.off_square_deg == pytest.approx(0, abs=1e-5) and raked.words().startswith("Bore square to the deck")


@settings(max_examples=25, deadline=None)
@given(st.floats(-15, 15), st.floats(-15, 15), st.floats(-900, 900))
def test_bore_comes_out_its_depth_below_the_plane(rake, lean, y):
    """The lower end lies `depth` square below the tangent plane, on the line through the upper one."""
    deck = round_deck(thickness=18)
    hole = bore(deck, 2500, y, 70, rake, lean)
    down = np.array([hole.x - hole.under_x, hole.y - hole.under_y, hole.height - hole.under_height])
    assert down @ deck.normal(2500.0, y) == pytest.approx(70)
    assert np.linalg.norm(down) == pytest.approx(hole.length)
    assert down[:2] / down[2] == pytest.approx([np.tan(np.radians(rake)), np.tan(np.radians(lean))], abs=1e-12)
    off = 1 + np.tan(np.radians(hole.aft_deg)) ** 2 + np.tan(np.radians(hole.starboard_deg)) ** 2
    assert hole.lengthening == pytest.approx(np.sqrt(off))


def test_round_mast_makes_the_oval_of_a_cut_cylinder():
    """Second route: sympy cuts a cylinder of D raked r by a level plane: axes D and D / cos r."""
    r = sympy.rad(6)
    long = float(2 * sympy.sqrt((sympy.Integer(70) / sympy.cos(r)) ** 2))
    beams = lay_out_beams(level_deck(rule=SameProportion("circle", 0)), marks(3))
    made = mast_partner(beams, Fitting("mast", 2000, 0), 6, 60, wedge=10, diameter=120)
    assert (made.hole_long, made.hole_broad, made.long_way_deg) == pytest.approx((long, 140, 0))
    assert made.bore.under_x == pytest.approx(2000 - 60 * np.tan(np.radians(6)))
    assert "leaning 6.0 degrees aft off square to the deck" in made.words()[1]
    assert "licensed designer or surveyor" in made.words()[-1]
    assert "an oval 141 mm by 140 mm, its long way fore-and-aft" in made.words()[0]


def test_square_mast_and_a_beam_in_its_way():
    beams = uneven_beams()
    x = float(beams["4"].x)
    made = mast_partner(beams, Fitting("mast", x, 0, 120, 100), 3, 60)
    assert made.beams == ("4",) and "It would cut beam 4: move the beam or the mast." in made.words()
    assert made.hole_long == pytest.approx(120 / np.cos(np.radians(made.bore.aft_deg)))
    with pytest.raises(ValueError, match="mast: 0 by 0 mm with wedges of 0 mm"):
        mast_partner(beams, Fitting("mast", x, 0), 3, 60)
    with pytest.raises(ValueError, match="A hole 87 degrees off plumb"):
        mast_partner(beams, Fitting("mast", x, 0, 120, 100), 87, 60)


def test_packer_round_a_leaning_chainplate():
    beams = uneven_beams()
    bar = Fitting("chainplate", 2500, 1100.0, 90, 10)
    made = packer(beams, bar, depth=50, margin=40, room=2, lean_deg=-5)
    assert made.pad.place.length == 170 and made.pad.place.breadth == 90
    assert made.bore.under_y == pytest.approx(1100 + made.bore.length * np.sin(np.radians(5)), abs=1e-6)
    assert made.slot_broad == pytest.approx(14 / np.cos(np.radians(made.bore.starboard_deg)), abs=0.001)
    assert made.slot_broad > 14 and "seal its end grain" in " ".join(made.words("in"))
    with pytest.raises(ValueError, match="chainplate: room of -1 mm"):
        packer(beams, bar, 50, room=-1)


def test_packer_stops_at_the_deck_edge():
    beams = uneven_beams()
    edge = float(beams.deck.edge("port", 2500)[0])
    made = packer(beams, Fitting("chainplate", 2500, edge + 15, 90, 10), depth=50, margin=40)
    low, high = (made.pad.place.y + s * made.pad.place.breadth / 2 for s in (-1, 1))
    nearest = max(float(beams.deck.edge("port", x)[0]) for x in (2415, 2585))
    assert low == pytest.approx(nearest) and high == pytest.approx(edge + 15 + 5 + 40)
    with pytest.raises(ValueError, match="0 by 0 mm: give its length"):
        packer(beams, Fitting("chainplate", 2500, edge + 15), depth=50)
    with pytest.raises(ValueError, match="margin of -3 mm round the bar"):
        packer(beams, Fitting("chainplate", 2500, 0, 90, 10), depth=50, margin=-3)


# the last-chance list


def test_last_chance_runs_from_forward_and_raises_alarms():
    beams = uneven_beams()
    x = float(beams["4"].x)
    found = last_chance(beams, [
        Fitting("hatch", 4000, 0, 900, 600), Fitting("mast", 500, 0.0, 100, 100),
        Fitting("shroud plate", x, 1000.0, 90, 10),
        Fitting("bow cleat", 250, 0.0, 100, 60), Fitting("gadget", 5000, 0), Fitting("winch", 3000, 2400.0, 100, 100),
    ])  # fmt: skip
    kinds = [item.kind for item in found.items]
    assert kinds == ["pad", "mast", "chainplate", "pad", "opening", "unknown"] + ["always"] * len(ALWAYS)
    places = [item.place.x for item in found.items if item.place]
    assert places == sorted(places) and len(places) == 5
    text = " ".join(found.words())
    assert "It runs through beam 4: move one of them." in text
    assert "It cuts beam " in text and "half beams, and carlins 600 mm apart" in text
    assert "No beam runs under it" in text and "Is y a breadth instead" in text
    assert text.count("Is y a breadth instead") == 1 and len(found.alarms) >= 4
    assert all(line in found.words() for line in ALWAYS)


@pytest.mark.parametrize(
    ("what", "kind"),
    [("Chainplate port", "chainplate"), ("main mast", "mast"), ("fore hatch", "opening"), ("mooring cleat pad", "pad"),
     ("eye bolt", "pad"), ("thing", "unknown")],
)  # fmt: skip
def test_kinds_by_name(what, kind):
    assert kind_of(what) == kind


def test_half_beams_beside_a_hatch_are_not_cut():
    deck = level_deck()
    beams = lay_out_beams(deck, [BeamMark("5p", 3000, start="port edge", end=-300), BeamMark("5s", 3000, start=300)])
    assert beams_under(beams, (2900, 3100), (-300, 300)) == ()
    assert beams_under(beams, (2900, 3100), (-310, 300)) == ("5p",)
    assert last_chance(beams, [Fitting("hatch", 3000, 0, 400, 600)]).alarms == ()
