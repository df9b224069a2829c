"""A deck of unlike sides with openings: every plan covers it exactly once, as shapely and the drawing count it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from shapely.geometry import Polygon, box

from deckgeom.boat import default_settings
from deckgeom.boat.fittings_file import Fitting
from deckgeom.boat.ways_reader import ways
from deckgeom.deck.beams import BeamMark, lay_out_beams
from deckgeom.deck.crown import SameProportion
from deckgeom.deck.surface import Deck
from deckgeom.drawings.laying import draw_planks, draw_sheets
from deckgeom.hull.sheer import Sheer
from deckgeom.laying.plan import plan_laying

LENGTH = 6100.0
HATCH = Fitting("hatch", 2230.0, 170.0, 640.0, 520.0)
VENT = Fitting("vent", 4315.0, -390.0, 230.0, 310.0)
MAST = Fitting("mast", 3377.0, -40.0, 118.0, 118.0, rake_deg=3.0)
WAYS = {
    "two skins": ["ply 6 mm", "ply 5 mm", "cloth"],
    "straight planks and ply": ["planks 12 mm, 66 mm wide, king plank 141 mm", "ply 6 mm", "cloth"],
    "sprung planks over ply": ["ply 9 mm", "planks 9 mm, 47 mm wide, sprung, king plank 127 mm, covering board 109 mm"],
}


def curve(*coefficients):
    """A polynomial along the boat with its derivatives."""
    poly = np.polynomial.Polynomial(coefficients)
    return lambda x, order=0: (poly.deriv(order) if order else poly)(np.asarray(x, float))


def lopsided() -> Deck:
    """Broader to starboard and higher there, pointed forward, with a transom out of square to the sheer."""
    t = 1 / LENGTH
    port, starboard = curve(20, 3200 * t, -2350 * t * t), curve(25, 3700 * t, -2650 * t * t)
    height = curve(900, -420 * t, 330 * t * t), curve(930, -400 * t, 330 * t * t)
    sheer = Sheer.from_curves(port, height[0], starboard, height[1], start=0, end=LENGTH)
    return Deck(sheer, SameProportion("circle", "1:30"), thickness=11)


@pytest.fixture(scope="module", params=WAYS)
def laid(request):
    deck = lopsided()
    beams = lay_out_beams(deck, [BeamMark(str(k + 1), 250.0 + 397.0 * k, siding=40) for k in range(15)])
    told = replace(default_settings().laying, joints="either", ways=ways([[request.param, *WAYS[request.param]]], "mm"))
    return deck, plan_laying(deck, beams, told, (HATCH, VENT, MAST)).way()


def whole(deck, openings) -> Polygon:
    x = np.linspace(0, LENGTH, 2001)
    port, starboard = (deck.sheer.half_breadth(side, x) for side in ("port", "starboard"))
    return Polygon(np.r_[np.c_[x, -port], np.c_[x, starboard][::-1]]).difference(holes(openings))


def holes(openings):
    return shapely.unary_union([box(o.x0, o.y0, o.x1, o.y1) for o in openings])


def covers_once(shapes, deck) -> None:
    union = shapely.unary_union(shapes)
    assert union.symmetric_difference(deck).area < 2e-3 * deck.area
    assert sum(shape.area for shape in shapes) - union.area < 5e-4 * deck.area


def test_every_skin_of_sheets_covers_the_deck_once(laid):
    deck, way = laid
    best = way.sheets.best
    assert {one.what for one in best.plan.openings} == {"hatch", "vent", "mast"}
    for plan in way.sheets.plans:
        for skin in range(len(plan.choices.skins)):
            mine = [piece for piece in plan.pieces if piece.skin == skin]
            shapes = [Polygon(piece.outline).difference(holes(piece.openings)) for piece in mine]
            covers_once(shapes, whole(deck, best.plan.openings))
            assert [piece.area for piece in mine] == pytest.approx([shape.area for shape in shapes], abs=1.0)
    judged = {skin: [panel for panel in way.panels if panel.skin == skin] for skin in range(len(best.choices.skins))}
    for panels in judged.values():
        covers_once([Polygon(panel.panel.outline()).buffer(0) for panel in panels], whole(deck, ()))


def test_planks_and_boards_cover_the_deck_once(laid):
    deck, way = laid
    if way.planks is None:
        assert [layer.kind for layer in way.way.layers] == ["ply", "ply", "cloth"]
        return
    shapes = [Polygon(piece.outline).buffer(0) for piece in way.planks.pieces]
    covers_once(shapes, whole(deck, way.planks.openings))
    assert {one.what for one in way.planks.openings} == {"hatch", "vent", "mast"}
    names = [piece.name for piece in way.planks.pieces]
    assert len(set(names)) == len(names) and {name.split()[0] for name in names} == {"port", "starboard"}


def test_the_drawing_shows_each_sheet_s_pieces_at_their_size_and_count(laid):
    deck, way = laid
    best = way.sheets.best
    for skin in range(len(best.choices.skins)):
        pieces = [piece for piece in best.pieces if piece.skin == skin]
        picture = draw_sheets(best, deck.sheer, (), "mm", skin)
        drawn = [Polygon(patch.get_xy()[:-1]) for patch in picture.figure.axes[1].patches]
        sheet = best.choices.length * best.choices.width
        whole_sheets = [shape for shape in drawn if shape.area == pytest.approx(sheet)]
        cut = [shape for shape in drawn if shape.area != pytest.approx(sheet)]
        assert len(whole_sheets) == len({piece.sheet for piece in pieces}) and len(cut) == len(pieces)
        expected = sorted(Polygon(piece.placed).area for piece in pieces)
        assert sorted(shape.area for shape in cut) == pytest.approx(expected, rel=1e-9)
        assert f"{len(pieces)} pieces" in picture.alt


def test_the_drawing_of_planks_has_two_edges_for_each_piece_and_every_butt(laid):
    deck, way = laid
    if way.planks is None:
        assert way.sheet_count == len({piece.sheet for piece in way.sheets.best.pieces})
        return
    picture = draw_planks(way.planks, deck.sheer, way.planks.openings)
    lines = picture.figure.axes[0].lines
    lengths = [float(np.hypot(*np.diff(line.get_xydata(), axis=0).T).sum()) for line in lines]
    for piece in way.planks.pieces:
        for edge in (piece.first, piece.second):
            true = float(np.hypot(*np.diff(edge, axis=0).T).sum())
            assert min(abs(length - true) for length in lengths) < 1e-6 * true + 1e-6
    count = sum(len(butts.butts) for butts in way.planks.butts.values())
    broken = [int(np.isnan(line.get_xdata()).sum()) for line in lines]
    assert max(broken) == count > 10  # one line of many strokes, a gap after each


def test_counts_and_lengths_are_those_of_the_pieces(laid):
    _, way = laid
    for number, plan, sizes in way.fastenings:
        assert plan.count() == sum(len(row.x) for row in plan.rows if row.count) == sum(sizes.counts.values()) or \
            sizes.complaints or way.way.layers[number].kind == "cloth"  # fmt: skip
    if way.sheets.best.choices.ratio:
        joints = sum(shapely.LineString([(j.x0, j.y0), (j.x1, j.y1)]).length for j in way.sheets.best.joints)
        assert way.sheets.best.joint_length == pytest.approx(joints)
    assert sum(nest.sheets for _, nest in way.sheets.best.nests) == way.sheet_count
