"""
Rules for how the camber changes along the boat, and the crown that each gives on a hull.

*One mould*: every beam is cut from the same curve. *Same proportion*: camber over breadth is the same everywhere.
The rules that need a curve along the boat (crown line, beam by beam, no hump) are in `lines`.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from .camber import shape_named
from .edges import LEAST_PART, Edges, edges_at, widest
from .figure import CamberFigure, as_figure

#: The shape of a curve takes no camber over half-breadth above this (only a stem that comes to a point gets there).
#: [1]
MOST_STEEP = 0.5


@dataclass(frozen=True, eq=False)
class Crown:
    """
    A crown rule laid on one hull: camber and rise anywhere, with exact derivatives.

    Made by the rules' `on`; not by hand.

    Parameters
    ----------
    rule : rule
        The rule that made it.
    sheer : Sheer
        The hull.
    shape : curve
        Gives the fraction of the camber left at u.
    wanted : callable
        (edges, x) to the camber of the rule and its derivatives.
    mould : curve, optional
        The one mould, where there is one.
    least : float
        Least camber over whole breadth that is kept; 0 keeps none. [1]

    Notes
    -----
    With u the distance off the centreline over the half-breadth b of that side and c(x) the camber, the rise above
    the line that joins the edges is c P(u, c/b); with one mould of drop D it is D(B/2) - D(u B/2), B the whole breadth
    at x. Where a least camber is kept, camber over breadth changes over to the least within a quarter of it, without a
    break in slope or bend, and a mould gets the missing part as a parabola on top.
    """

    rule: object
    sheer: object
    shape: object
    wanted: object
    mould: object = None
    least: float = 0.0
    widest_at: float = field(init=False)
    widest_half: float = field(init=False)

    def __post_init__(self):
        where, half = widest(self.sheer)
        object.__setattr__(self, "widest_at", where)
        object.__setattr__(self, "widest_half", half)

    def edges(self, x, order: int = 0) -> Edges:
        """Both edges at x with derivatives up to `order`."""
        return edges_at(self.sheer, x, order, LEAST_PART * self.widest_half)

    def camber(self, x, order: int = 0):
        """
        Camber at x, or its first or second derivative along the boat.

        Parameters
        ----------
        x : array_like
            [mm]
        order : int
            0, 1 or 2.

        Returns
        -------
        ndarray, shape of x
            [mm], [1] or [1/mm]
        """
        x = np.asarray(x, dtype=float)
        return self.cambers(self.edges(x, order), x)[order]

    def cambers(self, edges: Edges, x) -> list:
        """Camber and as many derivatives as the edges have."""
        c = self.wanted(edges, x)
        return _at_least(c, edges, self.least) if self.least else c

    def rise(self, u, x, side: str = "starboard", order: int = 2) -> tuple:
        """
        Rise above the line that joins the edges, with its derivatives at u and x.

        Parameters
        ----------
        u : array_like
            Distance off the centreline over the half-breadth of the side. [1]
        x : array_like, broadcast with u
            [mm]
        side : str
            "port" or "starboard".
        order : int
            Highest derivative wanted.

        Returns
        -------
        tuple
            (r), (r, r_u, r_x) or (r, r_u, r_x, r_uu, r_ux, r_xx), with r_x at a fixed u.
        """
        u, x = np.asarray(u, dtype=float), np.asarray(x, dtype=float)
        edges = self.edges(x, order)
        half = edges.divide_port if side == "port" else edges.divide_starboard
        return self.rises(u, half, edges, self.cambers(edges, x), self.wanted(edges, x), order)

    def rises(self, u, half, edges: Edges, c, wanted, order: int) -> tuple:
        """`rise` from what was read already: half-breadth of the side, edges, cambers kept and wanted."""
        if self.mould is None:
            return _proportional(self.shape, u, half, c, order)
        r = _moulded(self.mould, u, [b / 2 for b in edges.breadth], order)
        if not self.least:
            return r
        extra = [a - b for a, b in zip(c, wanted, strict=True)]
        v = 1 - u * u
        e = (extra[0] * v,)
        if order:
            e += (-2 * u * extra[0], extra[1] * v)
        if order == 2:
            e += (-2 * extra[0] + 0 * u, -2 * u * extra[1], extra[2] * v)
        return tuple(a + b for a, b in zip(r, e, strict=True))


def _proportional(shape, u, half, c, order: int) -> tuple:
    """c P(u, m), m = (c/half)^2, and its derivatives in u and x."""
    k = c[0] / half[0]
    held = np.abs(k) > MOST_STEEP
    m = np.where(held, MOST_STEEP**2, k * k)
    p = shape.partials(u, m, order)
    if order == 0:
        return (c[0] * p[0],)
    round_shape = not isinstance(p[2], float)
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


def _moulded(mould, u, b, order: int) -> tuple:
    """D(b) - D(u b) and its derivatives in u and x."""
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


def _at_least(c, edges: Edges, least: float) -> list:
    """Cambers lifted to the least proportion, with slope and bend unbroken."""
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


def _least_ratio(least, half: float) -> float:
    return 0.0 if least is None else as_figure(least).ratio(half)


@dataclass(frozen=True, eq=False)
class SameProportion:
    """
    Camber over breadth is the same at every beam.

    Parameters
    ----------
    shape : str or curve
        "circle", "parabola", "quarter-circle" or a drawn section.
    figure : CamberFigure, str or float
        Camber at the widest beam in any form; a bare number is a ratio of the whole beam.
    least : CamberFigure, str or float, optional
        Least camber to keep, as a ratio of the beam.

    Examples
    --------
    >>> SameProportion("circle", 1 / 32).name
    'same proportion'
    """

    shape: object
    figure: CamberFigure | str | float
    least: object = None
    name = "same proportion"

    def on(self, sheer) -> Crown:
        """Lay the rule on a hull."""
        half = widest(sheer)[1]
        ratio = as_figure(self.figure).ratio(half)

        def wanted(edges, x):
            return [ratio * b for b in edges.breadth]

        return Crown(self, sheer, shape_named(self.shape), wanted, least=_least_ratio(self.least, half))

    def why(self, crown: Crown, x: float, units: str = "mm") -> str:
        """In words, where the camber at x comes from."""
        return f"figure {as_figure(self.figure).short(units)} in the same proportion at every beam"


@dataclass(frozen=True, eq=False)
class OneMould:
    """
    Every beam is cut from one mould, whose crown stays on the centreline.

    Parameters
    ----------
    shape : str or curve
        "circle", "parabola", "quarter-circle" or a drawn section.
    figure : CamberFigure, str or float
        Camber of the mould at the widest beam, or on a stated breadth; a bare number is a ratio of the whole beam.
    least : CamberFigure, str or float, optional
        Least camber to keep, as a ratio of the beam.

    Notes
    -----
    On a hull with equal sides the deck is a surface of translation: at any x the slope along the boat is the same right
    across.

    Examples
    --------
    >>> OneMould("parabola", "1:32").name
    'one mould'
    """

    shape: object
    figure: CamberFigure | str | float
    least: object = None
    name = "one mould"

    def on(self, sheer) -> Crown:
        """Lay the rule on a hull."""
        half = widest(sheer)[1]
        shape = shape_named(self.shape)
        size = as_figure(self.figure).mould_size(half)
        mould = shape.sized(*size) if hasattr(shape, "sized") else shape(*size)

        def wanted(edges, x):
            b = [v / 2 for v in edges.breadth]
            c = [mould.drop(b[0])]
            if len(b) > 1:
                c.append(mould.drop(b[0], 1) * b[1])
            if len(b) > 2:
                c.append(mould.drop(b[0], 2) * b[1] ** 2 + mould.drop(b[0], 1) * b[2])
            return c

        return Crown(self, sheer, shape, wanted, mould, _least_ratio(self.least, half))

    def why(self, crown: Crown, x: float, units: str = "mm") -> str:
        """In words, where the camber at x comes from."""
        return f"figure {as_figure(self.figure).short(units)}, one mould for every beam"
