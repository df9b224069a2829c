"""
The fair surface from its definition: splines by scipy, energy by Gauss's rule, the least of it by Clarabel.

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
from deckgeom.fairing.fair import estimate

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


def by_definition(tops, sigma, cutoff, cutoff_across, whole_beam):
    """Fair heights at the readings, and each beam's terms. [mm]"""
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
    trend = free @ np.linalg.lstsq(free, tops.z, rcond=None)[0]
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
    settings = clarabel.DefaultSettings()
    settings.verbose = False
    settings.tol_gap_abs = settings.tol_gap_rel = settings.tol_feas = 1e-10
    cones = [clarabel.ZeroConeT(n), clarabel.NonnegativeConeT(2 * m + 2 * n)]
    matrix, right = sparse.csc_matrix(np.vstack([equal, size, above])), np.concatenate([z, np.zeros(2 * m + 2 * n)])
    found = np.array(clarabel.DefaultSolver(sparse.triu(big).tocsc(), cost, matrix, right, cones, settings).solve().x)
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
