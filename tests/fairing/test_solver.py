"""The solver against Clarabel, against closed forms, and against being asked the impossible."""

from __future__ import annotations

import numpy as np
import pytest

from deckgeom.fairing.assembly import Band, lay_out
from deckgeom.fairing.basis import Axis
from deckgeom.fairing.beam_tops import FairingError
from deckgeom.fairing.law import TOLERANCE, Law
from deckgeom.fairing.pieces import proof
from deckgeom.fairing.solver import Point, solve
from tests.fairing.referee import clarabel_answer, energy_matrix, objective, random_band, random_law


def one_height(readings: int) -> Band:
    """A single unknown height that every reading measures."""
    flat = lay_out(Axis(0, 1, 1, 0), Axis(0, 1, 1, 0), np.array([0]), np.array([0]))
    return Band(flat, [flat.surface_rows(np.zeros(readings), np.zeros(readings))], [], readings)


def against_clarabel(seeds) -> dict[str, float]:
    """Own cost above Clarabel's, relative, at worst; how many were compared, stalled, given up."""
    worst, compared, stalled, given_up, off = 0.0, 0, 0, 0, 0.0
    for seed in seeds:
        rng = np.random.default_rng(seed)
        band = random_band(rng)
        law = random_law(rng, band)
        answer = solve(band, law)
        stalled += answer.stalled
        other = clarabel_answer(band, law)
        if other is None:
            given_up += 1
            continue
        compared += 1
        ours, theirs = objective(band, law, answer.c), objective(band, law, other)
        worst = max(worst, (ours - theirs) / (1 + abs(theirs)))
        if not law.band.any():
            off = max(off, float(np.abs(band.fit(answer.c) - band.fit(other)).max()))
    return {"worst": worst, "compared": compared, "stalled": stalled, "given_up": given_up, "off": off}


def test_equals_clarabel_on_random_problems_with_every_option():
    found = against_clarabel(range(150))
    assert found["compared"] >= 148 and found["stalled"] == 0
    assert found["worst"] < 1e-7
    assert found["off"] < 1e-2


@pytest.mark.slow
def test_equals_clarabel_on_two_thousand_random_problems():
    found = against_clarabel(range(10_000, 12_000))
    assert found["compared"] >= 1990 and found["stalled"] == 0
    assert found["worst"] < 1e-7


def test_energy_and_rows_make_the_matrix_that_is_factored():
    rng = np.random.default_rng(3)
    for _ in range(20):
        band = random_band(rng)
        weights = rng.uniform(0.1, 2, band.count)
        rows = band.rows.toarray()
        dense = energy_matrix(band).toarray() + rows.T @ (weights[:, None] * rows)
        right = rng.normal(size=band.size)
        got = band.resolve(band.factor(weights), right)
        assert np.allclose(dense @ got, right, atol=1e-6 * np.abs(right).max())
        assert np.allclose(band.bend(right), energy_matrix(band) @ right)
        assert np.allclose(band.pull(weights), band.rows.T @ weights)


def test_one_height_with_slips_is_hubers_mean():
    # closed form: the seven good readings balance three that pull 1.4 each; m = (sum good + 3 * 1.4)/7
    good = np.array([-0.3, 0.1, 0.2, -0.1, 0.0, 0.4, -0.2])
    law = Law(np.concatenate([good, [12, 9, 30]]), *(np.full(10, a) for a in (1.0, 1.4, 1.4, 0.0)))
    answer = solve(one_height(10), law)
    assert answer.c[0] == pytest.approx((good.sum() + 4.2) / 7, abs=1e-12)
    assert answer.force[7:] == pytest.approx([1.4] * 3)
    assert np.all(answer.tangent[7:] == 0)


def test_dead_band_with_prices_is_a_weighted_quantile():
    # stiff springs, price high 1 and low 3: the height at which a quarter of the pull comes from below
    z = np.array([0.0, 1, 2, 3, 4, 5, 6, 7])
    law = Law(z, *(np.full(8, a) for a in (1e5, 1.0, 3.0, 0.0)))
    assert solve(one_height(8), law).c[0] == pytest.approx(1.5, abs=0.5001)
    law = Law(z, *(np.full(8, a) for a in (1e5, 1.0, 1.0, 3.6)))
    assert 3.4 - 1e-6 <= solve(one_height(8), law).c[0] <= 3.6 + 1e-6


def test_contradictory_walls_are_answered_with_the_breach():
    # one says at least 3, the other at most 1; the dearer wall wins and the breach of 2 is on the other
    law = Law([3.0, 1.0], [np.inf] * 2, [1000.0, 0.0], [0.0, 500.0], [0.0, 0.0])
    answer = solve(one_height(2), law)
    assert not answer.stalled
    assert answer.c[0] == pytest.approx(3.0, abs=1e-6)
    assert answer.residual == pytest.approx([0.0, -2.0], abs=1e-6)


def test_fixed_points_are_held_to_a_ten_thousandth():
    rng = np.random.default_rng(8)
    layout = lay_out(Axis(0, 600, 8), Axis(-1200, 600, 4), np.array([0]), np.array([0]))
    x, y = rng.uniform(0, 4800, 90), rng.uniform(-1200, 1200, 90)
    band = Band(
        layout,
        [layout.surface_rows(x, y)],
        [(1.0, (3, 2400.0), (0,)), (1.0, (0,), (3, 2400.0)), (1e-8, (0,), (0,))],
        90,
    )
    spring, price = np.ones(90), np.full(90, 1.4)
    spring[:4], price[:4] = 1e7, np.inf
    z = rng.normal(0, 1, 90)
    z[:4] += 5
    answer = solve(band, Law(z, spring, price, price, np.zeros(90)))
    assert not answer.stalled
    assert np.abs(answer.residual[:4]).max() < 1e-4


def test_costs_are_the_least_over_their_parts():
    # by definition: the cheapest split of a misfit into spring, dead band and priced parts, found by brute force
    law = Law([0.0], [2.0], [1.0], [3.0], [0.7])
    for r in (-4.0, -1.2, 0.3, 0.9, 5.0):
        e = np.linspace(-6, 6, 24_001)
        left = r - e - np.clip(r - e, -0.7, 0.7)
        least = (0.5 * 2.0 * e**2 + np.maximum(left, 0) * 1.0 + np.maximum(-left, 0) * 3.0).min()
        assert law.cost(np.array([r]))[0] == pytest.approx(least, abs=1e-3)
        force = np.linspace(-3, 1, 4001)
        largest = (r * force - law.conjugate(force)).max()  # the conjugate's conjugate is the cost again
        assert law.cost(np.array([r]))[0] == pytest.approx(largest, abs=1e-3)


def test_a_solve_cut_short_says_so():
    rng = np.random.default_rng(0)
    law = Law(rng.normal(0, 1, 40) * 9, *(np.full(40, a) for a in (20.0, 1.0, 2.0, 1.0)))
    answer = solve(one_height(40), law, limit=1)
    assert answer.stalled
    assert "stalled" in answer.words and "Do not work from it" in answer.words


def test_the_proof_sees_a_wrong_answer():
    law = Law(np.array([0.0, 1.0, 5.0]), *(np.full(3, a) for a in (1.0, 1.4, 1.4, 0.0)))
    band = one_height(3)
    point, right = Point(band, law), solve(band, law)
    stationarity, gap, _ = proof(point, right.c + 0.01, right.force)
    assert max(right.stationarity, right.gap) < 1e-12
    assert max(stationarity, gap) > TOLERANCE


def test_nothing_depends_on_how_many_threads_there_are():
    rng = np.random.default_rng(5)
    band = random_band(rng)
    law = random_law(rng, band)
    from threadpoolctl import threadpool_limits

    with threadpool_limits(2):
        two = solve(band, law)
    with threadpool_limits(1):
        one = solve(band, law)
    assert np.array_equal(one.c, two.c)


@pytest.mark.parametrize(
    ("values", "words"),
    [
        (([np.nan], [1.0], [1.0], [1.0], [0.0]), "bands are numbers"),
        (([0.0], [1.0], [-1.0], [1.0], [0.0]), "must not be negative"),
        (([0.0], [0.0], [1.0], [1.0], [0.0]), "springs must be positive"),
        (([0.0], [np.inf], [np.inf], [1.0], [0.0]), "finite where the price is not"),
        (([0.0], [1.0], [1.0], [1.0], [-2.0]), "limits given the wrong way round"),
    ],
)
def test_laws_that_cannot_be_are_refused(values, words):
    with pytest.raises(FairingError, match=words):
        Law(*values)
