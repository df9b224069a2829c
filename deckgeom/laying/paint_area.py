"""
True areas and lengths over a deck between limits, openings off; and areas in words.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from deckgeom.deck._closed import closed
from deckgeom.units.measures import MM_PER_INCH

__all__ = ["Girths", "area_between", "area_words", "girths", "opening_area"]

NODES = 49
SQUARE_FOOT = (12 * MM_PER_INCH / 1000) ** 2


def area_words(area: float, units: str = "mm") -> str:
    """
    An area as a person asks for it.

    Parameters
    ----------
    area : float
        [m2]
    units : str
        Of the boat's folder.

    Examples
    --------
    >>> area_words(11.42), area_words(11.42, "in")
    ('11.4 m2', '123 sq ft')
    """
    if units == "mm":
        return f"{area:.1f} m2" if area >= 1 else f"{area:.2f} m2"
    feet = area / SQUARE_FOOT
    return f"{feet:.0f} sq ft" if feet >= 10 else f"{feet:.1f} sq ft"


@dataclass(frozen=True, eq=False)
class Girths:
    """
    Cuts straight across a deck, measured over its surface. Made by `girths`.

    Parameters
    ----------
    x : (n,) float
        Of the cuts. [mm]
    y : (n, m) float
        Points of each cut from the port edge to the starboard edge, one on the centreline. [mm]
    girth : (n, m) float
        Along the cut from the centreline, port negative. [mm]
    breadth : (n, m) float
        Running area of the surface for each unit of x, nought at the port edge. [mm]
    stretch : (n, m) float
        Length over the surface straight fore-and-aft for each unit of x. [1]

    Examples
    --------
    >>> import numpy as np
    >>> Girths(*np.zeros((5, 1, 1))).stretch.shape
    (1, 1)
    """

    x: np.ndarray
    y: np.ndarray
    girth: np.ndarray
    breadth: np.ndarray
    stretch: np.ndarray

    def __post_init__(self) -> None:
        for name in ("x", "y", "girth", "breadth", "stretch"):
            object.__setattr__(self, name, closed(getattr(self, name)))

    def area(self, low: float = -np.inf, high: float = np.inf) -> float:
        """Of the surface between two girths, port negative. [mm2]"""
        within = [np.diff(np.interp([low, high], s, w))[0] for s, w in zip(self.girth, self.breadth, strict=True)]
        within = np.array(within)
        return float(np.sum((within[1:] + within[:-1]) / 2 * np.diff(self.x)))

    def run(self, low: float = -np.inf, high: float = np.inf) -> float:
        """Length fore-and-aft over the surface, at each place the longest between two girths. [mm]"""
        out = (self.girth < low) | (self.girth > high)
        longest = np.where(out, 1.0, self.stretch).max(axis=1)
        edges = [np.interp([low, high], s, k).max() for s, k in zip(self.girth, self.stretch, strict=True)]
        longest = np.maximum(longest, edges)
        return float(np.sum((longest[1:] + longest[:-1]) / 2 * np.diff(self.x)))


def girths(deck, x) -> Girths:
    """
    Measure cuts straight across over the true surface.

    Parameters
    ----------
    deck : Deck
    x : (n,) float
        Where. [mm]

    Returns
    -------
    Girths

    Notes
    -----
    .. math:: s = \\int \\sqrt{1 + z_y^2}\\,dy, \\quad w = \\int \\sqrt{1 + z_x^2 + z_y^2}\\,dy

    by the trapezium rule between 49 points a side.

    Examples
    --------
    >>> from deckgeom.deck.crown import OneMould
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> cut = girths(Deck(even_hull(), OneMould("circle", 100)), [0.0])
    >>> round(float(cut.girth[0, -1]), 1)
    1504.4
    """
    x = np.atleast_1d(np.asarray(x, float))
    part = np.linspace(0, 1, NODES)
    port, starboard = (np.maximum(deck.sheer.half_breadth(s, x, 0), 0.0)[:, None] for s in ("port", "starboard"))
    y = np.hstack([-port * part[::-1], starboard * part[1:]])
    p, q = deck.slopes(x[:, None], y)
    step = np.diff(y, axis=1)

    def running(value):
        return np.hstack([np.zeros((len(x), 1)), np.cumsum((value[:, 1:] + value[:, :-1]) / 2 * step, axis=1)])

    girth = running(np.sqrt(1 + q * q))
    middle = girth[:, [NODES - 1]]
    return Girths(x, y, girth - middle, running(np.sqrt(1 + p * p + q * q)), np.sqrt(1 + p * p))


def area_between(deck, x0: float, x1: float, low: float = -np.inf, high: float = np.inf, cuts: int = 161) -> float:
    """
    Area of a deck's surface between two places along it and two girths.

    Parameters
    ----------
    deck : Deck
    x0, x1 : float
        [mm]
    low, high : float
        Girths from the centreline, port negative. [mm]
    cuts : int
        How many cuts across are measured.

    Returns
    -------
    float
        [m2]

    Examples
    --------
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> round(area_between(Deck(even_hull(6000, 1500), SameProportion("circle", 0)), -3000, 3000), 2)
    12.0
    """
    return girths(deck, np.linspace(x0, x1, cuts)).area(low, high) / 1e6 if x1 > x0 else 0.0


def opening_area(deck, box, x_limits=(-np.inf, np.inf), girth_limits=(-np.inf, np.inf)) -> float:
    """
    Area of the surface within an opening, the part that lies on the deck and between limits.

    Parameters
    ----------
    deck : Deck
    box : Box
        With ``x0``, ``x1``, ``y0``, ``y1`` [mm].
    x_limits : (float, float)
        [mm]
    girth_limits : (float, float)
        From the centreline, port negative. [mm]

    Returns
    -------
    float
        [m2]

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> hatch = SimpleNamespace(x0=0, x1=600, y0=-300, y1=300)
    >>> round(opening_area(Deck(even_hull(), SameProportion("circle", 0)), hatch), 6)
    0.36
    """
    x0 = max(box.x0, x_limits[0], deck.sheer.start)
    x1 = min(box.x1, x_limits[1], deck.sheer.end)
    if x1 <= x0:
        return 0.0
    edges = np.linspace(x0, x1, 65)
    cut = girths(deck, (edges[1:] + edges[:-1]) / 2)
    total = 0.0
    for y, s, w in zip(cut.y, cut.girth, cut.breadth, strict=True):
        low, high = np.interp([box.y0, box.y1], y, s)
        low, high = max(low, girth_limits[0]), min(high, girth_limits[1])
        total += max(0.0, float(np.diff(np.interp([low, high], s, w))[0])) if high > low else 0.0
    return total * (x1 - x0) / 64 / 1e6
