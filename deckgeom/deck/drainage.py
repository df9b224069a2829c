"""
Whether every beam keeps enough camber for water to run off.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..units import echo, format_length
from .crown import least_ratio
from .lines import NARROW


@dataclass(frozen=True)
class Drainage:
    """
    The least camber of a deck.

    Attributes
    ----------
    x : float
        Where camber over breadth is least. [mm]
    camber : float
        There. [mm]
    ratio : float
        Camber over whole breadth there. [1]
    least : float
        The least ratio that was asked; 0 where none was. [1]
    below : tuple of (float, float, float)
        Stretches under it: from, to, and how much camber is wanting at the most. [mm]

    Examples
    --------
    >>> Drainage(500.0, 30.0, 0.02, 0.0125, ()).words()
    'Flattest at 500 mm: 30 mm (1 3/16 in), 1:50 of the beam. The least of 1:80 is kept everywhere.'
    """

    x: float
    camber: float
    ratio: float
    least: float
    below: tuple[tuple[float, float, float], ...]

    def words(self, units: str = "mm") -> str:
        """
        In words.

        Examples
        --------
        >>> Drainage(500.0, 6.0, 0.01, 0.0125, ((400.0, 700.0, 1.5),)).words()
        'Flattest at 500 mm: 6 mm (1/4 in), 1:100 of the beam. Less than 1:80 from 400 mm to 700 mm, by up to 2 mm
        (1/16 in).'
        """
        ratio = f"1:{1 / self.ratio:.0f} of the beam" if self.ratio > 0 else "no camber"
        said = f"Flattest at {format_length(self.x, units)}: {echo(self.camber, units)}, {ratio}."
        if not self.least:
            return said
        if not self.below:
            return f"{said} The least of 1:{1 / self.least:.0f} is kept everywhere."
        where = "; ".join(
            f"from {format_length(a, units)} to {format_length(b, units)}, by up to {echo(c, units)}"
            for a, b, c in self.below
        )
        return f"{said} Less than 1:{1 / self.least:.0f} {where}."


def drainage(deck, least=None, points: int = 201) -> Drainage:
    """
    Find the flattest place of a deck, and where it has less than the least camber.

    Parameters
    ----------
    deck : Deck
    least : CamberFigure, str or float, optional
        Least camber as a ratio of the beam; that of the deck's rule where not given.
    points : int
        How many places along the boat are looked at. Where the deck is narrower than 1/50 of its widest none is.

    Returns
    -------
    Drainage

    Examples
    --------
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> round(drainage(Deck(even_hull(), SameProportion("circle", "1:40"))).ratio, 6)
    0.025
    """
    ratio = least_ratio(deck.rule.least if least is None else least, deck.law.widest_half)
    x = np.linspace(deck.sheer.start, deck.sheer.end, points)
    edges = deck.law.edges(x)
    broad = edges.breadth[0] >= NARROW * 2 * deck.law.widest_half
    x, wide, camber = x[broad], edges.breadth[0][broad], deck.camber(x)[broad]
    part = camber / wide
    i = int(np.argmin(part))
    lack = ratio * wide - camber
    under = np.flatnonzero(np.diff(np.concatenate([[0], (lack > 1e-3).astype(int), [0]])))
    below = tuple(
        (float(x[a]), float(x[b - 1]), float(np.max(lack[a:b]))) for a, b in zip(under[::2], under[1::2], strict=True)
    )
    return Drainage(float(x[i]), float(camber[i]), float(part[i]), ratio, below)
