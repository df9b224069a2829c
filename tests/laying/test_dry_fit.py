"""Landings against shapely on uneven pieces, and lengths over the surface against an integral."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import quad
from shapely import Point, line_locate_point
from shapely.geometry import LineString, Polygon
from shapely.ops import unary_union

from deckgeom.deck.crown import SameProportion
from deckgeom.deck.even_hull import even_hull
from deckgeom.deck.surface import Deck
from deckgeom.laying.dry_fit import Bearer, Piece, dry_fit
from deckgeom.laying.dry_fit_clip import clip, signed_area, union_area

SWEPT = Piece(
    "panel P2",
    [(0, -100), (900, -260), (2100, -310), (3300, -120)],
    [(-80, -700), (1000, -1090), (2200, -1120), (3250, -820)],
)
BEARERS = (
    Bearer.across("beam 1", 300, 345),
    Bearer("raked beam 2", [(1200, 500), (1260, 500), (1160, -2000), (1100, -2000)]),
    Bearer.rectangle("carlin", (345, 1900), (-600, -560)),
    Bearer.rectangle("pad", (2300, 2480), (-700, -500)),
    Bearer.rectangle("king plank", (-500, 4000), (-60, 60)),
    Bearer.rectangle("half beam", (3000, 3050), (-2000, -500)),
)


def shapes(bearers=BEARERS):
    return [Polygon(bearer.outline) for bearer in bearers]


@pytest.mark.parametrize("piece", [SWEPT, Piece("mirrored", SWEPT.second, SWEPT.first)])
def test_contact_tape_and_squeeze_out_agree_with_shapely(piece):
    fit = dry_fit(piece, BEARERS)
    panel = Polygon(piece.outline)
    union = unary_union(shapes())
    assert fit.contact == pytest.approx(panel.intersection(union).area, rel=1e-9)
    assert fit.bare == pytest.approx(panel.difference(union).area, rel=1e-9)
    assert fit.masking == pytest.approx(union.boundary.intersection(panel).length, rel=1e-9)
    assert fit.squeeze_out == pytest.approx(panel.intersection(union).boundary.length, rel=1e-9)
    assert [landing.bearer for landing in fit.landings] == ["beam 1", "carlin", "raked beam 2", "pad", "half beam"]
    for landing in fit.landings:
        (bearer,) = [Polygon(b.outline) for b in BEARERS if b.name == landing.bearer]
        assert landing.area == pytest.approx(panel.intersection(bearer).area, rel=1e-9)


def test_distances_along_both_edges_agree_with_shapely():
    lines = [LineString(edge) for edge in (SWEPT.first, SWEPT.second)]
    for landing in dry_fit(SWEPT, BEARERS).landings:
        (bearer,) = [Polygon(b.outline) for b in BEARERS if b.name == landing.bearer]
        for line, found in zip(lines, landing.on_edges, strict=True):
            part = line.intersection(bearer)
            if part.is_empty:
                assert found == ()
                continue
            ends = [line_locate_point(line, Point(part.coords[k])) for k in (0, -1)]
            assert found == (pytest.approx(tuple(ends), abs=1e-6),)
        for along, off in landing.corners:
            place = lines[0].interpolate(along)
            assert place.distance(bearer.boundary) <= off + 1e-6


def test_a_pad_is_marked_by_its_corners_and_a_beam_by_its_crossings():
    by_name = {landing.bearer: landing for landing in dry_fit(SWEPT, BEARERS).landings}
    assert len(by_name["pad"].corners) == 4 and by_name["pad"].on_edges == ((), ())
    assert len(by_name["beam 1"].corners) == 0 and all(len(found) == 1 for found in by_name["beam 1"].on_edges)
    assert len(by_name["half beam"].corners) == 2 and by_name["half beam"].on_edges[0] == ()
    line = LineString(SWEPT.first)
    off = sorted(round(off, 6) for _, off in by_name["pad"].corners)
    assert off == sorted(round(line.distance(Point(corner)), 6) for corner in BEARERS[3].outline)


def test_lengths_run_over_the_sheer_and_not_in_plan():
    deck = Deck(even_hull(rise=900), SameProportion("circle", "1:24"), 12.0)
    plank = Piece("plank", [(-2000, 0), (2000, 0)], [(-2000, 90), (2000, 90)], ("port edge", "starboard edge"))
    (landing,) = dry_fit(plank, [Bearer.across("beam", 1500, 1560)], deck).landings

    def length(x0, x1, y):
        return quad(lambda x: math.hypot(1, float(deck.slopes(x, y, "beam")[0])), x0, x1)[0]

    for y, ((start, end),) in zip((0, 90), landing.on_edges, strict=True):
        assert start == pytest.approx(length(-2000, 1500, y), rel=1e-5)
        assert end == pytest.approx(length(-2000, 1560, y), rel=1e-5)
    assert landing.on_edges[0][0][0] > 3510
    assert landing.words(plank.edge_names).startswith("beam: port edge from 35")


def test_a_concave_piece_is_tallied_right():
    """A panel round the after end of a well: shapely on a shape that turns inward."""
    piece = Piece("U", [(0, 0), (1000, 0), (1000, 600), (0.0001, 600)],
                  [(0, -300), (1500, -300), (1500, 900), (0, 900)])  # fmt: skip
    bearers = [Bearer.across("beam", 400, 450), Bearer.rectangle("carlin", (200, 1400), (300, 340))]
    fit = dry_fit(piece, bearers)
    panel, union = Polygon(piece.outline), unary_union([Polygon(b.outline) for b in bearers])
    assert fit.contact == pytest.approx(panel.intersection(union).area, rel=1e-9)
    assert fit.masking == pytest.approx(union.boundary.intersection(panel).length, rel=1e-9)


def test_union_of_random_triangles():
    rng = np.random.default_rng(7)
    for _ in range(20):
        triangles = rng.uniform(0, 100, (5, 3, 2))
        outline = [(10, 5), (90, 20), (60, 50), (95, 90), (5, 80)]
        exact = Polygon(outline).intersection(unary_union([Polygon(t) for t in triangles])).area
        assert union_area(outline, triangles) == pytest.approx(exact, rel=1e-9)
        assert abs(signed_area(clip(outline, triangles[0]))) == pytest.approx(
            Polygon(outline).intersection(Polygon(triangles[0])).area, rel=1e-9, abs=1e-9
        )


def test_words_warn_that_the_underside_is_turned_over():
    words = dry_fit(SWEPT, BEARERS).words("in")
    assert "go by the names of the edges" in words[0] and words[1].startswith("Beam 1: inner edge from ")
    assert words[-1].startswith("Masking tape: ") and " in" in words[-1]
    assert dry_fit(SWEPT, []).landings == () and dry_fit(SWEPT, []).masking == 0


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        (lambda: Bearer.across("beam 1", 300, 300), "'beam 1' has no area in plan"),
        (lambda: Bearer("beam", [(0, 0), (9, 0), (2, 2), (0, 9)]), "'beam' bends inward"),
        (lambda: Piece("p", [(9, 0), (0, 0)], [(0, 1), (9, 1)]), "'p': an edge has two points or more"),
        (lambda: Piece("p", [(0, 0), (9, 0)], [(0, 0), (9, 0)]), "'p' has no area"),
    ],
)
def test_errors_say_what_is_wrong(wrong, words):
    with pytest.raises(ValueError, match=words):
        wrong()
