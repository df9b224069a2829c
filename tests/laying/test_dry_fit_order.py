"""Temporary screws, relief holes, scarfs, halves and sealing against shapely and searches."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from shapely.geometry import MultiPoint, Point, Polygon, box

from deckgeom.laying.dry_fit import Bearer, Piece
from deckgeom.laying.dry_fit_order import half_at_a_time, sealing
from deckgeom.laying.dry_fit_screws import along_scarf, relief_holes, temporary_screws
from deckgeom.laying.sheets_outline import Box


def test_temporary_screws_are_the_fewest_that_hold():
    """Against every choice of holes on an uneven line."""
    x = np.array([0, 140, 300, 420, 610, 700, 905, 1000, 1130])
    points = np.c_[x, 0.1 * x]
    chosen = temporary_screws(points, 420)
    along = np.hypot(*(points - points[0]).T)
    assert chosen[0] == 0 and chosen[-1] == len(x) - 1 and np.diff(along[chosen]).max() <= 420
    for count in range(len(chosen) - 2):
        for between in itertools.combinations(range(1, len(x) - 1), count):
            assert np.diff(along[[0, *between, len(x) - 1]]).max() > 420


def test_temporary_screws_where_the_permanent_ones_lie_too_far_apart():
    assert temporary_screws([(0, 0), (900, 0), (1000, 0)], 300).tolist() == [0, 1, 2]
    assert temporary_screws([], 300).tolist() == [] and temporary_screws([(5, 5)], 300).tolist() == [0]


def test_relief_holes_lie_in_the_sheet_between_fastenings_and_off_the_beams():
    outline = [(0, 0), (2400, 90), (2300, 900), (1200, 1150), (60, 700)]
    screws = np.array([(x, y) for x in (30, 430, 830, 1230, 1630, 2030) for y in range(80, 1000, 150)], float)
    screws = screws[[Polygon(outline).contains(Point(p)) for p in screws]]
    beams = [Bearer.across("beam", x - 22, x + 23) for x in (430, 830, 1230, 1630, 2030)]
    holes = relief_holes(outline, screws, 200, clear=45, bearers=beams)
    assert len(holes) > 30
    sheet, all_screws = Polygon(outline), MultiPoint(screws)
    for hole in map(Point, holes):
        assert sheet.contains(hole) and sheet.exterior.distance(hole) >= 45 - 1e-6
        assert all_screws.distance(hole) >= 45 - 1e-6
        assert not any(Polygon(beam.outline).contains(hole) for beam in beams)
    assert len(relief_holes(outline, screws, 200, clear=45)) >= len(holes)
    assert len(relief_holes(outline, screws, 200, clear=900)) == 0


def test_cleats_and_weights_on_a_scarf():
    """A hundredth of a square metre under 1 kPa carries 10 N: 1.02 kg."""
    hold = along_scarf(1000, 10, spacing=150, inset=50, pressure=1.0)
    assert hold.weight == pytest.approx(1.0197, abs=5e-5)
    assert hold.at[0] == 50 and hold.at[-1] == 950 and np.diff(hold.at).max() <= 150
    assert len(hold.at) == 7 and (950 - 50) / 5 > 150
    assert along_scarf(80, 72).at == (40,) and along_scarf(80, 72).words().startswith("1 cleat at 40 mm")
    assert " lb " in hold.words("in")


def half(side: int, inner: float, outer: float, name: str) -> Piece:
    edges = [[(0, side * y), (4000, side * y)] for y in (inner, outer)]
    return Piece(name, *edges)


def test_the_half_that_leaves_the_lower_pile_goes_first():
    pieces = [half(-1, 0, 900, "P1"), half(1, 0, 500, "S1"), half(1, 500, 1200, "S2")]
    plan = half_at_a_time(pieces)
    port, starboard = 900 * 4000, 1200 * 4000
    piles = {"port": (port / starboard, starboard / port), "starboard": (starboard / port, port / starboard)}
    assert plan.layers == pytest.approx(piles[plan.first]) and plan.too_wide == ()
    assert plan.first == "port" and plan.lifted_first == ("P1",) and plan.lifted_second == ("S1", "S2")
    mirrored = [Piece(p.name, p.first * [1, -1], p.second * [1, -1]) for p in pieces]
    assert sorted(half_at_a_time(mirrored).layers) == pytest.approx(sorted(plan.layers))


def test_a_piece_across_the_centreline_is_lifted_first_and_laid_last():
    king = Piece("king plank", [(0, -60), (4000, -60)], [(0, 60), (4000, 60)])
    broad = Piece("foredeck", [(4000, -900), (5000, -900)], [(4000, 700), (5000, 700)])
    plan = half_at_a_time([king, broad, half(-1, 60, 900, "P"), half(1, 60, 940, "S")])
    assert plan.both == ("king plank", "foredeck") and plan.too_wide == ("foredeck",)
    words = plan.words()
    assert words[0] == "Lift king plank, foredeck first of all: across the centreline, they go down last."
    assert "Too broad to lie on one half: foredeck" in words[-1]
    pieces = (king, broad, half(-1, 60, 900, "P"), half(1, 60, 940, "S"))
    floor = sum(Polygon(p.outline).intersection(box(0, 0, 9000, 9000)).area for p in pieces)
    lifted = sum(Polygon(p.outline).area for p in pieces[:3])
    assert plan.first == "port" and plan.layers[0] == pytest.approx(lifted / floor)
    nearly = half_at_a_time([half(-1, -4, 900, "P"), half(1, 4, 900, "S")])
    assert nearly.both == ()


def test_planks_show_end_grain_at_the_ends_and_ply_all_round():
    piece = Piece("P", [(0, 0), (2000, 30)], [(-40, 300), (1500, 420), (2100, 500)])
    hatch = Box("hatch", 0, 600, -250, 250)
    ply, planks = (sealing([piece], 12.0, [hatch], ply=each) for each in (True, False))
    assert ply.ends == pytest.approx(Polygon(piece.outline).exterior.length)
    assert planks.ends == pytest.approx(np.hypot(40, 300) + np.hypot(100, 470))
    assert ply.openings == Polygon(box(0, -250, 600, 250)).exterior.length == 2200
    assert ply.area == pytest.approx((ply.ends + 2200) * 12 / 1e6)
    assert sealing([piece], 12.0, [hatch], own=0.1).resin.likely == pytest.approx(planks.area * 3 / 0.1, abs=0.005)
    assert "3 coats" in planks.words() and "Gloves" in planks.words()


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        (lambda: temporary_screws([(0, 0)], 0), "temporary screws 0 mm apart"),
        (lambda: relief_holes([(0, 0), (1, 0), (1, 1)], [], 0), "relief holes 0 mm apart"),
        (lambda: along_scarf(0, 72), "a scarf 0 by 72 mm"),
        (lambda: half_at_a_time([half(1, 0, 900, "S")]), "on one side of the centreline only"),
        (lambda: sealing([], 0), "edges 0 mm thick"),
    ],
)
def test_errors_say_what_is_wrong(wrong, words):
    with pytest.raises(ValueError, match=words):
        wrong()
