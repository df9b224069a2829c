"""Pieces held against their sheets as they are laid flat: against arcs by hand, shapely, and the demo."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from shapely.geometry import Polygon, box

from deckgeom.boat import default_settings, read_boat
from deckgeom.boat.ways_reader import ways
from deckgeom.deck.crown import OneMould, SameProportion
from deckgeom.deck.surface import Deck
from deckgeom.hull.sheer import Sheer
from deckgeom.job import do_job
from deckgeom.laying.lie_down_panel import Panel
from deckgeom.laying.plan import plan_laying
from deckgeom.laying.sheets import SheetChoices, plan_sheets
from deckgeom.laying.sheets_outline import DeckPlan, deck_plan
from deckgeom.laying.sheets_true import cuts_as_laid, true_cut
from deckgeom.laying.true_shape import true_shape

DEMO = Path(__file__).parents[2] / "notebooks" / "boats" / "thimblewick"


def level(height):
    return lambda x, order=0: (height if order == 0 else 0.0) + 0.0 * np.asarray(x, float)


def barrel(half=1150.0, length=6000.0, camber=230.0):
    """A deck that is one cylinder: the same circular beam all along."""
    return Deck(Sheer.from_curves(level(half), level(800), start=0, end=length), OneMould("circle", f"{camber} mm on "
                f"{2 * half} mm"))  # fmt: skip


def girth(deck, half=1150.0, camber=230.0, lift=0.0):
    radius = (half**2 + camber**2) / (2 * camber) + lift
    return 2 * radius * math.asin(half / (radius - lift))


def test_a_cut_line_grows_with_the_camber_as_the_arc_does():
    """By hand: athwart an arc takes the place of its chord; the margin beyond the panel stays as it is."""
    deck = barrel()
    panel = Panel.rectangle("1", (1000, 2200), (-1150, 1150), thickness=9, lift=0.0)
    flat = true_shape(deck, panel, 300)
    cut = [(980, -1170), (2220, -1170), (2220, 1170), (980, 1170)]
    long, broad = np.ptp(true_cut(flat, cut), axis=0)
    assert long == pytest.approx(1240, abs=0.05)
    assert broad == pytest.approx(girth(deck) + 40, abs=0.6) and broad > 2340 + 55


def test_on_a_flat_deck_nothing_changes():
    deck = Deck(Sheer.from_curves(level(1150), level(800), start=0, end=6000), SameProportion("circle", 0))
    choices, plan = SheetChoices(2440, 1220, (9,), wanted=2), deck_plan(deck)
    seen = plan_sheets(plan, range(400, 6000, 400), choices)
    laid = plan_sheets(plan, range(400, 6000, 400), choices, cuts_as_laid(deck, [(9.0, 0.0)]))
    assert laid.as_laid is None and laid.best.sheets == seen.best.sheets
    for one, two in zip(seen.best.pieces, laid.best.pieces, strict=True):
        assert one.size == pytest.approx(two.size, abs=1e-3)


@pytest.fixture(scope="module")
def cambered():
    """Sheets athwart hold the deck seen from above, and not over its camber."""
    deck = barrel()
    choices = SheetChoices(2360, 1220, (9,), ratio=0, way="athwart", margin=20, wanted=3, joints="either")
    plan, beams = deck_plan(deck), np.arange(300.0, 6000, 300)
    return deck, plan_sheets(plan, beams, choices), plan_sheets(plan, beams, choices, cuts_as_laid(deck, [(9.0, 0.0)]))


def test_a_piece_that_is_too_long_laid_flat_is_not_planned(cambered):
    deck, seen, laid = cambered
    true = girth(deck, lift=4.5) + 40
    assert all(piece.size[1] <= 2360 for piece in seen.best.pieces) and true > 2360
    assert laid.as_laid is not None and laid.as_laid.size == pytest.approx(true, abs=1.0)
    assert re.search(rf"{laid.as_laid.name} would be 240[45] mm, and the sheet is 2360 mm", " ".join(laid.words()))
    for plan in laid.plans[:1]:
        for piece in plan.pieces:
            assert piece.size[0] <= 1220 + 1e-6 and piece.size[1] <= 2360 + 1e-6


def test_true_shapes_lie_on_their_sheets_and_not_on_each_other(cambered):
    *_, laid = cambered
    best = laid.best
    sheet = box(-1e-6, -1e-6, best.choices.length + 1e-6, best.choices.width + 1e-6)
    shapes = [(piece.sheet, Polygon(piece.placed)) for piece in best.pieces]
    assert all(sheet.contains(shape.buffer(-1e-6)) for _, shape in shapes)
    for k, (number, shape) in enumerate(shapes):
        for other, two in shapes[k + 1 :]:
            assert other != number or shape.intersection(two).area < 1.0
    assert best.choices.length == 2360  # the sheets themselves are as bought


def test_the_rough_lengths_of_other_plans_are_those_over_the_deck():
    deck = barrel()
    corners = np.array([(1000.0, -1150), (2000, -1150), (2000, 1150), (1000, 1150)])
    piece = {"skin": 0, "way": "athwart", "outline": corners, "cut": corners * [1, 1.01]}
    rough = np.ptp(cuts_as_laid(deck, [(9.0, 0.0)])(piece, roughly=True), axis=0)
    assert rough == pytest.approx([1000, 1.01 * girth(deck)], rel=1e-3)


def test_no_plan_that_goes_on_is_said():
    """Sheets so short that the deck's breadth over its camber never goes on, however the joints lie."""
    deck = barrel(half=500.0, camber=200.0)
    choices = SheetChoices(2440, 1045, (9,), ratio=0, way="fore-and-aft", margin=20, wanted=1)
    plan, beams = deck_plan(deck), np.arange(300.0, 6000, 300)
    assert plan_sheets(plan, beams, choices).best.answer.layouts[0].seams == ()
    found = plan_sheets(plan, beams, choices, cuts_as_laid(deck, [(9.0, 0.0)]))
    if found.as_laid.fits:
        assert found.best.answer.layouts[0].seams != ()
    else:
        assert "no plan was found that goes on" in found.as_laid.words()
    assert found.plans


def test_the_demos_sheets_go_on_as_they_are_laid():
    """Its second way, seen from above, had a piece of 1217 mm for a sheet of 1219 mm that is 1228 mm laid flat."""
    boat = read_boat(DEMO)
    job = do_job(boat)
    told = boat.settings.laying
    plan = plan_laying(job.deck, job.beams, replace(told, ways=told.ways[1:]), boat.fittings, boat.units)
    (way,) = plan.ways
    note = way.sheets.as_laid
    assert note.fits and note.size > note.sheet == pytest.approx(1219.2) and max(note.closer) > 0
    best = way.sheets.best
    for panel, piece in zip(way.panels, best.pieces, strict=True):
        flat, marks = way.flat(panel.panel.name)
        taper = best.choices.taper(0)
        along = np.ptp(flat.outline(), axis=0)
        joined = sum(side in piece.joints for side in ("forward", "after"))
        assert along[0] + joined * taper / 2 <= 1219.2 + 0.5 and along[1] <= 2438.4
        assert piece.size[0] == pytest.approx(along[0] + joined * taper / 2 + (2 - joined) * best.choices.margin, abs=6)


def test_thickness_below_counts():
    """A second skin lies higher: on a cambered deck it is longer by the camber's turn times the lift."""
    deck = barrel()
    corners = np.array([(1000.0, -1150), (2000, -1150), (2000, 1150), (1000, 1150)])
    piece = {"skin": 0, "way": "athwart", "outline": corners, "cut": corners}
    low, high = (np.ptp(cuts_as_laid(deck, [(9.0, under)])(piece), axis=0)[1] for under in (0.0, 50.0))
    turn = 2 * math.asin(1150 / ((1150**2 + 230**2) / 460))
    assert high - low == pytest.approx(50 * turn, rel=0.02)


def test_a_piece_without_a_flat_shape_is_taken_as_seen_from_above():
    piece = {"skin": 0, "way": "athwart", "outline": np.array([(0, 0), (100, 0), (50, 50), (100, 100), (0, 100.0)]),
             "cut": np.array([(0.0, 0), (100, 0), (100, 100), (0, 100)])}  # fmt: skip
    assert cuts_as_laid(barrel(), [(9.0, 0.0)])(piece) is piece["cut"]


def test_plans_without_a_deck_are_as_before():
    plan = DeckPlan([0, 4000], [500, 500], [500, 500])
    assert plan_sheets(plan, [1000, 2000, 3000], SheetChoices(2440, 1220, (9,))).as_laid is None
    assert default_settings().laying.sheet and ways([["a", "ply 9 mm"]], "mm")[0].thickness == 9
