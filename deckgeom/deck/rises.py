"""
The rise of the deck above the line that joins its edges, by the two laws, with exact derivatives.
"""

from __future__ import annotations

import numpy as np

from .edges import Edges

#: The shape of a curve takes no camber over half-breadth above this (only a stem that comes to a point gets there). [1]
MOST_STEEP = 0.5


def proportional(shape, u, half, c, order: int) -> tuple:
    """
    Rise c P(u, m), m = (c/half)^2, of a camber in proportion, and its derivatives in u and x.

    Parameters
    ----------
    shape : curve
        With `partials`.
    u : ndarray
        [1]
    half, c : list of ndarray
        Half-breadth of the side and camber [mm], with their derivatives along the boat.
    order : int
        Highest derivative wanted.

    Returns
    -------
    tuple
        (r), (r, r_u, r_x) or (r, r_u, r_x, r_uu, r_ux, r_xx).

    Examples
    --------
    >>> from deckgeom.deck.camber import Parabola
    >>> [float(v) for v in proportional(Parabola, 0.5, [1200.0, 0.1], [100.0, 0.02], 1)]
    [75.0, -100.0, 0.015]
    """
    k = c[0] / half[0]
    held = np.abs(k) > MOST_STEEP
    m = np.where(held, MOST_STEEP**2, k * k)
    p = shape.partials(u, m, order)
    if order == 0:
        return (c[0] * p[0],)
    round_shape = getattr(shape, "changes_with_camber", False)
    k1 = (c[1] - k * half[1]) / half[0] if round_shape else 0.0
    m1 = np.where(held, 0.0, 2 * k * k1) if round_shape else 0.0
    first = (c[0] * p[0], c[0] * p[1], c[1] * p[0] + c[0] * p[2] * m1)
    if order == 1:
        return first
    m2 = 0.0
    if round_shape:
        k2 = (c[2] - 2 * k1 * half[1] - k * half[2]) / half[0]
        m2 = np.where(held, 0.0, 2 * (k1 * k1 + k * k2))
    r_ux = c[1] * p[1] + c[0] * p[4] * m1
    r_xx = c[2] * p[0] + 2 * c[1] * p[2] * m1 + c[0] * (p[5] * m1 * m1 + p[2] * m2)
    return (*first, c[0] * p[3], r_ux, r_xx)


def moulded(mould, u, b, order: int) -> tuple:
    """
    Rise D(b) - D(u b) of one mould, and its derivatives in u and x.

    Parameters
    ----------
    mould : curve of one size
        With `drop`.
    u : ndarray
        [1]
    b : list of ndarray
        Half of the whole breadth [mm] with its derivatives along the boat.
    order : int
        Highest derivative wanted.

    Returns
    -------
    tuple
        As `proportional`.

    Examples
    --------
    >>> from deckgeom.deck.camber import Parabola
    >>> float(moulded(Parabola(1200, 96), 0.5, [600.0], 0)[0])
    18.0
    """
    y = u * b[0]
    r = mould.drop(b[0]) - mould.drop(y)
    if order == 0:
        return (r,)
    slope, slope_y = mould.drop(b[0], 1), mould.drop(y, 1)
    first = (r, -b[0] * slope_y, b[1] * (slope - u * slope_y))
    if order == 1:
        return first
    bend, bend_y = mould.drop(b[0], 2), mould.drop(y, 2)
    r_ux = -b[1] * (slope_y + y * bend_y)
    r_xx = b[2] * (slope - u * slope_y) + b[1] ** 2 * (bend - u * u * bend_y)
    return (*first, -(b[0] ** 2) * bend_y, r_ux, r_xx)


def at_least(c, edges: Edges, least: float) -> list:
    """
    Cambers lifted to the least proportion, with slope and bend unbroken.

    Parameters
    ----------
    c : list of ndarray
        Camber [mm] with its derivatives along the boat.
    edges : Edges
    least : float
        Least camber over whole breadth. [1]

    Returns
    -------
    list of ndarray

    Notes
    -----
    With d the camber over breadth less the least, d itself from least/4 up, nought from -least/4 down, and between them
    (d + w)^3 (3w - d) / 16 w^3, w = least/4, which meets both in value, slope and bend.

    Examples
    --------
    >>> from deckgeom.deck.edges import edges_at
    >>> from deckgeom.deck.even_hull import even_hull
    >>> edges = edges_at(even_hull(), np.asarray(0.0), 0, 1.0)
    >>> [round(float(at_least([c], edges, 1 / 100)[0]), 9) for c in (10.0, 90.0)]
    [30.0, 90.0]
    """
    wide = [p + s for p, s in zip(edges.divide_port, edges.divide_starboard, strict=True)]
    width = least / 4
    ratio = c[0] / wide[0]
    d = ratio - least
    near = np.abs(d) < width
    if not np.any(d < width):
        return c
    w = np.where(near, d, 0.0)
    g = np.where(near, (w + width) ** 3 * (3 * width - w) / (16 * width**3), np.maximum(d, 0.0)) + least
    out = [edges.breadth[0] * g]
    if len(c) > 1:
        ratio1 = (c[1] - ratio * wide[1]) / wide[0]
        g1 = np.where(near, (w + width) ** 2 * (2 * width - w) / (4 * width**3), d > 0)
        out.append(edges.breadth[1] * g + wide[0] * g1 * ratio1)
    if len(c) > 2:
        ratio2 = (c[2] - 2 * ratio1 * wide[1] - ratio * wide[2]) / wide[0]
        g2 = np.where(near, 3 * (w + width) * (width - w) / (4 * width**3), 0.0)
        bend = g2 * ratio1 * ratio1 + g1 * ratio2
        out.append(edges.breadth[2] * g + 2 * edges.breadth[1] * g1 * ratio1 + wide[0] * bend)
    return out
