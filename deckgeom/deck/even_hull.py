"""
A hull whose every answer is known, for examples and checks.
"""

from __future__ import annotations

import numpy as np

from ..hull.sheer import Sheer


def even_hull(
    length: float = 6000.0,
    half_breadth: float = 1500.0,
    height: float = 900.0,
    rise: float = 0.0,
    middle: float = 0.0,
) -> Sheer:
    """
    A double-ended deck edge that is a parabola in plan and in profile, the same at both ends and to both sides.

    Parameters
    ----------
    length : float
        From stem to stern, half of it forward of amidships and half aft. [mm]
    half_breadth : float
        Amidships; nought at both ends. [mm]
    height : float
        Of the deck edge amidships. [mm]
    rise : float
        How much higher the edge is at both ends. [mm]
    middle : float
        x amidships. [mm]

    Returns
    -------
    Sheer

    Notes
    -----
    .. math:: b = b_0 (1 - \\xi^2), \\quad z = z_0 + S \\xi^2, \\quad \\xi = 2(x - x_0) / L

    Examples
    --------
    >>> sheer = even_hull(rise=200)
    >>> float(sheer.half_breadth("port", 0.0)), float(sheer.height("port", 3000.0))
    (1500.0, 1100.0)
    """
    end = length / 2

    def plan(x, order: int = 0):
        x = np.asarray(x, dtype=float) - middle
        return _square(x, end, half_breadth, -half_breadth, order)

    def profile(x, order: int = 0):
        x = np.asarray(x, dtype=float) - middle
        return _square(x, end, height, rise, order)

    return Sheer.from_curves(plan, profile, start=middle - end, end=middle + end)


def _square(x, end: float, first: float, second: float, order: int):
    """first + second (x / end)^2, or a derivative of it."""
    if order == 0:
        return first + second * (x / end) ** 2
    if order == 1:
        return 2 * second / end**2 * x
    return np.full_like(x, 2 * second / end**2 if order == 2 else 0.0)
