"""Cloth against shapely, integrals by scipy and closed forms."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import dblquad, quad
from shapely.geometry import Polygon, box

from deckgeom.deck.crown import OneMould, SameProportion
from deckgeom.deck.even_hull import even_hull
from deckgeom.deck.surface import Deck
from deckgeom.hull.sheer import Sheer
from deckgeom.laying.paint_area import area_between, area_words, girths, opening_area
from deckgeom.laying.quantities import deck_area
from deckgeom.laying.sheathing import Cloth, ClothPiece, sheathe
from deckgeom.laying.sheathing_sessions import cloth_sessions
from deckgeom.laying.sheets_outline import Box


def curve(a, b=0.0, c=0.0):
    """A parabola with its derivatives."""
    return lambda x, order=0: [a + b * np.asarray(x) + c * np.asarray(x) ** 2, b + 2 * c * np.asarray(x),
                               2 * c + 0 * np.asarray(x)][order]  # fmt: skip


def uneven(figure="1:16"):
    """A deck whose sides differ, with a transom."""
    sheer = Sheer.from_curves(
        curve(100, 0.62, -7e-5), curve(900, -0.09, 1.2e-5), curve(120, 0.58, -6.4e-5), curve(895, -0.085, 1.2e-5),
        start=0, end=6300,
    )  # fmt: skip
    return Deck(sheer, SameProportion("circle", figure))


def oblong(figure, rule=OneMould, half=1500, end=6000, profile=(800,)):
    """A deck as broad forward as aft."""
    return Deck(Sheer.from_curves(curve(half), curve(*profile), start=0, end=end), rule("circle", figure))


HATCH = Box("hatch", 2100, 2900, -420, 300)


@pytest.mark.parametrize("way", ["fore-and-aft", "athwart"])
@pytest.mark.parametrize("roll", [None, 3500])
def test_pieces_cover_the_deck_once_with_the_opening_off(way, roll):
    deck = uneven()
    plan = sheathe(deck, Cloth(900, roll=roll), [HATCH], way)
    hole = dblquad(lambda y, x: math.hypot(1, *map(float, deck.slopes(x, y))), 2100, 2900, -420, 300, epsabs=10)[0]
    assert plan.area == pytest.approx(deck_area(deck).true - hole / 1e6, rel=2e-5)
    assert sorted(piece.order for piece in plan.pieces) == list(range(1, len(plan.pieces) + 1))


def test_a_flat_deck_is_cut_up_as_its_polygon_is():
    deck = uneven("0 mm")
    flat = Deck(Sheer.from_curves(curve(100, 0.62, -7e-5), curve(900), curve(120, 0.58, -6.4e-5), curve(900),
                                  start=0, end=6300), SameProportion("circle", 0))  # fmt: skip
    x = np.linspace(0, 6300, 3001)
    sheer = flat.sheer
    outline = Polygon(np.r_[np.c_[x, -sheer.half_breadth("port", x)],
                            np.c_[x, sheer.half_breadth("starboard", x)][::-1]])  # fmt: skip
    plan = sheathe(flat, Cloth(1000, lap=60, drop=0), [HATCH])
    for piece in plan.pieces:
        strip = outline.intersection(box(-1, piece.low, 7000, piece.high))
        low, _, high, _ = strip.bounds
        assert (piece.start, piece.end) == pytest.approx((low, high), abs=1)
        assert piece.length == pytest.approx(high - low + 50, abs=1)
        out = sum(area for _, area in piece.cut_outs)
        assert out == pytest.approx(strip.intersection(box(2100, -420, 2900, 300)).area / 1e6, rel=1e-9, abs=1e-12)
    assert outline.area / 1e6 - 0.8 * 0.72 == pytest.approx(plan.area, rel=3e-5)
    assert deck_area(deck).true > deck_area(flat).true


def test_girths_against_integrals_of_the_slope():
    deck = uneven()
    for x in (700.0, 3300.0, 6300.0):
        cut = girths(deck, [x])
        for place, side, sign in ((0, "port", -1), (-1, "starboard", 1)):
            b = float(deck.sheer.half_breadth(side, x))
            arc = quad(lambda y, sign=sign, x=x: math.hypot(1, float(deck.slopes(x, sign * y)[1])), 0, b)[0]
            assert sign * cut.girth[0, place] == pytest.approx(arc, rel=2e-5)


def test_a_strip_on_a_sloping_deck_is_as_long_as_the_slope():
    """Rise of 3 in 4: 5/4 of the plan length, whatever the strip."""
    deck = oblong(0, half=700, end=4000, profile=(0, 0.75))
    (strip,) = sheathe(deck, Cloth(1600, drop=0, trim=0)).pieces
    assert strip.length == pytest.approx(5000)
    across = sheathe(deck, Cloth(1050, lap=50, drop=0, trim=0), way="athwart")
    assert len(across.pieces) == 5 and across.across == pytest.approx(5000)
    assert {round(piece.length) for piece in across.pieces} == {1400}


def test_strips_cover_the_girth_and_not_the_plan():
    """A circular mould 3 m wide and 300 mm high is 3079 mm round: a roll that covers 3040 in three is one short."""
    deck = oblong("300 mm")
    radius = (1500**2 + 300**2) / 600
    plan = sheathe(deck, Cloth(1080, lap=100, drop=0))
    assert plan.across == pytest.approx(2 * radius * math.asin(1500 / radius), rel=1e-5)
    assert len(plan.pieces) == 4
    assert 3 * 1080 - 2 * 100 == 3040


def test_more_sheer_takes_more_cloth_and_the_drop_is_counted_at_both_edges():
    deck = uneven()
    none, some = (sheathe(deck, Cloth(1270, drop=drop)) for drop in (0, 40))
    assert some.across - none.across == pytest.approx(80)
    assert none.offcuts > 0 and none.roll_length > 6300
    level = sheathe(oblong(0), Cloth(1270)).roll_length
    steep = sheathe(oblong(0, profile=(800, -0.12, 2e-5)), Cloth(1270)).roll_length
    assert steep > level


def test_a_strip_drops_over_an_end_only_where_it_reaches_one():
    strips = sheathe(oblong(0), Cloth(1270, drop=40, trim=10)).pieces
    assert {round(strip.length, 6) for strip in strips} == {6000 + 2 * 40 + 2 * 10}
    deck = Deck(even_hull(6000, 1500), SameProportion("circle", 0))
    outer, other, middle = sheathe(deck, Cloth(1270, drop=40, trim=10)).pieces
    assert middle.length == pytest.approx(6000 + 100) and other.length == pytest.approx(outer.length)
    # where the edge of the cloth over the side, 40 mm below the deck, crosses the strip's inner edge
    reach = 3000 * math.sqrt(1 - (-outer.high - 40) / 1500)
    assert outer.length == pytest.approx(2 * reach + 20, abs=0.5)


def test_a_strip_longer_than_the_roll_is_lapped():
    plan = sheathe(oblong(0, half=400, end=6000), Cloth(900, lap=50, drop=0, trim=0, roll=3000))
    assert [p.name for p in plan.pieces] == ["1a", "1b", "1c"]
    assert plan.roll_length == pytest.approx(6000 + 2 * 50)
    line = "Strip 1 wants 6000 mm and a roll holds 3000 mm: it is laid in 3 equal lengths lapped 50 mm."
    assert line in plan.words()


def test_the_rebate_goes_round_both_sides_and_the_ends():
    deck = oblong(0)
    plan = sheathe(deck, Cloth(1270, drop=30))
    assert plan.edge == pytest.approx(2 * 6000 + 2 * 3000)
    assert plan.rebate() == (
        "Rebate the edge 1 mm deep over 30 mm of its side, 18000 mm long in all, so that cloth and resin end flush "
        "under the moulding. The depth is that of one layer: at a lap it is twice that."
    )


def test_no_session_ends_in_an_opening():
    deck = oblong(0, half=1100)
    plan = sheathe(deck, Cloth(1270, lap=50, drop=40), way="athwart")
    edges = sorted(piece.start for piece in plan.pieces)[1:]
    through = Box("hatch", edges[2] - 200, edges[2] + 200, -300, 300)
    free, held = (cloth_sessions(deck, plan, 6.0, boxes) for boxes in ((), (through,)))
    one = {frozenset(p.name for p in s.pieces) for s in held}
    laid = 0
    for session in held[:-1]:
        laid += len(session.pieces)
        edge = plan.pieces[laid - 1].start
        assert not through.x0 - 50 < edge < through.x1 + 50
    assert sum(len(s) for s in one) == len(plan.pieces) and one != {frozenset(p.name for p in s.pieces) for s in free}
    assert all(s.area <= 6.0 or s.too_large for s in held) and not any(s.too_large for s in free)
    assert free[0].feather and not free[-1].feather
    assert "sand it to a feather" in free[0].words()


def test_a_session_without_a_clear_edge_says_so():
    deck = oblong(0, half=1100)
    plan = sheathe(deck, Cloth(1270))
    (session,) = cloth_sessions(deck, plan, 4.0, [Box("cockpit", 2000, 4000, -700, 700)])
    assert session.too_large and "Have more hands" in session.words()


def test_errors_say_what_is_wrong():
    with pytest.raises(ValueError, match="a roll 40 mm wide lapped 50 mm"):
        Cloth(40, lap=50)
    with pytest.raises(ValueError, match="drop -3 mm"):
        Cloth(1270, drop=-3)
    with pytest.raises(ValueError, match="a roll 50 mm long"):
        Cloth(1270, roll=50)
    with pytest.raises(ValueError, match="'across': strips run"):
        sheathe(oblong(0), Cloth(1270), way="across")
    with pytest.raises(ValueError, match="0 m2 in one session"):
        cloth_sessions(oblong(0), sheathe(oblong(0), Cloth(1270)), 0)


def test_areas_between_limits_add_up_and_are_said_in_both_units():
    deck = uneven()
    parts = [area_between(deck, 1000, 4000, *limits) for limits in ((-np.inf, -200), (-200, 350), (350, np.inf))]
    assert sum(parts) == pytest.approx(area_between(deck, 1000, 4000), rel=1e-12)
    assert opening_area(deck, Box("hatch", 9000, 9900, 0, 10)) == 0
    assert area_words(0.25) == "0.25 m2" and area_words(0.09290304 * 3, "in") == "3.0 sq ft"
    assert ClothPiece("1", 1, 0, 1, 0, 1, 254, 1, (("hatch", 0.1),)).words("in").endswith("Cut out of it: hatch.")


def test_the_strip_laid_first_has_the_whole_of_its_width_and_the_next_what_is_left():
    """A level, flat deck 3 m by 6 m, cloth 1100 mm wide lapped 100 mm: 3 strips, the middle one last."""
    plan = sheathe(oblong("0 mm"), Cloth(1100, lap=100, drop=0, trim=0), (), "fore-and-aft")
    spread = [(piece.order, piece.high - piece.low) for piece in plan.pieces]
    assert [width for _, width in spread] == pytest.approx([1100] * 3) and plan.across == pytest.approx(3000)
    first, second, last = sorted(plan.pieces, key=lambda piece: piece.order)
    assert (first.area, second.area) == pytest.approx((1.05 * 6, 1.05 * 6))  # 50 mm hang over each edge
    assert last.area == pytest.approx(0.9 * 6)


def test_athwart_strips_hang_over_both_ends():
    plan = sheathe(oblong("0 mm"), Cloth(1100, lap=100, drop=80), (), "athwart")
    assert plan.across == pytest.approx(6000 + 2 * 80)
    assert len(plan.pieces) == math.ceil((6160 - 100) / 1000)
