"""
Places on a boat in the words of the shed, never with a sign.
"""

from __future__ import annotations

from deckgeom.units import format_length

__all__ = ["off_centreline"]


def off_centreline(y: float, units: str = "mm") -> str:
    """
    A distance off the centreline with its side.

    Parameters
    ----------
    y : float
        Starboard positive. [mm]
    units : {"mm", "ft-in-8", "in"}

    Returns
    -------
    str

    Examples
    --------
    >>> off_centreline(-300.0), off_centreline(0.0)
    ('300 mm port', 'centreline')
    """
    if abs(y) < 0.05:
        return "centreline"
    return f"{format_length(abs(y), units)} {'port' if y < 0 else 'starboard'}"
