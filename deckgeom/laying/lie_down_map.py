"""
Where a deck bends both ways: the map to look at before sheets are ordered.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from deckgeom.deck._closed import closed
from deckgeom.units import format_length, format_offcentre

__all__ = ["CurvatureMap", "curvature_map"]


@dataclass(frozen=True, eq=False)
class CurvatureMap:
    """
    The bends of a deck on a grid from edge to edge. Made by `curvature_map`.

    Parameters
    ----------
    x, y : (n, m) float
        Places: rows along the boat, from the port edge to the starboard one. [mm]
    most, least : (n, m) float
        Principal curvatures, rounded upward positive. [1/mm]
    gaussian : (n, m) float
        Their product. [1/mm^2]
    direction_deg : (n, m) float
        Of `most` in plan, from aft towards starboard. [deg]

    Examples
    --------
    See `curvature_map`.

    >>> CurvatureMap([[0.0]], [[0.0]], [[1e-4]], [[1e-5]], [[1e-9]], [[90.0]]).sheet_width(0.001).round().tolist()
    [[2828.0]]
    """

    x: np.ndarray
    y: np.ndarray
    most: np.ndarray
    least: np.ndarray
    gaussian: np.ndarray
    direction_deg: np.ndarray

    def __post_init__(self) -> None:
        """Copy and close the arrays."""
        for name in self.__dataclass_fields__:
            object.__setattr__(self, name, closed(getattr(self, name)))

    @property
    def smallest_radius(self) -> np.ndarray:
        """Radius of the sharpest bend at each place, (n, m). [mm]"""
        sharpest = np.maximum(np.abs(self.most), np.abs(self.least))
        with np.errstate(divide="ignore"):
            return 1 / sharpest

    def sheet_width(self, strain_limit: float = 0.001) -> np.ndarray:
        """
        Broadest long sheet at each place whose strain has a range under the limit, (n, m): sqrt(8 limit / |K|). [mm]
        """
        with np.errstate(divide="ignore"):
            return np.sqrt(8 * strain_limit / np.abs(self.gaussian))

    def words(self, units: str = "mm", strain_limit: float = 0.001) -> tuple[str, ...]:
        """What the map shows, in sentences."""
        at = np.unravel_index(int(np.argmax(np.abs(self.gaussian))), self.x.shape)
        bent = np.unravel_index(int(np.argmin(self.smallest_radius)), self.x.shape)
        like = "a dome" if self.gaussian[at] > 0 else "a saddle"
        width, radius = self.sheet_width(strain_limit)[at], self.smallest_radius[bent]
        here, there = (
            f"{format_length(self.x[i], units)} along, {format_offcentre(self.y[i], units)}" for i in (at, bent)
        )
        sharpest = f"a radius of {format_length(radius, units)}, {there}" if np.isfinite(radius) else "none, it is flat"
        if not np.isfinite(width) or width > 1e6:
            flat = "It bends one way only: a sheet lies down without strain."
            return (f"Sharpest bend of the deck: {sharpest}.", flat)
        saddle = float(np.mean(self.gaussian < 0))
        return (
            f"Sharpest bend of the deck: {sharpest}.",
            f"It bends most both ways, like {like}, {here}: a long sheet there stays within {strain_limit:.2%} of "
            f"strain (common practice, no source) up to {format_length(width, units)} broad.",
            f"{saddle:.0%} of the places looked at are like a saddle, where the middle of a sheet lifts; on a dome its "
            "edges do.",
        )


def curvature_map(deck, which: str = "beam", rows: int = 49, columns: int = 21, ends: float = 0.02) -> CurvatureMap:
    """
    Bends of the deck from edge to edge.

    Parameters
    ----------
    deck : Deck
    which : {"beam", "deck"}
        The tops of the beams, that the sheet lies on, or the top of the deck.
    rows, columns : int
        Places along the boat and from edge to edge, 2 or more each.
    ends : float
        Part of the length left out at each end, where the deck has next to no breadth. [1]

    Returns
    -------
    CurvatureMap

    Examples
    --------
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> found = curvature_map(Deck(even_hull(), SameProportion("circle", "1:30")))
    >>> found.x.shape, bool(found.gaussian[24, 10] > 0)
    ((49, 21), True)
    """
    if rows < 2 or columns < 2 or not 0 <= ends < 0.5:
        raise ValueError(f"a map of {rows} by {columns} places, {ends:g} off at each end: give 2 or more each way.")
    start, end = deck.sheer.start, deck.sheer.end
    x = np.linspace(start + ends * (end - start), end - ends * (end - start), rows)[:, None]
    port, starboard = (np.maximum(deck.sheer.half_breadth(side, x, 0), 0.0) for side in ("port", "starboard"))
    y = -port + (port + starboard) * np.linspace(0, 1, columns)
    bend = deck.curvature(x, y, which)
    return CurvatureMap(
        np.broadcast_to(x, y.shape), y, bend.most, bend.least, bend.gaussian, bend.direction_deg
    )
