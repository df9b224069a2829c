"""Sets of beams weighed as a whole: against trying every set, and on gaps that two explanations fit."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

import deckgeom.fairing as fairing
from deckgeom.fairing.which_beams import Choice
from tests.fairing.test_fair import deck, raised


def worth(normal, pull, price, chosen) -> float:
    """What a set explains less what it costs, from the definition."""
    some = list(chosen)
    return float(
        pull[some] @ np.linalg.lstsq(normal[np.ix_(some, some)], pull[some], rcond=None)[0] - price[some].sum()
    )


def test_trying_every_set_finds_hardly_better():
    exact, behind = 0, 0.0
    for seed in range(60):
        rng = np.random.default_rng(seed)
        shapes = rng.normal(size=(30, 9)) + 0.8 * rng.normal(size=(30, 1))
        normal, price = shapes.T @ shapes / 30, np.full(9, 9.0)
        pull = normal @ (rng.choice([0, 0, 0, 6.0], 9) * rng.choice([-1, 1], 9)) + np.linalg.cholesky(
            normal
        ) @ rng.normal(size=9)
        found = Choice(normal, pull, price, np.arange(9)).best()
        every = (set(s) for n in range(10) for s in combinations(range(9), n))
        best = max(every, key=lambda s: worth(normal, pull, price, s))
        exact += set(found) == best
        behind = max(behind, worth(normal, pull, price, best) - worth(normal, pull, price, found))
    assert exact >= 57 and behind < 6.0


def test_a_set_that_stands_is_kept():
    normal, price = np.eye(4), np.full(4, 9.0)
    choice = Choice(normal, np.array([5.0, 0.0, -6.0, 1.0]), price, np.arange(4))
    assert choice.best() == choice.best([0, 2]) == choice.best([1, 3]) == [0, 2]
    assert Choice(np.zeros((0, 0)), np.zeros(0), np.zeros(0), np.zeros(0, int)).best() == []


@pytest.mark.parametrize("pair", [(5, 6), (8, 9), (3, 4)])
def test_two_beams_side_by_side_are_not_taken_for_their_neighbours(pair):
    tops = deck(16, 9, noise=0.5, seed=3)
    found = fairing.estimate(raised(tops, -4.5 * np.isin(tops.beam, pair)), reading_error=0.5)
    verdicts = fairing.judge(found.tops, found)
    assert tuple(b for b in range(16) if verdicts.beam_word[b] in ("plane", "pack")) == pair
    assert all(verdicts.beam_word[b] == "pack" for b in pair)


def test_names_of_the_package():
    assert fairing.PlanChoices().dead_band is None
    assert "estimate" in fairing.__all__
    with pytest.raises(AttributeError, match="no attribute 'guess'"):
        fairing.guess  # noqa: B018
