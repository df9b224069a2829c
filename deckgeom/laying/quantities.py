"""
How much deck there is, and how much goes on it: always low, likely and high, with what each rests on.

Nothing here is a plan of sheets or planks; it tells what to ask a price for.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from deckgeom.laying.paint_area import area_words
from deckgeom.tables import table

__all__ = ["Band", "DeckArea", "coats", "deck_area", "sheets", "strips_to_cover"]

#: What is cut away of sheets, as a part of the deck: careful nesting, usual, many corners. Common practice, no source.
WASTE = (0.05, 0.15, 0.30)
PANELS, POINTS = 64, 6


@dataclass(frozen=True)
class Band:
    """
    An amount as a band.

    Parameters
    ----------
    low, likely, high : float
        In the unit named, such as sheets or litres. [unit]
    unit : str
    basis : str
        What the three rest on.

    Examples
    --------
    >>> Band(4, 5, 6, "sheets", "15 % waste").words()
    '5 sheets (4 to 6): 15 % waste'
    """

    low: float
    likely: float
    high: float
    unit: str
    basis: str

    def __post_init__(self) -> None:
        if not 0 <= self.low <= self.likely <= self.high:
            raise ValueError(
                f"a band of {self.low:g}, {self.likely:g}, {self.high:g} {self.unit}: low, likely and high must rise "
                "from nought or more. Are two of them swapped?"
            )

    def words(self) -> str:
        """In words: the likely amount, the band and its basis."""
        return f"{self.likely:g} {self.unit} ({self.low:g} to {self.high:g}): {self.basis}"


@dataclass(frozen=True)
class DeckArea:
    """
    How large a deck is.

    Parameters
    ----------
    plan : float
        Seen from straight above. [m2]
    true : float
        Over its camber and sheer: what is covered, glued and painted. [m2]

    Examples
    --------
    >>> DeckArea(10.0, 10.1).words()
    'Deck: 10.1 m2 over its camber, 10.0 m2 in plan, openings not taken off.'
    """

    plan: float
    true: float

    def words(self, units: str = "mm") -> str:
        """In words, in the units of the boat's folder."""
        true, plan = area_words(self.true, units), area_words(self.plan, units)
        return f"Deck: {true} over its camber, {plan} in plan, openings not taken off."


def deck_area(deck) -> DeckArea:
    """
    Area of the whole deck, openings not taken off.

    Parameters
    ----------
    deck : Deck

    Returns
    -------
    DeckArea

    Notes
    -----
    .. math:: A = \\int\\!\\!\\int \\sqrt{1 + z_x^2 + z_y^2}\\,dy\\,dx

    over the plan, by Gauss's rule in 64 panels along the boat and across each side.

    Examples
    --------
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> round(deck_area(Deck(even_hull(6000, 1500), SameProportion("circle", 0))).plan, 6)
    12.0
    """
    node, weight = np.polynomial.legendre.leggauss(POINTS)
    edges = np.linspace(deck.sheer.start, deck.sheer.end, PANELS + 1)
    half = np.diff(edges)[:, None] / 2
    x = (edges[:-1, None] + half * (1 + node)).ravel()[:, None]
    along = (half * weight).ravel()
    plan = true = 0.0
    for side, sign in (("port", -1.0), ("starboard", 1.0)):
        b = np.maximum(deck.sheer.half_breadth(side, x, 0), 0.0)
        p, q = deck.slopes(x, sign * b * (1 + node) / 2)
        plan += float(along @ b.ravel())
        true += float(along @ (b / 2 * np.sqrt(1 + p * p + q * q) @ weight))
    return DeckArea(plan / 1e6, true / 1e6)


def sheets(area: float, sheet: tuple[float, float]) -> Band:
    """
    Sheets to ask a price for, by area alone.

    Parameters
    ----------
    area : float
        Of the deck over its camber. [m2]
    sheet : (float, float)
        Length and breadth of one as measured. [mm]

    Returns
    -------
    Band
        Whole sheets, one skin.

    Examples
    --------
    >>> sheets(11.4, (2440, 1220)).words().split(":")[0]
    '5 sheets (5 to 5)'
    """
    one = sheet[0] * sheet[1] / 1e6
    if not (area > 0 and one > 0):
        raise ValueError(f"{area:g} m2 of deck in sheets of {one:g} m2: both must be above 0. Is the sheet in metres?")
    counts = [math.ceil(area * (1 + waste) / one - 1e-9) for waste in WASTE]
    low, likely, high = (f"{waste:.0%}" for waste in WASTE)
    basis = f"one skin, by area, with {low}, {likely} and {high} cut to waste (common practice, no source)"
    return Band(*counts, "sheets", basis)


def coats(area: float, what: str, coats: int = 1, own: float | None = None) -> Band:
    """
    Litres of a coating or a glue over an area.

    Parameters
    ----------
    area : float
        [m2]
    what : str
        A row of the table "coverage".
    coats : int
        How often.
    own : float, optional
        What a litre covers by your own tin: takes the place of the table. [m2/L]

    Returns
    -------
    Band
        Litres.

    Examples
    --------
    >>> coats(15.7, "paint or varnish, one coat", coats=2, own=7.85).likely
    4.0
    """
    rows = {row["what"]: row for row in table("coverage")}
    if what not in rows:
        raise ValueError(f"{what!r} is not in the table of coverage: it has {'; '.join(rows)}. Name one of these.")
    if coats < 1 or not area > 0 or (own is not None and not own > 0):
        raise ValueError(f"{coats} coats on {area:g} m2 at {own} m2/L: each must be above 0. Is a figure left out?")
    row = rows[what]
    covers = [own] * 3 if own else [float(row[f"{k}_m2_per_litre"]) for k in ("high", "likely", "low")]
    basis = f"{what}, {coats} times, " + ("by your own tin" if own else f"by {row['source']} ({row['seen']})")
    return Band(*(round(area * coats / each, 1) for each in covers), "litres", basis)


def strips_to_cover(breadth: float, cloth: float, lap: float) -> int:
    """
    Strips of a roll laid side by side that cover a breadth.

    Parameters
    ----------
    breadth, cloth, lap : float
        What is covered, the roll, and how far strips lie over each other. [mm]

    Returns
    -------
    int

    Notes
    -----
    .. math:: n = \\lceil (B - o) / (C - o) \\rceil

    Examples
    --------
    >>> strips_to_cover(2500, 1270, 50)
    3
    """
    if not (breadth > 0 and cloth > lap >= 0):
        raise ValueError(
            f"a roll {cloth:g} mm wide lapped {lap:g} mm over {breadth:g} mm: the lap must be less than the roll. "
            "Are lap and roll swapped?"
        )
    return max(1, math.ceil((breadth - lap) / (cloth - lap) - 1e-9))
