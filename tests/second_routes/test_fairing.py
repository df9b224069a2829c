"""
Fair surface and planned work from their definitions: splines by scipy, energy by Gauss's rule, the least by Clarabel.

Nothing of the package's splines, matrices or solver goes in; beams stand unevenly, are read at odd places, one on one
side only, one twice.
"""

from __future__ import annotations

import math

import clarabel
import numpy as np
import pytest
from scipy import sparse
from scipy.interpolate import BSpline

from deckgeom.fairing.beam_tops import BeamTops
from deckgeom.fairing.choices import PlanChoices
from deckgeom.fairing.fair import estimate
from deckgeom.fairing.plan import plan_work

HUBER, BEAM_PRICE, RIDGE = 1.4, 1.5, 1e-8


class Spline:
    """Cubic B-splines on even knots, four to a cut-off length, and the cut-off that their stiffness stands for."""

    def __init__(self, places, cutoff) -> None:
        low, span = places.min(), np.ptp(places)
        self.cells = max(1, math.ceil(span / cutoff * 4 - 1e-9))
        self.cell, self.cutoff = span / self.cells, cutoff
        self.knots = low + self.cell * np.arange(-3, self.cells + 4)
        self.size = self.cells + 3

    def at(self, places, order=0):
        """One row a place."""
        basis = BSpline(self.knots, np.eye(self.size), 3, extrapolate=True)
        return (basis.derivative(order) if order else basis)(np.asarray(places, float))

    def mean_product(self, order, cutoff=1.0):
        """Mean over the axis of products of derivatives, by five Gauss points a cell. [1]"""
        node, weight = np.polynomial.legendre.leggauss(5)
        left = self.knots[3 : 3 + self.cells]
        places = (left[:, None] + self.cell * (node + 1) / 2).ravel()
        values = self.at(places, order)
        if order == 3:
            cutoff *= 1 - 0.55 * min(self.cell / cutoff, 0.5) ** 2
        mean = values.T @ (np.tile(weight / 2, self.cells)[:, None] / self.cells * values)
        return (cutoff / (2 * np.pi)) ** (2 * order) * mean


def readings(seed):
    """Seven uneven beams with a slip, a beam that stands high, one on one side, one reading repeated."""
    rng = np.random.default_rng(seed)
    x = np.array([300.0, 800, 1150, 1900, 2300, 3100, 3600, 4300])
    half = np.array([700.0, 950, 1080, 1240, 1270, 1260, 1210, 1080])
    beam, y = [], []
    for k, b in enumerate(half):
        own = np.sort(rng.uniform(-0.97, 0.97, 6)) * b
        own = np.abs(own) if k == 4 else own
        beam += [k] * own.size
        y += own.tolist()
    beam, y = np.append(beam, 2), np.append(y, y[13])
    b = half[beam]
    z = 900 + 2e-5 * (x[beam] - 2500) ** 2 + 80 * (1 - (y / b) ** 2) + rng.normal(0, 0.8, len(y))
    z[10] += 14
    z[beam == 5] += 5
    return BeamTops(beam, tuple("abcdefgh"), x[beam], y, b, z), x


def surface(tops, cutoff, cutoff_across):
    """Rows of the splines at the readings, their energy, and what any datum could do to the heights. [mm]"""
    widest, eta, n = tops.half_breadth.max(), tops.y / tops.half_breadth, len(tops.y)
    along, across = Spline(tops.x, cutoff), Spline(eta * widest, cutoff_across)
    rows = np.einsum("ni,nj->nij", along.at(tops.x), across.at(eta * widest)).reshape(n, -1)
    energy = n * (
        np.kron(along.mean_product(3, cutoff), across.mean_product(0))
        + np.kron(along.mean_product(0), across.mean_product(3, cutoff_across))
        + np.kron(along.mean_product(1, cutoff), across.mean_product(3, 2 * cutoff_across))
        + RIDGE * np.kron(along.mean_product(0), across.mean_product(0))
    )
    u, v = (tops.x - tops.x.mean()) / 1000, tops.y / 1000
    free = np.stack([u**a * v**b for a in range(3) for b in range(3)], axis=1)
    return rows, energy, free @ np.linalg.lstsq(free, tops.z, rcond=None)[0]


def least(quadratic, cost, equal, right, below, bound):
    """Clarabel's least of x'Qx/2 + cost x with equal x = right, below x <= bound."""
    settings = clarabel.DefaultSettings()
    settings.verbose = False
    settings.tol_gap_abs = settings.tol_gap_rel = settings.tol_feas = 1e-10
    cones = [clarabel.ZeroConeT(len(right)), clarabel.NonnegativeConeT(len(bound))]
    matrix, sides = sparse.csc_matrix(np.vstack([equal, below])), np.concatenate([right, bound])
    half = sparse.triu(sparse.csc_matrix(quadratic)).tocsc()
    return np.array(clarabel.DefaultSolver(half, cost, matrix, sides, cones, settings).solve().x)


def by_definition(tops, sigma, cutoff, cutoff_across, whole_beam):
    """Fair heights at the readings, and each beam's terms. [mm]"""
    rows, energy, trend = surface(tops, cutoff, cutoff_across)
    eta, n = tops.y / tops.half_breadth, len(tops.y)
    z = (tops.z - trend) / sigma
    beams = len(tops.beam_names) if whole_beam else 0
    shapes = np.stack([np.ones(n), eta, 1 - eta**2], axis=1)
    own = np.zeros((n, 3 * beams))
    for k in range(beams):
        own[np.ix_(tops.beam == k, [3 * k, 3 * k + 1, 3 * k + 2])] = shapes[tops.beam == k]
    price = BEAM_PRICE * np.linalg.norm(own, axis=0)
    # unknowns: c, terms, their sizes, misfits within the spring, beyond it up and down
    k, m = rows.shape[1], own.shape[1]
    big = sparse.block_diag([energy, sparse.csc_matrix((2 * m, 2 * m)), sparse.identity(n),
                             sparse.csc_matrix((2 * n, 2 * n))]).tocsc()  # fmt: skip
    cost = np.concatenate([np.zeros(k + m), price, np.zeros(n), np.full(2 * n, HUBER)])
    eye, own_eye = np.eye(n), np.eye(m)
    equal = np.hstack([rows, own, np.zeros((n, m)), eye, eye, -eye])
    size = np.zeros((2 * m, len(cost)))
    size[:m, k : k + 2 * m] = np.hstack([own_eye, -own_eye])
    size[m:, k : k + 2 * m] = np.hstack([-own_eye, -own_eye])
    above = np.zeros((2 * n, len(cost)))
    above[:, -2 * n :] = -np.eye(2 * n)
    found = least(big, cost, equal, z, np.vstack([size, above]), np.zeros(2 * m + 2 * n))
    return trend + sigma * (rows @ found[:k]), sigma * found[k : k + m].reshape(-1, 3)


@pytest.mark.parametrize("whole_beam", [True, False])
@pytest.mark.parametrize("seed", [1, 2, 3])
def test_fair_surface_and_beams_out_as_a_whole(seed, whole_beam):
    tops, _ = readings(seed)
    ours = estimate(tops, cutoff=2900.0, reading_error=0.8, cutoff_across=2100.0, whole_beam=whole_beam)
    fair, terms = by_definition(tops, 0.8, 2900.0, 2100.0, whole_beam)
    assert ours.fair == pytest.approx(fair, abs=2e-3)
    if whole_beam:
        assert ours.beam_terms == pytest.approx(terms, abs=5e-3)
        assert np.abs(terms[5]).max() > 1


PRICE, WALL, GENTLE_MOST = 0.4, 10.0, 0.5


def work_by_definition(tops, used, sigma, cutoffs, dead, most_off, prices, plane_only):
    """Planned heights: energy, the price of work outside the dead band, a gentle pull, a wall where no more may go."""
    rows, energy, trend = surface(tops, *cutoffs)
    rows, z, dead, most = rows[used], (tops.z - trend)[used] / sigma, dead / sigma, most_off / sigma
    n, k = rows.shape
    dear = WALL * max(prices)
    high, low = PRICE * prices[0], PRICE * (dear if plane_only else prices[1])
    gentle = GENTLE_MOST * PRICE * min(prices)
    # unknowns: c; the gentle spring's stretch, and beyond it up and down; work off, work up, over the wall
    cost = np.concatenate([np.zeros(k + n), *(np.full(n, v) for v in (gentle, gentle, high, low, PRICE * dear))])
    big = np.zeros((len(cost),) * 2)
    big[:k, :k], big[k : k + n, k : k + n] = energy, np.eye(n)
    eye, none = np.eye(n), np.zeros((n, n))
    equal = np.hstack([rows, eye, eye, -eye, none, none, none])
    below = np.vstack([
        np.hstack([-rows, none, none, none, -eye, none, none]),  # z - fit - dead <= off
        np.hstack([rows, none, none, none, none, -eye, none]),  # fit - z - dead <= up
        np.hstack([-rows, none, none, none, none, none, -eye]),  # z - fit - dead - most <= over
        np.hstack([np.zeros((5 * n, k + n)), -np.eye(5 * n)]),
    ])  # fmt: skip
    bound = np.concatenate([dead - z, dead + z, dead + most - z, np.zeros(5 * n)])
    found = least(big, cost, equal, z, below, bound)
    return trend + sigma * (surface(tops, *cutoffs)[0] @ found[:k])


@pytest.mark.parametrize("plane_only", [False, True])
@pytest.mark.parametrize("seed", [4, 5])
def test_planned_work(seed, plane_only):
    """Prices that differ, a limit on what comes off, a dead band; from the readings as they are."""
    tops, _ = readings(seed)
    cutoffs, sigma, dead, most = (2900.0, 2100.0), 0.8, 1.2, 2.5
    found = estimate(tops, cutoff=cutoffs[0], reading_error=sigma, cutoff_across=cutoffs[1])
    choices = PlanChoices(plane_only=plane_only, most_off=most, price_off=1.5, price_up=1.0, dead_band=dead)
    plan = plan_work(tops, found, None, choices)
    fair, _ = by_definition(tops, sigma, *cutoffs, True)
    used = np.abs(tops.z - fair) <= 6
    planned = work_by_definition(tops, used, sigma, cutoffs, dead, most, (1.5, 1.0), plane_only)
    assert plan.planned == pytest.approx(planned, abs=3e-3)
    stands = np.where(used, tops.z - planned, 0.0)
    off = np.where(stands > dead, np.minimum(stands, most), 0.0)
    up = np.where((stands < -dead) & (not plane_only), -stands, 0.0)
    clear = np.abs(np.abs(stands) - dead) > 0.01
    assert plan.plane_off[clear] == pytest.approx(off[clear], abs=3e-3)
    assert plan.pack_up[clear] == pytest.approx(up[clear], abs=3e-3)
    assert off.max() > dead and not used.all()
    # the least work brings many a top to the edge of its dead band: left, whatever the last digit says
    edge = np.abs(np.abs(tops.z - plan.planned) - dead) < 1e-4
    assert edge.sum() >= 3 and not np.any(plan.plane_off[edge]) and not np.any(plan.pack_up[edge])
