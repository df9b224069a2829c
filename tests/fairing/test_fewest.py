"""Fewest beams touched: against trying every choice, with its gap, and behind limits."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from scipy.optimize import linprog
from scipy.sparse import vstack

from deckgeom.fairing.choices import PlanChoices
from deckgeom.fairing.fair import estimate
from deckgeom.fairing.fewest import _bends, fewest_beams
from deckgeom.fairing.plan import believed_tops
from deckgeom.fairing.verdict import judge
from tests.fairing.test_fair import deck, raised
from tests.fairing.test_plan import bad_deck


def looked(tops, reading_error=0.5):
    found = estimate(tops, reading_error=reading_error)
    return tops, found, judge(tops, found)


def small_deck():
    """Twelve beams, one high and one low."""
    tops = deck(12, 3, noise=0.3, seed=2)
    return raised(tops, 4.0 * (tops.beam == 4) - 4.0 * (tops.beam == 8))


def can_do(tops, found, verdicts, chosen, dead) -> bool:
    """Whether the beams not chosen lie within the dead band of some surface as fair: a linear program."""
    field, fair = found.field, verdicts.findings.surface
    base = field.free_values(tops.x, tops.y) @ fair.free
    z = believed_tops(tops, found, verdicts)[0] - base
    bends, most = _bends(field, fair.coefficients)
    left = ~np.isin(tops.beam, chosen)
    rows = field.plain.rows[left]
    A = vstack([rows, -rows, bends, -bends])
    b = np.concatenate([z[left] + dead, dead - z[left], most, most])
    return linprog(np.zeros(field.plain.size), A, b, bounds=(None, None)).status == 0


def test_trying_every_choice_finds_no_fewer():
    tops = deck(9, 3, noise=0.2, seed=1)
    out = raised(tops, 5.0 * (tops.beam == 3) - 4.0 * (tops.beam == 6))
    given = looked(out, 0.4)
    found = fewest_beams(*given, PlanChoices(dead_band=0.8))
    assert found.gap == 0 and 1 <= len(found.beams) <= 2
    assert can_do(*given, found.beams, 0.8)
    assert not any(can_do(*given, few, 0.8) for few in combinations(range(9), len(found.beams) - 1))


def test_two_bad_beams_are_the_two_touched():
    found = fewest_beams(*looked(bad_deck()))
    assert found.beams == (8, 13) and found.plan.touched == (8, 13)
    assert found.words == "2 beams at the fewest: 9, 14. Proved: fewer cannot do."


def test_a_fair_deck_needs_none():
    found = fewest_beams(*looked(deck(12, 5, noise=0.3)))
    assert found.beams == () and found.words.startswith("No beam need be touched")


@pytest.mark.parametrize("choices", [{"plane_only": True}, {"pack_only": True}, {"most_off": 3.0}])
def test_choices_are_obeyed(choices):
    tops, found, verdicts = looked(small_deck())
    fewest = fewest_beams(tops, found, verdicts, PlanChoices(**choices))
    assert fewest.possible
    assert set(fewest.plan.touched) <= set(fewest.beams)
    assert np.all(fewest.plan.plane_off <= fewest.plan.choices.limit("most_off", tops))
    assert not (choices.get("plane_only") and fewest.plan.pack_up.any())


def test_fixed_beams_stay_untouched():
    fewest = fewest_beams(*looked(small_deck()), PlanChoices(fixed_beams=("5",)))
    assert fewest.possible and 4 not in fewest.beams


def test_an_impossible_wish_is_said():
    tops = bad_deck(by=9.0, under=9.0)
    found = fewest_beams(*looked(tops), PlanChoices(fixed_beams=tops.beam_names))
    assert not found.possible and found.words.startswith("No choice of beams meets these wishes. beam ")
    assert found.plan.breaches


def test_time_that_runs_out_leaves_a_gap():
    tops = raised(
        deck(30, 5, noise=0.2, seed=4), np.random.default_rng(2).choice([-4.0, 0, 0, 4.0], 30)[deck(30, 5).beam]
    )
    found = fewest_beams(*looked(tops, 0.3), PlanChoices(dead_band=0.4), seconds=0.05)
    assert found.possible and found.seconds < 3.0
    assert found.gap == 0.0 or ("time was up" in found.words and found.at_least < len(found.beams))
