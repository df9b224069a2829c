"""Areas and amounts against shapely, closed forms and printed values."""

from __future__ import annotations

import numpy as np
import pytest
from shapely.geometry import Polygon

from deckgeom.deck.crown import OneMould, SameProportion
from deckgeom.deck.even_hull import even_hull
from deckgeom.deck.surface import Deck
from deckgeom.hull.sheer import Sheer
from deckgeom.laying.quantities import Band, coats, deck_area, sheets, strips_to_cover
from deckgeom.tables import SEEN, table


def uneven():
    """A deck whose sides differ, with a transom."""

    def curve(a, b, c):
        return lambda x, order=0: [a + b * np.asarray(x) + c * np.asarray(x) ** 2, b + 2 * c * np.asarray(x),
                                   2 * c + 0 * np.asarray(x)][order]  # fmt: skip

    return Sheer.from_curves(
        curve(100, 0.62, -7e-5), curve(900, -0.09, 1.2e-5), curve(120, 0.58, -6.4e-5), curve(895, -0.085, 1.2e-5),
        start=0, end=6300,
    )  # fmt: skip


def test_plan_area_agrees_with_a_polygon_of_the_deck_edge():
    sheer = uneven()
    x = np.linspace(sheer.start, sheer.end, 4001)
    port, starboard = (np.c_[x, s * sheer.half_breadth(side, x)] for side, s in (("port", -1), ("starboard", 1)))
    outline = Polygon(np.r_[port, starboard[::-1]])
    assert deck_area(Deck(sheer, SameProportion("circle", "1:32"))).plan == pytest.approx(outline.area / 1e6, rel=1e-6)


def test_a_flat_deck_has_its_plan_area_and_a_sloping_one_more():
    flat = deck_area(Deck(even_hull(), SameProportion("parabola", 0)))
    assert flat.true == pytest.approx(flat.plan, rel=1e-12)
    # two thirds of length times breadth: Archimedes, Quadrature of the Parabola
    assert flat.plan == pytest.approx(2 / 3 * 6.0 * 3.0, rel=1e-9)
    ramp = lambda x, order=0: [0.75 * np.asarray(x), 0.75 + 0 * np.asarray(x), 0 * np.asarray(x)][order]  # noqa: E731
    even = lambda x, order=0: [1000 + 0 * np.asarray(x), 0 * np.asarray(x), 0 * np.asarray(x)][order]  # noqa: E731
    tilted = deck_area(Deck(Sheer.from_curves(even, ramp, start=0, end=4000), SameProportion("parabola", 0)))
    assert tilted.true == pytest.approx(tilted.plan * 1.25, rel=1e-9)


def test_a_cylinder_of_one_mould_unrolls_to_its_arc():
    """A second route: on a circular mould with a level crown the true area is length of arc times length of boat."""
    even = lambda x, order=0: [1500 + 0 * np.asarray(x), 0 * np.asarray(x), 0 * np.asarray(x)][order]  # noqa: E731
    level = lambda x, order=0: [800 + 0 * np.asarray(x), 0 * np.asarray(x), 0 * np.asarray(x)][order]  # noqa: E731
    deck = Deck(Sheer.from_curves(even, level, start=0, end=6000), OneMould("circle", "100 mm"))
    radius = (1500**2 + 100**2) / 200
    assert deck_area(deck).true == pytest.approx(2 * radius * np.arcsin(1500 / radius) * 6000 / 1e6, rel=1e-9)


def test_true_area_against_small_triangles():
    """A second route on an uneven deck: the area of a fine net of flat triangles."""
    sheer = uneven()
    deck = Deck(sheer, SameProportion("quarter-circle", "1:24"))
    x = np.linspace(sheer.start, sheer.end, 401)[:, None]
    total = 0.0
    for side, sign in (("port", -1.0), ("starboard", 1.0)):
        y = sign * sheer.half_breadth(side, x) * np.linspace(0, 1, 61)
        net = np.stack(np.broadcast_arrays(x, y, deck.height(x, y)), axis=-1)
        for a, b, c in ((net[:-1, :-1], net[1:, :-1], net[:-1, 1:]), (net[1:, 1:], net[1:, :-1], net[:-1, 1:])):
            total += np.linalg.norm(np.cross(b - a, c - a), axis=-1).sum() / 2
    assert deck_area(deck).true == pytest.approx(total / 1e6, rel=2e-5)


def test_strips_over_a_deck():
    # derived: two laps on three strips of 1.27 m cover 3.71 m, one lap on two covers 2.49 m, short of 2.5 m
    assert strips_to_cover(2500, 1270, 50) == 3
    assert strips_to_cover(2490, 1270, 50) == 2
    assert strips_to_cover(1000, 1270, 50) == 1
    with pytest.raises(ValueError, match="a roll 50 mm wide lapped 1270 mm over 2500 mm: the lap must be less"):
        strips_to_cover(2500, 50, 1270)


def test_a_quart_of_paint():
    # 80 square feet to the US quart (231/4 cubic inches, NIST Handbook 44, appendix C; from memory) is 7.85 m2/L
    litre_covers = 80 * 0.3048**2 / (231 / 4 * 0.0254**3 * 1000)
    assert litre_covers == pytest.approx(7.85, abs=0.005)
    [row] = [row for row in table("coverage") if row["what"] == "paint or varnish, one coat"]
    assert float(row["likely_m2_per_litre"]) == pytest.approx(litre_covers, abs=0.005)


def test_your_own_tin_wins_over_the_table():
    band = coats(20, "epoxy, sealing coat on bare wood", own=10)
    assert (band.low, band.likely, band.high) == (2, 2, 2) and "your own tin" in band.basis
    usual = coats(20, "epoxy, sealing coat on bare wood", coats=3)
    assert usual.low < usual.likely < usual.high and usual.likely == pytest.approx(3 * 20 / 7, abs=0.05)


def test_sheets_are_whole_and_never_fewer_than_the_area_needs():
    band = sheets(20.0, (2440, 1220))
    assert band.low * 2.44 * 1.22 >= 20.0 and all(n == int(n) for n in (band.low, band.likely, band.high))
    assert sheets(20.0, (2440, 1220)) == sheets(20.0, (1220, 2440))


@pytest.mark.parametrize("call, words", [
    (lambda: sheets(0, (2440, 1220)), "0 m2 of deck in sheets"),
    (lambda: coats(10, "custard"), "'custard' is not in the table of coverage"),
    (lambda: coats(10, "paint or varnish, one coat", coats=0), "0 coats on 10 m2"),
    (lambda: Band(3, 2, 4, "sheets", ""), "a band of 3, 2, 4 sheets: low, likely and high must rise"),
    (lambda: table("prices"), "table 'prices': there are coverage"),
])  # fmt: skip
def test_wrong_asks_are_told_what_is_wrong(call, words):
    with pytest.raises((ValueError, KeyError)) as told:
        call()
    assert words in str(told.value)


def test_every_row_says_where_it_is_from_and_how_it_was_seen():
    for row in table("coverage"):
        assert row["source"] and row["seen"] in SEEN


@pytest.mark.parametrize(
    ("area", "counts"), [(20.0, (8, 8, 9)), (2.9768 / 1.05, (1, 2, 2)), (2.9768 / 1.05 + 1e-3, (2, 2, 2))]
)
def test_sheets_counted_by_hand(area, counts):
    """2.9768 m2 a sheet; with 5, 15 and 30 of a hundred cut away, and rounded up: 20 m2 are 7.05, 7.73 and 8.73."""
    band = sheets(area, (2440, 1220))
    assert (band.low, band.likely, band.high) == counts
