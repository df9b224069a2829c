"""
The quarter-circle construction of a camber curve.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .mould import check_mould, height_above_ends


@dataclass(frozen=True)
class QuarterCircle:
    """
    A beam top laid out with the quarter circle: slant lengths carried up as ordinates.

    A quarter circle is struck with the camber as radius; its arc and its base are divided into the same number of
    equal parts and joined. The *slanting* lengths of the joins, not their vertical heights, are the heights of the
    beam.

    Parameters
    ----------
    half_breadth : float
        Centreline to beam end, square off. [mm]
    rise : float
        Crown above the beam ends. [mm]

    Notes
    -----
    .. math:: h(u) = c \\sqrt{1 - 2u \\sin(\\pi u/2) + u^2} = c v \\sqrt{1 + u (\\pi/2)^2 s^2}

    with v = 1 - u and s = sin(pi v/4) / (pi v/4). The second form has no root of nought at the edge. The construction
    is common practice; the closed form is the distance between the two points that are joined.

    Examples
    --------
    >>> QuarterCircle(half_breadth=1200, rise=100).height([300, 600, 900]).round(3).tolist()
    [93.336, 73.681, 42.033]
    """

    half_breadth: float
    rise: float
    name = "quarter-circle"
    words = "curve laid out with the quarter circle (slant lengths)"

    def __post_init__(self):
        check_mould(self.half_breadth, self.rise)

    def drop(self, y, order: int = 0):
        """
        Drop below the crown at y [mm], or its first [1] or second [1/mm] derivative.

        Examples
        --------
        >>> round(float(QuarterCircle(1200, 100).drop(600)), 3)
        26.319
        """
        y = np.asarray(y, dtype=float)
        p = self.partials(np.abs(y) / self.half_breadth, 0.0, order)
        if order == 0:
            return self.rise * (1 - p[0])
        if order == 1:
            return -self.rise * np.sign(y) * p[1] / self.half_breadth
        return -self.rise * p[3] / self.half_breadth**2

    def height(self, y):
        """
        Height above the beam ends at y. [mm]

        Examples
        --------
        >>> float(QuarterCircle(1200, 100).height(1200))
        0.0
        """
        return height_above_ends(self, y)

    @staticmethod
    def fraction(u, k=0.0):
        """
        Part of the camber left at u = y / half-breadth, whatever the camber. [1]

        Examples
        --------
        >>> round(float(QuarterCircle.fraction(0.5)), 5)
        0.73681
        """
        return QuarterCircle.partials(u, 0.0, 0)[0]

    @staticmethod
    def partials(u, m=0.0, order: int = 2) -> tuple:
        """
        The fraction and its derivatives as `Circle.partials` gives them; those in m are nought.

        Examples
        --------
        >>> [round(float(v), 5) for v in QuarterCircle.partials(0.5)]
        [0.73681, -1.03482, 0.0, -1.92713, 0.0, 0.0]
        """
        u = np.asarray(u, dtype=float)
        v = 1 - u
        s, s_v, s_vv = _sinc(np.pi / 4 * v, order)
        a = np.pi**2 / 4
        g = 1 + a * u * s * s
        root = np.sqrt(g)
        if order == 0:
            return (v * root,)
        s_u = -np.pi / 4 * s_v
        g_u = a * (s * s + 2 * u * s * s_u)
        p_u = -root + v * g_u / (2 * root)
        if order == 1:
            return v * root, p_u, 0.0
        s_uu = (np.pi / 4) ** 2 * s_vv
        g_uu = a * (4 * s * s_u + 2 * u * (s_u * s_u + s * s_uu))
        p_uu = -g_u / root + v * (g_uu / (2 * root) - g_u * g_u / (4 * g * root))
        return v * root, p_u, 0.0, p_uu, 0.0, 0.0


def _sinc(t, order: int) -> tuple:
    """sin(t)/t with its first two derivatives; the series near nought (error under 1e-17 for t below .1)."""
    t = np.asarray(t, dtype=float)
    small = np.abs(t) < 0.1
    w = np.where(small, 1.0, t)
    sin, cos, t2 = np.sin(w), np.cos(w), t * t
    s0 = np.where(small, 1 - t2 / 6 * (1 - t2 / 20 * (1 - t2 / 42 * (1 - t2 / 72))), sin / w)
    if order == 0:
        return s0, None, None
    s1 = np.where(small, -t / 3 * (1 - t2 / 10 * (1 - t2 / 28 * (1 - t2 / 54))), (cos - sin / w) / w)
    if order == 1:
        return s0, s1, None
    s2 = np.where(
        small, -1 / 3 + t2 / 10 * (1 - t2 * 5 / 84 * (1 - t2 * 7 / 270)), -sin / w - 2 * (cos - sin / w) / w**2
    )
    return s0, s1, s2
