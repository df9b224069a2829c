"""Temporary screws and weights of bedded planks: counts by hand, and the same numbers on cards and in the list."""

from __future__ import annotations

import math

import pytest
from scipy.integrate import quad
from shapely.geometry import Polygon

from deckgeom.bench import laying_work
from deckgeom.bench.example import example_laying
from deckgeom.bench.laying import plan_of
from deckgeom.deck.crown import SameProportion
from deckgeom.deck.even_hull import even_hull
from deckgeom.deck.surface import Deck
from deckgeom.laying.bedding import bedding_of, plank_hold
from deckgeom.laying.dry_fit import Piece
from deckgeom.laying.plan_words import dry_fit_words, scarf_hold_words, to_buy

FLAT = Deck(even_hull(length=6000, half_breadth=1000), SameProportion("circle", 0))
BENT = Deck(even_hull(length=6000, half_breadth=1000, rise=400), SameProportion("circle", "1:30"))


@pytest.mark.parametrize(("length", "butts", "count"), [(900, 0, 4), (901, 0, 5), (10, 0, 2), (2000, 3, 11)])
def test_screws_by_hand(length, butts, count):
    piece = Piece("1", [(0, 0), (length, 0)], [(0, 50), (length, 50)])
    screws, weight = plank_hold(FLAT, piece, butts)
    assert screws == count
    assert weight == pytest.approx(2000 * length * 50e-6 / 9.80665)  # 2 kPa on length by 50 mm


def test_the_seam_is_measured_over_the_deck_and_not_in_plan():
    edge = [(-2900.0, 100.0), (2900.0, 100.0)]
    piece = Piece("1", [(x, y - 60) for x, y in edge], edge)
    long = quad(lambda x: math.sqrt(1 + float(BENT.slopes(x, 100.0)[0]) ** 2), -2900, 2900)[0]
    assert long > 5800 + 20
    assert plank_hold(BENT, piece, spacing=long / 40 + 0.2)[0] == 41
    assert plank_hold(BENT, piece, spacing=5800 / 40)[0] == 42


def test_all_screws_of_the_way_stand_on_its_cards_and_the_most_of_one_card_are_bought():
    way = plan_of(example_laying()).way("laid")
    cards = [card for _, made in way.cards for card in made if card.temporary]
    butts = [name for name, _ in way.planks.butt_places]
    hand = {piece.name: plank_hold(way.deck, piece, butts.count(piece.name))[0] for piece in way.planks.pieces}
    assert {part.name: part.temporary for card in cards for part in card.parts} == hand
    found = way.bedding
    assert found.places == sum(hand.values()) and found.at_once == max(card.temporary for card in cards)
    assert found.to_buy == math.ceil(1.1 * found.at_once) < found.places
    (row,) = [row for row in to_buy(way) if row[0] == "temporary screws with washers"]
    assert row[1].startswith(f"{found.to_buy}, at most 12 mm long")  # 8 mm plank on 4 mm ply, washer and skin 2 each
    assert any(f"{found.at_once} in the largest glue-up" in line for line in dry_fit_words(way))
    table = laying_work.cards(example_laying(), "laid")
    column = table.heads.index("temporary screws")
    assert sum(int(row[column] or 0) for row in table.rows) == found.places


def test_the_weight_is_that_of_the_planks_in_the_largest_glue_up():
    way = plan_of(example_laying()).way("laid")
    area = {piece.name: Polygon(piece.outline).area for piece in way.planks.pieces}
    cards = [card for _, made in way.cards for card in made if card.temporary]
    most = max(sum(area[part.name] for part in card.parts) for card in cards) / 1e6
    assert way.bedding.weight == pytest.approx(2000 * most / 9.80665)
    assert "lb on the largest glue-up" in way.bedding.words("in")[2]


def test_screws_take_their_time_on_the_card():
    way = plan_of(example_laying()).way("laid")
    card = next(card for _, made in way.cards for card in made if card.temporary)
    words = " ".join(card.words())
    assert f"{card.temporary} temporary screws with washers" in words
    assert f"set {card.parts[0].temporary} temporary screws, or weight it with about" in words
    assert card.minutes > sum(part.place for part in card.parts) + card.temporary / 20


def test_planks_on_beams_have_none():
    assert plan_of(example_laying()).way("skins").bedding is None and bedding_of((), 9, 9) is None


def test_no_spacing_is_said():
    with pytest.raises(ValueError, match="temporary screws 0 mm apart"):
        plank_hold(FLAT, Piece("1", [(0, 0), (9, 0)], [(0, 5), (9, 5)]), spacing=0)


def test_scarfs_are_held_by_cleats_that_are_bought_for_the_longest_joint():
    """By hand: from 50 mm within each end at most 150 mm apart, the longest joint's cleats used again."""
    way = plan_of(example_laying()).way("skins")
    joints = [joint.length for joint in way.sheets.best.joints]
    count = [math.ceil((length - 100) / 150 - 1e-9) + 1 if length > 100 else 1 for length in joints]
    (line,) = scarf_hold_words(way)
    assert f"{sum(count)} places on {len(joints)} joints, {max(count)} cleats and {2 * max(count)} screws" in line
    (row,) = [row for row in to_buy(way) if row[0] == "cleats over a scarf"]
    assert row[1].startswith(f"{max(count)}, with a temporary screw")
    assert line in laying_work.fastenings(example_laying(), "skins").note
    assert scarf_hold_words(plan_of(example_laying()).way("laid"))
