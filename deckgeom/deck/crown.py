"""
Rules for how the camber changes along the boat, and the crown that each gives on a hull.

*One mould*: every beam is cut from the same curve. *Same proportion*: camber over breadth is the same everywhere.
The rules that need a curve along the boat (crown line, beam by beam, no hump) are in `lines`.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from .camber import CamberError, check_reach, shape_named
from .edges import LEAST_PART, Edges, edges_at, widest
from .figure import CamberFigure, as_figure
from .rises import at_least, moulded, proportional


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
    asked : callable, optional
        (edges, x) to the camber that was asked for, where the rule itself departs from it.
    notes : tuple of str
        What to know about it, in words.

    Attributes
    ----------
    widest_at, widest_half : float
        Where the deck is widest, and half its breadth there. [mm]

    Notes
    -----
    With u the distance off the centreline over the half-breadth b of that side and c(x) the camber, the rise above
    the line that joins the edges is c P(u, c/b); with one mould of drop D it is D(B/2) - D(u B/2), B the whole breadth
    at x. Where a least camber is kept, camber over breadth changes over to the least within a quarter of it, without a
    break in slope or bend, and a mould gets the missing part as a parabola on top.

    Examples
    --------
    >>> from deckgeom.deck.even_hull import even_hull
    >>> crown = OneMould("parabola", 96).on(even_hull())
    >>> crown.camber([0.0, 1500.0]).tolist()
    [96.0, 54.0]
    """

    rule: object
    sheer: object
    shape: object
    wanted: object
    mould: object = None
    least: float = 0.0
    asked: object = None
    notes: tuple[str, ...] = ()
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
        return at_least(c, edges, self.least) if self.least else c

    @property
    def wanted_ratio(self) -> float:
        """
        Camber over breadth that the rule asks for at the widest beam. [1]
        """
        x = np.asarray(self.widest_at)
        edges = self.edges(x)
        return float((self.asked or self.wanted)(edges, x)[0] / edges.breadth[0])

    def changes(self, x):
        """
        How much the camber was changed from what was asked: to keep the least camber, or to be without a hump.

        Parameters
        ----------
        x : array_like
            Where. [mm]

        Returns
        -------
        ndarray, shape of x
            Camber kept less camber asked. [mm]
        """
        x = np.asarray(x, dtype=float)
        edges = self.edges(x)
        return self.cambers(edges, x)[0] - (self.asked or self.wanted)(edges, x)[0]

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
        return self.rises(u, half, edges, x, order)

    def rises(self, u, half, edges: Edges, x, order: int) -> tuple:
        """`rise` from what was read already: the half-breadth of the side and the edges."""
        if self.mould is None:
            return proportional(self.shape, u, half, self.cambers(edges, x), order)
        r = moulded(self.mould, u, [b / 2 for b in edges.breadth], order)
        if not self.least:
            return r
        extra = [a - b for a, b in zip(self.cambers(edges, x), self.wanted(edges, x), strict=True)]
        v = 1 - u * u
        e = (extra[0] * v,)
        if order:
            e += (-2 * u * extra[0], extra[1] * v)
        if order == 2:
            e += (-2 * extra[0] + 0 * u, -2 * u * extra[1], extra[2] * v)
        return tuple(a + b for a, b in zip(r, e, strict=True))


def least_ratio(least, half: float) -> float:
    """
    Least camber over breadth from a figure; nought where there is none.

    Parameters
    ----------
    least : CamberFigure, str, float or None
    half : float
        Half of the widest beam. [mm]

    Examples
    --------
    >>> least_ratio("1:100", 1500), least_ratio(None, 1500)
    (0.01, 0.0)
    """
    return 0.0 if least is None else as_figure(least).ratio(half)


def _figure(shape, figure) -> CamberFigure:
    """The figure that was given, or the size of the section as it was drawn."""
    if figure is not None:
        return as_figure(figure)
    if not hasattr(shape, "sized"):
        raise CamberError('no camber figure: give one such as "1:32", 3/8"/ft or the crown at the widest beam.')
    return CamberFigure("on breadth", shape.rise, breadth=2 * shape.half_breadth)


@dataclass(frozen=True, eq=False)
class SameProportion:
    """
    Camber over breadth is the same at every beam.

    Parameters
    ----------
    shape : str or curve
        "circle", "parabola", "quarter-circle" or a drawn section.
    figure : CamberFigure, str or float
        Camber at the widest beam in any form (bare lengths in a text are millimetres: `CamberFigure.parse` takes the
        folder's units); a drawn section may do without, and then has its own.
    least : CamberFigure, str or float, optional
        Least camber to keep, as a ratio of the beam.

    Examples
    --------
    >>> SameProportion("circle", 1 / 32).name
    'same proportion'
    """

    shape: object
    figure: CamberFigure | str | float | None = None
    least: object = None
    name = "same proportion"

    def on(self, sheer) -> Crown:
        """Lay the rule on a hull."""
        half = widest(sheer)[1]
        ratio = _figure(self.shape, self.figure).ratio(half)

        def wanted(edges, x):
            return [ratio * b for b in edges.breadth]

        return Crown(self, sheer, shape_named(self.shape), wanted, least=least_ratio(self.least, half))

    def why(self, units: str = "mm") -> str:
        """In words, where the camber comes from."""
        return f"figure {_figure(self.shape, self.figure).short(units)} in the same proportion at every beam"


@dataclass(frozen=True, eq=False)
class OneMould:
    """
    Every beam is cut from one mould, whose crown stays on the centreline.

    Parameters
    ----------
    shape : str or curve
        "circle", "parabola", "quarter-circle" or a drawn section.
    figure : CamberFigure, str or float
        Camber of the mould at the widest beam, or on a stated breadth; a drawn section may do without, and then keeps
        its own size.
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
    figure: CamberFigure | str | float | None = None
    least: object = None
    name = "one mould"

    def on(self, sheer) -> Crown:
        """Lay the rule on a hull."""
        half = widest(sheer)[1]
        shape = shape_named(self.shape)
        size = _figure(self.shape, self.figure).mould_size(half)
        mould = shape.sized(*size) if hasattr(shape, "sized") else shape(*size)
        check_reach(mould, half)

        def wanted(edges, x):
            b = [v / 2 for v in edges.breadth]
            c = [mould.drop(b[0])]
            if len(b) > 1:
                c.append(mould.drop(b[0], 1) * b[1])
            if len(b) > 2:
                c.append(mould.drop(b[0], 2) * b[1] ** 2 + mould.drop(b[0], 1) * b[2])
            return c

        return Crown(self, sheer, shape, wanted, mould, least_ratio(self.least, half))

    def why(self, units: str = "mm") -> str:
        """In words, where the camber comes from."""
        return f"figure {_figure(self.shape, self.figure).short(units)}, one mould for every beam"
