"""Planks cut at openings, and butts on half beams and carlins: against shapely, and counted by hand."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely
from shapely.geometry import LineString, Polygon, box

from deckgeom.boat import default_settings, read_boat
from deckgeom.boat.fittings_file import Fitting
from deckgeom.boat.ways_reader import ways
from deckgeom.deck.beams import BeamMark, lay_out_beams
from deckgeom.deck.crown import SameProportion
from deckgeom.deck.even_hull import even_hull
from deckgeom.deck.surface import Deck
from deckgeom.job import do_job
from deckgeom.laying.dry_fit import Piece
from deckgeom.laying.dry_fit_order import sealing
from deckgeom.laying.fastenings_lines import Support
from deckgeom.laying.plan import plan_laying
from deckgeom.laying.planks_butts import carried_at, check_shift, plan_butts
from deckgeom.laying.planks_butts_program import ButtChoices
from deckgeom.laying.planks_pieces import cut_at_openings, ends_without_beam, lane_of
from deckgeom.laying.sheets_outline import Box

DEMO = Path(__file__).parents[2] / "notebooks" / "boats" / "thimblewick"
HATCH = Fitting("hatch", 231.0, 90.0, 811.0, 533.0)
SLANT = Fitting("skylight", -1130.0, -140.0, 440.0, 287.0)


def laid(text, fittings, half=True, **wishes):
    deck = Deck(even_hull(length=6400, half_breadth=1000, rise=90), SameProportion("circle", "1:30"), thickness=12)
    marks = [BeamMark(str(k), -2990 + 400.0 * k, siding=40) for k in range(16) if not (half and k in (8,))]
    if half:
        marks += [BeamMark("8P", 210.0, siding=40, start="port edge", end=-176.5),
                  BeamMark("8S", 210.0, siding=40, start=356.5, end="starboard edge")]  # fmt: skip
    told = replace(default_settings().laying, ways=ways([["a", text]], "mm"), **wishes)
    plan = plan_laying(deck, lay_out_beams(deck, marks), told, fittings)
    return deck, plan.way()


LAYS = ["planks 12 mm, 70 mm wide", "planks 12 mm, 47 mm wide, sprung, king plank 130 mm, covering board 110 mm",
        "planks 12 mm, 90 mm wide, king plank 170 mm"]  # fmt: skip


@pytest.fixture(scope="module", params=LAYS)
def opened(request):
    return laid(request.param, [HATCH, SLANT])


def covers(deck, pieces, openings):
    x = np.linspace(deck.sheer.start, deck.sheer.end, 2001)
    port, starboard = (np.maximum(deck.sheer.half_breadth(side, x), 0) for side in ("port", "starboard"))
    whole = Polygon(np.r_[np.c_[x, -port], np.c_[x, starboard][::-1]])
    for each in openings:
        whole = whole.difference(box(each.x0, each.y0, each.x1, each.y1))
    shapes = [Polygon(piece.outline).buffer(0) for piece in pieces]
    union = shapely.unary_union(shapes)
    return whole, union, sum(shape.area for shape in shapes)


def test_pieces_cover_the_deck_less_its_openings_exactly_once(opened):
    deck, way = opened
    whole, union, total = covers(deck, way.planks.pieces, way.planks.openings)
    assert len(way.planks.openings) == 2
    assert union.symmetric_difference(whole).area < 2e-3 * whole.area
    assert total - union.area < 5e-4 * whole.area
    for each in way.planks.openings:
        assert union.intersection(box(each.x0 + 1, each.y0 + 1, each.x1 - 1, each.y1 - 1)).area < 1.0


def test_the_demo_covers_her_deck_less_mast_and_hatch():
    boat = read_boat(DEMO)
    job = do_job(boat)
    plan = plan_laying(job.deck, job.beams, boat.settings.laying, boat.fittings, boat.units)
    for way in plan.ways:
        whole, union, total = covers(job.deck, way.planks.pieces, way.planks.openings)
        assert {each.what for each in way.planks.openings} == {"mast", "hatch"}
        assert union.symmetric_difference(whole).area < 2e-3 * whole.area and total - union.area < 5e-4 * whole.area
        for butts in way.planks.butts.values():
            assert butts.too_close == () and "no two lie closer" in butts.words()[-1]


def test_lengths_and_stock_are_those_of_the_pieces(opened):
    _, way = opened
    for side, butts in way.planks.butts.items():
        runs = [p for p in way.planks.pieces if p.name.startswith(f"{side} plank")]
        for number, piece in enumerate(runs):
            mine = [one for one in butts.pieces if one.plank == number]
            assert sum(one.length for one in mine) == pytest.approx(piece.first[-1, 0] - piece.first[0, 0], abs=2e-3)
            assert (mine[0].x0, mine[-1].x1) == pytest.approx((piece.first[0, 0], piece.first[-1, 0]), abs=1e-3)
        assert sum(butts.counts.values()) == len(butts.pieces) >= len(runs)


def test_less_stock_is_taken_than_for_whole_planks():
    _, cut = laid(LAYS[0], [HATCH], stock=(1500.0, 2000.0, 2500.0, 3000.0))
    _, whole = laid(LAYS[0], [], half=False, stock=(1500.0, 2000.0, 2500.0, 3000.0))
    total = [sum(b.stock_length for b in way.planks.butts.values()) for way in (cut, whole)]
    # by hand: 533 mm of opening cuts seven planks of 70 mm right through, over 811 mm each
    assert total[0] < total[1] - 3 * 811


def test_every_butt_lies_on_what_carries_the_whole_plank(opened):
    _, way = opened
    bearers = [Polygon(b.outline) for b in way.bearers if b.name.startswith(("beam", "carlin"))]
    by_name = {piece.name: piece for piece in way.planks.pieces}
    assert way.planks.butt_places
    for name, x in way.planks.butt_places:
        low, high = sorted(float(np.interp(x, *e.T)) for e in (by_name[name].first, by_name[name].second))
        line = LineString([(x, low + 1), (x, high - 1)])
        assert max(line.intersection(b).length for b in bearers) >= 0.74 * line.length


def test_the_rules_of_shift_hold_between_the_parts_of_cut_planks(opened):
    _, way = opened
    for butts in way.planks.butts.values():
        at = [(butts.lanes[plank], x) for plank, x in butts.butts]
        assert check_shift(at, butts.beams, butts.choices.between, butts.choices.shift) == () == butts.too_close


def test_half_beams_and_carlins_carry_butts_too():
    beams = [1000.0, 1400.0, 1800.0]
    half = Support("P", "beam", 1380, 1420, -9e9, -300)
    carlin = Support("c", "carlin", 1020, 1780, -300, -240)
    plank = lambda low, high: Piece("port plank 1", [(0, high), (3000, high)], [(0, low), (3000, low)])  # noqa: E731
    assert carried_at(plank(-400, -350), [half, carlin], beams) == (1400.0,)
    assert carried_at(plank(-299, -240), [half, carlin], beams) == (1200.0, 1600.0)
    assert carried_at(plank(-340, -280), [half, carlin], beams) == ()  # on neither far enough
    assert carried_at(plank(-320, -250), [half, carlin], beams) == ()  # 50 of 70 mm: not three quarters


def test_butts_do_land_on_half_beams():
    """Two planks of 2 m, of which a half beam carries the one alone; by hand each is two lengths of 1 m."""
    beams, choices = [400.0, 1000.0, 1600.0], ButtChoices((1020.0, 1220.0, 1420.0, 1620.0), between=0, shift=0)
    found = plan_butts([(0, 2000), (0, 2000)], beams, choices, carried=[(400.0, 1000.0, 1600.0), (400.0, 1600.0)])
    assert found.butts == ((0, 1000.0), (1, found.butts[1][1])) and found.butts[1][1] in (400.0, 1600.0)
    assert found.complaints == () and found.stock_length == 2 * 1020 + 1620 + 1020


@pytest.mark.parametrize(
    ("opening", "names", "area"),
    [
        (Box("a", 300, 600, -50, 200), ["p 1a", "p 1b"], 90 * 600),
        (Box("a", 300, 600, -50, 40), ["p 1"], 90 * 900 - 40 * 300),
        (Box("a", 300, 600, 50, 200), ["p 1"], 90 * 900 - 40 * 300),
        (Box("a", -100, 200, -50, 200), ["p 1"], 90 * 700),
        (Box("a", 300, 600, 100, 200), ["p 1"], 90 * 900),
        (Box("a", -9, 1000, -9, 100), [], 0),
    ],
)
def test_one_opening_by_hand(opening, names, area):
    plank = Piece("p 1", [(0, 0), (900, 0)], [(0, 90), (900, 90)])
    parts, holes = cut_at_openings(plank, [opening])
    assert [part.name for part in parts] == names and holes == ()
    assert sum(Polygon(part.outline).area for part in parts) == pytest.approx(area)
    mirrored = Piece("p 1", [(0, 0), (900, 0)], [(0, -90), (900, -90)])
    other, _ = cut_at_openings(mirrored, [opening._replace(y0=-opening.y1, y1=-opening.y0)])
    assert [p.outline[:, 0].tolist() for p in other] == [p.outline[:, 0].tolist() for p in parts]


def test_two_openings_and_a_slanting_plank_against_shapely():
    rng = np.random.default_rng(4)
    for _ in range(40):
        x = np.linspace(0, 3000, 9)
        low = np.cumsum(rng.uniform(-60, 60, 9))
        high = low + rng.uniform(20, 120, 9)
        piece = Piece("starboard plank 2", np.c_[x, low], np.c_[x, high])
        boxes = []
        for k in range(2):
            a, b = 200 + 1500 * k + rng.uniform(0, 300), 900 + 1500 * k + rng.uniform(0, 300)
            c = rng.uniform(-250, 150)
            boxes.append(Box(f"o{k}", a, b, c, c + rng.uniform(80, 400)))
        parts, holes = cut_at_openings(piece, boxes)
        whole = Polygon(piece.outline)
        bored = shapely.unary_union([box(h.x0, h.y0, h.x1, h.y1) for h in holes])
        left = whole.difference(shapely.unary_union([box(o.x0, o.y0, o.x1, o.y1) for o in boxes]))
        union = shapely.unary_union([Polygon(p.outline).buffer(0) for p in parts])
        assert union.difference(bored).symmetric_difference(left).area < 3e-3 * whole.area
        assert sum(Polygon(p.outline).buffer(0).area for p in parts) == pytest.approx(union.area, rel=1e-6)


def test_an_opening_within_one_plank_is_bored_and_said():
    _, way = laid(LAYS[2], [Fitting("vent", 900.0, 130.0, 40.0, 40.0)])
    assert way.planks.lines == ("The vent lies within the starboard plank 1: bore it when the plank is down.",)
    assert way.planks.lines[0] in way.complaints


def test_ends_at_an_opening_are_sealed_once():
    plank = Piece("p 1", [(0, 0), (900, 0)], [(0, 90), (900, 90)])
    opening = Box("a", 300, 600, -50, 200)
    parts, _ = cut_at_openings(plank, [opening])
    found = sealing(parts, 20.0, [opening])
    assert found.ends == pytest.approx(2 * 90) and found.openings == 2 * (300 + 250)


def test_pieces_are_told_by_their_plank():
    assert [lane_of(name) for name in ("port plank 12", "starboard plank 3b")] == [12, 3]
    assert ButtChoices((3000,)).between == 3


def test_planks_that_end_where_no_beam_is_are_told():
    opening = Box("hatch", 300, 600, -200, 200)
    plank = Piece("port plank 1", [(0, 0), (900, 0)], [(0, -90), (900, -90)])
    parts, _ = cut_at_openings(plank, [opening])
    fore, half = Support("3", "beam", 270, 310, -9e9, 9e9), Support("P", "beam", 590, 630, -9e9, -200)
    (line,) = ends_without_beam(parts, [opening], [fore, half])
    assert line.startswith("Planks end at the after side of the hatch, where no beam is under them")
    whole = Support("4", "beam", 590, 630, -9e9, 9e9)
    assert ends_without_beam(parts, [opening], [fore, whole]) == ()
    assert ends_without_beam(parts, [opening._replace(what="mast")], []) == ()
    assert ends_without_beam([plank], [opening], []) == ()


def test_the_demos_hatch_wants_a_piece_across_its_after_side():
    """Her beams 12 and 15 stand round the hatch: 12 reaches under its forward side, 15 is 5 inches abaft the after."""
    boat = read_boat(DEMO)
    job = do_job(boat)
    told = boat.settings.laying
    plan = plan_laying(job.deck, job.beams, replace(told, ways=told.ways[:1]), boat.fittings, boat.units)
    assert [note.partition(",")[0] for note in plan.way().planks.notes] == [
        "Planks end at the after side of the hatch"]  # fmt: skip
