"""
Camber curves: arc of a circle, parabola, quarter-circle construction.

Each curve is known in two ways. As a *shape* it gives the fraction of the camber that is left at u, the distance
off the centreline over the half-breadth. As a *mould* of one size it gives the drop below the crown at y.

Nomenclature: y distance off the centreline, b half-breadth, c camber (rise at the centreline above the line joining
the deck edges), u = y/b, m = (c/b) squared.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .mould import MOST_CAMBER, CamberError, check_mould, check_reach, height_above_ends
from .quarter_circle import QuarterCircle

__all__ = [
    "MOST_CAMBER",
    "CamberError",
    "Circle",
    "Parabola",
    "QuarterCircle",
    "check_mould",
    "check_reach",
    "shape_named",
]


@dataclass(frozen=True)
class Circle:
    """
    A beam top that is one arc of a circle.

    Parameters
    ----------
    half_breadth : float
        Centreline to beam end, square off. [mm]
    rise : float
        Crown above the beam ends. [mm]

    Notes
    -----
    .. math:: R = (b^2 + c^2) / (2c)

    with b the half-breadth and c the rise [1]_. The drop below the crown is y^2 / (R + sqrt(R^2 - y^2)), which
    keeps its digits on flat arcs. As a shape, with E = 1 - fraction and m = (c/b)^2, E is the smaller root of m E^2
    - (1 + m) E + u^2 = 0; the derivatives follow from that equation and stay finite at m = 0 (the parabola).

    References
    ----------
    .. [1] Euclid, *Elements*, book III, proposition 35.

    Examples
    --------
    >>> Circle(half_breadth=1200, rise=100).radius
    7250.0
    """

    half_breadth: float
    rise: float
    name = "circle"
    changes_with_camber = True
    words = "arc of a circle"

    def __post_init__(self):
        check_mould(self.half_breadth, self.rise)

    @property
    def radius(self) -> float:
        """
        Radius of the arc [mm]; infinite for a flat beam.

        Examples
        --------
        >>> Circle(1500, 100).radius
        11300.0
        """
        return (self.half_breadth**2 + self.rise**2) / (2 * self.rise) if self.rise else np.inf

    @property
    def edge_slope_deg(self) -> float:
        """
        Slope of the arc at the beam end, from level. [deg]

        Examples
        --------
        >>> round(Circle(48, 3).edge_slope_deg, 5)
        7.15267
        """
        return float(np.degrees(2 * np.arctan(self.rise / self.half_breadth)))

    @property
    def arc_length(self) -> float:
        """
        Length along the arc from end to end. [mm]

        Examples
        --------
        >>> round(Circle(48, 3).arc_length - 96, 5)
        0.24981
        """
        half_angle = 2 * np.arctan(self.rise / self.half_breadth)
        return float(2 * self.radius * half_angle) if self.rise else 2.0 * self.half_breadth

    def drop(self, y, order: int = 0):
        """
        Drop below the crown at y, or its first or second derivative.

        Parameters
        ----------
        y : array_like, any shape
            Distance off the centreline. [mm]
        order : int
            0, 1 or 2.

        Returns
        -------
        ndarray, shape of y
            [mm], [1] or [1/mm]

        Examples
        --------
        >>> float(Circle(1200, 100).drop(1200))
        100.0
        """
        y = np.asarray(y, dtype=float)
        if not self.rise:
            return np.zeros_like(y)
        if np.max(np.abs(y), initial=0.0) >= self.radius:
            raise CamberError(
                f"y reaches {np.max(np.abs(y)):.6g} mm but the radius is {self.radius:.6g} mm. Is y the whole beam?"
            )
        root = np.sqrt(self.radius**2 - y * y)
        if order == 0:
            return y * y / (self.radius + root)
        return y / root if order == 1 else self.radius**2 / (root * root * root)

    def height(self, y):
        """
        Height above the beam ends at y. [mm]

        Examples
        --------
        >>> float(Circle(1200, 100).height(0))
        100.0
        """
        return height_above_ends(self, y)

    @staticmethod
    def fraction(u, k=0.0):
        """
        Part of the camber left at u.

        Parameters
        ----------
        u : array_like
            Distance off the centreline over half-breadth. [1]
        k : array_like
            Camber over half-breadth. [1]

        Returns
        -------
        ndarray
            Rise over camber. [1]

        Examples
        --------
        >>> round(float(Circle.fraction(0.5, 2/32)), 5)
        0.75073
        """
        return Circle.partials(u, np.square(k), 0)[0]

    @staticmethod
    def partials(u, m, order: int = 2) -> tuple:
        """
        The fraction and its exact derivatives in u and m = (camber over half-breadth) squared.

        Parameters
        ----------
        u, m : array_like, broadcast against each other
            [1]
        order : int
            Highest derivative wanted: 0, 1 or 2.

        Returns
        -------
        tuple
            (P), (P, P_u, P_m) or (P, P_u, P_m, P_uu, P_um, P_mm). [1]

        Examples
        --------
        >>> [round(float(v), 6) for v in Circle.partials(0.5, 0.0)]
        [0.75, -1.0, 0.1875, -2.0, 0.5, -0.1875]
        """
        u, m = np.asarray(u, dtype=float), np.asarray(m, dtype=float)
        s = (1 + m) / 2
        q = np.sqrt(s * s - m * u * u)
        e = u * u / (s + q)
        if order == 0:
            return (1 - e,)
        e_u = u / q
        e_m = -e * (1 - e) / (2 * q)
        if order == 1:
            return 1 - e, -e_u, -e_m
        twist = 2 * e - 1 + m * e_m
        return 1 - e, -e_u, -e_m, -(1 + m * e_u * e_u) / q, -e_u * (twist + m * e_m) / (2 * q), -e_m * twist / q


@dataclass(frozen=True)
class Parabola:
    """
    A beam top that is a parabola: the drop grows as the square of the distance off the centreline.

    Parameters
    ----------
    half_breadth : float
        Centreline to beam end, square off. [mm]
    rise : float
        Crown above the beam ends. [mm]

    Notes
    -----
    .. math:: drop = c y^2 / b^2

    so that at 1/4, 1/2, 3/4 of the half-breadth 15/16, 3/4, 7/16 of the rise are left [1]_.

    References
    ----------
    .. [1] The equal-division (squares) method of geometry for builders, e.g. Emary, *A Comprehensive Practical
       Geometry for Builders*.

    Examples
    --------
    >>> Parabola(half_breadth=1200, rise=100).height([300, 600, 900]).tolist()
    [93.75, 75.0, 43.75]
    """

    half_breadth: float
    rise: float
    name = "parabola"
    words = "parabola"

    def __post_init__(self):
        check_mould(self.half_breadth, self.rise)

    def drop(self, y, order: int = 0):
        """
        Drop below the crown at y [mm], or its first [1] or second [1/mm] derivative.

        Examples
        --------
        >>> float(Parabola(1200, 100).drop(600))
        25.0
        """
        y = np.asarray(y, dtype=float)
        a = self.rise / self.half_breadth**2
        return (a * y * y, 2 * a * y, np.full_like(y, 2 * a))[order]

    def height(self, y):
        """
        Height above the beam ends at y. [mm]

        Examples
        --------
        >>> float(Parabola(1200, 100).height(-600))
        75.0
        """
        return height_above_ends(self, y)

    @staticmethod
    def fraction(u, k=0.0):
        """
        Part of the camber left at u = y / half-breadth: 1 - u^2, whatever the camber. [1]

        Examples
        --------
        >>> float(Parabola.fraction(0.5))
        0.75
        """
        return 1 - np.square(np.asarray(u, dtype=float))

    @staticmethod
    def partials(u, m=0.0, order: int = 2) -> tuple:
        """
        The fraction and its derivatives as `Circle.partials` gives them; those in m are nought.

        Examples
        --------
        >>> [float(v) for v in Parabola.partials(0.5)]
        [0.75, -1.0, 0.0, -2.0, 0.0, 0.0]
        """
        u = np.asarray(u, dtype=float)
        return (1 - u * u, -2 * u, 0.0, np.full_like(u, -2.0), 0.0, 0.0)[: (1, 3, 6)[order]]


def shape_named(name):
    """
    The curve that a word stands for.

    Parameters
    ----------
    name : str, or a curve
        "circle", "parabola" or "quarter-circle"; a curve is handed back as it is.

    Returns
    -------
    type
        `Circle`, `Parabola` or `QuarterCircle`.

    Examples
    --------
    >>> shape_named("quarter-circle").words
    'curve laid out with the quarter circle (slant lengths)'
    """
    if not isinstance(name, str):
        return name
    known = {c.name: c for c in (Circle, Parabola, QuarterCircle)}
    key = name.strip().lower().replace(" ", "-")
    if key not in known:
        raise CamberError(f"curve {name!r}: known are {', '.join(known)}, and a drawn section with its drops.")
    return known[key]
