"""
The line of a batten bent flat on the deck.

A spiling batten that is laid on the deck and not forced sideways (no *edge-set*) takes a geodesic: the line that is
straight in the surface. Where the deck bends one way only, it unrolls to a straight line; where it bends both ways it
is still the line from which a plank's edge is spiled, because a straight plank of small width lies so.

Seen from above the line is not straight. It is found as its distance off the straight line in plan, at nodes along it,
by Newton's method on the equation of the geodesic.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from deckgeom.deck._closed import closed

__all__ = ["BattenLine", "geodesic"]

#: Nodes along a batten, less one.
NODES = 32


@dataclass(frozen=True, eq=False)
class BattenLine:
    """
    A batten without edge-set, lying on the deck.

    Parameters
    ----------
    x, y, z : (n,) float
        Nodes along the batten; closer together towards the ends. [mm]
    along : (n,) float
        Distance along the batten to each node. [mm]
    off_plan_line : (n,) float
        How far each node lies, in plan, off the straight line between the ends (or off the line set out in the
        starting direction): positive to the left of somebody walking along it, which is starboard when going aft. [mm]

    Examples
    --------
    >>> import math
    >>> line = BattenLine([0, 3], [0, 4], [0, 0], [0, 5], [0, 0])
    >>> line.length, round(line.plan_angle_deg, 2)
    (5.0, 53.13)
    """

    x: np.ndarray
    y: np.ndarray
    z: np.ndarray
    along: np.ndarray
    off_plan_line: np.ndarray

    def __post_init__(self) -> None:
        """Copy and close the arrays."""
        for name in ("x", "y", "z", "along", "off_plan_line"):
            object.__setattr__(self, name, closed(getattr(self, name)))

    @property
    def length(self) -> float:
        """Length of the batten along the deck. [mm]"""
        return float(self.along[-1])

    @property
    def plan_angle_deg(self) -> float:
        """Angle in plan of the straight line between its ends: 0 straight aft, 90 square off to starboard. [deg]"""
        return float(np.degrees(np.arctan2(self.y[-1] - self.y[0], self.x[-1] - self.x[0])))

    @property
    def most_off_plan_line(self) -> float:
        """
        How far a batten sprung edgeways to the straight line in plan would differ from this one, at most. [mm]

        A taut string sighted from above, or a plank edge drawn straight on the plan, is that line.
        """
        return float(np.max(np.abs(self.off_plan_line)))

    def at(self, along) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """
        Points at chosen distances along the batten.

        Parameters
        ----------
        along : (m,) array
            From its start. [mm]

        Returns
        -------
        x, y, z : (m,) array
            [mm]
        """
        along = np.atleast_1d(np.asarray(along, float))
        if along.min() < -1e-6 or along.max() > self.length + 1e-6:
            raise ValueError(
                f"A mark at {along.max() if along.max() > self.length else along.min():g} mm is not on the batten, "
                f"which is {self.length:g} mm long. Is it a distance along the boat?"
            )
        from scipy.interpolate import CubicSpline

        return tuple(CubicSpline(self.along, np.column_stack([self.x, self.y, self.z]))(along).T)


@lru_cache(maxsize=4)
def _nodes(n: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Chebyshev points on 0..1, the matrix that differentiates and the matrix that integrates from 0, at them."""
    cosine = np.cos(np.pi * np.arange(n + 1) / n)
    c = np.ones(n + 1)
    c[[0, n]] = 2
    c *= (-1.0) ** np.arange(n + 1)
    gap = cosine[:, None] - cosine[None, :]
    d = np.outer(c, 1 / c) / (gap + np.eye(n + 1))
    d -= np.diag(d.sum(axis=1))
    t, d = (1 - cosine) / 2, -2 * d
    integrate = np.zeros((n + 1, n + 1))
    integrate[1:, 1:] = np.linalg.inv(d[1:, 1:])
    # With the integral 0 at the start, d[1:, 1:] maps it to the integrand at the later nodes.
    return closed(t), closed(d), closed(integrate)


def _turned(partials, c: float, s: float):
    """First and second slopes along the plan direction (c, s) and across it, to the left."""
    _, zx, zy, zxx, zxy, zyy = partials
    along, across = c * zx + s * zy, -s * zx + c * zy
    both = c * c * zxx + 2 * c * s * zxy + s * s * zyy
    mixed = c * s * (zyy - zxx) + (c * c - s * s) * zxy
    return along, across, both, mixed, s * s * zxx - 2 * c * s * zxy + c * c * zyy


def _bend(deck, which: str, start, way, run: float, fixed_end: bool):
    r"""
    Distance off the straight plan line at the nodes, and the slopes there.

    Solves :math:`W^2 v'' = (z_a v' - z_b)(z_{aa} + 2 z_{ab} v' + z_{bb} v'^2)`, :math:`W^2 = 1 + z_a^2 + z_b^2`, with a
    along the plan line and b across it.
    """
    t, d, _ = _nodes(NODES)
    d1 = d / run
    d2 = d1 @ d1
    (c, s), v = way, np.zeros(NODES + 1)
    free = slice(1, NODES if fixed_end else NODES + 1)
    for _ in range(40):
        partials = deck.partials(start[0] + c * run * t - s * v, start[1] + s * run * t + c * v, 2, which)
        za, zb, zaa, zab, zbb = _turned(partials, c, s)
        v1, v2 = d1 @ v, d2 @ v
        w2 = 1 + za * za + zb * zb
        turn, lean = zaa + 2 * zab * v1 + zbb * v1 * v1, za * v1 - zb
        miss = w2 * v2 - lean * turn
        by_v1 = -za * turn - 2 * lean * (zab + zbb * v1)
        by_v = 2 * (za * zab + zb * zbb) * v2 - (zab * v1 - zbb) * turn
        matrix = w2[:, None] * d2 + by_v1[:, None] * d1 + np.diag(by_v)
        rows, right = matrix[1:-1, free], -miss[1:-1]
        if not fixed_end:
            rows, right = np.vstack([rows, d1[0, free]]), np.append(right, -v1[0])
        step = np.linalg.solve(rows, right)
        v[free] += step
        if np.max(np.abs(step)) < 1e-11 * run:
            break
    else:
        raise ValueError(
            f"No batten line of {run:g} mm settles here: the deck turns too sharply along it. Try a shorter one."
        )
    return v, d1 @ v, partials[0], za, zb


def geodesic(deck, start, end=None, *, direction_deg=None, length=None, which: str = "deck") -> BattenLine:
    r"""
    The batten without edge-set between two points of the deck, or from a point in a direction.

    Parameters
    ----------
    deck : Deck
        Anything with ``partials(x, y, order, which)``.
    start : (x, y)
        Where the batten starts. [mm]
    end : (x, y), optional
        Where it ends. [mm]
    direction_deg : float, optional
        Instead of an end: its direction in plan where it starts, 0 straight aft, 90 square off to starboard. [deg]
    length : float, optional
        With a direction: how long the batten is, along the deck. [mm]
    which : {"deck", "beam"}
        On top of the deck or on the tops of the beams.

    Returns
    -------
    BattenLine

    Notes
    -----
    On a plane it is straight; on a cylinder or a cone it unrolls to a straight line [1]_.

    References
    ----------
    .. [1] M. do Carmo, *Differential Geometry of Curves and Surfaces*, 4-4.

    Examples
    --------
    >>> class Flat:
    ...     def partials(self, x, y, order=2, which="deck"):
    ...         return 0.1 * x, 0.1 + 0 * x, 0 * x, 0 * x, 0 * x, 0 * x
    >>> line = geodesic(Flat(), (0, 0), (1000, 500))
    >>> round(line.length, 6) == round((1000**2 + 500**2 + 100**2) ** 0.5, 6), line.most_off_plan_line
    (True, 0.0)
    """
    start = np.asarray(start, float)
    if end is not None:
        if direction_deg is not None or length is not None:
            raise ValueError("A batten is given by its end, or by a direction and a length: not both. Leave one out.")
        gap = np.asarray(end, float) - start
        run = float(np.hypot(*gap))
        if run == 0:
            raise ValueError(f"The batten starts and ends at ({start[0]:g}, {start[1]:g}): give two different places.")
        return _line(deck, which, start, gap / run, run, True)
    if direction_deg is None or length is None or not length > 0:
        raise ValueError(
            f"A batten with direction {direction_deg} and length {length} is not enough: give an end, or a direction "
            "in degrees and a length above 0."
        )
    way = np.array([np.cos(np.radians(direction_deg)), np.sin(np.radians(direction_deg))])
    run = float(length)
    for _ in range(30):
        line = _line(deck, which, start, way, run, False)
        if abs(line.length - length) < 1e-10 * length:
            break
        run *= length / line.length
    return line


def _line(deck, which, start, way, run, fixed_end) -> BattenLine:
    """Solve and put the batten's points together."""
    t, _, integrate = _nodes(NODES)
    v, v1, z, za, zb = _bend(deck, which, start, way, run, fixed_end)
    along = run * (integrate @ np.sqrt(1 + v1 * v1 + (za + zb * v1) ** 2))
    c, s = way
    return BattenLine(start[0] + c * run * t - s * v, start[1] + s * run * t + c * v, z, along, v)
