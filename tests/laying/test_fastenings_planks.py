"""Fastenings of planks, carlins and butts against shapely and counts made by hand."""

from __future__ import annotations

from functools import partial

import numpy as np
import pytest
from shapely.geometry import LineString, Point, Polygon, box

from deckgeom.boat import default_settings
from deckgeom.boat.fittings_file import Fitting
from deckgeom.boat.ways_reader import ways
from deckgeom.deck.beams import BeamMark, lay_out_beams
from deckgeom.deck.crown import SameProportion
from deckgeom.deck.even_hull import even_hull
from deckgeom.deck.surface import Deck
from deckgeom.laying.dry_fit import Bearer, Piece
from deckgeom.laying.fastenings import FasteningChoices, plan_fastenings
from deckgeom.laying.fastenings_hold import shortest_that_holds
from deckgeom.laying.fastenings_joints import support_line
from deckgeom.laying.fastenings_lines import Support, supports_of
from deckgeom.laying.fastenings_planks import plank_fastenings
from deckgeom.laying.fastenings_sizes import size_rows
from deckgeom.laying.plan import plan_laying
from deckgeom.laying.plan_words import to_buy
from deckgeom.laying.sheets import Joint
from deckgeom.laying.sheets_outline import Box, DeckPlan, deck_plan

FLAT = Deck(even_hull(length=6000, half_breadth=1000), SameProportion("circle", 0), thickness=12)
HATCH = Fitting("hatch", 60.0, 100.0, 700.0, 600.0)
MARKS = [BeamMark(str(k), -2600 + 402.0 * k, siding=40) for k in range(14)]


def planned(*layers, fittings=(HATCH,), **wishes):
    deck = Deck(even_hull(length=6000, half_breadth=1000, rise=120), SameProportion("circle", "1:30"), thickness=12)
    marks = [m for m in MARKS if not -400 < m.x < 400] + [
        BeamMark("half P", 60.0, siding=40, start="port edge", end=-205.0),
        BeamMark("half S", 60.0, siding=40, start=405.0, end="starboard edge")]  # fmt: skip
    from dataclasses import replace

    told = replace(default_settings().laying, ways=ways([["a", *layers]], "mm"), **wishes)
    beams = lay_out_beams(deck, marks)
    return deck, deck_plan(deck, fittings), beams, plan_laying(deck, beams, told, fittings).way()


@pytest.fixture(scope="module", params=["planks 12 mm, 70 mm wide", "planks 12 mm, 55 mm wide, sprung, king plank "
                                        "140 mm, covering board 120 mm"])  # fmt: skip
def planked(request):
    return planned(request.param, fastening_lengths=(40.0, 60.0))


def test_every_fastening_of_planks_stands_in_one_plank_clear_of_its_seams(planked):
    """By shapely: each lies in a plank, 8 mm or more from its long edges, 20 mm from deck edge and opening."""
    deck, plan, _, way = planked
    (_, made, _), = way.fastenings
    seams = [LineString(edge) for piece in way.planks.pieces for edge in (piece.first, piece.second)
             if not ("king" in piece.name and np.all(edge[:, 1] == 0))]  # fmt: skip
    whole = Polygon(np.vstack([np.c_[plan.x, -plan.port], np.c_[plan.x, plan.starboard][::-1]]))
    hole = box(*(getattr(plan.openings[0], name) for name in ("x0", "y0", "x1", "y1")))
    points = [Point(x, y) for row in made.rows for x, y in zip(row.x, row.y, strict=True)]
    assert len(points) == made.count() > 400
    inside = [p for p in points if whole.exterior.distance(p) > 25]
    assert min(min(seam.distance(p) for seam in seams) for p in inside[::7]) > 7.9
    assert min(whole.exterior.distance(p) for p in points) > 19.9 and all(whole.contains(p) for p in points)
    assert min(hole.distance(p) for p in points) > 19.9


def test_half_beams_are_fastened_once_and_on_their_own_side(planked):
    *_, way = planked
    (_, made, _), = way.fastenings
    rows = {row.name: row for row in made.rows}
    assert rows["half P"].y.max() <= -205 and rows["half S"].y.min() >= 405


def test_two_in_each_whole_plank_on_a_beam_by_hand():
    planks = [Piece(f"starboard plank {k + 1}", [(-900, 70 * k), (900, 70 * k)], [(-900, 70 * k + 70),
              (900, 70 * k + 70)]) for k in range(10)]  # fmt: skip
    beam = Support("7", "beam", -20, 20, -np.inf, np.inf)
    found = plank_fastenings(FLAT, deck_plan(FLAT), planks, [beam], [("starboard plank 3", 5.0)])
    row = found.rows[0]
    assert row.count == 9 * 2 + 4  # the third has a butt on the beam: two in each end
    third = (row.y > 140) & (row.y < 210)
    assert sorted(row.x[third]) == [-5.0, -5.0, 15.0, 15.0] and set(row.y[third]) == {158.0, 192.0}
    assert np.all(row.x[~third] == 0) and found.straps == ()


def test_a_butt_on_no_beam_takes_a_block_of_its_own():
    planks = [Piece("port plank 1", [(-900, -80), (900, -80)], [(-900, 0), (900, 0)])]
    found = plank_fastenings(FLAT, deck_plan(FLAT), planks, [], [("port plank 1", 100.0)], FasteningChoices(edge=20))
    block = next(row for row in found.rows if row.kind == "block")
    assert sorted(set(block.x)) == [40.0, 80.0, 120.0, 160.0] and set(block.y) == {-60.0, -20.0}
    assert found.straps == (160.0,) and found.count("block") == 8


def test_boards_that_lie_on_ply_are_fastened_at_the_beams_and_along_the_deck_edge():
    *_, way = planned("ply 9 mm", "planks 9 mm, 50 mm wide, sprung, king plank 140 mm, covering board 120 mm",
                      fastening_lengths=(35.0, 45.0, 60.0))  # fmt: skip
    layer, made, sizes = way.fastenings[1]
    assert layer == 1 and {row.kind for row in made.rows} == {"board", "edge"}
    nine = next(row for row in made.rows if row.name == "boards on beam 9")
    assert nine.count == 6  # two in each covering board, two in the king plank
    assert sizes.lengths["boards on beam 9"].length == 45.0  # 18 mm through and 7 diameters of 3 mm
    bought = [row for row in to_buy(way) if "plugged" in row[0]]
    assert len(bought) == 1
    need = next(one for one in way.shopping if "plugged" in one.product)
    assert need.band.likely == made.count() and need.with_spare == pytest.approx(1.1 * made.count())


# carlins


def test_a_row_on_a_carlin_is_moved_clear_of_the_opening_and_stays_on_the_carlin():
    deck = DeckPlan([-2000, 2000], [900, 900], [900, 900], (Box("hatch", -300, 300, -200, 200),))
    (x0, x1), (y, _) = support_line(deck, Support("c", "carlin", -500, 500, 200, 240), 25.0)
    assert (x0, x1, y) == (-475, 475, 225)
    assert support_line(deck, Support("c", "carlin", -500, 500, -230, -200), 25.0)[1][0] == -220  # 10 mm left outside


def test_carlins_are_counted_with_their_length(planked):
    *_, way = planked
    (_, made, sizes), = way.fastenings
    carlins = [row for row in made.rows if row.kind == "carlin"]
    assert len(carlins) == 2
    bearer = {one.name: one for one in way.bearers if one.name.startswith("carlin")}
    for row in carlins:
        on = Polygon(bearer[row.name].outline)
        assert all(on.contains(Point(p)) for p in zip(row.x, row.y, strict=True))
        assert row.count >= np.ceil(row.length / 150) + 1 - 1e-9 and sizes.lengths[row.name].length == 40.0


# butts of sheets


def test_butts_take_two_rows_on_a_beam_and_a_strap_between_beams():
    plan = DeckPlan([-3000, 3000], [900, 900], [900, 900])
    beams = [Support(str(k), "beam", 500 * k - 20, 500 * k + 20, -np.inf, np.inf) for k in (-1, 0, 1)]
    joints = [Joint(0, "across", 0.0, -900, 0.0, 900), Joint(0, "along", -400, 300.0, 0, 300.0)]
    found = plan_fastenings(FLAT, plan, beams, joints, FasteningChoices(strap=120.0))
    by_name = {row.name: row for row in found.rows}
    for side, x in (("forward", -10.0), ("abaft", 10.0)):
        row = by_name[f"joint 1 on beam 0, {side}"]
        assert np.all(row.x == x) and row.on == "0"
        seam = LineString([(-400, 300), (0, 300)])
        assert min(seam.distance(Point(p)) for p in zip(row.x, row.y, strict=True)) > 14.9
    assert "0" not in by_name  # the beam's own row would stand in the butt
    assert np.all(np.abs(by_name["-1"].y - 300) > 0)
    # the seam from -400 to 0 meets the beam at 0: its strap ends 5 mm short of it
    assert found.straps == (375.0,)
    assert set(by_name["strap of joint 2, port"].y) == {270.0}
    assert set(by_name["strap of joint 2, starboard"].y) == {330.0}


def test_scarfs_have_no_rows_of_their_own():
    plan = DeckPlan([-3000, 3000], [900, 900], [900, 900])
    beam = Support("0", "beam", -20, 20, -np.inf, np.inf)
    joints = [Joint(0, "across", 0.0, -900, 0.0, 900)]
    found = plan_fastenings(FLAT, plan, [beam], joints, butted=False)
    assert {row.kind for row in found.rows} == {"beam", "edge"} and found.count("beam") == np.ceil(1760 / 150) + 1


def test_straps_are_made_deep_enough_for_a_length_in_stock():
    """By hand: 9 mm gone through and 7 diameters of 3 mm make 30 mm; a 35 stands 26 mm in the strap, 5 mm are kept."""
    found = shortest_that_holds("ring nail", 3.0, 9.0, (25, 35, 50), gravity=0.5)
    assert (found.length, found.depth) == (35, 26)
    short = shortest_that_holds("ring nail", 3.0, 9.0, (25,), gravity=0.5)
    assert short.length is None and "30 mm holds" in short.words
    *_, way = planned("ply 12 mm", scarf=0.0, joints="between beams", fastening_lengths=(30.0, 45.0))
    (_, made, sizes), = way.fastenings
    assert made.count("strap") > 0 and made.straps and sizes.below["each strap under a butt"] == 45 - 12 + 5
    (row,) = [row for row in to_buy(way) if row[0] == "straps under butts"]
    assert row[1].startswith(f"{len(made.straps)} of ply or board 192 mm broad, 38 mm deep or more")


def test_every_row_has_its_length_and_the_list_buys_them_all(planked):
    _, _, beams, way = planked
    (_, made, sizes), = way.fastenings
    assert sum(sizes.counts.values()) == made.count()
    assert sum(sum(sizes.counts_of([row]).values()) for row in made.rows) == made.count()
    nails = [one for one in way.shopping if one.product.startswith("ring nail")]
    assert sum(one.band.likely for one in nails) == made.count()
    short = size_rows(made, beams, "ring nail", 3, (10,), gravity=0.5)
    assert short.counts == {} and short.complaints[-1].startswith("The clamp under the deck edge: No ring nail")


def test_supports_are_beams_and_carlins_and_not_pads():
    make = partial(Bearer.rectangle, x=(0, 40), y=(-300, 300))
    found = supports_of([make("beam 12"), make("carlin to port of the hatch"), make("cleat pad")])
    assert [(one.name, one.kind, one.siding) for one in found] == [
        ("12", "beam", 40.0), ("carlin to port of the hatch", "carlin", 600.0)]  # fmt: skip
