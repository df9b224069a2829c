"""Holes at an angle against geometry in space by sympy, at the limits, and as the folder's words carry them on."""

from __future__ import annotations

import numpy as np
import pytest
import sympy as sp
from hypothesis import given
from hypothesis import strategies as st

from deckgeom.boat.fittings_file import Fitting
from deckgeom.deck.beams import lay_out_beams
from deckgeom.deck.crown import SameProportion
from deckgeom.deck.framing_bores import bore
from deckgeom.deck.framing_holes import axis_of, cut_by_deck
from deckgeom.deck.framing_list import last_chance
from deckgeom.deck.framing_partners import mast_partner
from deckgeom.laying.plan import frame
from tests.deck.beam_hulls import level_deck, marks, round_deck


def level(deck):
    return lay_out_beams(deck, marks(3))


@pytest.mark.parametrize(("rake", "lean", "y"), [(5, 0, 0), (-3, 2, 400), (1.5, -6, -750)])
def test_where_the_hole_comes_out_by_sympy_line_and_plane(rake, lean, y):
    """The middle line cut by the plane of the underside: Line3D and Plane of sympy, no formula of ours."""
    deck = round_deck(twist=20.0, thickness=18)
    p, q = (float(v) for v in deck.slopes(2500.0, float(y)))
    top = sp.Point3D(2500, y, float(deck.height(2500.0, float(y))))
    normal = sp.Matrix([-p, -q, 1]).normalized()
    under = sp.Plane(sp.Point3D(*(sp.Matrix(top) - 80 * normal)), normal_vector=tuple(normal))
    way = (np.tan(np.radians(rake)), np.tan(np.radians(lean)), 1)
    out = under.intersection(sp.Line3D(top, direction_ratio=way))[0]
    hole = bore(deck, 2500, y, 80, rake, lean)
    assert [hole.under_x, hole.under_y, hole.under_height] == pytest.approx([float(v) for v in out.coordinates])
    assert hole.length == pytest.approx(float(top.distance(out)), abs=1e-8)
    off = float(sp.Line3D(top, out).angle_between(sp.Line3D(top, direction_ratio=tuple(normal))))
    assert hole.off_square_deg == pytest.approx(min(np.degrees(off), 180 - np.degrees(off)), abs=1e-6)


def test_bevels_along_and_across_by_vectors_in_the_deck():
    """The line's shadow in the plane square to the deck that runs aft, and in the one across: angles off its normal."""
    deck = round_deck(twist=20.0)
    p, q = (float(v) for v in deck.slopes(2500.0, 300.0))
    n, e = np.array([-p, -q, 1.0]), np.array([1.0, 0.0, p])
    n, e = n / np.linalg.norm(n), e / np.linalg.norm(e)
    axis = np.array([np.tan(np.radians(4.0)), np.tan(np.radians(-3.0)), 1.0])
    hole = bore(deck, 2500, 300, 60, 4.0, -3.0)
    for found, across in ((hole.aft_deg, np.cross(n, e)), (hole.starboard_deg, e)):
        shadow = axis - (axis @ across) * across
        cosine = shadow @ n / np.linalg.norm(shadow)
        assert abs(found) == pytest.approx(np.degrees(np.arccos(cosine)), abs=1e-9)


def test_a_plumb_mast_on_a_level_deck_is_the_limit():
    mast = Fitting("mast", 2000, 0, 120, 120)
    made = mast_partner(level(level_deck(rule=SameProportion("circle", 0))), mast, 0.0, 60, round_=True)
    assert (made.hole_long, made.hole_broad, made.bore.aft_deg, made.bore.starboard_deg) == (120, 120, 0, 0)
    assert made.words()[0] == "mast: plumb; its hole on the deck is a circle of 120 mm, no room for wedges counted in."
    assert made.words()[1].startswith("Bore square to the deck, from 2000 mm, centreline on top to 2000 mm, centreline")
    assert not any("comes out below" in line for line in made.words())


@given(st.floats(-20, 20), st.floats(-20, 20), st.floats(-0.2, 0.2), st.floats(-0.2, 0.2), st.floats(20, 200))
def test_an_oval_section_keeps_its_area_along_the_mast(rake, lean, p, q, broad):
    """Area of a section square to the mast = area on the deck times the cosine between them, whatever its sides."""
    cut = cut_by_deck(p, q, rake, lean, (110.0, broad), round_=True)
    cosine = axis_of(rake, lean) @ np.array([-p, -q, 1.0]) / np.sqrt(1 + p * p + q * q)
    assert cut.long * cut.broad * cosine == pytest.approx(110.0 * broad, rel=1e-9)
    assert cut.reach_x <= cut.long / 2 + 1e-9 and cut.reach_y <= cut.long / 2 + 1e-9


def test_an_oval_mast_turned_by_a_quarter_has_its_long_way_athwart():
    cut = cut_by_deck(0, 0, 0, 0, (100.0, 140.0), round_=True)
    assert (cut.long, cut.broad, abs(cut.long_way_deg)) == pytest.approx((140, 100, 90))
    mast = Fitting("mast", 2000, 0, 100, 140)
    made = mast_partner(level(level_deck(rule=SameProportion("circle", 0))), mast, 0.0, 60, round_=True)
    assert "an oval 140 mm by 100 mm, its long way athwart" in made.words()[0]


def test_a_round_mast_may_be_given_by_one_size():
    made = mast_partner(level(level_deck()), Fitting("mast", 2000, 0, None, 130), 4.0, 60, round_=True)
    assert made.hole_broad == pytest.approx(130, rel=1e-3) and "wedges" in made.words()[0]


def test_a_raked_hole_may_cut_a_beam_that_the_top_misses():
    """Raked hard, the hole comes out under the beam before it: 120 mm deep at 30 degrees is 69 mm forward."""
    beams = level(level_deck(rule=SameProportion("circle", 0)))
    after_face = float(beams[1].faces_x[1])
    mast = Fitting("mast", after_face + 80, 0, 120, 120)
    plumb, raked = (mast_partner(beams, mast, rake, 120, round_=True) for rake in (0.0, 30.0))
    assert plumb.beams == () and raked.beams == (beams.names[1],)


def test_the_framing_and_the_last_chance_list_use_the_rake_of_the_folder():
    beams = level(level_deck(rule=SameProportion("circle", 0)))
    spot = float(beams[0].faces_x[1] + beams[1].faces_x[0]) / 2
    mast = Fitting("mast", spot, 0.0, 120, 120, rake_deg=6.0, lean_deg=-2.0, shape="round")
    bar = Fitting("chainplate", spot, 900.0, 90, 10, lean_deg=-5.0)
    made = frame(beams, [bar, mast])
    assert [hole.what for hole in made.holes] == ["chainplate", "mast"]
    rows = {row[0]: row for row in made.hole_rows("mm")}
    assert rows["mast"][1:5] == ("6.0 degrees aft", "2.0 degrees to port") * 2
    assert rows["chainplate"][1:5] == ("plumb", "5.0 degrees to port", "square", "5.0 degrees to port")
    assert rows["chainplate"][5] == "94 mm fore-and-aft by 14 mm athwart"
    said = " ".join(last_chance(beams, [mast, bar]).words())
    assert "it stands raked 6.0 degrees aft and leaning 2.0 degrees to port: against the deck 6.0 degrees aft" in said
    assert "it stands leaning 5.0 degrees to port: against the deck 5.0 degrees to port" in said


def test_a_mast_without_a_size_has_its_line():
    made = frame(level(level_deck()), [Fitting("mast", 2000, 0), Fitting("chainplate", 2000, 900.0)])
    assert any(line.startswith("mast: 0 by 0 mm") for line in made.complaints)
    assert any("Pad for chainplate: 0 by 0 mm" in line for line in made.complaints) and made.holes == ()
