"""
Triangles laid flat with the least strain.
"""

from __future__ import annotations

import numpy as np

__all__ = ["flatten"]

NEAR, MOST_STEPS = 1e-7, 60


def _corners(sides: np.ndarray) -> np.ndarray:
    """Each triangle on its own in a plane from its sides: corner 0 at nought, corner 1 on the first axis. (t, 2, 2)"""
    opposite_0, opposite_1, opposite_2 = sides.T
    along = (opposite_2**2 + opposite_1**2 - opposite_0**2) / (2 * opposite_2)
    up = np.sqrt(np.maximum(opposite_1**2 - along**2, 0.0))
    zero = np.zeros_like(up)
    return np.stack([np.stack([opposite_2, along], -1), np.stack([zero, up], -1)], axis=1)


def _gradients(sides: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Gradient of each corner's share, (t, 3, 2), and area of each triangle, (t,)."""
    frame = _corners(sides)
    area = (frame[:, 0, 0] * frame[:, 1, 1] - frame[:, 0, 1] * frame[:, 1, 0]) / 2
    if np.any(area <= 0):
        raise ValueError(
            f"A triangle with sides {', '.join(f'{s:.3g}' for s in sides[np.argmin(area)])} mm has no area: the panel "
            "is too narrow or the surface too steep there. End it a little short of the point."
        )
    later = np.linalg.inv(frame)
    return np.concatenate([-later.sum(axis=1, keepdims=True), later], axis=1), area


def _strain(flat, triangles, gradient):
    """Deformation (t, 2, 2) and Green's strain (t, 2, 2) from the surface to the flat."""
    move = np.einsum("tia,tib->tab", flat[triangles], gradient)
    return move, (np.einsum("tca,tcb->tab", move, move) - np.eye(2)) / 2


def flatten(triangles, sides, start, fixed: tuple[int, int]) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    r"""
    Lay triangles with given sides flat so that they strain as little as can be.

    Parameters
    ----------
    triangles : (t, 3) int
    sides : (t, 3) array
        Opposite each corner. [mm]
    start : (n, 2) array
        A first guess, such as the plan. [mm]
    fixed : (int, int)
        Nodes that keep the flat shape from drifting and from turning.

    Returns
    -------
    flat : (n, 2) array
        [mm]
    strain : (t, 2, 2) array
        Green's strain of the surface when laid flat: the sheet on the boat has the opposite. [1]
    area : (t,) array
        [mm^2]

    Notes
    -----
    .. math:: \min \sum_t A_t\, \varepsilon_t : \varepsilon_t, \quad \varepsilon = (F^T F - I)/2

    by Newton's method, the first steps without the part that comes from the strain already there (Gauss and Newton).

    References
    ----------
    Green's strain: any text on elasticity; Timoshenko and Goodier, *Theory of Elasticity*.

    Examples
    --------
    >>> flat, strain, area = flatten([[0, 1, 2]], [[5.0, 4.0, 3.0]], [[0, 0], [2.9, 0], [0.1, 4.2]], (0, 1))
    >>> [round(float(value), 9) for value in (flat[2, 1], area[0], abs(strain).max())]
    [4.0, 6.0, 0.0]
    """
    triangles, flat = np.asarray(triangles, int), np.array(start, float)
    gradient, area = _gradients(np.asarray(sides, float))
    free = np.ones(2 * len(flat), bool)
    free[[2 * fixed[0], 2 * fixed[0] + 1, 2 * fixed[1] + _turning_axis(flat, fixed)]] = False
    size, last = float(np.ptp(flat, axis=0).max()), np.inf
    for step_number in range(MOST_STEPS):
        step = _step(flat, triangles, gradient, area, free, step_number > 2 and last < 1e-2 * size)
        flat += step
        last = float(np.max(np.abs(step)))
        if last < NEAR * max(1.0, size / 1e4):
            return flat, _strain(flat, triangles, gradient)[1], area
    raise ValueError(
        f"The panel of {size:.0f} mm does not settle flat: it bends too much both ways. Split it."
    )


def _turning_axis(flat, fixed) -> int:
    """Which of the second node's two ways is across the line from the first: holding it stops the turning."""
    apart = np.abs(flat[fixed[1]] - flat[fixed[0]])
    return 1 if apart[0] >= apart[1] else 0


def _step(flat, triangles, gradient, area, free, whole: bool) -> np.ndarray:
    """One step of Newton's method, or of Gauss and Newton's where not the whole second derivative is taken."""
    from scipy.sparse import csc_array
    from scipy.sparse.linalg import splu

    move, strain = _strain(flat, triangles, gradient)
    # d strain_ab / d p_ic = (g_ia F_cb + g_ib F_ca) / 2
    half = np.einsum("tia,tcb->ticab", gradient, move) / 2
    rate = (half + half.swapaxes(-1, -2)).reshape(len(area), 6, 4)
    force = area[:, None] * np.einsum("tka,ta->tk", rate, strain.reshape(-1, 4))
    local = area[:, None, None] * np.einsum("tka,tla->tkl", rate, rate)
    if whole:
        stress = area[:, None, None] * np.einsum("tia,tab,tjb->tij", gradient, strain, gradient)
        local += np.einsum("tij,cd->ticjd", stress, np.eye(2)).reshape(-1, 6, 6)
    at = (2 * triangles[:, :, None] + np.arange(2)).reshape(-1, 6)
    number = np.cumsum(free) - 1
    row, column = np.broadcast_arrays(at[:, :, None], at[:, None, :])
    keep = free[row] & free[column]
    count = int(free.sum())
    matrix = csc_array((local[keep], (number[row[keep]], number[column[keep]])), shape=(count, count))
    right = np.bincount(at.ravel(), force.ravel(), minlength=free.size)
    step = np.zeros(free.size)
    step[free] = -splu(matrix, permc_spec="MMD_AT_PLUS_A", options={"SymmetricMode": True}).solve(right[free])
    return step.reshape(-1, 2)
