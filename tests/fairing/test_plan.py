"""Stage C: the builder's choices are obeyed, the impossible is named with its amount, and the work comes out fair."""

from __future__ import annotations

import numpy as np
import pytest

from deckgeom.fairing.beam_tops import BeamTops, FairingError
from deckgeom.fairing.choices import PlanChoices
from deckgeom.fairing.fair import estimate
from deckgeom.fairing.plan import plan_work
from deckgeom.fairing.verdict import DOUBTFUL, judge
from deckgeom.fairing.work_plan import totals_of
from tests.fairing.simulated import simulate
from tests.fairing.test_fair import CLEAN, datum, deck, raised


def planned(tops, reading_error=0.5, looked=True, design=None, **choices):
    found = estimate(tops, reading_error=reading_error, design=design)
    return plan_work(tops, found, judge(tops, found) if looked else None, PlanChoices(**choices))


def bad_deck(high=8, by=4.0, low=13, under=5.0) -> BeamTops:
    tops = deck(20, 9, noise=0.4, seed=1)
    return raised(tops, by * (tops.beam == high) - under * (tops.beam == low))


def test_what_an_old_hand_would_say():
    plan = planned(bad_deck(), siding=45.0)
    assert plan.beam_words(8) == "Beam 9: plane 4 mm off its whole top."
    assert plan.beam_words(13) == "Beam 14: pack with one strip 5 mm thick over its whole top."
    assert plan.touched == (8, 13) and plan.beam_words(3) == "Beam 4: leave."
    assert plan.totals.words().startswith("2 beams touched: 1 planed, 1 packed. 1 strip to glue")
    breadth = 2 * plan.tops.half_breadth[plan.tops.beam == 8].max()
    assert plan.totals.wood_off == pytest.approx(4.0 * breadth * 45 / 1000, rel=0.2)


@pytest.mark.parametrize("seed", range(4))
def test_a_clean_deck_is_left(seed):
    tops = simulate(500 + seed, faults=CLEAN).tops
    plan = planned(tops, 0.7)
    assert not plan.touched and plan.totals.words() == "No beam needs touching."


def test_doubter_10_limits_are_obeyed():
    tops = bad_deck()
    for choices in ({"plane_only": True}, {"pack_only": True}, {"most_off": 2.0}, {"most_up": {"14": 3.0}},
                    {"plane_only": True, "most_off": {"9": 0.5}}, {"fixed_beams": ("9", "14")},
                    {"most_off": np.linspace(0, 5, tops.count)}, {"pack_only": True, "most_up": 1.0}):  # fmt: skip
        plan = planned(tops, **choices)
        made = plan.choices
        assert np.all(plan.plane_off <= made.limit("most_off", tops) + 1e-12)
        assert np.all(plan.pack_up <= made.limit("most_up", tops) + 1e-12)
        assert not (made.plane_only and plan.pack_up.any()) and not (made.pack_only and plan.plane_off.any())
        assert not np.any((plan.plane_off > 0) & (plan.pack_up > 0)) and np.all(plan.plane_off >= 0)
        untouched = np.isin(np.array(tops.beam_names)[tops.beam], made.fixed_beams)
        assert not plan.plane_off[untouched].any() and not plan.pack_up[untouched].any()
        # and every place either ends inside the dead band, or is named with what is left over
        left = np.abs(plan.after - plan.planned) - plan.dead_band
        named = {breach.reading: breach.by for breach in plan.breaches}
        for i in np.flatnonzero(left > 0.051):
            assert named[i] == pytest.approx(left[i], abs=1e-6)


def test_plane_only_brings_the_others_down_to_the_low_beam():
    plan = planned(bad_deck(by=0.0), plane_only=True)
    assert not plan.pack_up.any() and not plan.breaches
    assert plan.plane_off[plan.tops.beam == 13].max() == 0
    assert {12, 14} <= set(plan.touched)


def test_prices_decide_between_planing_and_packing():
    tops = bad_deck(by=0.0)
    dear_strips = planned(tops, price_up=8.0)
    dear_planing = planned(tops, price_off=8.0)
    assert dear_strips.pack_up.sum() < 0.5 * dear_planing.pack_up.sum()
    assert dear_strips.plane_off.sum() > dear_planing.plane_off.sum()


def test_impossible_wishes_are_named_with_their_amount():
    # 9 may not be touched and stands 6 mm high, and no other beam may be packed: it stays high
    plan = planned(bad_deck(by=6.0, under=0.0), plane_only=True, fixed_beams=("9",), most_off=0.2)
    words = plan.breach_words()
    assert words[0].startswith("beam 9, ") and "this beam should not be touched" in words[0] and "high" in words[0]
    worst = plan.breaches[0]
    left = plan.believed - plan.planned
    assert worst.by == pytest.approx(left[worst.reading] - plan.dead_band, abs=1e-6) and worst.by > 1
    # worst first
    assert all(a.by >= b.by - 1e-9 for a, b in zip(plan.breaches, plan.breaches[1:], strict=False))


def test_fixed_points_are_passed_through_or_named():
    tops = bad_deck()
    sheer = np.abs(tops.eta) > 0.9
    plan = planned(tops, fixed_points=sheer & np.isin(tops.beam, [2, 6, 17]))
    held = plan.choices.held(tops)
    assert np.abs(plan.believed - plan.planned)[held].max() < 1e-3 and not plan.breaches
    crossed = raised(tops, 30.0 * (np.arange(tops.count) == 90))
    fields = ("beam", "x", "y", "half_breadth", "z")
    columns = {f: np.append(getattr(tops, f), getattr(crossed, f)) for f in fields}
    twice = BeamTops(beam_names=tops.beam_names, **columns)
    found = estimate(twice, reading_error=0.5)
    same_place = np.isin(np.arange(twice.count), [90, 90 + tops.count])
    plan = plan_work(twice, found, None, PlanChoices(fixed_points=same_place))
    assert "pass through this fixed point" in plan.breach_words()[0]


def test_doubtful_readings_and_single_ones_wait():
    tops = bad_deck()
    spoilt = raised(tops, 20.0 * (np.arange(tops.count) == 40) + 3.0 * (np.arange(tops.count) == 140))
    found = estimate(spoilt, reading_error=0.4)
    verdicts = judge(spoilt, found)
    plan = plan_work(spoilt, found, verdicts)
    assert verdicts.word[40] == DOUBTFUL and plan.waiting[0] == 40 and 140 in plan.waiting
    assert plan.plane_off[40] == plan.plane_off[140] == 0
    assert plan.touched == (8, 13)


def test_work_done_leaves_nothing_to_do():
    plan = planned(bad_deck())
    again = BeamTops(*(getattr(plan.tops, f) for f in ("beam", "beam_names", "x", "y", "half_breadth")),
                     plan.tops.z - plan.plane_off + plan.pack_up)  # fmt: skip
    assert not planned(again).touched


def test_list_and_trim_change_no_work():
    tops = bad_deck()
    a, b = planned(tops, plane_only=True), planned(raised(tops, datum(tops)), plane_only=True)
    assert np.abs(a.plane_off - b.plane_off).max() < 1e-6


def test_quick_look_without_verdicts():
    plan = planned(bad_deck(), looked=False)
    assert {8, 13} <= set(plan.touched) and plan.waiting == ()
    assert plan.plane_off[plan.tops.beam == 8].mean() == pytest.approx(4.0, abs=0.6)


def test_a_dead_band_keeps_noise_out_of_the_wood():
    # strict, the lower envelope follows the noise: wood off the whole clean deck; with twice the error let pass, none
    tops = simulate(3, faults=CLEAN).tops
    strict = planned(tops, 0.7, looked=False, dead_band=0.0, plane_only=True)
    usual = planned(tops, 0.7, looked=False, plane_only=True)
    assert strict.plane_off.mean() > 0.4
    assert usual.plane_off.mean() < 0.2 * strict.plane_off.mean()


def test_no_hollow_across_and_along():
    # a deck dished amidships: left so it would hold water
    tops = deck(20, 9, noise=0.2, seed=3)
    dished = raised(tops, -40.0 * np.cos(np.pi * tops.eta) * np.exp(-(((tops.beam - 10) / 8.0) ** 2)))
    found = estimate(dished, reading_error=0.3, whole_beam=False, cutoff=2400.0, cutoff_across=1200.0)
    free = plan_work(dished, found, None, PlanChoices())
    bent = plan_work(dished, found, None, PlanChoices(no_hollow=True))
    assert _hollow(free) > 1e-4 > _hollow(bent)
    assert bent.pack_up.sum() > free.pack_up.sum()


def _hollow(plan):
    """Largest curvature upwards across, by differences on the beam amidships. [1/m]"""
    y = np.linspace(-900, 900, 61)
    z = plan.surface.height(np.full(61, 4000.0), y, np.full(61, 1195.0))
    return np.diff(z, 2).max() / 30.0**2 * 1000


def test_a_hollow_that_must_stay_is_named():
    tops = deck(20, 9, noise=0.2, seed=3)
    dished = raised(tops, -40.0 * np.cos(np.pi * tops.eta) * np.exp(-(((tops.beam - 10) / 8.0) ** 2)))
    found = estimate(dished, reading_error=0.3, whole_beam=False, cutoff=2400.0, cutoff_across=1200.0)
    plan = plan_work(dished, found, None, PlanChoices(no_hollow=True, plane_only=True, most_off=0.0))
    assert plan.breaches and plan.breach_words()


def test_totals_are_the_area_under_the_amounts():
    # second route: numpy's trapezium rule over the beam, level to its ends
    rng = np.random.default_rng(0)
    y = np.sort(rng.uniform(-900, 900, 7))
    tops = BeamTops([0] * 7, ("1",), [0] * 7, y, [1000] * 7, [0] * 7)
    amount = rng.uniform(1, 5, 7)
    area = np.trapezoid(amount[[0, *range(7), 6]], [-1000, *y, 1000])
    assert totals_of(tops, amount, 0 * amount, {"1": 50.0}).wood_off == pytest.approx(area * 50 / 1000)


def test_partial_work_is_placed():
    tops = deck(20, 9, noise=0.2, seed=1)
    tilted = raised(tops, 4.0 * tops.eta * (tops.beam == 8))
    words = planned(tilted, 0.3).beam_words(8)
    assert "plane from 1 mm to 4 mm" in words and "pack with one strip from 1 mm to 4 mm thick" in words
    assert "to starboard" in words and "to port" in words


@pytest.mark.parametrize(("choices", "words"), [
    ({"plane_only": True, "pack_only": True}, "one of them at most"),
    ({"price_off": 0.0}, "a price must be above nought"),
    ({"dead_band": -1.0}, "not below nought"),
    ({"most_off": {"99": 1.0}}, "beam '99' in most_off: there is no beam of that name. Did you mean '9'"),
    ({"most_off": -1.0}, "most_off at beam 1"),
    ({"most_up": [1.0, 2.0]}, "2 values of most_up: there are 180 readings"),
    ({"fixed_beams": ("x",)}, "no beam of that name"),
    ({"fixed_points": [True]}, "1 fixed points: there are 180 readings"),
])  # fmt: skip
def test_choices_that_cannot_be_are_refused(choices, words):
    with pytest.raises(FairingError, match=words):
        planned(bad_deck(), **choices)


@pytest.mark.parametrize(("beams", "points"), [(1, 1), (1, 9), (2, 5), (3, 9), (12, 1)])
def test_few_readings_give_an_empty_plan(beams, points):
    plan = planned(deck(beams, points, noise=0.5), no_hollow=True)
    assert not plan.touched and max(plan.optimality) < 1e-7
