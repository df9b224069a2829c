"""
Spiling: a curve as offsets from a straight line, and back.

To *spile* is to take the shape of a curved edge by measuring from a straight-edge or a batten, square to it, at marks
along it. Here the straight line joins the curve's two ends, unless another is given; *along* runs on it from the first
end and *offset* is square to it. Seen looking along the line with the flat of the stock facing up, a positive offset
lies to the left of the line: for a beam's mould read from port to starboard, that is up.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from deckgeom.deck._closed import closed

__all__ = ["SpiledEdge", "Spile", "spile", "spile_curve", "unspile"]


@dataclass(frozen=True, eq=False)
class Spile:
    """
    Offsets from a straight line to a curve.

    Parameters
    ----------
    start, end : (2,) float
        The ends of the straight line. [mm]
    along, offset : (n,) float
        Distance along the line from `start`, and square off it (positive to the left). [mm]

    Examples
    --------
    >>> s = spile([0, 500, 1000], [0, 80, 0])
    >>> s.offset.tolist(), s.length
    ([0.0, 80.0, 0.0], 1000.0)
    """

    start: np.ndarray
    end: np.ndarray
    along: np.ndarray
    offset: np.ndarray

    def __post_init__(self) -> None:
        """Copy and close the arrays."""
        for name in ("start", "end", "along", "offset"):
            object.__setattr__(self, name, closed(getattr(self, name)))

    @property
    def length(self) -> float:
        """Length of the straight line. [mm]"""
        return float(np.hypot(*(self.end - self.start)))


@dataclass(frozen=True, eq=False)
class SpiledEdge:
    """
    The true flat shape of a deck edge or a strip beside it, as offsets from the straight line joining its ends.

    Parameters
    ----------
    edge : str
        Which edge, in words, such as ``"deck edge"`` or ``"150 mm inside the deck edge"``.
    side : str
        ``"port"`` or ``"starboard"``.
    x : (n,) float
        Where each mark stands along the boat. [mm]
    along, offset : (n,) float
        Along the straight line from the forward end; square off it, positive away from the centreline. [mm]
    length : float
        True length of the edge along the deck. [mm]
    chord : float
        Length of the straight line, laid flat. [mm]
    far_along, far_offset : (n,) float
        The strip's other edge at the same marks, square across the flat strip; empty without a width. [mm]
    misfit : float
        The strip's other edge on the deck is longer (+) or shorter (-) than in the flat by this much: what the strip
        must stretch or squeeze because the deck bends both ways. Nought without a width. [mm]

    See Also
    --------
    deckgeom.deck.flat_edge.flat_edge : makes one.

    Examples
    --------
    >>> edge = SpiledEdge("deck edge", "port", [0, 500, 1000], [0, 499, 998], [0, 20, 0], length=1000.2, chord=998.0)
    >>> edge.rows()[1]
    ('deck edge', 'port', 499.0, 20.0)
    """

    edge: str
    side: str
    x: np.ndarray
    along: np.ndarray
    offset: np.ndarray
    length: float
    chord: float
    far_along: np.ndarray = ()
    far_offset: np.ndarray = ()
    misfit: float = 0.0

    def __post_init__(self) -> None:
        """Copy and close the arrays."""
        for name in ("x", "along", "offset", "far_along", "far_offset"):
            object.__setattr__(self, name, closed(getattr(self, name)))

    def rows(self) -> list[tuple[str, str, float, float]]:
        """Rows of spiling.csv: edge, side, along, offset. [mm]"""
        return [(self.edge, self.side, a, o) for a, o in zip(self.along.tolist(), self.offset.tolist(), strict=True)]


def _frame(start, end) -> tuple[np.ndarray, np.ndarray, float]:
    """Start, unit direction and length of the straight line."""
    start, end = np.asarray(start, float), np.asarray(end, float)
    length = float(np.hypot(*(end - start)))
    if length == 0:
        raise ValueError(
            f"The straight line starts and ends at the same place ({start[0]:g}, {start[1]:g}): offsets need two "
            "different ends. Is the curve closed, or its last point a copy of the first?"
        )
    return start, (end - start) / length, length


def spile(x: np.ndarray, y: np.ndarray, start=None, end=None) -> Spile:
    """
    Offsets from a straight line to the points of a curve.

    Parameters
    ----------
    x, y : (n,) array
        Points on the curve, in order. [mm]
    start, end : (2,) float, optional
        Ends of the straight line; the curve's own first and last point unless given. [mm]

    Returns
    -------
    Spile

    Examples
    --------
    >>> float(spile([0, 3, 6], [0, 5, 8]).offset[1].round(3))
    0.6
    """
    points = np.column_stack([np.asarray(x, float), np.asarray(y, float)])
    if len(points) < 2:
        raise ValueError(f"A curve to spile has 2 points or more; {len(points)} given. Add its other end.")
    a = points[0] if start is None else start
    b = points[-1] if end is None else end
    origin, way, _ = _frame(a, b)
    d = points - origin
    return Spile(a, b, d @ way, d @ np.array([-way[1], way[0]]))


def unspile(offsets: Spile, start=None, end=None) -> np.ndarray:
    """
    The curve's points again, from offsets.

    Parameters
    ----------
    offsets : Spile
    start, end : (2,) float, optional
        Where the straight line now lies; where it was taken unless given. [mm]

    Returns
    -------
    (n, 2) array
        x and y of each point. [mm]

    Examples
    --------
    >>> unspile(spile([0, 3, 6], [0, 5, 8])).round(9).tolist()
    [[0.0, 0.0], [3.0, 5.0], [6.0, 8.0]]
    """
    origin, way, _ = _frame(offsets.start if start is None else start, offsets.end if end is None else end)
    return origin + np.outer(offsets.along, way) + np.outer(offsets.offset, [-way[1], way[0]])


def spile_curve(curve: Callable, start: float, end: float, along: np.ndarray, rounds: int = 60) -> Spile:
    """
    Offsets at chosen marks along the straight line joining two places on a curve y = curve(x).

    Parameters
    ----------
    curve : callable
        ``curve(x, order)`` gives y and its first derivative (orders 0 and 1) on arrays.
    start, end : float
        x at the two ends. [mm]
    along : (n,) array
        Marks along the straight line. [mm]
    rounds : int
        Most steps of Newton's method.

    Returns
    -------
    Spile

    Examples
    --------
    A circle of 5 m radius on a chord of 2.4 m:

    >>> arc = lambda x, order=0: (25e6 - x**2) ** 0.5 if order == 0 else -x / (25e6 - x**2) ** 0.5
    >>> spile_curve(arc, -1200, 1200, [1200]).offset.round(3).tolist()
    [146.136]
    """
    ends = np.array([start, end], float)
    height = np.asarray(curve(ends, 0), float)
    a, b = np.array([ends[0], height[0]]), np.array([ends[1], height[1]])
    origin, way, length = _frame(a, b)
    along = np.atleast_1d(np.asarray(along, float))
    if along.min() < -1e-9 * length or along.max() > length * (1 + 1e-9):
        raise ValueError(
            f"A mark at {along.max() if along.max() > length else along.min():g} mm is off the straight line, which is "
            f"{length:g} mm long. Marks run from its forward end; is this one a distance along the boat?"
        )
    x = origin[0] + along * way[0]
    for _ in range(rounds):
        y, slope = np.asarray(curve(x, 0), float), np.asarray(curve(x, 1), float)
        miss = (x - origin[0]) * way[0] + (y - origin[1]) * way[1] - along
        x = x - miss / (way[0] + slope * way[1])
        if np.max(np.abs(miss)) < 1e-10 * length:
            break
    else:
        raise ValueError(
            f"The curve turns back over the straight line: no point square off the mark at "
            f"{along[np.argmax(np.abs(miss))]:g} mm. Spile it in two parts."
        )
    y = np.asarray(curve(x, 0), float)
    return Spile(a, b, along, -(x - origin[0]) * way[1] + (y - origin[1]) * way[0])
