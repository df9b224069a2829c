"""
The deck edges at given x: half-breadths and heights of both sides with their derivatives, fit to divide by.

A half-breadth that runs below nought past the stem counts as nought, and none is divided by that is under 1/2000 of the
widest: there the deck counts as that broad. Rise and slopes so stay finite at a stem that comes to a point.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

#: Least half-breadth to divide by, as a part of the widest half-breadth. [1]
LEAST_PART = 1 / 2000


class Edges(NamedTuple):
    """
    Both deck edges at some x. Each list holds the value and as many derivatives in x as were asked for.

    Attributes
    ----------
    port, starboard : list of ndarray
        Half-breadths, never below nought. [mm], [1], [1/mm]
    divide_port, divide_starboard : list of ndarray
        The same, never below the least that is divided by.
    height : list of ndarray
        Mean height of the two edges. [mm], [1], [1/mm]
    across : list of ndarray, or None
        Starboard edge height less port edge height; None where both are one curve.

    Examples
    --------
    >>> from deckgeom.deck.even_hull import even_hull
    >>> float(edges_at(even_hull(), np.asarray(0.0), 0, 1.0).breadth[0])
    3000.0
    """

    port: list
    starboard: list
    divide_port: list
    divide_starboard: list
    height: list
    across: list | None

    @property
    def breadth(self) -> list:
        """Whole breadth and its derivatives."""
        return [p + s for p, s in zip(self.port, self.starboard, strict=True)]


def widest(sheer) -> tuple[float, float]:
    """
    Where the hull is widest, and half its whole breadth there.

    Parameters
    ----------
    sheer : Sheer

    Returns
    -------
    x, half_breadth : float
        [mm]; from the widest of 201 places by Newton's method.

    Examples
    --------
    >>> from deckgeom.deck.even_hull import even_hull
    >>> widest(even_hull(half_breadth=1200))
    (0.0, 1200.0)
    """
    x = np.linspace(sheer.start, sheer.end, 201)

    def half(at, order=0):
        return (sheer.half_breadth("port", at, order) + sheer.half_breadth("starboard", at, order)) / 2

    here = float(x[int(np.argmax(half(x)))])
    best, step = here, float(x[1] - x[0])
    for _ in range(4):
        bend = float(half(here, 2))
        if bend >= 0:
            break
        here = float(np.clip(here - float(half(here, 1)) / bend, max(best - step, x[0]), min(best + step, x[-1])))
    wide, at_station = float(half(here)), float(half(best))
    return (here, wide) if wide > at_station else (best, at_station)


def edges_at(sheer, x, order: int, least: float) -> Edges:
    """
    Read both edges at x.

    Parameters
    ----------
    sheer : Sheer
        Gives half_breadth(side, x, order) and height(side, x, order).
    x : ndarray
        [mm]
    order : int
        Highest derivative wanted, 0 to 2.
    least : float
        Least half-breadth to divide by. [mm]

    Returns
    -------
    Edges

    Examples
    --------
    >>> from deckgeom.deck.even_hull import even_hull
    >>> [float(b) for b in edges_at(even_hull(), np.asarray(1500.0), 1, 1.0).port]
    [1125.0, -0.5]
    """
    orders = range(order + 1)
    port, divide_port = _held([sheer.half_breadth("port", x, n) for n in orders], least)
    height = [sheer.height("port", x, n) for n in orders]
    starboard, divide_starboard = port, divide_port
    if not _one_curve(sheer, "half_breadth"):
        starboard, divide_starboard = _held([sheer.half_breadth("starboard", x, n) for n in orders], least)
    if _one_curve(sheer, "height"):
        return Edges(port, starboard, divide_port, divide_starboard, height, None)
    other = [sheer.height("starboard", x, n) for n in orders]
    mean = [(p + s) / 2 for p, s in zip(height, other, strict=True)]
    across = [s - p for p, s in zip(height, other, strict=True)]
    return Edges(port, starboard, divide_port, divide_starboard, mean, across)


def _one_curve(sheer, what: str) -> bool:
    """Whether both sides are read from one and the same curve."""
    curves = getattr(sheer, "curves", None)
    return curves is not None and curves[f"{what}_port"] is curves[f"{what}_starboard"]


def _held(b: list, least: float) -> tuple[list, list]:
    """Half-breadth with its derivatives held at nought from below, and held at the least that is divided by."""
    if np.min(b[0], initial=np.inf) >= least:
        return b, b
    thin, none = b[0] < least, b[0] < -1e-3 * least
    real = [np.where(none, 0.0, np.maximum(v, 0.0) if n == 0 else v) for n, v in enumerate(b)]
    divide = [np.where(thin, least if n == 0 else 0.0, v) for n, v in enumerate(b)]
    return real, divide


def edge_line(edges: Edges, y) -> list:
    """
    Height of the straight line that joins the two edges, at y, with its derivatives.

    Parameters
    ----------
    edges : Edges
    y : ndarray or float
        Starboard positive. [mm]

    Returns
    -------
    list
        (z,), (z, z_x, z_y) or (z, z_x, z_y, z_xx, z_xy, z_yy) as far as the edges go.

    Examples
    --------
    >>> from deckgeom.deck.even_hull import even_hull
    >>> float(edge_line(edges_at(even_hull(height=900), np.asarray(0.0), 0, 1.0), 100.0)[0])
    900.0
    """
    order = len(edges.height) - 1
    zero = 0.0 * y
    z = edges.height
    if edges.across is None:
        second = [z[2] + zero, zero, zero] if order == 2 else []
        return [z[0] + zero, *([z[1] + zero, zero] if order else []), *second]
    d = edges.across
    wide = [p + s for p, s in zip(edges.divide_port, edges.divide_starboard, strict=True)]
    off = [(s - p) / 2 for p, s in zip(edges.port, edges.starboard, strict=True)]
    t = (y - off[0]) / wide[0]
    line = [z[0] + d[0] * t]
    if order:
        t_x = -(off[1] + t * wide[1]) / wide[0]
        line += [z[1] + d[1] * t + d[0] * t_x, d[0] / wide[0] + zero]
    if order == 2:
        t_xx = -(off[2] + 2 * t_x * wide[1] + t * wide[2]) / wide[0]
        across_x = (d[1] - d[0] * wide[1] / wide[0]) / wide[0]
        line += [z[2] + d[2] * t + 2 * d[1] * t_x + d[0] * t_xx, across_x + zero, zero]
    return line
