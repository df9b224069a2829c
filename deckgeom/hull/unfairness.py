"""
How much fairer a line of offsets becomes when one of its values is left out.

A fair line is one whose bend changes slowly. Its differences are weighed by how large rounding, the stated accuracy
and the shape of the boat itself can make them; what remains is put down to one value at a time, or to one step.
"""

from __future__ import annotations

from functools import lru_cache
from math import factorial
from typing import NamedTuple

import numpy as np

from deckgeom.hull.differences import difference_weights

GRID = np.exp(np.linspace(np.log(1e-2), np.log(3e4), 14))
"""Trial values of how restless the shape is, in parts of the height of the line: from straight to a knuckle. [-]"""


ROUGHER = np.array([1.0, 3.5, 12.0])
"""The offsets may be this many times rougher than stated. [-]"""

BELIEF = np.log([0.95, 0.035, 0.015])
"""Logarithm of how far that is believed beforehand: a stated accuracy mostly holds. [-]"""


class Evidence(NamedTuple):
    """
    What each value, or each step, has against it.

    Parameters
    ----------
    against : ndarray, shape (n,)
        Natural logarithm of how many times likelier the line is with a slip here than without. [-]
    excess : ndarray, shape (n,)
        Value minus what the others make fair; for a step how far everything from here on is moved. [mm]
    spread : ndarray, shape (n,)
        Standard deviation of that excess if there is no slip. [mm]

    Examples
    --------
    >>> evidence = weigh([0, 1, 2, 3, 4, 5, 6, 7], [0, 1, 4, 19, 16, 25, 36, 49], 0.3, 3)
    >>> int(evidence.against.argmax()), round(float(evidence.excess[3]), 1)
    (3, 10.0)
    """

    against: np.ndarray
    excess: np.ndarray
    spread: np.ndarray


def weigh(x, value, noise, order) -> Evidence:
    """
    Weigh every value of a line as the one slip in it.

    Parameters
    ----------
    x : array_like, shape (n,)
        Places, rising, n > order + 1. [mm]
    value : array_like, shape (n,)
        Heights or half-breadths. [mm]
    noise : float
        Standard deviation of an honest offset from rounding and accuracy, above 0. [mm]
    order : int
        2 looks at the bend of the line, 3 at the change of bend.

    Returns
    -------
    Evidence

    Notes
    -----
    The line is taken as a curve with white noise of unknown strength t in its m-th derivative, plus noise s in each
    value [1]_. Its differences of order m, D v, then have the covariance

    .. math:: t^2 K + s^2 D D'

    with K the products of the B-splines that the divided differences average over. With
    P = D' (t^2 K + s^2 D D')^-1 D, a slip at value i is best put at (P v)_i / P_ii and raises the logarithm of the
    likelihood by (z^2 - 1 - log z^2) / 2 where z^2 = (P v)_i^2 / P_ii exceeds 1, the size of slips being fitted too.
    Both are averaged over t, equal ratios of t weighing the same, and over s, which mostly is what was stated but may
    be larger. x and value are made dimensionless first.

    References
    ----------
    .. [1] G. Wahba, *Spline Models for Observational Data*, SIAM 1990, ch. 1 (from memory).

    Examples
    --------
    >>> bool(weigh([0, 1, 2, 3, 4, 5], [0, 1, 4, 9, 16, 25], 0.3, 3).against.max() < 1)
    True
    """
    rows, seen, spread2, fit = _credible(x, value, noise, order)
    against, excess, spread = _against(rows, seen, spread2, fit)
    return Evidence(against, excess * noise, spread * noise)


def weigh_steps(x, value, noise, order) -> Evidence:
    """
    Weigh every step of a line: all values from one station on moved alike.

    Parameters
    ----------
    x, value : array_like, shape (n,)
        Places, rising, and heights or half-breadths. [mm]
    noise : float
        Standard deviation of an honest offset, above 0. [mm]
    order : int
        Order of the differences, as in `weigh`. [-]

    Returns
    -------
    Evidence
        At the first value of each step; nothing at the first value of the line, where no step can begin.

    Examples
    --------
    >>> evidence = weigh_steps([0, 1, 2, 3, 4, 5, 6, 7], [0, 1, 4, 9, 26, 35, 46, 59], 0.3, 3)
    >>> int(evidence.against.argmax()), round(float(evidence.excess[4]), 1)
    (4, 10.0)
    """
    rows, seen, spread2, fit = _credible(x, value, noise, order)
    steps = np.cumsum(rows[:, ::-1], axis=1)[:, -2::-1]
    against, jump, spread = (np.concatenate(([0.0], part)) for part in _against(steps, seen, spread2, fit))
    return Evidence(against, jump * noise, spread * noise)


def weigh_pairs(x, value, noise, order, firsts):
    """
    Weigh pairs of values as two slips in one line, which may hide each other.

    Parameters
    ----------
    x, value : array_like, shape (n,)
        Places, rising, and heights or half-breadths. [mm]
    noise : float
        Standard deviation of an honest offset, above 0. [mm]
    order : int
        Order of the differences, as in `weigh`. [-]
    firsts : sequence of int
        Values that are one of the pair; the other may be any.

    Returns
    -------
    ndarray, shape (len(firsts), n)
        Natural logarithm of how many times likelier the line is with both slips than without any. [-]

    Examples
    --------
    >>> bent = [0, 1, 4, 19, 26, 25, 36, 49, 64]
    >>> pairs = weigh_pairs(range(9), bent, 0.3, 3, [2, 3])
    >>> [int(k) for k in np.unravel_index(pairs.argmax(), pairs.shape)]
    [1, 4]
    """
    rows, seen, spread2, fit = _credible(x, value, noise, order)
    weight = 1.0 / spread2
    pull, hold = (weight * seen) @ rows, weight @ rows**2
    first_pull, first_hold = pull.T[firsts][:, :, None], hold.T[firsts][:, :, None]
    share = (weight * rows.T[firsts][:, None, :]) @ rows / first_hold
    rest = hold - share**2 * first_hold
    rest = np.where(rest > 1e-9 * hold, rest, np.inf)
    joint = fit[:, None] + _gain((pull - share * first_pull) ** 2 / rest) + _gain(first_pull**2 / first_hold)
    top = joint.max(axis=1)
    most = fit.max()
    plain = np.log(np.exp(fit - most).sum()) + most
    return np.log(np.exp(joint - top[:, None]).sum(axis=1)) + top - plain


def _gain(z2):
    """Gain in the logarithm of the likelihood by a slip whose square over its variance is z2, its size fitted."""
    return np.where(z2 > 1, 0.5 * (z2 - 1 - np.log(np.maximum(z2, 1))), 0.0)


def _credible(x, value, noise, order):
    """Independent differences as seen, their variance for each trial of shape and roughness, and how well each fits."""
    x, value = np.asarray(x, dtype=float), np.asarray(value, dtype=float)
    t = (x - x[0]) / (x[-1] - x[0])
    rows, variance = _independent_differences(t.tobytes(), order)
    height = max(np.ptp(value), 10 * noise) / noise
    seen = rows @ ((value - value[0]) / noise)
    spread2 = ((GRID[:, None] * height) ** 2 * variance)[None] + ROUGHER[:, None, None] ** 2
    fit = BELIEF[:, None] - 0.5 * (np.log(spread2) + seen**2 / spread2).sum(axis=2)
    return rows, seen, spread2.reshape(-1, variance.size), fit.ravel()


def _against(patterns, seen, spread2, fit):
    """Evidence, size and spread of a slip of each pattern (a column), averaged over the trial shapes."""
    weight = 1.0 / spread2
    pull, hold = (weight * seen) @ patterns, weight @ patterns**2
    z2 = pull**2 / hold
    joint = fit[:, None] + _gain(z2)
    top = joint.max(axis=0)
    weight = np.exp(joint - top)
    total = weight.sum(axis=0)
    most = fit.max()
    evidence = np.log(total) + top - np.log(np.exp(fit - most).sum()) - most
    size = (weight * pull / hold).sum(axis=0) / total
    spread = (weight / np.sqrt(hold)).sum(axis=0) / total
    return evidence, size, spread


@lru_cache(maxsize=64)
def _independent_differences(t_bytes, order):
    """
    Combinations of the values that no polynomial moves, of unit noise and independent of each other whatever the
    strength of the shape; and how much of the shape each one sees.
    """
    t = np.frombuffer(t_bytes)
    n = t.size
    weights = difference_weights(t, order)
    size = np.sqrt((weights**2).sum(axis=1))
    weights = weights / size[:, None]
    differences = np.zeros((n - order, n))
    index = np.arange(n - order)
    for k in range(order + 1):
        differences[index, index + k] = weights[:, k]
    splines, area = _splines(t, weights, order)
    q, r = np.linalg.qr(differences.T)
    shape = np.linalg.solve(r.T, splines)
    variance, turn = np.linalg.eigh((shape * area) @ shape.T)
    rows = turn.T @ q.T
    return rows, np.maximum(variance, 0.0)


@lru_cache(maxsize=4)
def _gauss(order):
    return np.polynomial.legendre.leggauss(order)


def _splines(t, weights, order):
    """The B-spline that each difference averages the derivative over, at Gauss's points, and those points' lengths."""
    node, part = _gauss(order)
    h = np.diff(t)
    u = (t[:-1, None] + h[:, None] * (node + 1) / 2).ravel()
    area = (h[:, None] * part / 2).ravel()
    window = np.lib.stride_tricks.sliding_window_view(t, order + 1)
    power = np.maximum(window[:, :, None] - u, 0.0) ** (order - 1) / factorial(order - 1)
    splines = (weights[:, :, None] * power).sum(axis=1)
    inside = (u > window[:, :1]) & (u < window[:, -1:])
    return np.where(inside, splines, 0.0), area
