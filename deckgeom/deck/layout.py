"""
How a camber is laid out on the loft floor: two straight-edges over three nails, equal division, the quarter circle.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from .camber import Circle
from .quarter_circle import QuarterCircle


def straight_edges_angle_deg(half_breadth: float, rise: float) -> float:
    """
    Angle between two straight-edges that strike an arc over nails at both beam ends and the crown.

    The straight-edges are fastened together with the corner at the crown nail and an edge on each end nail. Slid
    along with both edges kept on the end nails, a pencil in the corner draws the arc.

    Parameters
    ----------
    half_breadth, rise : float
        [mm]

    Returns
    -------
    float
        Inside angle at the corner. [deg]

    Notes
    -----
    .. math:: 180 - 2 \\arctan(c / b)

    The angle that a chord subtends is the same from any point of the arc [1]_.

    References
    ----------
    .. [1] Euclid, *Elements*, book III, proposition 21.

    Examples
    --------
    >>> round(straight_edges_angle_deg(48, 3), 4)
    172.8473
    """
    return float(180 - 2 * np.degrees(np.arctan(rise / half_breadth)))


class Layout(NamedTuple):
    """
    Stations off the centreline and the heights to set up at them.

    Attributes
    ----------
    y : ndarray
        From the centreline to the beam end. [mm]
    height : ndarray
        Above the line that joins the beam ends. [mm]

    Examples
    --------
    >>> equal_division(1200, 96, 2).y.tolist()
    [0.0, 600.0, 1200.0]
    """

    y: np.ndarray
    height: np.ndarray


def equal_division(half_breadth: float, rise: float, parts: int = 4) -> Layout:
    """
    Ordinates of the parabola by the method of squares.

    The half-breadth is divided into equal parts and the camber into as many parts squared: at each division out from
    the centreline drop 1, 4, 9, 16 ... of them.

    Parameters
    ----------
    half_breadth, rise : float
        [mm]
    parts : int
        Of the half-breadth.

    Examples
    --------
    >>> equal_division(1200, 96).height.tolist()
    [96.0, 90.0, 72.0, 42.0, 0.0]
    """
    y = np.linspace(0, half_breadth, parts + 1)
    return Layout(y, rise * (1 - (np.arange(parts + 1) / parts) ** 2))


def quarter_circle_division(half_breadth: float, rise: float, parts: int = 4) -> Layout:
    """
    Ordinates by the quarter circle: the lengths of the slanting joins, stepped off with dividers.

    Parameters
    ----------
    half_breadth, rise : float
        [mm]
    parts : int
        Of the arc, of its base and of the half-breadth.

    Examples
    --------
    >>> quarter_circle_division(1200, 100).height.round(2).tolist()
    [100.0, 93.34, 73.68, 42.03, 0.0]
    """
    u = np.arange(parts + 1) / parts
    on_arc = rise * np.column_stack([np.sin(np.pi * u / 2), np.cos(np.pi * u / 2)])
    on_base = rise * np.column_stack([u, np.zeros_like(u)])
    return Layout(half_breadth * u, np.hypot(*(on_arc - on_base).T))


#: The curves that a set of ordinates may have been meant to be, with the slips known from the quarter circle.
KNOWN = {
    "arc of a circle": None,
    "parabola (equal division)": lambda u: 1 - u * u,
    "quarter circle, slant lengths": QuarterCircle.fraction,
    "slip: quarter circle with vertical heights from the divided arc (a cosine), where slant lengths were wanted": (
        lambda u: np.cos(np.pi * u / 2)
    ),
    "slip: quarter circle with vertical heights from the divided base (an ellipse), where slant lengths were wanted": (
        lambda u: np.sqrt(np.maximum(1 - u * u, 0.0))
    ),
}


class Recognised(NamedTuple):
    """
    What a set of ordinates looks like.

    Attributes
    ----------
    words : str
        The construction, or the slip.
    worst : float
        Greatest difference of an ordinate from it. [mm]
    slip : bool
        Whether it is a known slip.

    Examples
    --------
    >>> recognise(1200, 100, [600], [86.6]).words.split(",")[0]
    'slip: quarter circle with vertical heights from the divided base (an ellipse)'
    """

    words: str
    worst: float
    slip: bool


def recognise(half_breadth: float, rise: float, y, height) -> Recognised:
    """
    Say by which construction ordinates were laid out, known slips among them.

    Parameters
    ----------
    half_breadth, rise : float
        Of the beam. [mm]
    y, height : array_like, shape (n,)
        Ordinates as drawn. [mm]

    Returns
    -------
    Recognised
        The construction that they are nearest to.

    Examples
    --------
    >>> recognise(1200, 100, [600, 900], [71, 38]).slip
    True
    >>> recognise(1200, 100, [300, 600, 900], [93.75, 75, 43.75]).words
    'parabola (equal division)'
    """
    u, height = np.abs(np.asarray(y, dtype=float)) / half_breadth, np.asarray(height, dtype=float)
    found = []
    for words, fraction in KNOWN.items():
        part = Circle.fraction(u, rise / half_breadth) if fraction is None else fraction(u)
        found.append(Recognised(words, float(np.max(np.abs(height - rise * part))), words.startswith("slip")))
    return min(found, key=lambda r: r.worst)
