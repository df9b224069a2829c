"""Amounts, times, batches, glue-ups and tins against closed forms, an integer program and a search by hand."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import Bounds, LinearConstraint, milp

from deckgeom.laying.glue import Layer, amount, total
from deckgeom.laying.glue_sessions import CAUTIONS, Part, glue_cards
from deckgeom.laying.glue_shopping import Need, shopping, tins_for
from deckgeom.laying.glue_time import Crew, Tin, WorkingTime, batches, working_time
from deckgeom.laying.quantities import Band, coats


def test_coverage_is_the_same_by_both_ways():
    for what in ("paint or varnish, one coat", "epoxy, spread for gluing skins"):
        mine, theirs = amount(Layer("a", 13.7, what, coats=3)), coats(13.7, what, 3)
        for key in ("low", "likely", "high"):
            assert getattr(mine, key) == pytest.approx(getattr(theirs, key), abs=0.056)


def test_a_millimetre_on_a_square_metre_is_a_litre():
    band = amount(Layer("bed", 1.0, "bedding under laid planks"))
    assert (band.low, band.likely, band.high) == (0.8, 1.2, 2.0)
    assert "common practice, no source" in band.basis and "combed out" in band.basis


def test_cloth_takes_its_weight_in_resin():
    """Glass at 1:1, 300 g/m2, 11 m2: 3.3 kg of a resin of 1.1 kg/L is 3 L."""
    band = amount(Layer("cloth", 11.0, "glass cloth, wetting out", cloth=300))
    assert band.likely == pytest.approx(3.0)
    assert band.low == pytest.approx(0.8 * 3.3 / 1.15, abs=0.005)
    assert band.high == pytest.approx(1.3 * 3.3 / 1.05,
    abs=0.005)


def test_the_tin_wins():
    band = amount(Layer("cloth", 12.0, "glass cloth, wetting out", own=3.0, coats=2))
    assert band.low == band.likely == band.high == 8.0 and "own tin" in band.basis


def test_no_area_takes_no_glue_and_sums_add_up():
    assert amount(Layer("none", 0.0, "glue in a scarf")).high == 0
    parts = [amount(Layer("a", area, "glue in a scarf")) for area in (1.5, 2.5, 0.25)]
    whole = amount(Layer("a", 4.25, "glue in a scarf"))
    assert total(parts).high == pytest.approx(whole.high, abs=0.016)
    with pytest.raises(ValueError, match="amounts in litres, sheets"):
        total([Band(1, 1, 1, "litres", ""), Band(1, 1, 1, "sheets", "")])


def test_time_in_the_pot_follows_the_rule_as_a_rate():
    """A second route: progress of the cure, integrated at a rate that doubles each 10 degrees, is 1 when it gels."""
    tin = Tin(22, 24)
    for degc in (8, 17.5, 24, 31):
        rate = 2 ** ((degc - 24) / 10) / 22
        done = solve_ivp(lambda t, y, rate=rate: [rate], (0, 500), [0], events=lambda t, y: y[0] - 1, max_step=5)
        assert working_time(tin, degc).pot == pytest.approx(done.t_events[0][0], rel=1e-6)
    assert working_time(tin, 24).pot == 22
    assert "halves with each 10 degC: common practice, no source" in working_time(tin, 14).basis


def test_the_tin_s_own_second_figure_takes_the_place_of_the_rule():
    tin = Tin(20, 25, second=(50, 15))
    assert working_time(tin, 15).pot == pytest.approx(50) and working_time(tin, 25).pot == 20
    assert working_time(tin, 20).pot == pytest.approx(math.sqrt(20 * 50))
    assert "tin's two figures" in working_time(tin, 20).basis
    assert working_time(Tin(20, 25, film=70), 25).film == (70, 70)
    words = "At 25 degC: 20 minutes in the pot, 70 spread out (by the tin)."
    assert working_time(Tin(20, 25, film=70), 25).words() == words
    assert working_time(Tin(20, 25), 25).words("in").startswith("At 77 degF")


def test_batches_are_equal_hold_it_all_and_are_out_in_time():
    time = WorkingTime(15, (60, 75), 25, "")
    for litres, area, people, rate in itertools.product((0.3, 2.17, 9.0), (2.0, 11.3), (1, 2, 5), (0.02, 0.25)):
        crew = Crew(people, spread=rate)
        pots = batches(litres, area, time, crew)
        assert pots.count * pots.litres == pytest.approx(litres)
        minutes = pots.litres * area / litres / (rate * crew.workers)
        assert minutes <= 7.5 + 1e-9 and pots.litres <= 0.5 + 1e-12
        smaller = litres / (pots.count - 1) if pots.count > 1 else math.inf
        assert smaller > 0.5 or smaller * area / litres / (rate * crew.workers) > 7.5
    assert batches(0.05, 2.0, time, Crew()).words() == "one batch of 50 ml."


PLANKS = [Part(f"plank {k}", area, screws) for k, (area, screws) in
          enumerate([(0.5, 20), (1.2, 40), (0.3, 0), (2.0, 55), (0.8, 18), (0.7, 31), (1.1, 25)], 1)]  # fmt: skip


def test_glue_ups_are_the_fewest_that_fit():
    """Against every way of parting the list."""
    tin, crew = Tin(14, 20), Crew(2)
    cards = glue_cards(PLANKS, (2, 3, 4), tin, 22, crew)
    assert [p for card in cards for p in card.parts] == PLANKS
    assert all(card.fits and card.minutes <= card.time.film[0] for card in cards)

    def one(parts):
        cards = glue_cards(parts, (2, 3, 4), tin, 22, crew)
        return len(cards) == 1 and cards[0].fits

    fewest = min(
        bars + 1
        for bars in range(len(PLANKS))
        for cut in itertools.combinations(range(1, len(PLANKS)), bars)
        if all(one(PLANKS[a:b]) for a, b in zip((0, *cut), (*cut, len(PLANKS)), strict=True))
    )
    assert len(cards) == fewest > 1


def test_minutes_by_hand():
    """4 m2 by two spreaders at .25: 8; 60 screws by two at 3 a minute: 10; laying 5; the third person mixes."""
    (card,) = glue_cards([Part("skin", 4.0, 60)], 4.0, Tin(40, 20), 20, Crew(3))
    assert card.minutes == pytest.approx(23) and (card.glue.low, card.glue.high) == (1, 1)
    alone = glue_cards([Part("skin", 4.0, 60)], 4.0, Tin(40, 20), 20, Crew(1))[0]
    assert alone.minutes == pytest.approx(16 + 20 + 5 + (alone.batches.count - 1) * 4)


def test_each_by_itself_runs_to_the_hands_and_not_to_the_film():
    tin = Tin(10, 20)
    apart = glue_cards(PLANKS, 3.0, tin, 20, Crew(2), together=False)
    assert len(apart) == 1 and apart[0].fits and apart[0].minutes > apart[0].time.film[0]
    assert len(glue_cards(PLANKS, 3.0, tin, 20, Crew(2), together=False, most_minutes=60)) > 1


def test_a_part_too_large_says_what_helps_and_it_does():
    big = Part("skin", 9.0, 300)
    (card,) = glue_cards([big], 3.0, Tin(12, 22), 22, Crew(2))
    assert not card.fits and "do not start like this" in card.remedy
    people = int(card.remedy.split("helps: ")[1].split(" people")[0])
    assert glue_cards([big], 3.0, Tin(12, 22), 22, Crew(people))[0].fits
    assert not glue_cards([big], 3.0, Tin(12, 22), 22, Crew(people - 1))[0].fits
    degc = int(card.remedy.split(" degC instead")[0].split()[-1])
    assert glue_cards([big], 3.0, Tin(12, 22), degc, Crew(2))[0].fits
    assert not glue_cards([big], 3.0, Tin(12, 22), degc + 1, Crew(2))[0].fits


def test_the_card_reads_in_order_and_ends_in_cautions():
    card = glue_cards(PLANKS, (2, 3, 4), Tin(14, 20), 22, Crew(2))[0]
    words = card.words("in")
    assert words[0].startswith("Glue-up 1: plank 1, plank 2") and "sq ft" in words[0]
    assert words[-len(CAUTIONS):] == CAUTIONS
    steps = [line for line in words if line[:2] in {f"{k}." for k in range(1, 10)}]
    assert "Try every piece dry" in steps[0] and "drive 20 fastenings" in steps[3] and "weight it" in " ".join(steps)


@pytest.mark.parametrize("sizes", [(1, 5), (0.75, 2.5), (0.5, 1, 4), (3.0, 7.0)])
def test_tins_against_an_integer_program(sizes):
    """Least volume bought, then fewest tins: scipy's milp."""
    for wanted in (0.2, 3.3, 6.0, 11.9, 47.25):
        counts = tins_for(wanted, sizes)
        held = LinearConstraint([sizes], wanted, np.inf)
        whole, bounds = np.ones(len(sizes)), Bounds(0, 100)
        best = milp(np.array(sizes) + 1e-4, constraints=held, integrality=whole, bounds=bounds,
                    options={"mip_rel_gap": 0})  # fmt: skip
        mine = sum(size * count for size, count in counts.items()) + 1e-4 * sum(counts.values())
        assert mine == pytest.approx(best.fun, abs=1e-7)


def test_shopping_adds_one_product_up_and_rounds_it_once():
    litre = lambda low, likely, high, why: Need("epoxy", Band(low, likely, high, "litres", why), (1, 5))  # noqa: E731
    screws = Need("screws", Band(410, 410, 410, "pieces", "beams"), (200,), spare=0.05)
    lines = shopping([litre(1, 2, 3, "scarfs"), screws, litre(2, 2.4, 6, "skins")])
    assert [line.product for line in lines] == ["epoxy", "screws"]
    assert lines[0].with_spare == pytest.approx(4.84) and lines[0].tins == {5: 1} and lines[0].if_high == {1: 4}
    assert lines[1].tins == {200: 3} and not lines[1].if_high
    assert "scarfs; skins" in lines[0].words()


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        (lambda: Layer("a", -1, "x"), "-1 m2: an area is nought or more"),
        (lambda: Layer("a", 1, "x", own=0), "0 m2 to the litre by your tin: it is above 0"),
        (lambda: amount(Layer("a", 1, "glew")), "'glew' is not among the figures for amounts: there are paint"),
        (lambda: amount(Layer("a", 1, "density of mixed epoxy")), "is not among the figures"),
        (lambda: amount(Layer("a", 1, "glass cloth, wetting out")), "the cloth's mass is missing"),
        (lambda: Tin(80, 20, film=20), "a film time of 20 minutes with a pot time of 80"),
        (lambda: Tin(0, 20), "times of 0 minutes"),
        (lambda: Tin(20, 25, second=(30, 35)), "20 minutes at 25 degC and 30 at 35: the warmer one is shorter"),
        (lambda: working_time(Tin(20, 25), 72), "72 degC in the shed"),
        (lambda: Crew(0), "0 people who spread"),
        (lambda: Part("p", 0), "'p': 0 m2 of glue"),
        (lambda: glue_cards([], 3, Tin(20, 25), 20), "no part to glue"),
        (lambda: glue_cards(PLANKS, 0, Tin(20, 25), 20), "a litre that covers 0, 0, 0 m2"),
        (lambda: batches(0, 1, WorkingTime(1, (4, 5), 20, ""), Crew()), "0 litres on 1 m2"),
        (lambda: tins_for(3, ()), "3 in tins of no size"),
        (lambda: tins_for(3, (0.0001,)), "too many to count"),
        (lambda: Need("epoxy", Band(1, 1, 1, "litres", ""), (1,), spare=10), "a spare of 10: it is a part"),
        (lambda: shopping([Need("e", Band(1, 1, 1, "litres", ""), (1,)), Need("e", Band(1, 1, 1, "litres", ""), (2,))]),
         "'e' in tins of different sizes"),
    ],
)  # fmt: skip
def test_errors_say_what_is_wrong(wrong, words):
    with pytest.raises(ValueError, match=words):
        wrong()
