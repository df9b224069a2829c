"""Fastenings against true lengths worked out another way, shapely, and what the shed shows."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import quad
from shapely.geometry import LineString, Point, Polygon, box

from deckgeom.deck.beams import BeamMark, lay_out_beams
from deckgeom.deck.crown import OneMould
from deckgeom.deck.even_hull import even_hull
from deckgeom.deck.surface import Deck
from deckgeom.laying.fastenings import FasteningChoices, driving_words, plan_fastenings, timber_warnings
from deckgeom.laying.fastenings_hold import fastening_length, longest_hidden, pilot_hole, withdrawal
from deckgeom.laying.fastenings_sizes import size_rows
from deckgeom.laying.sheets import Joint
from deckgeom.laying.sheets_outline import Box, DeckPlan, deck_plan

DECK = Deck(even_hull(length=7000, half_breadth=1300, rise=150), OneMould("circle", 160))
HATCH = Box("hatch", -400, 300, -350, 250)


def plan():
    bare = deck_plan(DECK)
    return DeckPlan(bare.x, bare.port, bare.starboard, (HATCH,))


@pytest.mark.parametrize("spacing", [75, 150, 400])
def test_counts_follow_from_the_true_length_of_the_beam(spacing):
    found = plan_fastenings(DECK, deck_plan(DECK), [("7", 0.0)], choices=FasteningChoices(spacing=spacing))
    (row,) = [r for r in found.rows if r.kind == "beam"]
    reach = np.abs(row.y).max()
    length = quad(lambda y: math.sqrt(1 + float(DECK.slopes(0.0, y)[1]) ** 2), -reach, reach)[0]
    assert row.length == pytest.approx(length, abs=0.1) and length > 2 * reach + 5
    assert row.count == math.ceil(length / spacing) + 1
    steps = np.sqrt(np.diff(row.y) ** 2 + np.diff(DECK.height(0.0, row.y)) ** 2)
    assert steps == pytest.approx(np.full(row.count - 1, length / (row.count - 1)), rel=2e-3)


def test_nothing_within_the_distance_of_edges_and_openings():
    choices = FasteningChoices(edge=30)
    joints = [Joint(0, "across", 0.0, -1290, 0.0, 1290), Joint(0, "along", -2000, -340, 1500, -340)]
    found = plan_fastenings(DECK, plan(), [("a", -200.0), ("b", 1000.0), ("c", 3300.0)], joints, choices)
    p = plan()
    whole = Polygon(np.vstack([np.column_stack([p.x, -p.port]), np.column_stack([p.x, p.starboard])[::-1]]))
    hole = box(HATCH.x0, HATCH.y0, HATCH.x1, HATCH.y1)
    points = [Point(x, y) for row in found.rows for x, y in zip(row.x, row.y, strict=True)]
    assert len(points) == found.count() > 100
    assert min(whole.exterior.distance(q) for q in points) > 29.9 and all(whole.contains(q) for q in points)
    assert min(hole.distance(q) for q in points) >= 30 - 1e-6
    (a,) = [row for row in found.rows if row.name == "a"]
    assert np.any(a.y < -350) and np.any(a.y > 250) and not np.any((a.y > -380) & (a.y < 280))


def test_edge_row_follows_the_edge_at_its_spacing():
    found = plan_fastenings(DECK, deck_plan(DECK), [], choices=FasteningChoices(edge=25, edge_spacing=120))
    port, starboard = found.rows
    edge = LineString(np.column_stack([deck_plan(DECK).x, deck_plan(DECK).starboard]))
    off = [edge.distance(Point(x, y)) for x, y in zip(starboard.x, starboard.y, strict=True)]
    assert np.median(off) == pytest.approx(25.5, abs=1)
    assert port.count == starboard.count == math.ceil(port.length / 120) + 1
    assert port.y == pytest.approx(-starboard.y)


def test_spares_and_words():
    found = plan_fastenings(DECK, deck_plan(DECK), [("7", 0.0), ("8", 500.0)], choices=FasteningChoices(spares=0.25))
    assert found.to_buy("beam") == math.ceil(1.25 * found.count("beam"))
    assert f"{found.count('beam')} fastenings at most 150 mm apart" in found.words()[0]
    assert "licensed designer" in found.words()[-1]


# one fastening


def test_withdrawal_grows_with_each_of_its_parts():
    assert withdrawal("ring nail", 0.5, 3, 60) == pytest.approx(2 * withdrawal("ring nail", 0.5, 3, 30))
    ratio = withdrawal("smooth nail", 0.6, 3, 30) / withdrawal("smooth nail", 0.3, 3, 30)
    assert ratio == pytest.approx(2**2.5)
    assert withdrawal("wood screw", 0.5, 4, 0) == 0


def test_longest_hidden_reaches_the_skin_in_a_drawing_of_the_beam():
    """The fastening drawn through a beam with a bevelled top: shapely finds where it leaves the wood kept below."""
    for bevel in (0, 4, -12):
        lean = math.radians(bevel)
        way = np.array([math.sin(lean), -math.cos(lean)])
        axis = LineString([(0, 0), tuple(200 * way)])
        level = LineString([(-200, -(60 - 5)), (200, -(60 - 5))])
        at = axis.intersection(level)
        assert longest_hidden(12, 60, bevel) - 12 == pytest.approx(math.hypot(at.x, at.y))


def test_lengths_that_hold_and_do_not_show():
    stock = (25, 30, 40, 50, 65, 75)
    found = fastening_length("wood screw", 4.8, 12, 60, stock, gravity=0.5)
    assert found.length == 50 and found.least == pytest.approx(12 + 7 * 4.8)
    assert found.draw == pytest.approx(withdrawal("wood screw", 0.5, 4.8, 38))
    pull = fastening_length("wood screw", 4.8, 12, 60, stock, gravity=0.5, draw=6200)
    assert pull.length == 65 and pull.draw >= 6200
    thin = fastening_length("wood screw", 4.8, 12, 30, stock, gravity=0.5)
    assert thin.length is None and "46 mm holds and 37 mm shows below. The beam is too shallow" in thin.words


def test_hard_beams_are_drilled_and_warned_of():
    assert pilot_hole("ring nail", 3, 0.45) == 0 and pilot_hole("ring nail", 3, 0.68) == pytest.approx(2.25)
    assert pilot_hole("wood screw", 4, 0.68) > pilot_hole("wood screw", 4, 0.40)
    words = " ".join(timber_warnings("white oak", 0.68))
    assert "drill every hole" in words and "bronze or stainless" in words and "no source" in words
    assert "sensitises" in timber_warnings("western redcedar", 0.32)[0]


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: FasteningChoices(spacing=0), "spacings 0 and 100 mm"),
        (lambda: FasteningChoices(spares=10), "spares 10: a part of the count.*per cent"),
        (lambda: withdrawal("ring nail", 500, 3, 30), "gravity 500.0.*Divide it by 1000"),
        (lambda: withdrawal("staple", 0.5, 3, 30), "a fastening 'staple': the table has wood screw"),
    ],
)
def test_what_cannot_be_is_said(make, words):
    with pytest.raises(ValueError, match=words):
        make()


def test_each_beam_takes_its_own_size_and_counts_add_up():
    deck = Deck(even_hull(length=7000, half_breadth=1300, rise=600), OneMould("circle", 160), thickness=12)
    sizes = (("deep", -1500.0, 80), ("shallow", 0.0, 40), ("thin", 900.0, 25))
    marks = [BeamMark(name, x, moulding=moulding) for name, x, moulding in sizes]
    rows = plan_fastenings(deck, deck_plan(deck), [(m.name, m.x) for m in marks])
    found = size_rows(rows, lay_out_beams(deck, marks), "wood screw", 4, (45, 60), gravity=0.5, draw=3500)
    need = 12 + 3500 / float(withdrawal("wood screw", 0.5, 4, 1))
    assert 60 > need > 43
    by_name = {row.name: row.count for row in rows.rows}
    length = next(s for s in (45, 60) if s >= need)
    assert found.lengths["deep"].length == length and found.counts[length] >= by_name["deep"]
    assert sum(found.counts.values()) == sum(by_name[n] for n, f in found.lengths.items() if f.length)
    assert found.to_buy[length] == math.ceil(found.counts[length] * 1.1 - 1e-9)
    assert [line.split(":")[0] for line in found.complaints][-1] == "Beam thin"
    assert found.words()[0] == f"Buy {found.to_buy[length]} of {length} mm ({found.counts[length]} and spares)."


def test_hard_beams_are_drilled_and_soft_ones_need_not_be():
    soft, hard = (" ".join(driving_words("ring nail", 3.0, gravity)) for gravity in (0.40, 0.70))
    assert soft.startswith("No hole need be drilled") and "is hard" not in soft
    assert hard.startswith("Drill 2.2 mm in the beams for a ring nail of 3.0 mm") and "is hard" in hard
    assert hard.count("common practice, no source") + hard.count("Common practice, no source") == 2


def test_a_beam_counts_as_hard_from_the_very_figure():
    assert pilot_hole("wood screw", 4.0, 0.55) == pytest.approx(3.6)
    assert pilot_hole("wood screw", 4.0, 0.5499) == pytest.approx(2.8)


def test_a_sunk_head_goes_as_much_deeper_into_the_beam():
    """By hand: 40 mm through 12 mm of deck, its head 3 mm down, stands 31 mm in the beam."""
    found = fastening_length("wood screw", 4.0, 12.0, 60.0, [40.0], gravity=0.5, sink=3.0)
    assert found.depth == pytest.approx(31.0) and found.least == pytest.approx(12 - 3 + 7 * 4.0)
    assert found.draw == pytest.approx(float(withdrawal("wood screw", 0.5, 4.0, 31.0)))
