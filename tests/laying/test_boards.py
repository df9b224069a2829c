"""Boards for covering boards and king plank: annulus by hand, every choice tried, shapely, and the demo's sums."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest
from shapely.geometry import MultiPoint

from deckgeom.bench import laying_work
from deckgeom.bench.example import example_laying
from deckgeom.bench.laying import plan_of
from deckgeom.boat.ways_reader import ways
from deckgeom.deck.crown import SameProportion
from deckgeom.deck.flat_edge import flat_edge
from deckgeom.deck.surface import Deck
from deckgeom.hull.sheer import Sheer
from deckgeom.job import do_job
from deckgeom.laying.boards import SAWN, board_rows, covering_board, king_plank_boards
from deckgeom.laying.plan_words import to_buy

RADIUS, HALF = 9000.0, 3000.0


def level(x, order=0):
    return (800.0 if order == 0 else 0.0) + 0.0 * np.asarray(x, float)


def arc(x, order=0):
    """A deck edge that is an arc of a circle in plan, 1 m off the centreline at the ends."""
    x = np.asarray(x, float)
    root = np.sqrt(RADIUS**2 - x**2)
    base = math.sqrt(RADIUS**2 - HALF**2) - 1000
    return [root - base, -x / root, -(RADIUS**2) / root**3, -3 * RADIUS**2 * x / root**5][order]


ROUND = Deck(Sheer.from_curves(arc, level, start=-HALF, end=HALF), SameProportion("circle", 0))
STRAIGHT = Deck(Sheer.from_curves(lambda x, order=0: level(x, order) * 1.25, level, start=0, end=6000),
                SameProportion("circle", 0))  # fmt: skip


def even(count):
    return [(str(k), -HALF + 2 * HALF * k / count) for k in range(1, count)]


@pytest.mark.parametrize("width", [90.0, 160.0])
def test_an_arc_asks_for_the_board_that_the_formula_gives(width):
    """One joint amidships: two equal pieces, each half of the whole angle broad."""
    made = covering_board(ROUND, "starboard", width, [("m", 0.0)], (3300.0,))
    half = math.asin(HALF / RADIUS) / 2
    board = RADIUS - (RADIUS - width) * math.cos(half) + SAWN
    assert [piece.breadth for piece in made.pieces] == pytest.approx([board] * 2, abs=0.2)
    assert made.pieces[0].sweep == pytest.approx(RADIUS * (1 - math.cos(half)), abs=0.05)
    assert made.pieces[0].length == pytest.approx(2 * RADIUS * math.sin(half) + 20, abs=0.5)
    assert made.pieces[0].area == pytest.approx(half * (RADIUS**2 - (RADIUS - width) ** 2), rel=1e-4)


def test_a_straight_edge_wastes_no_breadth():
    made = covering_board(STRAIGHT, "port", 120.0, [("1", 2000.0), ("2", 3000.0), ("3", 4000.0)], (3020.0,))
    assert [piece.ends for piece in made.pieces] == [("end", "beam 2"), ("beam 2", "end")]
    assert made.broadest == pytest.approx(125.0) and made.pieces[0].sweep == pytest.approx(0.0, abs=1e-6)
    assert made.waste == pytest.approx(1 - 6000 * 120 / (2 * 3020 * 125))


def test_a_scarf_lengthens_both_of_its_pieces_by_half():
    plain, scarfed = (covering_board(STRAIGHT, "port", 120.0, [("2", 3000.0)], (4000.0,), scarf=s) for s in (0, 96))
    assert [b.length - a.length for a, b in zip(plain.pieces, scarfed.pieces, strict=True)] == pytest.approx([48, 48])
    assert sum(p.area for p in plain.pieces) == pytest.approx(sum(p.area for p in scarfed.pieces))


def test_no_choice_of_joints_takes_less_board():
    """Every choice of up to five joints tried."""
    stock, joints = (1900.0, 2500.0, 3100.0), even(9)
    made = covering_board(ROUND, "port", 130.0, joints, stock)
    least = {}
    for count in range(6):
        for some in itertools.combinations(joints, count):
            try:
                one = covering_board(ROUND, "port", 130.0, some, stock)
            except ValueError:
                continue
            if len(one.pieces) == count + 1:
                least[count + 1] = min(least.get(count + 1, np.inf), one.area)
    few = min(least)
    assert made.area == pytest.approx(min(least[n] for n in range(few, few + 3) if n in least), rel=3e-4)
    for number, _, area in made.others:
        assert number not in least or area == pytest.approx(least[number], rel=3e-4)


def test_each_piece_goes_on_its_board():
    """By shapely: the least rectangle round the piece as laid flat is no broader than the board."""
    made = covering_board(ROUND, "port", 130.0, even(9), (2500.0, 3100.0))
    x = np.linspace(-HALF, HALF, 1201)
    flat = flat_edge(ROUND, "port", 0.0, 130.0, x=x)
    points = np.r_[np.c_[flat.along, flat.offset], np.c_[flat.far_along, flat.far_offset]]
    for piece in made.pieces:
        on = np.r_[(x >= piece.x0) & (x <= piece.x1), (x >= piece.x0) & (x <= piece.x1)]
        box = MultiPoint(points[on]).minimum_rotated_rectangle
        a, b, c = (np.array(box.exterior.coords[k]) for k in range(3))
        sides = sorted((np.hypot(*(b - a)), np.hypot(*(c - b))))
        assert sides[0] <= piece.breadth - SAWN + 0.2 and piece.breadth - SAWN <= sides[0] + 1.5
        assert sides[1] <= piece.stock


def test_a_king_plank_by_hand():
    """Runs of 2 m and 3 m either side of a hatch, from lengths of 1.6 m: two pieces each, joined on beams."""
    joints = [("a", 900.0), ("b", 1200.0), ("c", 4400.0), ("d", 4500.0)]
    made = king_plank_boards(STRAIGHT, 150.0, [(0.0, 2000.0), (3000.0, 6000.0)], joints, (1220.0, 1620.0))
    assert [[piece.ends for piece in plan.pieces] for plan in made] == [
        [("end", "beam b"), ("beam b", "end")], [("end", "beam c"), ("beam c", "end")]] or (
        [piece.stock for piece in made[0].pieces] == [1220.0, 1220.0])  # fmt: skip
    assert sum(piece.area for plan in made for piece in plan.pieces) == pytest.approx(5000 * 150)


def test_stock_shorter_than_a_bay_is_said():
    with pytest.raises(ValueError, match="the port covering board cannot be made up from stock of 900 mm at the"):
        covering_board(STRAIGHT, "port", 120.0, [("2", 3000.0)], (900.0,))


@pytest.fixture(scope="module")
def job():
    boat = example_laying().boat
    wishes = replace(boat.settings.laying, ways=ways([
        ["a", "ply 6 mm", "planks 9 mm, 50 mm wide, sprung, king plank 120 mm, covering board 90 mm"]], "mm"),
        stock=(1500.0, 2000.0, 2500.0))  # fmt: skip
    return do_job(replace(boat, settings=replace(boat.settings, laying=wishes)))


def test_boards_are_listed_and_bought(job):
    way = plan_of(job).way()
    plans = way.planks.boards
    assert [plan.name for plan in plans] == ["port covering board", "starboard covering board", "king plank",
                                             "king plank"]  # fmt: skip
    assert [tuple(row) for row in laying_work.boards(job).rows] == board_rows(plans)
    rows = {what: amount for what, amount, _ in to_buy(way)}
    counts = [int(part.split(" of ")[0]) for part in rows["boards for the covering boards"].split("; ")]
    assert sum(counts) == sum(len(plan.pieces) for plan in plans[:2])
    quantities = dict(plan_of(job).quantities())
    assert quantities["boards for covering boards and king plank"] == str(sum(len(plan.pieces) for plan in plans))


def test_the_king_plank_is_cut_at_the_hatch(job):
    way = plan_of(job).way()
    (hatch,) = way.planks.openings
    fore, aft = way.planks.boards[2:]
    assert fore.pieces[-1].x1 == pytest.approx(hatch.x0) and aft.pieces[0].x0 == pytest.approx(hatch.x1)
