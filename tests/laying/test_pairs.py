"""One pattern for both sides: found, compared against shapely, and told on the page."""

from __future__ import annotations

from functools import partial

import numpy as np
import pytest
import shapely
from shapely.geometry import LineString, Polygon

from deckgeom.boat import default_settings
from deckgeom.deck.beams import BeamMark, lay_out_beams
from deckgeom.deck.crown import SameProportion
from deckgeom.deck.even_hull import even_hull
from deckgeom.deck.surface import Deck
from deckgeom.hull.sheer import Sheer
from deckgeom.laying.lie_down_panel import Panel
from deckgeom.laying.plan_pieces import SkinPanel
from deckgeom.laying.plan_way import WayPlan
from deckgeom.laying.sheets import SheetChoices, SheetPlans, deck_plan, plan_sheets
from deckgeom.laying.true_shape import true_shape
from deckgeom.laying.true_shape_marking import mark_out
from deckgeom.laying.true_shape_pair import mirrored_pair, pairs_of
from deckgeom.laying.ways import DeckLayer, Way
from deckgeom.papers.laying_landings import once_for_both
from deckgeom.papers.laying_shapes import shape_pages
from deckgeom.papers.page import Page

EVEN = Deck(even_hull(6000, 1100, rise=200), SameProportion("circle", "1:30"))


def uneven(more=8.0):
    """The same deck, broader to starboard by so much."""
    sheer = even_hull(6000, 1100, rise=200)
    wide = lambda x, order=0: sheer.half_breadth("port", x, order) * (1 + more / 1100)  # noqa: E731
    height = lambda x, order=0: sheer.height("port", x, order)  # noqa: E731
    port = lambda x, order=0: sheer.half_breadth("port", x, order)  # noqa: E731
    made = Sheer.from_curves(port, height, wide, height, start=sheer.start, end=sheer.end)
    return Deck(made, SameProportion("circle", "1:30"))


def halves(deck, cuts=(-2900, -600, 1500, 2900)):
    return [Panel.half_deck(deck, side, (a, b), name=f"{side} {a}") for side in ("port", "starboard")
            for a, b in zip(cuts[:-1], cuts[1:], strict=True)]  # fmt: skip


def test_each_sheet_has_one_opposite():
    found = pairs_of(EVEN, halves(EVEN)[::-1])
    assert sorted((p.port.panel.name, p.starboard.panel.name) for p in found) == [
        (f"port {a}", f"starboard {a}") for a in (-2900, -600, 1500)]  # fmt: skip
    assert all(pair.one_pattern and pair.apart < 1e-6 for pair in found)


def test_sides_that_differ_are_told_by_how_much():
    """By shapely: one flat outline turned over lies no nearer to the other than the distance that is told."""
    deck = uneven()
    for pair in pairs_of(deck, halves(deck)):
        assert not pair.one_pattern and 3 < pair.apart < 10
        one = Polygon(pair.port.outline() * [1, -1])
        two = Polygon(pair.starboard.outline())
        assert one.centroid.distance(two.centroid) < 10
        assert shapely.hausdorff_distance(one.exterior, two.exterior) == pytest.approx(pair.apart, abs=4)
        assert "Mark port and starboard out apart" in pair.words()


def test_ends_that_lie_apart_count():
    port, starboard = Panel.rectangle("P", (0, 1000), (-500, 0)), Panel.rectangle("S", (0, 1007), (0, 500))
    (pair,) = pairs_of(EVEN, [port, starboard])
    assert pair.apart == pytest.approx(7.0) and pair.apart_x == 1000 and not pair.one_pattern


def test_other_stations_are_no_hindrance():
    starboard = Panel.half_deck(EVEN, "starboard", (-900, 900))
    x = np.linspace(-900, 900, 61)
    low, high = starboard.edges(x)
    port = Panel("P", x, -high, -low)
    assert mirrored_pair(EVEN, port, starboard).apart < 0.3


def test_sheets_across_the_centreline_and_lone_ones_have_none():
    across = Panel.rectangle("A", (0, 1000), (-500, 500))
    lone = Panel.rectangle("B", (2000, 2800), (0, 300))
    far = Panel.rectangle("C", (-2000, -1200), (-300, 0))
    assert pairs_of(EVEN, [across, lone, far]) == ()


def way_of(deck):
    way = Way("halves", (DeckLayer("ply", 9.0),))
    sheets = plan_sheets(deck_plan(deck), range(-2500, 2600, 500), SheetChoices(2440, 1220, (9,), wanted=1, seconds=1))
    panels = tuple(SkinPanel(panel, None, 0) for panel in halves(deck))
    return WayPlan(way, deck, (), "mm", 20.0, sheets=SheetPlans(sheets.plans, (), 0.0, 0.0), panels=panels)


def words_of(pages):
    return " ".join(part[1][2] for page in pages for part in page.drawn if part[0] == "words")


def test_a_pair_that_agrees_is_printed_once_and_one_that_differs_twice():
    make = partial(Page)
    once, twice = (words_of(shape_pages(way_of(deck), lambda title, note="": make(title, note=note)))
                   for deck in (EVEN, uneven()))  # fmt: skip
    assert once.count("(port, turned over)") == 3 and once.count("Cut both from one pattern") == 3
    assert "Sheet port -600" not in once
    assert "turned over)" not in twice and twice.count("Mark port and starboard out apart") == 6
    assert twice.count("Sheet port ") == twice.count("Sheet starboard ") == 3


def test_rows_that_print_the_same_stand_once():
    same = [("plank 1a", "0", "9"), ("plank 1a", "9", "20")]
    rows = [*((f"port {name}", *more) for name, *more in same), ("port plank 2", "0", "8"),
            *((f"starboard {name}", *more) for name, *more in same), ("starboard plank 2", "0", "7")]  # fmt: skip
    assert once_for_both(rows) == [*((f"both {name}", *more) for name, *more in same), ("port plank 2", "0", "8"),
                                   ("starboard plank 2", "0", "7")]  # fmt: skip


# marked from the centreline


def test_a_sheet_across_the_boat_is_marked_from_its_centreline():
    """Each offset, laid off from the flat centreline, lies on the flat edge of its own side."""
    panel = Panel("A", *(lambda x: (x, -EVEN.sheer.half_breadth("port", x), EVEN.sheer.half_breadth("port", x)))(
        np.linspace(-2000, -900, 40)))  # fmt: skip
    flat = true_shape(EVEN, panel)
    marks = mark_out(flat, "centreline", spacing=150)
    assert marks.from_centreline and marks.line == "the boat's centreline"
    rows = marks.rows()
    port = [(a, o) for edge, a, o in rows if edge == "port"]
    starboard = [(a, o) for edge, a, o in rows if edge == "starboard"]
    assert np.allclose(port, starboard, atol=1e-6) and min(o for _, o in port) > 300
    start, end = flat.place([-2000, -900], [0.0, 0.0])
    way = (end - start) / np.hypot(*(end - start))
    edge = LineString(flat.flat[flat.mesh.grid[:, -1]])
    off = [edge.distance(shapely.Point(start + a * way + o * np.array([-way[1], way[0]]))) for a, o in starboard]
    assert max(off) < 1.5
    length, breadth = mark_out(flat, "centreline", margin=0).stock
    assert length == pytest.approx(1100, rel=0.02) and breadth < 2 * max(o for _, o in port) + 20
    assert marks.bows[0] > 0 and any("bows" in line for line in marks.words()) == (max(marks.bows) > 1)


def test_the_plan_marks_sheets_across_from_the_centreline_and_others_from_their_inner_edge():
    beams = lay_out_beams(EVEN, [BeamMark(str(k), -2600 + 400.0 * k) for k in range(14)])
    from dataclasses import replace

    from deckgeom.boat.ways_reader import ways
    from deckgeom.laying.plan import plan_laying

    wishes = replace(default_settings().laying, ways=ways([["a", "ply 9 mm"]], "mm"))
    way = plan_laying(EVEN, beams, wishes).way()
    for one in way.panels:
        across = one.panel.low[0] < -5 < 5 < one.panel.high[0] and one.panel.low[-1] < -5 < 5 < one.panel.high[-1]
        assert way.flat(one.panel.name)[1].from_centreline == across
