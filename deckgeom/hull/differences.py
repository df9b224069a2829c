"""
Differences of offsets for stations at any spacing: the oldest test of a table.
"""

from __future__ import annotations

import numpy as np

__all__ = ["difference_weights", "divided_differences", "rounding_bound"]


def divided_differences(x, value, order):
    """
    Newton's divided differences for stations at any spacing.

    Parameters
    ----------
    x : array_like, shape (n,)
        Where the stations stand, all different. [mm]
    value : array_like, shape (..., n)
        Heights or half-breadths. [mm]
    order : int
        0 to n - 1.

    Returns
    -------
    ndarray, shape (..., n - order)
        For stations spaced h apart, the order-th difference over order! h^order [1]_. [mm^(1 - order)]

    References
    ----------
    .. [1] F. B. Hildebrand, *Introduction to Numerical Analysis*, ch. 2 (from memory).

    Examples
    --------
    >>> divided_differences([0, 1, 3, 4], [0, 1, 9, 16], 2).tolist()
    [1.0, 1.0]
    """
    x, difference = np.asarray(x, dtype=float), np.asarray(value, dtype=float)
    if not 0 <= order < x.size:
        raise ValueError(f"order {order} of differences needs {order + 1} stations at least; there are {x.size}.")
    for k in range(1, order + 1):
        difference = np.diff(difference) / (x[k:] - x[:-k])
    return difference


def rounding_bound(x, quantum, order):
    """
    The largest divided difference that rounding to the nearest quantum can make by itself.

    Parameters
    ----------
    x : array_like, shape (n,)
        Where the stations stand, all different. [mm]
    quantum : float
        What the table is rounded to, e.g. an eighth of an inch: 3.175. [mm]
    order : int
        0 to n - 1.

    Returns
    -------
    ndarray, shape (n - order,)
        Bound on the size of each divided difference. [mm^(1 - order)]

    Notes
    -----
    Each value is off by q/2 at most, so the difference is off by at most

    .. math:: (q/2) \\sum_j \\Bigl|\\prod_{k \\ne j} (x_j - x_k)\\Bigr|^{-1}

    the products being the weights of Lagrange's form of the divided difference. For stations spaced 1 apart that is
    2q, 4q, 8q for the plain 2nd, 3rd, 4th differences.

    Examples
    --------
    >>> (rounding_bound([0, 1, 2, 3, 4], 1.0, 4) * 24).round(9).tolist()
    [8.0]
    """
    return quantum / 2 * np.abs(difference_weights(x, order)).sum(axis=1)


def difference_weights(x, order):
    """
    Weights of the values in each divided difference, one row a difference over its own stations.

    Parameters
    ----------
    x : array_like, shape (n,)
        Where the stations stand, all different. [mm]
    order : int
        0 to n - 1.

    Returns
    -------
    ndarray, shape (n - order, order + 1)
        Row i belongs to stations i to i + order. [mm^-order]

    Examples
    --------
    >>> difference_weights([0, 1, 2], 2).tolist()
    [[0.5, -1.0, 0.5]]
    """
    x = np.asarray(x, dtype=float)
    if not 0 <= order < x.size:
        raise ValueError(f"order {order} of differences needs {order + 1} stations at least; there are {x.size}.")
    window = np.lib.stride_tricks.sliding_window_view(x, order + 1)
    gap = window[:, :, None] - window[:, None, :]
    gap[:, np.arange(order + 1), np.arange(order + 1)] = 1.0
    return 1.0 / gap.prod(axis=2)
