"""
What holds bedded planks while the bedding sets: temporary screws with washers in the seams, or weights, moved along.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from deckgeom.laying.dry_fit_screws import GRAVITY, weight_words
from deckgeom.laying.fastenings_lines import follow
from deckgeom.units import format_length

__all__ = ["BEDDED", "Bedding", "bedding_of", "plank_hold"]

BEDDED = 300.0
"""Between temporary screws in a seam at most: common practice, no source. [mm]"""
PRESSURE = 2.0
"""Of weights on bedded planks: enough that bedding comes out along the seam. Common practice, no source. [kPa]"""
WASHER = 2.0
"""Thickness of a washer. [mm]"""
KEPT = 2.0
"""Wood kept below the point of a temporary screw. [mm]"""


def plank_hold(deck, piece, butts: int = 0, spacing: float = BEDDED) -> tuple[int, float]:
    r"""
    Temporary screws along the open seam of one plank, or the weight that takes their place.

    Parameters
    ----------
    deck : Deck
    piece : Piece
    butts : int
        In this plank: each end there is held as well.
    spacing : float
        At most. [mm]

    Returns
    -------
    int
    float
        [kg]

    Notes
    -----
    .. math:: n = \lceil L / s \rceil + 1 + b, \quad m = p A / g

    with L the longer edge over the deck, s the spacing, b the butts, p the pressure and A the area in plan.

    Examples
    --------
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> from deckgeom.laying.dry_fit import Piece
    >>> deck = Deck(even_hull(), SameProportion("circle", 0))
    >>> plank_hold(deck, Piece("1", [(-1000, 0), (1000, 0)], [(-1000, 50), (1000, 50)]), butts=1)[0]
    9
    """
    if not spacing > 0:
        raise ValueError(f"temporary screws {spacing:g} mm apart: it is above 0. Is it left blank?")
    length = max(float(follow(deck, *edge.T)[2][-1]) for edge in (piece.first, piece.second))
    x, y = piece.outline.T
    area = abs(float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1)))) / 2e6
    return math.ceil(length / spacing - 1e-9) + 1 + butts, PRESSURE * 1e3 * area / GRAVITY


@dataclass(frozen=True)
class Bedding:
    """
    What holds all bedded planks. Made by `bedding_of`.

    Parameters
    ----------
    places : int
        Where temporary screws stand in all seams, one after the other.
    at_once : int
        Screws in the largest glue-up: so many are bought, and used again in the next.
    weight : float
        On the largest glue-up, where it is weighted instead. [kg]
    longest : float
        Screw that does not show below, its washer taken off. [mm]
    spacing : float
        [mm]
    spares : float
        Part bought over the count. [1]

    Examples
    --------
    >>> Bedding(400, 96, 250.0, 18.0).to_buy
    106
    """

    places: int
    at_once: int
    weight: float
    longest: float
    spacing: float = BEDDED
    spares: float = 0.1

    @property
    def to_buy(self) -> int:
        """Screws with washers, with spares."""
        return math.ceil(self.at_once * (1 + self.spares) - 1e-9)

    def words(self, units: str = "mm") -> tuple[str, ...]:
        """
        How the planks are held.

        Parameters
        ----------
        units : {"mm", "ft-in-8", "in"}

        Returns
        -------
        tuple of str
        """
        say = lambda length: format_length(length, units)  # noqa: E731
        return (
            f"Temporary screws with washers stand in the open seam of each plank, at most {say(self.spacing)} apart "
            f"and beside each butt: {self.at_once} in the largest glue-up, {self.to_buy} with spares. They are drawn "
            f"when the bedding has set and used again: {self.places} places in all (common practice, no source).",
            f"A washer bears on both planks. The screw is at most {say(self.longest)} long, or it shows below.",
            f"Or weights in their place: about {weight_words(self.weight, units)} on the largest glue-up, spread "
            "evenly on battens (common practice, no source).",
        )


def bedding_of(cards, plank: float, below: float) -> Bedding | None:
    """
    Screws and weights for glue-ups of bedded planks.

    Parameters
    ----------
    cards : sequence of GlueCard
    plank, below : float
        Thickness of the planks, and of what they are bedded on. [mm]

    Returns
    -------
    Bedding or None
        None where no glue-up holds anything so.

    Examples
    --------
    >>> bedding_of((), 9.0, 9.0) is None
    True
    """
    if not any(card.temporary for card in cards):
        return None
    return Bedding(sum(card.temporary for card in cards), max(card.temporary for card in cards),
                   max(card.weight for card in cards), WASHER + plank + below - KEPT)  # fmt: skip
