"""
Pieces of cloth in sessions that end where a feathered edge can be sanded.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from deckgeom.laying.paint_area import area_words, girths
from deckgeom.laying.sheathing import ClothPiece, Sheathing

__all__ = ["ClothSession", "cloth_sessions"]


@dataclass(frozen=True)
class ClothSession:
    """
    Pieces laid and wetted out in one go.

    Parameters
    ----------
    pieces : tuple of ClothPiece
    too_large : bool
        More than was asked for, since no edge within it can be sanded.
    feather : tuple of str
        Pieces whose edge is feathered, sanded once it has cured, and lapped in a later session.

    Examples
    --------
    >>> ClothSession((), False, ()).area
    0
    """

    pieces: tuple[ClothPiece, ...]
    too_large: bool
    feather: tuple[str, ...]

    @property
    def area(self) -> float:
        """Deck newly covered. [m2]"""
        return sum(piece.area for piece in self.pieces)

    def words(self, units: str = "mm") -> str:
        """In sentences."""
        names = ", ".join(piece.name for piece in self.pieces)
        out = f"Lay {names}: {area_words(self.area, units)}."
        if self.too_large:
            out += " This is more than you asked for at once: no edge within it runs clear of an opening. "
            out += "Have more hands."
        if self.feather:
            out += (
                f" Squeeze the open edge of {', '.join(self.feather)} out thin; once it has cured, wash it and sand it "
                "to a feather, with a mask, before the next piece laps it."
            )
        return out


def cloth_sessions(deck, plan: Sheathing, most_area: float, openings=(), clear: float = 50.0):
    """
    Part a sheathing into the fewest sessions.

    Parameters
    ----------
    deck : Deck
    plan : Sheathing
    most_area : float
        Deck that the hands at work can cover in one go. [m2]
    openings : sequence
        With ``x0``, ``x1``, ``y0``, ``y1`` each [mm].
    clear : float
        No session ends with an open edge through an opening or nearer to it than this, where it could not be sanded
        straight through. [mm]

    Returns
    -------
    tuple of ClothSession

    Notes
    -----
    The order of laying is kept, and each session runs to the last edge that fits: no other way takes fewer.

    Examples
    --------
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> from deckgeom.laying.sheathing import Cloth, sheathe
    >>> deck = Deck(even_hull(6000, 1500), SameProportion("circle", "1:32"))
    >>> plan = sheathe(deck, Cloth(1270), way="athwart")
    >>> [[piece.name for piece in session.pieces] for session in cloth_sessions(deck, plan, 6.5)]
    [['1', '2'], ['3'], ['4', '5']]
    """
    if not most_area > 0:
        raise ValueError(f"{most_area:g} m2 in one session: it is above 0. Is it left blank?")
    left, done, sessions = list(plan.pieces), [], []
    while left:
        counts = range(1, len(left) + 1)
        ends = [k for k in counts if not _barred(deck, plan, done + left[:k], left[k:], openings, clear)]
        fits = [k for k in ends if sum(piece.area for piece in left[:k]) <= most_area + 1e-9]
        count = fits[-1] if fits else ends[0]
        now, left = left[:count], left[count:]
        done += now
        edges = {p.name for p in now for q in left if _open_edge(plan.way, p, q) is not None}
        sessions.append(ClothSession(tuple(now), not fits, tuple(p.name for p in now if p.name in edges)))
    return tuple(sessions)


def _open_edge(way: str, laid: ClothPiece, later: ClothPiece):
    """Across what and where the edge of a piece lies that a later one laps; None where they do not meet."""
    within = min(laid.end, later.end) - max(laid.start, later.start) > -1e-6
    if way == "athwart":
        return ("x", laid.start if later.start < laid.start else laid.end) if within else None
    if not within or min(laid.high, later.high) - max(laid.low, later.low) < -1e-6:
        return None
    if laid.low == later.low:
        return "x", laid.end if later.start > laid.start else laid.start
    return "girth", laid.high if later.high > laid.high else laid.low


def _barred(deck, plan: Sheathing, done, left, openings, clear: float) -> bool:
    """Whether an open edge would run through an opening."""
    edges = [(p, edge) for p in done for q in left if (edge := _open_edge(plan.way, p, q)) is not None]
    for box in openings:
        cut = girths(deck, [np.clip((box.x0 + box.x1) / 2, deck.sheer.start, deck.sheer.end)])
        low, high = np.interp([box.y0, box.y1], cut.y[0], cut.girth[0])
        for piece, (across, place) in edges:
            along = piece.start < box.x1 and box.x0 < piece.end
            if across == "girth" and along and low - clear < place < high + clear:
                return True
            beside = piece.low < high and low < piece.high
            if across == "x" and beside and box.x0 - clear < place < box.x1 + clear:
                return True
    return False
