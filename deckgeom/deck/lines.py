"""
Crown rules that rest on a curve along the boat: the crown line by its heights, and the camber of each beam as stated.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..hull.fair_curve import FairCurve
from .camber import CamberError, shape_named
from .crown import Crown, least_ratio
from .edges import LEAST_PART, edge_line, edges_at, widest

#: A beam narrower than this part of the widest takes no camber of its own: there the line has no room. [1]
NARROW = 0.02


def centre_of_edges(edges) -> list:
    """
    Height on the centreline of the line that joins the edges, with its derivatives along the boat.

    Parameters
    ----------
    edges : Edges

    Returns
    -------
    list of ndarray
        [mm], [1], [1/mm]

    Examples
    --------
    >>> from deckgeom.deck.even_hull import even_hull
    >>> float(centre_of_edges(edges_at(even_hull(height=900), np.asarray(0.0), 0, 1.0))[0])
    900.0
    """
    line = edge_line(edges, 0.0)
    return [line[i] for i in (0, 1, 3)[: len(edges.height)]]


def from_line(line):
    """
    What turns a crown line into cambers: its height above the line that joins the edges.

    Parameters
    ----------
    line : callable
        (x, order) to the height of the crown. [mm]

    Returns
    -------
    callable
        (edges, x) to the camber with its derivatives.

    Examples
    --------
    >>> from deckgeom.deck.even_hull import even_hull
    >>> x = np.asarray(0.0)
    >>> camber = from_line(lambda x, order: 980.0 + 0.0 * x)
    >>> float(camber(edges_at(even_hull(height=900), x, 0, 1.0), x)[0])
    80.0
    """

    def wanted(edges, x):
        return [line(x, n) - z for n, z in enumerate(centre_of_edges(edges))]

    return wanted


@dataclass(frozen=True, eq=False)
class CrownLine:
    """
    The crown is a fair curve through chosen heights.

    Parameters
    ----------
    shape : str or curve
        "circle", "parabola", "quarter-circle" or a drawn section.
    x, height : array_like, shape (n,)
        Where along the boat, and the height of the crown there above the base, to the surface that the sheer heights
        are taken to; n of 1 or more. [mm]
    accuracy : float
        How far the curve may pass from a height; 0 goes through each. [mm]
    least : CamberFigure, str or float, optional
        Least camber to keep, as a ratio of the beam.

    Notes
    -----
    Where no height is given at an end of the boat, the camber there is taken in the proportion of the nearest height
    that is given; at a stem that comes to a point the crown so meets the sheer.

    Examples
    --------
    >>> CrownLine("circle", [1000, 3000, 6000], [1120, 1040, 1060]).name
    'crown line'
    """

    shape: object
    x: np.ndarray
    height: np.ndarray
    accuracy: float = 0.0
    least: object = None
    name = "crown line"

    def __post_init__(self):
        _close(self, "x", "height")

    def on(self, sheer) -> Crown:
        """Lay the rule on a hull."""
        half = widest(sheer)[1]
        edges = edges_at(sheer, self.x, 0, LEAST_PART * half)
        line = _with_ends(sheer, half, self.x, self.height, self.height - centre_of_edges(edges)[0], self.accuracy)
        least = least_ratio(self.least, half)
        return Crown(self, sheer, shape_named(self.shape), from_line(line), least=least, notes=_odd(sheer, half, line))

    def why(self, units: str = "mm") -> str:
        """In words, where the camber comes from."""
        return f"the fair crown line through {self.x.size} chosen heights"


@dataclass(frozen=True, eq=False)
class BeamByBeam:
    """
    Each beam has its own stated camber; between them the crown is a fair curve over the beams.

    Parameters
    ----------
    shape : str or curve
        "circle", "parabola", "quarter-circle" or a drawn section.
    x, camber : array_like, shape (n,)
        Where each beam stands, and its camber above the line that joins its edges. [mm]
    least : CamberFigure, str or float, optional
        Least camber to keep, as a ratio of the beam.

    Notes
    -----
    Ends of the boat without a beam are taken as `CrownLine` takes them.

    Examples
    --------
    >>> BeamByBeam("circle", [1000, 3000, 6000], [30, 90, 80]).name
    'beam by beam'
    """

    shape: object
    x: np.ndarray
    camber: np.ndarray
    least: object = None
    name = "beam by beam"

    def __post_init__(self):
        _close(self, "x", "camber")
        if np.any(self.camber < 0):
            i = int(np.argmin(self.camber))
            raise CamberError(
                f"camber {self.camber[i]:g} mm at x = {self.x[i]:g} mm: it must be nought or more. Is it a drop?"
            )

    def on(self, sheer) -> Crown:
        """Lay the rule on a hull."""
        half = widest(sheer)[1]
        edges = edges_at(sheer, self.x, 0, LEAST_PART * half)
        self._check(edges)
        height = centre_of_edges(edges)[0] + self.camber
        line = _with_ends(sheer, half, self.x, height, self.camber, 0.0)
        least = least_ratio(self.least, half)
        return Crown(self, sheer, shape_named(self.shape), from_line(line), least=least, notes=_odd(sheer, half, line))

    def _check(self, edges):
        over = self.camber - edges.breadth[0] / 4
        i = int(np.argmax(over))
        if over[i] > 0:
            raise CamberError(
                f"camber {self.camber[i]:.6g} mm at x = {self.x[i]:.6g} mm, where the deck is "
                f"{edges.breadth[0][i]:.6g} mm broad: more than 1:4 of it. "
                "Likely slip: inches against mm, or the row of another beam"
            )

    def why(self, units: str = "mm") -> str:
        """In words, where the camber comes from."""
        return f"the cambers stated for {self.x.size} beams, faired between them"


def _close(rule, *names) -> None:
    """Copy the arrays of a rule, put them in order along the boat, and close them."""
    arrays = [np.atleast_1d(np.array(getattr(rule, name), dtype=float)) for name in names]
    if arrays[0].shape != arrays[1].shape or arrays[0].ndim != 1 or not arrays[0].size:
        raise CamberError(f"{arrays[0].size} places and {arrays[1].size} values of {names[1]}: each place has one.")
    for name, array in zip(names, arrays, strict=True):
        if not np.all(np.isfinite(array)):
            raise CamberError(f"a blank among the values of {name}: leave that row out.")
    order = np.argsort(arrays[0], kind="stable")
    for name, array in zip(names, arrays, strict=True):
        array = array[order]
        array.flags.writeable = False
        object.__setattr__(rule, name, array)


def _with_ends(sheer, half: float, x, height, camber, accuracy: float) -> FairCurve:
    """The fair crown line, with the ends of the boat put in where no height reaches them."""
    apart = 1e-3 * (sheer.end - sheer.start)
    ends = np.array([e for e, near in ((sheer.start, x[0]), (sheer.end, x[-1])) if abs(near - e) > apart])
    band = np.full(x.size, float(accuracy))
    if ends.size:
        edges = edges_at(sheer, np.concatenate([ends, x]), 0, LEAST_PART * half)
        wide = edges.breadth[0]
        given = np.where(wide[ends.size :] > NARROW * 2 * half, camber / np.maximum(wide[ends.size :], 1e-9), 0.0)
        nearest = np.abs(ends[:, None] - x[None, :]).argmin(axis=1)
        at_end = centre_of_edges(edges)[0][: ends.size] + given[nearest] * wide[: ends.size]
        x, height = np.concatenate([ends, x]), np.concatenate([at_end, height])
        band = np.concatenate([np.zeros(ends.size), band])
    return FairCurve(x, height, band)


def _odd(sheer, half: float, line) -> tuple[str, ...]:
    """Notes on a crown line that falls below the edges or stands higher than a deck does."""
    x = np.linspace(sheer.start, sheer.end, 101)
    edges = edges_at(sheer, x, 0, LEAST_PART * half)
    camber = line(x, 0) - centre_of_edges(edges)[0]
    notes = []
    low, high = int(np.argmin(camber)), int(np.argmax(camber - edges.breadth[0] / 4))
    if camber[low] < -0.5:
        notes.append(
            f"At x = {x[low]:.0f} mm the crown lies {-camber[low]:.0f} mm below the line that joins the edges: "
            "water stands there. Are the crown heights from another base, or to the beams where the sheer is to the "
            "deck?"
        )
    if camber[high] > edges.breadth[0][high] / 4 + 0.5:
        notes.append(
            f"At x = {x[high]:.0f} mm the crown stands {camber[high]:.0f} mm above the edges of a deck "
            f"{edges.breadth[0][high]:.0f} mm broad: more than 1:4. Is a crown height wanting near there?"
        )
    return tuple(notes)
