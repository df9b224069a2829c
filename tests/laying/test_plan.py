"""A deck laid as its folder says: every piece has its place once, sums agree, and what cannot be has its line."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely

from deckgeom.boat import default_settings, read_boat
from deckgeom.boat.fittings_file import Fitting
from deckgeom.boat.ways_reader import ways
from deckgeom.deck.beams import BeamMark, lay_out_beams
from deckgeom.deck.crown import SameProportion
from deckgeom.deck.even_hull import even_hull
from deckgeom.deck.surface import Deck
from deckgeom.job import do_job
from deckgeom.laying.bearers import bearers_of
from deckgeom.laying.plan import frame, plan_laying

DEMO = Path(__file__).parents[2] / "notebooks" / "boats" / "thimblewick"


@pytest.fixture(scope="module")
def job():
    return do_job(read_boat(DEMO))


@pytest.fixture(scope="module")
def demo(job):
    boat = job.boat
    return plan_laying(job.deck, job.beams, boat.settings.laying, boat.fittings, boat.units)


@pytest.fixture(scope="module")
def small():
    deck = Deck(even_hull(length=4000, half_breadth=900), SameProportion("circle", "1:30"), thickness=12)
    return deck, lay_out_beams(deck, [BeamMark(str(k), -1800 + 400.0 * k) for k in range(10)])


def laid(small, *texts, fittings=(), **wishes):
    told = replace(default_settings().laying, ways=ways([list(texts)], "mm") if texts else (), **wishes)
    return plan_laying(*small, told, fittings)


def outline_of(deck):
    x = np.linspace(deck.sheer.start, deck.sheer.end, 1001)
    port, starboard = (np.maximum(deck.sheer.half_breadth(side, x), 0) for side in ("port", "starboard"))
    return shapely.Polygon(np.r_[np.c_[x, -port], np.c_[x, starboard][::-1]])


def test_the_demo_has_both_its_ways_and_nothing_to_complain_of(demo):
    assert [way.way.name for way in demo.ways] == ["planks, ply and cloth", "laid planks over ply"]
    assert demo.complaints == () and demo.framing.complaints == ()
    assert [way.complaints for way in demo.ways] == [(), ()]


@pytest.mark.parametrize("k", [0, 1])
def test_planks_cover_an_uneven_deck_exactly_once(demo, job, k):
    """By shapely: what all of them cover, and what two cover, against the deck edge of the sheer less the openings."""
    deck = outline_of(job.deck)
    for each in demo.ways[k].planks.openings:
        deck = deck.difference(shapely.box(each.x0, each.y0, each.x1, each.y1))
    shapes = [shapely.Polygon(piece.outline).buffer(0) for piece in demo.ways[k].planks.pieces]
    whole = shapely.unary_union(shapes)
    assert whole.symmetric_difference(deck).area < 2e-3 * deck.area
    assert sum(shape.area for shape in shapes) - whole.area < 5e-4 * deck.area
    names = [piece.name for piece in demo.ways[k].planks.pieces]
    assert len(set(names)) == len(names)


@pytest.mark.parametrize("k", [0, 1])
def test_sheets_cover_an_uneven_deck_exactly_once(demo, job, k):
    way = demo.ways[k]
    shapes = [shapely.Polygon(panel.panel.outline()) for panel in way.panels]
    whole = shapely.unary_union(shapes)
    deck = outline_of(job.deck)
    assert whole.symmetric_difference(deck).area < 2e-3 * deck.area
    assert sum(shape.area for shape in shapes) == pytest.approx(whole.area, rel=1e-6)


def test_every_fastening_of_a_skin_is_on_one_card(demo):
    """A row beside a joint stands on the sheet on its side, so that no fastening is lost and none counted twice."""
    for way, layer in zip(demo.ways, (1, 0), strict=True):
        plan = next(plan for number, plan, _ in way.fastenings if number == layer)
        cards = way.cards[0][1]
        assert sum(card.fastenings for card in cards) == plan.count()
        assert sorted(part.name for card in cards for part in card.parts) == [p.panel.name for p in way.panels]


def test_epoxy_to_buy_is_the_sum_of_what_the_cards_and_the_cloth_take(demo):
    way = demo.ways[0]
    glue = sum(card.area for _, cards in way.cards for card in cards) / 3.0
    scarf = way.sheets.best.joint_length * np.hypot(8 * 6.3, 6.3) / 1e6 * 0.4
    cloth = way.sheathing.area * (1 / 7 + 0.2 * 1.0 / 1.1 + 2 * 0.2)
    sealed = sum(one.resin.likely for one in way.sealing)
    assert way.epoxy.band.likely == pytest.approx(glue + scarf + cloth + sealed, rel=0.01)
    assert way.epoxy.bought >= way.epoxy.with_spare > way.epoxy.band.likely


def test_lengths_of_planks_add_up(demo):
    for way in demo.ways:
        for side, butts in way.planks.butts.items():
            runs = [p for p in way.planks.pieces if p.name.startswith(f"{side} plank")]
            length = sum(piece.first[-1, 0] - piece.first[0, 0] for piece in runs)
            assert sum(piece.length for piece in butts.pieces) == pytest.approx(length)


def test_quantities_stand_side_by_side(demo):
    rows = {name: cells for name, *cells in demo.quantities()}
    assert rows["cloth off the roll"][1] == "none" and rows["paint above, litres, likely"][1] == "none"
    assert rows["sheets of ply"] == ['6 of 1/4"', '6 of 3/8"']
    assert rows["butts in planks"] == [str(sum(len(b.butts) for b in way.planks.butts.values())) for way in demo.ways]


def test_landings_lie_under_every_plank_of_the_lowest_layer_only(demo):
    assert {fit.piece.name for fit in demo.ways[1].landings} == {panel.panel.name for panel in demo.ways[1].panels}
    beam_nine = [landing for fit in demo.ways[1].landings for landing in fit.landings if landing.bearer == "beam 9"]
    assert 1 <= len(beam_nine) <= 2


def test_the_framing_names_carlins_beside_the_hatch_and_what_is_in_the_way(demo):
    words = [line for timber in demo.framing.timbers for line in timber.words("mm")]
    assert any(line.startswith("Carlin port of the hatch, from beam 12 to beam 15") or
               line.startswith("Carlin port of the hatch, from beam 11 to beam 15") for line in words)  # fmt: skip
    assert any("chainplate" in alarm or "beam 8" in alarm for alarm in demo.framing.last.alarms)
    assert [clamp.side for clamp in demo.framing.clamps] == ["port", "starboard"]


def test_true_shape_of_a_sheet_carries_its_oversize(demo):
    flat, marks = demo.ways[0].flat("A4")
    assert marks.margin == pytest.approx(8 * 6.3 / 2)  # half a scarf, more than the oversize of 3/4 in
    assert laid_twice(demo).margin == pytest.approx(8 * 9.2 / 2) and flat.true_area > flat.panel.area
    with pytest.raises(ValueError, match="there is no sheet 'Z9' in this way of laying; there are A1, A2"):
        demo.ways[0].flat("Z9")


def laid_twice(demo):
    return demo.ways[1].flat("A4")[1]


def test_nothing_said_takes_the_deck_as_one_skin_and_says_so(small):
    found = laid(small)
    assert [way.way.name for way in found.ways] == ["plywood"]
    assert "12 mm of deck is taken as one plywood skin" in found.complaints[0]


def test_no_thickness_and_no_way_is_one_line(small):
    deck = Deck(small[0].sheer, SameProportion("circle", "1:30"))
    found = plan_laying(deck, small[1], default_settings().laying)
    assert found.ways == () and "write deck, or ways under [laying]" in found.complaints[0]
    with pytest.raises(ValueError, match="no way of laying is known"):
        found.way()


def test_a_way_of_another_thickness_than_the_deck_is_asked_about(small):
    found = laid(small, "thin", "ply 6 mm").way()
    assert "Its layers come to 6 mm and the deck in boat.toml to 12 mm" in found.complaints[0]


@pytest.mark.parametrize(
    ("texts", "wishes", "line"),
    [
        (("a", "ply 12 mm"), {"sheet": (500.0, 300.0)}, "Joints on beams cannot be had with these sheets"),
        (("a", "planks 12 mm, 60 mm wide"), {"stock": (500.0,)}, "500 mm"),
        (("a", "planks 12 mm, 60 mm wide, covering board 1000 mm"), {}, "board 1000 mm broad, and the deck is 900"),
        (("a", "planks 12 mm, 60 mm wide, sprung, covering board 2 m"), {}, "This plan has no covering board."),
        (("a", "ply 12 mm"), {"fastening_lengths": (10.0,)}, "ply 12 mm: "),
        (("a", "ply 12 mm", "cloth"), {"cloth_lap": 2000.0}, "lap"),
    ],
)
def test_an_impossible_wish_has_its_line_and_the_rest_goes_on(small, texts, wishes, line):
    found = laid(small, *texts, **wishes).way()
    assert any(line in each for each in found.complaints), found.complaints
    assert found.paint and found.shopping


def test_an_opening_outside_the_deck_has_its_line_and_the_rest_goes_on(small):
    found = laid(small, "a", "ply 12 mm", fittings=[Fitting("hatch", 9000.0, 0.0, 600.0, 600.0)])
    assert any("hatch" in line for line in found.complaints)
    assert found.way().sheet_count > 0
    assert any("hatch" in line for line in frame(small[1], [Fitting("hatch", 9000.0, 0.0, 600.0, 600.0)]).complaints)


def test_two_skins_are_glued_to_each_other_and_laid_planks_bedded(small):
    found = laid(small, "a", "ply 6 mm", "ply 6 mm", "cloth").way()
    assert [name for name, _ in found.cards] == ["ply 6 mm, on the beams", "ply 6 mm, on what lies below"]
    first, second = (sum(card.area for card in cards) for _, cards in found.cards)
    assert second == pytest.approx(outline_of(small[0]).area / 1e6, rel=2e-3) and first < second / 2
    assert found.relief > 10 and found.temporary > 20


def test_a_figure_of_the_owners_own_file_wins(small, tmp_path):
    rows = 'what,likely,unit\n"paint or varnish, one coat",9,m2/L\n"epoxy, spread for gluing skins",2.5,m2/L\n'
    (tmp_path / "figures.csv").write_text(rows, encoding="utf-8")
    wishes = replace(default_settings().laying, ways=ways([["a", "ply 6 mm", "ply 6 mm"]], "mm"))
    found = plan_laying(*small, wishes, own=read_boat(tmp_path).figures).way()
    cards = found.cards[1][1]
    assert sum(card.glue.likely for card in cards) == pytest.approx(sum(card.area for card in cards) / 2.5, abs=0.02)
    above = found.paint[1]
    assert above.litres[0].likely == pytest.approx(4 * above.area / 9, abs=0.01)


def test_the_tins_own_figure_wins(small):
    own = laid(small, "a", "ply 6 mm", "ply 6 mm", glue_covers=1.0).way()
    cards = own.cards[1][1]
    assert sum(card.glue.likely for card in cards) == pytest.approx(sum(card.area for card in cards), abs=0.02)


def test_planks_are_marked_for_the_carlins_beside_the_hatch_too(demo):
    way = demo.ways[0]
    carlins = [bearer for bearer in way.bearers if bearer.name.startswith("carlin to ")]
    assert {bearer.name for bearer in carlins} == {"carlin to port of the hatch", "carlin to starboard of the hatch"}
    landed = {landing.bearer for fit in way.landings for landing in fit.landings}
    assert {bearer.name for bearer in carlins} <= landed
    area = sum(landing.area for fit in way.landings for landing in fit.landings if landing.bearer == carlins[0].name)
    x, y = carlins[0].outline[:, 0], carlins[0].outline[:, 1]
    # the deck over a carlin is planked once: what lands is its top, a little more over the camber
    assert area == pytest.approx(np.ptp(x) * np.ptp(y), rel=0.02)


def test_a_half_beam_ends_at_its_carlin_and_runs_on_to_the_deck_edge(demo):
    found = {bearer.name: shapely.Polygon(bearer.outline) for bearer in demo.ways[0].bearers}
    for side, letter in (("port", "P"), ("starboard", "S")):
        carlin = found[f"carlin to {side} of the hatch"]
        for number in (13, 14):
            half = found[f"beam {number}{letter}"]
            assert half.intersection(carlin).area < 1e-6 and half.distance(carlin) < 1e-6
    # the sheet joint lies on beams 13P and 13S: both sheets land on half of the siding at the edge
    at_edge = {}
    for fit in demo.ways[1].landings:
        for landing in fit.landings:
            for first, last in (one for edge in landing.on_edges for one in edge):
                at_edge.setdefault(landing.bearer, []).append(last - first)
    for name in ("beam 13P", "beam 13S"):
        assert at_edge[name] == pytest.approx([22.25, 22.25], abs=0.1)  # 1 3/4 in sided
    assert min(min(lengths) for lengths in at_edge.values()) > 10


@pytest.mark.parametrize(("start", "end", "low", "high"), [
    ("port edge", -300.0, None, -300.0), (None, -300.0, None, -300.0), (300.0, None, 300.0, None),
    (-800.0, -300.0, -800.0, -300.0), (-300.0, "starboard edge", -300.0, None), (None, None, None, None),
])  # fmt: skip
def test_a_beam_lies_where_its_limits_say(start, end, low, high):
    deck = Deck(even_hull(), SameProportion("circle", "1:32"), 12.0)
    marks = [BeamMark("1", 200.0, siding=40, moulding=60, start=start, end=end)]
    (bearer,), _ = bearers_of(lay_out_beams(deck, marks, 100.0))
    y = bearer.outline[:, 1]
    edge = float(deck.sheer.half_breadth("port", 200.0))
    assert y.min() == low if low is not None else y.min() < -edge
    assert y.max() == high if high is not None else y.max() > edge
