"""Curves at both faces, moulds and bevels of many beams at once."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from deckgeom.deck.beams import BeamMark, lay_out_beams
from deckgeom.deck.crown import OneMould, SameProportion
from deckgeom.deck.lines import BeamByBeam
from deckgeom.deck.surface import Deck
from deckgeom.hull.sheer import Sheer
from tests.deck.beam_hulls import LENGTH, hulls, level_deck, marks, powers, round_deck

SETTINGS = {"planking": 18.0, "flare_deg": 9.0}


def deck_of(hull, **more) -> Deck:
    """A deck from what `hulls` draws."""
    sides, rule = hull
    sheer = Sheer.from_curves(sides[0], sides[1], sides[2], sides[3], start=0, end=LENGTH)
    return Deck(sheer, rule, **more)


@given(hulls(), st.floats(0, 15))
def test_each_face_is_the_deck_cut_square(hull, thickness):
    """Second route: heights of the deck's own surface at the faces' x; the mould is the higher of the two."""
    deck = deck_of(hull, thickness=thickness)
    beams = lay_out_beams(deck, marks(5, mark="middle", siding=50), 200)
    t = beams.ordinates
    for face, off in enumerate((-25.0, 25.0)):
        z = deck.height(beams.x[t.beam_index] + off, t.y, "beam")
        assert t.height[:, face] == pytest.approx(z, abs=1e-6)
    assert t.mould_height == pytest.approx(t.height.max(axis=1), abs=1e-9)
    assert t.rise == pytest.approx(t.height[:, 1] - t.height[:, 0], abs=1e-9)


@given(hulls())
def test_bevel_is_the_slope_of_the_surface(hull):
    """With a small siding the bevel tends to the surface's slope at the middle; the error falls with its square."""
    deck = deck_of(hull)
    worst = []
    for siding in (200.0, 100.0):
        beams = lay_out_beams(deck, marks(5, mark="middle", siding=siding), 300)
        t = beams.ordinates
        inner = t.on_both
        slope = deck.slopes(beams.x[t.beam_index], t.y, "beam")[0]
        worst.append(np.max(np.abs(t.rise / siding - slope)[inner]))
    assert worst[1] < 2e-4
    assert worst[1] < 0.3 * worst[0] + 1e-12


@given(hulls())
def test_a_siding_of_nothing_has_equal_faces(hull):
    """Limit: both faces are one curve, and every bevel is square."""
    beams = lay_out_beams(deck_of(hull), marks(5, siding=1e-6))
    t = beams.ordinates
    assert np.max(np.abs(t.height[:, 1] - t.height[:, 0])) < 1e-6
    assert set(t.high_edge) == {"square"}
    assert [beam.mould_face for beam in beams] == ["either face"] * 5


@settings(max_examples=12)
@given(hulls())
def test_port_and_starboard_swapped(hull):
    """The output swaps and nothing else."""
    deck = deck_of(hull, thickness=9)
    other = Deck(deck.sheer.swapped(), deck.rule, thickness=9)
    limits = [BeamMark("s", 5700, start=250.0, end="starboard edge")]
    mirror = [BeamMark("s", 5700, start=-250.0, end="port edge")]
    a = lay_out_beams(deck, [*marks(), *limits], **SETTINGS)
    b = lay_out_beams(other, [*marks(), *mirror], **SETTINGS)
    assert a.half_breadth == pytest.approx(b.half_breadth[:, ::-1], abs=1e-9)
    assert a.edge_height == pytest.approx(b.edge_height[:, ::-1], abs=1e-7)
    assert a.ends.y == pytest.approx(-b.ends.y[:, :, ::-1], abs=1e-7)
    assert a.shape.bottom_y == pytest.approx(-b.shape.bottom_y[:, :, ::-1], abs=1e-7)
    assert a.end_angle_deg == pytest.approx(b.end_angle_deg[:, ::-1], abs=1e-7)
    assert a.stock_depth == pytest.approx(b.stock_depth, abs=1e-7)
    assert a.camber == pytest.approx(b.camber, abs=1e-9)
    mirrored = np.lexsort((-b.ordinates.y, b.ordinates.beam_index))
    assert a.ordinates.y == pytest.approx(-b.ordinates.y[mirrored], abs=1e-7)
    assert a.ordinates.mould_height == pytest.approx(b.ordinates.mould_height[mirrored], abs=1e-6)
    assert a.ordinates.bevel_deg == pytest.approx(b.ordinates.bevel_deg[mirrored], abs=1e-6)


@given(hulls(), st.floats(-0.03, 0.03), st.floats(-0.03, 0.03))
def test_list_and_trim_are_a_plane(hull, list_slope, trim_slope):
    """Tilted heights less the tilting plane are the heights again; camber, ends and bevels across do not know of it."""
    sides, rule = hull
    b_port, h_port, b_starboard, h_starboard = sides

    def tilted(height, breadth, sign):
        return lambda x, order=0: (
            height(x, order) + sign * list_slope * breadth(x, order)
            + (trim_slope * np.asarray(x, float) if order == 0 else trim_slope if order == 1 else 0.0)
        )  # fmt: skip

    still = deck_of(hull)
    sheer = Sheer.from_curves(
        b_port, tilted(h_port, b_port, -1), b_starboard, tilted(h_starboard, b_starboard, 1), start=0, end=LENGTH
    )
    a, b = lay_out_beams(still, marks()), lay_out_beams(Deck(sheer, rule), marks())
    assert b.camber == pytest.approx(a.camber, abs=1e-9)
    assert b.ends.y == pytest.approx(a.ends.y, abs=1e-9)
    t, u = a.ordinates, b.ordinates
    face_x = a.x[t.beam_index, None] + a.frames.off[t.beam_index]
    assert u.height - list_slope * t.y[:, None] - trim_slope * face_x == pytest.approx(t.height, abs=1e-8)
    assert u.rise - trim_slope * 44.0 == pytest.approx(t.rise, abs=1e-8)


@settings(max_examples=12)
@given(hulls(), st.sampled_from([0.1, 4.0, 25.4]))
def test_scale(hull, scale):
    """A boat of another size: lengths grow with it, angles stay."""
    sides, rule = hull
    big = [lambda x, order=0, f=f: scale ** (1 - order) * f(np.asarray(x, float) / scale, order) for f in sides]
    sheer = Sheer.from_curves(*big, start=0, end=LENGTH * scale)
    a = lay_out_beams(deck_of(hull, thickness=9), marks(), 300, **SETTINGS)
    grown = [BeamMark(m.name, m.x * scale, siding=44 * scale, moulding=60 * scale) for m in marks()]
    b = lay_out_beams(Deck(sheer, rule, thickness=9 * scale), grown, 300 * scale, planking=18 * scale, flare_deg=9)
    for name in ("camber", "crown_height", "stock_depth", "half_breadth"):
        assert getattr(b, name) == pytest.approx(scale * getattr(a, name), rel=1e-7)
    assert b.ends.y == pytest.approx(scale * a.ends.y, rel=1e-7)
    assert b.edge_slope_deg == pytest.approx(a.edge_slope_deg, abs=1e-6)
    assert b.end_angle_deg == pytest.approx(a.end_angle_deg, abs=1e-5)
    assert b.grain_slope == pytest.approx(a.grain_slope, abs=1e-7)


def test_where_ordinates_stand():
    """Whole spacings both ways and the true ends of both faces, each once, port to starboard."""
    beams = lay_out_beams(round_deck(), marks(5), 200)
    for beam in beams:
        y = beam.ordinates.y
        assert np.all(np.diff(y) > 0.4)
        whole = y[np.abs(y / 200 - np.round(y / 200)) < 1e-12]
        assert 0.0 in whole and np.all(np.diff(whole) == pytest.approx(200))
        ends = [s * beam.end(side, face).top for s, side in ((-1, "port"), (1, "starboard"))
                for face in ("forward", "after")]  # fmt: skip
        assert np.min(np.abs(y[:, None] - ends), axis=0) == pytest.approx(np.zeros(4), abs=1e-3)
        assert (y[0], y[-1]) == (min(ends), max(ends))


def test_ordinates_do_not_know_their_spacing():
    """The same height stands at y 600 whatever the spacing."""
    close, wide = (lay_out_beams(round_deck(), marks(5), s).ordinates for s in (100, 300))
    a, b = (t.mould_height[t.y == 600.0] for t in (close, wide))
    assert len(a) == len(b) > 3
    assert a == pytest.approx(b, abs=1e-10)


def test_a_spacing_that_lands_on_the_end():
    """An ordinate on the true end is the end, once."""
    t = lay_out_beams(level_deck(1500), [BeamMark("1", 3000)], 500).ordinates
    assert t.y.tolist() == [-1500, -1000, -500, 0, 500, 1000, 1500]


@pytest.mark.parametrize("name, higher", [("1", 0), ("5", 1)])
def test_exact_heights_between_ordinates(name, higher):
    """`drop_at` and `height_at` agree with the ordinates, and the mould's drop is the higher face's."""
    beam = lay_out_beams(round_deck(thickness=12), marks(5), 150)[name]
    t = beam.ordinates
    assert t.mould_height == pytest.approx(t.height[:, higher], abs=1e-9)
    assert t.mould_drop == pytest.approx(t.drop[:, higher], abs=1e-9)
    assert beam.height_at(t.y, "after") == pytest.approx(t.height[:, 1], abs=1e-9)
    assert beam.drop_at(t.y) == pytest.approx(t.mould_drop, abs=1e-9)
    assert beam.drop_at(t.y, "forward") == pytest.approx(t.drop[:, 0], abs=1e-9)
    with pytest.raises(ValueError, match=f"y reaches 2500 mm but beam {name} runs from .* the whole beam"):
        beam.height_at([0, 2500])


def test_the_mould_says_where_the_higher_face_changes():
    """A hull whose port side falls aft while starboard rises: found again as the root of the exact difference."""
    sheer = Sheer.from_curves(powers(1200), powers(900, -120), powers(1200), powers(900, 150), start=0, end=LENGTH)
    beams = lay_out_beams(Deck(sheer, SameProportion("circle", 1 / 30)), [BeamMark("1", 2500, siding=60)], 100)
    beam = beams["1"]
    (change,) = beam.mould_changes
    exact = brentq(lambda y: float(beam.height_at(y, "after")[0] - beam.height_at(y, "forward")[0]), -900, 900)
    assert change == pytest.approx(exact, abs=0.5)
    side = "port" if change < 0 else "starboard"
    assert beam.mould_face == (
        f"forward face from the port end to {abs(change):.0f} mm {side}; after face from {abs(change):.0f} mm {side} "
        "to the starboard end"
    )


@pytest.mark.parametrize("mark, off", [("forward face", 0), ("middle", -22), ("after face", -44)])
def test_what_x_is_taken_to(mark, off):
    """The mark moves the beam, not its shape: three lists of one beam are equal."""
    deck = round_deck()
    reference = lay_out_beams(deck, [BeamMark("1", 2500)])
    moved = lay_out_beams(deck, [BeamMark("1", 2500 - off, mark)])
    assert moved["1"].faces_x == pytest.approx((2500, 2544))
    assert moved.ordinates.height == pytest.approx(reference.ordinates.height, abs=1e-9)


def test_half_beams_are_pieces_of_the_whole():
    """Carlin to sheer, port and starboard, and a piece over the centreline: same heights as the whole beam."""
    deck = round_deck(thickness=9)
    whole = lay_out_beams(deck, [BeamMark("w", 2500)], **SETTINGS)["w"]
    pieces = [
        BeamMark("p", 2500, start=-400, end="port edge"),
        BeamMark("s", 2500, start="starboard edge", end=400),
        BeamMark("m", 2500, start=-399, end=399),
    ]
    beams = lay_out_beams(deck, pieces, **SETTINGS)
    assert len(beams) == 3 and not beams.complaints
    for beam in beams:
        y = beam.ordinates.y
        assert beam.ordinates.height[:, 0] == pytest.approx(whole.height_at(y), abs=1e-9)
        assert beam.camber == pytest.approx(whole.camber)
        assert not beam.mark.whole
    p, s = beams["p"], beams["s"]
    assert (p.end("starboard").top, p.end("starboard").bottom) == (-400, -400)
    assert (s.end("port", "after").top, s.end("port", "after").end_angle_deg) == (-400, 0)
    assert p.end("port").top == pytest.approx(whole.end("port").top)
    assert p.end("port", "after").bottom == pytest.approx(whole.end("port", "after").bottom)


def test_one_limit_runs_to_its_own_side():
    """A half beam with one limit goes on to the edge on that side."""
    assert BeamMark("1", 0, start=-300).limits() == (-np.inf, -300)
    assert BeamMark("1", 0, end=300).limits() == (300, np.inf)
    assert BeamMark("1", 0, start="port edge").limits() == (-np.inf, np.inf)
    assert BeamMark("1", 0, start="port edge", end=0).limits() == (-np.inf, 0)


def test_a_beams_own_camber():
    """It overrides the crown rule there and nowhere else; a rule that passes through it stays in charge."""
    deck = round_deck()
    plain = lay_out_beams(deck, marks(5))
    beams = lay_out_beams(deck, [*marks(4, last=4500), BeamMark("own", 5500, camber=40.0)])
    own = beams["own"]
    assert own.camber == 40.0
    line = deck.edge_line(5500.0, 0.0)
    assert own.crown_height == pytest.approx(line + 40.0, abs=1e-9)
    half = own.half_breadth_starboard
    share = deck.law.shape.fraction(0.5, 40.0 / half)
    assert own.height_at(half / 2) == pytest.approx(deck.edge_line(5500.0, half / 2) + 40 * share, abs=1e-9)
    two = lay_out_beams(deck, marks(4, last=4500))["2"]
    assert beams["2"].crown_height == pytest.approx(two.crown_height, abs=1e-12)
    same = lay_out_beams(deck, [BeamMark("5", 5500, camber=plain["5"].camber)])
    assert same.ordinates.rise == pytest.approx(plain["5"].ordinates.rise, abs=1e-9)


def test_cambers_stated_beam_by_beam():
    """With that rule the beams' own cambers are the deck's, and the bevels are those of its faired surface."""
    x, camber = np.linspace(400, 5500, 8), np.array([60, 75, 82, 86, 85, 80, 72, 60.0])
    deck = round_deck(BeamByBeam("circle", x, camber))
    own = [BeamMark(str(i), float(a), camber=float(c)) for i, (a, c) in enumerate(zip(x, camber, strict=True))]
    beams = lay_out_beams(deck, own)
    assert beams.camber == pytest.approx(camber, abs=1e-6)
    assert np.all(beams.frames.own < 0)
    t = beams.ordinates
    assert t.height[:, 1] == pytest.approx(deck.height(beams.x[t.beam_index] + 44, t.y, "beam"), abs=1e-6)


@pytest.mark.parametrize("rake", [-20.0, 12.0, 35.0])
def test_raked_beam_on_a_level_cylinder(rake):
    """Its plane stretches every drop by 1/cos of the rake, and nothing else (derived)."""
    deck = level_deck(rule=OneMould("circle", 1 / 30))
    plumb, raked = lay_out_beams(deck, [BeamMark("p", 2000), BeamMark("r", 3000, rake_deg=rake)])
    cosine = np.cos(np.radians(rake))
    y = np.linspace(-1500, 1500, 13)
    assert raked.drop_at(y) == pytest.approx(plumb.drop_at(y) / cosine, rel=1e-12)
    assert raked.camber == pytest.approx(plumb.camber / cosine, rel=1e-12)
    assert raked.height_at(y) == pytest.approx(plumb.height_at(y), rel=1e-12)
    assert raked.faces_x[1] - raked.faces_x[0] == pytest.approx(44 / cosine)


@settings(max_examples=12)
@given(hulls(), st.floats(-40, 40), st.sampled_from(["forward face", "middle", "after face"]))
def test_raked_faces_lie_in_their_planes_and_on_the_tops(hull, rake, mark):
    """Round trip: every point is on the surface and the siding apart, square to the plane, from the other face's."""
    deck = deck_of(hull, thickness=9)
    beams = lay_out_beams(deck, [BeamMark("r", 3000, mark, rake_deg=rake)], 300, flare_deg=8, planking=15)
    beam, frames = beams["r"], beams.frames
    y = beam.ordinates.y
    normal = np.array([np.cos(np.radians(rake)), -np.sin(np.radians(rake))])
    for face, name in enumerate(("forward", "after")):
        cut = beam._cut(y, name)
        assert deck.height(cut.x, y, "beam") == pytest.approx(cut.z, abs=1e-6)
        off = (cut.x - frames.x[0]) * normal[0] + (cut.z - frames.z[0]) * normal[1]
        assert off == pytest.approx(np.full(len(y), frames.off[0, face]), abs=1e-9)
    assert frames.off[0, 1] - frames.off[0, 0] == pytest.approx(44)
    assert frames.z[0] == pytest.approx(float(deck.edge_line(3000.0, 0.0)))


def test_a_rake_of_nothing_is_plumb():
    """Limit: a hair of rake changes nothing."""
    deck = round_deck(thickness=9)
    a = lay_out_beams(deck, [BeamMark("1", 3000)], **SETTINGS)
    b = lay_out_beams(deck, [BeamMark("1", 3000, rake_deg=1e-7)], **SETTINGS)
    assert b.ordinates.height == pytest.approx(a.ordinates.height, abs=1e-5)
    assert b.ends.y == pytest.approx(a.ends.y, abs=1e-5)
    assert b.shape.bottom_y == pytest.approx(a.shape.bottom_y, abs=1e-5)
    assert b.camber == pytest.approx(a.camber, abs=1e-6)


def test_each_beam_alone_is_as_among_many():
    """One pass over all beams gives what each gives by itself."""
    deck = round_deck(thickness=9)
    some = [*marks(6), BeamMark("r", 5800, rake_deg=-10), BeamMark("o", 200, camber=30)]
    together = lay_out_beams(deck, some, **SETTINGS)
    for mark in some:
        alone = lay_out_beams(deck, [mark], **SETTINGS)
        beam = together[mark.name]
        assert alone.ordinates.height == pytest.approx(beam.ordinates.height, abs=1e-7)
        assert alone[0].stock_depth == pytest.approx(beam.stock_depth, abs=1e-7)
        assert alone[0].end("port").bottom == pytest.approx(beam.end("port").bottom, abs=1e-7)


def test_mould_spiled_from_a_straight_edge():
    """The flat table's offsets are those of the beam's own spile."""
    beams = lay_out_beams(round_deck(twist=20), marks(5))
    for beam in beams:
        own = beam.spile()
        assert beam.ordinates.offset == pytest.approx(own.offset, abs=1e-9)
        assert beam.ordinates.along == pytest.approx(own.along, abs=1e-9)
        assert own.offset[[0, -1]] == pytest.approx([0, 0], abs=1e-9)


@pytest.mark.parametrize("rake", [-25.0, 30.0])
def test_slope_of_a_raked_top_is_that_of_its_own_ordinates(rake):
    """Second route: differences across the beam, in its own plane, on a deck that rises along the boat."""
    deck = round_deck(thickness=9)
    beam = lay_out_beams(deck, [BeamMark("r", 1500, rake_deg=rake)], 10.0)["r"]
    table = beam.ordinates
    inner = slice(3, -3)
    assert abs(float(deck.slopes(1500.0, 0.0, "beam")[0])) > 0.02
    for face in (0, 1):
        slope = np.gradient(-table.drop[:, face], table.y)
        assert table.slope[inner, face] == pytest.approx(slope[inner], abs=2e-5)


def test_two_beams_of_their_own_camber_keep_it_at_both_faces():
    """Marked on their after faces, so that their forward faces stand before the marks."""
    deck = round_deck()
    own = [BeamMark("a", 2000, "after face", camber=40), BeamMark("b", 2100, "after face", camber=70)]
    beams = lay_out_beams(deck, own)
    for beam, camber in zip(beams, (40, 70), strict=True):
        x = beam.faces_x[0], beam.faces_x[1]
        edges = [np.mean([float(deck.sheer.height(side, at)) for side in ("port", "starboard")]) for at in x]
        crown = [float(beam._cut(np.zeros(1), face).z[0]) for face in ("forward", "after")]
        assert np.subtract(crown, edges) == pytest.approx([camber] * 2, abs=1.0)
