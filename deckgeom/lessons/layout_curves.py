"""The curves that the five ways of laying out a camber lead to, and the gaps between them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from deckgeom.deck.camber import Circle, Parabola
from deckgeom.deck.quarter_circle import QuarterCircle
from deckgeom.fairing.batten import Strip, fasten_strip

__all__ = ["LAYOUTS", "LEADS_TO", "LayoutGaps", "layout_curve", "layout_gaps"]

LAYOUTS = ("quarter-circle", "equal divisions", "three nails and two sticks", "ordinates", "sprung batten")
#: The curve that each leads to, in words.
LEADS_TO = {
    "quarter-circle": "a curve of its own, a little flatter than the circle towards the ends",
    "equal divisions": "a parabola",
    "three nails and two sticks": "one arc of a circle",
    "ordinates": "one arc of a circle",
    "sprung batten": ("the curve of an even strip held at three places: roundest at the crown, straight at the ends"),
}
#: Of any even batten: how stout it is makes no difference to the curve, only to the force that bends it.
BATTEN = Strip(20.0, 10.0, 10000.0, name="batten")


def layout_curve(name: str, half_breadth: float, camber: float, y) -> np.ndarray:
    """
    Height of the curve that a method leads to.

    Parameters
    ----------
    name : str
        One of `LAYOUTS`.
    half_breadth, camber : float
        Centreline to the end of the beam, and the rise between. [mm]
    y : array_like
        Off the centreline. [mm]

    Returns
    -------
    ndarray
        Shape of y, above the line that joins the ends. [mm]

    Examples
    --------
    >>> [float(layout_curve(name, 1200, 75, 600).round(2)) for name in LAYOUTS]
    [55.26, 56.25, 56.3, 56.3, 51.56]
    """
    y = np.asarray(y, dtype=float)
    if name == "quarter-circle":
        return QuarterCircle(half_breadth, camber).height(y)
    if name == "equal divisions":
        return Parabola(half_breadth, camber).height(y)
    if name in ("three nails and two sticks", "ordinates"):
        return Circle(half_breadth, camber).height(y)
    if name == "sprung batten":
        places = (-half_breadth, 0.0, half_breadth)
        return fasten_strip(places, (0.0, camber, 0.0), BATTEN).height(y)
    raise ValueError(f"{name!r} is no layout: they are {', '.join(LAYOUTS)}.")


@dataclass(frozen=True, eq=False)
class LayoutGaps:
    """
    The five curves of one beam laid over each other.

    Parameters
    ----------
    half_breadth, camber : float
        Of the beam. [mm]
    names : tuple of str, length 5
        The methods.
    y : ndarray, shape (n,)
        Off the centreline. [mm]
    rise : ndarray, shape (5, n)
        Height of each curve. [mm]

    Examples
    --------
    >>> gaps = layout_gaps(1200, 75)
    >>> gap, place = gaps.between("equal divisions", "quarter-circle")
    >>> round(gap, 2), round(place / 1200, 1)
    (1.31, 0.7)
    """

    half_breadth: float
    camber: float
    names: tuple[str, ...]
    y: np.ndarray
    rise: np.ndarray

    def __post_init__(self) -> None:
        for name in ("y", "rise"):
            kept = np.array(getattr(self, name), dtype=float)
            kept.flags.writeable = False
            object.__setattr__(self, name, kept)

    def between(self, one: str, other: str) -> tuple[float, float]:
        """
        Greatest gap between two of the curves, and where it is.

        Parameters
        ----------
        one, other : str
            Two of the names.

        Returns
        -------
        gap, y : float
            Above nought where the first stands higher; and the place. [mm]

        Examples
        --------
        >>> layout_gaps(1200, 75).between("ordinates", "three nails and two sticks")[0]
        0.0
        """
        off = self.rise[self.names.index(one)] - self.rise[self.names.index(other)]
        k = int(np.argmax(np.abs(off)))
        return float(off[k]), float(self.y[k])


def layout_gaps(half_breadth: float, camber: float, points: int = 401) -> LayoutGaps:
    """
    Lay the five curves of one beam over each other.

    Parameters
    ----------
    half_breadth, camber : float
        Centreline to the end of the beam, and the rise between. [mm]
    points : int
        Places at which they are compared. [-]

    Returns
    -------
    LayoutGaps

    Notes
    -----
    .. math:: \\max |z_{circle} - z_{parabola}| \\approx c (c/B)^2, \\quad \\max |z_{quarter} - z_{parabola}| = .01747 c

    Derived; both are checked in the tests by other routes.

    Examples
    --------
    >>> round(layout_gaps(1200, 75).between("ordinates", "equal divisions")[0], 3)
    0.073
    """
    y = np.linspace(0.0, half_breadth, points)
    rise = [layout_curve(name, half_breadth, camber, y) for name in LAYOUTS]
    return LayoutGaps(float(half_breadth), float(camber), LAYOUTS, y, np.array(rise))
