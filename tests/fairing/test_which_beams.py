"""Sets of beams weighed as a whole: against trying every set, and on gaps that two explanations fit."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from scipy.special import comb
from scipy.stats import betabinom, multivariate_normal

import deckgeom.fairing as fairing
from deckgeom.fairing.which_beams import LIKELY_SIZE, ODDS, Choice
from tests.fairing.test_fair import deck, raised


def likelier(normal, pull, chosen, of) -> float:
    """
    Twice the log of how much likelier the pulls are with a set out than with none, odds of the set's size in.

    From the definition: the pulls are normal with the smoothing's covariance, and those that are out add their own.
    """
    some = list(chosen)
    effect = normal[:, some] * LIKELY_SIZE
    far = multivariate_normal(np.zeros(len(pull)), normal + effect @ effect.T).logpdf(pull)
    near = multivariate_normal(np.zeros(len(pull)), normal).logpdf(pull)
    # odds of k named ones out of n, the share being beta distributed: the chance of k, shared among their sets
    odds = [betabinom(of, *ODDS).logpmf(k) - np.log(comb(of, k)) for k in (len(some), 0)]
    return 2.0 * float(far - near + odds[0] - odds[1])


def problem(seed, n=9):
    rng = np.random.default_rng(seed)
    shapes = rng.normal(size=(30, n)) + 0.8 * rng.normal(size=(30, 1))
    normal = shapes.T @ shapes / 30
    pull = normal @ (rng.choice([0, 0, 0, 6.0], n) * rng.choice([-1, 1], n))
    return normal, pull + np.linalg.cholesky(normal) @ rng.normal(size=n)


def test_a_set_is_as_likely_as_the_normal_law_says():
    normal, pull = problem(3)
    choice = Choice(normal, pull, np.arange(9))
    for chosen in ([], [4], [0, 5], [1, 2, 8]):
        gains, value = choice._gains(chosen)
        assert value == pytest.approx(likelier(normal, pull, chosen, 9), abs=1e-6)
        assert value + gains[7] == pytest.approx(likelier(normal, pull, [*chosen, 7], 9), abs=1e-6)


def test_free_shapes_are_as_if_they_might_be_of_any_size():
    # two of the columns free: the same as readings that those two cannot be seen in
    normal, pull = problem(5, 11)
    plain, seen = np.linalg.inv(normal)[:9, :9], np.linalg.solve(normal, pull)
    without = np.linalg.inv(plain), np.linalg.solve(plain, seen[:9])
    choice = Choice(normal, pull, np.arange(9), free=2)
    for chosen in ([3], [2, 6]):
        assert choice._gains(chosen)[1] == pytest.approx(likelier(*without, chosen, 9), abs=1e-3)
    # how much there is of the free ones: the mean of the normal law with a variance so great that it says nothing
    variance = np.array([LIKELY_SIZE**2] * 1 + [1e8] * 2)
    some = [3, 9, 10]
    mean = np.linalg.solve(normal[np.ix_(some, some)] + np.diag(1 / variance), pull[some])
    assert choice.amounts([3]) == pytest.approx(mean[1:], abs=1e-3)


def test_trying_every_set_finds_hardly_better():
    exact, behind = 0, 0.0
    for seed in range(60):
        normal, pull = problem(seed)
        choice = Choice(normal, pull, np.arange(9))
        found = choice.best()
        best = max((set(s) for n in range(10) for s in combinations(range(9), n)), key=lambda s: choice._gains([*s])[1])
        exact += set(found) == best
        behind = max(behind, likelier(normal, pull, best, 9) - likelier(normal, pull, found, 9))
    assert exact >= 57 and behind < 6.0


def test_a_set_that_stands_is_kept():
    choice = Choice(9 * np.eye(4), np.array([15.0, 0.0, -18.0, 3.0]), np.arange(4))
    assert choice.best() == choice.best([0, 2]) == choice.best([1, 3]) == [0, 2]
    assert Choice(np.zeros((0, 0)), np.zeros(0), np.zeros(0, int)).best() == []


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
