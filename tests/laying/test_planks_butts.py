"""Butts against exhaustive search and the rules checked another way."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from deckgeom.laying.planks_butts import ButtChoices, check_shift, plan_butts

BEAMS = np.cumsum([0, 520, 480, 610, 500, 455, 540, 500, 500])


def cuts(plank, beams, choices):
    """Every way to butt one plank, with the stock it takes."""
    inside = [b for b in beams if plank[0] < b < plank[1]]
    for n in range(len(inside) + 1):
        for butts in itertools.combinations(inside, n):
            stops = [plank[0], *butts, plank[1]]
            stock = [min((s for s in choices.stock if s - choices.trim >= b - a), default=None)
                     for a, b in itertools.pairwise(stops)]  # fmt: skip
            if None not in stock:
                yield butts, sum(stock)


def too_close(one, two, apart, beams, choices):
    index = {b: k for k, b in enumerate(beams)}
    return any(
        (a == b and apart <= choices.between) or (apart == 1 and abs(index[a] - index[b]) < choices.shift)
        for a in one for b in two
    )  # fmt: skip


@pytest.mark.parametrize("stock", [(2400, 1800), (2750,), (3000, 2100, 1300)])
def test_no_plan_takes_less_stock(stock):
    planks = [(0, 4105), (130, 4000), (300, 3800)]
    choices = ButtChoices(stock, trim=15, between=2)
    ways = [list(cuts(plank, BEAMS.tolist(), choices)) for plank in planks]
    cost = [np.array([way[1] for way in mine]) for mine in ways]
    total = cost[0][:, None, None] + cost[1][:, None] + cost[2]
    for i, j, shape in ((0, 1, (..., None)), (1, 2, (None, ...)), (0, 2, (slice(None), None))):
        bad = [[too_close(a[0], b[0], j - i, BEAMS.tolist(), choices) for b in ways[j]] for a in ways[i]]
        total = np.where(np.array(bad)[shape], np.inf, total)
    best = total.min()
    found = plan_butts(planks, BEAMS, choices)
    assert (found.complaints == ()) == np.isfinite(best)
    if np.isfinite(best):
        assert found.stock_length == best and found.gap < 1e-4
    else:
        assert stock == (2400, 1800) and "shift rules cannot be kept" in found.complaints[0]


def test_pieces_make_up_each_plank_and_butts_are_staggered():
    rng = np.random.default_rng(2)
    beams = np.cumsum(rng.uniform(380, 560, 20))
    planks = [(0, beams[-1] + 200), *((float(a), float(b)) for a, b in zip(
        rng.uniform(0, 900, 9), beams[-1] - rng.uniform(0, 900, 9), strict=True))]  # fmt: skip
    found = plan_butts(planks, beams, ButtChoices((3600, 4800), seconds=3))
    assert found.complaints == ()
    for number, (a, b) in enumerate(planks):
        mine = [piece for piece in found.pieces if piece.plank == number]
        assert mine[0].x0 == a and mine[-1].x1 == b
        assert all(p.x1 == q.x0 for p, q in itertools.pairwise(mine))
        assert all(p.length <= p.stock - 20 + 1e-6 for p in mine)
    assert len(found.butts) >= 10 and check_shift(found.butts, beams) == ()
    assert all(np.abs(beams - x).min() < 1e-6 for _, x in found.butts)
    assert sum(found.counts.values()) == len(found.pieces)
    assert "3 planks run on" in found.words()[-1] and "common practice, no source" in found.words()[-1]


def test_stock_longer_than_the_plank_has_no_butts():
    found = plan_butts([(0, 3000)] * 3, BEAMS, ButtChoices((3020, 9000)))
    assert found.butts == () and found.counts == {3020.0: 3, 9000.0: 0}
    assert found.waste == pytest.approx(20 / 3020)


def test_a_check_names_the_pairs():
    beams = range(0, 5000, 500)
    assert check_shift([(0, 1000), (4, 1000)], beams) == ()
    assert check_shift([(3, 1000), (0, 1000)], beams) == ((0, 1),)
    assert check_shift([(0, 1000), (1, 2000)], beams) == ()
    assert check_shift([(0, 1000), (1, 1500)], beams, shift=1) == ()


def test_stock_too_short_gives_one_line_and_the_nearest_plan():
    found = plan_butts([(0, 4105)] * 2, BEAMS, ButtChoices((600,)))
    assert "Stock too short: 600 mm at the longest" in found.complaints[0] and "610 mm" in found.complaints[0]
    assert found.pieces and all(piece.length <= 580 for piece in found.pieces)


def test_rules_that_cannot_be_kept_are_named():
    found = plan_butts([(0, 3000)] * 4, [0, 1000, 2000, 3000], ButtChoices((2020,)))
    assert "The shift rules cannot be kept with this stock (2020 mm" in found.complaints[0]
    assert check_shift(found.butts, [0, 1000, 2000, 3000], found.choices.between, found.choices.shift) == ()


def test_stock_that_cannot_do_or_is_wrong():
    with pytest.raises(ValueError, match="stock of 50 mm at the longest does not plank this deck"):
        plan_butts([(0, 3000)], [0, 1000, 2000, 3000], ButtChoices((50,)))
    with pytest.raises(ValueError, match=r"stock of \(3.6,\) mm, 20 mm trimmed off.*metres"):
        ButtChoices((3.6,))
