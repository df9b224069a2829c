"""
Parallel surfaces: the tops of the beams lie the thickness of the deck below its top, square to it.

A point (x, y) of the lower surface belongs to a *foot* on the upper one, from which the normal runs down through it.
Slopes at both are the same. Positive depth is downward.
"""

from __future__ import annotations

import numpy as np

#: The foot is found when the normal from it passes this close to the point. [mm] For a height the rest is made good
#: along the slope, and a wider miss will do.
NEAR_ENOUGH, NEAR_FOR_HEIGHT = 1e-7, 1e-4

#: Evaluations that settle all but a stem that comes to a point; and the most that a point there gets on top.
USUAL_STEPS, MOST_STEPS = 3, 8


def foot_of(surface, x, y, depth: float, order: int = 1, near: float = NEAR_ENOUGH) -> tuple:
    """
    Find, by Newton's method, the foot on a surface of points on its parallel.

    Parameters
    ----------
    surface : callable
        (x, y, order) to (z, z_x, z_y[, z_xx, z_xy, z_yy]).
    x, y : ndarray, broadcast against each other
        Plan position of the points on the parallel surface. [mm]
    depth : float
        How far that surface lies below, square off. [mm]
    order : int
        1 or 2: derivatives wanted at the foot.
    near : float
        How far the normal may miss the point. [mm]

    Returns
    -------
    values : tuple of ndarray
        What `surface` gives at the foot.
    miss : tuple of ndarray
        What is left in x and y from where the normal arrives to the point. [mm]

    Notes
    -----
    The normal through the foot (X, Y) arrives at X + depth p / w, Y + depth q / w with p, q the slopes and
    w = sqrt(1 + p^2 + q^2). Where the surface is rounder than the depth (a stem that comes to a point) no foot exists:
    the search ends within a depth of the point and the nearest found serves.

    Examples
    --------
    >>> slope = lambda x, y, order: [0.75 * x, 0.75 + 0 * x, 0 * x, 0 * x, 0 * x, 0 * x][: (1, 3, 6)[order]]
    >>> values, miss = foot_of(slope, np.array([12.0]), np.array([0.0]), 20.0)
    >>> values[0].round(9).tolist()
    [0.0]
    """
    x, y = np.broadcast_arrays(x, y)
    values, miss, bend, foot = _steps(surface, x, y, depth, order, near, USUAL_STEPS)
    left = _far(miss) > near
    if np.any(left):
        values, miss = [np.broadcast_to(v, x.shape).copy() for v in values], [v.copy() for v in miss]
        hard = _steps(surface, x[left], y[left], depth, order, near, MOST_STEPS, [f[left] for f in foot])
        for whole, part in zip((*values, *miss), (*hard[0], *hard[1]), strict=True):
            whole[left] = part
    return tuple(values), tuple(miss)


def _steps(surface, x, y, depth: float, order: int, near: float, most: int, foot=None) -> tuple:
    """Newton steps, the bend taken once, until every normal arrives or the steps are used up."""
    foot_x, foot_y = foot or (x, y)
    bend = None
    for step in range(most):
        values = surface(foot_x, foot_y, 2 if bend is None else order)
        p, q = values[1], values[2]
        w = np.sqrt(1 + p * p + q * q)
        miss = x - foot_x - depth * p / w, y - foot_y - depth * q / w
        if step == most - 1 or np.max(_far(miss), initial=0.0) <= near:
            break
        if bend is None:
            bend = _jacobian(values, w, depth)
        move_x, move_y = _solve(bend, *miss)
        foot_x = x + np.clip(foot_x + move_x - x, -abs(depth), abs(depth))
        foot_y = y + np.clip(foot_y + move_y - y, -abs(depth), abs(depth))
    return values[: (1, 3, 6)[order]], miss, bend, (foot_x, foot_y)


def _far(miss):
    return np.maximum(np.abs(miss[0]), np.abs(miss[1]))


def offset_height(values: tuple, miss: tuple, depth: float):
    """
    Height of the parallel surface from its foot. [mm]

    The miss that is left is made good along the slope, so that its error is of second order.

    Parameters
    ----------
    values, miss : tuple of ndarray
        From `foot_of`. [mm]
    depth : float
        How far the surface lies below, square off. [mm]

    Examples
    --------
    >>> level = np.array([100.0]), np.array([0.0]), np.array([0.0])
    >>> offset_height(level, (0.0, 0.0), 12.0).tolist()
    [88.0]
    """
    z, p, q = values[:3]
    return z - depth / np.sqrt(1 + p * p + q * q) + p * miss[0] + q * miss[1]


def offset_second(values: tuple, depth: float) -> tuple:
    """
    Second derivatives of the height of the parallel surface from those at its foot. [1/mm]

    Parameters
    ----------
    values : tuple of ndarray
        From `foot_of`, order 2. [mm], [1], [1/mm]
    depth : float
        How far the surface lies below, square off. [mm]

    Notes
    -----
    The slopes are those of the foot; the chain rule through the map from foot to point gives H J^-1.

    Examples
    --------
    >>> crown_of_a_cylinder = [np.array([v]) for v in (0.0, 0.0, 0.0, 0.0, 0.0, -1 / 1000)]
    >>> round(float(1 / offset_second(crown_of_a_cylinder, 12.0)[2][0]), 9)
    -988.0
    """
    _, p, q, z_xx, z_xy, z_yy = values
    if not depth:
        return z_xx, z_xy, z_yy
    (a, b, c, d) = _jacobian(values, np.sqrt(1 + p * p + q * q), depth)
    det = a * d - b * c
    return (z_xx * d - z_xy * c) / det, (z_xy * a - z_xx * b) / det, (z_yy * a - z_xy * b) / det


def _jacobian(values: tuple, w, depth: float) -> tuple:
    """Of the map from foot to point in plan: (x_x, x_y, y_x, y_y)."""
    _, p, q, z_xx, z_xy, z_yy = values
    f = depth / w**3
    pp, pq, qq = 1 + p * p, p * q, 1 + q * q
    return (
        1 + f * (qq * z_xx - pq * z_xy),
        f * (qq * z_xy - pq * z_yy),
        f * (pp * z_xy - pq * z_xx),
        1 + f * (pp * z_yy - pq * z_xy),
    )


def _solve(bend: tuple, x, y) -> tuple:
    a, b, c, d = bend
    det = a * d - b * c
    det = np.where(np.abs(det) < 0.1, 1.0, det)
    return (d * x - b * y) / det, (a * y - c * x) / det
