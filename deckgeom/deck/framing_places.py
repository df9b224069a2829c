"""
Where a fitting stands on the deck, and what lies under it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from deckgeom.units import format_length, format_offcentre

__all__ = ["Place", "beams_under", "place_of"]


@dataclass(frozen=True)
class Place:
    """
    A fitting with its place in plan.

    Parameters
    ----------
    what : str
    x, y : float
        Of its middle, starboard positive. [mm]
    length, breadth : float
        Fore-and-aft and athwart; nought where not given. [mm]

    Examples
    --------
    >>> Place("hatch", 3000, 0, 600, 500).corners
    ((2700.0, -250.0), (2700.0, 250.0), (3300.0, 250.0), (3300.0, -250.0))
    """

    what: str
    x: float
    y: float
    length: float = 0.0
    breadth: float = 0.0

    @property
    def corners(self) -> tuple[tuple[float, float], ...]:
        """Forward port, forward starboard, after starboard, after port. [mm]"""
        a, b = self.length / 2, self.breadth / 2
        return ((self.x - a, self.y - b), (self.x - a, self.y + b), (self.x + a, self.y + b), (self.x + a, self.y - b))

    def words(self, units: str = "mm") -> str:
        """What and where."""
        return f"{self.what} at {format_length(self.x, units)}, {format_offcentre(self.y, units)}"


def place_of(deck, fitting) -> Place:
    """
    Where a fitting stands, its middle checked against the deck's edges.

    Parameters
    ----------
    deck : Deck
    fitting : Fitting
        Anything with what, x, y (a distance, "port edge" or "starboard edge"), length and breadth. [mm]

    Returns
    -------
    Place

    Examples
    --------
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> place_of(Deck(even_hull(), SameProportion("circle", "1:30")), Place("cleat", 0, "port edge")).y
    -1500.0
    """
    x, sheer = float(fitting.x), deck.sheer
    if not sheer.start <= x <= sheer.end:
        raise ValueError(
            f"{fitting.what} at x {x:g} mm: the deck runs from {sheer.start:g} to {sheer.end:g} mm. Is x in other "
            "units, or from another zero?"
        )
    port, starboard = (float(deck.edge(side, x)[0]) for side in ("port", "starboard"))
    y = {"port edge": port, "starboard edge": starboard}.get(fitting.y, fitting.y)
    if isinstance(y, str) or not port - 1e-6 <= y <= starboard + 1e-6:
        raise ValueError(
            f"{fitting.what} at x {x:g} mm, y {y} mm: the deck there runs from {-port:.0f} mm port to {starboard:.0f} "
            "mm starboard. Is y a breadth instead of a distance off the centreline?"
        )
    return Place(fitting.what, x, float(y), float(fitting.length or 0.0), float(fitting.breadth or 0.0))


def beams_under(beams, x_range: tuple[float, float], y_range: tuple[float, float]) -> tuple[str, ...]:
    """
    Beams that run through a rectangle in plan.

    Parameters
    ----------
    beams : BeamSet
    x_range, y_range : (float, float)
        Rising; edges that only touch do not count. [mm]

    Returns
    -------
    tuple of str
        Names.

    Examples
    --------
    >>> from deckgeom.deck.beams import BeamMark, lay_out_beams
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> deck = Deck(even_hull(), SameProportion("circle", "1:30"))
    >>> beams = lay_out_beams(deck, [BeamMark("3", -500, siding=40), BeamMark("4", 0, siding=40)])
    >>> beams_under(beams, (-470, 0), (-100, 100))
    ('3',)
    """
    found = []
    for i, name in enumerate(beams.names):
        faces = beams.frames.x[i] + beams.frames.off[i] / beams.frames.cosine[i]
        ends = beams.ends.y[i]
        near = faces[0] < x_range[1] - 1e-6 and faces[1] > x_range[0] + 1e-6
        if near and np.min(ends[:, 0]) < y_range[1] and np.max(ends[:, 1]) > y_range[0]:
            found.append(name)
    return tuple(found)
